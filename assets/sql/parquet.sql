-- The view of bends.sql as Parquet, a folder a bench and month, for whatever reads Parquet.
COPY (SELECT * FROM bends)
TO 'bends.parquet' (FORMAT parquet, PARTITION_BY (bench, month), OVERWRITE_OR_IGNORE);
