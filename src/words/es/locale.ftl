### Spanish. Where each message stands, and how long it may be, is said in src/words/en/locale.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

locale-name = Español
locale-decimal = ,
locale-nouns = small
locale-day =
    { $day } de { $month ->
        [1] enero
        [2] febrero
        [3] marzo
        [4] abril
        [5] mayo
        [6] junio
        [7] julio
        [8] agosto
        [9] septiembre
        [10] octubre
        [11] noviembre
       *[12] diciembre
    } de { $year }
locale-moment = { $day }, { $time } (UTC { $offset })
locale-short-day = { $day }/{ $month }/{ $year }
locale-and = { $a } y { $b }
locale-or = { $a } o { $b }
locale-then = , después{" "}
