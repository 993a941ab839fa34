### German. Where each message stands, and how long it may be, is said in src/words/en/tried.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

tried-what = Geben Sie eine WAV-Datei mit Dopplerton: hierher ziehen oder öffnen. Sie sehen ihr Bild und was die automatische Erkennung findet. Die Datei bleibt auf diesem Rechner.
tried-learning = Nur zum Lernen: Nichts davon ist für die Anwendung am Patienten.
tried-file = Tondatei (WAV)
tried-hear = Datei hören
tried-open = Ton öffnen
tried-share = Die automatische Erkennung hört { $name }: { $percent } %.
tried-picture = Ihr Ton mit dem Fund der automatischen Erkennung
tried-return = Rückkehr laut Erkennung
tried-fault = { $name }: { $said }.
tried-pulses =
    { $count ->
        [0] Die automatische Erkennung fand in { $seconds } s keinen Puls.
        [1] Die automatische Erkennung fand in { $seconds } s einen Puls.
       *[other] Die automatische Erkennung fand in { $seconds } s { $count } Pulse.
    }
tried-both = Sie hörte den Puls bei { $gone } s verschwinden und bei { $back } s zurückkommen.
tried-gone = Sie hörte den Puls bei { $gone } s verschwinden und danach keine Rückkehr.
tried-back = Sie hörte bei { $back } s einen Puls zurückkommen.
tried-neither = Sie hörte keinen Puls verschwinden und zurückkommen.
tried-wrong = Das kann falsch sein: Hören Sie selbst, Schlag für Schlag.
