-- Median and quartiles of the same.
SELECT 'deflation mmHg/s (median, quartiles)' AS measure, 'all' AS class, count(*) AS count,
       percentile_cont(0.5) WITHIN GROUP (ORDER BY deflation_mmhg_per_s) AS median,
       percentile_cont(0.25) WITHIN GROUP (ORDER BY deflation_mmhg_per_s) AS low,
       percentile_cont(0.75) WITHIN GROUP (ORDER BY deflation_mmhg_per_s) AS high
FROM cuffnote.attempt
WHERE NOT withdrawn AND deflation_mmhg_per_s IS NOT NULL;
