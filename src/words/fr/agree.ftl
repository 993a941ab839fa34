### French. Where each message stands, and how long it may be, is said in src/words/en/agree.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

agree-title = Avant de commencer
agree-purpose = Cuffnote sert à la formation et à noter ce qu'un clinicien a mesuré. Ce n'est pas un dispositif médical autorisé, et il ne pose pas de diagnostic.
agree-record = Votre oreille et votre manomètre font foi. La détection automatique ne fait qu'aider : elle peut manquer un pouls, et en entendre un qui n'existe pas.
agree-policy = La règle locale et un praticien habilité décident de ce qu'un nombre veut dire pour un patient.
agree-urgent = Les signes urgents priment sur tout nombre : pied soudain froid, pâle ou insensible, douleur de repos, gangrène, infection qui s'étend.
agree-stiff = Des artères rigides donnent des valeurs trop hautes. En cas de diabète ou de maladie rénale, un indice dans la plage habituelle ou au-dessus n'exclut pas une maladie artérielle.
agree-cuff = Ne gonflez pas un brassard sur un pontage, un stent, une plaie ou une thrombose suspectée. Ouvrez la valve à fond dès que vous avez lu.
agree-cable = Un câble depuis le Doppler s'utilise sur batterie ou par une liaison isolée, comme le dit la règle locale de sécurité électrique. Un microphone n'a besoin d'aucun fil.
agree-loud = Le son envoyé au casque commence bas et a un plafond. Commencez tout de même avec la sortie au plus bas.
agree-consent = Un microphone entend aussi les voix. Dites au patient que le son est enregistré et demandez son accord selon la règle locale.
agree-read = J'ai lu cela
