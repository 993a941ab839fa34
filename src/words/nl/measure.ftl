### Dutch. Where each message stands, and how long it may be, is said in src/words/en/measure.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

measure-find = Zoeken
measure-inflate = Oppompen
measure-deflate = Leeglopen
measure-read = Aflezen
measure-now = nu: { $stage }
measure-stage = stap { $stage }
measure-stage-now = stap { $stage }, nu
measure-stage-done = stap { $stage }, gedaan
measure-finish-change = Afronden of wijzigen
measure-wait = Wacht { $seconds } s voor u deze arm of dit been weer oppompt.
measure-place-brachial = Binnenkant van de elleboogplooi. Gel, sonde op ongeveer 45 tot 60 graden.
measure-place-dp = Voetrug, naast de pees van de grote teen. Manchet net boven de malleoli.
measure-place-pt = Achter de binnenenkel. Manchet net boven de malleoli.
measure-place-peroneal = Voor de buitenenkel. Manchet net boven de malleoli.
measure-gauge = Gesimuleerde manometer: { $mmhg } mmHg
measure-sound =
    { $beats ->
        [one] Dopplergeluid. Tik om te markeren. Hier { $beats } slag gehoord.
       *[other] Dopplergeluid. Tik om te markeren. Hier { $beats } slagen gehoord.
    }
measure-inflated-to = Opgepompt tot (mag leeg)
measure-needle = Naald bij de markering
measure-typed = Ingevoerd: { $text }
measure-tap = Markeren
measure-keep = Bewaren
measure-set = Zetten
measure-stop = Stop
measure-repeat = Herhalen
measure-erase = Wissen
measure-no-signal = Geen signaal
measure-not-compressible = Niet samendrukbaar
measure-not-measured = Niet gemeten
measure-undo = Ongedaan
measure-at-10 = Bij 10
measure-inflated = Opgepompt
measure-finish = Afronden
measure-next-stage = Volgende stap
measure-finish-why = Hier afronden? Zeg waarom de rest niet is gemeten.
measure-reason-wound = wond of verband
measure-reason-pain = te pijnlijk
measure-reason-declines = patiënt wil niet
measure-reason-cuff = geen passende manchet
measure-reason-time = geen tijd
measure-reason-amputation = amputatie
measure-reason-bandage = zwachtel of gips blijft om
measure-reason-oedema = oedeem
measure-reason-tremor = tremor
measure-own = In eigen woorden
measure-record-reason = Deze reden vastleggen
measure-moved = Patiënt bewoog: rust opnieuw
measure-questions = Vragen, manchetten, voeten
measure-operator = Andere zorgverlener (code)
measure-hand-over = Overdragen
measure-kept = Bewaard: { $outcome }
measure-no-return = Cuffnote heeft de terugkeer niet herkend. De meting is van u.
measure-probe-moved = De sonde is verschoven: deze meting is twijfelachtig. Herhaal haar.
measure-next = Volgende plaats
measure-correct = Corrigeren
measure-absent = afwezig
measure-unclear = onduidelijk
measure-locked = Vergrendeld voor reiniging
measure-locked-keys = Spatie markeert nog en Esc stopt nog.
measure-unlock = Ontgrendelen
measure-patients = patiënt
measure-side =
    { $side ->
        [left] links
       *[right] rechts
    }
measure-row =
    { $artery ->
        [arm] arm
        [dp] dorsalis pedis
        [pt] tibialis post.
       *[toe] teen
    }
measure-cell-now = nu
measure-cell-not-compressible = niet samendr.
measure-cell-no-signal = geen signaal
measure-cell-not-measured = niet gemeten
measure-cell-conflict = tegenspraak
measure-cell = { $site }: { $why }
measure-cell-here = { $site }: { $why }, nu
measure-provisional = voorlopig
measure-not-yet = nog niet
measure-pulse = Pols { $rate }/min
measure-deflation = Leeglopen { $rate } mmHg/s, { $from }
measure-recording = ● OPNAME
measure-not-recording = geen opname
measure-saving = opslaan...
