### Dutch. Where each message stands, and how long it may be, is said in src/words/en/key.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

key-enter = het ingevoerde bewaren, dan naar de volgende plaats
key-stop = stop: ventiel helemaal openen
key-undo = het laatste ongedaan maken
key-inflated = het ingevoerde getal is de oppompdruk
key-repeat = deze plaats herhalen
key-needle = de naald is bij de volgende 10
key-stage-on = de volgende stap
key-stage-back = de vorige stap
key-no-signal = hier geen signaal gevonden
key-not-compressible = niet samendrukbaar
key-not-measured = niet gemeten
key-multiphasic = klinkt multifasisch
key-monophasic = klinkt monofasisch
key-damped = klinkt gedempt
key-absent = geen geluid te horen
key-unclear = niet zeker hoe het klinkt
key-correct = de net bewaarde meting corrigeren
key-finish = hier afronden: zeg waarom de rest niet is gemeten
key-lock = het scherm vergrendelen voor reiniging
