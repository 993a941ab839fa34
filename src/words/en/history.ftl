### One record from visit to visit. Each message: where it stands, and how many letters it may have.

# A visit whose numbers cannot be worked out · 30
history-fault = Not calculated: { $day }: { $why }
# Before a change since the first visit · 30
history-since-first = Since the first visit: { $change }
# A change that is marked · 16
history-changed = Changed. { $change }
# Under a leg's picture · 30
history-toe = Toe pressure { $mmhg } mmHg.
# The name of a leg's picture for a screen reader · 24
history-picture = { $leg } over time: { $steps }
# An index with its ends · 10
history-index = { $index } ({ $low } to { $high })
# The title of the list · 40
history-visits = Visits of this record
# Under it · 70
history-choose = Choose two to see them side by side.
# A choice of a visit · 24
history-beside = side by side
# The name of such a choice for a screen reader · 26
history-beside-name = side by side, { $day }
# A target: a visit's result · 14
history-open = Open { $day }
# A visit's two indexes · 24
history-both = right { $right }, left { $left }
# Behind a visit that was left open · 24
history-not-finished = not finished
# The title of the comparison · 24
history-side-by-side = Side by side
# A leg's change, or its index, in the comparison · 10
history-leg = { $leg }: { $change }
# A site without a pressure in the comparison · 40
history-no-value = no value that counts
