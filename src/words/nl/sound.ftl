### Dutch. Where each message stands, and how long it may be, is said in src/words/en/sound.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

sound-simulated = Gesimuleerde patiënt: { $name }
sound-recordings = Opnamen
sound-none = Geen geluid.
sound-room-loud = De kamer is luid: een zwakke terugkeer kan worden gemist.
sound-room-some = Wat achtergrondgeluid: een zwakke terugkeer is misschien moeilijk te horen.
sound-room-quiet = Weinig achtergrondgeluid.
sound-too-loud = Te hard voor de ingang: zet het zachter.
sound-level = Niveau { $level } dB, achtergrond { $background } dB, nu { $above } dB erboven.
sound-stopped = Cuffnote luistert niet meer: ga door op het gehoor. Trek de kabel los om de Doppler te horen.
sound-not-recording = GEEN OPNAME: { $why }
sound-unplug = Trek de kabel los om te horen.
sound-silent = Helemaal geen signaal van het apparaat, zelfs geen ruis: staat het stil of is het los?
sound-stuck = Het apparaat hangt op één waarde: trek het los en sluit het weer aan.
sound-invalid = Het apparaat stuurt ongeldige waarden, opgevat als stilte: trek het los en sluit het weer aan.
sound-full-scale = Het geluid is te hard voor de ingang: zet de Doppler of de ingang zachter.
sound-dead-channel = Eén kanaal geeft niets: zit de stekker er helemaal in?
sound-one-second = Al een seconde geen geluid van het apparaat: trek een kabel los om de Doppler te horen.
sound-missed = Er ging wat geluid verloren, misschien met een polsslag: sluit andere programma's.
sound-device-gone = Het geluidsapparaat is los: sluit het weer aan, dan gaat het luisteren door.
sound-system-gone = Het geluidssysteem van de computer is gestopt: het luisteren gaat door zodra het weer loopt.
sound-stalled = Geen geluid van het apparaat: Cuffnote blijft proberen.
sound-lost = { $seconds } s geluid ging verloren: het luisteren loopt weer.
sound-slept = De computer of het programma stond { $seconds } s stil: het luisteren loopt weer.
sound-cannot-open = Geen geluid: { $said }
sound-not-through = Geluidsuitgang: { $said }
sound-no-tone = Geen toon: { $said }
sound-howl = Met een luidspreker zou de microfoon fluiten: draag een hoofdtelefoon en zeg dat in Instellingen, of gebruik een kabel
sound-screen = Het scherm kan niet aan blijven: zet de schermbeveiliging uit.
sound-gone = geluid weg
sound-your-tap = uw markering
sound-here = hier
sound-pulse-heard = pols gehoord
sound-beyond = buiten deze lijn
sound-above = erboven, onbekend hoeveel
