"""An invented run of any length and number of probes in one vented room. No such farm, no such run."""
import datetime
import math

START = datetime.datetime(2026, 3, 10, 15, 0, 0)

FARM = """[site]
name = "An invented farm for measuring"
altitude = "1150 m"
zone = "America/Bogota"
units = "metric"

[vessels.room]
kind = "vented"
volume = "14 m3"
wall = "insulated"

[bags.brick]
substrate = "supplemented_sawdust"
form = "brick"
mass = "2.3 kg"
moisture = "62 %"
length = "20 cm"
width = "13 cm"
height = "15 cm"
closure = "breathing"
film = "pp-homopolymer"
"""

PROBE = """
[probes.{key}]
column = "{column}"
{place}
class = "pt-a"

[[probes.{key}.check]]
on = 2026-02-01
correction = "{correction} K"
u = "0.12 K"
by = "farm workshop"
how = "ice and boil"
"""

RUN = """[run]
name = "invented-{hours}-h-{probes}-probes"
site = "farm.toml"
vessel = "room"
treatment = "atmospheric_steam"
by = "night shift"

[[log]]
file = "log.csv"

[[load.bags]]
bag = "brick"
count = 480

[[event]]
what = "steam_on"
time = {on}
who = "night shift"

[[event]]
what = "steam_off"
time = {off}
who = "night shift"
"""


def columns(probes):
    """One in the steam for every eight, the first included; the others in bags."""
    return [f"Steam {i // 8 + 1}" if i % 8 == 0 else f"Core {i - i // 8}" for i in range(probes)]


def core_degC(hour, hours, lag_h):
    """Slow at first, to the steam's 96 C, and down again in the last tenth."""
    off = 0.9 * hours
    warm = 96 - 74 * math.exp(-max(0.0, min(hour, off) - 0.3) / lag_h)
    return warm if hour < off else 22 + (warm - 22) * math.exp(-(hour - off) / (3 * lag_h))


def steam_degC(hour, hours):
    off = 0.9 * hours
    warm = 96 - 74 * math.exp(-hour / 0.35)
    return warm if hour < off else 22 + (warm - 22) * math.exp(-(hour - off) / 1.5)


def write_night(folder, hours, probes, step_s, changed=None):
    """Writes farm.toml, log.csv and run.toml and returns the run file. `changed`: {(row, column): degC} written in
    place of what would have been."""
    folder.mkdir(parents=True, exist_ok=True)
    names = columns(probes)
    sites = []
    for i, name in enumerate(names):
        place = ('place = "vessel"\nposition = "rear wall, half height"' if name.startswith("Steam") else
                 'place = "bag"\nbag = "brick"\nposition = "layer %d, far from the steam inlet"\nspot = "%s"'
                 % (i % 4 + 1, "cold" if i == 1 else "random"))
        sites.append(PROBE.format(key=name.lower().replace(" ", "_"), column=name, place=place,
                                  correction=(i % 5 - 2) / 10))
    (folder / "farm.toml").write_text(FARM + "".join(sites))
    rows = int(hours * 3600 / step_s)
    changed = changed or {}
    # A waver of a fifth of a degree, as a recorder shows; the same every time.
    waver = [0.1 * math.sin(1.7 * i) + 0.1 * math.sin(0.31 * i) for i in range(997)]
    with (folder / "log.csv").open("w") as log:
        log.write("time," + ",".join(name + " (C)" for name in names) + "\n")
        for row in range(rows):
            hour = row * step_s / 3600
            steam = steam_degC(hour, hours)
            cells = []
            for i, name in enumerate(names):
                degC = steam - 0.2 * (i // 8) if name.startswith("Steam") else core_degC(hour, hours, 1.1 + 0.07 * i)
                cells.append(f"{changed.get((row, i), degC + waver[(row * (i + 1) + 61 * i) % 997]):.1f}")
            log.write((START + datetime.timedelta(seconds=row * step_s)).isoformat() + "," + ",".join(cells) + "\n")
    at = lambda hour: (START + datetime.timedelta(hours=hour)).isoformat()
    run = folder / "run.toml"
    run.write_text(RUN.format(hours=hours, probes=probes, on=at(0.05), off=at(0.9 * hours)))
    return run
