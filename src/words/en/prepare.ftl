### While the patient rests. Each message: where it stands, and how many letters it may have.

# Under the clock · 60
prepare-rested =
    { $minutes ->
        [one] Rested { $minutes } minute.
       *[other] Rested { $minutes } minutes.
    }
# Under the clock · 70
prepare-rest =
    { $minutes ->
        [one] Rest, no talking: { $minutes } minute.
       *[other] Rest, no talking: { $minutes } minutes.
    }
# The large target on · 30
prepare-start = Start measuring
# The same before the rest is over · 45
prepare-start-early = Start early (rest incomplete)
# A target: the visit stays open · 20
prepare-leave = Leave
# A target: a step is left out · 20
prepare-skip = Skip: { $step }
# A step's name, within a line · 40
prepare-step-cautions = red flags and cautions
# As above · 30
prepare-step-cuffs = cuffs
# As above · 36
prepare-step-instruments = gauge and probe
# As above · 20
prepare-step-feet = feet
# As above · 20
prepare-step-sound = sound
# As above · 20
prepare-step-rest = rest
# Behind a step's name · 24
prepare-left-out = skipped
# Behind a step's name · 24
prepare-done = done
# Behind the step of red flags · 45
prepare-asked-none = asked: none present
# As above · 40
prepare-asked-some =
    { $n ->
        [one] asked: { $n } present
       *[other] asked: { $n } present
    }
# Behind the step of cuffs · 40
prepare-cuff-on =
    { $side ->
        [left] left
       *[right] right
    } { $limb ->
        [arm] arm
       *[ankle] ankle
    } { $width } x { $length } cm
# Behind the step of gauge and probe · 50
prepare-needle-was =
    { $answer ->
        [yes] needle at zero
        [no] needle NOT at zero
       *[unknown] needle at zero not known
    }
# Behind the step of gauge and probe · 30
prepare-probe = probe { $mhz } MHz
# Of a foot: a choice · 50
prepare-foot =
    { $warmth ->
        [warm] warm
        [cool] cool
       *[cold] cold
    }, { $pulse ->
        [yes] pulse felt
        [no] no pulse felt
       *[unknown] pulse not checked
    }
# Behind the step of feet; what was found as in prepare-foot · 14
prepare-foot-line =
    { $side ->
        [left] left
       *[right] right
    } { $found }
# The name of a choice for a screen reader · 24
prepare-foot-name =
    { $side ->
        [left] left
       *[right] right
    } foot: { $found }
# Before the choices of a foot · 40
prepare-foot-title =
    Patient's { $side ->
        [left] left
       *[right] right
    } foot
# Above the questions · 60
prepare-questions =
    { $count ->
        [one] { $count } question. Touch what applies.
       *[other] { $count } questions. Touch what applies.
    }
# A choice behind a question that is about one limb · 24
prepare-yes-side =
    yes, { $side ->
        [left] left
       *[right] right
    }
# The large target under the questions · 34
prepare-none = None of these
# The same where one applies · 34
prepare-none-others = None of the others
# Before the choices for a wound · 80
prepare-wound =
    Wound where the cuff goes, { $side ->
        [left] patient's left
       *[right] patient's right
    } leg:
# The name of such a choice for a screen reader · 20
prepare-wound-name =
    { $side ->
        [left] left
       *[right] right
    } leg: { $care }
# Under cuffs that were put on without a measured limb · 150
prepare-fit = Fit not checked: measure the limb's circumference, type it, and put the cuff on again.
# A target: cuffs, needle and probe as they were last · 90
prepare-as-last = As last time: arm { $arm_width } x { $arm_length } cm, ankle { $ankle_width } x { $ankle_length } cm, needle at zero
# Above the fields of cuffs · 230
prepare-cuff-rule = Bladder width at least 40 %, length at least 80 % of the circumference. At the ankle the cuff ends just above the malleoli; the artery stays reachable.
# A field · 40
prepare-around =
    Circumference, { $limb ->
        [arm] arms
       *[ankle] ankles
    }, cm
# A field · 40
prepare-width =
    Bladder width, { $limb ->
        [arm] arms
       *[ankle] ankles
    }, cm
# A field · 40
prepare-length =
    Bladder length, { $limb ->
        [arm] arms
       *[ankle] ankles
    }, cm
# A target: these cuffs are put on · 40
prepare-cuffs-on =
    Cuffs on: { $limb ->
        [arm] arms
       *[ankle] ankles
    }
# In the step of gauge and probe; the probe as below · 110
prepare-instruments = Gauge { $gauge }, a line every { $lines } mmHg; probe { $probe }. Change them in Set-up.
# Within it: the probe's frequency · 8
prepare-mhz = { $mhz } MHz
# Within it, in place of the probe · 24
prepare-not-given = not given
# Within it, in place of a gauge's code · 24
prepare-gauge-in-use = in use
# A question · 50
prepare-needle = Needle at zero, cuff open?
# In the step of the sound · 40
prepare-volume = Output volume { $percent } %
# In its place, where a cable takes the Doppler's own sound · 200
prepare-no-output = No sound is passed to the headphones or loudspeaker. Choose an output in Set-up if the Doppler itself is silent.
# A target · 20
prepare-softer = Softer
# A target · 20
prepare-louder = Louder
# A target · 30
prepare-sound-checked = Sound checked
