#!/usr/bin/python3
"""Ten runs of one invented farm, made by bag_truth.py, and what the program learns of them.

usage: make_learned_runs.py PROGRAM [FOLDER]

Prints the figures that make_site_truth.py holds as LEARNED: covariance of the logarithms of the multipliers, and
spread. The runs are written to FOLDER, where it is given. A minute of computing.
"""
import datetime
import os
import pathlib
import subprocess
import sys
import tempfile
import tomllib

os.environ.setdefault("OMP_NUM_THREADS", "1")  # small matrices
sys.dont_write_bytecode = True
import numpy as np  # noqa: E402
import site_truth  # noqa: E402, F401  (says where bag_truth.py is)
from bag_truth import Vessels, heat, same_bag  # noqa: E402

RUNS, PROBED, BAGS = 10, 2, 100
HOLD_MIN, COOLING_MIN, EACH_MIN = 150, 60, 2
SPREAD, NOISE_K = 0.12, 0.1
START_DEGC, STEAM_DEGC, AIR_PA = 18.0, 121.1, 101325.0
SITE = """[site]
name = "invented farm"
altitude = "0 m"
[vessels.chamber]
kind = "pressure-rated"
rating = "22 psi gauge"
[bags.brick]
substrate = "sawdust"
form = "brick"
mass = "2.3 kg"
moisture = "62 %"
length = "20 cm"
width = "13 cm"
height = "15 cm"
closure = "breathing"
neighbours = "apart"
film = "pp-homopolymer"
[[treatment]]
key = "farm_steam"
setpoint = { value = "118 C", basis = "site" }
reference = { name = "F", at = "121.1 C", z = "10 K" }
[[treatment.criterion]]
name = "hold"
measure = "hold"
at_least = "15 min"
on_miss = "fail"
basis = "site"
"""


def write_run(folder, number, off_min, cores, steam):
    """cores, steam: functions of minutes that give degC; as a grower has it, with noise."""
    noise = np.random.default_rng([62, number])
    begin = datetime.datetime(2026, 3, 1, 18) + datetime.timedelta(days=number)
    minutes = np.arange(0, off_min + COOLING_MIN, EACH_MIN)
    readings = np.column_stack([cores(minutes), steam(minutes)])
    readings = readings + noise.normal(0, NOISE_K, readings.shape)
    lines = ["time," + ",".join(f"Core {core} (C)" for core in range(1, PROBED + 1)) + ",Steam (C)"]
    lines += [(begin + datetime.timedelta(minutes=int(minute))).isoformat() + ","
              + ",".join(f"{value:.2f}" for value in row) for minute, row in zip(minutes, readings)]
    name = f"night-{number}"
    (folder / f"{name}.csv").write_text("\n".join(lines) + "\n")
    off = begin + datetime.timedelta(minutes=off_min)
    probes = "".join(f'[probes.core_{core}]\ncolumn = "Core {core}"\nplace = "bag"\nbag = "brick"\nclass = "pt-a"\n'
                     for core in range(1, PROBED + 1))
    (folder / f"{name}.toml").write_text(
        f'[run]\nname = "{name}"\nsite = "farm.toml"\nvessel = "chamber"\ntreatment = "farm_steam"\n'
        f'[[log]]\nfile = "{name}.csv"\n[[load.bags]]\nbag = "brick"\ncount = {BAGS}\n{probes}'
        f'[probes.steam]\ncolumn = "Steam"\nplace = "vessel"\nclass = "pt-a"\n'
        f'[[event]]\nwhat = "steam_off"\ntime = {off.isoformat()}\n')
    return f"{name}.toml"


def written_runs(folder):
    rng = np.random.default_rng(61)
    come_up_min = rng.integers(45, 91, RUNS).astype(float)
    factor = np.exp(rng.normal(0, SPREAD, RUNS * PROBED))
    bags = same_bag(RUNS * PROBED, start_degC=START_DEGC, times_k0=factor, times_f=factor, times_h=factor)
    one = np.ones(RUNS * PROBED)
    come_ups = np.repeat(come_up_min, PROBED)
    vessels = Vessels(kind=np.full(RUNS * PROBED, "linear"), from_degC=START_DEGC * one, to_degC=STEAM_DEGC * one,
                      come_up_min=come_ups, pause_degC=one, pause_min=0 * one, last_min=one, air_Pa=AIR_PA * one,
                      off_min=come_ups + HOLD_MIN, room_degC=18 * one, cool_min=90 * one)
    found = heat(bags, vessels, 60 * (come_up_min.max() + HOLD_MIN + COOLING_MIN))
    (folder / "farm.toml").write_text(SITE)
    runs = []
    for number in range(RUNS):
        own = slice(PROBED * number, PROBED * (number + 1))
        runs.append(write_run(folder, number, come_up_min[number] + HOLD_MIN,
                              lambda minutes, own=own: found.values(60.0 * minutes)[:, own],
                              lambda minutes, own=own: [vessels.degC(60.0 * m)[own][0] for m in minutes]))
    return runs


def learned_of(program, folder):
    runs = written_runs(folder)
    subprocess.run([program, "lag", "--learn", *runs, "--out", "learned.toml"], cwd=folder, check=True,
                   stdout=subprocess.DEVNULL, timeout=600)
    return tomllib.loads((folder / "learned.toml").read_text())


def main():
    if len(sys.argv) < 2:
        print(__doc__, file=sys.stderr)
        return 64
    program = str(pathlib.Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(sys.argv[2] if len(sys.argv) > 2 else name)
        folder.mkdir(exist_ok=True)
        learned = learned_of(program, folder)
    brick = learned["bags"]["brick"]
    print(f"of {brick['bags']} bags in {brick['runs']} runs; multipliers "
          f"{brick['conductivity']}, {brick['vapour']}, {brick['film']}")
    for key in ("conductivity_sd", "vapour_sd", "film_sd", "conductivity_with_vapour", "conductivity_with_film",
                "vapour_with_film"):
        print(f"{key} = {brick[key]}")
    print(f"spread = {learned['learned']['spread']}\nspread_freedom = {learned['learned']['spread_freedom']}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
