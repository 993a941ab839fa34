### French. Where each message stands, and how long it may be, is said in src/words/en/sound.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

sound-simulated = Patient simulé : { $name }
sound-recordings = Enregistrements
sound-none = Pas de son.
sound-room-loud = La pièce est bruyante : un retour faible pourrait échapper.
sound-room-some = Un peu de bruit de fond : un retour faible peut être difficile à entendre.
sound-room-quiet = Peu de bruit de fond.
sound-too-loud = Trop fort pour l'entrée : baissez.
sound-level = Niveau { $level } dB, fond { $background } dB, maintenant { $above } dB au-dessus.
sound-stopped = Cuffnote n'écoute plus : continuez à l'oreille. Débranchez le câble pour entendre le Doppler.
sound-not-recording = SANS ENREGISTREMENT : { $why }
sound-unplug = Débranchez le câble pour entendre.
sound-silent = Aucun signal de l'appareil, pas même du bruit : est-il muet ou débranché ?
sound-stuck = L'appareil reste sur une valeur : débranchez-le et rebranchez-le.
sound-invalid = L'appareil envoie des valeurs invalides, prises pour du silence : débranchez-le et rebranchez-le.
sound-full-scale = Le son est trop fort pour l'entrée : baissez le Doppler ou l'entrée.
sound-dead-channel = Un canal ne porte rien : la fiche est-elle bien enfoncée ?
sound-one-second = Pas de son de l'appareil depuis une seconde : si un câble est utilisé, débranchez-le pour entendre le Doppler.
sound-missed = Un peu de son a été perdu, peut-être avec une pulsation : fermez les autres programmes.
sound-device-gone = L'appareil de son est débranché : rebranchez-le et l'écoute continue.
sound-system-gone = Le système de son de l'ordinateur s'est arrêté : l'écoute continue dès son retour.
sound-stalled = Pas de son de l'appareil : Cuffnote essaie encore.
sound-lost = { $seconds } s de son perdues : l'écoute a repris.
sound-slept = L'ordinateur ou le programme s'est arrêté { $seconds } s : l'écoute a repris.
sound-cannot-open = Pas de son : { $said }
sound-not-through = Sortie du son : { $said }
sound-no-tone = Pas de signal sonore : { $said }
sound-howl = Avec un haut-parleur le microphone sifflerait : mettez un casque et dites-le dans Réglages, ou prenez un câble
sound-screen = L'écran ne peut pas rester allumé : désactivez l'économiseur d'écran.
sound-gone = son disparu
sound-your-tap = votre marque
sound-here = ici
sound-pulse-heard = pouls entendu
sound-beyond = hors de cette ligne
sound-above = au-dessus, on ne sait pas de combien
