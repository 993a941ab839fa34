-- Visits without a pressure at a site of the whole examination, and why: the audit's "not obtained".
WITH total AS (SELECT count(*) AS n FROM cuffnote.visit),
six(site) AS (VALUES ('right-arm'), ('right-dp'), ('right-pt'), ('left-arm'), ('left-dp'), ('left-pt')),
turned_to AS (
    SELECT site, CASE
        WHEN site_mmhg IS NOT NULL THEN NULL
        WHEN site_outcome LIKE 'not measured%' THEN 'not measured, with a reason'
        ELSE site_outcome END AS class, count(*) AS n
    FROM cuffnote.attempt WHERE phase = 'rest' AND repeat = 1 GROUP BY 1, 2
),
without AS (
    SELECT site, class, n FROM turned_to WHERE class IS NOT NULL
    UNION ALL
    SELECT six.site, 'not yet measured', total.n - coalesce((SELECT sum(t.n) FROM turned_to AS t WHERE t.site = six.site), 0)
    FROM six CROSS JOIN total
)
SELECT 'not obtained, ' || site AS measure, class, sum(n) AS count, (SELECT n FROM total) AS "of"
FROM without WHERE site IN (SELECT site FROM six) GROUP BY site, class HAVING sum(n) > 0;
