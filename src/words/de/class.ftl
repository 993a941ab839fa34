### German. Where each message stands, and how long it may be, is said in src/words/en/class.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

class-back = Zurück zum Üben
class-csv = Tabelle (CSV)
class-html = Seite (HTML)
class-what = Lernende stehen nach ihren Codes: Es gibt keine Rangliste. Was sie hier tun, sagt, wie gut sie diesen Ton hören, nicht wie gut sie an Patienten messen.
class-folder = Ordner mit Klassendateien
class-read = Ordner lesen
class-files = Klassendateien: öffnen oder auf die Seite ziehen.
class-open-files = Klassendateien öffnen
class-taken = Aufgenommen: { $names }.
class-read-folder = { $files } Klassendateien aus { $folder }, { $sessions } Sitzungen.
class-left-out = Ausgelassen: { $why }.
class-line = { $name }, Zeile { $line }: { $said }
class-table-is = Die Tabelle der Klasse: { $path }.
class-page-is = Die Seite der Klasse: { $path }.
class-who = Wer wo steht
class-none = Noch keine Sitzung.
class-taps = Markierungen { $mean } ms spät ({ $low } bis { $high }), Streuung { $spread }
class-taps-early = Markierungen { $mean } ms zu früh ({ $low } bis { $high }), Streuung { $spread }
class-level = bei Lärm { $db } dB (plus oder minus { $range })
class-examined = in Prüfungen { $passed } von { $count }
class-sealed = { $count } versiegelt
class-last = { $all }. Letzte Sitzung { $day }.
class-missed = Töne, die viele verfehlen
class-missed-what = Von jeder Person zählen die letzten zehn Antworten zu einem Ton. Weniger als drei sagen nichts.
class-sound = { $kind }: { $said }
class-missed-by =
    { $students ->
        [one] von { $missed } von { $students } Person verfehlt
       *[other] von { $missed } von { $students } Personen verfehlt
    } (weniger als drei Viertel richtig); { $right } von { $answers } Antworten richtig.
class-missed-unknown = { $right } von { $answers } richtig; niemand hat oft genug geantwortet, um mehr zu sagen.
