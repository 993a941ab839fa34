-- Readings of each gauge, those from other instruments left out: the audit's "gauge".
SELECT 'gauge' AS measure, gauge AS class, count(*) AS count, NULL AS "of"
FROM cuffnote.attempt WHERE outcome = 'reading' AND source <> 'entered' GROUP BY gauge;
