### French. Where each message stands, and how long it may be, is said in src/words/en/caution.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

caution-of-limb =
    { $limb ->
        [leg] jambe
        [arm] bras
       *[patient] côté
    }, à { $side ->
        [left] gauche
       *[right] droite
    } (patient) : { $words } [{ $source }]
caution-of-patient = { $words } [{ $source }]
caution-source = { $source } ({ $status })
caution-unknown = `{ $id }` a été noté ; cette version ne le connaît pas et le traite comme un signe d'alarme
caution-unknown-source = noté dans la visite
caution-acute-limb = Pied soudain froid, pâle, insensible ou faible ?
    .words = un pied soudain froid, pâle, insensible ou faible a été noté : ischémie aiguë de membre possible, une urgence quel que soit le chiffre
    .source = pratique courante
caution-rest-pain = Douleur du pied au repos ou la nuit ?
    .words = une douleur de repos a été notée : signe d'ischémie menaçant le membre quel que soit le chiffre
    .source = TASC II (2007), tableau dans PMC11279131, cite la douleur de repos ; qu'elle l'emporte sur le chiffre est de pratique courante
caution-gangrene = Gangrène ou tissu noir ?
    .words = une gangrène a été notée : signe d'ischémie menaçant le membre quel que soit le chiffre
    .source = TASC II (2007), tableau dans PMC11279131, cite la gangrène ; qu'elle l'emporte sur le chiffre est de pratique courante
caution-spreading-infection = Infection du pied ou de la jambe qui s'étend ?
    .words = une infection qui s'étend a été notée : urgent quel que soit le chiffre
    .source = pratique courante ; dans NHANES, une cellulite est un motif de ne pas poser de brassard
caution-suspected-clot = Thrombose veineuse profonde suspectée ou récente ?
    .words = une thrombose veineuse profonde suspectée ou récente a été notée : la source dit de ne pas faire le test
    .source = NHS Écosse, procédure (depuis 2024)
caution-absent-signals = Aucun signal aux deux artères de cheville
    .words = aucun signal trouvé à l'artère dorsale du pied ni à la tibiale postérieure : il n'y a pas d'indice, et l'absence elle-même est urgente
    .source = pratique courante
caution-graft-or-stent = Pontage ou stent sous le brassard ?
    .words = un pontage ou un stent sous le brassard a été noté : la source dit de ne pas gonfler dessus
    .source = cours de technologie vasculaire ; AHA 2012 d'après un résumé
caution-wound-under-cuff = Plaie ouverte sous le brassard ?
    .words = une plaie sous le brassard a été notée : la couvrir, ou ne pas mesurer ce site
    .source = AHA 2012, d'après une page secondaire
caution-arm-not-usable = Fistule de dialyse, lymphœdème ou curage ganglionnaire du côté de ce bras ?
    .words = une fistule, un lymphœdème ou un curage ganglionnaire a été noté : la source n'utilise que l'autre bras
    .source = cours de technologie vasculaire
caution-diabetes = Diabète
    .words = un diabète a été noté : un indice dans la plage habituelle ou au-dessus n'exclut pas une artériopathie
    .source = NICE CKS, texte d'après une page secondaire
caution-kidney = Maladie rénale chronique
    .words = une maladie rénale chronique a été notée : un indice dans la plage habituelle ou au-dessus n'exclut pas une artériopathie
    .source = NICE CKS, texte d'après une page secondaire
