### The audit of a service. Each message: where it stands, and how many letters it may have. Its data files stay English.

# Title · 50
audit-title = How this service measures
# Foot of each printed page, left · 40
audit-page = Audit of a service
# Head · 20
audit-visits = Visits
# Head · 20
audit-attempts = Attempts
# Head, where there is no visit · 20
audit-none = none
# Head: how many visits, and their days · 30
audit-days = { $visits } visits, { $from } to { $to }
# Foot; a safety sentence · 220
audit-foot-eyes = For the service's and the operator's own eyes. Numbers of different people measure different patients: they are no ranking, and none is made here.
# Foot; a safety sentence · 130
audit-foot-counted = Counted from the records alone. It does not say who measures well, and it does not diagnose.
# Heading · 40
audit-completeness = Completeness
# Heading · 40
audit-digits = The last digit
# Heading · 40
audit-deflation = Deflation
# Heading · 70
audit-lags = From the first audible pulse to the tap
# Heading · 50
audit-repeats = Repeats, and why
# Heading of an operator's part · 30
audit-operator-repeats = Repeats
# Heading · 30
audit-operator = Operator { $code }
# Heading · 50
audit-sites = Sites without a pressure
# Name of the frame around a table, for those who cannot see it · 40
audit-sites-table = Table of sites
# Over the table · 90
audit-sites-caption = Visits without a pressure, for each site and reason.
# Head of a column · 20
audit-column-reason = Reason
# Head of a column · 30
audit-column-share = Share of all
# In the column of reasons · 50
audit-reason-not-measured = not measured, with a reason
# Heading · 30
audit-gauges = Gauges
# A gauge; its check as below · 20
audit-gauge = { $code }, { $readings } readings: { $state }.
# A gauge whose check is overdue · 40
audit-gauge-overdue = Overdue: { $code }, { $readings } readings: { $state }.
# Its check · 60
audit-check-unknown = when it was checked is not known
# Its check · 60
audit-check-not-due = checked on { $day }, { $passed } days ago, not due at { $every } days
# Its check · 60
audit-check-overdue = checked on { $day }, { $passed } days ago, overdue at { $every } days
# Its check · 90
audit-check-unset = checked on { $day }; how often it is to be checked is not set
# A share of the visits · 30
audit-closed = Closed: { $count } of { $all } ({ $share } %).
# A share of the visits · 60
audit-complete = All six sites have an outcome: { $count } of { $all } ({ $share } %).
# A share of the visits · 50
audit-both-indexes = An index of both legs: { $count } of { $all } ({ $share } %).
# A share of the visits · 60
audit-rest-known = Rest before measuring is recorded: { $count } of { $all } ({ $share } %).
# Where there are few · 60
audit-small-visits = A small number: { $count } visits say little.
# Where there are few · 60
audit-small-readings = A small number: { $count } readings say little.
# Where there are few · 60
audit-small-rates = A small number: { $count } rates say little.
# In place of the last digits · 80
audit-digits-none = No reading of a gauge with lines 2 mmHg apart.
# The share of zeros · 150
audit-digits-zeros = { $zeros } of { $all } even readings end in 0: { $share } %, 95 % interval { $low } % to { $high } % (Wilson). One in five, 20 %, would be expected.
# What chance says of it · 90
audit-digits-more = More zeros than chance explains (exact binomial test, p { $p }).
# What chance says of it · 90
audit-digits-fewer = Fewer zeros than chance explains (exact binomial test, p { $p }).
# What chance says of it · 90
audit-digits-chance = Chance alone can explain it (exact binomial test, p { $p }).
# All five digits · 110
audit-digits-five = All five digits against equal shares: chi-squared { $x } with 4 degrees of freedom, p { $p }.
# A chance below what is written out · 20
audit-p-below = below 0.001
# Readings that are not counted · 80
audit-digits-odd = { $odd } readings between the lines are not in these counts.
# In place of rates · 50
audit-rates-none = No deflation rate was recorded.
# Rates; the source at the end · 260
audit-rates = { $all } of { $attempts } attempts have a rate. Half of them lie between { $low } and { $high } mmHg/s, the median is { $middle }. Slower than { $least }: { $slow }. Faster than { $most }: { $fast }. ({ $least } to { $most } mmHg/s: BIHS 2019; Zheng 2011.)
# In place of lags · 80
audit-lags-none = No tap beside a first pulse that the listener heard.
# Lags by what made it hard to hear · 100
audit-lag = { $level }: median { $middle } s after the first audible pulse, half between { $low } and { $high } s, { $taps } taps.
# Behind it, where there are few · 50
audit-lag-few = {" "}A small number: it says little.
# Under the lags · 170
audit-lags-note = A sound with several troubles stands under each of them. The first pulse is the listener's; it can be wrong.
# Nothing made it hard to hear · 50
audit-level-none = nothing hard to hear
# Attempts after the first · 90
audit-repeated = { $repeats } of { $attempts } attempts came after another at the same site.
# A reason and how often it was one · 10
audit-repeated-why = { $why }: { $count }.
# A reason · 60
audit-why-withdrawn = the earlier one was taken back
# A reason · 60
audit-why-no-pressure = the earlier one gave no pressure
# A reason · 80
audit-why-irregular = irregular rhythm: several readings are averaged
# A reason · 60
audit-why-arm = arm measured again
# A reason · 70
audit-why-none = measured again, no reason is recorded
# Name of a plot · 50
audit-plot-digits = Readings by their last digit
# In that plot · 50
audit-plot-equal = dashed: equal shares
# Name of a plot · 90
audit-plot-rates = Deflation rates in classes of 1 mmHg/s; { $least } to { $most } are asked for
# Name of a plot · 150
audit-plot-lags = Taps by their seconds after the first audible pulse; a tap before it stands in the first class
