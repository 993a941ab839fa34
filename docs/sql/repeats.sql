-- Attempts after the first at one site, and why the one before was not enough: the audit's "repeats".
WITH again AS (
    SELECT visit, site, phase, repeat FROM cuffnote.attempt WHERE repeat > 1
),
at_site AS (
    SELECT visit, site, phase, bool_or(coalesce(irregular, false)) AS irregular
    FROM cuffnote.attempt
    WHERE (visit, site, phase) IN (SELECT visit, site, phase FROM again)
    GROUP BY visit, site, phase
),
why AS (
    SELECT CASE
        WHEN before.withdrawn THEN 'the earlier one was taken back'
        WHEN before.cuff_mmhg IS NULL THEN 'the earlier one gave no pressure'
        WHEN at_site.irregular THEN 'irregular rhythm: several readings are averaged'
        WHEN again.site LIKE '%-arm' THEN 'arm measured again'
        ELSE 'measured again, no reason is recorded' END AS class
    FROM again
    JOIN cuffnote.attempt AS before ON before.visit = again.visit AND before.site = again.site
        AND before.phase = again.phase AND before.repeat = again.repeat - 1
    JOIN at_site ON at_site.visit = again.visit AND at_site.site = again.site AND at_site.phase = again.phase
)
SELECT 'repeats' AS measure, class, count(*) AS count, (SELECT count(*) FROM why) AS "of" FROM why GROUP BY class;
