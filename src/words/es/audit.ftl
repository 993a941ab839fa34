### Spanish. Where each message stands, and how long it may be, is said in src/words/en/audit.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

audit-title = Cómo mide este servicio
