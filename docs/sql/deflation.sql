-- How fast the cuff came down, against the 2 to 3 mmHg/s that are asked for: the audit's "deflation".
WITH rate AS (
    SELECT deflation_mmhg_per_s AS fall FROM cuffnote.attempt
    WHERE NOT withdrawn AND deflation_mmhg_per_s IS NOT NULL
)
SELECT 'deflation' AS measure, 'slower than asked' AS class, count(*) FILTER (WHERE fall < 2) AS count, count(*) AS "of" FROM rate
UNION ALL
SELECT 'deflation', 'faster than asked', count(*) FILTER (WHERE fall > 3), count(*) FROM rate;
