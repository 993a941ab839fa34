### Dutch. Where each message stands, and how long it may be, is said in src/words/en/agree.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

agree-title = Voordat u begint
agree-purpose = Cuffnote is voor opleiding en om vast te leggen wat een zorgverlener heeft gemeten. Het is geen toegelaten medisch hulpmiddel en stelt geen diagnose.
agree-record = Uw oor en uw manometer zijn beslissend. De automatische detectie helpt alleen: ze kan een polsslag missen en er een horen die er niet is.
agree-policy = De lokale regel en een bevoegde zorgverlener beslissen wat een getal voor een patiënt betekent.
agree-urgent = Dringende tekenen gaan boven elk getal: een plots koude, bleke of gevoelloze voet, rustpijn, gangreen, een infectie die zich uitbreidt.
agree-stiff = Stijve slagaders geven te hoge waarden. Bij diabetes of nierziekte sluit een index in of boven het gebruikelijke bereik arterieel vaatlijden niet uit.
agree-cuff = Pomp geen manchet op over een bypass, een stent, een wond of een vermoede trombose. Open het ventiel helemaal zodra u hebt afgelezen.
agree-cable = Een kabel van de Doppler gebruikt u op batterij of via een geïsoleerde verbinding, zoals de lokale regel voor elektrische veiligheid zegt. Een microfoon heeft geen draad nodig.
agree-loud = Geluid in de hoofdtelefoon begint zacht en heeft een bovengrens. Begin toch met de uitgang zacht.
agree-consent = Een microfoon hoort ook stemmen. Zeg de patiënt dat er geluid wordt opgenomen en vraag toestemming volgens de lokale regel.
agree-read = Ik heb dit gelezen
