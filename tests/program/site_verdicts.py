#!/usr/bin/python3
"""Sites whose truth an independent solver knows, from the plan to the verdict: planned by `size`, steamed for as long as
the plan says by the solver, judged by `check`. Prints the share that passes; what is wrong is a site whose slowest bag
has enough and whose run fails, and one whose slowest bag has too little and whose run passes.

usage: site_verdicts.py PROGRAM SOURCE_FOLDER    2 sites; 40 where COLDBAG_LONG is 1
"""
import csv
import json
import os
import pathlib
import subprocess
import sys
import tempfile

PROGRAM, SOURCE = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
HOW_MANY = 40 if os.environ.get("COLDBAG_LONG") == "1" else 2
MADE = SOURCE / "tests" / "sizing" / "made"
U = "0.3 K"
faults = []


def run(*arguments, cwd=None):
    return subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, text=True, timeout=300, cwd=cwd)


def sites():
    with open(MADE / "site_truth.csv", newline="") as file:
        rows = [row for row in csv.DictReader(line for line in file if not line.startswith("#"))
                if row["mode"] == "table"]
    return rows[:HOW_MANY]


def bags_m3(row):
    return int(row["bags"]) * float(row["side_1_m"]) * float(row["side_2_m"]) * float(row["side_3_m"])


def planned(row):
    # The solver fills and purges the whole of its volume; a plan takes the bags off.
    volume = float(row["volume_m3"]) + bags_m3(row)
    done = run("size", "--bags", row["bags"], "--mass", row["mass_kg"] + " kg", "--moisture", row["moisture"],
               "--length", row["side_1_m"] + " m", "--width", row["side_2_m"] + " m", "--height", row["side_3_m"] + " m",
               "--volume", f"{volume} m3", "--wall-area", f"{max(float(row['wall_m2']), 5.0 * volume ** (2 / 3))} m2",
               "--wall-loss", f"{float(row['loss_W_per_m2K']) * float(row['wall_m2']) / max(float(row['wall_m2']), 5.0 * volume ** (2 / 3))} W/m2K",
               "--metal-mass", row["metal_kg"] + " kg", "--steam", row["power_W"] + " W", "--feed", row["feed_degC"] + " C",
               "--purge", row["purge_volumes"], "--altitude", row["altitude_m"] + " m", "--rated", "250 kPa gauge",
               "--hold-at", row["hold_degC"] + " C", "--start", row["start_degC"] + " C", "--room", row["room_degC"] + " C",
               "--u", U, "--json")
    if done.returncode not in (0, 2):
        faults.append(f"seed {row['seed']} is not planned: {done.stderr[:300]}")
        return None
    return json.loads(done.stdout)["times"]["steam_off_minutes"]


def write_run(folder, row, log):
    (folder / "farm.toml").write_text(f"""# An invented farm.
[site]
altitude = "{row['altitude_m']} m"
[vessels.vessel]
kind = "pressure-rated"
rating = "250 kPa gauge"
[bags.brick]
substrate = "sawdust"
form = "brick"
mass = "{row['mass_kg']} kg"
moisture = "{100 * float(row['moisture'])} %"
length = "{row['side_1_m']} m"
width = "{row['side_2_m']} m"
height = "{row['side_3_m']} m"
closure = "breathing"
film = "pp-homopolymer"
""")
    probes = "".join(f"""
[probes.{name}]
column = "{column}"
place = "{place}"
class = "pt-a"
{'bag = "brick"' if place == "bag" else ''}
{'spot = "random"' if place == "bag" else ''}
""" for name, column, place in (("core_1", "Core 1", "bag"), ("core_2", "Core 2", "bag"), ("steam", "Steam", "vessel")))
    (folder / "run.toml").write_text(f"""# An invented run.
[run]
name = "site {row['seed']}"
site = "farm.toml"
vessel = "vessel"
treatment = "sterilize"
[[log]]
file = "{log}"
[[load.bags]]
bag = "brick"
count = {row['bags']}
{probes}
""")


with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    rows = [(row, planned(row)) for row in sites()]
    with open(folder / "until.csv", "w", newline="") as file:
        out = csv.writer(file)
        out.writerow(["seed", "mode", "until_min"])
        for row, minutes in rows:
            for mode in ("table", "learned", "exact"):
                out.writerow([row["seed"], mode, minutes or 60])
    subprocess.run([sys.executable, MADE / "make_site_truth.py", folder / "again.csv", *[row["seed"] for row, _ in rows],
                    "--traces", folder / "traces", "--until", folder / "until.csv"], check=True,
                   stdout=subprocess.DEVNULL)
    verdicts = {}
    for row, minutes in rows:
        if minutes is None:
            continue
        log = folder / "traces" / f"table-{int(row['seed']):03}.csv"
        write_run(folder, row, log)
        done = run("check", folder / "run.toml", "--json")
        if done.returncode not in (0, 1, 2):
            faults.append(f"seed {row['seed']} is not judged: {done.stderr[:300]}")
            continue
        verdict = json.loads(done.stdout)["verdict"]
        verdicts[verdict] = verdicts.get(verdict, 0) + 1
        has_enough = row["t_needed_min"] != "" and minutes >= float(row["t_needed_min"])
        if has_enough and verdict == "fail":
            faults.append(f"seed {row['seed']}: every bag has enough, and the run fails")
        if not has_enough and verdict == "pass":
            faults.append(f"seed {row['seed']}: the slowest bag has too little, and the run passes")

judged = sum(verdicts.values())
print(f"{judged} sites, pass {verdicts.get('pass', 0)}, unproven {verdicts.get('unproven', 0)}, "
      f"fail {verdicts.get('fail', 0)}; {len(faults)} faults")
for fault in faults:
    print(fault)
sys.exit(1 if faults or judged != len(rows) else 0)
