### Spanish. Where each message stands, and how long it may be, is said in src/words/en/visits.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

visits-none = Aún no hay ninguna visita terminada aquí.
visits-open = Abrir { $record }, { $day }
visits-all = Todas de { $record }
visits-next-test = próxima medición { $on }
visits-practise = Practicar
visits-search = Buscar: historia, operador o motivo
visits-begun = { $record }, empezada { $day } a las { $time }
visits-continue = Seguir { $record }
visits-close = Cerrar ya { $record }
