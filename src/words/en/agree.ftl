### What must be known before anything else: shown once, and again whenever its meaning has changed. All are safety
### sentences. Each message: where it stands, and how many letters it may have.

# The title · 40
agree-title = Before you begin
# What the program is for · 230
agree-purpose = Cuffnote is for training, and for recording what a clinician measured. It is not a cleared medical device, and it does not diagnose.
# What counts · 250
agree-record = Your ear and your gauge are the record. The listener only assists: it can miss a pulse, and it can hear one that is not there.
# Who decides · 170
agree-policy = Local policy and a licensed practitioner decide what a number means for a patient.
# What is urgent · 210
agree-urgent = Urgent signs override every number: a suddenly cold, pale or numb foot, rest pain, gangrene, spreading infection.
# What an index does not rule out · 250
agree-stiff = Stiff arteries read too high. With diabetes or kidney disease an index inside or above the usual range does not rule arterial disease out.
# Where no cuff goes, and the valve · 210
agree-cuff = Do not inflate a cuff over a graft, a stent, a wound or a suspected clot. Open the valve fully as soon as you have read.
# Electrical safety · 240
agree-cable = A cable from the Doppler is used on battery, or over an isolated link as local electrical safety policy says. A microphone needs no wire.
# Loudness · 180
agree-loud = Sound passed to headphones begins soft and has a ceiling. Begin with the output turned low even so.
# Consent · 200
agree-consent = A microphone hears voices too. Tell the patient that sound is recorded, and ask for consent as local policy says.
# The target · 40
agree-read = I have read this
