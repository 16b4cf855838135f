"""Seeded runs without a fault: treatments, vessels, intervals, masses, hot starts, boilers that cycle."""

import datetime

import numpy as np

from made.load import Load, Probe, make
from made.water import boiling_degC, standard_air_kPa

# From where a bag is hot, degC, and the minutes asked.
STRAW = {"pasteurize_straw": (71.0, 120), "pasteurize_straw_aerated": (65.0, 60), "pasteurize_straw_cool": (60.0, 360)}
TREATMENTS = 3 * ["sterilize", "atmospheric_steam"] + 2 * ["atmospheric_steam_hot"] + [*STRAW]


def bags(rng, mass_kg, offset_K, straw, start_degC):
    """One to four probes in bags and one or two in the steam; the lag goes with mass^(2/3) (conduction)."""
    lag_min = (60 if straw else 62) * (mass_kg / 2.3) ** (2 / 3) * rng.uniform(0.8, 1.2)
    probes = []
    for number in range(1, int(rng.integers(2, 5))):
        probes.append(Probe(f"core_{number}", f"Core {number}", lag_min * rng.uniform(0.85, 1.18),
                            rng.uniform(0.1, 0.4), start_degC + rng.uniform(-0.5, 0.5),
                            rng.uniform(-offset_K, offset_K), 0.1))
    for number in range(1, int(rng.integers(2, 4))):
        probes.append(Probe(f"steam_{number}", f"Steam {number}", 0.0, rng.uniform(0.0, 0.1),
                            offset_K=rng.uniform(-offset_K, offset_K), noise_K=0.1))
    return probes


def clean_load(rng, offset_K=0.2, treatments=TREATMENTS):
    treatment = treatments[int(rng.integers(len(treatments)))]
    straw, rated = treatment in STRAW, treatment == "sterilize"
    altitude_m = rng.uniform(0, 2200)
    air_kPa = round(standard_air_kPa(altitude_m) + rng.uniform(-1.2, 1.2), 2)
    boils = boiling_degC(air_kPa)
    mass_kg = rng.uniform(6, 12) if straw else rng.uniform(1.0, 4.5)
    hot_vessel = rng.random() < 0.25
    load = Load(treatment, rated, altitude_m, air_kPa, top_degC=0, probes=[], mass_kg=mass_kg,
                moisture=0.72 if straw else rng.uniform(0.56, 0.65))
    load.probes = bags(rng, 0.2 * mass_kg if straw else mass_kg, offset_K, straw, rng.uniform(8, 30))
    load.steam_start_degC = rng.uniform(40, 65) if hot_vessel else rng.uniform(8, 30)
    load.heat_up_min = rng.uniform(35, 70) if hot_vessel else rng.uniform(60, 150)
    load.cycle_K, load.cycle_min = rng.uniform(0.1, 1.0), rng.uniform(4, 15)
    load.saw = bool(rng.random() < 0.4)
    load.cool_min = rng.uniform(120, 240)
    load.start = datetime.datetime(2026, 2, 3) + datetime.timedelta(minutes=int(rng.integers(0, 80 * 1440)))
    if rated:
        load.top_degC, load.wanted_min = rng.uniform(121.2, 122.5), rng.uniform(42, 60)
        load.interval_s = float(rng.choice([10, 30, 60, 120]))
        load.pressure = offset_K <= 0.2 and rng.random() < 0.5
        load.gauge_gain = rng.uniform(0.985, 1.015)
        load.cool_min = rng.uniform(60, 100)
    elif straw:
        load.hot_degC, wanted_min = STRAW[treatment]
        load.top_degC = load.hot_degC + rng.uniform(4.5, 5.5)
        load.wanted_min = wanted_min + rng.uniform(60, 120)
        load.interval_s = float(rng.choice([10, 30, 60, 120, 300]))
    else:
        # A room with an open vent never quite boils: a little air stays in it.
        load.top_degC = boils - rng.uniform(0.1, 0.6)
        load.wanted_min = rng.uniform(17.2, 18.5) * 60
        load.hot_degC = 88.0 if treatment == "atmospheric_steam" else min(95.0, boils - 2)
        load.cycle_K = min(load.cycle_K, 0.6)
        load.interval_s = float(rng.choice([60, 120, 300]))
    return load


def clean_runs(seed, count):
    """Clean runs with the steam probe within 0.2 K, barometer given."""
    for number in range(count):
        rng = np.random.default_rng([seed, 1, number])
        yield f"clean-{number:03d}", make(clean_load(rng), rng), rng


def offset_runs(seed, count):
    """Clean runs whose probes are off by up to 1.5 K, as thermocouples nobody checked are."""
    kinds = [t for t in TREATMENTS if t != "atmospheric_steam_hot"]  # such probes cannot prove that one
    for number in range(count):
        rng = np.random.default_rng([seed, 2, number])
        load = clean_load(rng, 1.5, kinds)
        for probe in load.probes:
            probe.kind = "tc-k2"
        yield f"offset-{number:02d}", make(load, rng), rng
