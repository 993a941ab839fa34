### Dutch. Where each message stands, and how long it may be, is said in src/words/en/drill.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

drill-number = Oefening { $number } van { $count }
drill-title = { $lesson }, oefening { $number } van { $count }
drill-title-open = { $lesson }, oefening { $number }
drill-silence = Stilte
drill-end = Hier stoppen
drill-kept = Bewaard.
drill-next = Volgende
drill-gauge = manometer
drill-squeeze = Knijpen
drill-let-go = Loslaten
drill-shut = Dicht
drill-open-more = Meer open
drill-close-little = Iets dicht
drill-valve = Ventiel, Omhoog en Omlaag
drill-key-up = Omhoog
drill-key-down = Omlaag
drill-keep = Bewaren
drill-erase = Wissen
drill-tap = Markeren
drill-teacher-taps = Docent markeert
drill-no-pulse = Geen pols terug
drill-tapped = Gemarkeerd. De laatste markering telt.
drill-teacher-tapped = De docent heeft gemarkeerd.
drill-asks = Druk bij de markering, dan Enter
drill-asks-student = Meting van de student, dan Enter
drill-asks-teacher = Meting van de docent, dan Enter
drill-asks-nothing = Deze opname heeft geen druk: Enter beëindigt haar
drill-picture = het geluid als beeld
drill-in-place = de laatste 12 s, in plaats van geluid
drill-truth-and-tap = het geluid met de waarheid en uw markering
drill-to-hear = het geluid, om opnieuw te horen
drill-both-taps = het geluid met beide markeringen
drill-teachers-tap = markering van de docent
drill-task-recording = Een opname: iemand anders bediende de manchet. Markeer bij de eerste van twee terugkerende polsslagen in ritme.
drill-task-live = Pomp op tot het geluid stopt en laat langzaam leeglopen. Ieder markeert bij de eerste terugkerende polsslag. Typ dan beide metingen.
drill-silent = Er klinkt geen geluid: beeld en klok gaan door.
drill-opening = De luidspreker wordt geopend.
drill-live = Echt geluid: het ware moment is niet bekend. Gebruik de manchet van de patiënt zelf.
drill-silenced = Stil. Het beeld en de klok gaan door.
drill-playing = Uitgang: { $to }, nooit boven een kwart van de volle schaal.
drill-truth-simulated = gesimuleerd: de waarheid is bekend
drill-truth-recording = opname: de waarheid is { $who }
drill-truth-live = echt geluid: het ware moment is onbekend
drill-confirmed-tap = de markering van de zorgverlener bij een meting
drill-confirmed-mark = de markering van een tweede luisteraar
drill-missing-word = Kies een woord
drill-missing-tap = Markeer eerst bij de eerste terugkerende polsslag, of zeg dat er geen kwam
drill-missing-reading = Typ de druk
drill-missing-pressure = Een druk is 0 tot 300 mmHg: lees de manometer opnieuw af
drill-patient-enough = „Laat nu alstublieft los.” Open het ventiel.
drill-patient-hurts = „Dat doet pijn!” Hoger dan nodig: open het ventiel.
drill-patient-numb = „Het wordt gevoelloos.”
drill-patient-tight = „Dat zit erg strak.”
drill-ms = { $n } ms
drill-tap-right = U markeerde { $time } na de eerste polsslag, voor de volgende.
drill-tap-before = U markeerde { $time } voor de eerste polsslag.
drill-tap-late =
    U markeerde { $beats ->
        [1] één slag
        [2] twee slagen
        [3] drie slagen
       *[other] { $beats } slagen
    } te laat: { $time } na de eerste polsslag.
drill-tap-early =
    U markeerde { $beats ->
        [1] één slag
        [2] twee slagen
        [3] drie slagen
       *[other] { $beats } slagen
    } te vroeg: { $time } voor de eerste polsslag.
drill-needle = De naald stond op { $truth } bij de eerste polsslag, op { $tap } toen u markeerde: { $off }.
drill-needle-read = De naald stond op { $truth } bij de eerste polsslag, op { $tap } toen u markeerde; u las { $read }: { $off }.
drill-off-none = geen verschil
drill-off-low = { $n } te laag
drill-off-high = { $n } te hoog
drill-fall-fast = De manchet daalde { $rate } mmHg per seconde: te snel. De druk is een slag te laag voor u het kunt horen.
drill-fall-slow = De manchet daalde { $rate } mmHg per seconde: langzamer dan nodig. Het been vult zich en de patiënt wacht.
drill-fall-right = De manchet daalde { $rate } mmHg per seconde: ongeveer goed (2 tot 3).
drill-effect = Met { $arm } mmHg aan de arm zou de index { $read } zijn volgens uw meting en { $truth } volgens de ware druk.
drill-effect-same = { $set } zegt van beide hetzelfde.
drill-effect-other = { $set } zegt „{ $read }” van de ene en „{ $truth }” van de andere.
drill-no-closed = het signaal stopte nooit: pomp minstens 20 boven de druk op waarbij het stopt
drill-no-back = er kwam geen hoorbare polsslag terug: laat verder leeglopen voor u stopt
drill-no-occluded = u markeerde terwijl de slagader dicht was: er was nog geen polsslag terug
drill-no-tap = de polsslag kwam terug en u markeerde niet
drill-no-return = bij dit leeglopen kwam geen polsslag terug
drill-no-score-here = Hier telt geen markering: { $why }.
drill-word-right = { $word }: goed.
drill-word-wrong = U zei { $answer }; het was { $right }.
drill-between = Student min docent: { $all }.
drill-between-beats = { $beats } slagen ({ $ms } ms)
drill-between-unknown = slagen onbekend ({ $ms } ms)
drill-between-read = { $mmhg } mmHg volgens de metingen
drill-between-needle = { $mmhg } volgens de naald
drill-compared = Slagen zijn die van de automatische detectie. Geen markering is de waarheid.
drill-ended-early = Beëindigd: één of beide metingen ontbreken.
drill-index =
    { $side ->
        [left] Linkerbeen
       *[right] Rechterbeen
    } van de patiënt: index { $read } volgens uw metingen, { $truth } volgens de ware drukken.
drill-index-other = De richtlijn zou iets anders adviseren.
drill-not-formed = niet gevormd
drill-over = { $lesson }: klaar
drill-over-sealed = Een toets, verzegeld: alleen het woord van de docent opent haar.
drill-again = Geval { $number } opnieuw
drill-again-sound = het geluid van dit geval, om opnieuw te horen
drill-hear-again = Geval { $number } opnieuw horen
drill-done = Klaar
drill-threshold = In lawaai vindt u de terugkeer in 70,7 % van de pogingen bij { $db } dB signaal boven lawaai ({ $trials } pogingen; twee omlaag, één omhoog: Levitt 1971).
drill-sum-passed = { $passed } van { $count } gehaald
drill-sum-taps = markeringen { $mean } ms laat, spreiding { $spread }
drill-sum-taps-early = markeringen { $mean } ms te vroeg, spreiding { $spread }
drill-sum-readings = metingen { $bias } mmHg (grenzen { $low } tot { $high })
drill-sum-zero = { $percent } % der metingen eindigt op 0
