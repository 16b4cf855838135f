#!/usr/bin/python3
"""Holds the independent vessel with its bags against closed forms, and shows how fine its grid and steps are.

usage: verify_site_truth.py        minutes of computing; ends with status 1 where anything is off
"""
import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")  # small matrices
sys.dont_write_bytecode = True
import numpy as np  # noqa: E402
import make_site_truth  # noqa: E402
import site_truth  # noqa: E402
from make_site_truth import as_they_are, described, drawn, outcome, solved  # noqa: E402
from site_truth import (BAGS_J, GIVEN_J, KEPT_BACK_J, LOST_J, Sites, first_time_s, standard_air_Pa, steam,  # noqa: E402
                        steam_kg_per_m3, water_J_per_kg)
from bag_truth import Bags, heat, heat_capacity_line, same_bag  # noqa: E402
from wet_air import latent_J_per_kg, saturation_degC, saturation_Pa, saturation_slope_Pa_per_K  # noqa: E402

FAILED = []
FINE = {"intervals": 18, "tolerance_K": 0.005}


def check(name, found, demanded, within):
    ok = bool(abs(found - demanded) <= within)
    print(f"{'ok ' if ok else 'OFF'} {name}: {found:.10g}, demanded {demanded:.10g} within {within:g}")
    if not ok:
        FAILED.append(name)


def water():
    # IAPWS-IF97; agree with any steam table.
    for degC, liquid_kJ, steam_m3 in ((60, 251.15, 7.6677), (80, 334.95, 3.4053), (100, 419.10, 1.6719),
                                      (110, 461.36, 1.2094), (121.1, 508.46, 0.8628), (130, 546.39, 0.6681)):
        check(f"water at {degC} degC, kJ/kg", water_J_per_kg(degC) / 1e3, liquid_kJ, 0.001 * liquid_kJ)
        check(f"saturated steam at {degC} degC, m3/kg", 1 / steam_kg_per_m3(degC), steam_m3, 0.001 * steam_m3)
    # Heat to make steam at 1 atm from feed water (from the same equations), and the standard atmosphere.
    for feed_degC, kJ in ((10, 2633), (20, 2592), (60, 2424)):
        made = latent_J_per_kg(99.974) + water_J_per_kg(99.974) - water_J_per_kg(feed_degC)
        check(f"steam at 1 atm from feed water of {feed_degC} degC, kJ/kg", made / 1e3, kJ, 0.001 * kJ)
    # Pressures and geopotential heights by the International Civil Aviation Organization, 1964 (seen in copies).
    for metres, hPa in ((111, 1000), (988, 900), (1949, 800), (3012, 700)):
        above_sea_m = 6356766 * metres / (6356766 - metres)
        check(f"air at {above_sea_m:.0f} m, hPa", standard_air_Pa(above_sea_m) / 100, hPa, 0.1)


def one_site(**given):
    figures = dict(power_W=20e3, feed_degC=20.0, loss_W_per_K=9.0, room_degC=20.0, metal_J_per_K=122.5e3, space_m3=1e-9,
                   air_Pa=103e3, purge_volumes=0.0, start_degC=20.0, hold_degC=100.0, bags=0.0)
    constant_heat = given.pop("constant_heat", False)
    return Sites(**{name: np.array([float(value)]) for name, value in {**figures, **given}.items()},
                 constant_heat=constant_heat)


def conducting_bags(count=1, capacity=None, **more):
    """They follow the steam within a tenth of a kelvin."""
    return same_bag(count, constant_W_per_mK=400.0, constant_J_per_kgK=capacity, film_W_per_m2K=20000.0, **more)


def alone(sites, until_s, bags=None, **more):
    bags = same_bag(1) if bags is None else bags
    return steam(sites, bags, np.zeros(1, int), np.zeros(1, int), until_s, **{"intervals": 6, **more})


def lumped():
    """No steam fills anything and the steam's heat is constant: t = -(C/UA) ln(1 - UA dT/heat)."""
    # 500 kg of substrate in 217.4 bags that conduct perfectly, 122.8 MJ; 250 kg of steel; by hand.
    c = 122.8e6 / 500 / 80
    for what, wall_W_per_K, steel, hours in (("bare", 9 * 12.0, 9.8e6 / 80, ((20e3, 2.41), (30e3, 1.45), (60e3, 0.66))),
                                             ("insulated", 9.0, 9.8e6 / 80, ((20e3, 1.88), (60e3, 0.62)))):
        for power, hour in hours:
            site = one_site(power_W=power, loss_W_per_K=wall_W_per_K, metal_J_per_K=steel, bags=500 / 2.3,
                            constant_heat=True)
            found = alone(site, 4 * 3600, conducting_bags(capacity=c), is_enough=lambda t, core, phase: phase[0] == 2)
            capacity = steel + 500 * c
            exact_s = -capacity / wall_W_per_K * np.log(1 - wall_W_per_K * 80 / power)
            check(f"lumped, {what}, {power / 1e3:g} kW, h, against the rounded figure", exact_s / 3600, hour, 0.0051)
            check("  perfectly conducting bags, s", found.arrives_s[0], exact_s, 0.002 * exact_s)


def published_batch():
    """Coulson and Richardson, Chemical Engineering vol. 1, ex. 9.25: 1000 kg of 4.0 kJ/kgK, coil of 600 x 0.5 W/K at
    393 K, loss 10 x 6 W/K to 293 K. The coil's heat falls with T as a loss does: 30 kW and 360 W/K together."""
    site = one_site(power_W=300 * 100.0, loss_W_per_K=360.0, metal_J_per_K=4e6, hold_degC=140.0, air_Pa=400e3,
                    constant_heat=True)
    found = alone(site, 200 * 3600)
    check("batch with losses: 293 to 353 K, s (printed with rounding 14155)",
          first_time_s(found, "vessel", 0, 80.0), 14144, 5)
    check("the same: highest, K", found.vessel_degC[-1, 0] + 273.0, 376.33, 0.01)  # the book takes 273 for 0 degC
    check("the same: it never arrives", np.isfinite(found.arrives_s[0]), 0, 0)


def capacity_by_hand(site, seed_bags, bags_too=True):
    """C(T) of the head of site_truth.py, from its words, in a function of T for one vented or shut site."""
    a, b = heat_capacity_line(seed_bags)
    boils = float(saturation_degC(site.air_Pa[0]))
    volume, outside, start = site.space_m3[0], site.air_Pa[0], site.start_degC[0]

    def air_kg(degC):
        return (outside - saturation_Pa(degC)) * volume / (287.05287 * (degC + 273.15))

    def slope(function, degC):
        return (function(degC + 0.005) - function(degC - 0.005)) / 0.01

    def capacity(degC, vented):
        latent = latent_J_per_kg(degC)
        out = site.metal_J_per_K[0] + latent * volume * slope(steam_kg_per_m3, degC)
        if bags_too:
            out = out + site.bags[0] * seed_bags.mass_kg[0] * (a[0] + b[0] * degC)
        if not vented:
            return out - volume * saturation_slope_Pa_per_K(degC)
        leaves = -slope(air_kg, degC) / air_kg(start)
        purge = latent * site.purge_volumes[0] * volume * steam_kg_per_m3(boils) * leaves
        return out + 1005 * air_kg(degC) + purge

    return capacity, boils


def integral(function, low, high):
    x, w = np.polynomial.legendre.leggauss(40)
    return (high - low) / 2 * np.sum(w * function((high + low) / 2 + (high - low) / 2 * x))


def lumped_with_steam():
    """All terms of the vessel, bags that conduct perfectly: t = integral of C dT / (heat - loss)."""
    for seed in (1, 2, 3):
        site = described(seed)
        sites, _, _ = as_they_are(site, [drawn(site, seed, "table")])
        sides = np.array([site[f"side_{i + 1}_m"] for i in range(3)])
        bags = same_bag(1, mass_kg=site["mass_kg"], sides_m=sides, moisture=site["moisture"],
                        start_degC=site["start_degC"], times_k0=2000.0, times_h=400.0)
        found = alone(sites, 86400, bags, is_enough=lambda t, core, phase: phase[0] == 2, longest_step_s=30.0)
        capacity, boils = capacity_by_hand(sites, bags)

        def needs(degC, vented):
            latent = latent_J_per_kg(degC)
            made = latent + water_J_per_kg(degC) - water_J_per_kg(site["feed_degC"])
            return capacity(degC, vented) / (sites.power_W[0] * latent / made
                                             - sites.loss_W_per_K[0] * (degC - site["room_degC"]))

        boils_s = integral(lambda degC: needs(degC, True), site["start_degC"], boils)
        arrives_s = boils_s + integral(lambda degC: needs(degC, False), boils, 121.1)
        check(f"seed {seed}, bags conduct perfectly: boils, s", found.boils_s[0], boils_s, 0.002 * boils_s)
        check(f"seed {seed}, bags conduct perfectly: arrives, s", found.arrives_s[0], arrives_s, 0.002 * arrives_s)


def slab_in_a_bath(biot, ratio, fourier):
    """(slab's middle, bath) of a slab that was 0 in a well-stirred bath that was 1, no heat from outside; ratio: heat
    capacity of the bath over the slab's. Exact series: Carslaw and Jaeger (1959) from memory, the film put in here.
    Modes cos(b x) in the slab and cos b - (b/Bi) sin b in the bath are orthogonal by heat capacity."""
    def miss(b):
        return np.sin(b) + ratio * b * (np.cos(b) - b / biot * np.sin(b))

    grid = np.linspace(1e-6, 200, 400001)
    values = miss(grid)
    middle, bath = ratio / (1 + ratio), ratio / (1 + ratio)
    for low, high in zip(grid[:-1][values[:-1] * values[1:] < 0], grid[1:][values[:-1] * values[1:] < 0]):
        for _ in range(60):
            b = (low + high) / 2
            low, high = (b, high) if miss(low) * miss(b) > 0 else (low, b)
        of_bath = np.cos(b) - b / biot * np.sin(b)
        norm = 0.5 + np.sin(2 * b) / (4 * b) + ratio * of_bath**2
        part = ratio * of_bath / norm * np.exp(-b * b * fourier)
        middle, bath = middle + part, bath + part * of_bath
    return middle, bath


def bath():
    """Vessel and bag together, no heat from outside: a wide slab, cold in a hot vessel, which cools by that."""
    k, c, half_m, density = 0.3, 3100.0, 0.05, 550.0
    wide_m = 4000.0  # so wide that its edges take nothing
    for film, ratio in ((50.0, 0.7), (400.0, 3.0)):
        one = np.ones(1)
        bags = Bags(mass_kg=density * 2 * half_m * wide_m**2 * one, moisture=0.62 * one, start_degC=20 * one,
                    sides_m=np.array([[2 * half_m], [wide_m], [wide_m]]), times_k0=one, times_f=one, times_h=one,
                    film_W_per_m2K=film, constant_W_per_mK=k, constant_J_per_kgK=c)
        site = one_site(power_W=0.0, loss_W_per_K=0.0, metal_J_per_K=ratio * bags.mass_kg[0] * c, start_degC=90.0,
                        hold_degC=120.0, bags=1.0, constant_heat=True)
        found = alone(site, 4 * 3600, bags, intervals=16, tolerance_K=0.002)
        diffusivity, worst = k / (density * c), 0.0
        for t in np.arange(900.0, 4 * 3600 + 1, 300.0):  # from Fourier number 0.06 on
            middle, vessel = slab_in_a_bath(film * half_m / k, ratio, diffusivity * t / half_m**2)
            worst = max(worst, abs(found.values(np.array([t]), "core")[0, 0] - 20 - 70 * middle),
                        abs(found.values(np.array([t]), "vessel")[0, 0] - 20 - 70 * vessel))
        check(f"slab in a bath {ratio:g} times its heat, film {film:g} W/m2K: worst, K", worst, 0.0, 0.02)


def energy(seed):
    """What the steam gives is what bags, wall, metal, air, fill and purge take; and the bag holds what it took."""
    site = described(seed)
    sites, bags, _ = as_they_are(site, [drawn(site, seed, "table")])
    found = solved(site, [drawn(site, seed, "table")], 400.0)
    given, lost, taken, kept_back = (found.vessel[-1, row, 0] for row in (GIVEN_J, LOST_J, BAGS_J, KEPT_BACK_J))
    capacity, boils = capacity_by_hand(sites, bags.part(np.array([0])), bags_too=False)
    top = found.vessel_degC[-1, 0]
    stored = integral(lambda t: capacity(t, True), site["start_degC"], min(boils, top))
    stored += integral(lambda t: capacity(t, False), boils, top) if top > boils else 0.0
    check(f"seed {seed}, 400 min: all that was taken over all that was given",
          (stored + lost + taken + kept_back) / given, 1.0, 5e-5)
    check(f"seed {seed}: heat in N bags over what they took", site["bags"] * found.content_J[-1, 0] / taken, 1.0, 1e-9)


class Followed:
    """A vessel that was solved, for heat(): one trace for all bags."""

    def __init__(self, found, air_Pa, count):
        self.found, self.air_Pa, self.count = found, air_Pa, count

    def degC(self, t_s):
        return np.repeat(self.found.values(np.array([t_s]), "vessel")[0], self.count)

    def pressure_Pa(self, t_s):
        return np.maximum(self.air_Pa, saturation_Pa(self.degC(t_s)))


def one_way(seed):
    """The bags heated again, by heat(), in the vessel's trace that came out."""
    site = described(seed)
    _, bags, _ = as_they_are(site, [drawn(site, seed, "table")])
    found = solved(site, [drawn(site, seed, "table")], 300.0)
    again = heat(bags, Followed(found, site["air_Pa"], len(bags)), 300 * 60, longest_step_s=30.0)
    at_s = np.arange(0, 300 * 60, 60.0)
    check(f"seed {seed}: cores in that steam by heat(), worst K",
          np.abs(again.values(at_s) - found.values(at_s, "core")).max(), 0.0, 0.1)
    check(f"seed {seed}: heat through the faces by heat(), over the vessel's account",
          again.entered_J[-1, 0] * site["bags"] / found.vessel[-1, BAGS_J, 0], 1.0, 5e-4)


def grids(seeds):
    """The table's grid and steps against a grid half as fine again with a quarter of the error a step."""
    worst = {}
    for seed in seeds:
        site = described(seed)
        truths = [drawn(site, seed, mode) for mode in ("table", "learned")]
        coarse, fine = solved(site, truths), solved(site, truths, **FINE)
        for draw in range(2):
            a, b = outcome(coarse, draw), outcome(fine, draw)
            for name in (name for name in a if a[name] != "" and b[name] != ""):
                off = abs(float(a[name]) / float(b[name]) - 1)
                worst[name] = max(worst.get(name, 0.0), off)
            if [name for name in a if (a[name] == "") != (b[name] == "")]:
                FAILED.append(f"seed {seed}: one grid arrives, the other does not")
    for name, off in worst.items():
        check(f"{len(seeds)} seeds, table's grid against 18 intervals, {name}: worst share off", off, 0.0, 0.003)


def variants(seeds):
    """Not checks: what other readings of the equations would make of come-up and t_needed."""
    plain = site_truth.Sites.stored_J_per_K

    def with_steam_heat(sites, t_degC, phase):
        hg_slope = (latent_J_per_kg(t_degC + 0.01) + water_J_per_kg(t_degC + 0.01) - latent_J_per_kg(t_degC - 0.01)
                    - water_J_per_kg(t_degC - 0.01)) / 0.02
        return plain(sites, t_degC, phase) + sites.space_m3 * steam_kg_per_m3(t_degC) * hg_slope

    def solved_minutes(site, truth):
        out = outcome(solved(site, [truth]), 0)
        return np.array([float(out["come_up_min"] or "nan"), float(out["t_needed_min"] or "nan")])

    print("\nother readings; come-up and t_needed over those of the table, least and most:")
    share = {"steam in the space takes up heat to stay saturated": [], "space without the bags' volume": []}
    for seed in seeds:
        site = described(seed)
        truth = drawn(site, seed, "table")
        before = solved_minutes(site, truth)
        site_truth.Sites.stored_J_per_K = with_steam_heat
        share["steam in the space takes up heat to stay saturated"].append(solved_minutes(site, truth) / before)
        site_truth.Sites.stored_J_per_K = plain
        bags_m3 = site["bags"] * np.prod([site[f"side_{i + 1}_m"] for i in range(3)])
        free = {**site, "volume_m3": site["volume_m3"] - bags_m3}
        share["space without the bags' volume"].append(solved_minutes(free, truth) / before)
    for name, values in share.items():
        low, high = np.nanmin(values, axis=0), np.nanmax(values, axis=0)
        print(f"  {name}: {low[0]:.4f} to {high[0]:.4f}, {low[1]:.4f} to {high[1]:.4f}")


def main():
    begun = time.time()
    water()
    lumped()
    published_batch()
    lumped_with_steam()
    bath()
    for seed in (1, 2, 3, 4):
        energy(seed)
    for seed in (2, 3):
        one_way(seed)
    grids((1, 2, 3, 5, 8, 13))
    variants(range(1, 9))
    print(f"{time.time() - begun:.0f} s")
    if FAILED:
        print("OFF: " + "; ".join(FAILED))
    return 1 if FAILED else 0


if __name__ == "__main__":
    sys.exit(main())
