### The screen of choices. Each message: where it stands, and how many letters it may have.

# A target: to the visit that is prepared · 36
setup-back-visit = Back to the visit

## Look and language

# Before the colours · 16
setup-look = Look
# A choice of colours · 14
setup-theme-light = light
# As above · 14
setup-theme-dark = dark
# As above · 14
setup-theme-dim = dim
# Before the sizes · 16
setup-size = Size
# A size · 4
setup-percent = { $percent } %
# Before the languages, with the key that goes to the next one; must hold F2 · 24
setup-language = Language (F2)
# Under the languages · 170
setup-unreviewed = This translation from English is our own. No clinician has reviewed it.
# In its place · 90
setup-confirmed = { $who } has confirmed this translation for this service.
# A field · 60
setup-confirms = Clinician who confirms it, by name or code
# A target · 50
setup-confirm = Confirm this translation

## The tap

# What taps · 70
setup-tap = The tap: { $key }, a click, or a touch on the sound.
# A target · 45
setup-learn = Choose another key or pedal
# The same while a key is waited for · 45
setup-learning = Press the pedal or key now
# A target · 36
setup-usual-tap = Use Space again
# Before what the program does at the return · 70
setup-say = When the listener detects the return
# A choice · 60
setup-say-nothing = nothing until I have kept my reading
# A choice · 45
setup-say-flash = light up the picture
# A choice · 70
setup-say-tone = light up the picture and play a soft tone
# Under it · 100
setup-tone = The tone plays on the same output as the Doppler sound.
# Under it, where a microphone is in use · 160
setup-no-tone = No tone with a microphone: it would hear the tone over the faint pulses that follow.
# The keys and what each does, as in key.ftl · 40
setup-keys = Keys while measuring: { $list }.

## Sound

# A title · 20
setup-sound = Sound
# A choice · 50
setup-microphone = microphone near the Doppler
# A choice · 50
setup-cable = cable from the Doppler
# Under it; a safety sentence · 230
setup-cable-rule = A cable is used on battery or over an isolated link, as local electrical safety policy says. It may mute the Doppler's own loudspeaker.
# Before the inputs · 16
setup-input = Input
# A choice · 40
setup-default = system default
# A target · 30
setup-find-inputs = Find inputs
# Before the outputs · 50
setup-through = Pass the sound to an output
# A choice · 40
setup-through-default = yes, system default
# A choice · 40
setup-headphones = these are headphones
# Before its choices · 60
setup-record = Record the sound of a visit
# A choice · 24
setup-record-yes = record
# A choice · 30
setup-record-no = do not record
# Before its choices · 40
setup-codes = Codes of records
# A choice · 30
setup-codes-any = any code
# A choice · 50
setup-codes-check = end in a check character
# Under the sound; a safety sentence · 160
setup-consent = Voices are recorded too: tell the patient, and ask for consent as local policy says.

## The service

# A title · 30
setup-service = This service
# A field · 30
setup-service-name = Name on reports
# A field · 26
setup-gauge = Gauge code
# A field · 40
setup-graduation = Gauge graduation, mmHg
# A field · 26
setup-probe = Probe, MHz
# A field · 40
setup-ceiling = Highest pressure, mmHg
# A field · 26
setup-rest = Rest, minutes
# A field · 45
setup-wait = Wait between inflations, s
# A target · 30
setup-keep = Keep these
# Before its choices · 36
setup-paper = Paper of reports
# A kind of paper · 10
setup-paper-a4 = A4
# A kind of paper · 10
setup-paper-letter = Letter
# Before its choices · 36
setup-order = Order of sites
# An order of sites · 36
setup-order-counter-clockwise = counter-clockwise
# An order of sites · 30
setup-order-arms-first = arms first
# Before its choices · 50
setup-method = How the index is formed

## Guidance

# A title · 24
setup-guidance = Guidance
# Who switched it on · 30
setup-guidance-on = Switched on by { $who } on { $day }: { $sets }.
# A target · 45
setup-switch-off = Switch guidance off
# In place of guidance · 230
setup-guidance-off = Off: numbers only. A clinician responsible for this service chooses the sets and switches them on, once, by name.
# A field · 45
setup-clinician = Clinician, by name or code
# A target · 45
setup-switch-on = Switch guidance on
