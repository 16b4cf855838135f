#!/usr/bin/python3
"""Makes the loads that the bound for the slowest bag without a probe is tested with.

usage: make_load_truth.py TABLE.csv [SEED...]

Without seeds 1 to 220, as the table in the tests holds them: 200 loads with a spread of 0.12 and 20 with 0.18, in four
cases in turn. Each load depends on its seed alone. The columns are described at the head of the table.
"""
import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")  # small matrices; other processes want the other core
sys.dont_write_bytecode = True
import numpy as np  # noqa: E402
from bag_truth import Vessels, first_time_min, heat, lethality_min, same_bag  # noqa: E402
from made_table import maybe, spaced, write  # noqa: E402
from wet_air import STANDARD_AIR_PA, saturation_Pa  # noqa: E402

SEEDS, WIDER_FROM_SEED = range(1, 221), 201
BAGS, PROBED = 200, 5
CASES = ((121.1, 150, 121.1), (121.1, 210, 121.1), (121.1, 270, 121.1), (96.0, 600, 100.0))  # degC, hold min, F's degC
HALF_PRIOR_SD = {"times_k0": 0.125, "times_f": 0.3, "times_h": 0.3}
LOAD_GRID = {"intervals": 10, "tolerance_K": 0.02}
ROW_MIN, COOLING_MIN, GIVE_UP_MIN = 10, 60, 2400

SAYS = """
Invented data. Made by make_load_truth.py, by bag_truth.py: no load was ever measured here. No noise is added.
One line a load: 200 bags of one kind, 2.3 kg, 13 x 15 x 20 cm, 62 % moisture (wet basis), breathing, 5 of them drawn at
random and probed in the middle. Traces hold a value for each 10 minutes from steam-on until 60 min after steam-off,
apart by spaces: the value at that moment.
seed              of the load; everything follows from it
spread            sd of psi, the speed of a bag: exp(psi) is a common factor on base conductivity, vapour term and film
start_degC        of all bags, all through
times_k0, times_f, times_h    multipliers of the kind; their logarithms have mean 0 and sd 0.125, 0.3, 0.3, which is
                  half of what a fit takes beforehand, so that few kinds are far from what growers report
kind, from_degC, to_degC, come_up_min, pause_degC, pause_min, last_min    the vessel, t in min from steam-on:
                  linear       from_degC evenly to to_degC in come_up_min, then to_degC
                  pause        from_degC evenly to pause_degC in come_up_min, pause_degC for pause_min, evenly to
                               to_degC in last_min, then to_degC
arrival_min, hold_min, off_min    the vessel arrives, and steam is off off_min = arrival_min + hold_min after steam-on
room_degC, cool_min    after steam-off evenly to 100 degC in 30 min (not where to_degC is lower); from there
                  room_degC + (T - room_degC) exp(-t / cool_min)
air_Pa            outside; pressure in the vessel is the larger of this and saturation at the vessel's temperature.
                  While it falls nothing in a bag stays hotter than saturation at it
psi_probed        of the probed bags, in their order
psi_slowest       the smallest of the 195 bags without a probe
mean_psi          of all 200
slowest_lag_90_min, slowest_lag_min    min from steam-on until its core is at 90 degC and within 2 K of to_degC, had
                  steam stayed on
slowest_off_degC  its core at steam-off
reference_degC    of F; z is 10 K
F_slowest_min, F_probed_min    F of the cores from steam-on to steam-off, nothing after it
core_1_degC ... core_5_degC    traces of the probed bags
"""


def drawn(seed):
    """(bags: the probed ones, the slowest without a probe, and this one once more; vessels, the last never turned off;
    what the row says of them; reference of F)"""
    rng = np.random.default_rng([40, seed])
    to_degC, hold_min, reference_degC = CASES[(seed - 1) % len(CASES)]
    spread = 0.12 if seed < WIDER_FROM_SEED else 0.18
    start_degC = round(rng.uniform(15, 25), 1)
    times = {name: round(float(np.exp(rng.normal(0, sd))), 4) for name, sd in HALF_PRIOR_SD.items()}
    # Any five will do for a random draw; each psi is drawn alike.
    psi = np.round(rng.normal(0, spread, BAGS), 4)
    probed, slowest = psi[:PROBED], psi[PROBED:].min()
    kind = str(rng.choice(["linear", "pause"]))
    come_up_min = 10 * int(rng.integers(3, 10))
    pause_min, last_min = (10 * int(rng.integers(1, 4)) for _ in range(2))
    if kind == "linear":
        pause_min = last_min = 0
    count = PROBED + 2
    one = np.ones(count)
    factor = np.exp(np.concatenate([probed, [slowest, slowest]]))
    bags = same_bag(count, start_degC=start_degC, **{name: value * factor for name, value in times.items()})
    figures = {"kind": kind, "from_degC": start_degC, "to_degC": to_degC, "come_up_min": come_up_min,
               "pause_degC": 100.0 if to_degC > 100 else 90.0, "pause_min": pause_min, "last_min": last_min}
    arrival_min = come_up_min + (pause_min + last_min if kind == "pause" else 0)
    cooling = {"room_degC": round(rng.uniform(12, 25), 1), "cool_min": int(rng.integers(60, 181)),
               "air_Pa": round(STANDARD_AIR_PA) if to_degC > 100 else round(float(saturation_Pa(to_degC)))}
    off_min = np.full(count, float(arrival_min + hold_min))
    off_min[-1] = np.inf
    vessels = Vessels(off_min=off_min, kind=np.full(count, kind),
                      **{name: value * one for name, value in {**figures, **cooling}.items() if name != "kind"})
    row = {"seed": seed, "spread": spread, "start_degC": start_degC, **times, **figures, "arrival_min": arrival_min,
           "hold_min": hold_min, "off_min": arrival_min + hold_min, **cooling, "psi_probed": spaced(probed, 4),
           "psi_slowest": f"{slowest:.4f}", "mean_psi": f"{psi.mean():.4f}"}
    return bags, vessels, row, reference_degC


def load_of(seed):
    bags, vessels, row, reference_degC = drawn(seed)
    off_min = row["off_min"]
    found = heat(bags, vessels, 60.0 * (off_min + COOLING_MIN), **LOAD_GRID)
    levels = (90.0, row["to_degC"] - 2)
    lags_min = [first_time_min(found, level)[-1] for level in levels]
    if np.isnan(lags_min).any():
        last = np.array([PROBED + 1])
        longer = heat(bags.part(last), vessels.part(last), 60.0 * GIVE_UP_MIN, end_K=1.9, **LOAD_GRID)
        lags_min = [first_time_min(longer, level)[0] for level in levels]
    F_min = lethality_min(found, reference_degC, off_min)
    traces = found.values(60.0 * ROW_MIN * np.arange((off_min + COOLING_MIN) // ROW_MIN + 1))
    return {**row, "slowest_lag_90_min": maybe(lags_min[0]), "slowest_lag_min": maybe(lags_min[1]),
            "slowest_off_degC": f"{found.values(np.array([60.0 * off_min]))[0, PROBED]:.2f}",
            "reference_degC": reference_degC, "F_slowest_min": f"{F_min[PROBED]:.5g}",
            "F_probed_min": " ".join(f"{value:.5g}" for value in F_min[:PROBED]),
            **{f"core_{probe + 1}_degC": spaced(traces[:, probe], 2) for probe in range(PROBED)}}


def main():
    if len(sys.argv) < 2:
        print(__doc__, file=sys.stderr)
        return 64
    begun = time.time()
    rows = [load_of(seed) for seed in ([int(text) for text in sys.argv[2:]] or SEEDS)]
    write(sys.argv[1], SAYS, rows)
    print(f"{len(rows)} loads, {time.time() - begun:.0f} s, {time.process_time():.0f} s of computing")
    return 0


if __name__ == "__main__":
    sys.exit(main())
