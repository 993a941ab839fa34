### German. Where each message stands, and how long it may be, is said in src/words/en/locale.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

locale-name = Deutsch
locale-decimal = ,
locale-nouns = large
locale-day =
    { $day }. { $month ->
        [1] Januar
        [2] Februar
        [3] März
        [4] April
        [5] Mai
        [6] Juni
        [7] Juli
        [8] August
        [9] September
        [10] Oktober
        [11] November
       *[12] Dezember
    } { $year }
locale-moment = { $day }, { $time } Uhr (UTC { $offset })
locale-short-day = { $day }.{ $month }.{ $year }
locale-and = { $a } und { $b }
locale-or = { $a } oder { $b }
locale-then = , dann{" "}
