#!/usr/bin/python3
"""Makes some sites of site_truth.csv again and compares: the table is what its maker makes.

usage: remake.py    two seeds; twenty where COLDBAG_LONG is 1
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
# Another processor or library may round the last digits otherwise; times are kept to hundredths of a minute.
NEAR = 2e-3


def rows_of(path):
    with open(path, newline="") as lines:
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        return {(row["seed"], row["mode"]): row for row in rows}


def is_near(a, b):
    try:
        return math.isclose(float(a), float(b), rel_tol=NEAR, abs_tol=0.011)
    except ValueError:
        return a == b


def compared(maker, table):
    kept = rows_of(here / table)
    seeds = [str(seed) for seed in range(1, HOW_MANY + 1)]
    with tempfile.TemporaryDirectory() as folder:
        made_file = pathlib.Path(folder) / table
        subprocess.run([sys.executable, here / maker, made_file, *seeds], check=True, stdout=subprocess.DEVNULL)
        made = rows_of(made_file)
    asked = {key for key in kept if key[0] in seeds}
    faults = [f"{table}: seed {seed}, {mode} is not in both" for seed, mode in sorted(asked ^ set(made))]
    faults += [f"{table}: there is no seed {seed}" for seed in seeds if seed not in {key[0] for key in asked}]
    for key in sorted(asked & set(made)):
        for name, value in made[key].items():
            if not is_near(value, kept[key][name]):
                faults.append(f"{table}, seed {key[0]}, {key[1]}: {name} is now {value}, was {kept[key][name]}")
    return faults


faults = compared("make_site_truth.py", "site_truth.csv")
for fault in faults:
    print(fault)
print(f"{HOW_MANY} seeds made again, {len(faults)} faults")
sys.exit(1 if faults else 0)
