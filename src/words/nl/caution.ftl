### Dutch. Where each message stands, and how long it may be, is said in src/words/en/caution.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

caution-of-limb =
    { $limb ->
        [leg] been
        [arm] arm
       *[patient] kant
    } { $side ->
        [left] links
       *[right] rechts
    } (patiënt): { $words } [{ $source }]
caution-of-patient = { $words } [{ $source }]
caution-source = { $source } ({ $status })
caution-unknown = `{ $id }` is genoteerd; deze versie kent het niet en behandelt het als alarmsymptoom
caution-unknown-source = genoteerd in het bezoek
caution-acute-limb = Voet plotseling koud, bleek, gevoelloos of zwak?
    .words = een plotseling koude, bleke, gevoelloze of zwakke voet is genoteerd: mogelijk acute ischemie van het been, een spoedgeval wat het getal ook is
    .source = gangbare praktijk
caution-rest-pain = Pijn in de voet in rust of 's nachts?
    .words = rustpijn is genoteerd: een teken van ischemie die het been bedreigt, wat het getal ook is
    .source = TASC II (2007), tabel in PMC11279131, noemt rustpijn; dat dit zwaarder weegt dan het getal is gangbare praktijk
caution-gangrene = Gangreen of zwart weefsel?
    .words = gangreen is genoteerd: een teken van ischemie die het been bedreigt, wat het getal ook is
    .source = TASC II (2007), tabel in PMC11279131, noemt gangreen; dat dit zwaarder weegt dan het getal is gangbare praktijk
caution-spreading-infection = Infectie van voet of been die zich uitbreidt?
    .words = een infectie die zich uitbreidt is genoteerd: dringend, wat het getal ook is
    .source = gangbare praktijk; in NHANES is cellulitis een reden om geen manchet om te doen
caution-suspected-clot = Diepe veneuze trombose vermoed of kort geleden?
    .words = een vermoede of recente diepe veneuze trombose is genoteerd: de bron zegt de test niet te doen
    .source = NHS Schotland, procedure (vanaf 2024)
caution-absent-signals = Geen signaal aan beide enkelarteriën
    .words = geen signaal gevonden aan a. dorsalis pedis en a. tibialis posterior: er is geen index, en het ontbreken zelf is dringend
    .source = gangbare praktijk
caution-graft-or-stent = Bypass of stent onder de manchet?
    .words = een bypass of stent onder de manchet is genoteerd: de bron zegt daar niet op te pompen
    .source = cursusmateriaal vaatdiagnostiek; AHA 2012 via een samenvatting
caution-wound-under-cuff = Open wond onder de manchet?
    .words = een wond onder de manchet is genoteerd: bedek haar, of sla de plaats over
    .source = AHA 2012, via een secundaire bron
caution-arm-not-usable = Dialysefistel, lymfoedeem of lymfeklieroperatie aan de kant van deze arm?
    .words = een fistel, lymfoedeem of lymfeklieroperatie is genoteerd: de bron gebruikt alleen de andere arm
    .source = cursusmateriaal vaatdiagnostiek
caution-diabetes = Diabetes
    .words = diabetes is genoteerd: een index binnen of boven het gebruikelijke gebied sluit arterieel vaatlijden niet uit
    .source = NICE CKS, tekst via een secundaire bron
caution-kidney = Chronische nierziekte
    .words = chronische nierziekte is genoteerd: een index binnen of boven het gebruikelijke gebied sluit arterieel vaatlijden niet uit
    .source = NICE CKS, tekst via een secundaire bron
