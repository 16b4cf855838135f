#!/usr/bin/python3
"""Makes some loads of load_truth.csv and logs of fit_logs.csv again and compares: the tables are what their makers make.

usage: remake.py    two of each; twenty where COLDBAG_LONG is 1
"""
import csv
import math
import os
import pathlib
import subprocess
import sys
import tempfile

here = pathlib.Path(__file__).parent
HOW_MANY = 20 if os.environ.get("COLDBAG_LONG") == "1" else 2
# Another processor or library may round the last digits otherwise; a trace is kept to hundredths or thousandths.
NEAR = 2e-3


def rows_of(path):
    with open(path, newline="") as lines:
        return {row["seed"]: row for row in csv.DictReader(line for line in lines if not line.startswith("#"))}


def is_near(a, b):
    try:
        return all(math.isclose(float(x), float(y), rel_tol=NEAR, abs_tol=0.011)
                   for x, y in zip(a.split(), b.split(), strict=True))
    except ValueError:
        return a == b


def compared(maker, table):
    kept = rows_of(here / table)
    seeds = [str(seed) for seed in range(1, HOW_MANY + 1)]
    with tempfile.TemporaryDirectory() as folder:
        made_file = pathlib.Path(folder) / table
        subprocess.run([sys.executable, here / maker, made_file, *seeds], check=True, stdout=subprocess.DEVNULL)
        made = rows_of(made_file)
    faults = [f"{table}: there is no seed {seed}" for seed in seeds if seed not in made or seed not in kept]
    for seed in seeds:
        for name in made.get(seed, {}) if seed in kept else {}:
            if not is_near(made[seed][name], kept[seed][name]):
                faults.append(f"{table}, seed {seed}: {name} is now {made[seed][name][:60]}, was {kept[seed][name][:60]}")
    return faults


faults = compared("make_load_truth.py", "load_truth.csv") + compared("make_fit_logs.py", "fit_logs.csv")
for fault in faults:
    print(fault)
print(f"{HOW_MANY} of each made again, {len(faults)} faults")
sys.exit(1 if faults else 0)
