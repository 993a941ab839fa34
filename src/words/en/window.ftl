### What stands on several screens of the window. Each message: where it stands, and how many letters it may have (what is
### put in not counted). Targets stand side by side: the shorter the better.

# A target: to the screen before · 14
window-back = Back
# A target: to the site that is measured · 30
window-back-measuring = Back to measuring
# A target, and the title of the list of visits · 20
window-visits = Visits
# A target, and the title of the screen of choices · 20
window-set-up = Set-up
# An answer · 8
window-yes = yes
# An answer · 8
window-no = no
# An answer · 14
window-unknown = not known
# The name of an answer for a screen reader: the answer, then its question · 4
window-answer = { $answer }: { $question }
# A target: a value is put right · 20
window-correct = Correct
# Beside a record · 40
window-next-test = Next test due: { $on }
# A visit that was left open, in lists · 26
window-not-finished = Not finished
# In place of a screen · 50
window-no-visit = No visit is open.
# The key of that name, beside what it does · 12
window-key-space = Space
# As above: the arrow to the left · 12
window-key-left = Left
# As above: the arrow to the right · 12
window-key-right = Right
# As above: the key that goes to the beginning · 12
window-key-home = Home
# A kind of sound, small beside the ledger · 30
window-cable = Cable
# As above · 30
window-microphone = Microphone
