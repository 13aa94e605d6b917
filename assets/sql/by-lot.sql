-- Lots compared, the one that stands out first.
-- Shares are of all measured bends; opened_deg is the springback of bends of 80 to 100 degrees, with
-- its standard deviation. standard_errors: how far the share good at the first pull lies from that of
-- all others together (two shares, pooled); beyond 3 either way it is hardly chance.
WITH told AS (
    SELECT lot AS who,
           CAST(CASE WHEN pulls = 1 AND verdict = 'good' THEN 1 ELSE 0 END AS DOUBLE) AS good,
           CAST(CASE WHEN verdict = 'over' THEN 1 ELSE 0 END AS DOUBLE) AS went_over,
           CAST(CASE WHEN outcome = 'scrapped' THEN 1 ELSE 0 END AS DOUBLE) AS scrapped,
           CASE WHEN target_deg BETWEEN 80 AND 100
                THEN last_loaded_deg - released_deg END AS opened_deg
    FROM bends WHERE released_deg IS NOT NULL
), parts AS (
    SELECT who, CAST(COUNT(*) AS DOUBLE) AS n, SUM(good) AS good, AVG(went_over) AS went_over,
           AVG(scrapped) AS scrapped, AVG(opened_deg) AS opened_deg,
           STDDEV_SAMP(opened_deg) AS opened_sd_deg
    FROM told GROUP BY who
), whole AS (
    SELECT SUM(n) AS n, SUM(good) AS good FROM parts
)
SELECT who, CAST(p.n AS BIGINT) AS bends, p.good / p.n AS good_at_first, went_over, scrapped,
       opened_deg, opened_sd_deg,
       CASE WHEN w.n > p.n AND w.good > 0 AND w.good < w.n
            THEN (p.good / p.n - (w.good - p.good) / (w.n - p.n))
                 / SQRT(w.good / w.n * (1 - w.good / w.n) * (1 / p.n + 1 / (w.n - p.n)))
       END AS standard_errors
FROM parts p CROSS JOIN whole w
ORDER BY ABS(standard_errors) DESC NULLS LAST, who;
