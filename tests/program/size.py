#!/usr/bin/python3
"""coldbag size on the real program: text and JSON agree, refusals say what would be right, more steam is sooner, the pages
tell of every option and key, and the example worked by hand comes out.

usage: size.py PROGRAM SOURCE_FOLDER
"""
import json
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
faults = []
# Invented vessels.
DRUM = ["--bags", "24", "--mass", "5 lb", "--steam", "6 kW", "--volume", "208 L", "--altitude", "1150 m", "--u", "0.4 K"]
RATED = ["--bags", "120", "--mass", "2.3 kg", "--steam", "30 kW", "--volume", "2 m3", "--wall", "insulated", "--rated",
         "20 psi gauge", "--altitude", "1800 m", "--u", "0.3 K"]
SITE = """[site]
altitude = "300 m"
[vessels.room]
kind = "pressure-rated"
rating = "20 psi gauge"
volume = "2 m3"
steam_power = "30 kW"
[bags.soft]
mass = "2 kg"
film = "hdpe"
"""


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:400])


def size(*arguments, cwd=None):
    return subprocess.run([program, "size", *map(str, arguments)], cwd=cwd, capture_output=True, text=True, timeout=120)


def planned(*arguments):
    run = size(*arguments, "--json")
    expect(f"{arguments} ends with 0: {run.stderr}", run.returncode == 0)
    return json.loads(run.stdout)


def refuses(status, words, *arguments, cwd=None):
    run = size(*arguments, cwd=cwd)
    expect(f"{arguments} ends with {status}, not {run.returncode}", run.returncode == status)
    expect(f"{arguments} prints nothing on standard output", run.stdout == "")
    for word in words:
        expect(f"{arguments} says {word!r}; it says {run.stderr!r}", word in run.stderr)


def duration(minutes):
    if minutes < 10:
        seconds = round(minutes * 60)
        m, s = divmod(seconds, 60)
        return f"{m} min {s} s" if m and s else f"{m} min" if m else f"{s} s"
    h, m = divmod(round(minutes), 60)
    return f"{h} h {m} min" if h and m else f"{h} h" if h else f"{m} min"


# Of the JSON, but not shown: what the user said himself (told where it was assumed), and what only programs ask for.
NOT_SHOWN = {"need.F_minutes", "need.hold_minutes", "bags.spread_ln", "bags.earlier_runs", "bags.earlier_bags",
             "vessel.metal_J_per_K", "vessel.standing_water_kg", "vessel.site_pressure_Pa", "vessel.altitude_m",
             "supply.rate_kg_per_s", "supply.dryness_fraction", "steam.energy_residual_fraction",
             "steam.water_residual_fraction"}


def without_zeros(text):
    return re.sub(r"\.0+$", "", text)


def power(W):
    return f"{W:.0f} W" if abs(W) < 1000 else without_zeros(f"{W / 1000:.1f}") + " kW"


def volume(m3):
    own, unit = (m3, "m3") if m3 >= 1 else (1000 * m3, "L")
    return without_zeros(f"{own:.1f}" if own < 100 else f"{own:.0f}") + " " + unit


def words_around(part, key, value):
    """Words that show what has no unit of its own."""
    return {"bags.count": f"{value} bags of ", "vessel.purge_volumes": f"{value:g} times the steam space",
            "vessel.air_fraction": f"Air keeps {100 * value:.0f} % of", "boiler.most_bags": f"{value} bags come up in ",
            "fitting.bags": f"{value} bags fit", "fitting.layers": f"{value} layers", "fuel.cost": f"likely: {value:.2f},",
            "fitting.on_fullest_layer": f"{value} on the fullest", "fuel.cost_per_bag": f"{value:.3f} a bag",
            "fuel.current_A": f"draws {value:.1f} A", "bags.moisture_fraction": f"Moisture {100 * value:.0f} %",
            "supply.efficiency_fraction": f"{100 * value:.0f} % of the heat of",
            "vessel.wall_area_m2": f"{value:.1f} m2", "vessel.wall_W_per_m2K": f"{value:.2f} W/m2K",
            "need.u_K": f"1.645 times {value:.2f} K", "steam.vent_kg_per_s": f"up to {value * 3600:.1f} kg/h",
            "times.margin": f"has {value:.3f} times that", "times.slowest_depth_sd": f"taken {value:.3f} spreads",
            "times.ln_sd": f"known to {value:.4f}", "times.bags_per_day": f"{value:.1f} bags a day",
            }.get(f"{part}.{key}")


def shown_as(part, key, value, unit=""):
    """How --full may show a number; the last digit may go either way at a half."""
    near = (value, value * (1 + 1e-9) + 1e-9, value * (1 - 1e-9) - 1e-9) if isinstance(value, float) else (value,)
    if words_around(part, key, value):
        return [words_around(part, key, v) for v in near]
    if part == "fuel":
        return [f"{v:.3f} {unit} a bag" if key == "per_bag" else f"{v:.{2 if v < 10 else 1}f} {unit}" for v in near]
    if key.endswith("F_minutes"):
        return [f"{v:.1f} min" for v in near] + [f"{v:.2f} min" for v in near]
    if key.endswith("_minutes"):
        return [duration(v + off) for v in near for off in (0, 0.005, -0.005)]
    if key.endswith("_J"):
        return [f"{v / 3.6e6:.1f} kWh" for v in near]
    if key.endswith("_kg"):
        return [f"{v:.1f} kg" if abs(v) < 100 else f"{v:,.0f} kg" for v in near]
    if key.endswith("_W"):
        return [power(v) for v in near]
    if key.endswith("_m3"):
        return [volume(v) for v in near]
    if key.endswith("_Pa"):
        return [f"{v / 1000:.1f} kPa" for v in near]
    if key.endswith("_degC"):
        return [f"{v:.1f} C" for v in near]
    return []


def numbers(value, key=""):
    if isinstance(value, dict):
        for name, each in value.items():
            yield from numbers(each, key if name in ("good", "likely", "slow") else name)
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield key, value


def left_out(plan, key, value):
    """What the text leaves out because it says nothing there."""
    is_open = plan["vessel"]["kind"] == "vented"
    return (key in NOT_SHOWN
            or is_open and key in ("times.boiling_minutes", "vessel.boiling_degC", "vessel.hold_gauge_Pa")
            or key == "supply.boiler_ready_minutes" and value == 0
            or key == "supply.feed_degC" and plan["supply"]["kind"] == "within"
            or key == "supply.efficiency_fraction" and value == 1
            or key == "times.probed_saves_minutes" and value < 1)


def text_holds_the_json(arguments, parts=()):
    """Text and PDF: the same plan."""
    with tempfile.TemporaryDirectory() as name:
        paper = pathlib.Path(name) / "plan.pdf"
        text = " ".join(size(*arguments, "--full", "--pdf", paper).stdout.split())
        on_paper = subprocess.run(["pdftotext", "-raw", paper, "-"], capture_output=True, text=True, timeout=60).stdout
    text_holds(planned(*arguments), text, arguments, parts)
    text_holds(planned(*arguments), " ".join(on_paper.split()), [*arguments, "--pdf"], parts)


def text_holds(plan, text, arguments, parts):
    for part in ("need", "bags", "vessel", "supply", "times", "steam", *parts):
        each = plan[part]
        expect(f"{arguments} gives {part}", bool(each))
        seen = 0
        for one in each if isinstance(each, list) else [each]:
            for key, value in numbers(one):
                if left_out(plan, f"{part}.{key}", value):
                    continue
                seen += 1
                forms = shown_as(part, key, value, one.get("unit"))
                expect(f"{arguments}: {part}.{key} {value} stands in the text as one of {forms[:4]}",
                       any(form in text for form in forms))
        least = {"times": 22, "steam": 26, "vessel": 9, "bags": 3, "fuel": 5, "fitting": 3, "boiler": 3}.get(part, 1)
        expect(f"{arguments}: {seen} numbers of {part} are held against the text", seen >= least)
    for one in plan["editions"]:
        expect(f"{one['name']} is among the tables", f"{one['name']} ({one['origin']}) sha256 {one['sha256'][:16]}" in text)


def by_hand(page):
    """The command of the example worked by hand, and the figures of its table that the program must give."""
    command = re.search(r"    coldbag size (.*?)\n\n", page, re.S).group(1).replace("\\\n", " ")
    arguments = [word for word in shlex.split(command) if word != "--full"]
    plan = planned(*arguments)
    rows = {cells[1].strip(): cells[3].strip() for cells in (line.split("|") for line in page.split("\n"))
            if len(cells) == 5}
    steam, off = plan["steam"], plan["steam"]["to_steam_off"]
    filled_kg = steam["steam_kg"]["likely"] - steam["vented_kg"] - steam["condensate_kg"]
    for row, figure in (("bags", f"{off['bags_J'] / 1e6:.3f} MJ"), ("metal", f"{off['metal_J'] / 1e6:.3f} MJ"),
                        ("bags' volume", f"{1000 * plan['vessel']['bags_m3']:.1f} L"),
                        ("steam in the space, hot", f"{filled_kg:.3f} kg"), ("with the air", f"{steam['vented_kg']:.3f} kg"),
                        ("walls, hot", f"{steam['hold_demand_W']:.2f} W"),
                        ("walls, 15 h 30 min", f"{off['walls_J'] / 1e6:.2f} MJ"),
                        ("steam in all", f"{steam['steam_kg']['likely']:.2f} kg"),
                        ("heat to make it of feed at 15 C", f"{steam['heat_per_bag_J'] / 1e6:.3f} MJ"),
                        ("slowest of 20 bags", f"{plan['times']['slowest_depth_sd']:.3f}"),
                        ("enough, likely", duration(plan["times"]["enough_minutes"]["likely"]))):
        expect(f"worked by hand, {row}: the program gives {figure}, the page {rows.get(row)}", rows.get(row) == figure)
    expect("steam off is after 15 h 30 min", plan["times"]["steam_off_minutes"] == 930)
    # Lumped: t = -C/UA ln(1 - UA dT/P), 22 min 30 s; bags that do not conduct at once are no burden until they have.
    come_up = plan["times"]["come_up_minutes"]["likely"]
    expect(f"the page tells the come-up of {come_up}", f"The program says {duration(come_up)}" in " ".join(page.split()))
    expect("which is sooner than by the lumped formula", come_up < 22.5)
    expect("only the sides are left to the tables", {a["key"] for a in plan["assumptions"]} <=
           {"lag_assumed_form", "lag_assumed_sides", "lag_assumed_closure", "lag_assumed_apart"})


def keys_of(value):
    if isinstance(value, dict):
        for name, each in value.items():
            if name not in ("values", "of"):
                yield name
                yield from keys_of(each)
    elif isinstance(value, list):
        for each in value:
            yield from keys_of(each)


COOKED = [*DRUM, "--boils-inside", "--water", "112 L"]
FUELLED = [*RATED, "--fuel", "propane", "--price", "0.9", "--boiler-water", "40 L", "--second-after", "1 h", "--come-up-in",
           "1 h"]
WIRED = ["--mass", "5 lb", "--inside", "120 cm x 80 cm x 100 cm", "--steam", "9 kW", "--fuel", "electricity", "--price",
         "0.21", "--volts", "400", "--phases", "3", "--u", "0.4 K"]
for case, parts in ((DRUM, ()), (RATED, ()), (COOKED, ()), (FUELLED, ("fuel", "boiler")), (WIRED, ("fuel", "fitting"))):
    text_holds_the_json(case, parts)
for case in (DRUM, FUELLED):
    for more in (["--json"], ["--full"]):
        expect(f"{case} gives the same bytes twice", size(*case, *more).stdout == size(*case, *more).stdout)

for case in (DRUM, RATED, COOKED, FUELLED, WIRED):
    for more in (["--full"], ["--full", "--us", "--steam-on", "18:30"]):
        for line in size(*case, *more).stdout.split("\n"):
            expect(f"80 columns hold {line!r}", len(line) <= 80)
for case in (["--help"], [*DRUM, "--vary", "bags=10,20,90", "--vary", "mass=1,2 kg"]):
    lines = size(*case).stdout.split("\n")
    expect(f"80 columns hold {case}", len(lines) > 5 and all(len(line) <= 80 for line in lines))

page = (source / "docs" / "formats" / "size-json.md").read_text()
documents = [planned(*RATED, "--fuel", "electricity", "--volts", "400", "--phases", "3", "--price", "0.2", "--come-up-in", "1 h"),
             json.loads(size(*DRUM, "--vary", "bags=10,90", "--json").stdout)]
for document in documents:
    for key in keys_of(document):
        expect(f"docs/formats/size-json.md tells of {key}",
               f"`{key}`" in page or f"`{key}[]`" in page or key in ("good", "likely", "slow", "key", "origin", "sha256"))

guide = (source / "docs" / "commands" / "size.md").read_text()
options = set(re.findall(r"^  (--[a-z-]+)", size("--help").stdout, re.M)) - {"--help"}
expect(f"{len(options)} options are found", len(options) > 50)
for option in sorted(options):
    expect(f"docs/commands/size.md tells of {option}", f"`{option}`" in guide or f"`{option} " in guide)
by_hand((source / "docs" / "mathematics" / "sizing.md").read_text())

come_up = [planned(*RATED[:4], "--steam", f"{kW} kW", *RATED[6:])["times"]["come_up_minutes"]["likely"] for kW in (20, 30, 60)]
expect(f"more steam is sooner: {come_up}", come_up[0] > come_up[1] > come_up[2])
loads = [planned("--bags", n, *RATED[2:])["times"]["come_up_minutes"]["likely"] for n in (60, 120, 240)]
expect(f"more bags are later: {loads}", loads[0] < loads[1] < loads[2])
# Standard atmosphere and IAPWS-IF97: 81.5 kPa at 1,800 m and 103.4 kPa on the gauge are saturated at 117.8 C; at 1,150 m
# 118.9 C.
high = planned(*RATED, "--hold-at", "15 psi gauge")["vessel"]["hold_degC"]
expect(f"15 psi at 1,800 m is 117.8 C: {high}", abs(high - 117.8) < 0.05)
lower = planned(*RATED[:-4], "--altitude", "1150 m", "--u", "0.3 K", "--hold-at", "15 psi gauge")["vessel"]["hold_degC"]
expect(f"15 psi at 1,150 m is 118.9 C: {lower}", abs(lower - 118.9) < 0.05)

refuses(64, ["--hold-at", "above where water boils here (96.1 C)", "hold at most 96.1 C"], *DRUM, "--hold-at", "121 C")
refuses(64, ["rated for 137.9 kPa", "never above the nameplate"], *RATED, "--hold-at", "25 psi gauge")
refuses(64, ["--volume", "no way is left for the steam"], "--bags", "60", *DRUM[2:])
refuses(64, ["--wall-area", "even a sphere has 1.70 m2"], *DRUM, "--wall-area", "1 m2")
refuses(64, ["said in several ways"], *DRUM, "--burner", "20 kW", "--efficiency", "80%")
refuses(64, ["--treatment", "atmospheric_steam"], *DRUM, "--treatment", "boil")
refuses(64, ["--fuel", "moonlight"], *DRUM, "--fuel", "moonlight")
refuses(64, ["--steam", "6 kW"], "--bags", "24", "--mass", "5 lb", "--steam", "6")
refuses(64, ["--volume", '"barrels" is not a unit of volume', "2 m3"], "--bags", "24", "--mass", "5 lb", "--steam", "6 kW",
        "--volume", "2 barrels")
for option, value in (("--water", "-40 L"), ("--metal-mass", "-3 kg"), ("--wall-loss", "-3 W/m2K"), ("--boiler-water", "-5 L")):
    refuses(64, [option, "less than nothing", "0 or more"], *DRUM, option, value)
refuses(64, ["--wall", "bare, insulated"], *DRUM, "--wall", "thick")
refuses(64, ["--hold-at", "what the gauge shows", "15 psi gauge"], *DRUM, "--hold-at", "15 psi")
refuses(64, ["--bags", "nobody said how many"], *DRUM[2:])
refuses(64, ["--steam", "nobody said how much steam"], "--bags", "24", "--mass", "5 lb", "--volume", "208 L")
refuses(64, ["--efficiency", "--fuel propane"], "--bags", "24", "--mass", "5 lb", "--burner", "20 kW")
refuses(64, ["does not fit the altitude"], *DRUM, "--pressure-at-site", "101 kPa")
refuses(64, ['"sterilize" asks for 110.0 C'], *DRUM, "--treatment", "sterilize")
refuses(64, ["--vary"], *DRUM, "--vary", "colour=1,2")
refuses(64, ["five at most"], "--bags", "24", "--mass", "5 lb", "--volume", "208 L",
        *[word for n in range(6) for word in ("--supply", f"s{n}=6 kW")])
refuses(64, ["64 bags fit, and 90 are wanted"], "--bags", "90", "--mass", "5 lb", "--steam", "9 kW", "--inside",
        "120 cm x 80 cm x 100 cm")
with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    (folder / "farm.toml").write_text(SITE)
    refuses(65, ["farm.toml", "film hdpe bears 105.0 C"], "--site", "farm.toml", "--bags", "40", cwd=folder)
    curve = folder / "curve.csv"
    expect("a curve is written", size(*DRUM, "--csv", curve).returncode == 0 and curve.read_text().startswith("minutes,"))
    kept = curve.read_bytes()
    refuses(73, ["curve.csv"], *DRUM, "--csv", curve)
    expect("what was there stays", curve.read_bytes() == kept)
    sheet = folder / "sheet.txt"
    expect("a sheet is written", size(*DRUM, "--sheet", sheet, "--steam-on", "18:30").returncode == 0)
    expect("steam off stands on it", "STEAM OFF" in sheet.read_text())
    on_paper = folder / "sheet.pdf"
    expect("a sheet is written as a PDF", size(*DRUM, "--sheet", on_paper, "--steam-on", "18:30").returncode == 0)
    said = subprocess.run(["pdftotext", "-raw", on_paper, "-"], capture_output=True, text=True, timeout=60).stdout
    expect("steam off stands on that too", "STEAM OFF" in said)
    for drawn in ("plan.html", "plan.pdf"):
        option = "--" + drawn[5:]
        first, second = folder / drawn, folder / f"again-{drawn}"
        done = size(*DRUM, "--steam-on", "18:30", option, first)
        expect(f"{drawn} is written beside the text", done.returncode == 0 and "steam off" in done.stdout)
        size(*DRUM, "--steam-on", "18:30", option, second)
        expect(f"{drawn} has the same bytes twice", first.read_bytes() == second.read_bytes())
        kept = first.read_bytes()
        refuses(73, [drawn], *DRUM, option, first)
        expect(f"{drawn} stays", first.read_bytes() == kept)
        refuses(64, [option, "is of one plan"], *DRUM, "--vary", "bags=10,20", option, folder / "many")
    page = (folder / "plan.html").read_text()
    expect("the page has the plan and its chart", "slowest core has enough" in page and "<svg" in page)
    refuses(64, ["--paper", "no PDF"], *DRUM, "--paper", "a4")
    refuses(64, ["--paper", "a4, letter"], *DRUM, "--pdf", folder / "b.pdf", "--paper", "a5")
    weak = size("--bags", "24", "--mass", "5 lb", "--steam", "1 kW", *DRUM[6:], "--html", folder / "weak.html", "--pdf",
                folder / "weak.pdf")
    expect("a plan that is not enough is drawn too", weak.returncode == 2 and (folder / "weak.pdf").is_file())
    expect("without a chart", "<svg" not in (folder / "weak.html").read_text())

never = size("--bags", "24", "--mass", "5 lb", "--steam", "1 kW", "--volume", "208 L", "--altitude", "1150 m", "--u", "0.4 K")
expect(f"too little steam ends with 2: {never.returncode}", never.returncode == 2)
expect("and says so", "does not reach" in " ".join(never.stdout.split()))

print(f"size: {len(faults)} faults")
sys.exit(1 if faults else 0)
