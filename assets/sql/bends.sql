-- The bends of a collection as plain columns with types, for DuckDB started in its folder. The bench
-- and the month come from the folders' names; a month nobody knows is no month.
CREATE OR REPLACE VIEW bends AS
SELECT device AS bench, NULLIF(month, 'unknown') AS month,
       CAST(sequence AS BIGINT) AS sequence, CAST(wall_time AS VARCHAR) AS wall_time,
       CAST(clock_trusted AS BOOLEAN) AS clock_trusted, outcome, name,
       CAST(material AS VARCHAR) AS material,
       CAST(od_mm AS DOUBLE) AS od_mm, CAST(wall_mm AS DOUBLE) AS wall_mm,
       CAST(lot AS VARCHAR) AS lot, bender, CAST(number AS INTEGER) AS number,
       CAST(target_deg AS DOUBLE) AS target_deg, CAST(released_deg AS DOUBLE) AS released_deg,
       CAST(error_deg AS DOUBLE) AS error_deg, CAST(last_loaded_deg AS DOUBLE) AS last_loaded_deg,
       CAST(pulls AS INTEGER) AS pulls, verdict, measured_by
FROM read_json('bends/*/*/*.jsonl', hive_partitioning = true, union_by_name = true);
