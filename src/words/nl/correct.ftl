### Dutch. Where each message stands, and how long it may be, is said in src/words/en/correct.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

correct-help = Corrigeer of trek in wat hier is vastgelegd. De eerste waarde blijft in het spoor.
correct-attempt = Poging { $n }: { $outcome }
correct-not-ended = niet geëindigd
correct-from-instrument = { $outcome }, van een ander instrument overgenomen
correct-from-paper = { $outcome }, van papier overgenomen
correct-withdrawn = { $outcome }, ingetrokken: { $why }
correct-reading = Juiste meting, mmHg
correct-why = Waarom?
correct-reason-typing = typefout
correct-reason-gauge = manometer verkeerd afgelezen
correct-reason-site = verkeerde slagader of kant
correct-reason-probe = de sonde is verschoven
correct-reason-patient = de patiënt bewoog of praatte
correct-reason-replay = bij het beluisteren verplaatst
correct-reason-taken-over = het registratieboek is verplaatst, gekopieerd of teruggezet
correct-reason-own = Andere reden, in eigen woorden
correct-who = Wie: initialen of code
correct-withdraw = Intrekken
correct-again = Opnieuw meten
correct-done = Gecorrigeerd. De eerste waarde blijft in het spoor.
correct-keep = { $why } Druk nog eens op Corrigeren om { $mmhg } te bewaren.
correct-not-compressible = Was het geluid bij { $mmhg } mmHg er nog? Druk nog eens op Corrigeren om „niet samendrukbaar bij { $mmhg }” vast te leggen.
