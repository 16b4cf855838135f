#!/usr/bin/python3
"""Runs of one farm in the ledger of another: from its ledger and from an export, with their proofs, and what was altered
is not taken.

usage: record_import.py PROGRAM SOURCE_FOLDER
"""
import csv
import pathlib
import shutil
import sqlite3
import subprocess
import sys
import tempfile

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:600])


def record(folder, ledger, *arguments, status=0):
    done = subprocess.run([program, "record", *map(str, arguments), "--ledger", ledger], cwd=folder, capture_output=True,
                          text=True, timeout=300, stdin=subprocess.DEVNULL)
    said = " ".join((done.stdout + done.stderr).split())
    expect(f"{arguments} ends with {status}, not {done.returncode}: {said}", done.returncode == status)
    return said


def farm(folder, name, *runs):
    by = ["--key", f"{name}.key", "--by", f"{name.capitalize()} Example"]
    record(folder, f"{name}.ledger", "start", *by)
    record(folder, f"{name}.ledger", "add", *[source / "examples" / run / "run.toml" for run in runs], *by)
    return by


def altered(folder, ledger, name, *statements):
    shutil.copy(folder / ledger, folder / name)
    with sqlite3.connect(folder / name) as sql:
        for trigger, in sql.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            sql.execute(f"DROP TRIGGER {trigger}")
        for statement in statements:
            sql.execute(statement)
    return name


def works(folder, by):
    seal = record(folder, "hill.ledger", "seal")
    said = record(folder, "valley.ledger", "import", "hill.ledger", *by)
    expect(f"two runs come in: {said}", "2 runs were imported" in said and seal in said)
    whole = record(folder, "valley.ledger", "verify", "--recompute")
    expect(f"all is whole: {whole}", "4 entries" in whole)
    listed = record(folder, "valley.ledger", "list", "--kind", "import", "--verdict", "fail")
    expect(f"an imported run is found by its verdict: {listed}", "straw-overshoot" in listed and "us-units" not in listed)
    said = record(folder, "valley.ledger", "import", "hill.ledger", *by)
    expect(f"nothing is imported twice: {said}", said.startswith("0 runs were imported; 2 "))
    record(folder, "valley.ledger", "list", "--csv", "runs.csv")
    rows = list(csv.DictReader((folder / "runs.csv").open(newline="", encoding="utf-8"), strict=True))
    expect("the table has its figures too", [row["kind"] for row in rows] == ["run", "import", "import"]
           and all(float(row["F_minutes"]) > 1 and row["keep_until"] > "2026" for row in rows) and rows[1]["run"] == "good-sterilization")
    record(folder, "hill.ledger", "export", "1", "--to", "from-hill")
    record(folder, "plain.ledger", "start", "--key", "plain.key", "--by", "Ana Example")
    said = record(folder, "plain.ledger", "import", "from-hill", "--key", "plain.key", "--by", "Ana Example")
    expect(f"an export is taken: {said}", "1 runs were imported" in said and seal in said)
    expect("it is whole with it", "2 entries" in record(folder, "plain.ledger", "verify"))
    record(folder, "valley.ledger", "export", "2", "--to", "from-valley")
    done = subprocess.run(["sh", "from-valley/check.sh"], cwd=folder, capture_output=True, text=True, check=False)
    expect(f"an imported run leaves as any: {done.stdout}", done.returncode == 0 and "NOT SO" not in done.stdout)


def refuses(folder, by):
    bad = altered(folder, "hill.ledger", "bad.ledger", "UPDATE entries SET verdict = 'pass' WHERE number = 2")
    expect("a ledger that is not whole brings nothing",
           "NOT WHOLE" in record(folder, "valley.ledger", "import", bad, *by, status=1))
    shutil.copytree(folder / "from-hill", folder / "bad-export")
    with (folder / "bad-export" / "files" / "log.csv").open("ab") as log:
        log.write(b"\n")
    said = record(folder, "valley.ledger", "import", "bad-export", *by, status=65)
    expect(f"nor does an altered export: {said}", "log.csv" in said and "altered" in said)
    (folder / "empty").mkdir()
    said = record(folder, "valley.ledger", "import", "empty", *by, status=66)
    expect(f"a folder that is no export: {said}", "entry.json" in said)
    record(folder, "valley.ledger", "import", "none.ledger", *by, status=66)
    record(folder, "valley.ledger", "import", *by, status=64)
    expect("nothing came of it", "4 entries" in record(folder, "valley.ledger", "verify"))


with tempfile.TemporaryDirectory() as name:
    place = pathlib.Path(name)
    farm(place, "hill", "good-sterilization", "straw-overshoot")
    ours = farm(place, "valley", "us-units")
    works(place, ours)
    refuses(place, ours)
print(f"record_import: {len(faults)} faults")
sys.exit(1 if faults else 0)
