### Dutch. Where each message stands, and how long it may be, is said in src/words/en/locale.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

locale-name = Nederlands
locale-decimal = ,
locale-nouns = small
locale-day =
    { $day } { $month ->
        [1] januari
        [2] februari
        [3] maart
        [4] april
        [5] mei
        [6] juni
        [7] juli
        [8] augustus
        [9] september
        [10] oktober
        [11] november
       *[12] december
    } { $year }
locale-moment = { $day } om { $time } (UTC { $offset })
locale-short-day = { $day }-{ $month }-{ $year }
locale-and = { $a } en { $b }
locale-or = { $a } of { $b }
locale-then = , daarna{" "}
