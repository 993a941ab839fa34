### Dutch. Where each message stands, and how long it may be, is said in src/words/en/result.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

result-cannot-tell = Een getal alleen sluit arterieel vaatlijden niet uit, zeker niet bij diabetes of nierziekte. Controleer met oor en manometer. De lokale regel en een bevoegde zorgverlener beslissen.
result-wanted = Nog nodig, { $site }: { $why }
result-write = Rapport schrijven
result-open = Rapport openen
result-print = Rapport afdrukken
result-close = Bezoek sluiten
result-replay = Opname beluisteren
result-history = Alle bezoeken van dit dossier
result-made = { $ankle } ({ $ankle_site }) over { $arm } ({ $arm_site })
result-line = { $leg }: EAI op een lijn van 0.0 tot 1.6
result-limits = Grenzen op de lijn, { $set }: { $limits }.
result-numbers-only = Alleen getallen: geen zorgverlener van deze dienst heeft richtlijnen aangezet (Instellingen).
result-no-band = Deze richtlijn heeft hier geen aanbeveling.
result-readings = Gebruikte metingen
result-counts = { $outcome } (telt)
result-counts-not = { $outcome } (telt niet: { $why })
result-correct = Corrigeren: { $site }
result-plan = Plan, in eigen woorden
result-keep-plan = Plan bewaren
result-planned = Plan: { $words } ({ $who })
result-exercise = Inspanning: wat en hoe lang
result-exercised = Inspanning klaar: opnieuw meten
result-supervisor = Begeleider, voor medeondertekening
result-countersign = Medeondertekenen
result-countersigned = Medeondertekend: { $who }
result-due = Volgende meting, zoals 2027-02-25
result-set-date = Datum zetten
