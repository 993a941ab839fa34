### French. Where each message stands, and how long it may be, is said in src/words/en/window.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

window-back = Retour
window-back-measuring = Retour à la mesure
window-visits = Visites
window-set-up = Réglages
window-yes = oui
window-no = non
window-unknown = inconnu
window-answer = { $answer } : { $question }
window-correct = Corriger
window-next-test = Prochaine mesure le { $on }
window-not-finished = Non terminée
window-no-visit = Aucune visite n'est ouverte.
window-key-space = Espace
window-key-left = Gauche
window-key-right = Droite
window-key-home = Début
window-cable = Câble
window-microphone = Microphone
