### Site by site: the measuring screens and the list of sites beside them. Each message: where it stands, and how many
### letters it may have. What to do now stands in bedside.ftl.

## Stages

# A stage · 14
measure-find = Find
# A stage · 14
measure-inflate = Inflate
# A stage · 14
measure-deflate = Deflate
# A stage · 14
measure-read = Read
# The stage that is now · 8
measure-now = now: { $stage }
# A stage's name for a screen reader · 14
measure-stage = stage { $stage }
# As above · 24
measure-stage-now = stage { $stage }, now
# As above · 24
measure-stage-done = stage { $stage }, done
# A target · 30
measure-finish-change = Finish or change

## The site

# What helps: the cuff needs a pause · 90
measure-wait = Wait { $seconds } s before inflating this limb again.
# What helps: where the artery is · 130
measure-place-brachial = Inner side of the elbow's crease. Gel, probe at about 45 to 60 degrees.
# As above · 130
measure-place-dp = Top of the foot, beside the big toe's tendon. Cuff just above the malleoli.
# As above · 130
measure-place-pt = Behind the medial malleolus. Cuff just above the malleoli.
# As above · 130
measure-place-peroneal = In front of the lateral malleolus. Cuff just above the malleoli.
# The name of the simulated gauge for a screen reader · 50
measure-gauge = Simulated gauge: { $mmhg } mmHg
# The name of the sound's picture for a screen reader · 90
measure-sound =
    { $beats ->
        [one] Doppler sound. Touch to tap. { $beats } beat heard here.
       *[other] Doppler sound. Touch to tap. { $beats } beats heard here.
    }

## The reading

# Above the number that is typed · 40
measure-inflated-to = Inflated to (optional)
# Above the number that is typed · 40
measure-needle = Needle at the tap
# The name of that number for a screen reader · 24
measure-typed = Typed: { $text }
# A target · 14
measure-tap = Tap
# A target: the reading is kept · 14
measure-keep = Keep
# A target: the pressure inflated to is set · 14
measure-set = Set
# A target: open the valve · 12
measure-stop = Stop
# A target: this site again · 16
measure-repeat = Repeat
# A target: the last digit goes · 14
measure-erase = Erase
# A target · 20
measure-no-signal = No signal
# A target · 24
measure-not-compressible = Not compressible
# A target · 20
measure-not-measured = Not measured
# A target · 16
measure-undo = Undo
# A target: the needle is at the next multiple of 10 · 14
measure-at-10 = At 10
# A target: the number typed is the pressure inflated to · 16
measure-inflated = Inflated
# A target · 14
measure-finish = Finish
# A target · 18
measure-next-stage = Next stage

## Finishing, and why something is not measured

# A question · 90
measure-finish-why = Finish here? Say why the rest was not measured.
# A choice with its number; kept in the record in English · 40
measure-reason-wound = wound or dressing
# As above · 40
measure-reason-pain = too painful
# As above · 40
measure-reason-declines = patient declines
# As above · 40
measure-reason-cuff = no suitable cuff
# As above · 40
measure-reason-time = no time
# As above · 40
measure-reason-amputation = amputation
# As above · 40
measure-reason-bandage = bandage or cast that stays on
# As above · 40
measure-reason-oedema = oedema
# As above · 40
measure-reason-tremor = tremor
# A field · 40
measure-own = In your own words
# A target · 40
measure-record-reason = Record this reason
# A target · 40
measure-moved = Patient moved: restart rest
# A target · 40
measure-questions = Questions, cuffs, feet
# A field · 40
measure-operator = Another operator, by code
# A target · 20
measure-hand-over = Hand over

## After keeping

# Large: how the attempt ended · 20
measure-kept = Kept: { $outcome }
# Under it · 100
measure-no-return = Cuffnote did not detect the return. The reading is yours.
# An alarm; a safety sentence · 90
measure-probe-moved = The probe moved: this reading is doubtful. Repeat it.
# A target · 24
measure-next = Next site
# A target · 20
measure-correct = Correct it
# A target: no sound was heard · 16
measure-absent = absent
# A target: the clinician is not sure of the waveform · 16
measure-unclear = unclear

## The locked screen

# Large · 40
measure-locked = Locked for cleaning
# Under it · 70
measure-locked-keys = Space still taps and Esc still stops.
# A target · 24
measure-unlock = Unlock

## The list of sites

# Above the columns right and left · 14
measure-patients = patient's
# A column: the patient's side · 10
measure-side =
    { $side ->
        [left] left
       *[right] right
    }
# A row · 20
measure-row =
    { $artery ->
        [arm] arm
        [dp] dorsalis pedis
        [pt] posterior tibial
       *[toe] toe
    }
# In a cell: measured now · 10
measure-cell-now = now
# In a cell, narrow · 14
measure-cell-not-compressible = not compr.
# In a cell, narrow · 14
measure-cell-no-signal = no signal
# In a cell, narrow · 16
measure-cell-not-measured = not measured
# In a cell, narrow: readings contradict each other · 14
measure-cell-conflict = conflict
# The name of a cell for a screen reader: the site and what is known of it · 10
measure-cell = { $site }: { $why }
# The same of the site that is measured now · 16
measure-cell-here = { $site }: { $why }, now
# Beside an index · 16
measure-provisional = provisional
# In place of an index · 20
measure-not-yet = not yet
# Small · 20
measure-pulse = Pulse { $rate }/min
# Small; where the rate is from as in bedside-fall · 26
measure-deflation = Deflation { $rate } mmHg/s, { $from }
# Small, with its red dot · 20
measure-recording = ● RECORDING
# Small · 24
measure-not-recording = not recording
# Small · 24
measure-saving = saving...
