### What a visit under way says: the one thing to do now, warnings, questions, what was not taken. They stand on the
### measuring screens in large type, and in the terminal in English. Each message: where it stands, and how many letters it
### may have (what is put in not counted).

## The one thing to do now, and what helps

# What to do · 50
bedside-find = Find the artery's sound.
# What helps · 80
bedside-find-more = Loudest point first, then hold the probe still.
# What to do · 60
bedside-inflate = Signal found. Inflate the cuff.
# The same with the pulse · 60
bedside-inflate-rate = Signal found, { $rate }/min. Inflate the cuff.
# What helps · 60
bedside-inflate-until = Inflate until the sound stops.
# What to do · 60
bedside-inflate-more = Signal gone. Inflate 20 mmHg more.
# What helps · 80
bedside-inflate-more-helps = Probe still on the artery? Then deflate slowly.
# What to do · 80
bedside-deflate = Deflate slowly. Tap when the sound returns.
# What helps · 20
bedside-deflate-rate = 2 to 3 mmHg/s.
# What helps: where the needle should be · 60
bedside-deflate-due = The needle should be at { $low } to { $high } now.
# What to do · 80
bedside-read = Type the pressure at which the sound returned.
# What helps · 60
bedside-read-no-tap = No tap: the uncertainty is wider.
# What to do · 80
bedside-read-tapped = Tap recorded. Type the pressure at that moment.
# What helps · 40
bedside-read-enter = Enter keeps it.
# What to do · 80
bedside-type-entered = Type the toe pressure from the other instrument.
# What helps · 60
bedside-type-entered-helps = It is marked as entered.
# What to do · 50
bedside-type-paper = Type the pressure on the paper.
# What helps · 60
bedside-type-paper-helps = It is marked as taken from paper.
# What to do · 50
bedside-type-correction = Type the corrected reading.
# What helps · 70
bedside-type-correction-helps = The first value stays in the record.
# What to do · 30
bedside-saving = Saving...
# What to do; a safety sentence · 60
bedside-kept-valve = Kept. Open the valve fully.
# What helps · 90
bedside-kept-waveform = How does the artery sound? Then go to the next site.
# What to do · 30
bedside-kept = Kept.
# What helps · 50
bedside-next-site = Go to the next site.
# What to do · 50
bedside-why-not = Why was it not measured?
# What helps · 50
bedside-one-key = One key or one touch.
# What to do; a safety sentence · 50
bedside-stopped = Open the valve fully.
# What helps · 110
bedside-stopped-helps = Then repeat this site, or say why it was not measured.

## Warnings

# A warning · 80
bedside-lost = Signal lost before inflation: find it again.
# A warning; a safety sentence · 200
bedside-not-closed = The sound is still there: the artery is not occluded. Inflate further, not above { $highest }. If it is still heard there, record not compressible.
# A warning · 90
bedside-irregular = Irregular rhythm: take three or more readings here.
# A warning · 40
bedside-too-fast = Too fast: { $rate } mmHg/s.
# A warning · 110
bedside-no-return = No return detected, and the needle should be below { $below } now.
# A warning; a safety sentence · 140
bedside-closed-long = The cuff has been inflated for { $seconds } s: open the valve if you are not taking a reading.
# A warning · 110
bedside-too-quiet = Sound very weak: turn the Doppler up, or move the microphone closer.
# A warning · 90
bedside-clipped = The sound is too loud for the input: turn it down.
# A warning · 40
bedside-hum = Mains hum in the sound.
# A warning · 60
bedside-talk = Talking or a tone over the signal.
# A warning; a safety sentence · 180
bedside-probe-moved = The probe moved: the signal after deflation is much weaker than before inflation. This reading is doubtful.

## What was not taken

# A notice · 50
bedside-type-first = Type the pressure first.
# A notice · 110
bedside-give-reached = First type the pressure you reached with the sound still there.
# A notice · 130
bedside-give-inflated-to = First type the pressure you inflated to. Each mark is then 10 lower.
# A notice; a safety sentence · 90
bedside-above-ceiling = Above this service's limit of { $ceiling } mmHg: deflate now.
# A notice · 60
bedside-no-number = `{ $typed }` is no pressure: type mmHg such as 104.
# A notice · 110
bedside-zero = 0 mmHg is no pressure: say that there is no signal, or why it was not measured.
# A notice · 110
bedside-out-of-range = A gauge shows 0 to 300 mmHg: read it again, or record not compressible.

## Questions: one sentence with its number and the key that goes on

# A question: why, as below, then the key · 60
bedside-keep = { $why } Press Enter again to keep { $mmhg }.
# A question; a safety sentence · 110
bedside-ask-no-signal = A pulse was heard here. Press X again to record "no signal".
# A question; a safety sentence · 150
bedside-ask-not-compressible = Was the sound still there at { $mmhg } mmHg? Press C again to record "not compressible at { $mmhg }".
# Why a value is asked about · 60
bedside-doubt-nothing = No tap, and no return detected.
# Why a value is asked about · 70
bedside-doubt-above = { $mmhg } is above the { $start } mmHg you inflated to.
# Why a value is asked about · 90
bedside-doubt-needle = The pressure cannot have been below { $least } mmHg by then.
# Why a value is asked about · 100
bedside-doubt-detected = The pressure was about { $there } mmHg when the return was detected.
# Why a value is asked about · 50
bedside-doubt-site = Another reading here was { $other } mmHg.
# Why a value is asked about; the site as in clinical-site · 20
bedside-doubt-other = { $site } was { $other } mmHg.
# Why a value is asked about · 60
bedside-doubt-last-visit = The last visit had { $then } mmHg here.
# Why a value is asked about · 40
bedside-doubt-unusual = { $mmhg } mmHg is unusual.
# Why a value is asked about · 90
bedside-doubt-lines = { $mmhg } is between two lines of the gauge ({ $graduation } mmHg apart).

## After keeping

# The tap · 90
bedside-tap-before = Your tap was { $late } s before the first pulse detected.
# The tap; the beats and the assumption as below · 120
bedside-tap-after = The first pulse was { $late } s before your tap{ $beats }. The pressure was then about { $mmhg } mmHg higher{ $assumed }.
# Within it · 30
bedside-tap-beats = : { $beats } beats
# Within it · 30
bedside-tap-one-beat = : one beat
# Within it · 40
bedside-tap-less = : less than a beat
# Within it · 50
bedside-tap-assumed = {" "}(deflation rate assumed)
# Behind a rate: where it is from · 40
bedside-fall-needle = from needle marks
# As above · 70
bedside-fall-reading = from inflation pressure, reading and time
# As above · 30
bedside-fall-assumed = assumed
# An outcome that was corrected · 30
bedside-corrected = { $outcome }, corrected
