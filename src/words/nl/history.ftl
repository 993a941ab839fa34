### Dutch. Where each message stands, and how long it may be, is said in src/words/en/history.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

history-fault = Niet berekend: { $day }: { $why }
history-since-first = Sinds het eerste bezoek: { $change }
history-changed = Veranderd. { $change }
history-toe = Teendruk { $mmhg } mmHg.
history-picture = { $leg } in de tijd: { $steps }
history-index = { $index } ({ $low } tot { $high })
history-visits = Bezoeken van dit dossier
history-choose = Kies er twee om ze naast elkaar te zien.
history-beside = naast elkaar
history-beside-name = naast elkaar, { $day }
history-open = Open { $day }
history-both = rechts { $right }, links { $left }
history-not-finished = niet afgerond
history-side-by-side = Naast elkaar
history-leg = { $leg }: { $change }
history-no-value = geen waarde die telt
