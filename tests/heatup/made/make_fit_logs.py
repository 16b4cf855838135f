#!/usr/bin/python3
"""Makes the logs that a fit is tested with: a bag, a vessel, and what a probe in the middle would read, without noise.

usage: make_fit_logs.py TABLE.csv [SEED...]

Without seeds 1 to 120, as the table in the tests holds them. Each log depends on its seed alone. Odd seeds up to 100
are at 121.1 degC, even ones at 96 degC where that is the boiling point, seeds above 100 at 70 degC; those that five
divides, up to 100, also have a probe 2 cm beside the middle. The columns are described at the head of the table.
"""
import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")  # small matrices; other processes want the other core
sys.dont_write_bytecode = True
import numpy as np  # noqa: E402
from bag_truth import Bags, Vessels, base_W_per_mK, first_time_min, heat, vapour_share  # noqa: E402
from made_table import maybe, spaced, write  # noqa: E402
from wet_air import STANDARD_AIR_PA, saturation_Pa  # noqa: E402

SEEDS = range(1, 121)
LONGEST_LOG_MIN, ROW_MIN, GIVE_UP_MIN, HEAVIER = 720, 5, 2400, 1.5
PAUSE_DEGC = {121.1: 100.0, 96.0: 90.0, 70.0: 55.0}
VESSEL_FIGURES = ("from_degC", "to_degC", "come_up_min", "pause_degC", "pause_min", "last_min", "air_Pa")
PRIOR_SD = {"times_k0": 0.25, "times_f": 0.6, "times_h": 0.6}

SAYS = """
Invented data. Made by make_fit_logs.py, by bag_truth.py: no bag was ever measured here. No noise is added.
One line a log, each of one bag with a probe in its middle. Traces hold a value for each 5 minutes from steam-on, apart
by spaces: the value at that moment, not a mean. A reading each minute with noise of sd 0.3 K (core) and 0.1 K (vessel)
has, as mean of five, sd 0.134 K and 0.045 K.
seed              of the log; everything follows from it
mass_kg, side_1_m, side_2_m, side_3_m, moisture, start_degC   the bag, a brick; moisture on wet basis; breathing;
                  equal temperature all through at the start
times_k0, times_f, times_h    the truth: multipliers on base conductivity, vapour term, film of 50 W/m2K; their
                  logarithms are drawn with mean 0 and sd 0.25, 0.6, 0.6
k0_W_per_mK, f    base conductivity and factor of the vapour term of this bag, multipliers applied
kind, from_degC, to_degC, come_up_min, pause_degC, pause_min, last_min    the vessel, t in min from steam-on:
                  linear       from_degC evenly to to_degC in come_up_min, then to_degC
                  pause        from_degC evenly to pause_degC in come_up_min, pause_degC for pause_min, evenly to
                               to_degC in last_min, then to_degC
                  exponential  to_degC - (to_degC - from_degC) exp(-t / come_up_min)
air_Pa            outside; pressure in the vessel is the larger of this and saturation at the vessel's temperature
lag_min           min from steam-on until the core is within 2 K of to_degC; empty where the log ends sooner
heavier_lag_min   the same of a bag 1.5 times as heavy, of the same shape, density, moisture, start and multipliers in
                  the same vessel
vessel_degC, core_degC, core_off_degC   traces; the last, 2 cm from the middle along the shortest side, in some logs
"""


def drawn(seed):
    """(bags: the one of the log and the heavier one, their vessels)"""
    rng = np.random.default_rng([20, seed])
    to_degC = 70.0 if seed > 100 else 121.1 if seed % 2 else 96.0
    mass_kg, moisture = round(rng.uniform(1.8, 3.2), 2), round(rng.uniform(0.55, 0.68), 3)
    density = rng.uniform(480, 650)
    proportions = np.array([0.13, 0.15, 0.20]) * rng.uniform(0.92, 1.08, 3)
    sides_m = np.sort(np.round(proportions * (mass_kg / density / np.prod(proportions))**(1 / 3), 3))
    start_degC = round(rng.uniform(12, 28), 1)
    times = {name: round(float(np.exp(rng.normal(0, sd))), 4) for name, sd in PRIOR_SD.items()}
    kind = rng.choice(["exponential", "linear", "pause"])
    come_up_min = rng.integers(*{"exponential": (8, 31), "linear": (15, 91), "pause": (20, 61)}[kind])
    last_min = rng.integers(10, 31)
    pause_min = rng.integers(10, 41)
    if kind != "pause":
        pause_min = last_min = 0
    air_Pa = round(float(saturation_Pa(96.0))) if to_degC == 96.0 else STANDARD_AIR_PA
    two = np.ones(2)
    bags = Bags(mass_kg=np.array([mass_kg, HEAVIER * mass_kg]), moisture=moisture * two, start_degC=start_degC * two,
                sides_m=sides_m[:, None] * np.array([1, HEAVIER**(1 / 3)]),
                **{name: value * two for name, value in times.items()})
    vessels = Vessels(kind=np.full(2, kind), from_degC=start_degC * two, to_degC=to_degC * two,
                      come_up_min=come_up_min * two, pause_degC=PAUSE_DEGC[to_degC] * two, pause_min=pause_min * two,
                      last_min=last_min * two, air_Pa=air_Pa * two, off_min=np.inf * two, room_degC=20 * two,
                      cool_min=90 * two)
    return bags, vessels


def log_of(seed):
    bags, vessels = drawn(seed)
    to_degC = vessels.to_degC[0]
    found = heat(bags, vessels, GIVE_UP_MIN * 60.0, end_K=1.9)
    lag_min, heavier_lag_min = first_time_min(found, to_degC - 2)
    long_enough = LONGEST_LOG_MIN if np.isnan(lag_min) else min(LONGEST_LOG_MIN, lag_min + 15)
    last = int(np.ceil(min(long_enough, found.time_s[-1] / 60 - ROW_MIN) / ROW_MIN))
    rows_min = ROW_MIN * np.arange(last + 1)
    vessel = [vessels.degC(60.0 * t)[0] for t in rows_min]
    with_off = seed % 5 == 0 and seed <= 100
    return {"seed": seed, "mass_kg": bags.mass_kg[0],
            **{f"side_{axis + 1}_m": f"{bags.sides_m[axis, 0]:.3f}" for axis in range(3)},
            "moisture": bags.moisture[0], "start_degC": bags.start_degC[0],
            **{name: f"{getattr(bags, name)[0]:.4f}" for name in PRIOR_SD},
            "k0_W_per_mK": f"{base_W_per_mK(bags)[0]:.6f}", "f": f"{vapour_share(bags)[0]:.6f}",
            "kind": vessels.kind[0], **{name: f"{getattr(vessels, name)[0]:.6g}" for name in VESSEL_FIGURES},
            "lag_min": maybe(lag_min if lag_min <= rows_min[-1] else np.nan), "heavier_lag_min": maybe(heavier_lag_min),
            "vessel_degC": spaced(vessel, 3), "core_degC": spaced(found.values(60.0 * rows_min)[:, 0], 3),
            "core_off_degC": spaced(found.values(60.0 * rows_min, "off")[:, 0], 3) if with_off else ""}


def main():
    if len(sys.argv) < 2:
        print(__doc__, file=sys.stderr)
        return 64
    begun = time.time()
    rows = [log_of(seed) for seed in ([int(text) for text in sys.argv[2:]] or SEEDS)]
    write(sys.argv[1], SAYS, rows)
    print(f"{len(rows)} logs, {time.time() - begun:.0f} s, {time.process_time():.0f} s of computing")
    return 0


if __name__ == "__main__":
    sys.exit(main())
