### The result screen. Each message: where it stands, and how many letters it may have. What a result says stands in
### clinical.ftl and caution.ftl.

# What stands on every result; a safety sentence · 290
result-cannot-tell = A number alone does not rule arterial disease out, least of all with diabetes or kidney disease. Check by ear and gauge. Local policy and a licensed practitioner decide.
# Under the legs: a rule asks for one more · 30
result-wanted = Still needed at { $site }: { $why }
# A target · 30
result-write = Write the report
# A target · 30
result-open = Open the report
# A target · 30
result-print = Print the report
# A target: the visit ends · 30
result-close = Close the visit
# A target, and the title of that screen · 36
result-replay = Replay recording
# A target · 45
result-history = All visits of this record
# Beside an index: what it is made of · 24
result-made = { $ankle } at { $ankle_site }, over { $arm } at { $arm_site }
# The name of a leg's line for a screen reader · 60
result-line = { $leg }: ABI on a line from 0.0 to 1.6
# Under a leg's line · 40
result-limits = Limits on the line, { $set }: { $limits }.
# In its place · 160
result-numbers-only = Numbers only: guidance has not been switched on by a clinician of this service (Set-up).
# What a set says of a leg: nothing · 70
result-no-band = This set has no recommendation here.
# Above the readings · 40
result-readings = Readings used
# A reading, and that it counts · 20
result-counts = { $outcome } (counts)
# A reading, and why it does not count · 30
result-counts-not = { $outcome } (does not count: { $why })
# The name of a target for a screen reader · 16
result-correct = Correct: { $site }
# A field · 40
result-plan = Plan, in your own words
# A target · 30
result-keep-plan = Keep the plan
# The plan that was kept, and who wrote it · 16
result-planned = Plan: { $words } ({ $who })
# A field · 45
result-exercise = Exercise: what and how long
# A target · 50
result-exercised = Exercise ended: measure again
# A field · 45
result-supervisor = Supervisor, to countersign
# A target · 24
result-countersign = Countersign
# Who countersigned · 24
result-countersigned = Countersigned: { $who }
# A field; the day is an example · 45
result-due = Next test due, as 2027-02-25
# A target · 30
result-set-date = Set the date
