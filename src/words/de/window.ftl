### German. Where each message stands, and how long it may be, is said in src/words/en/window.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

window-back = Zurück
window-back-measuring = Zurück zur Messung
window-visits = Untersuchungen
window-set-up = Einstellungen
window-yes = ja
window-no = nein
window-unknown = unbekannt
window-answer = { $answer }: { $question }
window-correct = Berichtigen
window-next-test = Nächste Messung am { $on }
window-not-finished = Nicht beendet
window-no-visit = Keine Untersuchung ist offen.
window-key-space = Leertaste
window-key-left = Links
window-key-right = Rechts
window-key-home = Anfang
window-cable = Kabel
window-microphone = Mikrofon
