### A recording heard again. Each message: where it stands, and how many letters it may have.

# A target · 36
replay-back = Back to the result
# In place of the picture · 110
replay-none = No reading of this visit has both a tap and a recording.
# A reading that can be chosen · 6
replay-reading = { $site }, { $reading }
# The name of the mean beat's picture for a screen reader · 70
replay-beat = the mean beat, without disturbed beats
# The name of the sound's picture for a screen reader · 50
replay-sound =
    { $beats ->
        [one] The sound around { $at } s, with { $beats } beat
       *[other] The sound around { $at } s, with { $beats } beats
    }
# Under the picture · 50
replay-no-waveform = You recorded no waveform.
# Under the picture; the waveform as in clinical-waveform · 30
replay-waveform = You recorded: { $word }.
# Behind it: what can be read off the mean beat · 40
replay-comparison = For comparison only: { $words }
# Behind it: the mean of the free beats; the parts as below · 70
replay-mean = mean of { $beats } beats; { $phases }; upstroke (10 to 90 %) { $upstroke }; pulsatility { $pulsatility }.
# Within it · 70
replay-phases =
    { $count ->
        [one] { $count } phase seen, forward flow in the first channel
       *[other] { $count } phases seen, forward flow in the first channel
    }
# Within it · 100
replay-unsigned = unsigned: one channel cannot tell forward from reverse flow
# Within it: a number that has no direction · 24
replay-number-unsigned = { $n } (unsigned)
# Within it: a time · 4
replay-seconds = { $n } s
# In place of the mean beat · 90
replay-too-few =
    { $beats ->
        [one] There is no mean beat: { $beats } whole beat, and at least 3 make a mean.
       *[other] There is no mean beat: { $beats } whole beats, and at least 3 make a mean.
    }
# In place of the mean beat · 110
replay-silent = There is no mean beat: no flow stands out of the background.
# A target · 16
replay-play = Play
# A target · 16
replay-stop = Stop
# A target · 20
replay-before = Beat before
# A target · 20
replay-after = Beat after
# A target · 20
replay-to-tap = To the tap
# A choice with its key; must hold (H) · 26
replay-half = half speed (H)
# A choice with its key; must hold (L) · 36
replay-loop = one beat over and over (L)
# A target with its key; must hold (M) · 36
replay-move = Move the mark here (M)
# The same, asked for once · 50
replay-move-again = Press again to move the mark
# Under it · 130
replay-move-help = The first mark stays on the trail. The reading does not change.
# What was done · 90
replay-moved = Mark moved. The first one stays on the trail.
# Where the cursor is · 40
replay-here = Your tap is here.
# As above · 36
replay-before-tap = { $seconds } s before the tap.
# As above · 36
replay-after-tap = { $seconds } s after the tap.
# Under it · 80
replay-was-moved = The mark was moved to { $to } s; the tap was at { $at } s.
# In place of the pressure · 80
replay-unknown = The pressure at this point is not known.
# What the needle was at the cursor, by needle marks · 160
replay-needle = At this moment the needle stood at about { $mmhg } mmHg, if it fell at { $rate } mmHg/s as marked. The reading is { $read } mmHg and stays so.
# The same where the rate is assumed · 180
replay-needle-assumed = At this moment the needle stood at about { $mmhg } mmHg, if it fell at the { $rate } mmHg/s that is assumed. The reading is { $read } mmHg and stays so.
# What the index would be · 90
replay-leg =
    With it the { $side ->
        [left] patient's left
       *[right] patient's right
    } leg would have { $would } in place of { $is }.
# As above · 60
replay-no-change = No index would change.
# Under it · 180
replay-marks = The listener's marks are dotted, the clinician's are solid. Ear and gauge are the record.
# For a teacher: how a lesson names this reading; what stands in it is typed as it is · 50
replay-lesson = In a lesson: { $line }

## A sound of practice heard again

# A target · 26
replay-start = From the beginning
# A target · 26
replay-to-truth = To the first pulse
# A target · 22
replay-to-your-tap = To your tap
# A choice with its key; must hold (S) · 26
replay-half-s = half speed (S)
# A title · 40
replay-if-tapped = If you tapped here
# The name of the gauge for a screen reader · 50
replay-gauge = gauge at this moment: { $mmhg } mmHg
# Under the picture · 60
replay-needle-here = The needle is at { $mmhg } mmHg here.
