#!/usr/bin/python3
"""Years of runs in a ledger, on the real program: a drift in one vessel is told with its date and no other is, runs that
are alike are named; figures are those that numpy makes of the kept reports.

usage: record_years.py PROGRAM
"""
import json
import pathlib
import re
import sqlite3
import subprocess
import sys
import tempfile

import numpy as np

import made_years

program = str(pathlib.Path(sys.argv[1]).resolve())
faults = []
BY = ["--key", "farm.key", "--by", "Ana Example"]
DRIFT_FROM = 24


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:600])


def record(folder, *arguments, status=0):
    done = subprocess.run([program, "record", *map(str, arguments), "--ledger", "farm.ledger"], cwd=folder, capture_output=True,
                          text=True, timeout=300, stdin=subprocess.DEVNULL)
    expect(f"{arguments} ends with {status}, not {done.returncode}: {done.stderr}{done.stdout}", done.returncode == status)
    expect(f"no line is over 80 columns: {done.stdout}", all(len(line) <= 80 for line in done.stdout.splitlines()))
    return done.stdout + done.stderr


def words_of(text):
    return " ".join(text.split())


def add_runs(folder):
    """Thirty runs of the big vessel, whose bricks are packed closer from one run on; twelve of the small one."""
    rng = np.random.default_rng(20)
    made_years.write_farm(folder)
    runs = []
    for n in range(30):
        slower = 8 if n >= DRIFT_FROM else 0
        tau = 24 + slower + rng.normal(0, 1.2)
        runs.append(made_years.write_run(folder, f"big-{n + 1}", 4 * n, "big", 60 + rng.normal(0, 2), 150,
                                         (tau, tau - 4), rng))
    for n in range(12):
        tau = 20 + rng.normal(0, 1.2)
        runs.append(made_years.write_run(folder, f"small-{n + 1}", 4 * n + 2, "small", 40 + rng.normal(0, 2), 120,
                                         (tau, tau - 4), rng))
    record(folder, "start", *BY)
    record(folder, "add", *[path.name for path, _ in runs], *BY)
    return [start.date().isoformat() for _, start in runs]


def kept_reports(folder):
    with sqlite3.connect(folder / "farm.ledger") as sql:
        for leaf, in sql.execute("SELECT leaf FROM entries WHERE kind = 'run' ORDER BY number"):
            yield json.loads(leaf)["content"]


def lag_minutes(report):
    steam = next(probe for probe in report["probes"] if probe["role"] == "vessel")
    return max(probe["near_top_at_s"] - steam["near_top_at_s"] for probe in report["probes"] if probe["role"] == "bag") / 60


def tells_the_drift(folder, days):
    said = record(folder, "trends", "--svg", "trends.svg")
    text = words_of(said)
    big, small = text[text.index("big, brick"):text.index("small, brick")], text[text.index("small, brick"):]
    since = re.search(r"Since (\d{4}-\d\d-\d\d) heat-up is getting slower", big)
    near = days[DRIFT_FROM - 1:DRIFT_FROM + 2]
    expect(f"the big vessel's drift is told from {near}: {big}", since is not None and since[1] in near)
    expect("with what usually causes it", "packing, steam or venting" in big)
    expect(f"the bags get less F of it: {big}", "the coldest bag gets less F" in big)
    expect(f"nothing else drifts: {big}", len(re.findall("Since 20", big)) == 2)
    expect(f"no drift is told of the small vessel: {small}", "Since 20" not in small and "provisional" in small)
    lags = np.array([lag_minutes(content["report"]) for content in kept_reports(folder)][:20])
    step = np.abs(np.diff(lags)).mean()
    row = re.search(r"core lag +30 +(\d+) min +(\d+) min to (\d+) min +([\d.]+) min", said)
    expect(f"there is a row of the core lag: {said}", row is not None)
    told = [float(cell) for cell in row.groups()]
    made = [lags.mean(), lags.mean() - 3 * step / 1.128, lags.mean() + 3 * step / 1.128, 3.267 * step]
    expect(f"limits are those of numpy: {told}, {made}", all(abs(a - b) <= 0.51 for a, b in zip(told, made)))
    svg = (folder / "trends.svg").read_text()
    expect("the charts are an SVG", svg.startswith("<?xml") and svg.rstrip().endswith("</svg>"))
    alone = words_of(record(folder, "trends", "--vessel", "small"))
    expect("a vessel alone", "small, brick" in alone and "big, brick" not in alone)
    expect("none is said to be like that", "No run is like that" in record(folder, "trends", "--bag", "sleeve"))
    expect("nothing is overwritten", "trends.svg" in record(folder, "trends", "--svg", "trends.svg", status=73))
    expect("it speaks Spanish", "Desde " in record(folder, "trends", "--language", "es"))


def names_what_is_alike(folder):
    """A run entered again, and one whose log is another's with other names and another day."""
    shifted = (folder / "big-3.csv").read_text().replace("2025-01-14", "2026-03-02").replace("Core 1", "Core 9")
    (folder / "copied.csv").write_text(shifted)
    run = (folder / "big-3.toml").read_text().replace('"big-3"', '"copied"').replace("big-3.csv", "copied.csv")
    (folder / "copied.toml").write_text(run.replace("2025-01-14", "2026-03-02").replace("Core 1", "Core 9"))
    record(folder, "add", "big-5.toml", "copied.toml", *BY)
    text = words_of(record(folder, "trends"))
    expect(f"a run entered twice is named: {text}", "Entries 5 (big-5) and 43 (big-5) rest on the same log and the same "
           "readings" in text)
    expect(f"it counts once: {text}", "runs: 31," in text)
    expect(f"readings that are another's are a suspicion: {text}",
           "Entries 3 (big-3) and 44 (copied) have the same readings at every probe" in text and "a suspicion" in text)


with tempfile.TemporaryDirectory() as name:
    place = pathlib.Path(name)
    told_days = add_runs(place)
    tells_the_drift(place, told_days)
    names_what_is_alike(place)
print(f"record_years: {len(faults)} faults")
sys.exit(1 if faults else 0)
