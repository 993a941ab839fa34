### French. Where each message stands, and how long it may be, is said in src/words/en/begin.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

begin-title = Nouvelle visite
begin-start = Commencer le repos
begin-start-paper = Saisir les valeurs du papier
begin-record = Code du dossier, jamais un nom
begin-operator = Vos initiales ou code
begin-last = Dernière visite de { $record } : { $day }
begin-none-yet = Pas encore de visite de { $record } dans ce registre.
begin-what = Que mesure-t-on ?
begin-what-exercise = repos et effort
begin-what-artery = une artère
begin-what-paper = antérieure, sur papier
begin-paper-day = Date sur le papier, comme 2026-08-25
begin-paper-by = Qui a mesuré (code)
begin-why = Pourquoi ce test ?
begin-reason-ulcer = ulcère de jambe, avant compression
begin-reason-foot = ulcère du pied
begin-reason-walking = douleur à la marche
begin-reason-follow-up = suivi après traitement
begin-reason-screening = dépistage selon la règle locale
begin-reason-own = Autre, avec vos mots
begin-diabetes = Diabète ?
begin-kidney = Maladie rénale chronique ?
begin-ulcer = Ulcère :
begin-ulcer-none = aucun
begin-ulcer-side =
    { $side ->
        [left] gauche
       *[right] droite
    }
begin-ulcer-name = ulcère : { $choice }
begin-ulcer-place = Où, sur la jambe ou le pied
begin-position = Position du patient
begin-not-flat = Les seuils publiés valent pour un patient à plat : aucune recommandation ne sera affichée.
