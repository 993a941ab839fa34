### Try it on a sound: a WAV file of one's own. Each message: where it stands, and how many letters it may have.

## The screen

# Under the title · 220
tried-what = Give a WAV file of a Doppler's sound: drop it here, or open it. You see its picture and what the listener finds. The file stays on this computer.
# A safety sentence · 100
tried-learning = For learning only: nothing of it is for use on a patient.
# A field · 30
tried-file = Sound file (WAV)
# A target · 24
tried-hear = Hear this file
# A target, in a browser · 24
tried-open = Open a sound
# While it listens; a file's name · 50
tried-share = The listener hears { $name }: { $percent } %.
# The name of the picture for a screen reader · 70
tried-picture = your sound with what the listener found
# At a mark in the picture · 36
tried-return = the listener's return
# What is wrong with a file; in English behind it · 6
tried-fault = { $name }: { $said }.

## What was found

# A sentence · 90
tried-pulses =
    { $count ->
        [0] The listener found no pulse in { $seconds } s.
        [1] The listener found one pulse in { $seconds } s.
       *[other] The listener found { $count } pulses in { $seconds } s.
    }
# As above · 90
tried-both = It heard the pulse go at { $gone } s and come back at { $back } s.
# As above · 90
tried-gone = It heard the pulse go at { $gone } s, and no return after that.
# As above · 70
tried-back = It heard a pulse come back at { $back } s.
# As above · 80
tried-neither = It heard no pulse go and come back.
# Behind it; a safety sentence · 80
tried-wrong = It may be wrong: listen yourself, beat by beat.
