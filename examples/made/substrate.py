"""Middles of bags under a steam space: a brick by finite differences, a bag as two lags, a frozen ball in shells."""

import numpy as np

from made.steam_space import ROOM_AIR_DEGC

BRICK_M = (0.20, 0.13, 0.15)
CELL_M = 0.01
# Assumed, chosen so that a brick lags by the two to three hours that growers report (common practice, no source).
DIFFUSIVITY_M2_PER_S = 3.6e-7
STEP_S = 10.0


def brick_core_degC(steam_degC, boiling_degC, lag_min, colder_K):
    """Core of a brick whose faces follow the steam with a lag and stay colder for good; one value a step."""
    shape = [round(side / CELL_M) for side in BRICK_M]
    brick = np.full(shape, ROOM_AIR_DEGC)
    face = ROOM_AIR_DEGC
    middle = tuple(slice((n - 1) // 2, n // 2 + 1) for n in shape)
    r = DIFFUSIVITY_M2_PER_S * STEP_S / CELL_M**2
    core = np.empty(len(steam_degC))
    for step, steam in enumerate(steam_degC):
        core[step] = brick[middle].mean()
        face += (steam - colder_K - face) * STEP_S / (60 * lag_min)
        change = np.zeros_like(brick)
        for axis in range(3):
            # The face lies half a cell outside the last cell, so the cell beyond it mirrors the last about it.
            first, last = brick.take([0], axis), brick.take([-1], axis)
            wide = np.concatenate([2 * face - first, brick, 2 * face - last], axis)
            change += np.diff(wide, 2, axis)
        # Wet substrate cannot stay hotter than water boils at the vessel's pressure: it flashes.
        brick = np.minimum(brick + r * change, boiling_degC[step])
    return core


def lagged(values, step_s, lag_min, start):
    """First-order lag of evenly spaced values, exact for values that hold still during a step."""
    keep = np.exp(-step_s / (60 * lag_min))
    out = (1 - keep) * (np.asarray(values, dtype=float) - start)
    # y[n] = keep y[n-1] + (1 - keep) x[n], by doubling: after k rounds out[n] holds the last 2^k terms.
    reach = 1
    while reach < len(out) and keep > 1e-9:
        out[reach:] = out[reach:] + keep * out[:-reach]
        keep, reach = keep * keep, 2 * reach
    return start + out


def two_lags(steam_degC, step_s, lag_min, colder_K, start_degC):
    skin = lagged(np.asarray(steam_degC) - colder_K, step_s, 0.3 * lag_min, start_degC)
    return lagged(skin, step_s, 0.7 * lag_min, start_degC)


def twice_lagged_core_degC(steam_degC, boiling_degC, step_s, lag_min, colder_K, start_degC):
    """Middle of a bag as two lags in a row, the quick one of 30 % and the slow one of 70 % of lag_min (assumed)."""
    core = two_lags(steam_degC, step_s, lag_min, colder_K, start_degC)
    flashes = core > boiling_degC
    if not flashes.any():
        return core
    # The bag boils as pressure falls, which leaves all of it where water boils outside; from there it cools anew.
    at_rest = np.flatnonzero(flashes)[0] + np.argmax(boiling_degC[np.flatnonzero(flashes)[0]:] == boiling_degC[-1])
    core = np.minimum(core, boiling_degC)
    if flashes[at_rest]:
        core[at_rest:] = two_lags(steam_degC[at_rest:], step_s, lag_min, colder_K, core[at_rest])
    return core


def frozen_core_degC(steam_degC, start_degC, lag_min, colder_K):
    """Core of a frozen brick, taken as a ball of the same volume in shells that hold enthalpy: ice to -2 degC, then
    its melting, then water. Figures of wet sawdust of 62 % moisture, worked out from handbook figures of ice, water
    and wood from memory."""
    shells, radius_m = 14, (0.75 * np.prod(BRICK_M) / np.pi) ** (1 / 3)
    density, frozen_c, melted_c = 590.0, 1.9e3, 3.2e3  # kg/m3, J/kgK
    melting_J_per_kg = 0.58 * 334e3  # a little of the water never freezes
    # Steam moves only where nothing is frozen; ice in the pores stops it (assumed).
    frozen_W_per_mK = 0.4
    edge = np.linspace(0, radius_m, shells + 1)
    volume, area = 4 / 3 * np.pi * np.diff(edge**3), 4 * np.pi * edge[1:] ** 2
    width = radius_m / shells

    def degC_of(enthalpy):
        melted_at = melting_J_per_kg
        return np.where(enthalpy < 0, -2 + enthalpy / frozen_c,
                        np.where(enthalpy < melted_at, -2 + 2 * enthalpy / melted_at,
                                 (enthalpy - melted_at) / melted_c))

    enthalpy = np.full(shells, (start_degC + 2) * frozen_c)  # J/kg, 0 where ice begins to melt
    face, core = start_degC, np.empty(len(steam_degC))
    for step, steam in enumerate(steam_degC):
        degC = degC_of(enthalpy)
        core[step] = degC[:3].mean()  # a tip is 2 cm long
        face += (steam - colder_K - face) * STEP_S / (60 * lag_min)
        warm_W_per_mK = 0.3 + 0.6 * np.clip((degC - 20) / 75, 0, 1)  # about the brick's between 20 and 95 degC
        conductivity = np.where(degC > 0, warm_W_per_mK, frozen_W_per_mK)
        inward_W = conductivity * area * np.diff(np.append(degC, face)) / np.append(np.full(shells - 1, width), width / 2)
        enthalpy += STEP_S * (inward_W - np.append(0.0, inward_W[:-1])) / (volume * density)
    return core
