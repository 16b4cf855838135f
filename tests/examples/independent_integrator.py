"""Judges the examples' logs a second time, by other code, and compares with the program digit by digit.

Run:  /usr/bin/python3 tests/examples/independent_integrator.py PROGRAM

PROGRAM is the built coldbag. For every probe of every example it computes F (with and without the cut-off) and
the longest hold from log.csv, run.toml and farm.toml alone, and compares them with `PROGRAM check RUN --json`.
Ends with status 0 only where all agree to 1e-9. With --show instead of PROGRAM it prints its own results.

Sources: F as the integral of 10^((T - Tref)/z), Bigelow (1921) as in Ball and Olson (1957), from memory; the
integral over a straight segment is plain calculus. Rules of the hold and of the cut-off: docs/ of this project.
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
FOLDERS = ["good-sterilization", "overnight-atmospheric", "clock-at-gauge", "unproven-probe"]
TOLERANCE = 1e-9
ENDS_CREDIT = {"opened", "door_opened", "unloaded"}

# What each treatment asks, written here a second time on purpose.
TREATMENTS = {
    "sterilize": {"at_degC": 121.1, "z_K": 10.0, "counts_from_degC": 110.0, "setpoint_degC": 118.0},
    "atmospheric_steam": {"at_degC": 100.0, "z_K": 10.0, "counts_from_degC": None, "setpoint_degC": 88.0},
}


def read_log(path):
    """Start, times in seconds since it, and readings by column name without its unit."""
    lines = path.read_text(encoding="utf-8").splitlines()
    head = next(i for i, line in enumerate(lines) if line.startswith("time,"))
    names = [name.split(" (")[0] for name in lines[head].split(",")][1:]
    cells = [line.split(",") for line in lines[head + 1:]]
    times = [datetime.datetime.fromisoformat(row[0]) for row in cells]
    seconds = np.array([(time - times[0]).total_seconds() for time in times])
    columns = {name: np.array([float(row[i + 1]) for row in cells]) for i, name in enumerate(names)}
    return times[0], seconds, columns


def cut_at(seconds, degC, end_s):
    """The trace up to end_s, which gets a reading of its own on the straight line."""
    if end_s is None or end_s >= seconds[-1]:
        return seconds, degC
    keep = seconds < end_s
    return np.append(seconds[keep], end_s), np.append(degC[keep], np.interp(end_s, seconds, degC))


def split_at_crossings(seconds, degC, level):
    """The trace with a reading put in wherever a segment crosses the level."""
    a, b = degC[:-1] - level, degC[1:] - level
    crossing = a * b < 0
    share = a[crossing] / (a[crossing] - b[crossing])
    at = seconds[:-1][crossing] + share * np.diff(seconds)[crossing]
    order = np.argsort(np.concatenate([seconds, at]), kind="stable")
    return (np.concatenate([seconds, at])[order],
            np.concatenate([degC, np.full(at.shape, level)])[order])


def lethality_minutes(seconds, degC, at_degC, z_K, counts_from_degC):
    """Exact integral of 10^((T - at)/z) over straight segments, in minutes."""
    if counts_from_degC is not None:
        seconds, degC = split_at_crossings(seconds, degC, counts_from_degC)
    parts = []
    for dt, low, high in zip(np.diff(seconds), np.minimum(degC[:-1], degC[1:]), np.maximum(degC[:-1], degC[1:])):
        if counts_from_degC is not None and low < counts_from_degC:
            continue
        x = math.log(10) * (high - low) / z_K
        mean_over_low = math.expm1(x) / x if x else 1.0
        parts.append(dt / 60 * 10 ** ((low - at_degC) / z_K) * mean_over_low)
    return math.fsum(parts)


def running_mean(seconds, degC):
    """Mean centred on each reading over 5 min, or over 10 readings where that is longer, never over 10 min."""
    interval_s = float(np.median(np.diff(seconds)))
    half_s = min(max(300.0, 10 * interval_s), 600.0) / 2
    out = degC.copy()
    for i, now in enumerate(seconds):
        reach_s = min(half_s, now - seconds[0], seconds[-1] - now)
        window = degC[np.abs(seconds - now) <= reach_s]
        if len(window) >= 3:
            out[i] = math.fsum(window) / len(window)
    return out


def hold_minutes(seconds, degC, setpoint_degC, end_s):
    """Longest unbroken stretch at or above the setpoint of the running mean, crossings interpolated."""
    seconds, smooth = cut_at(seconds, running_mean(seconds, degC), end_s)
    seconds, smooth = split_at_crossings(seconds, smooth, setpoint_degC)
    longest = length = 0.0
    for dt, a, b in zip(np.diff(seconds), smooth[:-1], smooth[1:]):
        length = length + dt if min(a, b) >= setpoint_degC else 0.0
        longest = max(longest, length)
    return longest / 60


def own_results(folder):
    """{probe name: {key: value}} for one example, from its files alone."""
    run = tomllib.loads((EXAMPLES / folder / "run.toml").read_text(encoding="utf-8"))
    site = tomllib.loads((EXAMPLES / "farm.toml").read_text(encoding="utf-8"))
    treatment = TREATMENTS[run["run"]["treatment"]]
    reference = {"at_degC": treatment["at_degC"], "z_K": treatment["z_K"]}
    start, seconds, columns = read_log(EXAMPLES / folder / run["log"][0]["file"])
    ends = [(event["time"] - start).total_seconds() for event in run["event"] if event["what"] in ENDS_CREDIT]
    end_s = min(ends) if ends else None
    results = {}
    for name, probe in site["probes"].items():
        if probe["column"] not in columns:
            continue
        correction_K = sum(float(check["correction"].removesuffix(" K")) for check in probe.get("check", [])[-1:])
        degC = columns[probe["column"]] + correction_K
        cut = cut_at(seconds, degC, end_s)
        results[name] = {
            "column": probe["column"],
            "F_minutes": lethality_minutes(*cut, **reference, counts_from_degC=treatment["counts_from_degC"]),
            "F_minutes_all": lethality_minutes(*cut, **reference, counts_from_degC=None),
            "hold_minutes": hold_minutes(seconds, degC, treatment["setpoint_degC"], end_s),
        }
    return results


def program_results(program, folder):
    done = subprocess.run([program, "check", str(EXAMPLES / folder / "run.toml"), "--json"],
                          capture_output=True, text=True, check=False)
    try:
        return json.loads(done.stdout)["probes"]
    except (ValueError, KeyError):
        sys.exit(f"{folder}: no probes in the program's JSON (status {done.returncode})\n{done.stderr}")


def agrees(own, theirs):
    return math.isclose(own, theirs, rel_tol=TOLERANCE, abs_tol=0.0) or own == theirs


def compare(program, folder):
    """Number of mismatches; each is printed."""
    theirs = program_results(program, folder)
    by_name = {probe.get("name", probe.get("column")): probe for probe in theirs}
    misses = 0
    for name, own in own_results(folder).items():
        probe = by_name.get(name) or by_name.get(own["column"])
        for key in ("F_minutes", "F_minutes_all", "hold_minutes"):
            value = probe.get(key) if probe else None
            if value is None or not agrees(own[key], value):
                print(f"{folder}, {name}, {key}: own {own[key]!r}, program {value!r}")
                misses += 1
    return misses


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    if sys.argv[1] == "--show":
        for folder in FOLDERS:
            for name, own in own_results(folder).items():
                print(folder, name, *(f"{key}={value:.10g}" for key, value in own.items() if key != "column"))
        return
    misses = sum(compare(sys.argv[1], folder) for folder in FOLDERS)
    print(f"{len(FOLDERS)} examples compared, {misses} mismatches")
    sys.exit(1 if misses else 0)


if __name__ == "__main__":
    main()
