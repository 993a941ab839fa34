### The sound: what its check finds, alarms across the screen, and the words within its picture. Each message: where it
### stands, and how many letters it may have.

## The check

# A source, small beside the ledger: a scenario's name · 30
sound-simulated = Simulated patient: { $name }
# A source, small beside the ledger · 30
sound-recordings = Recordings
# In place of the check · 24
sound-none = No sound.
# In the step of the sound · 110
sound-room-loud = The room is loud: a weak return could be missed.
# As above · 120
sound-room-some = Some background noise: a weak return may be hard to hear.
# As above · 60
sound-room-quiet = Little background noise.
# Behind it · 80
sound-too-loud = Too loud for the input: turn it down.
# Behind it, in decibels · 70
sound-level = Level { $level } dB, background { $background } dB, now { $above } dB above it.

## Alarms: across the screen

# An alarm; a safety sentence · 150
sound-stopped = Cuffnote has stopped listening: carry on by ear. Unplug the cable to hear the Doppler.
# An alarm; what the system said in English · 24
sound-not-recording = NOT RECORDING: { $why }
# Behind an alarm, where a cable is in use · 60
sound-unplug = Unplug the cable to hear.
# An alarm · 140
sound-silent = No signal at all from the device, not even noise: is it muted or unplugged?
# An alarm · 120
sound-stuck = The device is stuck on one value: unplug it and plug it in again.
# An alarm · 140
sound-invalid = The device sends invalid values, taken as silence: unplug it and plug it in again.
# An alarm · 140
sound-full-scale = The sound is too loud for the input: turn the Doppler or the input down.
# An alarm · 110
sound-dead-channel = One channel carries nothing: is the plug in all the way?
# An alarm · 190
sound-one-second = No sound from the device for one second: if a cable is in use, unplug it to hear the Doppler.
# An alarm · 140
sound-missed = A little sound was lost, perhaps with a pulse in it: close other programs.
# An alarm · 140
sound-device-gone = The sound device is unplugged: plug it in again, and listening continues.
# An alarm · 140
sound-system-gone = The computer's sound system stopped: listening continues when it restarts.
# An alarm · 100
sound-stalled = No sound from the device: Cuffnote keeps trying.
# An alarm · 100
sound-lost = { $seconds } s of sound were lost: listening has restarted.
# An alarm · 130
sound-slept = The computer or program was paused for { $seconds } s: listening has restarted.
# An alarm; what the system said in English · 60
sound-cannot-open = No sound: { $said }
# A notice; what the system said in English · 80
sound-not-through = Sound output: { $said }
# A notice; what the system said in English · 24
sound-no-tone = No tone: { $said }
# An alarm · 160
sound-howl = With a loudspeaker the microphone would howl: wear headphones and say so in Set-up, or use a cable
# A notice · 110
sound-screen = Cannot keep the screen on: turn off the screen saver.

## Within the picture

# At the listener's mark · 30
sound-gone = sound gone
# At the clinician's mark · 24
sound-your-tap = your tap
# At the cursor · 12
sound-here = here
# Where the frame lights up · 30
sound-pulse-heard = pulse heard
# On the line of an index that is greater than the line · 40
sound-beyond = beyond this line
# On the line of an index that is not known but for its least · 60
sound-above = above, not known by how much
