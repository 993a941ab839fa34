### German. Where each message stands, and how long it may be, is said in src/words/en/report.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

report-title = Knöchel-Arm-Index (ABI): Protokoll einer Messung
report-document = { $title }, Akte { $record }
report-record = Akte { $record }
report-foot-page = Hält eine Messung fest. Stellt keine Diagnose.
report-page = Seite { $page } von { $pages }
report-hash-chain = Hash-Kette { $head }
report-label = Patientenetikett
report-head-service = Einrichtung
report-head-record = Akte
report-head-measured = Gemessen
report-head-operator = Messende
report-head-reason = Anlass
report-head-ulcer = Ulkus
report-head-scope = Auftrag
report-on-paper = am { $on }; vom Papierbogen übernommen { $entered }
report-on-paper-by = am { $on } von { $by }; vom Papierbogen übernommen { $entered }
report-foot-purpose = Für die Ausbildung und zum Festhalten dessen, was eine Fachkraft gemessen hat. Stellt keine Diagnose und ist kein zugelassenes Medizinprodukt.
report-foot-record = Maßgeblich sind Ohr und Manometer der Fachkraft; die automatische Erkennung hilft nur. Jeden Wert prüfen.
report-foot-guidance = Leitlinien werden zitiert oder dem Sinn nach mit Quelle wiedergegeben; nichts davon ist ein Rat dieses Programms. Es entscheiden die Regeln vor Ort und die approbierte Fachkraft.
report-foot-unreviewed = Dieser Bericht ist unsere eigene Übersetzung aus dem Englischen. Keine Fachkraft hat die Übersetzung geprüft.
report-foot-confirmed = Die Übersetzung aus dem Englischen wurde für diese Einrichtung bestätigt von { $who }.
report-first = Warnzeichen und Vorsicht
report-red-flag = Warnzeichen, wichtiger als jede Zahl
report-caution = Vorsicht
report-not-finished = Nicht abgeschlossen
report-not-closed = Diese Untersuchung ist nicht abgeschlossen. Was fehlt, kann die Zahlen noch ändern.
report-short-rest = Der Patient hat { $minutes } von { $wanted } Minuten geruht. In Ruhe fällt der Druck: Nach 5 Minuten war die Hälfte von 199 Patienten weniger als 5 mmHg von ihrem Ruhedruck entfernt (Mahe 2017, Scientific Reports, PMC5635024).
report-asked-no = Gefragt und verneint: { $list }.{" "}
report-asked-open = Nicht gefragt oder nicht bekannt: { $list }.{" "}
report-asked-outweighs = Ein solches Zeichen wiegt mehr als jede Zahl, auch wenn es später auftritt.
report-summary = Kurz gefasst
report-indexes = Knöchel-Arm-Index (ABI)
report-leg =
    { $side ->
        [left] Linkes
       *[right] Rechtes
    } Bein des Patienten
report-above = über { $lowest }
report-no-index = kein Index
report-interval = 95-%-Intervall { $ends }
report-made = { $ankle } mmHg ({ $ankle_site }) durch { $arm } mmHg ({ $arm_site }).
report-made-ankle = { $ankle } mmHg ({ $ankle_site }); kein Armdruck.
report-made-open = Eine nicht komprimierbare Knöchelarterie durch { $arm } mmHg ({ $arm_site }).
report-made-arm = Kein Knöcheldruck; Armdruck { $arm } mmHg ({ $arm_site }).
report-made-none = Weder Knöchel- noch Armdruck.
report-crosses = Das Intervall überschreitet den Grenzwert { $limits } von { $set }: Diese Messung kann nicht sagen, auf welcher Seite das Bein liegt.
report-line-key = Auf jeder Linie ist die Raute der Index. Der Balken darüber ist sein 95-%-Intervall. Ein Platz auf der Linie ist eine Zahl, kein Urteil über das Bein.
report-line-key-limits = Auf jeder Linie ist die Raute der Index. Der Balken darüber ist sein 95-%-Intervall. Grenzwerte und Namen sind nur die von { $set }. Ein Platz auf der Linie ist eine Zahl, kein Urteil über das Bein.
report-site =
    { $artery ->
        [arm] Arm
        [dp] A. dorsalis pedis
        [pt] A. tibialis posterior
        [peroneal] A. fibularis
       *[toe] Großzehe
    } { $side ->
        [left] links
       *[right] rechts
    }
report-readings = Woraus die Indizes bestehen
report-pressures = Drücke in mmHg.
report-column-site = Stelle
report-column-right = Rechts (Patient)
report-column-left = Links (Patient)
report-row =
    { $artery ->
        [arm] Arm
        [dp] A. dorsalis pedis
        [pt] A. tibialis posterior
        [peroneal] A. fibularis
       *[toe] Großzehe
    }
report-row-after =
    { $artery ->
        [arm] Arm
        [dp] A. dorsalis pedis
        [pt] A. tibialis posterior
        [peroneal] A. fibularis
       *[toe] Großzehe
    } nach Belastung
report-not-measured = nicht gemessen
report-mean-of = {" "}(Mittel aus { $readings })
report-does-not-count = ; { $outcome } zählt nicht, siehe Versuche
report-from-instrument = , von anderem Gerät
report-from-paper = , vom Papierbogen
report-in-index = , im Index
report-asked-for = Von einer Regel verlangt ({ $why }): { $sites }.
report-conditions = Lage des Patienten: { $posture }. Ruhe vor der Messung: { $minutes } Minuten. Manometer { $gauge }, Teilung { $lines } mmHg. Methode: { $method }.
report-conditions-rest-unknown = Lage des Patienten: { $posture }. Die Ruhe vor der Messung wurde nicht festgehalten. Manometer { $gauge }, Teilung { $lines } mmHg. Methode: { $method }.
report-findings = Befunde vor der Messung
report-foot-found =
    Fuß { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $temperature ->
        [warm] warm
        [cool] kühl
       *[cold] kalt
    }, { $pulse ->
        [yes] Puls getastet
        [no] kein Puls getastet
       *[unknown] Puls nicht geprüft
    }.
report-wound =
    Wunde unter der Manschette, Bein { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $care }.
report-moved =
    Der Patient hat sich { $moved ->
        [1] einmal
       *[other] { $moved }-mal
    } bewegt und neu geruht, zuletzt ab { $from }; { $before ->
        [one] { $before } Messwert stammt
       *[other] { $before } Messwerte stammen
    } von davor.
report-exercised = Belastung beendet { $at }.
report-exercised-words = Belastung beendet { $at }: { $words }.
report-cuffs-both =
    { $limb ->
        [arm] Manschetten, beide Arme
       *[ankle] Manschetten, beide Knöchel
    }: { $size }
report-cuff-one =
    Manschette, { $limb ->
        [arm] Arm
       *[ankle] Knöchel
    } { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $size }
report-cuff-size = Blase { $width } x { $length } cm, Umfang { $around } cm.
report-cuff-size-unknown = Blase { $width } x { $length } cm, Umfang nicht gemessen, Größe daher nicht geprüft.
report-diseases =
    Diabetes { $diabetes ->
        [yes] ja
        [no] nein
       *[unknown] nicht bekannt
    }, Nierenerkrankung { $kidney ->
        [yes] ja
        [no] nein
       *[unknown] nicht bekannt
    }.
report-plan = Plan und nächste Messung
report-next-test = Nächste Messung am { $on } ({ $who }).
report-signature = Unterschrift
report-countersigned = In der Akte gegengezeichnet von { $who }.
report-blank-by = Gemessen von
report-blank-signature = Unterschrift
report-blank-date = Datum
report-blank-checked = Geprüft von
report-guidance = Veröffentlichte Leitlinien
report-source = Quelle: { $source }
report-says-nothing = Dieses Regelwerk hat für das Bein, so wie gemessen, keine Empfehlung.
report-cannot-tell = Was die Zahl nicht sagen kann
report-cannot-rule-out = Keine Zahl schließt eine arterielle Erkrankung aus, am wenigsten bei Diabetes oder Nierenerkrankung (NICE CKS, nach einer Sekundärquelle).
report-cannot-stiff = Steife Arterien widerstehen der Manschette. Der Index ist dann falsch hoch (ACC/AHA 2016 und 2024 nennen einen Index über 1,40 „non-compressible“, nicht komprimierbar).
report-cannot-where = Die Zahl sagt nicht, wo eine Arterie verengt ist, und nicht, wie gut eine Wunde heilen wird (übliche Praxis).
report-cannot-cover = Das Intervall umfasst Manometer, Druckschwankung von Schlag zu Schlag und Reaktionszeit. Nicht umfasst sind eine falsche Manschettengröße, ein unruhiger Patient und zu kurze Ruhe.
report-cannot-urgent = Ruheschmerz, Gewebeverlust, eine sich ausbreitende Infektion oder ein kalter, blasser oder tauber Fuß ist bei jeder Zahl dringend (übliche Praxis).
report-cannot-zero = { $leg }: Es wurde kein Index gewonnen; das bedeutet nicht, dass der Index null ist.
report-notes = Anmerkungen und Annahmen
report-note-by = Anmerkung von { $who }: { $words }
report-amended = Ereignis { $of } wurde von { $who } am { $at } berichtigt: { $why }.
report-amended-apart = {" "}Die Berichtigung entstand auf einem anderen Computer ohne Kenntnis der vorherigen: Beide bleiben erhalten, diese gilt, und jemand muss es klären.
report-attempts = Alle Versuche
report-attempts-caption = Alle Versuche in ihrer Reihenfolge. Fette Zeilen mit Balken sind Teil eines Index.
report-column-outcome = Ergebnis
report-column-tap = Markierung und Erkennung
report-column-deflation = Ablassen
report-column-counts = Wofür es zählt
report-attempt-after = { $site } nach Belastung
report-attempt-which = , { $n } von { $all }
report-attempt-entered = {" "}(von anderem Gerät übernommen)
report-attempt-paper = {" "}(vom Papierbogen übernommen)
report-counts-not = Zählt nicht: { $why }.
report-counts-as = Zählt als { $parts }.
report-counts-as-mean = Zählt als { $parts }, im Mittel { $mean } mit den anderen dieser Stelle.
report-counts-site = Zählt für seine Stelle; nicht Teil eines Index.
report-counts-site-mean = Zählt für seine Stelle, im Mittel { $mean } mit den anderen dieser Stelle; nicht Teil eines Index.
report-counts-no-pressure = Kein Druck.
report-part-ankle =
    Knöcheldruck des { $side ->
        [left] linken
       *[right] rechten
    } Beins
report-part-arm =
    Armdruck des { $side ->
        [left] linken
       *[right] rechten
    } Beins
report-part-arm-both = Armdruck beider Beine
report-rate = { $rate } mmHg/s
report-rate-unknown = nicht festgehalten
report-tap-heard = Markierung bei { $mark } s, { $lateness }
report-tap-unheard = Markierung bei { $mark } s; { $lateness }
report-no-tap-heard = Keine Markierung; erster Puls gehört bei { $back } s
report-no-tap = Keine Markierung, { $lateness }
report-tap-moved = ; Markierung danach auf { $to } s verschoben
report-late-before = { $by } s vor dem ersten gehörten Puls
report-late-after = { $by } s nach dem ersten gehörten Puls
report-late-no-listener = keine automatische Erkennung
report-late-no-tap = keine Markierung
report-late-no-return = die Erkennung hörte keine Rückkehr
report-sounds = Der Ton an jeder Stelle
report-sounds-key = Die Zeit läuft nach rechts, die Tonhöhe nach oben; je dunkler, desto lauter über dem Hintergrund. Gepunktete Linien zeigen, was die automatische Erkennung hörte. Die durchgezogene Linie ist die Markierung der Fachkraft. Maßgeblich sind Ohr und Manometer; die Erkennung hilft nur.
report-caption-tap = Markierung: { $late }
report-caption-confidence = {" "}Konfidenz { $percent } %.
report-caption-confident = {" "}Konfidenz über 99 %.
report-caption-pulse = {" "}Puls { $rate }/min.
report-caption-rhythm = {" "}Puls { $rate }/min, { $rhythm }.
report-caption-hard = {" "}Schwer zu hören: { $why }.
report-heard-regular = regelmäßig
report-heard-irregular = unregelmäßig
report-heard-too-quiet = zu leise
report-heard-clipped = übersteuert
report-heard-hum = Netzbrummen
report-heard-talk = Sprache über dem Signal
report-heard-no-pulse = noch kein Puls
report-heard-broken = fehlerhafte Abtastwerte
report-heard-moved = Sonde verrutscht
report-versions = Regeln, Versionen und Quellen
report-program = Programm cuffnote { $program }, Erkennung { $listener }.
report-program-alone = Programm cuffnote { $program }. Es lief keine automatische Erkennung.
report-set = {" "}{ $set }, Fassung { $version }, neu zu prüfen bis { $on }.
report-chain = {" "}Kopf einer Hash-Kette, wie angegeben und nicht geprüft: { $head }.
report-kept = Aktenbuch: Untersuchung { $visit }, Kopf { $head }.
report-from-file = Aus einer Datei erstellt, die jeder ändern kann: Dies ist keine Akte. Das Aktenbuch kann die Datei bestätigen (cuffnote book confirm).
report-table = Tabelle der Messwerte
