### What was found and what was lacking: the sentences of a result. They stand in the report, on the result screen and,
### in English, in visit.json. Each message: where it stands, and how many letters it may have.
### No sentence calls anything safe or normal by itself.

## Sides, sites, arteries

# The patient's right side, within sentences · 30
clinical-side-right = patient's right
# The patient's left side · 30
clinical-side-left = patient's left
# The arm's artery · 30
clinical-artery-brachial = brachial
# The artery on the back of the foot · 30
clinical-artery-dp = dorsalis pedis
# The artery behind the inner ankle bone · 30
clinical-artery-pt = posterior tibial
# The artery in front of the outer ankle bone · 30
clinical-artery-peroneal = peroneal
# The great toe · 30
clinical-artery-toe = great toe
# A site in full, within sentences · 60
clinical-site =
    { $side ->
        [left] patient's left
       *[right] patient's right
    }, { $artery ->
        [arm] brachial
        [dp] dorsalis pedis
        [pt] posterior tibial
        [peroneal] peroneal
       *[toe] great toe
    }

## Single words of a result

# Behind a source: seen in the publication · 40
clinical-status-verified = verified
# Behind a source: seen only where another page quotes it · 50
clinical-status-secondary = secondary source, unverified
# Behind a source: from memory. Holds the words of clinical-from-memory · 50
clinical-status-from-memory = from memory, unverified
# Behind a source: a service's own rule · 40
clinical-status-own = the service's own
# The words by which a source that nobody has looked up is known · 30
clinical-from-memory = from memory
# How the index is formed: the standard · 70
clinical-method-higher = higher ankle artery over the higher arm
# How the index is formed · 70
clinical-method-lower = lower ankle artery over the higher arm
# How the index is formed · 80
clinical-method-mean = mean of the two ankle arteries over the higher arm
# How the index is formed · 70
clinical-method-pt-only = posterior tibial over the mean of both arms
# How the index is formed · 80
clinical-method-same-side-arm = higher ankle artery over the arm of the same side
# How the patient lay, behind "the patient was" · 30
clinical-posture-supine = lying flat
# How the patient lay · 40
clinical-posture-head-raised = semi-recumbent
# How the patient lay · 30
clinical-posture-sitting = sitting
# How the patient lay · 40
clinical-posture-other = in another position
# What a number or limit is about · 40
clinical-quantity-index = index
# What a number or limit is about · 40
clinical-quantity-ankle = ankle pressure
# What a number or limit is about · 40
clinical-quantity-toe = toe pressure
# What a number or limit is about · 40
clinical-quantity-toe-index = toe-brachial index
# The clinician's word for a waveform, in the table of pressures · 30
clinical-waveform-multiphasic = multiphasic
# As above · 30
clinical-waveform-triphasic = triphasic
# As above · 30
clinical-waveform-biphasic = biphasic
# As above · 30
clinical-waveform-damped = damped
# As above · 30
clinical-waveform-monophasic = monophasic
# As above · 30
clinical-waveform-absent = no sound heard
# As above · 30
clinical-waveform-unclear = waveform uncertain
# What was done about a wound where the cuff goes · 50
clinical-wound-covered = covered with film and measured
# As above · 50
clinical-wound-cuff-elsewhere = cuff elsewhere on the limb
# As above · 30
clinical-wound-left-out = left out
# What the visit was for, in the head · 40
clinical-kind-full = both legs
# As above · 40
clinical-kind-one-leg =
    { $side ->
        [left] patient's left
       *[right] patient's right
    } leg only
# As above; the site as in clinical-site · 30
clinical-kind-one-artery = { $site } only
# As above · 40
clinical-kind-toes = toes only
# As above · 40
clinical-kind-without-index = no pressures
# As above · 50
clinical-kind-exercise = at rest, then after exercise
# As above; the day in figures · 50
clinical-kind-paper = from paper, measured on { $on }
# As above, with the code of who measured · 50
clinical-kind-paper-by = from paper, measured on { $on } by { $by }
# The ulcer that the test is about, in the head · 40
clinical-ulcer =
    { $side ->
        [left] patient's left
       *[right] patient's right
    } leg
# The same with its place in the clinician's words · 40
clinical-ulcer-at =
    { $side ->
        [left] patient's left
       *[right] patient's right
    } leg, { $place }

## What stands at one site

# A pressure or a difference of pressures · 10
clinical-mmhg = { $n } mmHg
# In place of a pressure · 40
clinical-not-yet = not yet measured
# In place of a pressure, and of one attempt · 50
clinical-not-compressible-at = not compressible at { $limit } mmHg
# In place of a pressure, and of one attempt · 40
clinical-no-signal = no signal found
# In place of a pressure, with the clinician's reason · 40
clinical-not-measured = not measured: { $reason }
# Of an attempt that did not end · 40
clinical-not-finished = not finished
# In place of a pressure: what contradicts what · 80
clinical-conflict-open = a reading and "not compressible" contradict each other
# In place of a pressure: readings too far apart to be averaged · 70
clinical-conflict-apart = readings of { $low } and { $high } mmHg contradict each other
# Why an attempt does not count: its reason · 30
clinical-left-out-withdrawn = withdrawn: { $why }
# Why an attempt without a reading does not count: its own words before it · 50
clinical-left-out-reading = { $what }; another attempt gave a reading
# Why an attempt does not count · 110
clinical-left-out-first-above = first reading of the first arm, more than 10 mmHg above the other arm
# Why an attempt does not count · 110
clinical-left-out-first-apart = first reading of the first arm, more than 10 mmHg from its repeat

## What rules ask for

# Why a further attempt is asked for · 200
clinical-wanted-arms = the arms differ by more than 15 mmHg: repeat; if they still do, the higher arm from then on (NICE NG136 1.2.1)
# As above · 180
clinical-wanted-first-arm = the first arm lies more than 10 mmHg above the other: repeat it at the end (AHA 2012, unverified)
# As above; the conflict as in clinical-conflict · 90
clinical-wanted-conflict = { $conflict }: measure again, then withdraw the wrong one
# As above · 120
clinical-wanted-irregular = the rhythm is irregular: { $needed } readings or more, averaged (BIHS 2019)
# As above · 200
clinical-wanted-second = the second reading is more than { $limit } mmHg above the first: repeat (rule of a published study manual, nsrr/cfs-documentation)
# The rule for the first arm · 100
clinical-first-arm-all = first arm: all accepted readings are averaged
# The rule for the first arm · 230
clinical-first-arm-discard = first arm: a first reading more than 10 mmHg above the other arm is replaced by its repeat (AHA 2012, by way of a secondary page; unverified)
# The rule for the first arm · 230
clinical-first-arm-average = first arm: first reading and repeat are averaged, unless they differ by more than 10 mmHg, then the first is left out (AHA 2012, from memory; unverified)

## A leg's remarks

# A site and why it has no pressure, in lists · 10
clinical-missing = { $site }: { $why }
# Under a leg's number · 120
clinical-one-artery = The ankle pressure rests on one artery only: { $used } ({ $missing }).
# In place of a leg's number · 80
clinical-no-ankle = No index: no ankle pressure ({ $missing }).
# In place of a leg's number; a safety sentence · 220
clinical-no-signal-at-all =
    No index: no signal was found in the { $side ->
        [left] patient's left
       *[right] patient's right
    } dorsalis pedis or posterior tibial. This does not mean an index of zero.
# Under a leg's number; a safety sentence · 120
clinical-not-compressible = Not compressible: the signal was still there at { $limit } mmHg ({ $sites }).
# In place of a leg's number · 180
clinical-conflict = No index: at the { $site } { $conflict }. Measure again, or withdraw one of them with its reason; while both stand there is no index.
# Under a leg's number; a safety sentence · 200
clinical-one-arm = Only one arm could be used, { $used } ({ $other }: { $why }): the index may be falsely high, for the other arm could be higher.
# Under a leg's number; a safety sentence · 200
clinical-arm-open = The arm that could not be compressed ({ $arm }) is the higher one, so an index over the other arm is falsely high: no band.
# Before a leg's number; a safety sentence · 170
clinical-provisional = Provisional, without a band: the other arm is not yet measured ({ $other }). Where it cannot be, say so.
# In place of a leg's number · 120
clinical-no-arm = No index: no usable arm pressure ({ $missing }); ankle pressures only.
# Under a leg's number, where an artery stayed open · 90
clinical-more-than = The index is above { $lowest }. By how much is not known.
# First line of a leg · 70
clinical-headline =
    The { $side ->
        [left] patient's left
       *[right] patient's right
    } leg: ankle-brachial index { $index } ({ $low } to { $high }), { $method }.
# First line of a leg without an interval · 70
clinical-headline-bare =
    The { $side ->
        [left] patient's left
       *[right] patient's right
    } leg: ankle-brachial index { $index }, { $method }.
# First line of a leg without an index · 80
clinical-headline-none =
    The { $side ->
        [left] patient's left
       *[right] patient's right
    } leg: no ankle-brachial index.
# In place of recommendations; a safety sentence · 280
clinical-withheld = No recommendation is shown: the patient was { $posture }, and published limits are for lying flat (a seated index is about 0.35 higher on average, BMC Prim Care 2014;15:69).
# A red flag before a leg's number · 50
clinical-red-flag = Red flag, above every number: { $flag }.
# A caution before a leg's number · 30
clinical-caution = Caution: { $flag }.

## The toe

# Under a leg's number · 70
clinical-toe =
    The { $side ->
        [left] patient's left
       *[right] patient's right
    } toe: { $pressure }, toe-brachial index { $index } ({ $low } to { $high }).
# The same of a reading from another instrument · 110
clinical-toe-entered =
    The { $side ->
        [left] patient's left
       *[right] patient's right
    } toe: { $pressure }, entered from another instrument, toe-brachial index { $index } ({ $low } to { $high }).
# Without an index · 70
clinical-toe-bare =
    The { $side ->
        [left] patient's left
       *[right] patient's right
    } toe: { $pressure }, no toe-brachial index.
# The same of a reading from another instrument · 110
clinical-toe-bare-entered =
    The { $side ->
        [left] patient's left
       *[right] patient's right
    } toe: { $pressure }, entered from another instrument, no toe-brachial index.
# A toe that gave no pressure, and why · 70
clinical-toe-none =
    The { $side ->
        [left] patient's left
       *[right] patient's right
    } toe: { $why }; no toe-brachial index.

## Guidance

# What made a band hold: a quantity and its value · 10
clinical-because = { $quantity } { $value }
# What made a band hold: an artery that stayed open · 70
clinical-because-open = arteries that could not be compressed
# In place of limits, where an artery stayed open · 40
clinical-limits-open = not compressible
# A range that holds for every value · 20
clinical-range-any = any
# A range between two ends of which one at least does not belong to it · 20
clinical-range-between = { $above } and { $below }
# Two ends of an interval · 20
clinical-ends = { $low } to { $high }
# Two ends of an interval of pressures · 20
clinical-ends-mmhg = { $low } to { $high } mmHg
# What a set says, in its own words; must begin with the set · 20
clinical-guidance-quoted = { $set } for { $because } [{ $when }]: { $words }{ $more }.
# What a set says, in its sense; must begin with the set · 40
clinical-guidance-sense = { $set } for { $because } [{ $when }]: in its sense: { $words }{ $more }.
# Further words of a set, behind the first · 30
clinical-guidance-more = ; in its sense: { $more }
# A set's own words, which are quoted in the language of the publication · 10
clinical-quote = "{ $words }"
# A set's own words, and what they mean in our translation · 50
clinical-quote-ours = "{ $words }" (our translation: "{ $ours }")
# What a set means, in our translation · 50
clinical-sense-ours = { $ours } (our translation)
# Several bands of one set; must begin with the set · 70
clinical-several = { $set }: several bands apply at once, each as printed.
# A set that has no band for a value; must begin with the set · 40
clinical-no-band = { $set } has no band for { $quantity } { $value }.
# Rounding that decided a band · 160
clinical-rounded = Rounding moved the { $quantity } across a limit of { $set } ({ $range }): { $exact } before rounding, { $rounded } after it, half up to two decimals.
# A limit inside the interval; must begin with the set; a safety sentence · 160
clinical-crossing-one = { $set }: the limit { $limits } for the { $quantity } lies within the measurement uncertainty ({ $inside }). { $holds }{ $settle }
# The same of several limits · 160
clinical-crossing-many = { $set }: the limits { $limits } for the { $quantity } lie within the measurement uncertainty ({ $inside }). { $holds }{ $settle }
# Which band holds meanwhile, behind the sentence before · 100
clinical-crossing-own = The value keeps its own band, { $own }: the more cautious side.
# The same where it is another one · 150
clinical-crossing-meanwhile = The value keeps its own band, { $own }; until it is settled the more cautious side holds: { $meanwhile }.
# What could settle it, behind the sentence before · 90
clinical-crossing-settle = {" "}A repeat of one pressure could settle it: { $site }.
# In place of a band's name · 40
clinical-crossing-none = none of this set

## A leg in one line

# First page, "In short" · 60
clinical-short =
    { $side ->
        [left] Patient's left
       *[right] Patient's right
    } leg: { $number }{ $toe }. { $says }
# A number in it · 20
clinical-short-above = ABI above { $lowest }
# A number in it · 20
clinical-short-interval = ABI { $index } ({ $low } to { $high })
# A number in it · 20
clinical-short-index = ABI { $index }
# In place of a number; a safety sentence · 60
clinical-short-none = no ABI, which does not mean zero
# Behind the number · 40
clinical-short-toe = , toe-brachial index { $index }
# What is said of it · 100
clinical-short-provisional = Provisional: the other arm is still to be measured.
# What is said of it · 60
clinical-short-no-set = No guidance is switched on.
# A set whose words are from memory · 30
clinical-short-from-memory = { $set } (from memory)
# What the first set says; must begin with the set · 10
clinical-short-says = { $set }: { $says }.
# The first set has nothing to say · 60
clinical-short-nothing = { $set } has no recommendation here.
# A limit inside the interval, behind the words before · 50
clinical-short-crossing = {" "}The interval crosses { $limits }.

## Differences

# Among the notes · 330
clinical-arms-differ =
    The arms differ by { $apart }, the { $side ->
        [left] patient's left
       *[right] patient's right
    } arm is higher. NICE NG136 1.2.1 for more than 15 mmHg: repeat; if they still do, the higher arm from then on. AHA 2012 by way of a secondary page: above 15 mmHg a subclavian stenosis is suspected.
# Among the notes · 30
clinical-rule-in-use = Rule in use, { $rule }.
# Under a leg's number · 240
clinical-arteries-differ = Dorsalis pedis ({ $dp } mmHg) and posterior tibial ({ $pt } mmHg) differ by { $apart }: more than { $limit } mmHg is pointed out here so that probe and site are looked at again (no guideline cut-off was found).
# Under a leg's number · 120
clinical-exercise =
    After exercise the ankle pressure of the { $side ->
        [left] patient's left
       *[right] patient's right
    } leg is { $after } mmHg ({ $change }).
# The same with the minutes since it ended · 140
clinical-exercise-since =
    After exercise, { $minutes } min after it ended the ankle pressure of the { $side ->
        [left] patient's left
       *[right] patient's right
    } leg is { $after } mmHg ({ $change }).
# Within the sentence before · 30
clinical-exercise-fall = a fall of { $by }
# Within the sentence before · 30
clinical-exercise-rise = a rise of { $by }
# Under a leg's number · 220
clinical-exercise-late = The published criteria are for pressures taken 1 minute after exercise (Mahe 2015, Medicine): this one is later, and a fall may have passed.
# Under a leg's number · 180
clinical-exercise-pressure = The ankle pressure fell by more than 30 mmHg: a published post-exercise criterion (Mahe 2015, Medicine; Kyte 2023).
# Under a leg's number · 230
clinical-exercise-index = The index fell by more than 20 %: a published post-exercise criterion (Mahe 2015, Medicine); 60 % of healthy young adults show it too (Kyte 2023).

## Notes and assumptions

# Among the notes · 30
clinical-note-method = Method: { $method }.
# Among the notes · 200
clinical-note-other-method = Another method than the standard one: the limits of published guidance were set for the higher ankle artery over the higher arm.
# Among the notes · 260
clinical-note-measurement-only = The interval is of the measurement only: two people or two visits differ more (limits of agreement about 0.16 in one study, Casey 2020, J Foot Ankle Res).
# Among the notes · 250
clinical-note-lower = Asked about a leg, each leg stands for itself; asked about cardiovascular risk, the lower of the two counts, { $lower } (AHA 2012, from memory).
# Among the notes · 160
clinical-note-rate-assumed = Assumed for the interval: deflation at { $rate } mmHg/s ({ $measured } of { $all } readings have a measured rate).
# Among the notes · 120
clinical-note-rate-measured = The deflation rate of every reading was measured from the needle.
# Among the notes · 100
clinical-note-beat-heard = The beat interval is that of the pulse heard.
# Among the notes · 110
clinical-note-beat-assumed = Assumed for the interval: a heart rate of { $rate } a minute.
# Among the notes · 190
clinical-note-own-pressure = The patient's own pressure is assumed to vary by { $own } mmHg (standard deviation) from beat to beat.
# Among the notes · 240
clinical-note-untapped = { $untapped } of { $all } readings have no mark in the sound, so up to { $without } s from sound to gauge is allowed for (own assumption; { $with } s with a mark).
# Among the notes · 80
clinical-note-other-chain =
    { $events ->
        [one] { $events } event was
       *[other] { $events } events were
    } written by another chain, { $chain }.

## Several laptops

# Among the notes; kind and reason as the record has them · 60
clinical-aside = Set aside, and not counted: event { $n } ({ $kind }{ $whose }): { $why }.
# Behind a kind or a time · 20
clinical-of-chain = , of chain { $chain }
# Among the notes, and before a leg's number; a safety sentence · 150
clinical-disagree = Two laptops disagree on { $what }: { $said }. "{ $stands }" stands until someone settles it by one more amendment.
# One of the values in it · 20
clinical-disagree-said = { $value } by { $who } on { $at }{ $whose }

# What two laptops disagree on, within clinical-disagree · 60
clinical-about-outcome = the outcome of attempt { $n }
# As above · 60
clinical-about-mark = the mark of attempt { $n }
# As above · 60
clinical-about-site = the site of attempt { $n }
# As above · 60
clinical-about-opening = what the visit opened with
# As above · 60
clinical-about-next-test = the day of the next test
# As above; the kind as the record has it · 60
clinical-about-other = an event of the kind { $kind }
# A value in it · 30
clinical-value-mark = a mark at { $seconds } s
# A value in it: the record's code · 20
clinical-value-record = record { $record }

## Why an event is set aside: within clinical-aside

# The reason in it · 57
clinical-aside-closed = the visit was closed before
# As above · 56
clinical-aside-opened-twice = the visit was opened twice
# As above · 74
clinical-aside-number-used = this attempt's number was used before
# As above · 80
clinical-aside-no-attempt = it names an attempt that was never begun
# As above · 61
clinical-aside-no-mark = there is no mark to take back
# As above · 132
clinical-aside-ended = the attempt has ended before: amend the outcome, or begin a new attempt
# As above · 93
clinical-aside-zero = 0 mmHg is no reading: the outcome is "no signal"
# As above · 129
clinical-aside-undo = it undoes an event that does not stand before it, or cannot be undone
# As above · 42
clinical-aside-no-amendment = it is no amendment
# As above · 93
clinical-aside-not-before = it amends an event that does not stand before it
# As above · 73
clinical-aside-of-aside = it amends an event that is set aside
# As above · 80
clinical-aside-old-value = the old value it names never stood there
# As above · 110
clinical-aside-other-kind = it would turn an event into one of another kind or attempt
# As above · 88
clinical-aside-opened-elsewhere = the visit was opened before, on another chain
# As above · 103
clinical-aside-without-visit = it was written by a chain that did not have this visit
# As above · 132
clinical-aside-closed-elsewhere = the visit was closed, or taken over by another laptop, at the same time

## Cuffs

# Among the findings; a safety sentence · 180
clinical-cuff-narrow = The cuff is too narrow for { $around } cm: its bladder should be at least { $percent } % of that in width. A narrow cuff reads too high.
# Among the findings · 160
clinical-cuff-short = The cuff is too short for { $around } cm: its bladder should go at least { $percent } % of the way round.
