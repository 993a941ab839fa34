### The form before a visit. Each message: where it stands, and how many letters it may have.

# The title, and the target that leads here · 30
begin-title = New visit
# The large target on: the patient lies down now · 40
begin-start = Start rest period
# The same where an earlier measurement is taken from paper · 50
begin-start-paper = Enter the values from the paper
# A field · 50
begin-record = Record code, never a name
# A field · 40
begin-operator = Your initials or code
# Under the record's code · 50
begin-last = Last visit of { $record }: { $day }
# Under the record's code · 60
begin-none-yet = No visit of { $record } in this book yet.
# A question · 40
begin-what = What is measured?
# A choice · 30
begin-what-exercise = rest and exercise
# A choice · 26
begin-what-artery = one artery
# A choice · 36
begin-what-paper = earlier, from paper
# A field; the day is an example · 50
begin-paper-day = Date on the paper, as 2026-08-25
# A field · 40
begin-paper-by = Who measured, by code
# A question · 40
begin-why = Why is the test done?
# A choice; kept in the record in English · 50
begin-reason-ulcer = leg ulcer, before compression
# As above · 40
begin-reason-foot = foot ulcer
# As above · 40
begin-reason-walking = pain on walking
# As above · 50
begin-reason-follow-up = follow-up after treatment
# As above · 50
begin-reason-screening = screening by local policy
# A field · 50
begin-reason-own = Other, in your own words
# A question · 30
begin-diabetes = Diabetes?
# A question · 40
begin-kidney = Chronic kidney disease?
# Before the choices none, right, left · 20
begin-ulcer = Ulcer:
# A choice · 14
begin-ulcer-none = none
# A choice: the patient's side · 30
begin-ulcer-side =
    { $side ->
        [left] left
       *[right] right
    }
# The name of these choices for a screen reader · 20
begin-ulcer-name = ulcer: { $choice }
# A field · 50
begin-ulcer-place = Where on the leg or foot
# A question · 40
begin-position = Patient position
# Under it where another position than lying flat is chosen; a safety sentence · 140
begin-not-flat = Published limits are for lying flat: no recommendation will be shown.
