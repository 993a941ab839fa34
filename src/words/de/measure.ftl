### German. Where each message stands, and how long it may be, is said in src/words/en/measure.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

measure-find = Suchen
measure-inflate = Aufpumpen
measure-deflate = Ablassen
measure-read = Ablesen
measure-now = jetzt: { $stage }
measure-stage = Schritt { $stage }
measure-stage-now = Schritt { $stage }, jetzt
measure-stage-done = Schritt { $stage }, erledigt
measure-finish-change = Beenden oder ändern
measure-wait = Noch { $seconds } s warten, bevor diese Gliedmaße wieder gestaut wird.
measure-place-brachial = Innenseite der Ellenbeuge. Gel, Sonde etwa 45 bis 60 Grad geneigt.
measure-place-dp = Fußrücken, neben der Sehne der Großzehe. Manschette dicht über den Malleolen.
measure-place-pt = Hinter dem Innenknöchel. Manschette dicht über den Malleolen.
measure-place-peroneal = Vor dem Außenknöchel. Manschette dicht über den Malleolen.
measure-gauge = Simuliertes Manometer: { $mmhg } mmHg
measure-sound =
    { $beats ->
        [one] Dopplerton. Tippen markiert. Hier { $beats } Schlag gehört.
       *[other] Dopplerton. Tippen markiert. Hier { $beats } Schläge gehört.
    }
measure-inflated-to = Aufgepumpt bis (freiwillig)
measure-needle = Zeiger bei der Markierung
measure-typed = Eingabe: { $text }
measure-tap = Markieren
measure-keep = Speichern
measure-set = Setzen
measure-stop = Stopp
measure-repeat = Nochmal
measure-erase = Entf
measure-no-signal = Kein Signal
measure-not-compressible = Nicht komprimierbar
measure-not-measured = Nicht gemessen
measure-undo = Rückgängig
measure-at-10 = Bei 10
measure-inflated = Aufgepumpt
measure-finish = Beenden
measure-next-stage = Weiter
measure-finish-why = Hier beenden? Sagen, warum der Rest nicht gemessen wurde.
measure-reason-wound = Wunde oder Verband
measure-reason-pain = zu schmerzhaft
measure-reason-declines = Patient lehnt ab
measure-reason-cuff = keine passende Manschette
measure-reason-time = keine Zeit
measure-reason-amputation = Amputation
measure-reason-bandage = Verband oder Gips bleibt
measure-reason-oedema = Ödem
measure-reason-tremor = Tremor
measure-own = In eigenen Worten
measure-record-reason = Diesen Grund festhalten
measure-moved = Patient bewegt: Ruhe neu beginnen
measure-questions = Fragen, Manschetten, Füße
measure-operator = Andere Fachkraft (Code)
measure-hand-over = Übergeben
measure-kept = Gespeichert: { $outcome }
measure-no-return = Cuffnote hat die Rückkehr nicht erkannt. Der Messwert ist Ihrer.
measure-probe-moved = Die Sonde ist verrutscht: Dieser Messwert ist zweifelhaft. Wiederholen.
measure-next = Nächste Stelle
measure-correct = Berichtigen
measure-absent = kein Ton
measure-unclear = unklar
measure-locked = Zum Reinigen gesperrt
measure-locked-keys = Leertaste markiert und Esc stoppt auch jetzt.
measure-unlock = Entsperren
measure-patients = Patient
measure-side =
    { $side ->
        [left] links
       *[right] rechts
    }
measure-row =
    { $artery ->
        [arm] Arm
        [dp] dorsalis pedis
        [pt] tibialis posterior
       *[toe] Zehe
    }
measure-cell-now = jetzt
measure-cell-not-compressible = nicht kompr.
measure-cell-no-signal = kein Signal
measure-cell-not-measured = nicht gemessen
measure-cell-conflict = Widerspruch
measure-cell = { $site }: { $why }
measure-cell-here = { $site }: { $why }, jetzt
measure-provisional = vorläufig
measure-not-yet = noch nicht
measure-pulse = Puls { $rate }/min
measure-deflation = Ablassen { $rate } mmHg/s, { $from }
measure-recording = ● AUFNAHME
measure-not-recording = keine Aufnahme
measure-saving = wird gespeichert...
