### French. Where each message stands, and how long it may be, is said in src/words/en/exam.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

exam-sealed =
    Scellé : { $drills ->
        [one] { $drills } exercice
       *[other] { $drills } exercices
    }. L'examen : { $path }. Son code d'ouverture est { $code } : notez-le, il n'est montré qu'une fois.
exam-is = L'examen scellé : { $path }, et une ligne du fichier de classe.
exam-page-is = La page de cet examen : { $path }.
exam-longer-word = Le mot de l'enseignant doit avoir 12 lettres ou plus
exam-another-word = ce mot ne l'ouvre pas
exam-broken = le sceau est rompu : il a été modifié après coup, ou n'est pas entier
exam-not-sealed = Scellement impossible : { $said }
exam-type-code = Cet examen est scellé : tapez son code d'ouverture
exam-another-code = Ce code n'ouvre pas l'examen
exam-no-examination = Ce n'est pas un examen scellé : { $said }
exam-no-noise = Retirez noise_folder : les bruits de fond seraient hors du sceau
exam-no-seed = Exercice { $drill } : retirez sa graine, afin qu'un patient que personne n'a pratiqué soit tiré
exam-no-recording = Exercice { $drill } : un enregistrement serait hors du sceau ; donnez telle quelle une leçon avec enregistrements
exam-title = Examens
exam-under-seal = Sous scellé : { $count }.
exam-word = Mot de l'enseignant
exam-open = Ouvrir les examens
exam-opened =
    { $count ->
        [0] Aucun examen n'a été ouvert.
        [1] Un examen a été ouvert.
       *[other] { $count } examens ont été ouverts.
    }
exam-shut = { $student }, { $lesson } : { $why }.
exam-one = { $student }, { $lesson }, { $begun } : { $passed } sur { $count } réussis.
exam-page = Page de { $student }, { $lesson }
