"""How a bag of moist substrate heats, worked out apart from the program, to test the program's model against.

Shares nothing with the program but the equations. Another method: values stand at the corners of cells (so one stands
in the very middle and some on the faces), not in their middles; differences are of fourth order; no direction is split
from the others; and time goes by explicit Runge-Kutta-Chebyshev steps of second order with control of the error, where
no system of equations is solved. Many bags are worked out together, the last index of every array being the bag.

The bag is a brick with the steam on all faces; one eighth of it is worked out.
  rho de/dt = div grad phi,  phi(e) = integral of k dT,  k = k0 + f Dv (Mw/RT) P/max(P - pv, 0.03 P) hfg dpsat/dT
  e(T) = integral of c dT from 0 degC, c = (1 - w) cp0(T) + w 4190;  on a face: flux in = h (T steam - T face)
"""

from dataclasses import dataclass, replace

import numpy as np

from wet_air import (KELVIN_AT_0_DEGC, STANDARD_AIR_PA, VAPOUR_J_PER_KGK, latent_J_per_kg, saturation_degC,
                     saturation_Pa, saturation_slope_Pa_per_K, vapour_diffusion_m2_per_s)

LEAST_AIR_SHARE = 0.03  # of the pressure in the pores; assumed
SOLID_KG_PER_M3, WATER_KG_PER_M3 = 1500.0, 1000.0
VAPOUR_PATH = 0.66  # tortuosity of the pores
WATER_J_PER_KGK = 4190.0
TABLE_FROM_DEGC, TABLE_TO_DEGC, TABLE_NODES = 0.0, 130.0, 1301
MINUTE_S = 60.0


@dataclass(frozen=True)
class Bags:
    """One value a bag in each; sides_m has a row for each of the three directions, the shortest first."""
    mass_kg: np.ndarray
    sides_m: np.ndarray
    moisture: np.ndarray  # wet basis, 0 to 1
    start_degC: np.ndarray
    times_k0: np.ndarray
    times_f: np.ndarray
    times_h: np.ndarray
    film_W_per_m2K: float = 50.0
    breathing: float = 1.0
    # Of equations apart: conductivity and heat capacity that never change, for the exact series. None: the real ones.
    constant_W_per_mK: float = None
    constant_J_per_kgK: float = None

    def __len__(self):
        return len(self.mass_kg)

    def part(self, which):
        return replace(self, **{name: getattr(self, name)[..., which] for name in (
            "mass_kg", "sides_m", "moisture", "start_degC", "times_k0", "times_f", "times_h")})

    @property
    def density_kg_per_m3(self):
        return self.mass_kg / np.prod(self.sides_m, axis=0)


@dataclass(frozen=True)
class Vessels:
    """Temperature of the steam around each bag, given by figures from which a test can build it again.

    kind "linear":      from_degC, in come_up_min evenly to to_degC
    kind "pause":       evenly to pause_degC in come_up_min, rest there for pause_min, evenly to to_degC in last_min
    kind "exponential": to_degC - (to_degC - from_degC) exp(-t / tau), tau = come_up_min
    Steam off at off_min (infinite: never): evenly to 100 degC in 30 min (nothing where to_degC is no higher), then
    room_degC + (T - room_degC) exp(-t / cool_min).
    Absolute pressure is the larger of air_Pa outside and saturation at the vessel's temperature.
    """
    kind: np.ndarray
    from_degC: np.ndarray
    to_degC: np.ndarray
    come_up_min: np.ndarray
    pause_degC: np.ndarray
    pause_min: np.ndarray
    last_min: np.ndarray
    air_Pa: np.ndarray
    off_min: np.ndarray
    room_degC: np.ndarray
    cool_min: np.ndarray

    def part(self, which):
        return Vessels(**{name: value[which] for name, value in vars(self).items()})

    def degC(self, t_s):
        t = t_s / MINUTE_S
        pause = self.kind == "pause"
        first_to = np.where(pause, self.pause_degC, self.to_degC)
        ramp = self.from_degC + (first_to - self.from_degC) * np.clip(t / self.come_up_min, 0, 1)
        resumed = np.clip((t - self.come_up_min - self.pause_min) / np.maximum(self.last_min, 1e-9), 0, 1)
        ramp = ramp + np.where(pause, (self.to_degC - first_to) * resumed, 0)
        curve = self.to_degC - (self.to_degC - self.from_degC) * np.exp(-t / self.come_up_min)
        hot = np.where(self.kind == "exponential", curve, ramp)
        after = t - self.off_min
        drop_min = np.where(self.to_degC > 100, 30.0, 0.0)
        knee_degC = np.minimum(self.to_degC, 100.0)
        dropping = self.to_degC + (knee_degC - self.to_degC) * np.clip(after, 0, 30) / 30
        cooling = self.room_degC + (knee_degC - self.room_degC) * np.exp(
            -np.clip(after - drop_min, 0, None) / self.cool_min)
        return np.where(after <= 0, hot, np.where(after < drop_min, dropping, cooling))

    def arrival_min(self):
        """When the ramp ends; for the exponential, when 1 K is missing."""
        pause = np.where(self.kind == "pause", self.pause_min + self.last_min, 0)
        curve = self.come_up_min * np.log(self.to_degC - self.from_degC)
        return np.where(self.kind == "exponential", curve, self.come_up_min + pause)

    def pressure_Pa(self, t_s):
        return np.maximum(self.air_Pa, saturation_Pa(self.degC(t_s)))


def steady_vessel(bags, to_degC, air_Pa=STANDARD_AIR_PA):
    """Steam that is hot from the first moment, one for each bag."""
    one = np.ones(len(bags))
    return Vessels(kind=np.full(len(bags), "linear"), from_degC=to_degC * one, to_degC=to_degC * one,
                   come_up_min=one, pause_degC=one, pause_min=0 * one, last_min=one, air_Pa=air_Pa * one,
                   off_min=np.inf * one, room_degC=20 * one, cool_min=60 * one)


def bulk(bags):
    """(dry matter kg/m3, water kg/m3, share of air in the volume, share of the pores that water fills)"""
    dry = bags.density_kg_per_m3 * (1 - bags.moisture)
    water = bags.density_kg_per_m3 * bags.moisture
    air = 1 - dry / SOLID_KG_PER_M3 - water / WATER_KG_PER_M3
    filled = water / WATER_KG_PER_M3
    return dry, water, air, filled / (air + filled)


def base_W_per_mK(bags):
    """Green wood, MacLean 1941 (from memory), dry bulk density in place of specific gravity."""
    if bags.constant_W_per_mK is not None:
        return np.full(len(bags), bags.constant_W_per_mK)
    dry_basis = 100 * bags.moisture / (1 - bags.moisture)
    return bags.times_k0 * 0.14423 * (bulk(bags)[0] / 1000 * (1.39 + 0.038 * dry_basis) + 0.165)


def vapour_share(bags):
    """f: 1 up to 45 % of the pores filled, falling smoothly to 0.2 at 80 % (assumed)."""
    if bags.constant_W_per_mK is not None:
        return np.zeros(len(bags))
    _, _, air, filling = bulk(bags)
    s = np.clip((filling - 0.45) / 0.35, 0, 1)
    open_pores = 1 - 0.8 * s * s * (3 - 2 * s)
    return bags.times_f * air * VAPOUR_PATH * bags.breathing * open_pores


def heat_capacity_line(bags):
    """c(T) = a + b T with T in degC, J/kgK; dry wood by the Wood Handbook (FPL-GTR-190, 2010), ch. 4."""
    if bags.constant_J_per_kgK is not None:
        return np.full(len(bags), bags.constant_J_per_kgK), np.full(len(bags), 1e-9)
    at_0, slope = 1000 * (0.1031 + 0.003867 * KELVIN_AT_0_DEGC), 3.867
    return (1 - bags.moisture) * at_0 + bags.moisture * WATER_J_PER_KGK, (1 - bags.moisture) * slope


class Substrate:
    """What the bags are made of: heat content both ways, and the table of phi over heat content at a pressure."""

    def __init__(self, bags):
        self.k0, self.f = base_W_per_mK(bags), vapour_share(bags)
        self.a, self.b = heat_capacity_line(bags)
        self.low = self.content(TABLE_FROM_DEGC)
        self.per_J = (TABLE_NODES - 1) / (self.content(TABLE_TO_DEGC) - self.low)
        nodes = self.low + np.arange(TABLE_NODES)[:, None] / self.per_J
        self.node_degC = self.degC(nodes)
        self.node_vapour_Pa = saturation_Pa(self.node_degC)
        self.first = TABLE_NODES * np.arange(len(bags))
        # k's vapour part times max(P - pv, 0.03 P); Dv P does not depend on P.
        self.drive = (self.f * vapour_diffusion_m2_per_s(self.node_degC, 1.0)
                      / (VAPOUR_J_PER_KGK * (self.node_degC + KELVIN_AT_0_DEGC))
                      * latent_J_per_kg(self.node_degC) * saturation_slope_Pa_per_K(self.node_degC))

    def content(self, t_degC):
        return t_degC * (self.a + self.b / 2 * t_degC)

    def degC(self, content):
        return (np.sqrt(self.a * self.a + 2 * self.b * content) - self.a) / self.b

    def tabulate(self, pressure_Pa):
        """Sets phi and its slopes for one pressure a bag."""
        k = self.k0 + self.drive / np.maximum(pressure_Pa - self.node_vapour_Pa, LEAST_AIR_SHARE * pressure_Pa)
        steps = (k[1:] + k[:-1]) / 2 * np.diff(self.node_degC, axis=0)
        phi = np.zeros_like(k)
        np.cumsum(steps, axis=0, out=phi[1:])
        steepest = np.maximum.accumulate(steps, axis=0) * self.per_J
        end = np.zeros((1, len(self.k0)))
        # One after the other for each bag, so that one index finds a bag's value.
        self.phi = np.ascontiguousarray(phi.T).ravel()
        self.step = np.ascontiguousarray(np.vstack([steps, end]).T).ravel()
        self.steepest = np.ascontiguousarray(np.vstack([steepest, steepest[-1:]]).T).ravel()

    def index(self, content):
        return self.first + np.clip((content - self.low) * self.per_J, 0, TABLE_NODES - 2).astype(np.intp)


def flux_potential(substrate, content, work):
    """phi at every corner, in work[0]; work is three arrays of the shape of content, and one of whole numbers."""
    phi, part, low, where = work
    np.subtract(content, substrate.low, out=part)
    part *= substrate.per_J
    np.copyto(where, part, casting="unsafe")
    part -= where
    where += substrate.first
    np.take(substrate.step, where, out=low, mode="clip")
    part *= low
    np.take(substrate.phi, where, out=phi, mode="clip")
    phi += part
    return phi


# Second derivative near a face, times 48, of fourth order with sums by parts; K. Mattsson and J. Nordstroem,
# J. Comput. Phys. 199 (2004) 503-540, from memory (that it conserves, is symmetric and of the order is checked in
# verify_bag_truth.py). First row: the face. FACE_SHARES: how much of a step belongs to each of these corners.
FACE_ROWS = ((-54, 59, -4, -1), (59, -118, 59, 0), (-4, 59, -110, 59, -4), (-1, 0, 59, -118, 64, -4))
FACE_SHARES = (17 / 48, 59 / 48, 43 / 48, 49 / 48)


def shares_and_difference(corners):
    """(share of the half side of each corner, matrix of what flows into it over its share) for x from 0 to 1; nothing
    flows through the middle, and what comes through the face is not in it."""
    step = 1 / (corners - 1)
    shares, inflow = np.full(corners, step), np.zeros((corners, corners))
    shares[0] = step / 2
    shares[-4:] = step * np.array(FACE_SHARES[::-1])
    for row in range(corners - 4):
        for beside, value in ((0, -120), (1, 64), (2, -4)):
            for column in {row + beside, row - beside}:
                inflow[row, abs(column)] += value / 48 / step * (0.5 if row == 0 else 1.0)
    for from_face, values in enumerate(FACE_ROWS):
        for column, value in enumerate(values):
            inflow[-1 - from_face, -1 - column] = value / 48 / step
    return shares, inflow / shares[:, None]


class Brick:
    """One eighth of each brick on a grid of corners; x goes from 0 in the middle to 1 on the face."""

    def __init__(self, bags, intervals):
        self.n = intervals + 1
        self.x = np.linspace(0, 1, self.n)
        self.share, self.difference = shares_and_difference(self.n)
        half = bags.sides_m / 2
        density = bags.density_kg_per_m3
        film = bags.times_h * bags.film_W_per_m2K
        # Over density and half side squared, so that what flows in is a rate of heat content.
        self.conduct = [1 / (density * half[axis]**2) for axis in range(3)]
        self.film_in = [film / (density * half[axis] * self.share[-1]) for axis in range(3)]
        self.stiffness = np.abs(np.linalg.eigvals(self.difference)).max() * sum(self.conduct)
        self.film_stiffness = sum(self.film_in)
        self.eighth_kg = bags.mass_kg / 8
        self.weight = (self.share[:, None, None] * self.share[None, :, None] * self.share[None, None, :])[..., None]
        self.faces = [tuple([slice(None)] * axis + [-1]) for axis in range(3)]
        self.face_weight = [self.weight[face] for face in self.faces]


def rate(brick, substrate, content, steam_degC, out, room):
    """de/dt at every corner into out; gives the heat that enters the eighth through its faces, W a bag.
    Positive into the bag. room is the work space of `room_for`."""
    phi = flux_potential(substrate, content, room["lookup"])
    n, change = brick.n, room["change"]
    for axis in range(3):
        into = change if axis else out
        # The direction in question stands last but one; those before it are counted one by one.
        shape = (n**axis, n, -1)
        np.matmul(brick.difference, phi.reshape(shape), out=into.reshape(shape))
        into *= brick.conduct[axis]
        if axis:
            out += change
    entering_W = 0.0
    for axis, face in enumerate(brick.faces):
        inward = (steam_degC - substrate.degC(content[face])) * brick.film_in[axis]
        out[face] += inward
        entering_W = entering_W + (inward * brick.face_weight[axis]).sum(axis=(0, 1))
    return entering_W * brick.eighth_kg


def room_for(brick, bags):
    shape = (brick.n, brick.n, brick.n, len(bags))
    return {"lookup": (np.empty(shape), np.empty(shape), np.empty(shape), np.empty(shape, dtype=np.intp)),
            "change": np.empty(shape)}


DAMPING = 2 / 13
_COEFFICIENTS = {}


def chebyshev_steps(stages):
    """Coefficients of the damped second-order Runge-Kutta-Chebyshev method; Sommeijer, Shampine and Verwer,
    J. Comput. Appl. Math. 88 (1998) 315-326, from memory (the order is checked in verify_bag_truth.py)."""
    if stages in _COEFFICIENTS:
        return _COEFFICIENTS[stages]
    w0 = 1 + DAMPING / stages**2
    t, d, dd = [1.0, w0], [0.0, 1.0], [0.0, 0.0]
    for _ in range(2, stages + 1):
        t.append(2 * w0 * t[-1] - t[-2])
        d.append(2 * t[-2] + 2 * w0 * d[-1] - d[-2])
        dd.append(4 * d[-2] + 2 * w0 * dd[-1] - dd[-2])
    w1 = d[stages] / dd[stages]
    b = [0.0, 0.0] + [dd[j] / d[j]**2 for j in range(2, stages + 1)]
    b[0] = b[1] = b[2]
    a = [1 - b[j] * t[j] for j in range(stages + 1)]
    c = [0.0, 0.0] + [w1 * dd[j] / d[j] for j in range(2, stages + 1)]
    c[1] = c[2] / (4 * w0)
    rows = [(2 * b[j] * w0 / b[j - 1], -b[j] / b[j - 2], 2 * b[j] * w1 / b[j - 1],
             -a[j - 1] * 2 * b[j] * w1 / b[j - 1], c[j - 1]) for j in range(2, stages + 1)]
    _COEFFICIENTS[stages] = (b[1] * w1, rows)
    return _COEFFICIENTS[stages]


def stages_for(step_s, stiffness):
    return max(2, int(np.ceil(np.sqrt(1 + step_s * stiffness / 0.653))))


@dataclass
class Heated:
    """What came out; each (time, bag). Times are the solver's own; values() reads between them."""
    time_s: np.ndarray
    core_degC: np.ndarray
    core_K_per_s: np.ndarray
    off_degC: np.ndarray
    off_K_per_s: np.ndarray
    entered_J: np.ndarray  # through the faces of the whole brick
    content_J: np.ndarray  # in the whole brick, above its start
    boiled_J: np.ndarray  # left as vapour when the pressure fell
    steps: int = 0
    rates: int = 0

    def values(self, at_s, what="core"):
        """Cubic between the solver's times, (time, bag)."""
        t, y = self.time_s, getattr(self, what + "_degC")
        slope = getattr(self, what + "_K_per_s")
        i = np.clip(np.searchsorted(t, at_s, side="right") - 1, 0, len(t) - 2)
        h = (t[i + 1] - t[i])[:, None]
        s = (np.asarray(at_s) - t[i])[:, None] / h
        return ((1 + 2 * s) * (1 - s)**2 * y[i] + s * (1 - s)**2 * h * slope[i]
                + s * s * (3 - 2 * s) * y[i + 1] + s * s * (s - 1) * h * slope[i + 1])


def off_centre_weights(brick, bags, off_m):
    """Cubic through the four corners about a point off_m from the middle along the shortest side: (corner, bag)."""
    at = off_m / (bags.sides_m[0] / 2)
    mirrored = np.concatenate([-brick.x[1:3][::-1], brick.x])  # the middle is a plane of symmetry
    weights = np.zeros((brick.n, len(bags)))
    for bag, x in enumerate(np.broadcast_to(at, len(bags))):
        low = int(np.clip(np.searchsorted(mirrored, x) - 2, 0, len(mirrored) - 4))
        for j in range(low, low + 4):
            others = [mirrored[m] for m in range(low, low + 4) if m != j]
            value = np.prod([(x - o) / (mirrored[j] - o) for o in others])
            weights[abs(j - 2), bag] += value
    return weights


def heat(bags, vessels, until_s, intervals=12, tolerance_K=0.02, longest_step_s=120.0, off_m=0.02, pressure_Pa=None,
         flash=True, end_K=None):
    """Steps all bags together from 0 to until_s, or until every core is within end_K of its vessel's to_degC.

    pressure_Pa: None, or one value that stands for the vessel's pressure in k alone (to show what a wrong one does).
    flash: nowhere hotter than water boils at the vessel's pressure; what is above leaves as vapour after each step.
    """
    brick, substrate = Brick(bags, intervals), Substrate(bags)
    room, n = room_for(brick, bags), brick.n
    start = substrate.content(bags.start_degC)
    now = np.empty((n, n, n, len(bags)))
    now[...] = start
    fresh, older, newer, spare = (np.empty_like(now) for _ in range(4))
    rate_now, rate_end = np.empty_like(now), np.empty_like(now)
    entered = np.zeros(len(bags))
    boiled = np.zeros(len(bags))
    off_weights = off_centre_weights(brick, bags, off_m)
    least_c = substrate.a + substrate.b * bags.start_degC
    brick_kg = bags.mass_kg

    def heat_above_start():
        return brick_kg * ((now - start) * brick.weight).sum(axis=(0, 1, 2))

    def steam(t_s):
        return vessels.degC(t_s)

    def pressure_at(t_s):
        return np.full(len(bags), pressure_Pa) if pressure_Pa is not None else vessels.pressure_Pa(t_s)

    kept = {name: [] for name in ("time_s", "core_degC", "core_K_per_s", "off_degC", "off_K_per_s", "entered_J",
                                  "content_J", "boiled_J")}

    def keep(t_s, rates):
        line, line_rate = now[:, 0, 0], rates[:, 0, 0]
        degC = substrate.degC(line)
        K_per_s = line_rate / (substrate.a + substrate.b * degC)
        kept["time_s"].append(t_s)
        kept["core_degC"].append(degC[0])
        kept["core_K_per_s"].append(K_per_s[0])
        kept["off_degC"].append((off_weights * degC).sum(axis=0))
        kept["off_K_per_s"].append((off_weights * K_per_s).sum(axis=0))
        kept["entered_J"].append(8 * entered)
        kept["content_J"].append(heat_above_start())
        kept["boiled_J"].append(boiled.copy())

    t_s, step_s, steps, rates = 0.0, 1.0, 0, 0
    table_Pa = pressure_at(0.5 * step_s)
    substrate.tabulate(table_Pa)
    entering = rate(brick, substrate, now, steam(0.0), rate_now, room)
    keep(0.0, rate_now)
    while t_s < until_s - 1e-6:
        step_s = min(step_s, longest_step_s, until_s - t_s)
        wanted_Pa = pressure_at(t_s + step_s / 2)
        if np.any(np.abs(wanted_Pa - table_Pa) > 1e-9 * table_Pa):
            table_Pa = wanted_Pa
            substrate.tabulate(table_Pa)
            entering = rate(brick, substrate, now, steam(t_s), rate_now, room)
            rates += 1
        # The steepest phi may get as far as the hottest corner will go in this step.
        hottest = now.max(axis=(0, 1, 2))
        straight_on = hottest + step_s * np.maximum(rate_now.max(axis=(0, 1, 2)), 0)
        as_hot_as_steam = np.maximum(substrate.content(np.maximum(steam(t_s), steam(t_s + step_s))), hottest)
        reach = np.minimum(straight_on, as_hot_as_steam) + 0.5 * least_c
        stiffness = 1.1 * np.max(brick.stiffness * substrate.steepest[substrate.index(reach)]
                                 + brick.film_stiffness / least_c)
        first, rows = chebyshev_steps(stages_for(step_s, stiffness))
        np.copyto(older, now)
        np.multiply(rate_now, first * step_s, out=newer)
        newer += now
        q_older, q_newer = np.zeros(len(bags)), first * step_s * entering
        for mu, nu, mu_rate, gamma, c in rows:
            q = rate(brick, substrate, newer, steam(t_s + c * step_s), fresh, room)
            rates += 1
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
            q_fresh = mu * q_newer + nu * q_older + step_s * (mu_rate * q + gamma * entering)
            q_older, q_newer = q_newer, q_fresh
            older, newer, fresh = newer, fresh, older
        entering_end = rate(brick, substrate, newer, steam(t_s + step_s), rate_end, room)
        rates += 1
        np.add(rate_now, rate_end, out=spare)
        spare *= 0.4 * step_s
        np.subtract(now, newer, out=fresh)
        fresh *= 0.8
        spare += fresh
        spare /= least_c
        error_K = np.sqrt((spare * spare).mean(axis=(0, 1, 2))).max()
        steps += 1
        if error_K > tolerance_K:
            step_s *= max(0.2, 0.8 * (tolerance_K / error_K)**(1 / 3))
            continue
        t_s += step_s
        now, newer = newer, now
        entered = entered + q_newer
        entering = entering_end
        rate_now, rate_end = rate_end, rate_now
        if flash:
            most = substrate.content(saturation_degC(vessels.pressure_Pa(t_s)))
            if np.any(now.max(axis=(0, 1, 2)) > most + 1e-9 * most):
                before = heat_above_start()
                np.minimum(now, most, out=now)
                boiled += before - heat_above_start()
                entering = rate(brick, substrate, now, steam(t_s), rate_now, room)
                rates += 1
        keep(t_s, rate_now)
        step_s *= min(2.0, max(0.5, 0.8 * (tolerance_K / max(error_K, 1e-9))**(1 / 3)))
        if end_K is not None and np.all(kept["core_degC"][-1] >= vessels.to_degC - end_K):
            break
    return Heated(**{name: np.array(value) for name, value in kept.items()}, steps=steps, rates=rates)


def first_time_min(found, level_degC):
    """Minutes until each core first reaches its level, linear within a minute; not-a-number where it never does."""
    end_min = found.time_s[-1] / MINUTE_S
    minutes = np.append(np.arange(np.ceil(end_min)), end_min)
    core = found.values(MINUTE_S * minutes)
    out = np.full(core.shape[1], np.nan)
    for bag, level in enumerate(np.broadcast_to(level_degC, len(out))):
        reached = np.flatnonzero(core[:, bag] >= level)
        if len(reached):
            before = max(reached[0] - 1, 0)
            out[bag] = np.interp(level, core[before:before + 2, bag], minutes[before:before + 2])
    return out


def lethality_min(found, reference_degC, until_min, z_K=10.0):
    """F of each core from the start until until_min, every 10 s by trapezes."""
    seconds = np.append(np.arange(0, 60 * until_min, 10.0), 60 * until_min)
    rates = 10**((found.values(seconds) - reference_degC) / z_K)
    return ((rates[1:] + rates[:-1]) / 2 * np.diff(seconds)[:, None]).sum(axis=0) / MINUTE_S


def same_bag(count, mass_kg=2.3, sides_m=(0.13, 0.15, 0.20), moisture=0.62, start_degC=20.0, **more):
    """The bag that practice and the demands speak of, `count` times."""
    one = np.ones(count)
    given = {name: more.pop(name, 1.0) * one for name in ("times_k0", "times_f", "times_h")}
    return Bags(mass_kg=mass_kg * one, sides_m=np.array(sides_m)[:, None] * one, moisture=moisture * one,
                start_degC=start_degC * one, **given, **more)
