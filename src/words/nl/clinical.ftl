### Dutch. Where each message stands, and how long it may be, is said in src/words/en/clinical.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

clinical-side-right = rechts van de patiënt
clinical-side-left = links van de patiënt
clinical-artery-brachial = a. brachialis
clinical-artery-dp = a. dorsalis pedis
clinical-artery-pt = a. tibialis posterior
clinical-artery-peroneal = a. peronea
clinical-artery-toe = grote teen
clinical-site =
    { $artery ->
        [arm] a. brachialis
        [dp] a. dorsalis pedis
        [pt] a. tibialis posterior
        [peroneal] a. peronea
       *[toe] grote teen
    }, patiënt { $side ->
        [left] links
       *[right] rechts
    }
clinical-status-verified = gecontroleerd
clinical-status-secondary = secundaire bron, niet gecontroleerd
clinical-status-from-memory = uit het hoofd, niet gecontroleerd
clinical-status-own = eigen regel van de dienst
clinical-from-memory = uit het hoofd
clinical-method-higher = hoogste enkeldruk gedeeld door hoogste arm
clinical-method-lower = laagste enkeldruk gedeeld door hoogste arm
clinical-method-mean = gemiddelde van beide enkelarteriën gedeeld door hoogste arm
clinical-method-pt-only = a. tibialis posterior gedeeld door gemiddelde van beide armen
clinical-method-same-side-arm = hoogste enkeldruk gedeeld door arm van dezelfde kant
clinical-posture-supine = plat liggend
clinical-posture-head-raised = half zittend
clinical-posture-sitting = zittend
clinical-posture-other = andere houding
clinical-quantity-index = index
clinical-quantity-ankle = enkeldruk
clinical-quantity-toe = teendruk
clinical-quantity-toe-index = teen-armindex
clinical-waveform-multiphasic = multifasisch
clinical-waveform-triphasic = trifasisch
clinical-waveform-biphasic = bifasisch
clinical-waveform-damped = gedempt
clinical-waveform-monophasic = monofasisch
clinical-waveform-absent = geen geluid gehoord
clinical-waveform-unclear = golfvorm onzeker
clinical-wound-covered = met folie bedekt en gemeten
clinical-wound-cuff-elsewhere = manchet elders op het been
clinical-wound-left-out = overgeslagen
clinical-kind-full = beide benen
clinical-kind-one-leg =
    alleen { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    } van de patiënt
clinical-kind-one-artery = alleen { $site }
clinical-kind-toes = alleen tenen
clinical-kind-without-index = geen drukken
clinical-kind-exercise = in rust, dan na inspanning
clinical-kind-paper = van papier, gemeten op { $on }
clinical-kind-paper-by = van papier, gemeten op { $on } door { $by }
clinical-ulcer =
    { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    } van de patiënt
clinical-ulcer-at =
    { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    } van de patiënt, { $place }
clinical-mmhg = { $n } mmHg
clinical-not-yet = nog niet gemeten
clinical-not-compressible-at = niet samendrukbaar bij { $limit } mmHg
clinical-no-signal = geen signaal gevonden
clinical-not-measured = niet gemeten: { $reason }
clinical-not-finished = niet afgemaakt
clinical-conflict-open = een meting en ‘niet samendrukbaar’ spreken elkaar tegen
clinical-conflict-apart = metingen van { $low } en { $high } mmHg spreken elkaar tegen
clinical-left-out-withdrawn = ingetrokken: { $why }
clinical-left-out-reading = { $what }; een andere poging gaf een meting
clinical-left-out-first-above = eerste meting aan de eerste arm, meer dan 10 mmHg boven de andere arm
clinical-left-out-first-apart = eerste meting aan de eerste arm, meer dan 10 mmHg van de herhaling
clinical-wanted-arms = de armen verschillen meer dan 15 mmHg: herhalen; blijft dat zo, voortaan aan de hoogste arm meten (NICE NG136 1.2.1)
clinical-wanted-first-arm = de eerste arm ligt meer dan 10 mmHg boven de andere: aan het eind herhalen (AHA 2012, niet gecontroleerd)
clinical-wanted-conflict = { $conflict }: opnieuw meten, dan de foute waarde intrekken
clinical-wanted-irregular = het ritme is onregelmatig: minstens { $needed } metingen, gemiddeld (BIHS 2019)
clinical-wanted-second = de tweede meting ligt meer dan { $limit } mmHg boven de eerste: herhalen (regel uit een gepubliceerd studiehandboek, nsrr/cfs-documentation)
clinical-first-arm-all = eerste arm: alle aanvaarde metingen worden gemiddeld
clinical-first-arm-discard = eerste arm: ligt de eerste meting meer dan 10 mmHg boven de andere arm, dan telt de herhaling (AHA 2012, via een secundaire bron; niet gecontroleerd)
clinical-first-arm-average = eerste arm: eerste meting en herhaling worden gemiddeld; verschillen ze meer dan 10 mmHg, dan vervalt de eerste (AHA 2012, uit het hoofd; niet gecontroleerd)
clinical-missing = { $site }: { $why }
clinical-one-artery = De enkeldruk berust op één arterie, { $used } ({ $missing }).
clinical-no-ankle = Geen index: geen enkeldruk ({ $missing }).
clinical-no-signal-at-all =
    Geen index: aan de { $side ->
        [left] linkervoet
       *[right] rechtervoet
    } van de patiënt is geen signaal gevonden, niet aan de a. dorsalis pedis en niet aan de a. tibialis posterior. Dit betekent niet dat de index nul is.
clinical-not-compressible = Niet samendrukbaar: het signaal was er bij { $limit } mmHg nog ({ $sites }).
clinical-conflict = Geen index: { $site }: { $conflict }. Meet opnieuw, of trek één waarde in met de reden; zolang beide gelden is er geen index.
clinical-one-arm = Er kon maar één arm worden gebruikt, { $used } ({ $other }: { $why }): de index kan vals hoog zijn, want de andere arm kan hoger liggen.
clinical-arm-open = De niet samendrukbare arm ({ $arm }) is de hoogste. Een index met de andere arm is dus vals hoog: geen categorie.
clinical-provisional = Voorlopig, zonder categorie: de andere arm is nog niet gemeten ({ $other }). Kan dat niet, geef het dan aan.
clinical-no-arm = Geen index: geen bruikbare armdruk ({ $missing }); alleen enkeldrukken.
clinical-more-than = De index ligt boven { $lowest }; hoeveel is niet bekend.
clinical-headline =
    { $side ->
        [left] Linkerbeen
       *[right] Rechterbeen
    } van de patiënt: enkel-armindex { $index } ({ $low } tot { $high }), { $method }.
clinical-headline-bare =
    { $side ->
        [left] Linkerbeen
       *[right] Rechterbeen
    } van de patiënt: enkel-armindex { $index }, { $method }.
clinical-headline-none =
    { $side ->
        [left] Linkerbeen
       *[right] Rechterbeen
    } van de patiënt: geen enkel-armindex.
clinical-withheld = Er wordt geen aanbeveling getoond. Houding van de patiënt: { $posture }. De gepubliceerde grenzen gelden voor plat liggen (zittend is de index gemiddeld zo'n 0,35 hoger, BMC Prim Care 2014;15:69).
clinical-red-flag = Alarmsymptoom, boven elk getal: { $flag }.
clinical-caution = Let op: { $flag }.
clinical-toe =
    Grote teen { $side ->
        [left] links
       *[right] rechts
    } (patiënt): { $pressure }, teen-armindex { $index } ({ $low } tot { $high }).
clinical-toe-entered =
    Grote teen { $side ->
        [left] links
       *[right] rechts
    } (patiënt): { $pressure }, van een ander apparaat overgenomen, teen-armindex { $index } ({ $low } tot { $high }).
clinical-toe-bare =
    Grote teen { $side ->
        [left] links
       *[right] rechts
    } (patiënt): { $pressure }, geen teen-armindex.
clinical-toe-bare-entered =
    Grote teen { $side ->
        [left] links
       *[right] rechts
    } (patiënt): { $pressure }, van een ander apparaat overgenomen, geen teen-armindex.
clinical-toe-none =
    Grote teen { $side ->
        [left] links
       *[right] rechts
    } (patiënt): { $why }; geen teen-armindex.
clinical-because = { $quantity } { $value }
clinical-because-open = niet samendrukbare arteriën
clinical-limits-open = niet samendrukbaar
clinical-range-any = elke waarde
clinical-range-between = { $above } en { $below }
clinical-ends = { $low } tot { $high }
clinical-ends-mmhg = { $low } tot { $high } mmHg
clinical-guidance-quoted = { $set } bij { $because } [{ $when }]: { $words }{ $more }.
clinical-guidance-sense = { $set } bij { $because } [{ $when }]: naar de strekking: { $words }{ $more }.
clinical-guidance-more = ; naar de strekking: { $more }
clinical-quote = "{ $words }"
clinical-quote-ours = "{ $words }" (onze vertaling: "{ $ours }")
clinical-sense-ours = { $ours } (onze vertaling)
clinical-several = { $set }: meer categorieën gelden tegelijk, elk zoals gedrukt.
clinical-no-band = { $set } heeft geen categorie voor { $quantity } { $value }.
clinical-rounded = Door afronden kwam de waarde ({ $quantity }) over een grens van { $set } ({ $range }): { $exact } vóór afronden, { $rounded } erna, op twee decimalen.
clinical-crossing-one = { $set }: de grens { $limits } ({ $quantity }) ligt binnen de meetonzekerheid ({ $inside }). { $holds }{ $settle }
clinical-crossing-many = { $set }: de grenzen { $limits } ({ $quantity }) liggen binnen de meetonzekerheid ({ $inside }). { $holds }{ $settle }
clinical-crossing-own = De waarde houdt haar categorie, { $own }: de voorzichtigste kant.
clinical-crossing-meanwhile = De waarde houdt haar categorie, { $own }; tot het duidelijk is geldt de voorzichtigste kant: { $meanwhile }.
clinical-crossing-settle = {" "}Eén druk herhalen kan het uitwijzen: { $site }.
clinical-crossing-none = geen van deze richtlijn
clinical-short =
    { $side ->
        [left] Linkerbeen
       *[right] Rechterbeen
    } van de patiënt: { $number }{ $toe }. { $says }
clinical-short-above = EAI boven { $lowest }
clinical-short-interval = EAI { $index } ({ $low } tot { $high })
clinical-short-index = EAI { $index }
clinical-short-none = geen EAI; dat betekent niet nul
clinical-short-toe = , teen-armindex { $index }
clinical-short-provisional = Voorlopig: de andere arm moet nog worden gemeten.
clinical-short-no-set = Er staat geen richtlijn aan.
clinical-short-from-memory = { $set } (uit het hoofd)
clinical-short-says = { $set }: { $says }.
clinical-short-nothing = { $set } heeft hier geen aanbeveling.
clinical-short-crossing = {" "}Het interval kruist { $limits }.
clinical-arms-differ =
    De armen verschillen { $apart }; de { $side ->
        [left] linkerarm
       *[right] rechterarm
    } van de patiënt is hoger. NICE NG136 1.2.1 bij meer dan 15 mmHg: herhalen; blijft dat zo, voortaan aan de hoogste arm meten. AHA 2012 via een secundaire bron: boven 15 mmHg is er verdenking op een stenose van de a. subclavia.
clinical-rule-in-use = Toegepaste regel, { $rule }.
clinical-arteries-differ = A. dorsalis pedis ({ $dp } mmHg) en a. tibialis posterior ({ $pt } mmHg) verschillen { $apart }: meer dan { $limit } mmHg wordt hier genoemd om sonde en plaats na te kijken (geen grens in een richtlijn gevonden).
clinical-exercise =
    Na inspanning is de enkeldruk van het { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    } van de patiënt { $after } mmHg ({ $change }).
clinical-exercise-since =
    Na inspanning, { $minutes } min na het einde, is de enkeldruk van het { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    } van de patiënt { $after } mmHg ({ $change }).
clinical-exercise-fall = daling van { $by }
clinical-exercise-rise = stijging van { $by }
clinical-exercise-late = De gepubliceerde criteria gelden voor drukken 1 minuut na inspanning (Mahe 2015, Medicine): deze is later, een daling kan al voorbij zijn.
clinical-exercise-pressure = De enkeldruk daalde meer dan 30 mmHg: een gepubliceerd criterium na inspanning (Mahe 2015, Medicine; Kyte 2023).
clinical-exercise-index = De index daalde meer dan 20 %: een gepubliceerd criterium na inspanning (Mahe 2015, Medicine); 60 % van gezonde jongvolwassenen heeft dit ook (Kyte 2023).
clinical-note-method = Methode: { $method }.
clinical-note-other-method = Niet de standaardmethode: de grenzen van gepubliceerde richtlijnen gelden voor de hoogste enkeldruk gedeeld door de hoogste arm.
clinical-note-measurement-only = Het interval geldt alleen voor de meting: twee personen of twee bezoeken verschillen meer (overeenstemmingsgrenzen rond 0,16 in één studie, Casey 2020, J Foot Ankle Res).
clinical-note-lower = Bij een vraag over een been geldt elk been apart; bij cardiovasculair risico telt de laagste van de twee, { $lower } (AHA 2012, uit het hoofd).
clinical-note-rate-assumed = Aangenomen voor het interval: leeglopen met { $rate } mmHg/s (bij { $measured } van { $all } metingen is de snelheid gemeten).
clinical-note-rate-measured = De leegloopsnelheid van elke meting is aan de naald gemeten.
clinical-note-beat-heard = De tijd tussen slagen is die van de gehoorde pols.
clinical-note-beat-assumed = Aangenomen voor het interval: een hartslag van { $rate } per minuut.
clinical-note-own-pressure = De eigen bloeddruk van de patiënt varieert naar aanname { $own } mmHg (standaarddeviatie) van slag tot slag.
clinical-note-untapped = { $untapped } van { $all } metingen hebben geen markering in het geluid; daarom wordt tot { $without } s van geluid tot aflezen meegerekend (eigen aanname; { $with } s met markering).
clinical-note-other-chain =
    { $events ->
        [one] { $events } gebeurtenis komt
       *[other] { $events } gebeurtenissen komen
    } uit een andere keten, { $chain }.
clinical-aside = Terzijde gelegd en niet geteld: gebeurtenis { $n } ({ $kind }{ $whose }): { $why }.
clinical-of-chain = , van keten { $chain }
clinical-disagree = Twee laptops spreken elkaar tegen over { $what }: { $said }. ‘{ $stands }’ geldt tot iemand het met nog een correctie beslist.
clinical-disagree-said = { $value } door { $who } op { $at }{ $whose }
clinical-cuff-narrow = De manchet is te smal voor { $around } cm: de blaas moet minstens { $percent } % daarvan breed zijn. Een smalle manchet meet te hoog.
clinical-cuff-short = De manchet is te kort voor { $around } cm: de blaas moet minstens { $percent } % van de omtrek omvatten.
clinical-about-outcome = de uitkomst van poging { $n }
clinical-about-mark = de markering van poging { $n }
clinical-about-site = de plaats van poging { $n }
clinical-about-opening = waarmee het bezoek werd geopend
clinical-about-next-test = de dag van de volgende meting
clinical-about-other = een gebeurtenis van het soort { $kind }
clinical-value-mark = een markering bij { $seconds } s
clinical-value-record = dossier { $record }
clinical-aside-closed = het bezoek was al gesloten
clinical-aside-opened-twice = het bezoek is twee keer geopend
clinical-aside-number-used = het nummer van deze poging was al gebruikt
clinical-aside-no-attempt = het noemt een poging die nooit begon
clinical-aside-no-mark = er is geen markering terug te nemen
clinical-aside-ended = de poging was al geëindigd: corrigeer de uitkomst of begin een nieuwe poging
clinical-aside-zero = 0 mmHg is geen meting: de uitkomst is „geen signaal”
clinical-aside-undo = het maakt een gebeurtenis ongedaan die er niet voor staat, of die niet ongedaan kan worden gemaakt
clinical-aside-no-amendment = het is geen correctie
clinical-aside-not-before = het corrigeert een gebeurtenis die er niet voor staat
clinical-aside-of-aside = het corrigeert een gebeurtenis die opzij is gezet
clinical-aside-old-value = de oude waarde die het noemt stond daar nooit
clinical-aside-other-kind = het zou een gebeurtenis van een ander soort of een andere poging maken
clinical-aside-opened-elsewhere = het bezoek was al geopend in een andere keten
clinical-aside-without-visit = het is geschreven door een keten die dit bezoek niet had
clinical-aside-closed-elsewhere = het bezoek werd tegelijk gesloten, of door een andere computer overgenomen
