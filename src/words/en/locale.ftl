### How the language writes numbers, days and lists. Each message: where it stands, and how many letters it may have.

# The language's own name for itself, where languages are listed · 30
locale-name = English
# Between whole numbers and decimals · 1
locale-decimal = .
# How nouns are written within a line: small or large · 5
locale-nouns = small
# Two or more things joined: sites, limits · 20
locale-and = { $a } and { $b }
# Two or more ranges of which one is enough · 20
locale-or = { $a } or { $b }
# A day in full, in the head of the report and in sentences · 40
locale-day =
    { $day } { $month ->
        [1] January
        [2] February
        [3] March
        [4] April
        [5] May
        [6] June
        [7] July
        [8] August
        [9] September
        [10] October
        [11] November
       *[12] December
    } { $year }
# A moment in full, in the head of the report and in sentences · 40
locale-moment = { $day }, { $time } (UTC { $offset })
# A day in figures, in lines of the plan · 20
locale-short-day = { $iso }
# Behind the code of an operator who was followed by another · 20
locale-then = , then{" "}
