"""Steam spaces over time: functions from minutes since the log's start to degC.

Come-up, plateau and cooling are drawn, not computed: their shapes are assumed. What follows from the steam, as the
pressure of a space full of steam or what air left in it does, is computed."""

import numpy as np

from made.water import KELVIN_AT_0_DEGC, boiling_degC, saturation_degC, saturation_kPa

ROOM_AIR_DEGC = 22.0
STEAM_ON_MIN = 5


def autoclave_steam(boils_degC, boil_min, vent_closed_min, at_pressure_min, steam_off_min, set_degC):
    """Steam space of the pressure vessel: come-up, venting at the local boiling point, rise, thermostat, cooling."""

    def degC(minute):
        minute = np.asarray(minute, dtype=float)
        come_up = ROOM_AIR_DEGC + (boils_degC - ROOM_AIR_DEGC) * np.clip(
            (minute - STEAM_ON_MIN) / (boil_min - STEAM_ON_MIN), 0, 1) ** 0.7
        rise = boils_degC + (set_degC - boils_degC) * np.clip(
            (minute - vent_closed_min) / (at_pressure_min - vent_closed_min), 0, 1) ** 0.85
        cycle = 0.3 * np.sin(2 * np.pi * (minute - at_pressure_min) / 14.0)
        after = np.maximum(minute - steam_off_min, 0)
        cooling = boils_degC - 4 + (set_degC - boils_degC + 4) * np.exp(-after / 22.0) - 0.13 * after
        out = np.where(minute < vent_closed_min, come_up, rise)
        out = np.where((minute >= at_pressure_min) & (minute < steam_off_min), set_degC + cycle, out)
        return np.where(minute >= steam_off_min, cooling, out)

    return degC


def room_steam(hot_min, steam_off_min, top_degC):
    """Steam room with a vent: slow come-up, a dip at every refuelling, slow cooling behind its insulation."""

    def degC(minute):
        minute = np.asarray(minute, dtype=float)
        come_up = ROOM_AIR_DEGC + (top_degC - ROOM_AIR_DEGC) * np.clip(
            (minute - STEAM_ON_MIN) / (hot_min - STEAM_ON_MIN), 0, 1) ** 0.6
        since_fuel = np.mod(minute - hot_min, 95.0)
        dip = 0.9 * np.exp(-((since_fuel - 8.0) / 6.0) ** 2)
        out = np.where(minute < hot_min, come_up, top_degC - dip)
        after = np.maximum(minute - steam_off_min, 0)
        cooling = 30 + (top_degC - 30) * np.exp(-after / 260.0)
        return np.where(minute >= steam_off_min, cooling, out)

    return degC


def gauge_kPa(steam, air_kPa):
    """Pressure over the air outside where the steam space is full of steam, none before it boils."""
    return lambda minute: np.maximum(saturation_kPa(steam(minute)) - air_kPa, 0.0)


def air_left_steam(air_kPa, vent_closed_min, at_pressure_min, steam_off_min, gauge_set_kPa, leak_min):
    """Steam space and gauge of a pressure vessel whose vent was closed too early: (degC, kPa gauge).

    The air that is in there when the vent closes stays, warms with the steam, and leaves slowly by the drain. The
    boiler keeps the gauge where it should be, so steam has only what air leaves of that pressure (Dalton)."""
    open_degC = autoclave_steam(boiling_degC(air_kPa), 50, 1e9, 2e9, 3e9, 0)
    closed_degC = float(open_degC(vent_closed_min))
    air_at_closing_kPa = air_kPa - float(saturation_kPa(closed_degC))

    def left_kPa(minute, degC):
        return air_at_closing_kPa * (degC + KELVIN_AT_0_DEGC) / (closed_degC + KELVIN_AT_0_DEGC) * np.exp(
            -np.maximum(minute - vent_closed_min, 0) / leak_min)

    def states(minute):
        minute = np.asarray(minute, dtype=float)
        rise = np.clip((minute - vent_closed_min) / (at_pressure_min - vent_closed_min), 0, 1) ** 0.85
        total_kPa = air_kPa + gauge_set_kPa * rise + 1.5 * np.sin(2 * np.pi * minute / 14.0) * (rise >= 1)
        degC = np.full(minute.shape, closed_degC)
        for _ in range(40):
            degC = saturation_degC(np.maximum(total_kPa - left_kPa(minute, degC), 1.0))
        degC = np.where(minute < vent_closed_min, open_degC(minute), degC)
        after = np.maximum(minute - steam_off_min, 0)
        hot = degC[np.searchsorted(minute, steam_off_min) - 1] if minute[-1] > steam_off_min else 0.0
        boiling = boiling_degC(air_kPa)
        cooling = boiling - 4 + (hot - boiling + 4) * np.exp(-after / 22.0) - 0.13 * after
        degC = np.where(minute >= steam_off_min, cooling, degC)
        gauge = np.where(minute < vent_closed_min, 0.0, total_kPa - air_kPa)
        gauge = np.where(minute >= steam_off_min,
                         np.maximum(saturation_kPa(degC) + left_kPa(minute, degC) - air_kPa, 0.0), gauge)
        return degC, gauge

    return lambda minute: states(minute)[0], lambda minute: states(minute)[1]


def saw_tooth_steam(hot_min, steam_off_min, top_degC, every_min, fall_K, fall_min, back_min):
    """Steam room on a boiler that is too small: each filling with cold water stops the steam, which comes back slowly."""
    still = room_steam(hot_min, 1e9, top_degC)

    def degC(minute):
        minute = np.asarray(minute, dtype=float)
        since = np.mod(minute - hot_min - 20.0, every_min)
        share = np.where(since < fall_min, since / fall_min, np.clip(1 - (since - fall_min) / back_min, 0, 1))
        out = still(minute) - fall_K * share * (minute > hot_min + 20.0)
        after = np.maximum(minute - steam_off_min, 0)
        return np.where(minute >= steam_off_min, 30 + (top_degC - 30) * np.exp(-after / 260.0), out)

    return degC


def straw_steam(full_min, throttled_min, steam_off_min, top_degC, tail_min):
    """Box for straw with a false floor: steam and air, opened wide, throttled late; the water below goes on steaming."""

    def degC(minute):
        minute = np.asarray(minute, dtype=float)
        out = ROOM_AIR_DEGC + (top_degC - ROOM_AIR_DEGC) * np.clip(
            (minute - STEAM_ON_MIN) / (full_min - STEAM_ON_MIN), 0, 1) ** 0.5
        out = out - 1.2 * np.clip((minute - throttled_min) / 20.0, 0, 1)
        after = np.maximum(minute - steam_off_min - tail_min, 0)
        return np.where(after > 0, 25 + (top_degC - 26.2) * np.exp(-after / 300.0), out)

    return degC
