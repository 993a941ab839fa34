### Listen first: the guided hour, step by step, and a deflation told as it goes. Each message: where it stands, and how many
### letters it may have.

## Around each step

# A title · 36
listen-place = Listen first, { $step } of { $count }
# A target · 20
listen-back = Step before
# A target · 14
listen-leave = Leave
# A target · 20
listen-next = Next step
# A target, at the last step · 24
listen-drills = To the drills
# A choice: its key, the sound's name · 4
listen-choice = { $key }: { $name }
# The name of the picture for a screen reader · 16
listen-sound = the sound: { $name }
# The name of a curve for a screen reader · 50
listen-curve = velocity over one beat
# Within the curve; it wraps · 110
listen-curve-line = Velocity over one beat. Under the dashed line the flow goes back.

## An artery and a vein

# A title · 40
listen-vein = An artery and a vein
# Under it · 130
listen-vein-1 = The probe turns moving blood into sound: the faster it moves, the higher the sound.
# As above · 130
listen-vein-2 = An artery beats. A vein blows on, and swells and fades as the patient breathes.
# The name of a sound, on a target · 20
listen-sound-artery = Artery
# What to listen for · 90
listen-about-artery = A beat about once a second, always in the same rhythm.
# The name of a sound, on a target · 20
listen-sound-vein = Vein
# What to listen for · 90
listen-about-vein = A low wind without a beat.

## Multiphasic and monophasic

# A title · 50
listen-phases = Multiphasic and monophasic
# Under it · 150
listen-phases-1 = Multiphasic: after each beat the flow goes back for a moment. You hear two or three parts in each beat.
# As above · 130
listen-phases-2 = Monophasic: the flow goes forward only. You hear one part in each beat.
# As above · 150
listen-phases-3 = In the curve below, multiphasic flow falls under the line of zero. Monophasic flow does not.
# The name of a sound, on a target · 20
listen-sound-multiphasic = Multiphasic
# What to listen for · 110
listen-about-multiphasic = Two or three parts in each beat: one high, then one or two low and short.
# The name of a sound, on a target · 20
listen-sound-monophasic = Monophasic
# What to listen for · 90
listen-about-monophasic = One part in each beat.

## Damped

# A title, and the name of a sound on a target · 20
listen-damped = Damped
# Under it · 150
listen-damped-1 = Damped: the sound rises slowly and sinks slowly. It says how the beat rises, not how many parts it has.
# As above · 150
listen-damped-2 = The words overlap: a damped flow is mostly monophasic as well. You are asked about each by itself.
# What to listen for · 90
listen-about-quick = One part, with a quick rise.
# As above · 90
listen-about-damped = One part that swells: slow up, slow down.

## Nothing to hear

# A title · 40
listen-absent = Nothing to hear
# Under it · 110
listen-absent-1 = Absent: no artery is heard, only the hiss of the device.
# As above · 150
listen-absent-2 = First move the probe, use more gel, and look along the course of the artery. Only then is it absent.
# The name of a sound, on a target · 20
listen-sound-one = An artery
# What to listen for · 90
listen-about-one = A beat over the hiss.
# The name of a sound, on a target · 20
listen-sound-nothing = Nothing
# What to listen for · 90
listen-about-nothing = The hiss alone.

## Regular and irregular

# A title · 50
listen-rhythm = Regular and irregular
# Under it · 110
listen-rhythm-1 = Regular: you can nod along, and know when the next pulse is due.
# As above · 160
listen-rhythm-2 = Irregular: you cannot. Then deflate more slowly, and take several readings (BIHS 2019: three or more, averaged).
# The name of a sound, on a target · 20
listen-sound-regular = Regular
# What to listen for · 90
listen-about-regular = Nod along.
# The name of a sound, on a target · 20
listen-sound-irregular = Irregular
# What to listen for · 100
listen-about-irregular = Try to nod along: no pulse tells when the next one comes.

## A whole deflation

# A title · 40
listen-deflation = A whole deflation
# Under it · 160
listen-deflation-1 = The cuff closes the artery, then lets it open again. The pressure at the first pulse that comes back is the reading.
# As above · 120
listen-deflation-2 = Follow the words, the picture and the needle. Then hear it again with your eyes closed.
# As above · 170
listen-deflation-3 = Two beats later the needle has fallen on. Left and Right take you from beat to beat: see what a tap there would read.
# The name of a sound · 24
listen-sound-deflation = The deflation
# What to listen for · 90
listen-about-deflation = Wait for the first of two pulses in rhythm.

## Noise that hides it

# A title · 40
listen-noise = Noise that hides it
# Under it · 140
listen-noise-1 = The first pulse is short and faint. People who talk hide it, and the reading is too low.
# As above · 80
listen-noise-2 = Ask for quiet before you deflate.
# The name of a sound, on a target · 20
listen-sound-quiet = Quiet
# What to listen for · 90
listen-about-quiet = The first pulse stands alone.
# The name of a sound, on a target · 20
listen-sound-talk = People talk
# What to listen for · 90
listen-about-talk = The first pulses hide behind the voices.

## Hands

# A title · 40
listen-hands = Hands
# Under it · 140
listen-hands-1 = Too fast: the needle falls far from beat to beat, and the reading is low before you can hear it.
# As above · 140
listen-hands-2 = Inflated too little: the sound never stops, so no first pulse can come back.
# As above; a safety sentence · 150
listen-hands-3 = The probe moved: the sound is lost, but not because of the cuff. Its return says nothing.
# The name of a sound, on a target · 24
listen-sound-fast = Too fast
# What to listen for · 90
listen-about-fast = Ten mmHg from one beat to the next.
# The name of a sound, on a target · 24
listen-sound-little = Too little
# What to listen for · 90
listen-about-little = The beats go on while the cuff is tight.
# The name of a sound, on a target · 30
listen-sound-moved = The probe moved
# What to listen for · 90
listen-about-moved = A rub, and then nothing at all.

## A deflation told as it goes: one sentence at a time, large

# While the cuff is open · 70
listen-tell-open = The cuff is open: you hear every beat.
# As above · 90
listen-tell-squeeze = The bulb is squeezed: the cuff closes on the artery.
# As above · 150
listen-tell-never = The sound never stopped: the cuff is below the pressure of the artery. No first pulse can be heard.
# As above · 90
listen-tell-gone = The sound is gone: nothing flows below the cuff.
# As above · 120
listen-tell-valve = At { $mmhg } mmHg the valve is opened a little. Listen, and watch the needle fall.
# As above · 110
listen-tell-first = The first pulse. The needle stands at { $mmhg } mmHg: that is the reading.
# As above · 100
listen-tell-second = A second one in rhythm: so the first was no lone knock.
# As above · 110
listen-tell-third = Two beats later the needle is at { $mmhg }: a tap here reads { $low } too low.
# As above · 90
listen-tell-free = Each pulse is longer and louder than the one before.
