#!/usr/bin/python3
"""A ledger is backed up while another process adds to it, copied to another place and back without loss, and never onto
another ledger; its runs as CSV are read by a reader of CSV. Where COLDBAG_POSTGRESQL names a server, copies go through it.

usage: record_copy.py PROGRAM SOURCE_FOLDER
"""
import csv
import io
import os
import pathlib
import shutil
import sqlite3
import subprocess
import sys
import tempfile

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
server = os.environ.get("COLDBAG_POSTGRESQL", "")
faults = []
BY = ["--key", "farm.key", "--by", "Ana Example"]
RUNS = ["good-sterilization", "straw-overshoot", "unproven-probe", "us-units"]


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:600])


def command(ledger, *arguments):
    return [program, "record", *map(str, arguments), "--ledger", ledger]


def record(folder, ledger, *arguments, status=0):
    done = subprocess.run(command(ledger, *arguments), cwd=folder, capture_output=True, timeout=300,
                          stdin=subprocess.DEVNULL)
    said = (done.stdout + done.stderr).decode()
    expect(f"{arguments} ends with {status}, not {done.returncode}: {said}", done.returncode == status)
    return " ".join(said.split())


def run_file(name):
    return source / "examples" / name / "run.toml"


def new_database(name):
    """An empty place for a ledger: a schema of its own."""
    subprocess.run(["psql", "-q", server.replace("?", "postgres?", 1), "-c", f"CREATE SCHEMA {name}"], check=True)
    return server.replace("?", "postgres?", 1) + f"&options=-csearch_path%3D{name}"


def backs_up_while_used(folder):
    adding = subprocess.Popen(command("farm.ledger", "add", *[run_file(name) for name in RUNS * 4], *BY), cwd=folder,
                              stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    seals, count = [], 0
    while adding.poll() is None or count == 0:
        count += 1
        said = record(folder, "farm.ledger", "backup", "--to", f"backup-{count}.ledger")
        expect(f"the backup is whole: {said}", "Whole: " in said and "NOT WHOLE" not in said)
        seals.append(record(folder, f"backup-{count}.ledger", "seal"))
    expect(f"whoever adds is not disturbed: {adding.stderr.read().decode()}", adding.wait() == 0)
    adding.stderr.close()
    sizes = [int(seal.split()[0]) for seal in seals]
    print(f"record_copy: backups of {sizes} entries while others were added")
    expect(f"backups hold more and more: {sizes}", sizes == sorted(sizes))
    given = [part for seal in seals for part in ("--seal", seal)]
    expect("each is how the ledger began", "Nothing that stood before" in record(folder, "farm.ledger", "verify", *given))
    left = [path.name for path in folder.iterdir() if path.name.startswith(".") or "whole" in path.name]
    expect(f"nothing is left beside them: {left}", not left)
    record(folder, "backup-1.ledger", "verify", "--recompute")


def copies(folder, place):
    """To `place` and from there into a new file; then what was added meanwhile."""
    record(folder, "farm.ledger", "copy", "--to", place)
    seal = record(folder, "farm.ledger", "seal")
    expect("the copy has the same seal", record(folder, place, "seal") == seal)
    back = f"back-{len(list(folder.iterdir()))}.ledger"
    record(folder, place, "copy", "--to", back)
    expect("and its copy", record(folder, back, "seal") == seal)
    record(folder, place, "backup", "--to", back + ".backup")
    expect("and its backup", record(folder, back + ".backup", "seal") == seal)
    with sqlite3.connect(folder / "farm.ledger") as first, sqlite3.connect(folder / back) as second:
        for table in ("entries", "files", "ledger"):
            rows = [sql.execute(f"SELECT * FROM {table} ORDER BY 1").fetchall() for sql in (first, second)]
            expect(f"nothing of {table} was lost on the way", rows[0] == rows[1] and rows[0])
    record(folder, "farm.ledger", "add", run_file("decimal-comma"), *BY)
    said = record(folder, "farm.ledger", "copy", "--to", place)
    expect(f"what is missing is added: {said}", "1 entries were added" in said)
    expect("nothing is added twice", " 0 entries were added" in record(folder, "farm.ledger", "copy", "--to", place))
    expect("it is the same again", record(folder, "farm.ledger", "seal") == record(folder, place, "seal"))
    expect("its runs are judged again there", "judged again" in record(folder, place, "verify", "--recompute"))


def refuses(folder, place):
    record(folder, "other.ledger", "start", "--key", "other.key", "--by", "Ana Example")
    said = record(folder, "other.ledger", "copy", "--to", place, status=65)
    expect(f"never onto another ledger: {said}", "not how the other one begins" in said)
    said = record(folder, "back-short.ledger", "copy", "--to", "farm.ledger", status=66)
    expect(f"a ledger that is not there: {said}", "no such ledger" in said)
    record(folder, "farm.ledger", "backup", "--to", "backup-1.ledger", status=73)
    record(folder, "farm.ledger", "backup", "--to", "no/such/folder.ledger", status=73)
    record(folder, "farm.ledger", "backup", "--to", "postgresql://nobody@nowhere/x", status=64)
    record(folder, "farm.ledger", "backup", status=64)
    shutil.copy(folder / "farm.ledger", folder / "bad.ledger")
    with sqlite3.connect(folder / "bad.ledger") as sql:
        for trigger, in sql.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            sql.execute(f"DROP TRIGGER {trigger}")
        sql.execute("UPDATE files SET packed = 'A' || substr(packed, 2) WHERE size_bytes > 10000")
    said = record(folder, "bad.ledger", "backup", "--to", "bad-backup.ledger", status=1)
    expect(f"a ledger that is not whole is copied as it is, and that is said: {said}", "NOT WHOLE" in said)


def as_csv(folder):
    done = subprocess.run(command("farm.ledger", "list", "--csv", "-"), cwd=folder, capture_output=True, timeout=300)
    text = done.stdout.decode("utf-8")
    lines = text.split("\r\n")
    expect("lines end by CR and LF", lines[-1] == "" and not any("\n" in line or "\r" in line for line in lines))
    rows = list(csv.DictReader(io.StringIO(text, newline=""), strict=True))
    count = int(record(folder, "farm.ledger", "seal").split()[0])
    expect(f"a line for each run: {len(rows)} of {count - 1}", len(rows) == count - 1)
    first = rows[0]
    expect(f"the first is there: {first}", first["run"] == "good-sterilization" and first["verdict"] == "pass")
    expect("figures are numbers", 121 < float(first["top_degC"]) < 122 and float(first["F_minutes_lower"]) > 100)
    expect("the hash is that of the list", len(first["id"]) == 64 and first["event_at"].endswith("-05:00"))
    record(folder, "farm.ledger", "list", "--csv", "runs.csv", "--verdict", "fail")
    failed = list(csv.DictReader((folder / "runs.csv").open(newline="", encoding="utf-8"), strict=True))
    expect("the filter holds", failed and all(row["verdict"] == "fail" for row in failed))
    record(folder, "farm.ledger", "list", "--csv", "runs.csv", status=73)


with tempfile.TemporaryDirectory() as name:
    here = pathlib.Path(name)
    record(here, "farm.ledger", "start", *BY)
    record(here, "farm.ledger", "add", *[run_file(run) for run in RUNS], *BY)
    target = new_database("copied") if server else "copied.ledger"
    backs_up_while_used(here)
    copies(here, target)
    refuses(here, target)
    as_csv(here)
print(f"record_copy: {len(faults)} faults")
sys.exit(1 if faults else 0)
