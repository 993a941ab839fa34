### German. Where each message stands, and how long it may be, is said in src/words/en/agree.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

agree-title = Bevor Sie beginnen
agree-purpose = Cuffnote dient der Schulung und dem Festhalten dessen, was eine Fachkraft gemessen hat. Es ist kein zugelassenes Medizinprodukt und stellt keine Diagnose.
agree-record = Maßgeblich sind Ihr Ohr und Ihr Manometer. Die automatische Erkennung hilft nur: Sie kann einen Puls überhören und einen hören, der nicht da ist.
agree-policy = Was eine Zahl für einen Patienten bedeutet, entscheiden die örtliche Regel und die zuständige Fachkraft.
agree-urgent = Dringende Zeichen gehen jeder Zahl vor: ein plötzlich kalter, blasser oder tauber Fuß, Ruheschmerz, Gangrän, eine sich ausbreitende Infektion.
agree-stiff = Steife Arterien ergeben zu hohe Werte. Bei Diabetes oder Nierenkrankheit schließt ein Index im oder über dem üblichen Bereich eine arterielle Krankheit nicht aus.
agree-cuff = Keine Manschette über einem Bypass, einem Stent, einer Wunde oder einer vermuteten Thrombose aufpumpen. Nach dem Ablesen das Ventil sofort ganz öffnen.
agree-cable = Ein Kabel vom Doppler nur im Batteriebetrieb oder über eine isolierte Verbindung, nach der örtlichen Regel zur elektrischen Sicherheit. Ein Mikrofon braucht keine Leitung.
agree-loud = Ton im Kopfhörer beginnt leise und hat eine Obergrenze. Die Ausgabe trotzdem anfangs leise stellen.
agree-consent = Ein Mikrofon hört auch Stimmen. Sagen Sie dem Patienten, dass aufgenommen wird, und bitten Sie nach der örtlichen Regel um Einwilligung.
agree-read = Ich habe das gelesen
