"""A year of the invented farm: which run was when, what went wrong, and what became of the bags.

What is hidden in it, for who looks: from week 30 on the bricks of the autoclave stand closer together and heat slower;
in week 20 one lot of spawn was bad; two runs of the autoclave were timed at the gauge, and too short."""

import datetime
from dataclasses import dataclass

import numpy as np

from made.farm_runs import BOILING_DEGC, BOX, CORE_1, CORE_2, ROOM, STRAW_1, STRAW_2, VESSEL, renamed
from made.run import AIR_kPa, Run
from made.steam_space import STEAM_ON_MIN, autoclave_steam, gauge_kPa, room_steam, straw_steam

FIRST_MONDAY = datetime.datetime(2025, 1, 6)
CLOSER_FROM_WEEK = 29  # counted from 0
BAD_SPAWN_WEEK = 19
SHORT_WEEKS = (11, 33)
WEEKS = 48
MADE_BY = "examples/make_year.py"
PEOPLE = ("Ana Example", "Ben Example", "Carla Example")


@dataclass
class YearRun:
    """A run with what was told of it later."""
    run: Run
    week: int
    bags: int  # inoculated
    is_short: bool = False


def night(week, days, hour, minute=0):
    return FIRST_MONDAY + datetime.timedelta(weeks=week, days=days, hours=hour, minutes=minute)


def autoclave(week, name, start, rng):
    closer = 1.4 if week >= CLOSER_FROM_WEEK else 1.0
    slower = closer * rng.normal(1, 0.04)
    at_pressure = round(rng.normal(92, 2))
    is_short = week in SHORT_WEEKS and name.endswith("a")
    steam_off = at_pressure + 75 if is_short else at_pressure + 240
    steam = autoclave_steam(BOILING_DEGC, at_pressure - 42, at_pressure - 27, at_pressure, steam_off, 121.4)
    places = [renamed(place, place.column, lag_min=place.lag_min * slower) for place in (CORE_1, CORE_2)] + [VESSEL]
    by = PEOPLE[week % 3]
    events = [("steam_on", STEAM_ON_MIN, by, ""), ("vent_closed", at_pressure - 27, by, ""),
              ("steam_off", steam_off, by, ""), ("vent_opened", steam_off + 28, by, "gauge near zero"),
              ("opened", steam_off + 110, by, "")]
    run = Run(name, "One of a year.", int(rng.integers(1, 2**31)), start, steam_off + 120, 1, "autoclave", "sterilize", by,
              "timed at the gauge" if is_short else "", 240, places, steam, gauge_kPa(steam, AIR_kPa), events, made_by=MADE_BY)
    return YearRun(run, week, 238, is_short)


def room(week, name, start, rng):
    hot = round(rng.normal(150, 6))
    steam_off = round(rng.normal(1145, 8))
    by = PEOPLE[(week + 1) % 3]
    slower = rng.normal(1, 0.04)
    places = [renamed(place, place.column, lag_min=place.lag_min * slower) for place in (CORE_1, CORE_2)] + [ROOM]
    run = Run(name, "One of a year.", int(rng.integers(1, 2**31)), start, steam_off + 200, 4, "room", "atmospheric_steam", by,
              "", 480, places, room_steam(hot, steam_off, rng.normal(95.9, 0.1)), None,
              [("steam_on", STEAM_ON_MIN, by, ""), ("steam_off", steam_off, by, ""), ("opened", steam_off + 190, by, "")], made_by=MADE_BY)
    return YearRun(run, week, 478)


def straw(week, name, start, rng):
    by = PEOPLE[(week + 2) % 3]
    full = round(rng.normal(240, 6))
    run = Run(name, "One of a year.", int(rng.integers(1, 2**31)), start, 720, 4, "straw_box", "pasteurize_straw", by, "", 40,
              [STRAW_1, STRAW_2, BOX], straw_steam(full, 215, 520, rng.normal(85, 0.5), 6), None,
              [("steam_on", STEAM_ON_MIN, by, ""), ("steam_off", 520, by, ""), ("opened", 710, by, "")], bag="sleeve", made_by=MADE_BY)
    return YearRun(run, week, 38)


def year_runs(weeks=WEEKS, seed=2025):
    """120 runs in the order of their time."""
    rng = np.random.default_rng(seed)
    runs = []
    for week in range(weeks):
        runs.append(autoclave(week, f"autoclave-{week + 1:02d}a", night(week, 0, 18, 30), rng))
        if week % 4 != 3:
            runs.append(room(week, f"room-{week + 1:02d}", night(week, 1, 15), rng))
        if week % 2 == 0:
            runs.append(straw(week, f"straw-{week + 1:02d}", night(week, 3, 6, 30), rng))
        if week % 4 == 1:
            runs.append(autoclave(week, f"autoclave-{week + 1:02d}b", night(week, 4, 18, 30), rng))
    return runs


def spawn_lot(made):
    return "S20-bad" if made.week == BAD_SPAWN_WEEK else f"S{made.week // 4 + 1:02d}"


def bad_bags(made, rng):
    """(day, bad, kind, place) of each look at the bags."""
    looks = [(7, rng.binomial(made.bags, 0.004), "green mould", "filter"),
             (14, rng.binomial(made.bags, 0.010), "green mould", "inoculation")]
    if made.week == BAD_SPAWN_WEEK:
        looks[0] = (7, rng.binomial(made.bags, 0.18), "green mould", "inoculation")
    if made.is_short:
        looks[0] = (7, rng.binomial(made.bags, 0.55), "wet spot", "everywhere")
    elif made.week >= CLOSER_FROM_WEEK and made.run.vessel == "autoclave":
        looks[1] = (14, rng.binomial(made.bags, 0.03), "wet spot", "centre")
    return [(day, int(bad), kind, place) for day, bad, kind, place in looks]
