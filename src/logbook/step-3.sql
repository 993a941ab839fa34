-- Which chains met which, and when, is asked for whenever two laptops wrote one visit.
CREATE INDEX entry_met ON entry (line, kind, seq) WHERE kind IN (0, 4);
