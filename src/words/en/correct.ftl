### Where a recorded value is put right. Each message: where it stands, and how many letters it may have.

# Under the site · 130
correct-help = Correct or withdraw what was recorded here. The first value stays on the trail.
# An attempt; what it came to as below · 20
correct-attempt = Attempt { $n }: { $outcome }
# Of an attempt that did not end · 30
correct-not-ended = not ended
# What an attempt came to, and where it is from · 50
correct-from-instrument = { $outcome }, entered from another instrument
# As above · 36
correct-from-paper = { $outcome }, taken from paper
# What an attempt came to, and why it was withdrawn · 20
correct-withdrawn = { $outcome }, withdrawn: { $why }
# A field · 40
correct-reading = Correct reading, mmHg
# A question · 14
correct-why = Why?
# A choice; kept in the record in English · 40
correct-reason-typing = typing error
# As above · 40
correct-reason-gauge = gauge misread
# As above · 40
correct-reason-site = wrong artery or side
# As above · 40
correct-reason-probe = the probe moved
# As above · 50
correct-reason-patient = the patient moved or talked
# In the trail: why a mark lies elsewhere than the tap; kept in the record in English · 40
correct-reason-replay = moved on replay
# In the trail: why a laptop took a visit over; kept in the record in English · 90
correct-reason-taken-over = the record book was moved, copied or restored
# A field · 50
correct-reason-own = Other reason, in your own words
# A field · 40
correct-who = Who: initials or code
# A target · 20
correct-withdraw = Withdraw
# A target · 24
correct-again = Measure again
# What was done · 80
correct-done = Corrected. The first value stays on the trail.
# A question: why, as in bedside-doubt, then the target · 60
correct-keep = { $why } Press Correct again to keep { $mmhg }.
# A question; a safety sentence · 150
correct-not-compressible = Was the sound still there at { $mmhg } mmHg? Press Correct again to record "not compressible at { $mmhg }".
