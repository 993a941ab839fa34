### Pages of practice in HTML: of one session, of a class, of a student. Each message: where it stands, and how many letters it
### may have.

## Heads

# The title of a session's page: an examination · 16
page-examination = Examination: { $lesson }
# As above: practice · 16
page-practice = Practice: { $lesson }
# Under it · 50
page-student = Student { $code }, begun { $begun }.
# Behind it · 70
page-recordings = Recordings among them; no clinical record.
# Behind it · 70
page-simulated = Simulated patients; no clinical record.
# The title of a class's page · 12
page-class = Class
# Under it · 130
page-class-what = { $count } sessions. Students by code. Simulated patients and recordings; no clinical record.
# Under the title of a student's page · 140
page-course-what = { $count } drills until { $day }. Simulated patients and recordings; no clinical record, and no certificate.

## Titles

# A title · 50
page-next-and-why = What to practise next, and why
# A title · 50
page-due = When each kind is due
# A title · 24
page-progress = Progress
# A title · 24
page-students = Students
# A title · 40
page-standing = Where each stands
# Under it · 150
page-standing-what = What each would be told to practise next when the newest session was begun; in the order of the codes.
# A title · 80
page-confused = Sounds taken for others, all students together
# A title · 40
page-cases = Cases, the hardest first

## Columns and rows

# A column · 12
page-code = Code
# A column · 20
page-last-session = Last session
# A column · 16
page-next = Next
# A column · 40
page-threshold = Threshold in noise, dB
# In a cell · 24
page-examined = { $passed } of { $count } passed
# In a cell · 16
page-sealed = { $count } sealed
# A column or row · 16
page-drills = Drills
# A column · 16
page-passed = Passed
# A row · 60
page-passed-row = First pulse tapped, or word right
# A row · 50
page-lag-row = Mean lag of the tap, ms
# A column · 24
page-lag = Lag, ms
# A column or row · 24
page-spread = Spread, ms
# A row · 50
page-readings = Readings less truth, mmHg
# A row · 80
page-limits = Limits (bias and { $times } SD; Bland & Altman 1986)
# In a cell · 12
page-range = { $low } to { $high }
# A row · 50
page-zero-row = Readings that end in 0
# A column · 20
page-zero = End in 0
# A row · 80
page-advice-row = Readings that would have led to other advice
# A column · 24
page-advice = Other advice
# A column · 12
page-case = Case
# A column · 16
page-asked = Asked
# A column · 20
page-tap = Tap, ms
# A column · 16
page-beats = Beats
# A column · 16
page-read = Read
# A column · 12
page-true = True
# A column · 20
page-fall = Fall, mmHg/s
# A column · 20
page-came-to = Came to
# A column · 16
page-done = Done
# A column · 50
page-size = Mean size of the error, ms
# A column · 12
page-kind = Kind
# A column · 20
page-due-column = Due
# A column · 40
page-right-of = Right, of the last
# In a cell · 8
page-of = { $right } of { $count }
# A column · 30
page-interval = 95 % interval, %

## In cells and sentences

# Behind a case: who confirmed its truth, as in drill-confirmed · 40
page-truth = (recording; truth: { $who })
# What a drill came to: a word · 12
page-word-right = { $answer }: right
# As above · 20
page-word-wrong = { $answer }; it was { $right }
# As above: the index by the reading, and the true one · 24
page-index = index { $read } for { $truth }
# Behind it · 24
page-index-other = { $index }: other advice
# As above · 30
page-first = first pulse
# As above · 36
page-not-first = not the first pulse
# The threshold in noise · 230
page-noise = In noise the return was found in 70.7 % of trials at a ratio of signal to noise of { $db } dB (spread of the reversals { $spread } dB, { $trials } trials; two down, one up: Levitt 1971).
# Under the table · 480
page-notes = Tap: milliseconds after the first of two pulses in rhythm that an ideal observer hears; late is positive. Beats: further pulses before the tap. True: the cuff's pressure at that first pulse. Of a recording the truth is what stands beside its name, and beats are those that the listener found. This page does not certify anyone.
# A curve's name · 60
page-curve-lag = Lag of the taps for the first pulse, ms
# A curve's name · 40
page-curve-passed = Drills passed, %
# Under the curves · 260
page-curve-notes = Each mark is ten drills, oldest at the left, with its 95 % interval (of the lag by Gauss's law; of the share by Wilson 1927). Marks whose intervals overlap much may differ by chance alone.
# In place of a curve · 110
page-curve-none = { $name }: a curve begins with the second stretch of ten drills.
