### German. Where each message stands, and how long it may be, is said in src/words/en/caution.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

caution-of-limb =
    { $limb ->
        [leg] Bein
        [arm] Arm
       *[patient] Seite
    } { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $words } [{ $source }]
caution-of-patient = { $words } [{ $source }]
caution-source = { $source } ({ $status })
caution-unknown = `{ $id }` wurde angegeben; diese Version kennt es nicht und behandelt es als Warnzeichen
caution-unknown-source = in der Untersuchung angegeben
caution-acute-limb = Fuß plötzlich kalt, blass, taub oder schwach?
    .words = ein plötzlich kalter, blasser, tauber oder schwacher Fuß wurde angegeben: mögliche akute Extremitätenischämie, ein Notfall bei jedem Wert
    .source = übliche Praxis
caution-rest-pain = Schmerzen im Fuß in Ruhe oder nachts?
    .words = Ruheschmerz wurde angegeben: Zeichen einer extremitätenbedrohenden Ischämie bei jedem Wert
    .source = TASC II (2007), Tabelle in PMC11279131, nennt Ruheschmerz; dass er mehr wiegt als die Zahl, ist übliche Praxis
caution-gangrene = Gangrän oder schwarzes Gewebe?
    .words = Gangrän wurde angegeben: Zeichen einer extremitätenbedrohenden Ischämie bei jedem Wert
    .source = TASC II (2007), Tabelle in PMC11279131, nennt Gangrän; dass sie mehr wiegt als die Zahl, ist übliche Praxis
caution-spreading-infection = Infektion an Fuß oder Bein, die sich ausbreitet?
    .words = eine sich ausbreitende Infektion wurde angegeben: dringend bei jedem Wert
    .source = übliche Praxis; Phlegmone ist in NHANES ein Grund, keine Manschette anzulegen
caution-suspected-clot = Verdacht auf tiefe Venenthrombose, oder kürzlich eine?
    .words = eine vermutete oder kürzliche tiefe Venenthrombose wurde angegeben: laut Quelle die Messung nicht durchführen
    .source = NHS Schottland, Verfahrensanweisung (ab 2024)
caution-absent-signals = Kein Signal an beiden Knöchelarterien
    .words = an A. dorsalis pedis und A. tibialis posterior wurde kein Signal gefunden: Es gibt keinen Index, und schon das Fehlen ist dringend
    .source = übliche Praxis
caution-graft-or-stent = Bypass oder Stent unter der Manschette?
    .words = ein Bypass oder Stent unter der Manschette wurde angegeben: laut Quelle dort nicht aufpumpen
    .source = Kursunterlagen Gefäßdiagnostik; AHA 2012 nach einer Zusammenfassung
caution-wound-under-cuff = Offene Wunde unter der Manschette?
    .words = eine Wunde unter der Manschette wurde angegeben: abdecken oder die Stelle auslassen
    .source = AHA 2012, nach einer Sekundärquelle
caution-arm-not-usable = Dialysefistel, Lymphödem oder Lymphknoten-OP auf der Seite dieses Arms?
    .words = Fistel, Lymphödem oder Lymphknoten-OP wurde angegeben: laut Quelle nur am anderen Arm messen
    .source = Kursunterlagen Gefäßdiagnostik
caution-diabetes = Diabetes
    .words = Diabetes wurde angegeben: Ein Index im oder über dem üblichen Bereich schließt eine arterielle Erkrankung nicht aus
    .source = NICE CKS, Wortlaut nach einer Sekundärquelle
caution-kidney = Chronische Nierenerkrankung
    .words = eine chronische Nierenerkrankung wurde angegeben: Ein Index im oder über dem üblichen Bereich schließt eine arterielle Erkrankung nicht aus
    .source = NICE CKS, Wortlaut nach einer Sekundärquelle
