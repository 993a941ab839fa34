### German. Where each message stands, and how long it may be, is said in src/words/en/history.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

history-fault = Nicht berechnet: { $day }: { $why }
history-since-first = Seit der ersten Untersuchung: { $change }
history-changed = Geändert. { $change }
history-toe = Zehendruck { $mmhg } mmHg.
history-picture = { $leg } im Verlauf: { $steps }
history-index = { $index } ({ $low } bis { $high })
history-visits = Untersuchungen dieser Akte
history-choose = Zwei wählen, um sie nebeneinander zu sehen.
history-beside = nebeneinander
history-beside-name = nebeneinander, { $day }
history-open = Öffnen: { $day }
history-both = rechts { $right }, links { $left }
history-not-finished = nicht beendet
history-side-by-side = Nebeneinander
history-leg = { $leg }: { $change }
history-no-value = kein Wert, der zählt
