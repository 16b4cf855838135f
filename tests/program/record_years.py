#!/usr/bin/python3
"""Years of runs in a ledger, on the real program: a drift in one vessel is told with its date and no other is, runs that
are alike are named; bad bags are counted as they were
stated, and set beside heat. Figures are those that numpy makes of the kept reports.

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
    rng = np.random.default_rng(21)
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
    expect(f"nothing else drifts: {big}", len(re.findall("(?:Since|From) 20", big)) == 2)
    expect(f"no drift is told of the small vessel: {small}", not re.search("(?:Since|From) 20", small) and "provisional" in small)
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


def add_outcomes(folder):
    """Twenty-four runs of the small vessel with holds of their own; bags go bad the more the less F they got, and spawn lot
    S7 brings some of its own."""
    rng = np.random.default_rng(31)
    made_years.write_farm(folder)
    holds = rng.uniform(60, 130, 24)
    runs = [made_years.write_run(folder, f"night-{n + 1}", 3 * n, "small", 40 + rng.normal(0, 2), hold, (20, 16), rng,
                                 '[[event]]\nwhat = "bag_burst"\ntime = 2025-01-06T20:00:00\n' if n == 0 else "")[0].name
            for n, hold in enumerate(holds)]
    record(folder, "start", *BY)
    record(folder, "add", *runs, *BY)
    reports = [content["report"] for content in kept_reports(folder)]
    decades = np.array([np.log10(next(c for c in report["criteria"] if c["name"] == "lethality")["delivered"] / 15)
                        for report in reports])
    made = []
    for n in range(24):
        spawn, room, shift = f"S{5 + n % 4}", "AB"[n % 2], ("early", "late")[n // 12]
        odds = 0.05 * 10 ** (0.3 - decades[n]) + (0.15 if spawn == "S7" else 0)
        first, second = rng.binomial(30, odds / (1 + odds), 2)
        bags = 62 if n == 0 else 60
        record(folder, "inoculate", f"night-{n + 1}", "--bags", bags, "--inoculation-lot", f"L{n + 1}", "--spawn-lot", spawn, "--room",
               room, "--shift", shift, *BY)
        more = ["--left-out", "core_1, burst by the door"] if n == 0 else []
        record(folder, "outcome", f"night-{n + 1}", "--day", 7, "--looked-at", 60, "--bad", first, "--kind", "green mould", "--place",
               "inoculation", *more, *BY)
        record(folder, "outcome", f"night-{n + 1}", "--day", 14, "--looked-at", 60 - first, "--bad", second, "--kind", "wet spot",
               "--place", "centre", *BY)
        made.append({"bad": int(first + second), "first": int(first), "spawn": spawn, "decades": decades[n],
                     "lag": lag_minutes(reports[n])})
    return made


def logistic(rows, *names):
    """Slopes on these figures of the runs, and the scatter between runs, by Newton's way."""
    x = np.array([[1] + [row[name] for name in names] for row in rows])
    middle = x.mean(axis=0) * (np.arange(x.shape[1]) > 0)
    x = x - middle
    bad, bags, b = np.array([row["bad"] for row in rows]), 60, np.zeros(x.shape[1])
    for _ in range(60):
        p = 1 / (1 + np.exp(-x @ b))
        b = b + np.linalg.solve(x.T @ (x * (bags * p * (1 - p))[:, None]), x.T @ (bad - bags * p))
    p = 1 / (1 + np.exp(-x @ b))
    return b[1:], ((bad - bags * p) ** 2 / (bags * p * (1 - p))).sum() / (len(rows) - x.shape[1])


def tells_outcomes(folder):
    made = add_outcomes(folder)
    said = record(folder, "outcomes")
    text = words_of(said)
    total, bags = sum(row["bad"] for row in made), 60 * len(made)
    expect(f"all are counted: {text}", f"{total} of {bags} bags in 24 runs went bad" in text)
    for n, row in enumerate(made):
        line = re.search(rf"^night-{n + 1} .*$", said, re.M)
        cells = line[0].split()
        expect(f"night {n + 1} has {row}: {line[0]}", cells[2:5] == ["14", "60", str(row["bad"])]
               and cells[5] == f"{100 * row['bad'] / 60:.1f}")
    expect(f"who is left out is named: {text}", "left out: burst by the door, core_1" in text)
    early = sum(row["first"] for row in made)
    expect("new bad bags by day", re.search(rf"^7 +{bags} +{early} ", said, re.M) is not None)
    for spawn in ("S5", "S6", "S7", "S8"):
        own = sum(row["bad"] for row in made if row["spawn"] == spawn)
        expect(f"{spawn} has {own}: {said}", re.search(rf"^{spawn} +360 +{own} ", said, re.M) is not None)
    (slope,), scatter = logistic(made, "decades")
    odds = re.search(r"odds x([\d.]+) for a tenth of the F", text)
    expect(f"the odds are those of numpy: {odds and odds[0]}, {np.exp(-slope)}",
           odds is not None and abs(float(odds[1]) - np.exp(-slope)) <= 0.051)
    (_, by_lag), _ = logistic(made, "decades", "lag")
    odds = re.search(r"x([\d.]+) for a core lag of ten minutes more", text)
    expect(f"so are those of the lag: {odds and odds[0]}, {np.exp(10 * by_lag)}",
           odds is not None and abs(float(odds[1]) - np.exp(10 * by_lag)) <= 0.051)
    if scatter > 1:
        expect(f"scatter between runs is told: {scatter}", f"{scatter:.1f} times in variance" in text)
    of_s7 = sum(row["bad"] for row in made if row["spawn"] == "S7")
    against = text[text.index("Against heat as the cause"):]
    expect(f"the spawn lot speaks against heat: {against}",
           f"{of_s7} of {total} bad bags came from spawn lot S7, which had 25.0 % of the bags" in against)
    expect("so does where it began", f"{early} of {total} bad bags began where they were inoculated" in against)
    expect("no single cause is named", "no single cause" in text)
    few = words_of(record(folder, "outcomes", "--before", "2025-01-20"))
    expect(f"of few runs no odds are given: {few}", "Odds are withheld: 5 runs" in few)
    record(folder, "spore-strip", "night-1", "--organism", "steam-indicator", "--strips", 3, "--grown", 0, "--control-strips", 1,
           "--control-grown", 1, "--population", 100000, *BY)
    strips = words_of(record(folder, "outcomes", "--run", "night-1"))
    expect(f"a clean strip lifts nothing: {strips}", "lifts no verdict" in strips)
    expect("it speaks Spanish", "Qué fue de las bolsas" in record(folder, "outcomes", "--language", "es"))


with tempfile.TemporaryDirectory() as name:
    place = pathlib.Path(name)
    told_days = add_runs(place)
    tells_the_drift(place, told_days)
    names_what_is_alike(place)
with tempfile.TemporaryDirectory() as name:
    tells_outcomes(pathlib.Path(name))
print(f"record_years: {len(faults)} faults")
sys.exit(1 if faults else 0)
