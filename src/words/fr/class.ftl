### French. Where each message stands, and how long it may be, is said in src/words/en/class.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

class-back = Retour aux exercices
class-csv = Tableau (CSV)
class-html = Page à imprimer (HTML)
class-what = Les étudiants sont rangés par code : il n'y a pas de classement. Ceci dit s'ils entendent bien ce son, non s'ils mesurent bien les patients.
class-folder = Dossier des fichiers de classe
class-read = Lire le dossier
class-files = Fichiers de classe : ouvrez-les, ou déposez-les sur la page.
class-open-files = Ouvrir des fichiers de classe
class-taken = Pris en compte : { $names }.
class-read-folder = { $files } fichiers de classe de { $folder }, { $sessions } séances.
class-left-out = Écarté : { $why }.
class-line = { $name }, ligne { $line } : { $said }
class-table-is = Le tableau de la classe : { $path }.
class-page-is = La page de la classe : { $path }.
class-who = Où en est chacun
class-none = Pas encore de séance.
class-taps = marques { $mean } ms tard ({ $low } à { $high }), dispersion { $spread }
class-taps-early = marques { $mean } ms trop tôt ({ $low } à { $high }), dispersion { $spread }
class-level = dans le bruit { $db } dB (plus ou moins { $range })
class-examined = aux examens { $passed } sur { $count }
class-sealed = { $count } sous scellé
class-last = { $all }. Dernière séance { $day }.
class-missed = Sons manqués par beaucoup
class-missed-what = De chacun comptent les dix dernières réponses à un son. Moins de trois ne disent rien.
class-sound = { $kind } : { $said }
class-missed-by =
    { $students ->
        [one] manqué par { $missed } étudiant sur { $students }
       *[other] manqué par { $missed } étudiants sur { $students }
    } (moins des trois quarts justes) ; { $right } réponses justes sur { $answers }.
class-missed-unknown = { $right } sur { $answers } justes ; personne n'a assez répondu pour en dire plus.
