### Dutch. Where each message stands, and how long it may be, is said in src/words/en/report.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

report-title = Enkel-armindex (EAI): verslag van een meting
report-document = { $title }, dossier { $record }
report-record = Dossier { $record }
report-foot-page = Legt een meting vast. Stelt geen diagnose.
report-page = Pagina { $page } van { $pages }
report-hash-chain = Hashketen { $head }
report-label = Patiëntetiket
report-head-service = Dienst
report-head-record = Dossier
report-head-measured = Gemeten
report-head-operator = Meting door
report-head-reason = Reden
report-head-ulcer = Ulcus
report-head-scope = Aanvraag
report-on-paper = op { $on }; van papier overgenomen { $entered }
report-on-paper-by = op { $on } door { $by }; van papier overgenomen { $entered }
report-foot-purpose = Voor opleiding en om vast te leggen wat een zorgverlener heeft gemeten. Stelt geen diagnose en is geen toegelaten medisch hulpmiddel.
report-foot-record = Oor en manometer van de zorgverlener zijn bepalend; de automatische detectie helpt alleen. Controleer elke waarde.
report-foot-guidance = Richtlijnen worden geciteerd of naar de strekking weergegeven met hun bron; niets is advies van dit programma. Lokaal beleid en de bevoegde zorgverlener beslissen.
report-foot-unreviewed = Dit verslag is onze eigen vertaling uit het Engels. Geen zorgverlener heeft de vertaling nagekeken.
report-foot-confirmed = De vertaling uit het Engels is voor deze dienst bevestigd door { $who }.
report-first = Alarmsymptomen en aandachtspunten
report-red-flag = Alarmsymptoom, boven elk getal
report-caution = Let op
report-not-finished = Niet afgesloten
report-not-closed = Dit bezoek is niet afgesloten. Wat ontbreekt kan de getallen nog veranderen.
report-short-rest = De patiënt rustte { $minutes } van { $wanted } minuten. In rust daalt de druk: na 5 minuten zat de helft van 199 patiënten minder dan 5 mmHg van hun stabiele druk (Mahe 2017, Scientific Reports, PMC5635024).
report-asked-no = Gevraagd en ontkend: { $list }.{" "}
report-asked-open = Niet gevraagd of niet bekend: { $list }.{" "}
report-asked-outweighs = Zo'n teken weegt zwaarder dan elk getal, ook als het later komt.
report-summary = In het kort
report-indexes = Enkel-armindex (EAI)
report-leg =
    { $side ->
        [left] Linkerbeen
       *[right] Rechterbeen
    } van de patiënt
report-above = boven { $lowest }
report-no-index = geen index
report-interval = 95%-interval { $ends }
report-made = { $ankle } mmHg ({ $ankle_site }) gedeeld door { $arm } mmHg ({ $arm_site }).
report-made-ankle = { $ankle } mmHg ({ $ankle_site }); geen armdruk.
report-made-open = Een niet samendrukbare enkelarterie, gedeeld door { $arm } mmHg ({ $arm_site }).
report-made-arm = Geen enkeldruk; armdruk { $arm } mmHg ({ $arm_site }).
report-made-none = Geen enkeldruk en geen armdruk.
report-crosses = Het interval kruist de grens { $limits } van { $set }: deze meting kan niet zeggen aan welke kant het been ligt.
report-line-key = Op elke lijn is de ruit de index. De balk erboven is het 95%-interval. Een plaats op de lijn is een getal, geen oordeel over het been.
report-line-key-limits = Op elke lijn is de ruit de index. De balk erboven is het 95%-interval. De grenzen en namen zijn alleen die van { $set }. Een plaats op de lijn is een getal, geen oordeel over het been.
report-site =
    { $artery ->
        [arm] arm
        [dp] a. dorsalis pedis
        [pt] a. tibialis posterior
        [peroneal] a. peronea
       *[toe] grote teen
    } { $side ->
        [left] links
       *[right] rechts
    }
report-readings = Waaruit de indexen bestaan
report-pressures = Drukken in mmHg.
report-column-site = Plaats
report-column-right = Rechts (patiënt)
report-column-left = Links (patiënt)
report-row =
    { $artery ->
        [arm] Arm
        [dp] A. dorsalis pedis
        [pt] A. tibialis posterior
        [peroneal] A. peronea
       *[toe] Grote teen
    }
report-row-after =
    { $artery ->
        [arm] Arm
        [dp] A. dorsalis pedis
        [pt] A. tibialis posterior
        [peroneal] A. peronea
       *[toe] Grote teen
    } na inspanning
report-not-measured = niet gemeten
report-mean-of = {" "}(gemiddelde van { $readings })
report-does-not-count = ; { $outcome } telt niet, zie de pogingen
report-from-instrument = , van ander apparaat
report-from-paper = , van papier
report-in-index = , in de index
report-asked-for = Gevraagd door een regel ({ $why }): { $sites }.
report-conditions = Houding van de patiënt: { $posture }. Rust vóór het meten: { $minutes } minuten. Manometer { $gauge }, schaal { $lines } mmHg. Methode: { $method }.
report-conditions-rest-unknown = Houding van de patiënt: { $posture }. De rust vóór het meten is niet vastgelegd. Manometer { $gauge }, schaal { $lines } mmHg. Methode: { $method }.
report-findings = Bevindingen vóór het meten
report-foot-found =
    { $side ->
        [left] Linkervoet
       *[right] Rechtervoet
    } van de patiënt: { $temperature ->
        [warm] warm
        [cool] koel
       *[cold] koud
    }, { $pulse ->
        [yes] pols gevoeld
        [no] geen pols gevoeld
       *[unknown] pols niet gecontroleerd
    }.
report-wound =
    Wond onder de manchet, { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    } van de patiënt: { $care }.
report-moved =
    De patiënt bewoog { $moved ->
        [1] één keer
       *[other] { $moved } keer
    } en rustte opnieuw, de laatste keer vanaf { $from }; { $before ->
        [one] { $before } meting is
       *[other] { $before } metingen zijn
    } van daarvoor.
report-exercised = Inspanning beëindigd { $at }.
report-exercised-words = Inspanning beëindigd { $at }: { $words }.
report-cuffs-both =
    { $limb ->
        [arm] Manchetten, beide armen
       *[ankle] Manchetten, beide enkels
    }: { $size }
report-cuff-one =
    Manchet, { $limb ->
        [arm] arm
       *[ankle] enkel
    } { $side ->
        [left] links
       *[right] rechts
    } (patiënt): { $size }
report-cuff-size = blaas { $width } x { $length } cm, omtrek { $around } cm.
report-cuff-size-unknown = blaas { $width } x { $length } cm, omtrek niet gemeten, maat dus niet gecontroleerd.
report-diseases =
    Diabetes: { $diabetes ->
        [yes] ja
        [no] nee
       *[unknown] niet bekend
    }, nierziekte: { $kidney ->
        [yes] ja
        [no] nee
       *[unknown] niet bekend
    }.
report-plan = Plan en volgende meting
report-next-test = Volgende meting op { $on } ({ $who }).
report-signature = Handtekening
report-countersigned = In het dossier medeondertekend door { $who }.
report-blank-by = Gemeten door
report-blank-signature = Handtekening
report-blank-date = Datum
report-blank-checked = Gecontroleerd door
report-guidance = Gepubliceerde richtlijnen
report-source = Bron: { $source }
report-says-nothing = Deze richtlijn heeft geen aanbeveling voor het been zoals gemeten.
report-cannot-tell = Wat het getal niet kan zeggen
report-cannot-rule-out = Een getal sluit arterieel vaatlijden niet uit, zeker niet bij diabetes of nierziekte (NICE CKS, via een secundaire bron).
report-cannot-stiff = Stijve arteriën weerstaan de manchet. De index is dan vals hoog (ACC/AHA 2016 en 2024 noemen een index boven 1,40 ‘non-compressible’, niet samendrukbaar).
report-cannot-where = Het getal zegt niet waar een arterie vernauwd is, en niet hoe goed een wond zal genezen (gangbare praktijk).
report-cannot-cover = Het interval omvat de manometer, de druk van slag tot slag en de reactietijd. Het omvat niet een verkeerde manchetmaat, een onrustige patiënt of te korte rust.
report-cannot-urgent = Rustpijn, weefselverlies, een infectie die zich uitbreidt of een koude, bleke of gevoelloze voet is dringend wat het getal ook is (gangbare praktijk).
report-cannot-zero = { $leg }: er is geen index verkregen; dit betekent niet dat de index nul is.
report-notes = Opmerkingen en aannames
report-note-by = Opmerking van { $who }: { $words }
report-amended = Gebeurtenis { $of } is door { $who } gecorrigeerd op { $at }: { $why }.
report-amended-apart = {" "}Dat gebeurde op een andere computer zonder de vorige correctie te kennen: beide blijven bewaard, deze geldt, en iemand moet beslissen.
report-attempts = Alle pogingen
report-attempts-caption = Alle pogingen in hun volgorde. Vette rijen met een balk zijn deel van een index.
report-column-outcome = Uitkomst
report-column-tap = Markering en detectie
report-column-deflation = Leeglopen
report-column-counts = Waarvoor het telt
report-attempt-after = { $site } na inspanning
report-attempt-which = , { $n } van { $all }
report-attempt-entered = {" "}(van ander apparaat overgenomen)
report-attempt-paper = {" "}(van papier overgenomen)
report-counts-not = Telt niet: { $why }.
report-counts-as = Telt als { $parts }.
report-counts-as-mean = Telt als { $parts }, met gemiddelde { $mean } samen met de andere van deze plaats.
report-counts-site = Telt voor de plaats; geen deel van een index.
report-counts-site-mean = Telt voor de plaats, met gemiddelde { $mean } samen met de andere van deze plaats; geen deel van een index.
report-counts-no-pressure = Geen druk.
report-part-ankle =
    enkeldruk van het { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    }
report-part-arm =
    armdruk van het { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    }
report-part-arm-both = armdruk van beide benen
report-rate = { $rate } mmHg/s
report-rate-unknown = niet vastgelegd
report-tap-heard = Markering bij { $mark } s, { $lateness }
report-tap-unheard = Markering bij { $mark } s; { $lateness }
report-no-tap-heard = Geen markering; eerste polsslag gehoord bij { $back } s
report-no-tap = Geen markering, { $lateness }
report-tap-moved = ; markering later verplaatst naar { $to } s
report-late-before = { $by } s vóór de eerste gehoorde polsslag
report-late-after = { $by } s na de eerste gehoorde polsslag
report-late-no-listener = geen automatische detectie
report-late-no-tap = geen markering
report-late-no-return = de detectie hoorde geen terugkeer
report-sounds = Het geluid op elke plaats
report-sounds-key = De tijd loopt naar rechts, de toonhoogte naar boven; hoe donkerder, hoe luider boven de achtergrond. Stippellijnen tonen wat de automatische detectie hoorde. De doorgetrokken lijn is de markering van de zorgverlener. Oor en manometer zijn bepalend; de detectie helpt alleen.
report-caption-tap = Markering: { $late }
report-caption-confidence = {" "}Zekerheid { $percent } %.
report-caption-confident = {" "}Zekerheid boven 99 %.
report-caption-pulse = {" "}Pols { $rate }/min.
report-caption-rhythm = {" "}Pols { $rate }/min, { $rhythm }.
report-caption-hard = {" "}Moeilijk te horen: { $why }.
report-heard-regular = regelmatig
report-heard-irregular = onregelmatig
report-heard-too-quiet = te zacht
report-heard-clipped = overstuurd
report-heard-hum = netbrom
report-heard-talk = spraak over het signaal
report-heard-no-pulse = nog geen pols
report-heard-broken = kapotte samples
report-heard-moved = sonde verschoven
report-versions = Regels, versies en bronnen
report-program = Programma cuffnote { $program }, detectie { $listener }.
report-program-alone = Programma cuffnote { $program }. Er liep geen automatische detectie.
report-set = {" "}{ $set }, kopie { $version }, opnieuw te bekijken vóór { $on }.
report-chain = {" "}Kop van een hashketen, zoals opgegeven en niet gecontroleerd: { $head }.
report-kept = Registratieboek: bezoek { $visit }, kop { $head }.
report-from-file = Gemaakt uit een bestand, dat iedereen kan wijzigen: dit is geen dossier. Het registratieboek kan het bestand bevestigen (cuffnote book confirm).
report-table = Tabel van metingen
