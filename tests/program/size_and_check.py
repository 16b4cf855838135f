#!/usr/bin/python3
"""A plan's slow end, written as a log, is what `check` passes; a little less of it is not.

usage: size_and_check.py PROGRAM
"""
import csv
import json
import pathlib
import subprocess
import sys
import tempfile

PROGRAM = sys.argv[1]
# Invented vessels and loads.
CASES = [
    # what is planned, what check is told of the vessel, treatment, u
    (["--bags", "120", "--mass", "2.3 kg", "--steam", "30 kW", "--volume", "2 m3", "--wall", "insulated"],
     ["--rated", "20 psi gauge", "--altitude", "300 m"], "sterilize", "0.3 K"),
    (["--bags", "24", "--mass", "5 lb", "--steam", "6 kW", "--volume", "208 L"],
     ["--vented", "--altitude", "1150 m"], "atmospheric_steam", "0.4 K"),
    (["--bags", "60", "--mass", "1 kg", "--steam", "9 kW", "--volume", "0.5 m3", "--moisture", "58 %"],
     ["--vented", "--altitude", "20 m"], "atmospheric_steam_hot", "0.2 K"),
]
faults = []


def run(*arguments):
    return subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, timeout=120)


def say(what, is_so, told=""):
    if not is_so:
        faults.append(f"{what}: {told[:300]}")


def write_log(path, rows, minutes):
    with open(path, "w", newline="") as file:
        out = csv.writer(file)
        out.writerow(["Minutes", "Core 1 (C)", "Vessel (C)"])
        for row in rows:
            if float(row["minutes"]) <= minutes:
                out.writerow([row["minutes"], row["core_slow_degC"], row["vessel_slow_degC"]])


for plan_options, vessel, treatment, u in CASES:
    with tempfile.TemporaryDirectory() as folder:
        curve = pathlib.Path(folder) / "curve.csv"
        planned = run("size", *plan_options, *vessel, "--treatment", treatment, "--u", u, "--json", "--csv", str(curve))
        say(f"{treatment} is planned", planned.returncode == 0, planned.stderr)
        plan = json.loads(planned.stdout)
        with open(curve, newline="") as file:
            rows = list(csv.DictReader(file))
        for share, expected in ((1, "pass"), (0.8, "not pass")):
            log = pathlib.Path(folder) / f"log_{share}.csv"
            off = plan["times"]["steam_off_minutes"]
            # The hold runs until steam off; what cooling adds is not counted on, so the log ends there.
            write_log(log, rows, off * share)
            judged = run("check", str(log), "--treatment", treatment, "--in-bag", "Core 1", "--vessel", "Vessel",
                         *vessel, "--u", u, "--json")
            verdict = json.loads(judged.stdout)["verdict"]
            say(f"{treatment}, {share} of the plan is {expected}", (verdict == "pass") == (expected == "pass"),
                f"{verdict} after {off * share} min")
        say(f"{treatment}: balance closes", abs(plan["steam"]["energy_residual_fraction"]) < 1e-9
            and abs(plan["steam"]["water_residual_fraction"]) < 1e-9)

print(f"{len(CASES)} plans held against check, {len(faults)} faults")
for fault in faults:
    print(fault)
sys.exit(1 if faults else 0)
