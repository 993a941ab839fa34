"""Counts the audit from Parquet tables by Apache Arrow, in Python instead of SQL. Usage: arrow.py FOLDER SQL_FOLDER

The second folder is not read: what docs/sql asks for is written down here once more, so that a mistake in one of both
shows. Prints one JSON object a measure, as duck.py does: a name, columns and rows.
"""

import collections
import json
import pathlib
import sys

import pyarrow.dataset

FULL = ("measure", "class", "count", "of")
SPREAD = ("measure", "class", "count", "median", "low", "high")
SIX = ("right-arm", "right-dp", "right-pt", "left-arm", "left-dp", "left-pt")
folder = pathlib.Path(sys.argv[1])


def table(name):
    return pyarrow.dataset.dataset(folder / name, format="parquet", partitioning="hive").to_table()


def said(name, columns, rows):
    texts = [[None if cell is None else str(cell) for cell in row] for row in rows]
    print(json.dumps({"name": name, "columns": columns, "rows": texts}))


def quantile(values, share):
    """Between the two nearest values, as PostgreSQL's percentile_cont."""
    values = sorted(values)
    at = share * (len(values) - 1)
    low = int(at)
    high = min(low + 1, len(values) - 1)
    return values[low] + (values[high] - values[low]) * (at - low)


def spread(measure, name, values):
    ends = [quantile(values, share) for share in (0.5, 0.25, 0.75)] if values else [None] * 3
    return [measure, name, len(values), *ends]


visits = table("visit").to_pylist()
schema = table("attempt").schema
attempts = table("attempt").to_pylist()
standing = [one for one in attempts if not one["withdrawn"]]

all_visits = len(visits)
said("completeness", FULL, [
    ["completeness", "closed", sum(one["closed"] for one in visits), all_visits],
    ["completeness", "all six sites have an outcome", sum(one["complete"] for one in visits), all_visits],
    ["completeness", "an index of both legs", sum(one["both_indexes"] for one in visits), all_visits],
    ["completeness", "rest before is recorded", sum(one["rested_min"] is not None for one in visits), all_visits],
])

falls = [one["deflation_mmhg_per_s"] for one in standing if one["deflation_mmhg_per_s"] is not None]
said("deflation", FULL, [
    ["deflation", "slower than asked", sum(fall < 2 for fall in falls), len(falls)],
    ["deflation", "faster than asked", sum(fall > 3 for fall in falls), len(falls)],
])
said("deflation spread", SPREAD, [spread("deflation mmHg/s (median, quartiles)", "all", falls)])

readings = [one for one in attempts if one["outcome"] == "reading"]
gauges = collections.Counter(one["gauge"] for one in readings if one["source"] != "entered")
said("gauges", FULL, [["gauge", gauge, count, None] for gauge, count in gauges.items()])

by_ear = [one for one in standing if one["outcome"] == "reading" and one["source"] == "ear-and-gauge"]
tenths = [round(one["cuff_mmhg"] * 10) % 100 for one in by_ear if one["graduation_mmhg"] == 2]
even = [digit // 10 for digit in tenths if digit % 20 == 0]
said("last digit", FULL,
     [["last digit", digit, even.count(digit), len(even)] for digit in (0, 2, 4, 6, 8)]
     + [["last digit", "not even", len(tenths) - len(even), len(tenths)]])

without = collections.Counter()
for site in SIX:
    turned_to = [one for one in attempts if one["site"] == site and one["phase"] == "rest" and one["repeat"] == 1]
    without[site, "not yet measured"] += all_visits - len(turned_to)
    for one in turned_to:
        if one["site_mmhg"] is None:
            word = one["site_outcome"]
            without[site, "not measured, with a reason" if word.startswith("not measured") else word] += 1
said("not obtained", FULL,
     [[f"not obtained, {site}", word, count, all_visits] for (site, word), count in without.items() if count])

places = collections.defaultdict(dict)
for one in attempts:
    places[one["visit"], one["site"], one["phase"]][one["repeat"]] = one
why = collections.Counter()
for (_, site, _), of_site in places.items():
    for repeat in of_site:
        if repeat == 1:
            continue
        before = of_site[repeat - 1]
        if before["withdrawn"]:
            why["the earlier one was taken back"] += 1
        elif before["cuff_mmhg"] is None:
            why["the earlier one gave no pressure"] += 1
        elif any(one["irregular"] for one in of_site.values()):
            why["irregular rhythm: several readings are averaged"] += 1
        elif site.endswith("-arm"):
            why["arm measured again"] += 1
        else:
            why["measured again, no reason is recorded"] += 1
said("repeats", FULL, [["repeats", word, count, sum(why.values())] for word, count in why.items()])

late = collections.defaultdict(list)
for one in standing:
    if one["tap_after_first_pulse_s"] is not None:
        for word in (one["hard_to_hear"] or "nothing hard to hear").split("; "):
            late[word].append(one["tap_after_first_pulse_s"])
said("tap spread", SPREAD,
     [spread("tap after first pulse s (median, quartiles)", word, values) for word, values in late.items()])
said("types", [], [[field.name, str(field.type)] for field in schema])
