#!/usr/bin/python3
"""The invented year of examples/make_year.py: the ledger it makes is whole, and what is hidden in it is found.

usage: made_year.py PROGRAM SOURCE_FOLDER      two weeks; the whole year with COLDBAG_LONG=1
"""
import os
import pathlib
import re
import subprocess
import sys
import tempfile

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
faults = []
is_whole_year = os.environ.get("COLDBAG_LONG") == "1"


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:900])


def record(folder, *arguments):
    done = subprocess.run([program, "record", *arguments, "--ledger", "farm.ledger"], cwd=folder, capture_output=True,
                          text=True, stdin=subprocess.DEVNULL)
    expect(f"{arguments} ends with 0: {done.stderr}{done.stdout}", done.returncode == 0)
    expect(f"no line is over 80 columns: {done.stdout}", all(len(line) <= 80 for line in done.stdout.splitlines()))
    return " ".join(done.stdout.split())


def finds_what_is_hidden(folder):
    trends = record(folder, "trends")
    autoclave = trends[trends.index("autoclave, brick"):trends.index("room, brick")]
    since = re.search(r"Since (\d{4}-\d\d-\d\d) heat-up is getting slower", autoclave)
    expect(f"bricks closer from 2025-07-28 on: {autoclave}",
           since is not None and "2025-07-14" <= since[1] <= "2025-08-11")
    rest = trends[trends.index("room, brick"):]
    expect(f"no other vessel heats slower: {rest}", "heat-up is getting slower" not in rest)
    expect(f"the two short runs stand alone: {autoclave}",
           "autoclave-12a" in autoclave and "autoclave-34a" in autoclave)
    outcomes = record(folder, "outcomes", "--treatment", "sterilize")
    expect(f"the bad lot of spawn: {outcomes}", "came from spawn lot S20-bad" in outcomes)
    expect(f"a whole load bad early: {outcomes}", "most bags of autoclave-12a were bad by day 7" in outcomes)
    expect(f"heat: {outcomes}", "Runs with less heat had more bad bags" in outcomes)


with tempfile.TemporaryDirectory() as name:
    place = pathlib.Path(name)
    subprocess.run(["/usr/bin/python3", str(source / "examples" / "make_year.py"), program, name,
                    *([] if is_whole_year else ["2"])], check=True, timeout=3000)
    expect("the ledger is whole", "NOT WHOLE" not in record(place, "verify"))
    for work in ("trends", "outcomes", "due"):
        expect(f"{work} says something", len(record(place, work)) > 20)
    if is_whole_year:
        finds_what_is_hidden(place)
print(f"made_year: {len(faults)} faults")
sys.exit(1 if faults else 0)
