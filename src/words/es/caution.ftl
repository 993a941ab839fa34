### Spanish. Where each message stands, and how long it may be, is said in src/words/en/caution.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

caution-of-limb =
    { $limb ->
        [leg] pierna, a la
        [arm] brazo, a la
       *[patient] lado, a la
    } { $side ->
        [left] izquierda
       *[right] derecha
    } (paciente): { $words } [{ $source }]
caution-of-patient = { $words } [{ $source }]
caution-source = { $source } ({ $status })
caution-unknown = se anotó `{ $id }`; esta versión no lo conoce y lo trata como signo de alarma
caution-unknown-source = anotado en la visita
caution-acute-limb = ¿Pie de repente frío, pálido, dormido o débil?
    .words = se anotó un pie de repente frío, pálido, dormido o débil: posible isquemia aguda del miembro, una urgencia sea cual sea la cifra
    .source = práctica habitual
caution-rest-pain = ¿Dolor en el pie en reposo o de noche?
    .words = se anotó dolor en reposo: signo de isquemia que amenaza el miembro sea cual sea la cifra
    .source = TASC II (2007), tabla en PMC11279131, cita el dolor en reposo; que pese más que la cifra es práctica habitual
caution-gangrene = ¿Gangrena o tejido negro?
    .words = se anotó gangrena: signo de isquemia que amenaza el miembro sea cual sea la cifra
    .source = TASC II (2007), tabla en PMC11279131, cita la gangrena; que pese más que la cifra es práctica habitual
caution-spreading-infection = ¿Infección del pie o de la pierna que se extiende?
    .words = se anotó una infección que se extiende: urgente sea cual sea la cifra
    .source = práctica habitual; en NHANES la celulitis es motivo para no poner manguito
caution-suspected-clot = ¿Trombosis venosa profunda sospechada o reciente?
    .words = se anotó una trombosis venosa profunda sospechada o reciente: la fuente dice que no se haga la prueba
    .source = NHS Escocia, procedimiento (desde 2024)
caution-absent-signals = Sin señal en ninguna arteria del tobillo
    .words = no se halló señal en la arteria pedia ni en la tibial posterior: no hay índice, y la propia ausencia es urgente
    .source = práctica habitual
caution-graft-or-stent = ¿Derivación o stent bajo el manguito?
    .words = se anotó una derivación o un stent bajo el manguito: la fuente dice que no se infle encima
    .source = apuntes de curso de tecnología vascular; AHA 2012 según un resumen
caution-wound-under-cuff = ¿Herida abierta bajo el manguito?
    .words = se anotó una herida bajo el manguito: cúbrala u omita el sitio
    .source = AHA 2012, según una página secundaria
caution-arm-not-usable = ¿Fístula de diálisis, linfedema o cirugía ganglionar en el lado de este brazo?
    .words = se anotó fístula, linfedema o cirugía ganglionar: la fuente usa solo el otro brazo
    .source = apuntes de curso de tecnología vascular
caution-diabetes = Diabetes
    .words = se anotó diabetes: un índice dentro o por encima del rango usual no excluye enfermedad arterial
    .source = NICE CKS, texto según una página secundaria
caution-kidney = Enfermedad renal crónica
    .words = se anotó enfermedad renal crónica: un índice dentro o por encima del rango usual no excluye enfermedad arterial
    .source = NICE CKS, texto según una página secundaria
