-- Benches, lots, months and benders compared, each with its like, the one that stands out first.
-- Shares are of all measured bends; opened_deg is the springback of bends of 80 to 100 degrees, with
-- its standard deviation. standard_errors: how far the share good at the first pull lies from that of
-- all others together (two shares, pooled); beyond 3 either way it is hardly chance.
WITH told AS (
    SELECT bench, lot, month, bender,
           CAST(CASE WHEN pulls = 1 AND verdict = 'good' THEN 1 ELSE 0 END AS DOUBLE) AS good,
           CAST(CASE WHEN verdict = 'over' THEN 1 ELSE 0 END AS DOUBLE) AS went_over,
           CAST(CASE WHEN outcome = 'scrapped' THEN 1 ELSE 0 END AS DOUBLE) AS scrapped,
           CASE WHEN target_deg BETWEEN 80 AND 100
                THEN last_loaded_deg - released_deg END AS opened_deg
    FROM bends WHERE released_deg IS NOT NULL
), grouped AS (
    SELECT 'bench' AS what, bench AS who, good, went_over, scrapped, opened_deg FROM told
    UNION ALL
    SELECT 'lot' AS what, lot AS who, good, went_over, scrapped, opened_deg FROM told
    UNION ALL
    SELECT 'month' AS what, month AS who, good, went_over, scrapped, opened_deg FROM told
    UNION ALL
    SELECT 'bender' AS what, bender AS who, good, went_over, scrapped, opened_deg FROM told
), parts AS (
    SELECT what, who, CAST(COUNT(*) AS DOUBLE) AS n, SUM(good) AS good,
           AVG(went_over) AS went_over, AVG(scrapped) AS scrapped,
           AVG(opened_deg) AS opened_deg, STDDEV_SAMP(opened_deg) AS opened_sd_deg
    FROM grouped GROUP BY what, who
), whole AS (
    SELECT COUNT(*) AS n, SUM(good) AS good FROM told
)
SELECT what, who, CAST(p.n AS BIGINT) AS bends, p.good / p.n AS good_at_first, went_over, scrapped,
       opened_deg, opened_sd_deg,
       CASE WHEN w.n > p.n AND w.good > 0 AND w.good < w.n
            THEN (p.good / p.n - (w.good - p.good) / (w.n - p.n))
                 / SQRT(w.good / w.n * (1 - w.good / w.n) * (1 / p.n + 1 / (w.n - p.n)))
       END AS standard_errors
FROM parts p CROSS JOIN whole w
ORDER BY what, ABS(standard_errors) DESC NULLS LAST, who;
