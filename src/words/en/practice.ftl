### Practice: where a lesson is chosen, what each kind asks, the course. Each message: where it stands, and how many letters
### it may have. Names of kinds and lessons are kept in class files in English.

## The screen

# A title · 20
practice-title = Practise
# A target · 24
practice-listen-first = Listen first
# A target · 30
practice-visits = Back to visits
# A target · 36
practice-save-class = Save the class file
# A target, and the title of its screen · 36
practice-try = Try it on a sound
# A target, and the title of its screen · 16
practice-class = The class
# Under the title · 230
practice-begin-here = New to the sound? Listen first: a guided hour without a test. Then work on simulated patients: listen, use bulb and valve, tap at the first pulse, read the gauge.

## A lesson of one's own choosing

# A field · 60
practice-student = Code of the student, never a name
# A field, narrow · 50
practice-seed = Seed (repeats the same cases)
# A choice: how many · 16
practice-drills = { $count } drills
# A choice: a second ear taps too · 16
practice-two-ears = two ears
# A target · 30
practice-begin = Begin the lesson
# A choice: when it is told how it went · 30
practice-feedback-at-once = feedback at once
# As above · 30
practice-feedback-at-the-end = feedback at the end
# As above: never on the screen · 20
practice-feedback-hidden = examination

## Kinds

# A choice; a kind of drill, also within sentences · 40
practice-kind-return = First return
# As above · 40
practice-kind-vein = Artery beside a vein
# As above · 40
practice-kind-waveform = Multiphasic or monophasic
# As above · 40
practice-kind-damped = Damped or not
# As above · 40
practice-kind-regularity = Regular or irregular
# As above · 40
practice-kind-noise = In rising noise
# As above · 40
practice-kind-visit = A whole visit
# Under the choices: what is asked · 190
practice-task-return = Inflate until the sound stops. Deflate slowly. Tap at the first of two pulses in rhythm, and type the pressure.
# As above · 190
practice-task-vein = A vein blows beside the artery. Tap at the first pulse of the artery, and type the pressure.
# As above · 190
practice-task-waveform = Leave the cuff open and listen. Does the flow go back after each beat (multiphasic) or not (monophasic)?
# As above · 190
practice-task-damped = Leave the cuff open and listen. Does each beat rise slowly (damped) or quickly (not damped)?
# As above · 190
practice-task-regularity = Leave the cuff open and listen. Is the rhythm regular?
# As above · 190
practice-task-noise = Tap at the first return. The noise grows when you find it twice, and falls when you miss it.
# As above · 190
practice-task-visit = Measure each site in turn. Then see what your index would have been.

## Words for a sound

# A target, and within sentences: the answer to a drill · 24
practice-answer-not-damped = not damped
# As above · 24
practice-answer-regular = regular
# As above · 24
practice-answer-irregular = irregular
# Within sentences: that no pulse came back · 24
practice-answer-nothing = nothing
# Behind the right word: what it suggests (common practice) · 150
practice-hint-multiphasic = Flow goes back after each beat: the vessels beyond resist, as they should at rest.
# As above · 150
practice-hint-monophasic = Flow goes forward only: the artery may be narrowed upstream, or the limb warm or inflamed.
# As above · 150
practice-hint-not-damped = A quick rise: nothing upstream weakens the pulse.
# As above · 150
practice-hint-damped = A slow rise and a weak pulse: severe narrowing upstream is likely.
# As above · 150
practice-hint-irregular = Deflate more slowly, and take several readings (BIHS 2019: three or more, averaged).
# As above · 150
practice-hint-regular = A regular rhythm tells you when the next pulse is due.

## From the teacher

# A title · 30
practice-from-teacher = From the teacher
# A field · 40
practice-file = Teacher's lesson file
# In a browser; the file's name · 90
practice-file-given = Teacher's file: { $name }. To change it, open another or drop it on the page.
# In a browser · 90
practice-file-none = No teacher's file yet. Open one, or drop it on the page.
# A target · 24
practice-open-file = Open a file
# A field · 60
practice-code = Opening code, of a sealed examination
# A target · 40
practice-begin-file = Begin the teacher's lesson
# A target, and the name of such a lesson · 40
practice-live = Two listeners, live sound
# A target · 40
practice-seal = Seal it as an examination
# A field whose letters are not shown · 60
practice-word = Teacher's word, which opens what is done
# Under it · 130
practice-word-help = The teacher types it, 12 letters or more. Without it nobody can read the examination.

## The course

# A title · 30
practice-course = The course of { $student }
# What to practise next · 90
practice-next-listen = Listen first: hear every sound before you are asked.
# As above; a kind within it · 60
practice-next-begin = Next: { $kind }. You have not begun it.
# As above · 80
practice-next-apart = Next: { $kind }. You often take one sound for the other.
# As above · 150
practice-next-wait = Next: First return. You often tap before the first pulse. A single sound does not count: wait for the rhythm.
# As above · 150
practice-next-sooner = Next: First return. You tap late. Tap at the first pulse, not when you are certain: the last tap counts.
# As above · 150
practice-next-steadily = Next: First return. Your taps scatter. Deflate evenly, and keep your finger on the key.
# As above · 60
practice-next-due = Next: { $kind }. It is due again.
# As above · 90
practice-next-rest = Nothing is due today. What is spread out is remembered longer.
# Behind it: the lag of the taps with its interval · 120
practice-lag = Your taps come { $mean } ms after the first pulse ({ $low } to { $high }), spread { $spread } ms, by { $taps } taps.
# Behind it: the threshold in noise · 150
practice-level = You find the return in 70.7 % of trials at { $db } dB of signal over noise (give or take { $range }, by { $trials } trials).
# A line of kinds: when each is due · 20
practice-due-line = { $kind }: { $when }
# Within it · 30
practice-due-share = { $when }, { $right } of the last { $count } right
# Within it, and in a table · 24
practice-not-begun = not begun
# Within it; a day · 16
practice-due = due { $day }
# A target · 30
practice-today = Today's lesson
# A target · 24
practice-my-page = My page
# A title above a curve · 70
practice-curve = { $student } until now, ten drills a line, oldest first
# The curve's name for a screen reader · 80
practice-curve-name = lag of the taps, with its interval, oldest first

## Sounds taken for others

# A sentence: what a sound was called, each with how often · 40
practice-called = Of { $right } sounds you called: { $said }.
# Within it · 4
practice-called-as = { $word } { $count }
# Behind it: the share with its interval · 120
practice-share = { $right } of { $count } right; with so few the true share may lie between { $low } and { $high } %.

## Names of cases and lessons, as class files have them in English

# A case of a lesson · 20
practice-case = { $kind } { $seed }, case { $number }
# A case of an examination · 20
practice-case-examined = Examination { $seed }, case { $number }
# The course: the name of its lessons, and before a case's number · 16
practice-course-lesson = Course
# A case that a teacher named by its seed · 20
practice-case-seed = { $kind } of seed { $seed }
# A site of a simulated patient · 16
practice-case-site = Patient, { $site }

## What was written

# A notice; a path · 40
practice-page-is = The page of this lesson is { $path }.
# A notice; a path · 40
practice-class-is = The class file is { $path }.
# A notice; a path · 30
practice-own-page-is = Your page is { $path }.
# A notice; a file's name · 90
practice-given-sealed = { $name } is sealed. Type its opening code, then begin it.
# A notice; a file's name · 80
practice-given-lesson = { $name } is the teacher's lesson now. Begin it below.

## A page for browsers

# Above every screen of the page; a safety sentence · 130
practice-only = For practice only: simulated patients. Nothing on this page is for use on patients.
# Where the page cannot be shown; what the browser said · 60
practice-no-page = This browser cannot show the page: { $said }
# Within drill-playing: where a page plays · 40
practice-output = the output of the browser
# As above, where it has none · 24
practice-no-output = no output
