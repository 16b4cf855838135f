"""Makes the four example runs: run.toml and log.csv in four folders beside this file.

Everything here is invented: the farm, the runs and every reading. A brick of wet sawdust is heated by finite
differences in three directions, with an effective diffusivity that stands for conduction and for steam moving
through the brick; probes add an error of their own, noise and a resolution of 0.1 K. Seeds are fixed, so the
same files come out each time. Nothing is shared with the program that judges the logs.

Run:  /usr/bin/python3 examples/make_examples.py
"""

import datetime
import pathlib
from dataclasses import dataclass, field

import numpy as np

HERE = pathlib.Path(__file__).resolve().parent

SITE_ALTITUDE_M = 1150.0
ROOM_AIR_DEGC = 22.0
BRICK_M = (0.20, 0.13, 0.15)
CELL_M = 0.01
# Assumed, chosen so that a brick lags by the two to three hours that growers report (common practice, no source).
DIFFUSIVITY_M2_PER_S = 3.6e-7
STEP_S = 10.0
STEAM_ON_MIN = 5


def saturation_kPa(t_degC):
    """Saturation pressure of water. IAPWS SR1-86(1992), Eq. 1, coefficients from memory; another equation than
    the program's."""
    kelvin = np.asarray(t_degC) + 273.15
    tau = 1.0 - kelvin / 647.096
    series = (-7.85951783 * tau + 1.84408259 * tau**1.5 - 11.7866497 * tau**3 + 22.6807411 * tau**3.5
              - 15.9618719 * tau**4 + 1.80122502 * tau**7.5)
    return 22064.0 * np.exp(647.096 / kelvin * series)


def saturation_degC(p_kPa):
    """Inverse of saturation_kPa between 0 and 200 degC, by bisection."""
    low, high = np.zeros_like(p_kPa), np.full_like(p_kPa, 200.0)
    for _ in range(60):
        middle = (low + high) / 2
        too_cold = saturation_kPa(middle) < p_kPa
        low, high = np.where(too_cold, middle, low), np.where(too_cold, high, middle)
    return (low + high) / 2


# Standard atmosphere (ISO 2533:1975), from memory.
AIR_kPa = 101.325 * (1 - 0.0065 * SITE_ALTITUDE_M / 288.15) ** 5.25588
BOILING_DEGC = float(saturation_degC(np.array(AIR_kPa)))


@dataclass
class Place:
    """A column of the log: how slowly steam reaches the place, and what the probe does to the truth."""
    column: str
    lag_min: float  # of the surface behind the steam
    colder_K: float  # than the steam, for good
    probe_error_K: float
    noise_K: float
    core: bool = True


@dataclass
class Run:
    folder: str
    title: str
    seed: int
    start: datetime.datetime
    end_min: int
    interval_min: int
    vessel: str
    treatment: str
    by: str
    notes: str
    count: int
    places: list
    steam: object  # minutes since the start -> degC of the steam space
    pressure: object = None  # minutes since the start -> kPa gauge
    events: list = field(default_factory=list)  # (what, minute, who, note)


def autoclave_steam(boil_min, vent_closed_min, at_pressure_min, steam_off_min, set_degC):
    """Steam space of the pressure vessel: come-up, venting at the local boiling point, rise, thermostat, cooling."""

    def degC(minute):
        minute = np.asarray(minute, dtype=float)
        come_up = ROOM_AIR_DEGC + (BOILING_DEGC - ROOM_AIR_DEGC) * np.clip(
            (minute - STEAM_ON_MIN) / (boil_min - STEAM_ON_MIN), 0, 1) ** 0.7
        rise = BOILING_DEGC + (set_degC - BOILING_DEGC) * np.clip(
            (minute - vent_closed_min) / (at_pressure_min - vent_closed_min), 0, 1) ** 0.85
        cycle = 0.3 * np.sin(2 * np.pi * (minute - at_pressure_min) / 14.0)
        after = np.maximum(minute - steam_off_min, 0)
        cooling = BOILING_DEGC - 4 + (set_degC - BOILING_DEGC + 4) * np.exp(-after / 22.0) - 0.13 * after
        out = np.where(minute < vent_closed_min, come_up, rise)
        out = np.where((minute >= at_pressure_min) & (minute < steam_off_min), set_degC + cycle, out)
        return np.where(minute >= steam_off_min, cooling, out)

    return degC


def gauge_kPa(steam):
    """Pressure over the air outside where the steam space is full of steam, none before it boils."""
    return lambda minute: np.maximum(saturation_kPa(steam(minute)) - AIR_kPa, 0.0)


def room_steam(hot_min, steam_off_min, top_degC):
    """Steam room with a vent: slow come-up, a dip at every refuelling, slow cooling behind its insulation."""

    def degC(minute):
        minute = np.asarray(minute, dtype=float)
        come_up = ROOM_AIR_DEGC + (top_degC - ROOM_AIR_DEGC) * np.clip(
            (minute - STEAM_ON_MIN) / (hot_min - STEAM_ON_MIN), 0, 1) ** 0.6
        since_fuel = np.mod(minute - hot_min, 95.0)
        dip = 0.9 * np.exp(-((since_fuel - 8.0) / 6.0) ** 2)
        out = np.where(minute < hot_min, come_up, top_degC - dip)
        after = np.maximum(minute - steam_off_min, 0)
        cooling = 30 + (top_degC - 30) * np.exp(-after / 260.0)
        return np.where(minute >= steam_off_min, cooling, out)

    return degC


def brick_core_degC(steam_degC, boiling_degC, place):
    """Core of a brick whose faces follow the steam with a lag; one value a step."""
    shape = [round(side / CELL_M) for side in BRICK_M]
    brick = np.full(shape, ROOM_AIR_DEGC)
    face = ROOM_AIR_DEGC
    middle = tuple(slice((n - 1) // 2, n // 2 + 1) for n in shape)
    r = DIFFUSIVITY_M2_PER_S * STEP_S / CELL_M**2
    core = np.empty(len(steam_degC))
    for step, steam in enumerate(steam_degC):
        core[step] = brick[middle].mean()
        face += (steam - place.colder_K - face) * STEP_S / (60 * place.lag_min)
        change = np.zeros_like(brick)
        for axis in range(3):
            # The face lies half a cell outside the last cell, so the cell beyond it mirrors the last about it.
            first, last = brick.take([0], axis), brick.take([-1], axis)
            wide = np.concatenate([2 * face - first, brick, 2 * face - last], axis)
            change += np.diff(wide, 2, axis)
        # Wet substrate cannot stay hotter than water boils at the vessel's pressure: it flashes.
        brick = np.minimum(brick + r * change, boiling_degC[step])
    return core


def readings(run):
    """Rows of the log: (minute, values a column)."""
    rng = np.random.default_rng(run.seed)
    step_min = np.arange(0, run.end_min * 60 + STEP_S, STEP_S) / 60
    steam = run.steam(step_min)
    pressure = run.pressure(step_min) if run.pressure else np.zeros_like(step_min)
    boiling = saturation_degC(AIR_kPa + pressure)
    every = round(run.interval_min * 60 / STEP_S)
    columns = []
    for place in run.places:
        truth = brick_core_degC(steam, boiling, place) if place.core else steam - place.colder_K
        seen = truth[::every] + place.probe_error_K
        columns.append(np.round(seen + rng.normal(0, place.noise_K, len(seen)), 1))
    if run.pressure:
        seen = pressure[::every]
        columns.append(np.maximum(np.round(seen + rng.normal(0, 0.2, len(seen)), 1), 0.0))
    return step_min[::every], columns


def iso(run, minute):
    return (run.start + datetime.timedelta(minutes=float(minute))).isoformat()


def write_log(run):
    minutes, columns = readings(run)
    header = ["time"] + [f"{place.column} (C)" for place in run.places]
    if run.pressure:
        header.append("Vessel pressure (kPa gauge)")
    lines = ["Invented example log: there is no such farm and there was no such run",
             f"Made by examples/make_examples.py from seed {run.seed}", ",".join(header)]
    for row, minute in enumerate(minutes):
        lines.append(",".join([iso(run, minute)] + [f"{column[row]:.1f}" for column in columns]))
    (HERE / run.folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def write_run(run):
    text = f"""# {run.title}
# Invented: there is no such farm and there was no such run. Made by examples/make_examples.py.

[run]
name = "{run.folder}"
site = "../farm.toml"
vessel = "{run.vessel}"
treatment = "{run.treatment}"
by = "{run.by}"
notes = "{run.notes}"

[[log]]
file = "log.csv"

[[load.bags]]
bag = "brick"
count = {run.count}
"""
    for what, minute, who, note in run.events:
        text += f'\n[[event]]\nwhat = "{what}"\ntime = {iso(run, minute)}\nwho = "{who}"\n'
        if note:
            text += f'note = "{note}"\n'
    (HERE / run.folder / "run.toml").write_text(text, encoding="utf-8")


# The true errors differ a little from the corrections in farm.toml, as a check never finds them whole.
CORE_1 = Place("Core 1", lag_min=9.0, colder_K=0.2, probe_error_K=0.15, noise_K=0.08)
CORE_2 = Place("Core 2", lag_min=4.0, colder_K=0.1, probe_error_K=-0.16, noise_K=0.06)
WIRE_1 = Place("Wire 1", lag_min=9.0, colder_K=0.2, probe_error_K=0.7, noise_K=0.25)
WIRE_2 = Place("Wire 2", lag_min=4.0, colder_K=0.1, probe_error_K=-0.4, noise_K=0.25)
VESSEL = Place("Vessel", lag_min=0, colder_K=0.0, probe_error_K=0.06, noise_K=0.08, core=False)
ROOM = Place("Room", lag_min=0, colder_K=0.0, probe_error_K=0.08, noise_K=0.12, core=False)


def autoclave_run(folder, title, seed, start, steam_off_min, opened_min, places, by, notes, remark=None):
    steam = autoclave_steam(boil_min=50, vent_closed_min=65, at_pressure_min=92, steam_off_min=steam_off_min,
                            set_degC=121.4)
    events = [("steam_on", STEAM_ON_MIN, by, ""), ("vent_closed", 65, by, "steam had blown for 15 min")]
    if remark:
        events.append(("remark", 92, by, remark))
    events += [("steam_off", steam_off_min, by, ""), ("vent_opened", steam_off_min + 28, by, "gauge near zero"),
               ("opened", opened_min, by, "")]
    return Run(folder, title, seed, start, opened_min + 10, 1, "autoclave", "sterilize", by, notes, 240, places,
               steam, gauge_kPa(steam), events)


def runs():
    when = datetime.datetime
    return [
        autoclave_run("good-sterilization", "A sterilization that is proven in the coldest bag.", 11,
                      when(2026, 3, 4, 18, 30), 290, 400, [CORE_1, CORE_2, VESSEL], "evening shift",
                      "probe 1 in the mapped cold spot"),
        Run("overnight-atmospheric", "A night of steam at the boiling point of the place.", 12,
            when(2026, 3, 10, 15, 0), 1400, 2, "room", "atmospheric_steam", "night shift",
            "boiler fed with water and fuel about every hour and a half", 480, [CORE_1, CORE_2, ROOM],
            room_steam(hot_min=150, steam_off_min=1140, top_degC=95.9),
            None, [("steam_on", STEAM_ON_MIN, "evening shift", ""), ("steam_off", 1140, "morning shift", ""),
                   ("opened", 1380, "afternoon shift", "")]),
        autoclave_run("clock-at-gauge", "The clock was started when the gauge reached pressure.", 13,
                      when(2026, 3, 12, 8, 0), 167, 275, [CORE_1, CORE_2, VESSEL], "morning shift",
                      "an hour and a quarter at pressure, timed at the gauge",
                      "gauge at pressure, clock started"),
        autoclave_run("unproven-probe", "Enough by the readings, but the probes cannot prove it.", 14,
                      when(2026, 3, 17, 13, 0), 213, 323, [WIRE_1, WIRE_2, VESSEL], "afternoon shift",
                      "thermocouple wires, never checked"),
    ]


def main():
    for run in runs():
        (HERE / run.folder).mkdir(exist_ok=True)
        write_log(run)
        write_run(run)


if __name__ == "__main__":
    main()
