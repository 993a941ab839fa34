### A drill in hand, and what came of it. Each message: where it stands, and how many letters it may have. Targets stand side
### by side, on a telephone too: the shorter the better.

## In hand

# A title, on a telephone · 20
drill-number = Drill { $number } of { $count }
# A title: the lesson's name · 16
drill-title = { $lesson }, drill { $number } of { $count }
# A title, where nobody knows how many there will be · 16
drill-title-open = { $lesson }, drill { $number }
# A target: no sound at once · 14
drill-silence = Silence
# A target: the lesson ends · 20
drill-end = End here
# In place of the feedback, where it comes later or never · 16
drill-kept = Kept.
# A target · 14
drill-next = Next
# The name of the gauge for a screen reader · 16
drill-gauge = gauge
# A target: the bulb · 12
drill-squeeze = Squeeze
# A target: the valve opens wholly · 12
drill-let-go = Let go
# A target: the valve closes · 12
drill-shut = Shut
# A target: the valve · 20
drill-open-more = Open more
# A target: the valve · 20
drill-close-little = Close a little
# The valve's slider, with its keys · 36
drill-valve = Valve, Up and Down
# The key of that name · 10
drill-key-up = Up
# The key of that name · 10
drill-key-down = Down
# A target: the reading is kept · 12
drill-keep = Keep
# A target: the last digit goes · 12
drill-erase = Erase
# A target: the first pulse is back · 12
drill-tap = Tap
# A target: the second ear's tap · 20
drill-teacher-taps = Teacher taps
# A target · 24
drill-no-pulse = No pulse returned
# Under the target · 50
drill-tapped = Tapped. The last tap counts.
# As above · 50
drill-teacher-tapped = The teacher has tapped.
# Above the number that is typed · 60
drill-asks = Pressure at the tap, then Enter
# As above · 60
drill-asks-student = The student's reading, then Enter
# As above · 60
drill-asks-teacher = The teacher's reading, then Enter
# In place of it, on a recording · 70
drill-asks-nothing = This recording has no gauge reading: Enter ends it
# The name of the picture for a screen reader · 40
drill-picture = the sound as a picture
# Within that picture, narrow · 50
drill-in-place = the last 12 s, in place of the sound
# The name of a picture for a screen reader · 50
drill-truth-and-tap = the sound with the truth and your tap
# As above · 50
drill-to-hear = the sound, to be heard again
# As above · 50
drill-both-taps = the sound with both taps
# At a mark in the picture · 36
drill-teachers-tap = the teacher's tap

## What is asked of a recording and of live sound; kinds have theirs in practice.ftl

# Under the title · 160
drill-task-recording = A recording: someone else worked the cuff. Tap at the first of two returning pulses in rhythm.
# Under the title · 190
drill-task-live = Inflate until the sound stops, then deflate slowly. Each of you taps at the first returning pulse. Then type both readings.

## What is heard

# Small: no output · 80
drill-silent = No sound is played: picture and clock go on.
# Small · 50
drill-opening = Opening the loudspeaker.
# Small; a safety sentence · 120
drill-live = Live sound: the true moment is not known. Use the patient's own cuff.
# Small · 60
drill-silenced = Silenced. The picture and the clock go on.
# Small; where it plays, as the system names it · 80
drill-playing = Playing on { $to }, never above a quarter of full scale.
# At the picture's row of beats, narrow · 60
drill-truth-simulated = simulated: the truth is known
# As above; who confirmed it, as below · 40
drill-truth-recording = recording: the truth is { $who }
# As above · 60
drill-truth-live = live sound: the true moment is not known
# Within sentences: what counts as the truth of a recording · 60
drill-confirmed-tap = the clinician's tap of a kept reading
# As above · 50
drill-confirmed-mark = the mark of an over-reader

## What is missing

# A notice · 30
drill-missing-word = Choose a word
# A notice · 110
drill-missing-tap = First tap at the first returning pulse, or say that none returned
# A notice · 40
drill-missing-reading = Type the pressure
# A notice · 70
drill-missing-pressure = A pressure is 0 to 300 mmHg: read the gauge again

## The simulated patient speaks

# Large: closed too long; the deed behind it · 70
drill-patient-enough = "Please let it go now." Open the valve.
# Large: inflated too high; the deed behind it · 70
drill-patient-hurts = "That hurts!" Higher than needed: open the valve.
# Large · 40
drill-patient-numb = "It is going numb."
# Large · 40
drill-patient-tight = "That is very tight."

## The score

# A time within a sentence · 4
drill-ms = { $n } ms
# Feedback: the tap · 90
drill-tap-right = You tapped { $time } after the first pulse, before the next one.
# As above · 90
drill-tap-before = You tapped { $time } before the first pulse.
# As above · 90
drill-tap-late =
    You tapped { $beats ->
        [1] one beat
        [2] two beats
        [3] three beats
       *[other] { $beats } beats
    } late: { $time } after the first pulse.
# As above · 90
drill-tap-early =
    You tapped { $beats ->
        [1] one beat
        [2] two beats
        [3] three beats
       *[other] { $beats } beats
    } early: { $time } before the first pulse.
# Feedback: the needle; the difference as below · 100
drill-needle = The needle stood at { $truth } at the first pulse, at { $tap } when you tapped: { $off }.
# As above, with what was read · 120
drill-needle-read = The needle stood at { $truth } at the first pulse, at { $tap } when you tapped; you read { $read }: { $off }.
# Within it · 24
drill-off-none = no difference
# Within it · 16
drill-off-low = { $n } too low
# Within it · 16
drill-off-high = { $n } too high
# Feedback: the valve · 130
drill-fall-fast = The cuff fell by { $rate } mmHg a second: too fast. The pressure is a beat too low before you can hear it.
# As above · 130
drill-fall-slow = The cuff fell by { $rate } mmHg a second: slower than needed. The limb fills, and the patient waits.
# As above · 90
drill-fall-right = The cuff fell by { $rate } mmHg a second: about right (2 to 3).
# Feedback: what the reading does to the index · 120
drill-effect = With an arm of { $arm } mmHg the index would be { $read } by your reading and { $truth } by the true pressure.
# Behind it; a set of guidance · 40
drill-effect-same = { $set } says the same of both.
# Behind it; a set of guidance and what it calls each, quoted · 50
drill-effect-other = { $set } says "{ $read }" of the one and "{ $truth }" of the other.

## Why there is no score; kept in class files in English

# Within a sentence, and alone · 100
drill-no-closed = the signal never stopped: inflate at least 20 above the pressure at which it stops
# As above · 110
drill-no-back = no pulse came back that could be heard: deflate further before you stop
# As above · 110
drill-no-occluded = you tapped while the artery was occluded: no pulse had returned
# As above · 80
drill-no-tap = the pulse returned and you did not tap
# As above · 80
drill-no-return = no pulse returned during this deflation
# Where the cursor is; why, as above · 40
drill-no-score-here = No tap here could be scored: { $why }.

## A word

# Feedback: the answer was right · 14
drill-word-right = { $word }: right.
# Feedback: the answer was wrong · 40
drill-word-wrong = You said { $answer }; it was { $right }.

## Two ears

# Feedback: differences as below, joined by commas · 40
drill-between = Student less teacher: { $all }.
# Within it · 24
drill-between-beats = { $beats } beats ({ $ms } ms)
# Within it · 36
drill-between-unknown = beats not known ({ $ms } ms)
# Within it · 40
drill-between-read = { $mmhg } mmHg by the readings
# Within it · 36
drill-between-needle = { $mmhg } by the needle
# Behind it · 110
drill-compared = Beats are those the listener detected. Neither tap is the truth.
# In place of it · 80
drill-ended-early = Ended: one or both readings are missing.

## A whole visit

# The index of a leg by readings and by truth · 120
drill-index =
    { $side ->
        [left] Patient's left
       *[right] Patient's right
    } leg: index { $read } by your readings, { $truth } by the true pressures.
# Behind it · 60
drill-index-other = The guidance would advise something else.
# In place of an index · 24
drill-not-formed = not formed

## The lesson is over

# A title: the lesson's name · 16
drill-over = { $lesson }: over
# Large · 90
drill-over-sealed = An examination, sealed: only the teacher's word opens it.
# A title · 24
drill-again = Case { $number } again
# The name of its picture for a screen reader · 60
drill-again-sound = the sound of this case, to be heard again
# A target · 36
drill-hear-again = Hear case { $number } again
# A target · 12
drill-done = Done
# The threshold in noise · 150
drill-threshold = In noise you find the return in 70.7 % of trials at { $db } dB of signal over noise ({ $trials } trials; two down, one up: Levitt 1971).
# Within a line of sums · 30
drill-sum-passed = { $passed } of { $count } passed
# Within it · 50
drill-sum-taps = taps { $mean } ms late, spread { $spread }
# The same where they came before the return · 50
drill-sum-taps-early = taps { $mean } ms early, spread { $spread }
# Within it · 50
drill-sum-readings = readings { $bias } mmHg (limits { $low } to { $high })
# Within it: a percentage · 30
drill-sum-zero = { $percent } % of the readings end in 0
