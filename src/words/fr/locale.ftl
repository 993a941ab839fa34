### French. Where each message stands, and how long it may be, is said in src/words/en/locale.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

locale-name = Français
locale-decimal = ,
locale-nouns = small
locale-day =
    { $day ->
        [1] 1er
       *[other] { $day }
    } { $month ->
        [1] janvier
        [2] février
        [3] mars
        [4] avril
        [5] mai
        [6] juin
        [7] juillet
        [8] août
        [9] septembre
        [10] octobre
        [11] novembre
       *[12] décembre
    } { $year }
locale-moment = { $day } à { $time } (UTC { $offset })
locale-short-day = { $day }/{ $month }/{ $year }
locale-and = { $a } et { $b }
locale-or = { $a } ou { $b }
locale-then = , puis{" "}
