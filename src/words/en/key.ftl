### The keys while measuring, as Set-up lists them: each behind its key, in a row with semicolons. Each message: where it
### stands, and how many letters it may have.

# Set-up · 60
key-enter = keep what was typed, then go to the next site
# Set-up; a safety sentence · 50
key-stop = stop: open the valve fully
# Set-up · 40
key-undo = undo the last act
# Set-up · 70
key-inflated = the number typed is the pressure inflated to
# Set-up · 40
key-repeat = repeat this site
# Set-up · 50
key-needle = the needle is at the next 10
# Set-up · 30
key-stage-on = the next stage
# Set-up · 30
key-stage-back = the stage before
# Set-up · 40
key-no-signal = no signal found here
# Set-up · 40
key-not-compressible = not compressible
# Set-up · 30
key-not-measured = not measured
# Set-up · 40
key-multiphasic = sounds multiphasic
# Set-up · 40
key-monophasic = sounds monophasic
# Set-up · 40
key-damped = sounds damped
# Set-up · 40
key-absent = no sound to hear
# Set-up · 40
key-unclear = not sure how it sounds
# Set-up · 50
key-correct = correct the reading just kept
# Set-up · 80
key-finish = finish here: say why the rest was not measured
# Set-up · 50
key-lock = lock the screen for cleaning
