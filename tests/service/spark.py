"""Runs the audit's SQL files over Parquet tables in Apache Spark. Usage: spark.py FOLDER SQL_FOLDER

Three words of the files are Spark's own here: `text` is `string`, a text is taken apart by `explode(split())`, and a
schema is a prefix of names. Prints what duck.py prints.
"""

import json
import pathlib
import sys

from pyspark.sql import SparkSession

tables, queries = map(pathlib.Path, sys.argv[1:])
spark = (
    SparkSession.builder.master("local[1]")
    .config("spark.ui.enabled", "false")
    .config("spark.ui.showConsoleProgress", "false")
    .config("spark.sql.shuffle.partitions", "1")
    .config("spark.sql.session.timeZone", "UTC")
    # "of" is a name in standard SQL.
    .config("spark.sql.ansi.enabled", "true")
    .config("spark.sql.ansi.doubleQuotedIdentifiers", "true")
    .getOrCreate()
)
spark.sparkContext.setLogLevel("ERROR")
for name in ("visit", "leg", "attempt"):
    spark.read.parquet(str(tables / name)).createOrReplaceTempView(f"cuffnote_{name}")
WORDS = (
    ("cuffnote.", "cuffnote_"),
    (" AS text)", " AS string)"),
    ("unnest(string_to_array(words, '; '))", "explode(split(words, '; '))"),
)
for path in sorted(queries.glob("*.sql")):
    if path.name == "roles.sql":
        continue
    text = path.read_text().rstrip().rstrip(";")
    for ours, theirs in WORDS:
        text = text.replace(ours, theirs)
    found = spark.sql(text)
    rows = [[None if cell is None else str(cell) for cell in row] for row in found.collect()]
    print(json.dumps({"name": path.name, "columns": found.columns, "rows": rows}))
types = [[name, kind] for name, kind in spark.table("cuffnote_attempt").dtypes]
print(json.dumps({"name": "types", "columns": [], "rows": types}))
spark.stop()
