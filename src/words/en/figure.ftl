### Words within the figures of a report, and what the figures are called for those who cannot see them. Each message: where
### it stands, and how many letters it may have.

# Name of a line · 50
figure-line = { $leg }: place on the line
# On the line, where only a lower bound is known · 60
figure-above = above { $lowest }, by how much is not known
# On the line, of an index over 1.6 · 50
figure-beyond = beyond the end of this line
# What a line shows, read aloud · 80
figure-line-bare = A line from 0.0 to 1.6. { $number } No limits are drawn.
# The same with limits · 50
figure-line-limits = A line from 0.0 to 1.6. { $number } Limits of { $set }: { $bands }.
# Within it · 40
figure-lies-above = The index lies above { $lowest }.
# Within it · 60
figure-index-interval = The index is { $index }, its interval { $low } to { $high }.
# Within it · 60
figure-index-bare = The index is { $index }, without an interval.
# Within it · 30
figure-no-index = No index.
# Name of a sonogram · 20
figure-sonogram = Sonogram, { $name }
# What a sonogram shows, read aloud: what was marked as below · 30
figure-seen = { $seconds } seconds of sound: { $events }.
# Nothing was marked · 40
figure-seen-nothing = nothing marked
# Within it · 30
figure-seen-lost = pulse lost at { $at } s
# Within it · 40
figure-seen-return = first pulse heard at { $at } s
# Within it · 20
figure-seen-tap = tap at { $at } s
# Over a sonogram, at the dotted line · 25
figure-lost = pulse lost
# Over a sonogram, at the dotted line · 30
figure-return = first pulse heard
# Over a sonogram, at the solid line · 15
figure-tap = tap
# Under a recording's sonogram · 30
figure-pulses = { $count } pulses (ticks); { $heard }
# Within it · 60
figure-heard-sure = first pulse heard at { $at } s, confidence { $percent } %
# Within it · 40
figure-heard-none = no return heard
