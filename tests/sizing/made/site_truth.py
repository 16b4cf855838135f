"""How a steam vessel comes up while its bags take heat from it, worked out apart from the program, to test its plans.

Shares nothing with the program but the equations. The bags are those of bag_truth.py (values at corners, differences of
fourth order); vessel and bags are one system and go by the same explicit Runge-Kutta-Chebyshev steps of second order,
so nothing is carried over from one to the other. A step ends where a vessel boils or arrives: no step has a kink in it.

A site is one vessel with one temperature T of its steam space and its metal, and N equal bags with steam on all faces.
Up to the boiling point Tb at the pressure outside P0 the vent is open: steam of psat(T) and air at P0. From there the
vessel is shut and holds steam alone, P = psat(T), until T_hold, where what is too much is kept back.
  heat = power (hg - hf)(T) / (hg(T) - hf(T_feed))
  heat = C(T) dT/dt + N Q(one bag) + UA (T - T_room)
  C, vented = metal + m_air 1005 + r V d(rho)/dT + r n V rho(Tb) da/dT
              m_air = (P0 - psat) V / (Ra T), a = 1 - m_air / m_air at the start: share of the air that has left
  C, shut   = metal + r V d(rho)/dT - V dpsat/dT
r latent heat, rho density of steam, both at T. V is all that `space_m3` says; nothing is taken off for the bags.
Steam that fills the space, and the n volumes of it that leave with the air, give no heat: they count as demand. What
steam in the space takes up to stay saturated, V rho dhg/dT, is left out (verify_site_truth.py says how little it is).
"""

import pathlib
import sys
from dataclasses import dataclass, replace

import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent.parent / "heatup" / "made"))
from bag_truth import Brick, Substrate, chebyshev_steps, rate, room_for, stages_for  # noqa: E402
from wet_air import (CRITICAL_K, CRITICAL_KG_PER_M3, KELVIN_AT_0_DEGC, STANDARD_AIR_PA, STEAM, WATER,  # noqa: E402
                     latent_J_per_kg, saturation_degC, saturation_Pa, saturation_slope_Pa_per_K)

AIR_J_PER_KGK, DRY_AIR_J_PER_KGK = 1005.0, 287.05287  # gas constant; heat capacity
SNAP_K = 1e-4  # a vessel this near to boiling or arriving has done so
VENTED, SHUT, HELD = 0, 1, 2

# IAPWS SR1-86(1992), auxiliary quantity alpha of the enthalpy, J/kg: (exponent of T/Tc, coefficient). From memory; the
# enthalpies agree with steam tables (see verify_site_truth.py).
ALPHA = ((0, -1135.905627715), (-19, -5.65134998e-8), (1, 2690.66631), (4.5, 127.287297), (5, -135.003439),
         (54.5, 0.981825814))


def steam_kg_per_m3(t_degC):
    """Of saturated steam; IAPWS SR1-86(1992), Eq. 3."""
    tau = 1 - (np.asarray(t_degC, dtype=float) + KELVIN_AT_0_DEGC) / CRITICAL_K
    return CRITICAL_KG_PER_M3 * np.exp(sum(c * tau**(i / 6) for i, c in STEAM))


def water_J_per_kg(t_degC):
    """Enthalpy of saturated water above that at the triple point; IAPWS SR1-86(1992), Eq. 4 and 6."""
    kelvin = np.asarray(t_degC, dtype=float) + KELVIN_AT_0_DEGC
    tau = 1 - kelvin / CRITICAL_K
    water = CRITICAL_KG_PER_M3 * (1 + sum(b * tau**(i / 3) for i, b in WATER))
    alpha = 1000 * sum(d * (kelvin / CRITICAL_K)**i for i, d in ALPHA)
    return alpha + kelvin / water * saturation_slope_Pa_per_K(t_degC)


def standard_air_Pa(altitude_m):
    """ISO 2533:1975; constants from memory."""
    height_m = 6356766 * altitude_m / (6356766 + altitude_m)
    return STANDARD_AIR_PA * (1 - 0.0065 * height_m / 288.15)**(9.80665 / (0.0065 * DRY_AIR_J_PER_KGK))


class WaterTable:
    """What the vessel asks of water at every stage, read off a line every 0.02 K."""

    def __init__(self):
        self.degC = np.arange(0, 6501) * 0.02 + 0.5
        self.psat_Pa = saturation_Pa(self.degC)
        self.psat_slope = saturation_slope_Pa_per_K(self.degC)
        self.latent = latent_J_per_kg(self.degC)
        self.water = water_J_per_kg(self.degC)
        self.steam_slope = (steam_kg_per_m3(self.degC + 1e-3) - steam_kg_per_m3(self.degC - 1e-3)) / 2e-3

    def __call__(self, name, t_degC):
        return np.interp(t_degC, self.degC, getattr(self, name))


OF_WATER = WaterTable()


@dataclass(frozen=True)
class Sites:
    """One value a site in each."""
    power_W: np.ndarray  # that goes into the feed water
    feed_degC: np.ndarray
    loss_W_per_K: np.ndarray
    room_degC: np.ndarray
    metal_J_per_K: np.ndarray
    space_m3: np.ndarray
    air_Pa: np.ndarray  # outside, absolute
    purge_volumes: np.ndarray
    start_degC: np.ndarray  # of vessel and air; the bags have their own
    hold_degC: np.ndarray
    bags: np.ndarray  # how many take heat
    # Of equations apart, for closed forms: the power is heat that steam gives, whatever its temperature.
    constant_heat: bool = False

    def __len__(self):
        return len(self.power_W)

    def changed(self, **given):
        return replace(self, **given)

    @property
    def boiling_degC(self):
        return saturation_degC(self.air_Pa)

    def heat_W(self, t_degC):
        if self.constant_heat:
            return self.power_W * np.ones_like(t_degC)
        latent = OF_WATER("latent", t_degC)
        return self.power_W * latent / (latent + OF_WATER("water", t_degC) - OF_WATER("water", self.feed_degC))

    def vapour_kg_per_s(self, t_degC):
        """What the boiler makes."""
        return self.heat_W(t_degC) / OF_WATER("latent", t_degC)

    def stored_J_per_K(self, t_degC, phase):
        """C of the head of this file, for each site by its phase."""
        latent, slope = OF_WATER("latent", t_degC), OF_WATER("psat_slope", t_degC)
        fill = latent * self.space_m3 * OF_WATER("steam_slope", t_degC)
        kelvin, start_K = t_degC + KELVIN_AT_0_DEGC, self.start_degC + KELVIN_AT_0_DEGC
        per_K = self.space_m3 / DRY_AIR_J_PER_KGK
        dry_Pa = self.air_Pa - OF_WATER("psat_Pa", t_degC)
        air_kg = per_K * dry_Pa / kelvin
        air_at_start_kg = per_K * (self.air_Pa - OF_WATER("psat_Pa", self.start_degC)) / start_K
        leaving_per_K = per_K / kelvin * (slope + dry_Pa / kelvin) / air_at_start_kg
        purge = latent * self.purge_volumes * self.space_m3 * steam_kg_per_m3(self.boiling_degC) * leaving_per_K
        vented = self.metal_J_per_K + AIR_J_PER_KGK * air_kg + fill + purge
        return np.where(phase == VENTED, vented, self.metal_J_per_K + fill - self.space_m3 * slope)

    def pressure_Pa(self, t_degC):
        return np.maximum(self.air_Pa, saturation_Pa(np.minimum(t_degC, self.hold_degC)))


# Rows of what a vessel is followed by: temperature, and what has been given, lost, and taken by its bags.
T, GIVEN_J, LOST_J, BAGS_J, KEPT_BACK_J, VAPOUR_KG = range(6)


def vessel_rate(sites, phase, vessel, bag_W):
    """d/dt of the rows; bag_W: what one bag takes."""
    t_degC = vessel[T]
    heat, loss, bags = sites.heat_W(t_degC), sites.loss_W_per_K * (t_degC - sites.room_degC), sites.bags * bag_W
    over = heat - loss - bags
    held = phase == HELD
    return np.array([np.where(held, 0, over / sites.stored_J_per_K(t_degC, phase)), heat, loss, bags,
                     np.where(held, over, 0), sites.vapour_kg_per_s(t_degC)])


@dataclass
class Steamed:
    """What came out, a row a time; a kink stands there twice, with the slopes before and after it."""
    time_s: np.ndarray
    vessel: np.ndarray  # (time, row of the vessel, site)
    vessel_degC: np.ndarray
    vessel_K_per_s: np.ndarray
    core_degC: np.ndarray  # (time, bag)
    core_K_per_s: np.ndarray
    content_J: np.ndarray  # in a whole brick, above its start
    boils_s: np.ndarray  # when the vent shuts; infinite where it does not
    arrives_s: np.ndarray  # when the vessel is at hold_degC
    steps: int = 0
    rates: int = 0

    def values(self, at_s, what):
        """Cubic between the solver's times; what: "vessel" or "core"."""
        t, y, slope = self.time_s, getattr(self, what + "_degC"), getattr(self, what + "_K_per_s")
        i = np.clip(np.searchsorted(t, at_s, side="right") - 1, 0, len(t) - 2)
        h = np.maximum(t[i + 1] - t[i], 1e-9)[:, None]
        s = np.clip((np.asarray(at_s) - t[i])[:, None] / h, 0, 1)
        return ((1 + 2 * s) * (1 - s)**2 * y[i] + s * (1 - s)**2 * h * slope[i]
                + s * s * (3 - 2 * s) * y[i + 1] + s * s * (s - 1) * h * slope[i + 1])

    def vessel_at(self, at_s, row):
        """One of the rows that only grow, linear between the solver's times; (site,) for one time each."""
        return np.array([np.interp(at, self.time_s, self.vessel[:, row, site]) for site, at in enumerate(at_s)])


def share_of_step(begin, end, slope_begin, slope_end, level):
    """Where in a step of length 1 a cubic first passes a level that it ends above."""
    low, high = 0.0, 1.0
    for _ in range(60):
        s = (low + high) / 2
        value = ((1 + 2 * s) * (1 - s)**2 * begin + s * (1 - s)**2 * slope_begin
                 + s * s * (3 - 2 * s) * end + s * s * (s - 1) * slope_end)
        low, high = (s, high) if value < level else (low, s)
    return high


def steam(sites, bags, of_site, taker, until_s, intervals=12, tolerance_K=0.02, longest_step_s=120.0, is_enough=None):
    """Steams all sites together from 0 to until_s, or until is_enough(time, core temperatures, phases) says so.

    of_site: which site each bag stands in. taker: the bag of each site that its N bags take heat like; the others stand
    in the same steam and are followed only.
    """
    brick, substrate = Brick(bags, intervals), Substrate(bags)
    room, n = room_for(brick, bags), brick.n
    now = np.empty((n, n, n, len(bags)))
    start = substrate.content(bags.start_degC)
    now[...] = start
    fresh, older, newer, spare, rate_now, rate_end = (np.empty_like(now) for _ in range(6))
    least_c = substrate.a + substrate.b * bags.start_degC
    phase = np.full(len(sites), VENTED)
    boiling_degC = sites.boiling_degC
    vessel = np.zeros((6, len(sites)))
    vessel[T] = sites.start_degC
    boils_s, arrives_s = (np.full(len(sites), np.inf) for _ in range(2))
    # How fast the vessel alone would follow its bags' faces, per s; the sides' films summed over the brick.
    area_m2 = 2 * np.prod(bags.sides_m, axis=0) * (1 / bags.sides_m).sum(axis=0)
    pull_W_per_K = sites.bags * (area_m2 * bags.times_h * bags.film_W_per_m2K)[taker] + sites.loss_W_per_K
    kept = {name: [] for name in ("time_s", "vessel", "vessel_K_per_s", "core_degC", "core_K_per_s", "content_J")}
    rates = 0

    def level():
        return np.where(phase == VENTED, np.minimum(boiling_degC, sites.hold_degC), sites.hold_degC)

    def rates_of(content, the_vessel, out):
        nonlocal rates
        rates += 1
        entering = rate(brick, substrate, content, the_vessel[T][of_site], out, room)
        return vessel_rate(sites, phase, the_vessel, 8 * entering[taker])

    def keep(t_s, vessel_slope):
        degC = substrate.degC(now[0, 0, 0])
        kept["time_s"].append(t_s)
        kept["vessel"].append(vessel.copy())
        kept["vessel_K_per_s"].append(vessel_slope[T])
        kept["core_degC"].append(degC)
        kept["core_K_per_s"].append(rate_now[0, 0, 0] / (substrate.a + substrate.b * degC))
        kept["content_J"].append(bags.mass_kg * ((now - start) * brick.weight).sum(axis=(0, 1, 2)))

    t_s, step_s, wanted_s, steps = 0.0, 1.0, 1.0, 0
    table_Pa = sites.pressure_Pa(vessel[T])[of_site]
    substrate.tabulate(table_Pa)
    slope_now = rates_of(now, vessel, rate_now)
    keep(0.0, slope_now)
    while t_s < until_s - 1e-6:
        step_s = min(step_s, longest_step_s, until_s - t_s)
        middle_degC = np.minimum(vessel[T] + slope_now[T] * step_s / 2, level())
        wanted_Pa = sites.pressure_Pa(middle_degC)[of_site]
        if np.any(np.abs(wanted_Pa - table_Pa) > 1e-9 * table_Pa):
            table_Pa = wanted_Pa
            substrate.tabulate(table_Pa)
            slope_now = rates_of(now, vessel, rate_now)
        # The steepest phi may get as far as the hottest corner will go in this step.
        hottest = now.max(axis=(0, 1, 2))
        straight_on = hottest + step_s * np.maximum(rate_now.max(axis=(0, 1, 2)), 0)
        steam_degC = np.minimum(vessel[T] + 2 * step_s * np.maximum(slope_now[T], 0), level() + SNAP_K)[of_site]
        reach = np.minimum(straight_on, np.maximum(substrate.content(steam_degC), hottest)) + 0.5 * least_c
        stiffness = 1.1 * (np.max(brick.stiffness * substrate.steepest[substrate.index(reach)]
                                  + brick.film_stiffness / least_c)
                           + np.max(pull_W_per_K / sites.stored_J_per_K(vessel[T], phase)))
        first, rows = chebyshev_steps(stages_for(step_s, stiffness))
        np.copyto(older, now)
        np.multiply(rate_now, first * step_s, out=newer)
        newer += now
        v_older, v_newer = vessel, vessel + first * step_s * slope_now
        for mu, nu, mu_rate, gamma, _ in rows:
            slope = rates_of(newer, v_newer, fresh)
            # fresh = (1 - mu - nu) now + mu newer + nu older + step (mu_rate rate + gamma rate_now), in place
            fresh *= mu_rate * step_s
            np.multiply(newer, mu, out=spare)
            fresh += spare
            older *= nu
            fresh += older
            np.multiply(now, 1 - mu - nu, out=spare)
            fresh += spare
            np.multiply(rate_now, gamma * step_s, out=spare)
            fresh += spare
            v_older, v_newer = v_newer, ((1 - mu - nu) * vessel + mu * v_newer + nu * v_older
                                         + step_s * (mu_rate * slope + gamma * slope_now))
            older, newer, fresh = newer, fresh, older
        slope_end = rates_of(newer, v_newer, rate_end)
        np.add(rate_now, rate_end, out=spare)
        spare *= 0.4 * step_s
        np.subtract(now, newer, out=fresh)
        fresh *= 0.8
        spare += fresh
        spare /= least_c
        vessel_error = 0.8 * (vessel[T] - v_newer[T]) + 0.4 * step_s * (slope_now[T] + slope_end[T])
        error_K = max(np.sqrt((spare * spare).mean(axis=(0, 1, 2))).max(), np.abs(vessel_error).max())
        steps += 1
        if error_K > tolerance_K:
            step_s *= max(0.2, 0.8 * (tolerance_K / error_K)**(1 / 3))
            wanted_s = step_s
            continue
        beyond = (phase != HELD) & (v_newer[T] > level() + SNAP_K)
        if beyond.any() and step_s > 1e-3:
            step_s *= min(share_of_step(vessel[T, site], v_newer[T, site], step_s * slope_now[T, site],
                                        step_s * slope_end[T, site], level()[site])
                          for site in np.flatnonzero(beyond))
            continue
        t_s += step_s
        now, newer = newer, now
        rate_now, rate_end = rate_end, rate_now
        vessel, slope_now = v_newer, slope_end
        keep(t_s, slope_now)
        there = (phase != HELD) & (vessel[T] >= level() - SNAP_K)
        if there.any():
            vessel = vessel.copy()
            vessel[T] = np.where(there, level(), vessel[T])
            boils_s[there & (phase == VENTED)] = t_s
            held = there & (vessel[T] >= sites.hold_degC)
            arrives_s[held] = t_s
            phase = np.where(held, HELD, np.where(there, SHUT, phase))
            slope_now = rates_of(now, vessel, rate_now)
            keep(t_s, slope_now)
        if np.any(slope_now[KEPT_BACK_J] < -1e-6 * slope_now[GIVEN_J]):
            raise RuntimeError("a vessel that has arrived would cool again")
        if not there.any():
            wanted_s = step_s * min(2.0, max(0.5, 0.8 * (tolerance_K / max(error_K, 1e-9))**(1 / 3)))
        step_s = wanted_s
        if is_enough is not None and is_enough(t_s, kept["core_degC"][-1], phase):
            break
    out = {name: np.array(value) for name, value in kept.items()}
    return Steamed(**out, vessel_degC=out["vessel"][:, T], boils_s=boils_s, arrives_s=arrives_s, steps=steps,
                   rates=rates)


class HeatEarned:
    """Says when every vessel has arrived and some cores are hot and have earned F with much to spare, as roughly as the
    solver's steps go; lethality_reaches_s is the one that counts."""

    def __init__(self, which, F_min, reference_degC, z_K, counts_from_degC, core_degC):
        self.which, self.F_min, self.reference_degC, self.z_K = which, F_min, reference_degC, z_K
        self.counts_from_degC, self.core_degC = counts_from_degC, core_degC
        self.last_s, self.F = 0.0, 0.0

    def __call__(self, t_s, core_degC, phase):
        core = core_degC[self.which]
        lethal = np.where(core >= self.counts_from_degC, 10**((core - self.reference_degC) / self.z_K), 0)
        self.F = self.F + lethal * (t_s - self.last_s) / 60
        self.last_s = t_s
        return bool(np.all(self.F > 1.3 * self.F_min) and np.all(phase == HELD) and np.all(core >= self.core_degC))


def first_time_s(found, what, which, level_degC, step_s=5.0):
    """When one vessel or core first is at a temperature, linear within a step; not-a-number where it never is."""
    at_s = np.append(np.arange(0, found.time_s[-1], step_s), found.time_s[-1])
    values = found.values(at_s, what)[:, which]
    reached = np.flatnonzero(values >= level_degC)
    if not len(reached):
        return np.nan
    before = max(reached[0] - 1, 0)
    return float(np.interp(level_degC, values[before:before + 2], at_s[before:before + 2]))


def lethality_reaches_s(found, bag, F_min, reference_degC, z_K, counts_from_degC, step_s=1.0):
    """When F of a core is F_min, counting only while it is at counts_from_degC or above; by trapezes."""
    at_s = np.append(np.arange(0, found.time_s[-1], step_s), found.time_s[-1])
    core = found.values(at_s, "core")[:, bag]
    lethal = np.where(core >= counts_from_degC, 10**((core - reference_degC) / z_K), 0)
    earned = np.concatenate([[0], np.cumsum((lethal[1:] + lethal[:-1]) / 2 * np.diff(at_s))]) / 60
    if earned[-1] < F_min:
        return np.nan
    after = int(np.argmax(earned >= F_min))
    return float(np.interp(F_min, earned[after - 1:after + 1], at_s[after - 1:after + 1]))
