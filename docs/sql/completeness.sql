-- How complete the visits are: the audit's "completeness". Runs on PostgreSQL and on DuckDB.
WITH counted AS (
    SELECT count(*) AS visits,
           count(*) FILTER (WHERE closed) AS closed,
           count(*) FILTER (WHERE complete) AS complete,
           count(*) FILTER (WHERE both_indexes) AS both_indexes,
           count(*) FILTER (WHERE rested_min IS NOT NULL) AS rest_known
    FROM cuffnote.visit
)
SELECT 'completeness' AS measure, 'closed' AS class, closed AS count, visits AS "of" FROM counted
UNION ALL SELECT 'completeness', 'all six sites have an outcome', complete, visits FROM counted
UNION ALL SELECT 'completeness', 'an index of both legs', both_indexes, visits FROM counted
UNION ALL SELECT 'completeness', 'rest before is recorded', rest_known, visits FROM counted;
