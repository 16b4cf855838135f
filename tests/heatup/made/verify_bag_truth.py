#!/usr/bin/python3
"""Holds the independent bag against what is known, and prints the figures that the program's model must come to.

usage: verify_bag_truth.py        minutes of computing; ends with status 1 where anything is off
"""
import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")  # small matrices
sys.dont_write_bytecode = True
import numpy as np  # noqa: E402
from bag_truth import (Vessels, base_W_per_mK, first_time_min, heat, heat_capacity_line, lethality_min, same_bag,
                       shares_and_difference, steady_vessel, vapour_share)  # noqa: E402
from make_load_truth import LOAD_GRID  # noqa: E402
from wet_air import latent_J_per_kg, saturation_degC, saturation_Pa  # noqa: E402

FAILED = []


def check(name, found, demanded, within):
    ok = bool(abs(found - demanded) <= within)
    print(f"{'ok ' if ok else 'OFF'} {name}: {found:.10g}, demanded {demanded:.10g} within {within:g}")
    if not ok:
        FAILED.append(name)


def water():
    # IAPWS R7-97(2012), Tables 35 and 36.
    for kelvin, MPa in ((300.0, 0.353658941e-2), (500.0, 0.263889776e1), (600.0, 0.123443146e2)):
        check(f"saturation at {kelvin:g} K, MPa", saturation_Pa(kelvin - 273.15) / 1e6, MPa, 1e-8 * MPa)
    for MPa, kelvin in ((0.1, 0.372755919e3), (1.0, 0.453035632e3), (10.0, 0.584149488e3)):
        check(f"saturation at {MPa:g} MPa, K", saturation_degC(MPa * 1e6) + 273.15, kelvin, 1e-6)
    # Latent heat by IAPWS-IF97, kJ/kg; agrees with any steam table.
    for degC, kJ in ((60, 2357.69), (80, 2308.07), (100, 2256.47), (110, 2229.70), (121, 2199.35)):
        check(f"latent heat at {degC} degC, kJ/kg", latent_J_per_kg(degC) / 1e3, kJ, 0.002 * kJ)


def slab_left(biot, fourier, x):
    """What is left of the difference in a slab, exact series (standard textbooks, e.g. Incropera et al., ch. 5)."""
    left = 0.0
    for n in range(60):
        low, high = n * np.pi, n * np.pi + np.pi / 2 - 1e-12
        for _ in range(100):
            z = (low + high) / 2
            low, high = (z, high) if z * np.tan(z) < biot else (low, z)
        left += 4 * np.sin(z) / (2 * z + np.sin(2 * z)) * np.exp(-z * z * fourier) * np.cos(z * x)
    return left


def series(intervals):
    """Worst error, K, at the core and 2 cm beside it, of constant properties after Fourier number 0.05."""
    k, c = 0.30, 3100.0
    worst = 0.0
    for times_h in (0.5, 1.0, 4.0):
        bags = same_bag(1, times_h=times_h, constant_W_per_mK=k, constant_J_per_kgK=c)
        diffusivity = k / (bags.density_kg_per_m3[0] * c)
        half = bags.sides_m[:, 0] / 2
        found = heat(bags, steady_vessel(bags, 121.1), 8 * 3600, intervals=intervals, tolerance_K=0.002)
        for t in np.arange(600.0, 8 * 3600 + 1, 600.0):
            if diffusivity * t / half[0]**2 < 0.05:
                continue
            for what, x in (("core", 0.0), ("off", 0.02)):
                left = np.prod([slab_left(50 * times_h * length / k, diffusivity * t / length**2,
                                          x / length if axis == 0 else 0.0) for axis, length in enumerate(half)])
                worst = max(worst, abs(found.values(np.array([t]), what)[0, 0] - (121.1 - (121.1 - 20) * left)))
    return worst


def one_vessel(**given):
    figures = dict(kind="linear", from_degC=20.0, to_degC=121.1, come_up_min=60.0, pause_degC=100.0, pause_min=0.0,
                   last_min=1.0, air_Pa=101325.0, off_min=np.inf, room_degC=20.0, cool_min=90.0)
    return Vessels(**{name: np.array([value]) for name, value in {**figures, **given}.items()})


def difference():
    """What leaves a corner comes to another, and the error falls by 2^4 where the step is halved."""
    shares, matrix = shares_and_difference(13)
    flows = shares[:, None] * matrix
    check("difference: flows are symmetric", np.abs(flows - flows.T).max(), 0.0, 1e-12)
    check("difference: nothing is lost", np.abs(flows.sum(axis=0)).max(), 0.0, 1e-11)
    check("difference: shares make up the half side", shares.sum(), 1.0, 1e-14)
    errors = []
    for corners in (21, 41):  # steady u with u'' = -cos x, flux at the face as it must be: u = cos x, up to a constant
        shares, matrix = shares_and_difference(corners)
        x = np.linspace(0, 1, corners)
        demand = -np.cos(x)
        demand[-1] += np.sin(1.0) / shares[-1]
        found = np.linalg.lstsq(matrix, demand, rcond=None)[0]
        errors.append(np.abs(found - found[0] - np.cos(x) + 1).max())
    check("difference: ratio of errors", errors[0] / errors[1], 16.0, 4.0)


def within_2_K_min(found, to_degC):
    return first_time_min(found, to_degC - 2)[0]


STEP = steady_vessel(same_bag(1), 121.1)
RAMP = one_vessel(kind="pause", come_up_min=35.0, pause_min=20.0, last_min=25.0)
CASES = (("default", {}, STEP), ("film half", {"times_h": 0.5}, STEP), ("film twice", {"times_h": 2.0}, STEP),
         ("vapour half", {"times_f": 0.5}, STEP), ("vapour three times", {"times_f": 3.0}, STEP),
         ("all slow", {"times_k0": 0.7, "times_f": 0.4, "times_h": 0.5}, STEP),
         ("all fast", {"times_k0": 1.4, "times_f": 3.0, "times_h": 3.0}, STEP),
         ("vessel that comes up with a rest", {}, RAMP))


GRIDS = (("grid of the fit logs", {}, 0.2), ("error allowed a step 40 times smaller", {"tolerance_K": 0.0005}, 0.2),
         ("grid of the loads", LOAD_GRID, 0.5))


def grids():
    """Time to within 2 K of 121.1 degC, the core, and F of 6 h by the grids that the tables are made with."""
    for name, times, vessel in CASES:
        bags = same_bag(1, **times)
        best = heat(bags, vessel, 6 * 3600, intervals=24, tolerance_K=0.005)
        t_s = np.arange(0, 6 * 3600, 60.0)
        for grid, given, most_K in GRIDS:
            other = heat(bags, vessel, 6 * 3600, **given)
            title = f"{name}, {grid} against 24 intervals"
            at = within_2_K_min(best, 121.1)
            check(f"{title}: within 2 K, min", within_2_K_min(other, 121.1), at, 0.001 * at)
            F = lethality_min(best, 121.1, 360)[0]
            check(f"{title}: F, min", lethality_min(other, 121.1, 360)[0], F, 0.002 * F)
            for what, where in (("core", "core"), ("off", "2 cm beside it")):
                check(f"{title}: greatest difference, {where}, K",
                      np.abs(other.values(t_s, what) - best.values(t_s, what)).max(), 0.0, most_K)


def plainest_core_degC(bags, steam_degC, pressure_Pa, cells, until_s):
    """(times, core) by the plainest method there is, with nothing of heat() in it: values in the middles of cells, k
    from its formula at the mean of two neighbours, steps forward as long as they stay stable."""
    c_a, c_b = (float(part[0]) for part in heat_capacity_line(bags))
    k0, f = float(base_W_per_mK(bags)[0]), float(vapour_share(bags)[0])
    density, film = float(bags.density_kg_per_m3[0]), 50.0 * float(bags.times_h[0])
    dx = bags.sides_m[:, 0] / 2 / cells
    degC = np.full((cells, cells, cells), float(bags.start_degC[0]))

    def k(t_degC):
        air_Pa = np.maximum(pressure_Pa - saturation_Pa(t_degC), 0.03 * pressure_Pa)
        kelvin = t_degC + 273.15
        diffusion = 2.17e-5 * (kelvin / 273.15)**1.88 * 101325.0 / pressure_Pa
        slope = (saturation_Pa(t_degC + 0.01) - saturation_Pa(t_degC - 0.01)) / 0.02
        return k0 + f * diffusion / (461.523 * kelvin) * pressure_Pa / air_Pa * latent_J_per_kg(t_degC) * slope

    t_s, times, cores = 0.0, [], []
    while t_s < until_s:
        here = k(degC)
        step_s = 0.4 * density * c_a / (here.max() * (1 / dx**2).sum())
        gain = np.zeros_like(degC)
        for axis in range(3):
            along = np.moveaxis(degC, axis, 0)
            flow = k((along[1:] + along[:-1]) / 2) * (along[1:] - along[:-1]) / dx[axis]
            change = np.moveaxis(gain, axis, 0)
            change[:-1] += flow / dx[axis]
            change[1:] -= flow / dx[axis]
            resistance = 1 / film + dx[axis] / 2 / np.moveaxis(here, axis, 0)[-1]
            change[-1] += (steam_degC - along[-1]) / resistance / dx[axis]
        degC += step_s * gain / (density * (c_a + c_b * degC))
        t_s += step_s
        corner = degC[:2, :2, :2]
        for _ in range(3):  # from the two nearest middles of cells to the plane of symmetry
            corner = (9 * corner[0] - corner[1]) / 8
        times.append(t_s)
        cores.append(corner)
    return np.array(times), np.array(cores)


def plainest():
    for name, times, degC, air_Pa in (("default, 121.1 degC", {}, 121.1, float(saturation_Pa(121.1))),
                                      ("slow film, 96 degC", {"times_h": 0.5, "times_f": 2.0}, 96.0, 87771.0)):
        bags = same_bag(1, **times)
        found = heat(bags, steady_vessel(bags, degC, air_Pa), 4 * 3600)
        levels = degC - np.array([60.0, 30.0, 10.0, 2.0])
        coarse, fine = (np.interp(levels, *reversed(plainest_core_degC(bags, degC, air_Pa, cells, 3.2 * 3600))) / 60
                        for cells in (7, 10))
        # Its error goes with the square of the cell: what is left when the cell goes to nothing.
        for level, minutes in zip(levels, fine - (coarse - fine) / ((10 / 7)**2 - 1)):
            check(f"{name}: core at {level:.1f} degC, min, against the plainest method",
                  first_time_min(found, level)[0], minutes, 0.004 * minutes)


def order():
    """Without control of the error, half the step must bring a quarter of the error."""
    for name, vessel in (("96 degC", one_vessel(kind="exponential", to_degC=96.0, come_up_min=30.0)),
                         ("pressure that rises", one_vessel(come_up_min=90.0))):
        core = [heat(same_bag(1), vessel, 5400, intervals=6, tolerance_K=1e9, longest_step_s=step).core_degC[-1, 0]
                for step in (15.0, 7.5, 3.75)]
        check(f"order in time, {name}: ratio of errors", (core[0] - core[1]) / (core[1] - core[2]), 4.0, 0.5)


def energy():
    bags = same_bag(1)
    found = heat(bags, steady_vessel(bags, 121.1), 10 * 3600)
    content, entered = found.content_J[-1, 0], found.entered_J[-1, 0]
    check("heat through the faces over heat held", entered / content, 1.0, 1e-9)
    cooled = heat(bags, one_vessel(off_min=240.0), 6 * 3600)
    check("the same with flashing as the pressure falls: (entered - boiled away) over held",
          (cooled.entered_J - cooled.boiled_J)[-1, 0] / cooled.content_J[-1, 0], 1.0, 1e-9)
    # Heat from 20 to 121.1 degC by hand: 2.3 kg (0.38 (1000 (0.1031 dT) + 3.867 (T2^2 - T1^2)/2) + 0.62 4190 dT).
    hot, cold = 121.1 + 273.15, 20 + 273.15
    by_hand = 2.3 * (0.38 * (103.1 * (hot - cold) + 3.867 / 2 * (hot**2 - cold**2)) + 0.62 * 4190 * (hot - cold))
    check("heat of the whole bag when all of it is hot, kJ", content / 1e3, by_hand / 1e3, 1e-4 * by_hand / 1e3)


def figures():
    print("\n2.3 kg, 13 x 15 x 20 cm, 62 %, from 20 degC, steam of 121.1 degC from the first moment, 24 intervals;")
    print("minutes until the core passes 60, 90, 100 degC and is within 10, 5, 2 K; F (121.1 degC, 10 K) after 3 h:")
    hot_Pa = float(saturation_Pa(121.1))
    for name, times, pressure, flash in (
            ("P = psat(121.1)", {}, None, True),
            ("without vapour", {"times_f": 0.0}, None, True),
            ("k by P = 101325 Pa, faces still 121.1", {}, 101325.0, False)):
        bags = same_bag(1, **times)
        begun = time.process_time()
        found = heat(bags, steady_vessel(bags, 121.1), 14 * 3600, intervals=24, tolerance_K=0.01, pressure_Pa=pressure,
                     flash=flash, end_K=1.0)
        passed = [first_time_min(found, level)[0] for level in (60, 90, 100, 111.1, 116.1, 119.1)]
        F = lethality_min(heat(bags, steady_vessel(bags, 121.1), 180 * 60, intervals=24, tolerance_K=0.01,
                               pressure_Pa=pressure, flash=flash), 121.1, 180)[0]
        print(f"  {name}: {', '.join(f'{value:.2f}' for value in passed)}; F {F:.3g} min "
              f"({time.process_time() - begun:.1f} s of computing)")
    print(f"  (psat(121.1) = {hot_Pa:.0f} Pa)")
    for degC, air in ((96.0, float(saturation_Pa(96.0))), (70.0, 101325.0), (100.0 - 0.026, 101325.0)):
        bags = same_bag(1)
        found = heat(bags, steady_vessel(bags, degC, air), 24 * 3600, intervals=24, tolerance_K=0.01, end_K=1.0)
        print(f"  steam of {degC:.3f} degC at {air:.0f} Pa: within 2 K after {within_2_K_min(found, degC):.2f} min")


def main():
    begun = time.time()
    water()
    difference()
    for intervals in (12, 24):
        check(f"constant properties against the exact series, {intervals} intervals, worst K", series(intervals), 0.0,
              0.05)
    order()
    energy()
    plainest()
    grids()
    figures()
    print(f"{time.time() - begun:.0f} s")
    if FAILED:
        print("OFF: " + "; ".join(FAILED))
    return 1 if FAILED else 0


if __name__ == "__main__":
    sys.exit(main())
