#!/usr/bin/python3
"""coldbag lag on logs, and what many runs teach: the real program on loads that an independent solver made.

usage: lag_runs.py PROGRAM SOURCE_FOLDER
"""
import csv
import datetime
import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2])
faults = []
ROW_MIN = 10
SITE = """[site]
name = "invented farm"
altitude = "1150 m"
{learned}
[vessels.room]
kind = "vented"
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
setpoint = {{ value = "90 C", basis = "site" }}
reference = {{ name = "F", at = "100 C", z = "10 K" }}
[[treatment.criterion]]
name = "hold"
measure = "hold"
at_least = "7 h"
on_miss = "fail"
basis = "site"
[patterns.full]
vessel = "room"
bag = "brick"
count = {count}
stacking = "two layers, crosswise"
"""


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what)


def lag(folder, *arguments):
    return subprocess.run([program, "lag", *map(str, arguments)], cwd=folder, capture_output=True, text=True, timeout=120)


def told(folder, *arguments):
    done = lag(folder, *arguments, "--json")
    expect(f"{arguments} ends with 0: {done.stderr}", done.returncode == 0)
    return json.loads(done.stdout)


def checked(folder, *arguments):
    done = subprocess.run([program, "check", *map(str, arguments), "--json"], cwd=folder, capture_output=True, text=True,
                          timeout=120)
    expect(f"check {arguments} judges: {done.stderr}", done.returncode in (0, 1, 2))
    return json.loads(done.stdout)


def made_loads():
    """Loads of 200 bricks at 96 C for 10 h, five of them probed; the kind differs from load to load."""
    with open(source / "tests" / "heatup" / "made" / "load_truth.csv", newline="") as lines:
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        return [row for row in rows if row["to_degC"].startswith("96") and row["spread"] == "0.12"]


def vessel_degC(load, minute):
    number = {name: float(load[name]) for name in ("from_degC", "to_degC", "come_up_min", "pause_degC", "pause_min",
                                                   "last_min", "off_min", "room_degC", "cool_min")}
    if minute > number["off_min"]:
        fall = math.exp(-(minute - number["off_min"]) / number["cool_min"])
        return number["room_degC"] + (number["to_degC"] - number["room_degC"]) * fall
    corners = [(0, number["from_degC"])]
    if load["kind"] == "linear":
        corners += [(number["come_up_min"], number["to_degC"])]
    else:
        corners += [(number["come_up_min"], number["pause_degC"])]
        corners += [(corners[-1][0] + number["pause_min"], number["pause_degC"])]
        corners += [(corners[-1][0] + number["last_min"], number["to_degC"])]
    for (a, from_degC), (b, to_degC) in zip(corners, corners[1:]):
        if minute <= b:
            return from_degC + (to_degC - from_degC) * (minute - a) / (b - a) if b > a else to_degC
    return number["to_degC"]


def core_degC(load, core, minute):
    trace = [float(value) for value in load[f"core_{core}_degC"].split()]
    at = min(int(minute // ROW_MIN), len(trace) - 2)
    return trace[at] + (trace[at + 1] - trace[at]) * (minute / ROW_MIN - at)


def write_run(folder, name, load, day, cores, count=200, later=1.0, pattern=True, seed=1):
    """A run as a grower has it: noise of 0.1 K, one core perhaps slower by a factor of time."""
    noise = random.Random(seed)
    begin = datetime.datetime(2026, 3, 1, 18) + datetime.timedelta(days=day)
    lines = ["time," + ",".join(f"Core {core} (C)" for core in cores) + ",Steam (C)"]
    last = int(float(load["off_min"])) + 60
    for minute in range(0, last, 2):
        slow = [minute / later if i == 0 else minute for i in range(len(cores))]
        values = [core_degC(load, core, at) for core, at in zip(cores, slow)] + [vessel_degC(load, minute)]
        time = begin + datetime.timedelta(minutes=minute)
        lines.append(time.isoformat() + "," + ",".join(f"{value + noise.gauss(0, 0.1):.2f}" for value in values))
    (folder / f"{name}.csv").write_text("\n".join(lines) + "\n")
    off = begin + datetime.timedelta(minutes=float(load["off_min"]))
    probes = "".join(f'[probes.core_{core}]\ncolumn = "Core {core}"\nplace = "bag"\nbag = "brick"\nclass = "pt-a"\n'
                     f'position = "rack {"A" if core < 3 else "B"}, low"\n' for core in cores)
    (folder / f"{name}.toml").write_text(
        f'[run]\nname = "{name}"\nsite = "farm.toml"\nvessel = "room"\ntreatment = "farm_steam"\n'
        + ('pattern = "full"\n' if pattern else "")
        + f'[[log]]\nfile = "{name}.csv"\n[[load.bags]]\nbag = "brick"\ncount = {count // 2}\nrack = "A"\n'
        f'[[load.bags]]\nbag = "brick"\ncount = {count - count // 2}\nrack = "C"\n{probes}'
        f'[probes.steam]\ncolumn = "Steam"\nplace = "vessel"\nclass = "pt-a"\n'
        f'[[event]]\nwhat = "steam_off"\ntime = {off.isoformat()}\n')
    return f"{name}.toml"


def site(folder, learned="", count=200):
    (folder / "farm.toml").write_text(SITE.format(learned=f'learned = "{learned}"' if learned else "", count=count))


def tells_a_run(folder, load):
    site(folder)
    run = write_run(folder, "five cores", load, 0, (1, 2, 3, 4, 5))
    report = told(folder, run)
    kind = report["heating"][0]
    expect("a run of five cores is fitted", kind["evidence"] == "fitted" and kind["not_fitted"] is None)
    expect("rms is the noise and little more", kind["rms_K"] < 0.5)
    expect("nothing is far from the tables", not (kind["conductivity_far"] or kind["vapour_far"] or kind["film_far"]))
    for probe in kind["probes"]:
        expect(f"the fitted lag is the seen one: {probe}",
               abs(probe["fitted_minutes"] - probe["lag_minutes"]) < 0.08 * probe["lag_minutes"] + 4)
        expect("it lies in its band", probe["fitted_lower_minutes"] < probe["lag_minutes"] < probe["fitted_upper_minutes"])
    speeds = [math.log(probe["speed"]) for probe in kind["probes"]]
    truth = [float(value) for value in load["psi_probed"].split()]
    for speed, psi in zip(speeds, truth):
        expect("each core's speed beside the others is that of the solver's bag",
               abs((speed - sum(speeds) / 5) - (psi - sum(truth) / 5)) < 0.06)
    expect("the same run, judged, tells the same", checked(folder, run)["heating"] == report["heating"])
    text = lag(folder, run).stdout
    expect("the text has a row for each core", all(f"core_{core} " in text for core in range(1, 6)))
    expect("no line is over 80 columns", all(len(line) <= 80 for line in text.splitlines()))


def tells_a_bag_out_of_the_way(folder, load):
    site(folder)
    run = write_run(folder, "one slow", load, 1, (1, 2, 3, 4, 5), later=1.6)
    kind = told(folder, run)["heating"][0]
    slow = kind["probes"][0]
    expect(f"the slow one is remarked: {slow}", slow["remark"] in ("lag_slower_than_kind", "lag_slower_than_described"))
    expect("and what would explain it", slow["would_weigh_kg"] is not None and slow["would_weigh_kg"] > 2.6)
    expect("the others are not", all(probe["remark"] is None for probe in kind["probes"][1:]))
    expect("it is said", "warmed later" in lag(folder, run).stdout)


def tells_a_bare_log(folder):
    bare = ["five cores.csv", "--in-bag", "Core 1,Core 2,Core 3,Core 4,Core 5", "--vessel", "Steam", "--altitude", "1150 m",
            "--vented"]
    brick = ["--mass", "2.3 kg", "--moisture", "62 %", "--substrate", "sawdust", "--form", "brick", "--length", "20 cm",
             "--width", "13 cm", "--height", "15 cm"]
    report = told(folder, *bare, *brick, "--bags", "200")
    kind = report["heating"][0]
    expect("a bare log with a described bag is fitted", kind["count"] == 200 and kind["evidence"] == "fitted")
    expect("without a treatment no heat is told", report["slowest_unprobed"] is None)
    with_treatment = told(folder, *bare, *brick, "--bags", "200", "--treatment", "farm_steam", "--site", "farm.toml")
    expect("with one it is", with_treatment["slowest_unprobed"]["count"] == 195)
    for arguments in (["--steam", "100 C"], ["--csv", "curve.csv"], ["--out", "x.toml"], ["--learn", "--json"]):
        done = lag(folder, *bare, *brick, *arguments)
        expect(f"{arguments} would say nothing and is refused: {done.stderr}", done.returncode == 64 and "--" in done.stderr)
    done = lag(folder, "--bag", *brick, "--vented", "--altitude", "1150 m", "--treatment", "atmospheric_steam")
    expect(f"a treatment says nothing of a forecast: {done.stderr}", done.returncode == 64 and "--treatment" in done.stderr)
    expect("pounds where they are asked for", " lb, 62" in lag(folder, *bare, *brick, "--us").stdout)
    done = lag(folder, *bare)
    expect("without a bag the reason is said, status 2", done.returncode == 2 and done.stdout != "")
    for arguments, message in ((["--bags", "none"], "--bags"), (["--mass", "0 kg"], "mass"), (["--form", "ball"], "--form")):
        done = lag(folder, *bare, *brick, *arguments)
        expect(f"{arguments} is refused: {done.stderr}", done.returncode != 0 and (message in done.stderr + done.stdout))


def learns(folder, load):
    site(folder)
    runs = [write_run(folder, f"night {n}", load, n, ((n % 5) + 1,), pattern=False, seed=n) for n in range(10)]
    done = lag(folder, "--learn", *runs, "--out", "learned.toml")
    expect(f"ten runs of one probe are learned from: {done.stderr}", done.returncode == 0)
    expect("ten bags in ten runs", "10 probed bags in 10 runs" in " ".join(done.stdout.split()))
    expect("the next probe is asked for where none was", "C, where 0 were probed" in " ".join(done.stdout.split()))
    expect("no line is over 80 columns", all(len(line) <= 80 for line in done.stdout.splitlines()))
    before = told(folder, "--bag", "brick", "--site", "farm.toml", "--vented")
    site(folder, "learned.toml")
    after = told(folder, "--bag", "brick", "--site", "farm.toml", "--vented")
    width = [target["slow_minutes"] / target["good_minutes"] for target in (before["targets"][-1], after["targets"][-1])]
    expect(f"a forecast is narrower with it: {width}", width[1] < 0.75 * width[0])
    expect("and says on what it rests", after["earlier_runs"] == 10 and before["earlier_runs"] == 0 and
           "10 earlier runs" in " ".join(lag(folder, "--bag", "brick", "--site", "farm.toml", "--vented").stdout.split()))
    kind = checked(folder, runs[0])["heating"][0]
    expect("check rests on the earlier runs", kind["earlier_runs"] == 10 and kind["earlier_bags"] == 10)
    again = lag(folder, "--learn", *runs)
    expect("learning again replaces its own file and finds the same", again.returncode == 0 and "learned.toml" in again.stdout)
    text = (folder / "learned.toml").read_bytes()
    lag(folder, "--learn", *reversed(runs))
    expect("the order of the runs changes no byte", (folder / "learned.toml").read_bytes() == text)
    (folder / "mine.toml").write_text("[mine]\n")
    done = lag(folder, "--learn", *runs, "--out", "mine.toml")
    expect("a file of the user's stays", done.returncode == 73 and (folder / "mine.toml").read_text() == "[mine]\n")
    done = lag(folder, "--learn", runs[0], runs[0])
    expect(f"a run that is given twice is refused: {done.stderr}", done.returncode == 64)
    (folder / "learned.toml").write_text("[learned]\nspread = -1\n")
    done = lag(folder, runs[0])
    expect(f"a broken file of learned figures is said with its line: {done.stderr}",
           done.returncode == 65 and "learned.toml:2" in done.stderr)
    (folder / "learned.toml").unlink()
    done = lag(folder, runs[0])
    expect(f"one that is not there too, with what writes it: {done.stderr}",
           done.returncode == 66 and "lag --learn" in done.stderr)
    done = lag(folder, "--learn", *runs)
    expect(f"learning writes the file that the site names: {done.stderr}",
           done.returncode == 0 and (folder / "learned.toml").read_bytes() == text)


def proves_a_pattern(folder, load):
    site(folder)
    proofs = [write_run(folder, f"proof {n}", load, n, (1, 2, 3, 4, 5), seed=50 + n) for n in range(3)]
    single = write_run(folder, "one core", load, 30, (3,), seed=60)
    expect("the proofs pass", all(checked(folder, run)["verdict"] == "pass" for run in proofs))
    alone = checked(folder, single)
    expect("one core alone proves no load", alone["verdict"] == "unproven" and alone["heating"][0]["evidence"] == "model")
    expect("and its pattern is not proven yet", alone["pattern"]["proven"] is False)
    (folder / "short.toml").write_text((folder / proofs[2]).read_text().replace("farm_steam", "atmospheric_steam"))
    expect("twelve hours were not held", checked(folder, "short.toml")["verdict"] == "fail")
    lag(folder, "--learn", *proofs[:2], "short.toml", "--out", "two.toml")
    shown = (folder / "two.toml").read_text()
    expect("a run that fails shows no pattern", "runs = 2\n" in shown[shown.index("[patterns."):])
    lag(folder, "--learn", *proofs, "--out", "learned.toml")
    site(folder, "learned.toml")
    proven = checked(folder, single)
    expect("by the pattern it does", proven["verdict"] == "pass" and proven["heating"][0]["evidence"] == "pattern")
    expect("three runs showed it", proven["pattern"]["proven"] is True and proven["pattern"]["runs"] == 3)
    expect("its evidence is told", "pattern" in [c["evidence"] for c in proven["criteria"]])
    late = write_run(folder, "a year on", load, 400, (3,), seed=61)
    expect("after a year it does no longer", checked(folder, late)["heating"][0]["evidence"] == "model")
    slow = write_run(folder, "like none", load, 31, (3,), later=1.8, seed=62)
    expect("a core unlike the earlier ones takes it away", checked(folder, slow)["heating"][0]["evidence"] == "model")
    other = write_run(folder, "fewer", load, 32, (3,), count=180, seed=63)
    report = checked(folder, other)
    expect("another count too, and it is said", report["pattern"]["why_not"]["key"] == "pattern_other_count")
    (folder / "unknown.toml").write_text((folder / single).read_text().replace('pattern = "full"', 'pattern = "fulll"'))
    done = subprocess.run([program, "check", "unknown.toml"], cwd=folder, capture_output=True, text=True, timeout=60)
    expect(f"a pattern that the site does not have is refused: {done.stderr}",
           done.returncode == 65 and "unknown.toml:6" in done.stderr and "full" in done.stderr)


loads = made_loads()
with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    tells_a_run(folder, loads[0])
    tells_a_bag_out_of_the_way(folder, loads[0])
    tells_a_bare_log(folder)
with tempfile.TemporaryDirectory() as name:
    learns(pathlib.Path(name), loads[1])
with tempfile.TemporaryDirectory() as name:
    proves_a_pattern(pathlib.Path(name), loads[2])
print(f"{len(faults)} faults")
sys.exit(1 if faults else 0)
