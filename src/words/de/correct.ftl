### German. Where each message stands, and how long it may be, is said in src/words/en/correct.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

correct-help = Berichtigen oder zurückziehen, was hier erfasst wurde. Der erste Wert bleibt im Verlauf.
correct-attempt = Versuch { $n }: { $outcome }
correct-not-ended = nicht abgeschlossen
correct-from-instrument = { $outcome }, von einem anderen Gerät übernommen
correct-from-paper = { $outcome }, vom Papier übernommen
correct-withdrawn = { $outcome }, zurückgezogen: { $why }
correct-reading = Richtiger Messwert, mmHg
correct-why = Warum?
correct-reason-typing = Tippfehler
correct-reason-gauge = Manometer falsch abgelesen
correct-reason-site = falsche Arterie oder Seite
correct-reason-probe = die Sonde ist verrutscht
correct-reason-patient = Patient hat sich bewegt oder gesprochen
correct-reason-replay = beim Nachhören verschoben
correct-reason-taken-over = das Aktenbuch wurde verschoben, kopiert oder wiederhergestellt
correct-reason-own = Anderer Grund, in eigenen Worten
correct-who = Wer: Kürzel oder Code
correct-withdraw = Zurückziehen
correct-again = Noch einmal messen
correct-done = Berichtigt. Der erste Wert bleibt im Verlauf.
correct-keep = { $why } Noch einmal „Berichtigen“ drücken, um { $mmhg } zu speichern.
correct-not-compressible = War der Ton bei { $mmhg } mmHg noch da? Noch einmal „Berichtigen“ drücken, um „nicht komprimierbar bei { $mmhg }“ festzuhalten.
