"""One seeded load: a steam space and its bags, made for as long as its treatment wants, then cooled and opened."""

import datetime
from dataclasses import dataclass, field

import numpy as np

from made.probe import seen
from made.steam_space import ROOM_AIR_DEGC
from made.substrate import lagged, twice_lagged_core_degC
from made.water import boiling_degC, saturation_degC, saturation_kPa

LONGEST_MIN = 2880
OPEN_COOLS_MIN = 4


@dataclass
class Probe:
    name: str
    column: str
    lag_min: float = 0.0  # of the bag's middle; 0 in the steam space
    colder_K: float = 0.2
    start_degC: float = ROOM_AIR_DEGC
    offset_K: float = 0.0
    noise_K: float = 0.1
    resolution_K: float = 0.1
    kind: str = "pt-a"
    bag: str = "brick"

    @property
    def in_bag(self):
        return self.lag_min > 0


@dataclass
class Load:
    """What is chosen; `make` works out the rest."""
    treatment: str
    rated: bool
    altitude_m: float
    air_kPa: float
    top_degC: float
    probes: list
    interval_s: float = 60.0
    heat_up_min: float = 90.0
    steam_start_degC: float = ROOM_AIR_DEGC
    cycle_K: float = 0.3
    cycle_min: float = 9.0
    saw: bool = False  # cycles like a saw, sudden down and slow up, and not like a wave
    cool_min: float = 200.0
    wanted_min: float = 900.0  # at or above hot_degC in the coldest bag; F minutes at 121.1 degC where rated
    hot_degC: float = 88.0
    pressure: bool = False  # logged, gauge
    gauge_gain: float = 1.0  # of a gauge that shows zero where there is nothing
    pressure_noise_kPa: float = 0.3
    mass_kg: float = 2.3
    moisture: float = 0.62
    start: datetime.datetime = datetime.datetime(2026, 2, 3, 16, 0)


@dataclass
class Made:
    """A load's truth by step and its readings by row."""
    load: Load
    step_s: float
    minute: np.ndarray  # of each step
    truth: dict  # probe name -> degC by step
    gauge_kPa: np.ndarray
    row_step: np.ndarray  # step of each row
    cells: dict  # probe name -> readings by row; NaN where there is none
    events: list  # (what, minute)
    steam_off_min: float
    texts: dict = field(default_factory=dict)  # (probe name, row) -> text in the place of a reading

    @property
    def row_min(self):
        return self.minute[self.row_step]


def steam_degC(load, minute, steam_off_min):
    boils = boiling_degC(load.air_kPa)
    phase = np.mod(minute, load.cycle_min) / load.cycle_min
    wave = np.where(phase < 0.1, phase / 0.1, (1 - phase) / 0.9) if load.saw else 0.5 + 0.5 * np.sin(2 * np.pi * phase)
    warm = np.clip((minute - 5) / load.heat_up_min, 0, 1)
    if load.rated:
        reach = load.steam_start_degC + (boils - load.steam_start_degC) * np.clip(warm / 0.5, 0, 1) ** 0.7
        rise = boils + (load.top_degC - boils) * np.clip((warm - 0.65) / 0.35, 0, 1) ** 0.85
        degC = np.where(warm < 0.65, reach, rise) + load.cycle_K * (wave - 0.5) * (warm >= 1)
    else:
        degC = load.steam_start_degC + (load.top_degC - load.steam_start_degC) * warm**0.6
        degC = degC - load.cycle_K * wave * (warm >= 1)
    after = np.maximum(minute - steam_off_min, 0)
    at_off = float(np.interp(steam_off_min, minute, degC))
    return np.where(after > 0, ROOM_AIR_DEGC + (at_off - ROOM_AIR_DEGC) * np.exp(-after / load.cool_min), degC)


def cores(load, steam, boiling, step_s):
    return {p.name: twice_lagged_core_degC(steam, boiling, step_s, p.lag_min, p.colder_K, p.start_degC)
            for p in load.probes if p.in_bag}


def steam_off(load, minute, step_s):
    """Minute at which the coldest bag has had what is wanted, whatever cooling adds."""
    steam = steam_degC(load, minute, 1e9)
    boiling = saturation_degC(np.maximum(saturation_kPa(steam), load.air_kPa))
    cold = np.min(list(cores(load, steam, boiling, step_s).values()), axis=0)
    if load.rated:
        earned = np.cumsum(np.where(cold >= 110, 10 ** ((cold - 121.1) / 10), 0.0)) * step_s / 60
    else:
        earned = np.cumsum(cold >= load.hot_degC) * step_s / 60
    enough = np.searchsorted(earned, load.wanted_min)
    assert enough < len(minute), "the coldest bag never gets what is wanted"
    return round(float(minute[enough]))


def make(load, rng):
    step_s = min(load.interval_s, 30.0)
    minute = np.arange(0, LONGEST_MIN * 60, step_s) / 60
    off_min = steam_off(load, minute, step_s)
    steam = steam_degC(load, minute, off_min)
    gauge = np.where((steam > boiling_degC(load.air_kPa)) & load.rated, saturation_kPa(steam) - load.air_kPa, 0.0)
    truth = cores(load, steam, saturation_degC(load.air_kPa + gauge), step_s)
    # Opened when nobody can be hurt by it: the hottest bag is under 50 degC by then, the steam space too.
    hottest = np.max(list(truth.values()) + [steam], axis=0)
    opened = int(np.flatnonzero((minute > off_min) & (hottest < 50))[0])
    end = opened + round(8 * 60 / step_s)
    air = minute >= minute[opened]
    steam[air] = 24 + (steam[opened] - 24) * np.exp(-(minute[air] - minute[opened]) / OPEN_COOLS_MIN)
    for probe in load.probes:
        if not probe.in_bag:
            truth[probe.name] = lagged(steam, step_s, 0.5, steam[0]) - probe.colder_K * (minute < minute[opened])
    rows = np.arange(0, end, round(load.interval_s / step_s))
    cells = {p.name: seen(truth[p.name][rows], rng, p.offset_K, p.noise_K, p.resolution_K) for p in load.probes}
    events = [("steam_on", 5), ("steam_off", off_min), ("opened", round(float(minute[opened])))]
    return Made(load, step_s, minute[:end], {name: t[:end] for name, t in truth.items()}, gauge[:end], rows, cells,
                events, off_min)


def gauge_readings(made, rng):
    load = made.load
    jitter = rng.normal(0, load.pressure_noise_kPa, len(made.row_step))
    raw = load.gauge_gain * made.gauge_kPa[made.row_step] + jitter
    return np.maximum(np.round(raw, 1), 0.0)


def decimals(resolution_K):
    return 1 if resolution_K >= 0.1 else 2 if resolution_K >= 0.01 else 3


def log_text(made, rng):
    load = made.load
    head = ["time"] + [f"{p.column} (C)" for p in load.probes] + (["Vessel pressure (kPa gauge)"] if load.pressure else [])
    gauge = gauge_readings(made, rng) if load.pressure else None
    lines = ["Invented log, made from a seed: no such farm, no such run", ",".join(head)]
    for row, minute in enumerate(made.row_min):
        time = load.start + datetime.timedelta(seconds=round(float(minute) * 60))
        cells = [time.isoformat()]
        for probe in load.probes:
            value = made.cells[probe.name][row]
            text = "" if np.isnan(value) else f"{value:.{decimals(probe.resolution_K)}f}"
            cells.append(made.texts.get((probe.name, row), text))
        if load.pressure:
            cells.append(f"{gauge[row]:.1f}")
        lines.append(",".join(cells))
    return "\n".join(lines) + "\n"


def site_text(load):
    vessel = 'kind = "pressure-rated"\nrating = "30 psi gauge"' if load.rated else 'kind = "vented"'
    straw = load.treatment.startswith("pasteurize")
    text = f"""# Invented, made from a seed.
[site]
name = "an invented farm"
altitude = "{load.altitude_m:.0f} m"
zone = "-05:00"

[vessels.one]
{vessel}

[bags.brick]
substrate = "{'straw' if straw else 'supplemented_sawdust'}"
form = "{'column' if straw else 'brick'}"
mass = "{load.mass_kg:.1f} kg"
moisture = "{100 * load.moisture:.0f} %"
closure = "breathing"
film = "pp-homopolymer"
"""
    for p in load.probes:
        place = f'place = "bag"\nbag = "{p.bag}"' if p.in_bag else 'place = "vessel"'
        text += f'\n[probes.{p.name}]\ncolumn = "{p.column}"\n{place}\nclass = "{p.kind}"\nresolution = "{p.resolution_K:g} K"\n'
    return text


def run_text(made, name):
    load = made.load
    text = f"""# Invented, made from a seed.
[run]
name = "{name}"
site = "site.toml"
vessel = "one"
treatment = "{load.treatment}"
pressure_at_site = "{load.air_kPa:.2f} kPa"

[[log]]
file = "log.csv"

[[load.bags]]
bag = "brick"
count = 120
"""
    for what, minute in made.events:
        time = load.start + datetime.timedelta(minutes=float(minute))
        text += f'\n[[event]]\nwhat = "{what}"\ntime = {time.isoformat()}\n'
    return text


def write(made, folder, rng):
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "log.csv").write_text(log_text(made, rng), encoding="utf-8")
    (folder / "site.toml").write_text(site_text(made.load), encoding="utf-8")
    (folder / "run.toml").write_text(run_text(made, folder.name), encoding="utf-8")
