#!/usr/bin/env python3
"""What the second program costs on a made book of many visits: clock, processor and the most memory at once.

Usage: tests/bench/scale.py FOLDER [--visits 1000000] [--clinics 50] [--programs target/release]

The books are made once and kept in FOLDER, so a second run only measures; what it gathers into is a PostgreSQL of its
own, started with its usual settings in FOLDER and made anew each time. It needs the programs built
(`cargo build --release --locked --features service --bins`) and some 12 kB of disk a visit. Results are printed and
written to FOLDER/figures.json. Figures count only from a machine with nothing else to do: the load is printed too.
"""

import argparse
import json
import os
import pathlib
import shutil
import socket
import sqlite3
import subprocess
import sys
import time

A_DAY = 20
root = pathlib.Path(__file__).resolve().parents[2]
figures = []


def timed(name, words, visits=None, quiet=False):
    """Runs a program to its end, and keeps what it cost."""
    begun = time.monotonic()
    out = place / "said.txt"
    with open(out, "wb") as told:
        child = subprocess.Popen([str(word) for word in words], cwd=place, env=env, stdout=told, stderr=told)
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
    clock, cpu, mb = time.monotonic() - begun, used.ru_utime + used.ru_stime, used.ru_maxrss / 1e3
    said = out.read_text(errors="replace").strip()
    if child.returncode:
        sys.exit(f"{name}: {said[-2000:]}")
    if not quiet:
        rate = f"{visits / clock:>8.0f} visits/s, {visits / cpu:>8.0f} by processor" if visits else ""
        print(f"  {clock:>8.2f} s clock {cpu:>8.2f} s processor {mb:>6.0f} MB  {name}  {rate}", flush=True)
        figures.append({"what": name, "clock_s": round(clock, 2), "processor_s": round(cpu, 2),
                        "most_mb": round(mb, 1), "visits": visits, "said": said.splitlines()[-1:]})
    return said


def made(folder, visits, seed):
    """A book of so many visits, made where there is none; one of another size is refused."""
    mark = folder.parent / f"{folder.name}.made"
    if not folder.exists():
        words = [programs / "cuffnote", "book", "make", "--visits", visits, "--seed", seed, "--book", folder]
        timed(f"make {folder.name}", words, visits, quiet=seed != 1)
        mark.write_text(f"{visits}\n")
    if int(mark.read_text()) != visits:
        sys.exit(f"{folder} holds {mark.read_text().strip()} visits, not {visits}: remove it, or name another folder")


def held(folder):
    """How many visits a book holds."""
    with sqlite3.connect(f"file:{folder / 'book.sqlite'}?mode=ro", uri=True) as book:
        return book.execute("SELECT count(*) FROM visit").fetchone()[0]


class Database:
    """A PostgreSQL of its own, which ends with the program."""

    def __init__(self, name):
        found = sorted(pathlib.Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: int(path.parent.name))
        folder = found[-1] if found else None
        at = lambda program: str(folder / program) if folder else program
        self.data = place / name
        shutil.rmtree(self.data, ignore_errors=True)
        self.data.mkdir()
        by = []
        if os.getuid() == 0:
            # The server refuses to run as root.
            by = ["setpriv", "--reuid=nobody", "--regid=nogroup", "--clear-groups"]
            shutil.chown(self.data, "nobody", "nogroup")
        with socket.create_server(("127.0.0.1", 0)) as free:
            port = free.getsockname()[1]
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "cwd": "/"}
        words = [at("initdb"), "-A", "trust", "-U", "owner", "-E", "UTF8", "--locale=C", "-D", str(self.data)]
        subprocess.run(by + words, check=True, **quiet)
        words = [at("postgres"), "-D", str(self.data), "-p", str(port), "-c", "listen_addresses=127.0.0.1",
                 "-c", f"unix_socket_directories={self.data}"]
        self.server = subprocess.Popen(by + words, **quiet)
        self.url = f"postgres://owner@127.0.0.1:{port}/postgres"
        for _ in range(600):
            if subprocess.run(["psql", self.url, "-c", "SELECT 1"], **quiet).returncode == 0:
                return
            time.sleep(0.1)
        sys.exit("the database did not start")

    def ask(self, text):
        words = ["psql", "-qAt", self.url, "-c", text]
        return subprocess.run(words, check=True, capture_output=True, text=True).stdout.strip()

    def end(self):
        self.server.send_signal(2)
        self.server.wait()


def one_book(visits):
    """Tables, gathering and the audit on one large book."""
    book = place / "book"
    made(book, visits, 1)
    service = programs / "cuffnote-service"
    timed("tables, Parquet", [service, "tables", "--book", f"Tidemill={book}", "--out", place / "tables"], visits)
    database = Database("database")
    try:
        gather = [service, "gather", "--book", f"Tidemill={book}", "--to", database.url]
        timed("gather into an empty database", gather, visits)
        timed("gather once more, nothing new", gather)
        there, wanted = int(database.ask("SELECT count(*) FROM cuffnote.visit")), held(book)
        if there != wanted:
            sys.exit(f"{there} visits were gathered, not {wanted}")
        whole = 0.0
        for path in sorted((root / "docs/sql").glob("*.sql")):
            if path.name != "roles.sql":
                timed(f"SQL {path.stem}", ["psql", "-q", database.url, "-f", path])
                whole += figures[-1]["clock_s"]
        print(f"  {whole:>8.2f} s clock, the whole audit by SQL", flush=True)
        figures.append({"what": "the whole audit by SQL", "clock_s": round(whole, 2)})
    finally:
        database.end()


def many_books(visits, clinics):
    """A day's work of many clinics, each with years of visits gathered before."""
    each = max(1, visits // clinics)
    folder = place / "clinics"
    folder.mkdir(exist_ok=True)
    names = [f"clinic-{n:02}" for n in range(1, clinics + 1)]
    for n, name in enumerate(names, 1):
        # The day's work is added below: a book that has it is made anew.
        if not (folder / f"{name}.made").exists() or (folder / f"{name}.day").exists():
            shutil.rmtree(folder / name, ignore_errors=True)
        made(folder / name, each, 100 + n)
        (folder / f"{name}.day").unlink(missing_ok=True)
    service = programs / "cuffnote-service"
    database = Database("many")
    try:
        books = [word for name in names for word in ("--book", f"{name}={folder / name}")]
        gather = [service, "gather", *books, "--to", database.url]
        timed(f"gather {clinics} books of {each} visits", gather, each * clinics)
        timed(f"gather {clinics} books, nothing new", gather)
        for n, name in enumerate(names, 1):
            words = [programs / "cuffnote", "book", "make", "--visits", A_DAY, "--seed", 1000 + n, "--book", folder / name]
            (folder / f"{name}.day").write_text("")
            timed("a day", words, quiet=True)
        timed(f"gather {clinics} books, a day's work of {A_DAY} visits each", gather, A_DAY * clinics)
        # A made visit may meet one of the same record and moment, which a book takes once.
        there = int(database.ask("SELECT count(*) FROM cuffnote.visit"))
        wanted = sum(held(folder / name) for name in names)
        if there != wanted:
            sys.exit(f"{there} visits were gathered, not {wanted}")
    finally:
        database.end()


words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
words.add_argument("folder", type=pathlib.Path)
words.add_argument("--visits", type=int, default=1_000_000)
words.add_argument("--clinics", type=int, default=50)
words.add_argument("--programs", type=pathlib.Path, default=root / "target/release")
words = words.parse_args()
place, programs = words.folder.resolve(), words.programs.resolve()
place.mkdir(parents=True, exist_ok=True)
env = {**os.environ, "XDG_STATE_HOME": str(place / "state"), "CUFFNOTE_LOG_DIR": str(place / "log")}
env.pop("CUFFNOTE_SERVICE", None)
print(f"{words.visits} visits, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f} at the beginning", flush=True)
loads = [os.getloadavg()[0]]
one_book(words.visits)
many_books(words.visits, words.clinics)
loads.append(os.getloadavg()[0])
print(f"load {loads[1]:.1f} at the end")
(place / "figures.json").write_text(json.dumps({"visits": words.visits, "loads": loads, "figures": figures}, indent=1))
