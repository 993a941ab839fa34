-- The last digit of readings by ear on gauges whose lines are 2 mmHg apart: the audit's "last digit".
WITH reading AS (
    SELECT CAST(round(cuff_mmhg * 10) AS bigint) % 100 AS last_tenths
    FROM cuffnote.attempt
    WHERE NOT withdrawn AND outcome = 'reading' AND source = 'ear-and-gauge' AND graduation_mmhg = 2
),
counted AS (
    SELECT CASE WHEN last_tenths % 20 = 0 THEN last_tenths / 10 END AS digit, count(*) AS n
    FROM reading GROUP BY 1
),
total AS (
    SELECT coalesce(sum(n), 0) AS everything, coalesce(sum(n) FILTER (WHERE digit IS NOT NULL), 0) AS even FROM counted
),
digits(digit) AS (VALUES (0), (2), (4), (6), (8))
SELECT 'last digit' AS measure, CAST(digits.digit AS text) AS class, coalesce(counted.n, 0) AS count, total.even AS "of"
FROM digits CROSS JOIN total LEFT JOIN counted ON counted.digit = digits.digit
UNION ALL
SELECT 'last digit', 'not even', everything - even, everything FROM total;
