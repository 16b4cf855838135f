#!/usr/bin/python3
"""coldbag lag on the real program: what it tells before there is any log, and what it refuses.

usage: lag.py PROGRAM
"""
import csv
import json
import pathlib
import re
import subprocess
import sys
import tempfile

program = str(pathlib.Path(sys.argv[1]).resolve())
faults = []
BRICK = ["--bag", "--mass", "2.3 kg", "--moisture", "62%", "--substrate", "sawdust", "--form", "brick", "--length", "20 cm",
         "--width", "13 cm", "--height", "15 cm", "--closure", "breathing", "--neighbours", "apart"]
STEAM = ["--start", "20C", "--steam", "121.1C", "--rated", "20 psi gauge", "--come-up", "40 min", "--altitude", "0 m"]
VENTED = ["--start", "20C", "--come-up", "1 h", "--vented", "--altitude", "1150 m"]
SITE = """[site]
name = "invented farm"
altitude = "1150 m"
units = "us"
[vessels.drum]
kind = "vented"
[bags.brick]
substrate = "oak sawdust"
mass = "5 lb"
moisture = "62 %"
neighbours = "all"
[bags.round]
mass = "3 kg"
diameter = "6 in"
closure = "sealed"
[bags.heavy]
mass = "50 kg"
length = "20 cm"
width = "13 cm"
height = "15 cm"
"""


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what)


def lag(folder, *arguments):
    return subprocess.run([program, "lag", *arguments], cwd=folder, capture_output=True, text=True, timeout=60)


def told(folder, *arguments):
    """The JSON of a forecast."""
    run = lag(folder, *arguments, "--json")
    expect(f"{arguments} ends with 0: {run.stderr}", run.returncode == 0)
    return json.loads(run.stdout)


def likely(forecast, under_K):
    return next(t["likely_minutes"] for t in forecast["targets"] if t["under_steam_K"] == under_K)


def refuses(folder, message, status, *arguments):
    run = lag(folder, *arguments)
    expect(f"{arguments} ends with {status}, not {run.returncode}", run.returncode == status)
    expect(f"{arguments} prints nothing on standard output", run.stdout == "")
    expect(f"{arguments} says\n  {message}\nit says\n  {run.stderr}", run.stderr == f"coldbag: {message}\n")


def duration(minutes):
    whole = round(minutes)
    h, m = divmod(whole, 60)
    return f"{h} h {m} min" if h and m else f"{h} h" if h else f"{m} min"


def shown_as(key, value):
    """How --full may show a number of the JSON; the last digit may be rounded either way at a half."""
    if key.endswith("_minutes"):
        return [duration(value), duration(value + 0.01), duration(value - 0.01)]
    if key.endswith("_s"):
        return shown_as("_minutes", value / 60)
    if key == "heat_J":
        return [f"{value / 3.6e6:.3f} kWh"]
    if key.endswith("_Pa"):
        return [f"{value / 1000:.1f} kPa"]
    if key.endswith("_degC"):
        return [f"{value:.1f} C", f"{value:.0f} C ("]
    if key.endswith("_K"):
        return [f"{value:.1f} K"]
    if key.endswith("_fraction"):
        return [f"{100 * value:.1f} %", f"{100 * value:.0f} %"]
    if key == "altitude_m":
        return [f"{value:,.0f} m"]
    if key.endswith("_m"):
        return [f"{100 * value:.1f} cm", f"{100 * value:.0f} cm"]
    if key == "mass_kg":
        return [f"{value:.1f} kg"]
    if key.endswith("kg_per_m3"):
        return [f"{value:.1f} kg/m3"]
    if key.endswith("film_W_per_m2K"):
        return [f"{value:g}"]
    if key == "j":
        return [f"j {value:.3f}"]
    if key.startswith("earlier_"):
        return [f"{value} "] if value else ["on no log."]
    return [f"{value:.4f}"]


def numbers(key, json_value):
    if isinstance(json_value, dict):
        for k, v in json_value.items():
            yield from numbers(k, v)
    elif isinstance(json_value, list):
        for v in json_value:
            yield from numbers(key, v)
    elif isinstance(json_value, (int, float)) and not isinstance(json_value, bool):
        yield key, json_value


def tells_all(folder):
    for arguments in (BRICK + STEAM, BRICK + VENTED, ["--bag", "--mass", "3 kg", "--diameter", "17 cm"] + STEAM):
        full = re.sub(r"\s+", " ", lag(folder, *arguments, "--full").stdout)
        forecast = told(folder, *arguments)
        for key, value in numbers("", forecast):
            expect(f"--full shows {key} {value}", any(form in full for form in shown_as(key, value)))
        for one in ("bag-heating.csv", "substrates.csv"):
            expect(f"{one} is among the tables", one in full and any(e["name"] == one for e in forecast["editions"]))


def fits_the_screen(folder):
    for arguments in (BRICK + STEAM, BRICK + STEAM + ["--us"], BRICK + VENTED, ["--bag", "--mass", "2.3 kg"] + VENTED,
                      ["--bag", "brick", "--site", "farm.toml"], ["--bag", "round", "--site", "farm.toml"]):
        for more in ([], ["--full"]):
            for line in lag(folder, *arguments, *more).stdout.split("\n"):
                expect(f"80 columns hold {line!r}", len(line) <= 80)
    expect("80 columns hold the help", all(len(l) <= 80 for l in lag(folder, "--help").stdout.split("\n")))


def tells_a_range(folder):
    forecast = told(folder, *BRICK, *STEAM)
    cores = [round(t["core_degC"], 1) for t in forecast["targets"]]
    expect(f"six targets, coolest first: {cores}", cores == [60, 90, 100, 111.1, 116.1, 119.1])
    for t in forecast["targets"]:
        expect("good < likely < slow", t["good_minutes"] < t["likely_minutes"] < t["slow_minutes"])
    expect("a bag that is told in full needs nothing assumed", forecast["assumptions"] == [])
    cores = [round(t["core_degC"], 1) for t in told(folder, *BRICK, *VENTED)["targets"]]
    expect(f"100 C is no target where water boils at 96 C: {cores}", cores[:1] == [60] and max(cores) < 96)
    plain = likely(forecast, 5)
    sealed = [a if a != "breathing" else "sealed" for a in BRICK]
    expect("sealed is later", likely(told(folder, *sealed, *STEAM), 5) > plain)
    heavy = ["--bag", "--mass", "4.6 kg", "--moisture", "62%"]
    expect("twice the mass is later", likely(told(folder, *heavy, *STEAM), 5) > plain)
    by_gauge = [a if a != "121.1C" else "15.14 psi gauge" for a in STEAM]
    expect("the gauge says the same", abs(likely(told(folder, *BRICK, *by_gauge), 5) - plain) < 1)
    first = lag(folder, *BRICK, *STEAM).stdout
    expect("twice the same", first == lag(folder, *BRICK, *STEAM).stdout)
    expect("it says that it is a forecast", "A forecast, no promise." in re.sub(r"\s+", " ", first))
    expect("air is spoken of", "with 10 % air" in re.sub(r"\s+", " ", first))
    expect("pressure is warned of", "SAFETY.md" in first)
    expect("F and in", " in by " in lag(folder, "--bag", "--mass", "5 lb", *STEAM, "--us").stdout)


def tells_what_it_took(folder):
    keys = {a["key"] for a in told(folder, "--bag", "--mass", "2.3 kg", "--vented", "--altitude", "0 m")["assumptions"]}
    expect(f"all that nobody said is told: {sorted(keys)}",
           keys == {"lag_assumed_substrate", "lag_assumed_moisture", "lag_assumed_form", "lag_assumed_sides",
                    "lag_assumed_closure", "lag_assumed_apart", "lag_assumed_boiling", "lag_assumed_start",
                    "lag_assumed_no_come_up"})
    keys = {a["key"] for a in told(folder, "--mass", "2.3 kg", "--moisture", "15 %", "--steam", "90 C")["assumptions"]}
    expect("stretched figures and an unknown height are told", {"lag_stretched_moisture", "lag_assumed_sea_level"} <= keys)
    one_side = told(folder, "--bag", "--mass", "2.3 kg", "--length", "30 cm", *STEAM)["bag"]
    expect("a side that was measured is kept", abs(one_side["length_m"] - 0.3) < 1e-12)
    expect("and the others make up the usual density", abs(one_side["density_kg_per_m3"] - 590) < 1e-6)


def takes_the_site_file(folder):
    forecast = told(folder, "--bag", "brick", "--site", "farm.toml")
    expect("mass of the site", abs(forecast["bag"]["mass_kg"] - 5 * 0.45359237) < 1e-9)
    expect("its neighbours", forecast["bag"]["film_W_per_m2K"] == [10, 10, 10])
    expect("its altitude", forecast["steam"]["altitude_m"] == 1150 and 96 < forecast["steam"]["boiling_degC"] < 96.3)
    expect("an option goes before it", told(folder, "--bag", "brick", "--site", "farm.toml", "--mass", "2 kg")["bag"]["mass_kg"] == 2)
    expect("a column", told(folder, "--bag", "round", "--site", "farm.toml")["bag"]["form"] == "column")
    refuses(folder, '--bag: there is no kind of bag in the site file called "brik"; did you mean brick?', 64,
            "--bag", "brik", "--site", "farm.toml")
    refuses(folder, "--bag: the site file has several kinds of bag; choose one of brick, round, heavy", 64, "--site", "farm.toml")
    refuses(folder, "farm.toml:17:8: bags.heavy.mass: 50.00 kg at 62 % moisture in 3.90 litres is denser than its solids and "
            "water allow; at most 4.46 kg fits: check mass, moisture and sides", 65, "--bag", "heavy", "--site", "farm.toml")
    refuses(folder, "none.toml: no such file; check the path, or the folder you are in", 66, "--site", "none.toml")


def writes_the_curve(folder):
    run = lag(folder, *BRICK, *STEAM, "--csv", "curve.csv")
    expect("a curve is written", run.returncode == 0)
    rows = list(csv.reader((folder / "curve.csv").open()))
    expect("its columns", rows[0] == ["minutes", "steam_degC", "core_good_degC", "core_likely_degC", "core_slow_degC",
                                      "surface_degC", "mean_degC"])
    values = [[float(cell) for cell in row] for row in rows[1:]]
    expect("a row a minute", [v[0] for v in values] == list(range(len(values))))
    expect("slow, likely, good in order", all(v[4] <= v[3] <= v[2] <= v[1] + 0.01 for v in values))
    within_5 = next(t for t in told(folder, *BRICK, *STEAM)["targets"] if t["under_steam_K"] == 5)
    for name, column in (("good_minutes", 2), ("likely_minutes", 3), ("slow_minutes", 4)):
        at = next(v[0] for v in values if v[column] >= 116.1)
        expect(f"the curve agrees with {name}: {at} {within_5[name]}", abs(at - within_5[name]) <= 1.5)
    before = (folder / "curve.csv").read_bytes()
    run = lag(folder, *BRICK, *STEAM, "--csv", "curve.csv")
    expect("a file that is there is never overwritten", run.returncode == 73 and (folder / "curve.csv").read_bytes() == before)


def refuses_what_is_wrong(folder):
    refuses(folder, "--mass: a mass of 0 kg is no bag; above zero", 64, "--bag", "--mass", "0 kg", *STEAM)
    refuses(folder, "nobody said how heavy the bag is; write for example --mass \"2.3 kg\"", 64, "--bag", *STEAM)
    refuses(folder, '--mass: "2.3" has no unit; write for example "5 lb" (kg, g, t, lb or oz)', 64, "--bag", "--mass", "2.3", *STEAM)
    refuses(folder, '--moisture: moisture of 1 leaves nothing dry; water / moist mass, at least 0 and below 1, for example "62 %"',
            64, "--bag", "--mass", "2.3 kg", "--moisture", "100 %", *STEAM)
    dense = [a if a != "2.3 kg" else "9 kg" for a in BRICK]
    refuses(folder, "--mass: 9.00 kg at 62 % moisture in 3.90 litres is denser than its solids and water allow; at most 4.46 kg "
            "fits: check mass, moisture and sides", 64, *dense, *STEAM)
    light = [a if a != "2.3 kg" else "0.1 kg" for a in BRICK]
    refuses(folder, "--mass: 0.10 kg at 62 % moisture in 3.90 litres is far lighter than any \"sawdust\"; at "
            "least 50 kg of dry matter in a cubic metre: check mass, moisture and sides", 64, *light, *STEAM)
    refuses(folder, '--form: "cube" is none of its values; choose one of brick, column, slab, loose', 64,
            "--bag", "--mass", "2 kg", "--form", "cube", *STEAM)
    refuses(folder, "--form: steam passes through loose substrate; how a bag heats says nothing about it; put a probe in its "
            'middle; form = "brick", "column" or "slab" are reckoned', 64, "--bag", "--mass", "2 kg", "--form", "loose", *STEAM)
    refuses(folder, '--form: a slab needs its thickness; write for example --height "15 cm"', 64,
            "--bag", "--mass", "2 kg", "--form", "slab", *STEAM)
    refuses(folder, "--diameter: the form \"brick\" has no diameter; leave it out, or make the form \"column\"", 64, *BRICK, "--diameter", "18 cm", *STEAM)
    refuses(folder, "--length: a side of nothing is no bag; above zero", 64, "--bag", "--mass", "2 kg", "--length", "0 cm", *STEAM)
    refuses(folder, '--bag: "brick" is a kind of bag of a site file, and none is given; add --site FARM.toml, or describe the bag by '
            "--mass and the rest", 64, "--bag", "brick", *STEAM)
    bag = ["--bag", "--mass", "2.3 kg"]
    refuses(folder, "--steam: steam of 121.1 C is hotter than water boils in the open here (96.1 C); only a pressure-rated vessel "
            'holds it: give its nameplate, for example --rated "15 psi gauge"; in an open vessel write at most 96.1 C, and never '
            "close a vent to go higher", 64, *bag, "--steam", "121.1 C", "--altitude", "1150 m")
    refuses(folder, "--steam: steam of 121.1 C needs 117.4 kPa gauge, the vessel is rated for 103.4 kPa; at most 118.9 C here, and "
            "never above the nameplate", 64, *bag, "--steam", "121.1 C", "--rated", "15 psi gauge", "--altitude", "1150 m")
    refuses(folder, 'nobody said how hot the steam is; write for example --steam "121.1 C" or --steam "15 psi gauge", or for an open '
            'vessel --vented --altitude "1150 m"', 64, *bag, "--vented")
    refuses(folder, '--steam: "15 psi" does not say that it is what the gauge shows; write for example --steam "15 psi gauge" or '
            '--steam "121.1 C"', 64, *bag, "--steam", "15 psi", "--rated", "15 psi gauge")
    refuses(folder, "--vented and --rated contradict each other; say which of the two the vessel is", 64, *bag, "--vented", *STEAM)
    refuses(folder, "--start: bags of 97.0 C are not reckoned; from -40 to 95 C", 64, *bag, "--steam", "121 C", "--rated", "20 psi gauge", "--start", "97 C")
    refuses(folder, "log.csv: cannot be opened: No such file or directory; name a log file that is there and may be read",
            66, "--full", "log.csv")
    both = lag(folder, "--bag", "--steam", "121 C").stderr.split("\n")
    expect(f"every fault is told at once: {both}", len(both) == 3 and "heavy" in both[0] and "hotter" in both[1])


with tempfile.TemporaryDirectory() as name:
    here = pathlib.Path(name)
    (here / "farm.toml").write_text(SITE)
    for part in (tells_a_range, tells_what_it_took, takes_the_site_file, writes_the_curve, refuses_what_is_wrong, fits_the_screen,
                 tells_all):
        part(here)
print(f"{len(faults)} not so" if faults else "lag tells and refuses as it should")
sys.exit(1 if faults else 0)
