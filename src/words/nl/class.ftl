### Dutch. Where each message stands, and how long it may be, is said in src/words/en/class.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

class-back = Terug naar oefenen
class-csv = Tabel (CSV)
class-html = Pagina (HTML)
class-what = Studenten staan op volgorde van code: er is geen rangorde. Dit zegt hoe goed zij dit geluid horen, niet hoe goed zij bij patiënten meten.
class-folder = Map met klasbestanden
class-read = Map lezen
class-files = Klasbestanden: open ze, of sleep ze op de pagina.
class-open-files = Klasbestanden openen
class-taken = Opgenomen: { $names }.
class-read-folder = { $files } klasbestanden uit { $folder }, { $sessions } sessies.
class-left-out = Overgeslagen: { $why }.
class-line = { $name }, regel { $line }: { $said }
class-table-is = De tabel van de klas: { $path }.
class-page-is = De pagina van de klas: { $path }.
class-who = Wie waar staat
class-none = Nog geen sessie.
class-taps = markeringen { $mean } ms laat ({ $low } tot { $high }), spreiding { $spread }
class-taps-early = markeringen { $mean } ms te vroeg ({ $low } tot { $high }), spreiding { $spread }
class-level = in lawaai { $db } dB (plus of min { $range })
class-examined = in toetsen { $passed } van { $count }
class-sealed = { $count } verzegeld
class-last = { $all }. Laatste sessie { $day }.
class-missed = Geluiden die velen missen
class-missed-what = Van ieder tellen de laatste tien antwoorden bij een geluid. Minder dan drie zeggen niets.
class-sound = { $kind }: { $said }
class-missed-by =
    { $students ->
        [one] gemist door { $missed } van { $students } student
       *[other] gemist door { $missed } van { $students } studenten
    } (minder dan driekwart goed); { $right } van { $answers } antwoorden goed.
class-missed-unknown = { $right } van { $answers } goed; niemand antwoordde vaak genoeg om meer te zeggen.
