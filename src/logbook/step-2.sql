-- Lists and searches read an index alone: 100,000 visits were too slow by way of the rows.
DROP INDEX visit_at;
DROP INDEX visit_open;
CREATE INDEX visit_at ON visit (at_ms DESC, id DESC, record, operator, reason, closed, due);
CREATE INDEX visit_open ON visit (at_ms DESC, id DESC) WHERE closed = 0;
