"""The runs of the invented farm at 1,150 m, where water boils near 96 C; examples/README.md lists them."""

import datetime

import numpy as np

from made.run import AIR_kPa, Place, Run, in_brick, in_steam, iso, moment, said_in_log
from made.steam_space import (STEAM_ON_MIN, air_left_steam, autoclave_steam, gauge_kPa, room_steam, saw_tooth_steam,
                              straw_steam)
from made.substrate import STEP_S, frozen_core_degC, twice_lagged_core_degC
from made.water import boiling_degC

BOILING_DEGC = boiling_degC(AIR_kPa)

# The true errors differ a little from the corrections in farm.toml, as a check never finds them whole.
CORE_1 = Place("Core 1", lag_min=9.0, colder_K=0.2, probe_error_K=0.15, noise_K=0.08)
CORE_2 = Place("Core 2", lag_min=4.0, colder_K=0.1, probe_error_K=-0.16, noise_K=0.06)
WIRE_1 = Place("Wire 1", lag_min=9.0, colder_K=0.2, probe_error_K=0.7, noise_K=0.25)
WIRE_2 = Place("Wire 2", lag_min=4.0, colder_K=0.1, probe_error_K=-0.4, noise_K=0.25)
VESSEL = Place("Vessel", lag_min=0, colder_K=0.0, probe_error_K=0.06, noise_K=0.08, truth=in_steam)
ROOM = Place("Room", lag_min=0, colder_K=0.0, probe_error_K=0.08, noise_K=0.12, truth=in_steam)


def when(*parts):
    return datetime.datetime(*parts)


def set_steam(vent_closed_min=65, at_pressure_min=92, steam_off_min=290, boil_min=50):
    return autoclave_steam(BOILING_DEGC, boil_min, vent_closed_min, at_pressure_min, steam_off_min, 121.4)


def autoclave_run(folder, title, seed, start, steam_off_min, opened_min, places, by, notes, remark=None, **more):
    steam = set_steam(steam_off_min=steam_off_min)
    events = [("steam_on", STEAM_ON_MIN, by, ""), ("vent_closed", 65, by, "steam had blown for 15 min")]
    if remark:
        events.append(("remark", 92, by, remark))
    events += [("steam_off", steam_off_min, by, ""), ("opened", opened_min, by, "")]
    return Run(folder, title, seed, start, opened_min + 10, 1, "autoclave", "sterilize", by, notes, 240, places,
               steam, gauge_kPa(steam, AIR_kPa), events, **more)


def first_runs():
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


def runs():
    return first_runs()
