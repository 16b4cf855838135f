"""Invented runs of some years: a farm with vessels whose bags heat as they are told to, and logs of them. No such farm."""
import datetime

import numpy as np

FARM = """[site]
name = "Invented farm of the years"
altitude = "0 m"
zone = "America/Bogota"
[vessels.big]
kind = "pressure-rated"
rating = "22 psi gauge"
[vessels.small]
kind = "pressure-rated"
rating = "22 psi gauge"
[bags.brick]
substrate = "sawdust"
form = "brick"
mass = "2.3 kg"
moisture = "62 %"
"""
PROBES = """[probes.core_1]
column = "Core 1"
place = "bag"
bag = "brick"
class = "pt-a"
[probes.core_2]
column = "Core 2"
place = "bag"
bag = "brick"
class = "pt-a"
[probes.steam]
column = "Steam"
place = "vessel"
class = "pt-a"
"""
STEAM_ON_MIN = 5
FIRST_DAY = datetime.datetime(2025, 1, 6, 14, 0)


def lagged(steam, tau_min):
    """A core twice behind the steam, a value a minute."""
    out = steam
    for part in (0.35, 0.65):
        felt = np.empty_like(out)
        felt[0] = out[0]
        for i in range(1, len(out)):
            felt[i] = felt[i - 1] + (out[i] - felt[i - 1]) * (1 - np.exp(-1 / (tau_min * part)))
        out = felt
    return out


def temperatures(come_up_min, hold_min, taus_min, top_degC=121.6):
    """Minutes, then a column for each core and one for the steam."""
    last = int(STEAM_ON_MIN + come_up_min + hold_min + 60)
    minute = np.arange(last + 1, dtype=float)
    off = STEAM_ON_MIN + come_up_min + hold_min
    rise = 22 + (top_degC - 22) * np.clip((minute - STEAM_ON_MIN) / come_up_min, 0, 1)
    steam = np.where(minute > off, 40 + (top_degC - 40) * np.exp(-(minute - off) / 25), rise)
    return minute, [lagged(steam, tau) for tau in taus_min] + [steam]


def write_run(folder, name, day, vessel, come_up_min, hold_min, taus_min, rng, more=""):
    """run.toml and log of one run; gives back what F the slower core truly earned, in minutes at 121.1 C, z 10."""
    minute, columns = temperatures(come_up_min, hold_min, taus_min)
    start = FIRST_DAY + datetime.timedelta(days=day)
    lines = ["Invented log: there is no such farm and there was no such run", "time,Core 1 (C),Core 2 (C),Steam (C)"]
    noisy = [column + rng.normal(0, 0.05, len(column)) for column in columns]
    for i, at in enumerate(minute):
        time = start + datetime.timedelta(minutes=float(at))
        lines.append(time.isoformat() + "," + ",".join(f"{column[i]:.2f}" for column in noisy))
    (folder / f"{name}.csv").write_text("\n".join(lines) + "\n")
    on = start + datetime.timedelta(minutes=STEAM_ON_MIN)
    off = start + datetime.timedelta(minutes=float(STEAM_ON_MIN + come_up_min + hold_min))
    (folder / f"{name}.toml").write_text(
        f'[run]\nname = "{name}"\nsite = "farm.toml"\nvessel = "{vessel}"\ntreatment = "sterilize"\n'
        f'[[log]]\nfile = "{name}.csv"\n{PROBES}'
        f'[[event]]\nwhat = "steam_on"\ntime = {on.isoformat()}\n'
        f'[[event]]\nwhat = "steam_off"\ntime = {off.isoformat()}\n{more}')
    return (folder / f"{name}.toml", start)


def write_farm(folder):
    (folder / "farm.toml").write_text(FARM)
