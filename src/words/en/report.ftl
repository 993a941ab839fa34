### The report of a visit: page, PDF and what stands on every page. Each message: where it stands, and how many letters it
### may have (what is put in not counted). What was found and lacking stands in clinical.ftl.

## Head, foot, and what every page has

# Title of the report, one line at 14 points · 70
report-title = Ankle-brachial index: record of a measurement
# Name of the document, for readers and the list of open files · 20
report-document = { $title }, record { $record }
# Foot of every page, left · 20
report-record = Record { $record }
# Foot of every page, middle · 70
report-foot-page = Records a measurement. Does not diagnose.
# Foot of every page, right · 20
report-page = Page { $page } of { $pages }
# Foot of every page, under the record · 20
report-hash-chain = Hash chain { $head }
# In the frame for the patient's label · 30
report-label = Patient label
# Head: name of the service; one column of 56 points, about 13 letters · 14
report-head-service = Service
# Head: the record's code · 14
report-head-record = Record
# Head: when · 14
report-head-measured = Measured
# Head: who measured · 14
report-head-operator = Operator
# Head: why · 14
report-head-reason = Reason
# Head: the ulcer it is about · 14
report-head-ulcer = Ulcer
# Head: what the visit was for · 14
report-head-scope = Asked for
# Head, beside "Measured": a measurement taken over from paper · 50
report-on-paper = on { $on }; taken over from paper { $entered }
# The same with the code of who measured · 50
report-on-paper-by = on { $on } by { $by }; taken over from paper { $entered }
# Foot of the first page, first of the cautions; a safety sentence · 180
report-foot-purpose = For training and for recording what a clinician measured. It does not diagnose, and it is not a cleared medical device.
# Foot of the first page; a safety sentence · 150
report-foot-record = The clinician's ear and gauge are the record; the listener only assists. Check every value.
# Foot of the first page · 230
report-foot-guidance = Words of guidance are quoted or given in their sense with their source; none is this program's own advice. Local policy and licensed practice decide.
# Foot of the first page, of every language but English · 160
report-foot-unreviewed = This report is our own translation from English. No clinician has reviewed the translation.
# In its place once a clinician has confirmed the language · 100
report-foot-confirmed = The translation from English was confirmed for this service by { $who }.

## First page

# Heading · 50
report-first = Red flags and cautions
# Before a red flag · 60
report-red-flag = Red flag, above every number
# Before a caution · 20
report-caution = Caution
# Before the next sentence · 30
report-not-finished = Not finished
# A warning · 110
report-not-closed = This visit is not closed. What is missing may still change the numbers.
# A warning: a rest cut short · 250
report-short-rest = The patient rested { $minutes } of { $wanted } minutes. Pressures fall during rest: after 5 minutes half of 199 patients were within 5 mmHg of their steady pressure (Mahe 2017, Scientific Reports, PMC5635024).
# Under the warnings: the questions behind it · 60
report-asked-no = Asked and answered with no: { $list }.{" "}
# Under the warnings: the questions behind it · 60
report-asked-open = Not asked or not known: { $list }.{" "}
# Under the warnings; a safety sentence · 110
report-asked-outweighs = Such a sign outweighs any number, also when it appears later.
# Heading: each leg in one line · 30
report-summary = In short
# Heading · 40
report-indexes = Ankle-brachial index
# Name of a leg · 40
report-leg =
    { $side ->
        [left] Patient's left leg
       *[right] Patient's right leg
    }
# In place of a number, at 15 points · 15
report-above = above { $lowest }
# In place of a number, at 15 points · 20
report-no-index = no index
# Beside a number; the interval as in clinical-ends · 30
report-interval = 95 % interval { $ends }
# Under a number: what it is made of · 60
report-made = { $ankle } mmHg at the { $ankle_site }, over { $arm } mmHg at the { $arm_site }.
# The same without an arm · 80
report-made-ankle = { $ankle } mmHg at the { $ankle_site }; no arm pressure to divide it by.
# The same where an artery stayed open · 100
report-made-open = An ankle artery that could not be compressed, over { $arm } mmHg at the { $arm_site }.
# The same without an ankle · 70
report-made-arm = No ankle pressure to divide by { $arm } mmHg at the { $arm_site }.
# Without either · 60
report-made-none = No ankle and no arm pressure.
# Before a number; a safety sentence · 160
report-crosses = The interval crosses the limit { $limits } of { $set }: this measurement cannot tell on which side of it the leg is.
# Under both numbers: how to read the lines · 230
report-line-key = On each line the diamond is the index. The bar above it is its 95 % interval. A place on the line is a number, not a judgement of the leg.
# The same with limits drawn · 310
report-line-key-limits = On each line the diamond is the index. The bar above it is its 95 % interval. The limits and their names are those of { $set } only. A place on the line is a number, not a judgement of the leg.
# A site within a line · 40
report-site =
    { $side ->
        [left] left
       *[right] right
    } { $artery ->
        [arm] arm
        [dp] dorsalis pedis
        [pt] posterior tibial
        [peroneal] peroneal
       *[toe] great toe
    }
# Heading · 50
report-readings = What went into the indexes
# Over the table · 40
report-pressures = Pressures, mmHg.
# Head of a column · 30
report-column-site = Site
# Head of a column · 30
report-column-right = Patient's right
# Head of a column · 30
report-column-left = Patient's left
# Name of a row · 40
report-row =
    { $artery ->
        [arm] Arm
        [dp] Dorsalis pedis
        [pt] Posterior tibial
        [peroneal] Peroneal
       *[toe] Great toe
    }
# Name of a row, after exercise · 60
report-row-after =
    { $artery ->
        [arm] Arm
        [dp] Dorsalis pedis
        [pt] Posterior tibial
        [peroneal] Peroneal
       *[toe] Great toe
    } after exercise
# In a cell, of a closed visit · 30
report-not-measured = not measured
# In a cell, behind a pressure · 30
report-mean-of = {" "}(mean of { $readings })
# In a cell, behind the rest · 60
report-does-not-count = ; { $outcome } does not count, see the trail
# In a cell, behind the rest · 40
report-from-instrument = , from another instrument
# In a cell, behind the rest · 30
report-from-paper = , from paper
# In a cell, behind the rest · 30
report-in-index = , in the index
# Under the table: the rule as in clinical-wanted, and its sites · 50
report-asked-for = Asked for by a rule ({ $why }): { $sites }.
# Over the table: posture, rest, gauge, method · 160
report-conditions = The patient was { $posture }. Rest before measuring: { $minutes } minutes. Gauge { $gauge }, its lines { $lines } mmHg apart. Method: { $method }.
# The same where the rest was not recorded · 170
report-conditions-rest-unknown = The patient was { $posture }. Rest before measuring was not recorded. Gauge { $gauge }, its lines { $lines } mmHg apart. Method: { $method }.
# Heading · 50
report-findings = Findings before measuring
# A foot · 60
report-foot-found =
    { $side ->
        [left] Patient's left
       *[right] Patient's right
    } foot: { $temperature ->
        [warm] warm
        [cool] cool
       *[cold] cold
    }, { $pulse ->
        [yes] pulse felt
        [no] no pulse felt
       *[unknown] pulse not checked
    }.
# A wound, and what was done about it · 60
report-wound =
    Wound where the cuff goes, { $side ->
        [left] patient's left
       *[right] patient's right
    } leg: { $care }.
# A patient who moved · 150
report-moved =
    The patient moved { $moved ->
        [1] once
       *[other] { $moved } times
    } and rested again, the last time from { $from }; { $before ->
        [one] { $before } reading
       *[other] { $before } readings
    } from before still stand.
# A patient who exercised · 50
report-exercised = Exercise ended { $at }.
# The same with the clinician's words · 50
report-exercised-words = Exercise ended { $at }: { $words }.
# Two cuffs of one size; the size as in report-cuff-size · 40
report-cuffs-both =
    { $limb ->
        [arm] Cuffs, both arms
       *[ankle] Cuffs, both ankles
    }: { $size }
# One cuff · 50
report-cuff-one =
    Cuff, { $side ->
        [left] patient's left
       *[right] patient's right
    } { $limb ->
        [arm] arm
       *[ankle] ankle
    }: { $size }
# The size of a cuff · 70
report-cuff-size = bladder { $width } x { $length } cm, limb circumference { $around } cm.
# The same where the limb was not measured · 100
report-cuff-size-unknown = bladder { $width } x { $length } cm, limb not measured, so fit not checked.
# Beside the findings · 70
report-diseases =
    Diabetes { $diabetes ->
        [yes] yes
        [no] no
       *[unknown] not known
    }, kidney disease { $kidney ->
        [yes] yes
        [no] no
       *[unknown] not known
    }.
# Heading · 50
report-plan = Plan and next test
# A line of the plan · 50
report-next-test = Next test due { $on } ({ $who }).
# Heading · 30
report-signature = Signature
# Over the lines to sign · 60
report-countersigned = Countersigned in the record by { $who }.
# Under a line to sign · 25
report-blank-by = Measured by
# Under a line to sign · 25
report-blank-signature = Signature
# Under a line to sign · 25
report-blank-date = Date
# Under a line to sign · 25
report-blank-checked = Checked by

## Behind the first page

# Heading · 50
report-guidance = Published guidance
# Under a set's name · 20
report-source = Source: { $source }
# In place of what a set says · 110
report-says-nothing = This set has no recommendation for the leg as measured.
# Heading · 50
report-cannot-tell = What the number cannot tell
# A safety sentence · 220
report-cannot-rule-out = A number does not rule out arterial disease, least of all with diabetes or kidney disease (NICE CKS, by way of a secondary page).
# A safety sentence · 200
report-cannot-stiff = Stiff arteries resist the cuff. The index is then falsely high (2016 and 2024 ACC/AHA call an index above 1.40 non-compressible).
# A safety sentence · 200
report-cannot-where = The number does not say where an artery is narrowed, nor how well a wound will heal (common practice).
# A safety sentence · 250
report-cannot-cover = The interval covers the gauge, the beat-to-beat pressure and the reaction time. It does not cover a wrong cuff size, a restless patient or too short a rest.
# A safety sentence · 210
report-cannot-urgent = Pain at rest, tissue loss, spreading infection, or a cold, pale or numb foot is urgent whatever the number (common practice).
# A safety sentence; the leg as in report-leg · 90
report-cannot-zero = { $leg }: no index was obtained; this does not mean an index of zero.
# Heading · 50
report-notes = Notes and assumptions
# A note as it was typed · 30
report-note-by = Note by { $who }: { $words }
# An amendment · 60
report-amended = Event { $of } was amended by { $who } on { $at }: { $why }.
# Behind an amendment; a safety sentence · 240
report-amended-apart = {" "}It was made on another computer without knowledge of the amendment before it: both are kept, this one counts, and someone has to settle it.
# Heading · 40
report-attempts = Every attempt
# Over the table of attempts · 150
report-attempts-caption = All attempts in the order they were made. Rows in bold with a bar are part of an index.
# Head of a column · 20
report-column-outcome = Outcome
# Head of a column · 30
report-column-tap = Tap and listener
# Head of a column · 20
report-column-deflation = Deflation
# Head of a column · 35
report-column-counts = What it counts for
# Name of an attempt: the site as in report-site · 30
report-attempt-after = { $site } after exercise
# Behind the name: which of several · 15
report-attempt-which = , { $n } of { $all }
# Behind an outcome · 50
report-attempt-entered = {" "}(entered from another instrument)
# Behind an outcome · 50
report-attempt-paper = {" "}(taken over from paper)
# In the last column · 30
report-counts-not = Does not count: { $why }.
# In the last column: the parts as below · 30
report-counts-as = Counts as { $parts }.
# The same of several readings · 90
report-counts-as-mean = Counts as { $parts }, with the others of this site as a mean of { $mean }.
# In the last column · 70
report-counts-site = Counts for its site; not part of an index.
# The same of several readings · 130
report-counts-site-mean = Counts for its site, with the others of this site as a mean of { $mean }; not part of an index.
# In the last column · 30
report-counts-no-pressure = No pressure.
# Part of an index · 50
report-part-ankle =
    ankle pressure of the { $side ->
        [left] left
       *[right] right
    } leg
# Part of an index · 50
report-part-arm =
    arm pressure of the { $side ->
        [left] left
       *[right] right
    } leg
# Part of an index · 50
report-part-arm-both = arm pressure of both legs
# A rate · 10
report-rate = { $rate } mmHg/s
# In place of a rate · 30
report-rate-unknown = not recorded
# Beside an attempt · 30
report-tap-heard = Tap at { $mark } s, { $lateness }
# The same where nothing came back · 30
report-tap-unheard = Tap at { $mark } s; { $lateness }
# Without a tap · 60
report-no-tap-heard = No tap; first pulse heard at { $back } s
# Without a tap: why nothing can be said · 20
report-no-tap = No tap, { $lateness }
# Behind a tap · 60
report-tap-moved = ; mark moved afterwards to { $to } s
# How a tap stands to what was heard · 60
report-late-before = { $by } s before the first pulse heard
# As above · 60
report-late-after = { $by } s after the first pulse heard
# As above · 40
report-late-no-listener = no listener
# As above · 30
report-late-no-tap = no tap
# As above · 60
report-late-no-return = the listener heard no return
# Heading · 50
report-sounds = The sound at each site
# Under the heading; a safety sentence at the end · 350
report-sounds-key = Time runs to the right, pitch upwards; the darker, the louder above the background. Dotted lines are what the listener heard. The solid line is the clinician's tap. The ear and the gauge are the record; the listener only assists.
# Before how the tap stands · 20
report-caption-tap = Tap: { $late }
# Behind it · 30
report-caption-confidence = {" "}Confidence { $percent } %.
# The same of the highest · 30
report-caption-confident = {" "}Confidence over 99 %.
# Behind it · 20
report-caption-pulse = {" "}Pulse { $rate }/min.
# The same with the listener's word for the rhythm · 20
report-caption-rhythm = {" "}Pulse { $rate }/min, { $rhythm }.
# Behind it: what made it hard · 30
report-caption-hard = {" "}Hard to hear: { $why }.
# The listener's words for a rhythm and for what made it hard, as they stand in the record · 40
report-heard-regular = regular
# As above · 40
report-heard-irregular = irregular
# As above · 40
report-heard-too-quiet = too quiet
# As above · 40
report-heard-clipped = clipped
# As above · 40
report-heard-hum = hum
# As above · 40
report-heard-talk = talk over the signal
# As above · 40
report-heard-no-pulse = no pulse yet
# As above · 40
report-heard-broken = broken samples
# As above · 40
report-heard-moved = probe moved
# Heading · 50
report-versions = Rules, versions and sources
# Program and listener · 50
report-program = Program cuffnote { $program }, listener { $listener }.
# Program alone · 70
report-program-alone = Program cuffnote { $program }. No listener was running.
# A set of guidance · 60
report-set = {" "}{ $set }, copy { $version }, to be reviewed by { $on }.
# The record's chain · 100
report-chain = {" "}Head of a hash chain, as it was given and not checked: { $head }.
# Where the visit is kept; short, or a plain report would not be one page · 40
report-kept = Record book: visit { $visit }, head { $head }.
# The same of a report made from a file; a safety sentence · 190
report-from-file = Made from a file, which anyone can edit: this is no record. The record book can confirm the file (cuffnote book confirm).
# Name of the frame around a table, for those who cannot see it · 50
report-table = Table of readings
