### Dutch. Where each message stands, and how long it may be, is said in src/words/en/window.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

window-back = Terug
window-back-measuring = Terug naar meten
window-visits = Bezoeken
window-set-up = Instellingen
window-yes = ja
window-no = nee
window-unknown = onbekend
window-answer = { $answer }: { $question }
window-correct = Corrigeren
window-next-test = Volgende meting: { $on }
window-not-finished = Niet afgerond
window-no-visit = Er is geen bezoek open.
window-key-space = Spatie
window-key-left = Links
window-key-right = Rechts
window-key-home = Home
window-cable = Kabel
window-microphone = Microfoon
