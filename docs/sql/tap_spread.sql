-- From the first pulse that the listener heard to the tap, by what made it hard to hear: median and quartiles.
WITH told AS (
    SELECT tap_after_first_pulse_s AS late_s, coalesce(hard_to_hear, 'nothing hard to hear') AS words
    FROM cuffnote.attempt
    WHERE NOT withdrawn AND tap_after_first_pulse_s IS NOT NULL
),
each AS (SELECT late_s, unnest(string_to_array(words, '; ')) AS class FROM told)
SELECT 'tap after first pulse s (median, quartiles)' AS measure, class, count(*) AS count,
       percentile_cont(0.5) WITHIN GROUP (ORDER BY late_s) AS median,
       percentile_cont(0.25) WITHIN GROUP (ORDER BY late_s) AS low,
       percentile_cont(0.75) WITHIN GROUP (ORDER BY late_s) AS high
FROM each GROUP BY class;
