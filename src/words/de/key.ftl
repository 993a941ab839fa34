### German. Where each message stands, and how long it may be, is said in src/words/en/key.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

key-enter = die Eingabe speichern, dann weiter zur nächsten Stelle
key-stop = stopp: Ventil ganz öffnen
key-undo = das Letzte rückgängig machen
key-inflated = die Eingabe ist der Druck, bis zu dem aufgepumpt wurde
key-repeat = diese Stelle wiederholen
key-needle = der Zeiger ist bei den nächsten 10
key-stage-on = der nächste Schritt
key-stage-back = der Schritt davor
key-no-signal = hier kein Signal gefunden
key-not-compressible = nicht komprimierbar
key-not-measured = nicht gemessen
key-multiphasic = klingt multiphasisch
key-monophasic = klingt monophasisch
key-damped = klingt gedämpft
key-absent = kein Ton zu hören
key-unclear = nicht sicher, wie es klingt
key-correct = den eben gespeicherten Messwert berichtigen
key-finish = hier beenden: sagen, warum der Rest nicht gemessen wurde
key-lock = den Bildschirm zum Reinigen sperren
