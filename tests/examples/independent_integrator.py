"""Judges the examples' logs a second time, by other code, and compares with the program digit by digit.

Run:  /usr/bin/python3 tests/examples/independent_integrator.py PROGRAM

PROGRAM is the built coldbag. For every probe of every example it computes F (with and without the cut-off) and
the longest hold from the log, run.toml and the site file alone, and compares them with `PROGRAM check RUN --json`.
Ends with status 0 only where all agree to 1e-9. With --show instead of PROGRAM it prints its own results.

Sources: F as the integral of 10^((T - Tref)/z), Bigelow (1921) as in Ball and Olson (1957), from memory; the
integral over a straight segment is plain calculus. Rules of the hold, of gaps and of the cut-off: docs/ of this
project.
"""

import datetime
import json
import math
import pathlib
import subprocess
import sys
import tomllib

import numpy as np

EXAMPLES = pathlib.Path(__file__).resolve().parents[2] / "examples"
TOLERANCE = 1e-9
ENDS_CREDIT = {"opened", "door_opened", "unloaded"}
BETWEEN_THE_LOADS = datetime.datetime(2026, 3, 20, 14, 10, 30)

# Folder, and where only a part of its log is judged: what to leave out, and the option that says so.
EXAMPLES_JUDGED = [
    ("good-sterilization", None), ("overnight-atmospheric", None), ("clock-at-gauge", None), ("unproven-probe", None),
    ("air-left-in", None), ("probe-fell-out", None), ("straw-overshoot", None), ("saw-tooth-boiler", None),
    ("frozen-start", None), ("two-loads-in-one-log", "--to"), ("two-loads-in-one-log", "--from"),
    ("gap-in-the-hold", None), ("paper-sheet", None), ("us-units", None), ("decimal-comma", None),
]

# How each log that is not plain is written; the plain ones have ISO times in one column, commas, points and C.
LAYOUTS = {
    "paper-sheet": {"time": "%Y-%m-%d %H:%M"},
    "us-units": {"head": "Date,", "time": "%m/%d/%Y %I:%M:%S %p", "time_cells": (0, 1), "first": 2},
    "decimal-comma": {"head": "N\u00ba", "time": "%d/%m/%Y %H:%M", "time_cells": (1, 2), "first": 3, "delimiter": ";",
                      "mark": ","},
}

# What each treatment asks, written here a second time on purpose.
AT_100 = {"at_degC": 100.0, "z_K": 10.0, "counts_from_degC": None, "gap_s": 1800.0, "gap_by_hand_s": 2400.0}
TREATMENTS = {
    "sterilize": {"at_degC": 121.1, "z_K": 10.0, "counts_from_degC": 110.0, "setpoint_degC": 118.0, "gap_s": 900.0,
                  "gap_by_hand_s": 1500.0},
    "atmospheric_steam": {**AT_100, "setpoint_degC": 88.0},
    # 95 degC, or 2 K under the local boiling point where that is lower: 96.1 degC at 1,150 m in a standard atmosphere.
    "atmospheric_steam_hot": {**AT_100, "setpoint_degC": 94.1},
    "pasteurize_straw": {**AT_100, "at_degC": 70.0, "z_K": 7.5, "setpoint_degC": 71.0},
}
BOILING_KNOWN_TO_K = 0.05
JOIN_S = 300.0


def celsius(text, name, mark):
    """A reading in degC, or None where the cell holds none."""
    try:
        value = float(text.replace(mark, "."))
    except ValueError:
        return None
    return (value - 32) * 5 / 9 if name.endswith("(F)") else value


def read_log(path, layout):
    """Start, times in seconds since it, and readings by column name without its unit."""
    mark, cut = layout.get("mark", "."), layout.get("delimiter", ",")
    lines = path.read_text(encoding="utf-8").splitlines()
    head = next(i for i, line in enumerate(lines) if line.startswith(layout.get("head", "time,")))
    first = layout.get("first", 1)
    names = lines[head].split(cut)
    rows = [line.split(cut) for line in lines[head + 1:]]
    times = []
    for row in rows:
        text = " ".join(row[i] for i in layout.get("time_cells", (0,)))
        times.append(datetime.datetime.strptime(text, layout.get("time", "%Y-%m-%dT%H:%M:%S")))
    seconds = np.array([(time - times[0]).total_seconds() for time in times])
    columns = {}
    for i, name in list(enumerate(names))[first:]:
        values = [celsius(row[i], name, mark) for row in rows]
        if None not in values:
            columns[name.split(" (")[0]] = np.array(values)
    return times[0], seconds, columns


def cut_at(seconds, degC, end_s):
    """The trace up to end_s, which gets a reading of its own on the straight line."""
    if end_s is None or end_s >= seconds[-1]:
        return seconds, degC
    keep = seconds < end_s
    return np.append(seconds[keep], end_s), np.append(degC[keep], np.interp(end_s, seconds, degC))


def rate(degC, asked):
    return 10 ** ((degC - asked["at_degC"]) / asked["z_K"])


def straight_minutes(dt, low, high, asked, from_degC):
    """Exact integral of the rate over a straight segment, the part under from_degC left out."""
    if from_degC is not None and high <= from_degC:
        return 0.0
    if from_degC is not None and low < from_degC:
        dt, low = dt * (high - from_degC) / (high - low), from_degC
    x = math.log(10) * (high - low) / asked["z_K"]
    return dt / 60 * rate(low, asked) * (math.expm1(x) / x if x else 1.0)


def lethality_minutes(seconds, degC, asked, limits, from_degC):
    """F: straight segments as they are, gaps at their lower end, broken ones not at all."""
    parts = []
    for dt, a, b in zip(np.diff(seconds), degC[:-1], degC[1:]):
        low, high = min(a, b), max(a, b)
        if dt <= limits["join_s"]:
            parts.append(straight_minutes(dt, low, high, asked, from_degC))
        elif dt <= limits["gap_s"]:
            parts.append(straight_minutes(dt, low, low, asked, from_degC) if from_degC is None or low > from_degC else 0)
    return math.fsum(parts)


def running_mean(seconds, degC, limits):
    """Mean centred on each reading over 5 min, or over 10 readings where that is longer, never over 10 min; it
    never reaches over a gap."""
    half_s = min(max(300.0, 10 * limits["interval_s"]), 600.0) / 2
    out = degC.copy()
    breaks = np.flatnonzero(np.diff(seconds) > limits["join_s"]) + 1
    for piece in np.split(np.arange(len(seconds)), breaks):
        for i in piece:
            reach_s = min(half_s, seconds[i] - seconds[piece[0]], seconds[piece[-1]] - seconds[i])
            window = piece[np.abs(seconds[piece] - seconds[i]) <= reach_s]
            if len(window) >= 3:
                out[i] = math.fsum(degC[window]) / len(window)
    return out


def hold_minutes(seconds, degC, setpoint_degC, end_s, limits):
    """Longest unbroken stretch at or above the setpoint of the running mean; crossings are interpolated in straight
    segments, a gap counts from reading to reading, and a broken one ends it."""
    seconds, smooth = cut_at(seconds, running_mean(seconds, degC, limits), end_s)
    longest = length = 0.0
    for dt, a, b in zip(np.diff(seconds), smooth[:-1], smooth[1:]):
        hot_before, hot_after = a >= setpoint_degC, b >= setpoint_degC
        if dt > limits["gap_s"] or (dt > limits["join_s"] and not (hot_before and hot_after)):
            length = 0.0
        elif hot_before and hot_after:
            length += dt
        elif hot_before:
            longest = max(longest, length + dt * (a - setpoint_degC) / (a - b))
            length = 0.0
        else:
            length = dt * (b - setpoint_degC) / (b - a) if hot_after else 0.0
        longest = max(longest, length)
    return longest / 60


def limits_of(seconds, treatment, in_steam, by_hand):
    interval_s = float(np.median(np.diff(seconds)))
    join_s = max(JOIN_S, 1.5 * interval_s) if interval_s <= 600 else JOIN_S
    if in_steam:
        gap_s = 1800.0 if by_hand else 300.0
    else:
        gap_s = treatment["gap_by_hand_s"] if by_hand else treatment["gap_s"]
    return {"interval_s": interval_s, "join_s": join_s, "gap_s": max(gap_s, join_s)}


def part_of(seconds, columns, start, option):
    """What --to or --from leaves of the log."""
    if option is None:
        return seconds, columns
    at_s = (BETWEEN_THE_LOADS - start).total_seconds()
    keep = seconds <= at_s if option == "--to" else seconds >= at_s
    return seconds[keep], {name: values[keep] for name, values in columns.items()}


def own_results(folder, option, boiling_setpoint_degC=None):
    """{probe name: {key: value}} for one example, from its files alone."""
    run = tomllib.loads((EXAMPLES / folder / "run.toml").read_text(encoding="utf-8"))
    site = tomllib.loads((EXAMPLES / folder / run["run"]["site"]).read_text(encoding="utf-8"))
    treatment = TREATMENTS[run["run"]["treatment"]]
    setpoint_degC = treatment["setpoint_degC"] if boiling_setpoint_degC is None else boiling_setpoint_degC
    log = run["log"][0]
    start, seconds, columns = read_log(EXAMPLES / folder / log["file"], LAYOUTS.get(folder, {}))
    seconds, columns = part_of(seconds, columns, start, option)
    ends = [(event["time"] - start).total_seconds() for event in run.get("event", []) if event["what"] in ENDS_CREDIT]
    end_s = min(ends) if ends else None
    results = {}
    for name, probe in site["probes"].items():
        if probe["column"] not in columns:
            continue
        correction_K = sum(float(check["correction"].removesuffix(" K")) for check in probe.get("check", [])[-1:])
        degC = columns[probe["column"]] + correction_K
        limits = limits_of(seconds, treatment, probe["place"] != "bag", log.get("by_hand", False))
        cut = cut_at(seconds, degC, end_s)
        results[name] = {
            "F_minutes": lethality_minutes(*cut, treatment, limits, treatment["counts_from_degC"]),
            "F_minutes_all": lethality_minutes(*cut, treatment, limits, None),
            "hold_minutes": hold_minutes(seconds, degC, setpoint_degC, end_s, limits),
        }
    return results


def program_results(program, folder, option):
    """The program's JSON, or None and what it said."""
    extra = [option, BETWEEN_THE_LOADS.isoformat()] if option else []
    done = subprocess.run([program, "check", str(EXAMPLES / folder / "run.toml"), "--json", *extra],
                          capture_output=True, text=True, check=False)
    try:
        return json.loads(done.stdout), ""
    except ValueError:
        return None, f"no JSON (status {done.returncode}): {done.stderr.strip()}"


def setpoint_at_boiling(whole, folder):
    """The program's setpoint where it hangs on the boiling point, which this file knows to 0.05 K only."""
    run = tomllib.loads((EXAMPLES / folder / "run.toml").read_text(encoding="utf-8"))
    known = TREATMENTS[run["run"]["treatment"]]["setpoint_degC"]
    return whole["setpoint_degC"] if 0 < abs(whole["setpoint_degC"] - known) <= BOILING_KNOWN_TO_K else None


def agrees(own, theirs):
    return math.isclose(own, theirs, rel_tol=TOLERANCE, abs_tol=0.0) or own == theirs


def loses_a_stretch(probe):
    """A fault of a probe that takes credit away; what it leaves is the business of other tests."""
    return any(fault["effect"] != "told" for fault in probe["faults"])


def compare(program, folder, option):
    """Texts of all that differs."""
    name_of_run = folder + (f" {option}" if option else "")
    whole, trouble = program_results(program, folder, option)
    if whole is None:
        return [f"{name_of_run}: {trouble}"]
    theirs = {probe["name"]: probe for probe in whole["probes"]}
    texts = []
    for name, own in own_results(folder, option, setpoint_at_boiling(whole, folder)).items():
        if folder == "probe-fell-out" and name in theirs and loses_a_stretch(theirs[name]):
            continue
        for key, value in own.items():
            seen = theirs.get(name, {}).get(key)
            if seen is None or not agrees(value, seen):
                texts.append(f"{name_of_run}, {name}, {key}: own {value!r}, program {seen!r}")
    return texts


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    if sys.argv[1] == "--show":
        for folder, option in EXAMPLES_JUDGED:
            for name, own in own_results(folder, option).items():
                print(folder, option or "", name, *(f"{key}={value:.10g}" for key, value in own.items()))
        return
    misses = [text for folder, option in EXAMPLES_JUDGED for text in compare(sys.argv[1], folder, option)]
    print("\n".join([*misses, f"{len(EXAMPLES_JUDGED)} examples compared, {len(misses)} mismatches"]))
    sys.exit(1 if misses else 0)


if __name__ == "__main__":
    main()
