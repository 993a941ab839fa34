"""Runs the audit's SQL files over Parquet (or CSV) tables in DuckDB. Usage: duck.py FOLDER SQL_FOLDER

Prints one JSON object a file: its name, its columns and its rows.
"""

import json
import pathlib
import sys

import duckdb

tables, queries = map(pathlib.Path, sys.argv[1:])
base = duckdb.connect()
base.execute("CREATE SCHEMA cuffnote")
for name in ("visit", "leg", "attempt"):
    files = f"{tables}/{name}/*/*/*"
    csv = any(tables.glob(f"{name}/*/*/*.csv"))
    read = f"read_csv('{files}.csv')" if csv else f"read_parquet('{files}.parquet', hive_partitioning = true)"
    base.execute(f"CREATE VIEW cuffnote.{name} AS SELECT * FROM {read}")
for path in sorted(queries.glob("*.sql")):
    if path.name == "roles.sql":
        continue
    found = base.execute(path.read_text())
    columns = [column[0] for column in found.description]
    rows = [[None if cell is None else str(cell) for cell in row] for row in found.fetchall()]
    print(json.dumps({"name": path.name, "columns": columns, "rows": rows}))
types = base.execute("DESCRIBE cuffnote.attempt").fetchall()
print(json.dumps({"name": "types", "columns": [], "rows": [[row[0], row[1]] for row in types]}))
