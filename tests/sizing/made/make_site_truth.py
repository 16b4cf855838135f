#!/usr/bin/python3
"""Makes the sites that plans are tested with: steam, vessel and bags as somebody described them, and as they are.

usage: make_site_truth.py TABLE.csv [SEED...] [--traces FOLDER] [--until MINUTES.csv]

Without seeds 1 to 100, as the table in the tests holds them; each site depends on its seed and mode alone. --traces
also writes for each site the log that two probes and one in the steam would give, without noise, lasting to
t_needed_min or to what MINUTES.csv says (columns seed, mode, until_min). The columns are described at the head of the
table.
"""
import argparse
import csv
import datetime
import os
import pathlib
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")  # small matrices; other processes want the other core
sys.dont_write_bytecode = True
import numpy as np  # noqa: E402
from site_truth import (BAGS_J, GIVEN_J, LOST_J, VAPOUR_KG, HeatEarned, Sites, first_time_s,  # noqa: E402
                        lethality_reaches_s, standard_air_Pa, steam, water_J_per_kg)
from bag_truth import Bags, bulk, heat_capacity_line  # noqa: E402
from made_table import maybe, write  # noqa: E402
from wet_air import latent_J_per_kg  # noqa: E402

SEEDS, EXACT_TO_SEED = range(1, 101), 10
MODES = ("table", "learned", "exact")
SIDES = np.array([0.13, 0.15, 0.20])  # only their ratios count
HOLD_DEGC, CORE_DEGC, GIVE_UP_MIN = 121.1, 118.0, 1500
F_MIN, REFERENCE_DEGC, Z_K, COUNTS_FROM_DEGC = 15.0, 121.1, 10.0, 110.0
METAL_J_PER_KGK, PURGE_VOLUMES, LEAST_AIR_SHARE = 490.0, 3.0, 0.10
POWER_SD, LOSS_SD, METAL_SD, DESCRIBED_SD = 0.10, 0.30, 0.10, 0.03
SITE_GRID = {"intervals": 12, "tolerance_K": 0.02}
MULTIPLIERS = ("times_k0", "times_f", "times_h")

# What is known of a kind of bag beforehand: standard deviations of the logarithms of the multipliers on base
# conductivity, vapour and film; correlations of the first with the second, first with third, second with third; spread
# of bags and its degrees of freedom. LEARNED: printed by make_learned_runs.py.
TABLES = {"ln_sd": (0.25, 0.6, 0.6), "correlation": (0.0, 0.0, 0.0), "spread": 0.12, "spread_freedom": 10}
LEARNED = {"ln_sd": (0.0267801, 0.0285562, 0.0286892), "correlation": (0.914013, 0.927477, 0.736515),
           "spread": 0.129263, "spread_freedom": 29}

SAYS = f"""
Invented data. Made by make_site_truth.py, by site_truth.py: no such site was ever measured. No noise is added.
One line a site and mode. A vessel, rated for more than it needs, and N equal bags with steam on all faces; all of it
is at start_degC when the steam comes on. The equations stand at the head of site_truth.py. Up to the boiling point at
air_Pa the vent is open; then the vessel is shut, and held at hold_degC once it is there. Times count from steam on.
seed              of the site; what is described follows from it alone
mode              table: the truth is drawn about the tables' figures; learned: about multipliers of 1 with what a
                  farm has learned (covariance and spread of ten runs of an invented farm with two probes each, made
                  by make_learned_runs.py and learned from by the program); exact: the truth is as described
What was described:
mass_kg, side_1_m, side_2_m, side_3_m, moisture, start_degC   a bag: a brick; moisture on wet basis; breathing
bags              how many, N
altitude_m, air_Pa, room_degC   air outside: absolute pressure by ISO 2533:1975; temperature about the vessel
volume_m3         of the vessel inside; all of it is filled and purged, nothing is taken off for the bags
wall              insulated or bare
wall_m2, loss_W_per_m2K   outer surface and heat through it
metal_kg, metal_J_per_kgK
feed_degC         of the boiler's feed water
purge_volumes     of steam of the boiling point that leave with the air
power_W           heat that goes into the feed water
hold_degC
come_up_h         that it would take by one lumped temperature without filling and purging; power follows from it
What is known of the bags beforehand, of logarithms of multipliers on base conductivity (k0), vapour (f), film (h):
k0_sd, f_sd, h_sd standard deviations; means are 0
k0_with_f, k0_with_h, f_with_h   correlations
spread, spread_freedom   sd of psi, the speed of a bag: exp(psi) is a common factor on all three; degrees of freedom
The same for every row, each the sd of a logarithm: power {POWER_SD}, loss {LOSS_SD}, metal {METAL_SD},
                  description of the bag {DESCRIBED_SD} (one common factor on all three multipliers)
The truth:
true_power_W, true_loss_W_per_K, true_metal_kg
times_k0, times_f, times_h   of the kind, error of its description included; the N bags take heat by these
psi_slowest       the smallest of all N
psi_1, psi_2      of the two bags that are probed, any two of the N
What comes of it, minutes:
boils_min         the vessel is at the boiling point and is shut
come_up_min       it is at hold_degC; empty where its losses keep it below for {GIVE_UP_MIN} min
slowest_{CORE_DEGC:.0f}_min   the slowest bag's core is at {CORE_DEGC:g} degC; empty, as what follows, where it is not
                  within {GIVE_UP_MIN} min
t_needed_min      its core has {F_MIN:g} min of F ({REFERENCE_DEGC:g} degC, z {Z_K:g} K),
                  counting from {COUNTS_FROM_DEGC:g} degC only
probed_1_{CORE_DEGC:.0f}_min, probed_2_{CORE_DEGC:.0f}_min   the probed bags' cores are at {CORE_DEGC:g} degC
From steam on to come_up_min:
given_MJ          heat of the steam at the vessel's temperature: less than what went into the feed water
bags_MJ, lost_MJ  of it into all N bags, and through the wall; the rest is metal, air, filling and purging
steam_kg          that the boiler made
"""


def described(seed):
    """Figures of a site as its row has them."""
    rng = np.random.default_rng([60, seed])
    while True:
        mass_kg, density, moisture = round(rng.uniform(0.9, 4.5), 2), rng.uniform(480, 640), round(
            rng.uniform(0.52, 0.66), 3)
        sides_m = np.round(SIDES * (mass_kg / density / np.prod(SIDES))**(1 / 3), 4)
        site = {"mass_kg": mass_kg, **{f"side_{i + 1}_m": float(side) for i, side in enumerate(sides_m)},
                "moisture": moisture, "start_degC": round(rng.uniform(5, 25), 1)}
        if bulk(bags_of(site, np.ones((3, 1))))[2][0] > LEAST_AIR_SHARE:
            break
    site["bags"] = int(rng.integers(12, 241))
    site["altitude_m"] = round(rng.uniform(0, 2500))
    site["air_Pa"] = round(float(standard_air_Pa(site["altitude_m"])))
    site["room_degC"] = round(rng.uniform(10, 25), 1)
    site["volume_m3"] = round(site["bags"] * float(np.prod(sides_m)) / rng.uniform(0.25, 0.45), 4)
    is_bare = bool(rng.integers(4) == 0)
    site["wall"] = "bare" if is_bare else "insulated"
    site["wall_m2"] = round(rng.uniform(1.15, 1.6) * 6 * site["volume_m3"]**(2 / 3), 3)
    site["loss_W_per_m2K"] = round(rng.uniform(10, 13) if is_bare else rng.uniform(1, 2.5), 2)
    site["metal_kg"] = round(rng.uniform(40, 90) * site["wall_m2"], 1)
    site["metal_J_per_kgK"] = METAL_J_PER_KGK
    site["feed_degC"] = round(rng.uniform(10, 25), 1)
    site["purge_volumes"] = PURGE_VOLUMES
    come_up_h = round(rng.uniform(0.6, 3), 2)
    site["power_W"] = round(power_W(site, come_up_h))
    return {**site, "hold_degC": HOLD_DEGC, "come_up_h": come_up_h}


def power_W(site, come_up_h):
    """With which metal and bags of one temperature come up so fast, the steam's heat being all along what it is at
    hold_degC: t = -(C/UA) ln(1 - UA (hold - start)/(heat - UA (start - room)))."""
    a, b = heat_capacity_line(bags_of(site, np.ones((3, 1))))
    from_degC, to_degC = site["start_degC"], HOLD_DEGC
    of_bags = site["bags"] * site["mass_kg"] * float(a[0] + b[0] * (from_degC + to_degC) / 2)
    capacity = of_bags + site["metal_kg"] * METAL_J_PER_KGK
    loss = site["wall_m2"] * site["loss_W_per_m2K"]
    left = np.exp(-3600 * come_up_h * loss / capacity)
    heat_W = loss * (from_degC - site["room_degC"] + (to_degC - from_degC) / (1 - left))
    latent = latent_J_per_kg(to_degC)
    return float(heat_W * (latent + water_J_per_kg(to_degC) - water_J_per_kg(site["feed_degC"])) / latent)


def bags_of(site, times):
    """Bags of a site's kind, one for each column of multipliers."""
    one = np.ones(times.shape[1])
    sides_m = np.array([site[f"side_{i + 1}_m"] for i in range(3)])
    return Bags(mass_kg=site["mass_kg"] * one, sides_m=sides_m[:, None] * one, moisture=site["moisture"] * one,
                start_degC=site.get("start_degC", 20.0) * one, **dict(zip(MULTIPLIERS, times)))


def covariance(known):
    k0_f, k0_h, f_h = known["correlation"]
    sd = np.array(known["ln_sd"])
    return np.array([[1, k0_f, k0_h], [k0_f, 1, f_h], [k0_h, f_h, 1]]) * sd[:, None] * sd


def drawn(site, seed, mode):
    """The truth of a site as its row has it, and what was known beforehand."""
    known = LEARNED if mode == "learned" else TABLES
    rng = np.random.default_rng([61, seed, MODES.index(mode)])
    if mode == "exact":
        factor, times, psi = np.ones(3), np.ones(3), np.zeros(site["bags"])
    else:
        factor = np.exp(rng.normal(0, (POWER_SD, LOSS_SD, METAL_SD)))
        ln = np.linalg.cholesky(covariance(known)) @ rng.normal(0, 1, 3) + rng.normal(0, DESCRIBED_SD)
        times = np.exp(ln)
        psi = np.round(rng.normal(0, known["spread"], site["bags"]), 4)
    # Any two will do for a random draw; each psi is drawn alike.
    return {**dict(zip(("k0_sd", "f_sd", "h_sd"), known["ln_sd"])),
            **dict(zip(("k0_with_f", "k0_with_h", "f_with_h"), known["correlation"])),
            "spread": known["spread"], "spread_freedom": known["spread_freedom"],
            "true_power_W": round(site["power_W"] * factor[0]),
            "true_loss_W_per_K": round(site["wall_m2"] * site["loss_W_per_m2K"] * factor[1], 3),
            "true_metal_kg": round(site["metal_kg"] * factor[2], 1),
            **{name: round(float(value), 4) for name, value in zip(MULTIPLIERS, times)},
            "psi_slowest": float(psi.min()), "psi_1": float(psi[0]), "psi_2": float(psi[1])}


WATCHED = ("mean", "psi_slowest", "psi_1", "psi_2")  # bags that are followed; the first one takes heat for all


def as_they_are(site, truths):
    """(sites, bags, site of each bag) for some draws of one site."""
    one = np.ones(len(truths))
    of_truth = {name: np.array([truth[name] for truth in truths], dtype=float) for name in
                ("true_power_W", "true_loss_W_per_K", "true_metal_kg")}
    sites = Sites(power_W=of_truth["true_power_W"], feed_degC=site["feed_degC"] * one,
                  loss_W_per_K=of_truth["true_loss_W_per_K"], room_degC=site["room_degC"] * one,
                  metal_J_per_K=of_truth["true_metal_kg"] * site["metal_J_per_kgK"], space_m3=site["volume_m3"] * one,
                  air_Pa=site["air_Pa"] * one, purge_volumes=site["purge_volumes"] * one,
                  start_degC=site["start_degC"] * one, hold_degC=site["hold_degC"] * one, bags=site["bags"] * one)
    times = np.array([[truth[name] * np.exp(truth.get(watched, 0.0)) for name in MULTIPLIERS]
                      for truth in truths for watched in WATCHED]).T
    return sites, bags_of(site, times), np.repeat(np.arange(len(truths)), len(WATCHED))


def solved(site, truths, until_min=None, **grid):
    """The vessel and the watched bags of some draws of one site; without until_min until all is earned."""
    sites, bags, of_site = as_they_are(site, truths)
    first = np.arange(0, len(of_site), len(WATCHED))
    enough = HeatEarned(first + WATCHED.index("psi_slowest"), F_MIN, REFERENCE_DEGC, Z_K, COUNTS_FROM_DEGC, CORE_DEGC)
    return steam(sites, bags, of_site, first, 60.0 * (until_min or GIVE_UP_MIN),
                 is_enough=None if until_min else enough, **{**SITE_GRID, **grid})


def outcome(found, draw):
    """What comes of one of the draws that were solved together."""
    bag = {name: len(WATCHED) * draw + i for i, name in enumerate(WATCHED)}
    boils_s, arrives_s = (value[draw] if np.isfinite(value[draw]) else np.nan
                          for value in (found.boils_s, found.arrives_s))
    needed_s = lethality_reaches_s(found, bag["psi_slowest"], F_MIN, REFERENCE_DEGC, Z_K, COUNTS_FROM_DEGC)
    core = {name: first_time_s(found, "core", bag[name], CORE_DEGC) for name in WATCHED}
    until = {name: np.nan if np.isnan(arrives_s) else np.interp(arrives_s, found.time_s, found.vessel[:, row, draw])
             for name, row in (("given", GIVEN_J), ("bags", BAGS_J), ("lost", LOST_J), ("steam", VAPOUR_KG))}
    return {"boils_min": maybe(boils_s / 60), "come_up_min": maybe(arrives_s / 60),
            f"slowest_{CORE_DEGC:.0f}_min": maybe(core["psi_slowest"] / 60), "t_needed_min": maybe(needed_s / 60),
            **{f"probed_{i}_{CORE_DEGC:.0f}_min": maybe(core[f"psi_{i}"] / 60) for i in (1, 2)},
            **{f"{name}_MJ": maybe(until[name] / 1e6, 3) for name in ("given", "bags", "lost")},
            "steam_kg": maybe(until["steam"], 2)}


def sites_of(seed):
    """Rows of a seed."""
    site = described(seed)
    modes = MODES if seed <= EXACT_TO_SEED else MODES[:2]
    truths = [drawn(site, seed, mode) for mode in modes]
    found = solved(site, truths)
    return [{"seed": seed, "mode": mode, **site, **truth, **outcome(found, draw)}
            for draw, (mode, truth) in enumerate(zip(modes, truths))]


def write_traces(seed, mode, until_min, folder):
    """The log of one site as its two probes and one in the steam would write it, each minute."""
    site = described(seed)
    found = solved(site, [drawn(site, seed, mode)], until_min)
    minutes = np.arange(0, int(until_min) + 1)
    cores = found.values(60.0 * minutes, "core")[:, [WATCHED.index("psi_1"), WATCHED.index("psi_2")]]
    readings = np.column_stack([cores, found.values(60.0 * minutes, "vessel")[:, 0]])
    begin = datetime.datetime(2026, 3, 1, 18)
    with open(pathlib.Path(folder) / f"{mode}-{seed:03}.csv", "w", encoding="utf-8", newline="\n") as out:
        out.write("time,Core 1 (C),Core 2 (C),Steam (C)\n")
        for minute, row in zip(minutes, readings):
            out.write((begin + datetime.timedelta(minutes=int(minute))).isoformat() + ","
                      + ",".join(f"{value:.2f}" for value in row) + "\n")


def minutes_of(path):
    with open(path, newline="") as lines:
        return {(int(row["seed"]), row["mode"]): float(row["until_min"]) for row in csv.DictReader(lines)}


def main():
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("table")
    reader.add_argument("seeds", nargs="*", type=int)
    reader.add_argument("--traces")
    reader.add_argument("--until")
    asked = reader.parse_args()
    begun = time.time()
    rows = [row for seed in asked.seeds or SEEDS for row in sites_of(seed)]
    write(asked.table, SAYS, rows)
    if asked.traces:
        lasting = minutes_of(asked.until) if asked.until else {}
        pathlib.Path(asked.traces).mkdir(parents=True, exist_ok=True)
        for row in rows:
            until_min = lasting.get((row["seed"], row["mode"]), row["t_needed_min"])
            if until_min != "":
                write_traces(row["seed"], row["mode"], np.ceil(float(until_min)), asked.traces)
    print(f"{len(rows)} sites, {time.time() - begun:.0f} s, {time.process_time():.0f} s of computing")
    return 0


if __name__ == "__main__":
    sys.exit(main())
