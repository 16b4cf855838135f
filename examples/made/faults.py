"""Seeded logs with one fault of a probe, and clean ones near it.

What each fault looks like is drawn from how probes and loggers fail (common practice, no source). A careful reader
must see the fault in the figures, and must find nothing wrong with the near one."""

import datetime
from dataclasses import dataclass, replace

import numpy as np

from made.load import Load, Made, Probe, make
from made.substrate import lagged
from made.water import boiling_degC, standard_air_kPa


@dataclass
class Case:
    kind: str
    faulty: bool
    number: int
    made: Made
    probes: list  # names, where faulty; one of them at least must be told
    seed: list

    @property
    def name(self):
        return f"{self.kind}-{'fault' if self.faulty else 'near'}-{self.number}"


def start_of(rng):
    return datetime.datetime(2026, 2, 3) + datetime.timedelta(minutes=int(rng.integers(0, 80 * 1440)))


def probes_of(rng, lag_min, count=3):
    """A logger with alike bags and two probes in the steam; the probes differ by 0.2 K at most."""
    made = [Probe(f"core_{n}", f"Core {n}", lag_min * rng.uniform(0.95, 1.05), rng.uniform(0.1, 0.3),
                  21 + rng.uniform(-0.4, 0.4), rng.uniform(-0.2, 0.2), 0.1) for n in range(1, count + 1)]
    return made + [Probe(f"steam_{n}", f"Steam {n}", 0.0, rng.uniform(0, 0.1), offset_K=rng.uniform(-0.2, 0.2))
                   for n in (1, 2)]


def night(rng, lag_min=62.0):
    """Atmospheric steam in a vented room."""
    altitude_m = rng.uniform(0, 1800)
    air_kPa = round(standard_air_kPa(altitude_m) + rng.uniform(-1, 1), 2)
    return Load("atmospheric_steam", False, altitude_m, air_kPa, boiling_degC(air_kPa) - rng.uniform(0.2, 0.5),
                probes_of(rng, lag_min), 60.0, rng.uniform(70, 130), cycle_K=rng.uniform(0.1, 0.4),
                cycle_min=rng.uniform(5, 14), wanted_min=rng.uniform(14.8, 16) * 60, start=start_of(rng))


def kettle(rng, lag_min=55.0):
    """Steam under pressure, with a gauge that is logged."""
    load = night(rng, lag_min)
    return replace(load, treatment="sterilize", rated=True, top_degC=rng.uniform(121.3, 122.3), pressure=True,
                   gauge_gain=rng.uniform(0.99, 1.01), cool_min=rng.uniform(60, 90), wanted_min=rng.uniform(42, 55))


def all_probes(load, **changes):
    return replace(load, probes=[replace(p, **changes) for p in load.probes])


def one_probe(load, name, **changes):
    return replace(load, probes=[replace(p, **changes) if p.name == name else p for p in load.probes])


def row_at(made, minute):
    return int(np.searchsorted(made.row_min, minute))


def hold_rows(made):
    """First and last row of the time when every bag is within 1.5 K of the steam and steam is on."""
    steam = made.truth["steam_1"]
    cold = np.min([t for name, t in made.truth.items() if name.startswith("core")], axis=0)
    near = np.flatnonzero((steam - cold < 1.5) & (steam > made.load.top_degC - 2) & (made.minute < made.steam_off_min))
    return row_at(made, made.minute[near[0]]), row_at(made, made.steam_off_min)


def ramp_row(made, name, degC):
    return row_at(made, made.minute[np.argmax(made.truth[name] >= degC)])


def readings_of(made, name, truth, rng):
    probe = next(p for p in made.load.probes if p.name == name)
    jitter = truth + probe.offset_K + rng.normal(0, probe.noise_K, len(truth))
    return np.round(jitter / probe.resolution_K) * probe.resolution_K


def by_row(made, name):
    return made.truth[name][made.row_step]


# Each function below gives (made, names of the faulty probes). `n` is 0, 1, 2.

def out_of_range(rng, n):
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    name = ("core_2", "steam_1", "core_1")[n]
    a = first + (last - first) // 3
    b = (a + 14, a + 9, len(made.row_step))[n]
    level, spread = ((-62.0, 4.0), (214.0, 9.0), (241.0, 1.5))[n]
    made.cells[name][a:b] = np.round(rng.normal(level, spread, b - a), 1)
    return made, [name]


def near_out_of_range(rng, n):
    if n == 0:
        load = night(rng)
        return make(replace(load, steam_start_degC=3.0, probes=[replace(p, start_degC=-14.0) if p.in_bag else p
                                                                for p in load.probes]), rng)
    if n == 1:
        return make(replace(kettle(rng), top_degC=126.4), rng)
    return make(replace(all_probes(night(rng), start_degC=1.0), steam_start_degC=0.5), rng)


def stuck(rng, n):
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    name = ("core_1", "steam_1", "core_2")[n]
    a = (ramp_row(made, name, 48), first + (last - first) // 2, ramp_row(made, name, 58.5))[n]
    b = (a + 75, len(made.row_step), len(made.row_step))[n]
    made.cells[name][a:b] = made.cells[name][a]
    return made, [name]


def near_stuck(rng, n):
    if n == 0:  # half degrees: the same figure for hours at every probe, because nothing moves
        return make(replace(all_probes(night(rng), resolution_K=0.5, noise_K=0.03), cycle_K=0.1), rng)
    if n == 1:  # whole degrees and heavy bags: many equal figures on the way up
        return make(all_probes(night(rng, 95.0), resolution_K=1.0, noise_K=0.1), rng)
    return make(replace(all_probes(night(rng, 130.0), noise_K=0.02), heat_up_min=260.0), rng)  # a quiet, slow start


def spike(rng, n):
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    name = ("core_1", "core_3", "steam_2")[n]
    a = (first + (last - first) // 2, ramp_row(made, name, 60), first + (last - first) // 4)[n]
    made.cells[name][a:a + (1, 1, 2)[n]] += (-31.0, 26.0, -34.0)[n]
    return made, [name]


def near_spike(rng, n):
    if n == 2:  # one probe jitters four times as much as the others
        return make(one_probe(night(rng), "core_2", noise_K=0.4), rng)
    made = make(kettle(rng) if n == 0 else night(rng), rng)
    first, last = hold_rows(made)
    a = first + (last - first) // 2
    # An overshoot of the thermostat, a filling with cold water: both probes in the steam see it.
    shape = np.array((0.8, 1.6, 1.9, 1.5, 0.9, 0.4) if n == 0 else (-1.5, -3.2, -4.6, -4.0, -3.1, -2.2, -1.4, -0.7))
    for name in ("steam_1", "steam_2"):
        made.cells[name][a:a + len(shape)] += shape
    made.gauge_kPa[made.row_step[a]:made.row_step[a + len(shape)]] += 8.0 if n == 0 else 0.0
    return made


def jump(rng, n):
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    name = ("core_1", "core_2", "steam_1")[n]
    a = (first + (last - first) // 2, ramp_row(made, name, 55), first + (last - first) // 5)[n]
    made.cells[name][a:] += (-8.0, -11.0, -7.0)[n]
    return made, [name]


def near_jump(rng, n):
    made = make(night(rng), rng)
    if n == 0:  # as fast as bags rise, but no step
        return front_arrives(made, rng, 150, 4.5)
    if n == 1:  # the logger lost 25 min on the way up
        a = ramp_row(made, "core_1", 45)
        keep = np.ones(len(made.row_step), bool)
        keep[a:a + 25] = False
        made.row_step = made.row_step[keep]
        made.cells = {name: cells[keep] for name, cells in made.cells.items()}
        return made
    return power_cut(made, rng)


def front_arrives(made, rng, after_min, width_min):
    """Bags of loose stuff: cold until the steam has worked its way through, then up within half an hour, all alike."""
    for number, probe in enumerate(p for p in made.load.probes if p.in_bag):
        steam = by_row(made, "steam_1") - probe.colder_K
        share = 1 / (1 + np.exp(-(made.row_min - after_min - 4 * number) / width_min))
        early = made.row_min < made.steam_off_min - 60
        truth = np.where(early, probe.start_degC + share * (steam - probe.start_degC), by_row(made, probe.name))
        made.cells[probe.name] = readings_of(made, probe.name, truth, rng)
    return made


def power_cut(made, rng):
    """The boiler is off for 20 min in the hold; steam falls by 12 K and comes back at 3 K a minute."""
    first, last = hold_rows(made)
    at = made.minute[made.row_step[first + (last - first) // 2]]
    since = made.minute - at
    fall = np.clip(since / 20, 0, 1) * 12 - np.clip((since - 20) * 3, 0, 12)
    steam = made.truth["steam_1"] - np.where((since > 0) & (since < 24), fall, 0)
    for probe in made.load.probes:
        if probe.in_bag:
            lost = lagged(steam - made.truth["steam_1"], made.step_s, probe.lag_min, 0.0)
            made.truth[probe.name] = made.truth[probe.name] + lost
        else:
            made.truth[probe.name] = steam
        made.cells[probe.name] = readings_of(made, probe.name, by_row(made, probe.name), rng)
    return made


def dropout(rng, n):
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    name = ("core_1", "core_2", "core_3")[n]
    a = first + (last - first) // 3
    length = (45, 90, 150)[n]
    gone = np.arange(a, a + length)
    if n == 2:  # a loose plug: most readings are lost
        gone = gone[rng.random(length) < 0.7]
    made.cells[name][gone] = np.nan
    if n == 1:
        made.texts.update({(name, int(row)): "ERR" for row in gone})
    return made, [name]


def near_dropout(rng, n):
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    a = first + (last - first) // 2
    rows = ((a, a + 40, a + 95), range(a, a + 3), range(a, a + 4))[n]
    made.cells["core_2"][list(rows)] = np.nan
    return made


def drift(rng, n):
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    name = ("core_1", "steam_1", "core_3")[n]
    share = np.clip((np.arange(len(made.row_step)) - first) / (last - first), 0, 1)
    made.cells[name] = np.round(made.cells[name] + (-4.5, -4.0, -5.5)[n] * share, 1)
    return made, [name]


def near_drift(rng, n):
    if n == 1:  # heavy bags still creep up after hours
        return make(night(rng, 120.0), rng)
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    share = np.clip((np.arange(len(made.row_step)) - first) / (last - first), 0, 1)
    names = [p.name for p in made.load.probes] if n == 0 else ["core_2"]  # the boiler weakens, all sag; a trifle
    for name in names:
        made.cells[name] = np.round(made.cells[name] - (2.5 if n == 0 else 0.25) * share, 1)
    return made


def never_in_bag(rng, n):
    load = kettle(rng) if n == 1 else night(rng)
    name = ("core_1", "core_2", "core_3")[n]
    return make(one_probe(load, name, lag_min=0.8, colder_K=0.1), rng), [name]


def near_never_in_bag(rng, n):
    if n == 0:  # small bags
        return make(replace(night(rng, 24.0), mass_kg=0.6), rng)
    if n == 1:  # bags that were filled hot
        load = night(rng, 50.0)
        return make(replace(load, probes=[replace(p, start_degC=58.0) if p.in_bag else p for p in load.probes]), rng)
    return make(replace(night(rng, 36.0), heat_up_min=240.0, mass_kg=1.0), rng)  # steam so slow that bags keep up


def pulled_out(rng, n):
    made = make(night(rng), rng)
    first, last = hold_rows(made)
    name = ("core_1", "core_2", "core_3")[n]
    a = (ramp_row(made, name, 52), first + (last - first) // 2, ramp_row(made, name, 66))[n]
    truth = by_row(made, name).copy()
    since = made.row_min - made.row_min[a]
    # Into the steam, or out through the door gap into the room; the tip itself follows in about a minute.
    lies_in = np.full(len(truth), 23.0) if n == 1 else by_row(made, "steam_1")
    gone = since >= 0
    truth[gone] = lies_in[gone] + (truth[a] - lies_in[gone]) * np.exp(-since[gone] / 0.8)
    made.cells[name] = readings_of(made, name, truth, rng)
    return made, [name]


def near_pulled_out(rng, n):
    made = make(night(rng), rng)
    if n == 1:  # one bag cools faster than the others, being small
        return make(one_probe(night(rng), "core_2", lag_min=48.0), rng)
    return front_arrives(made, rng, (190, 0, 135)[n], (5.5, 0, 4.0)[n])  # fast, but up to the bag's own place


def exchanged_columns(rng, n):
    load = kettle(rng) if n == 2 else night(rng)
    name = ("core_1", "core_2", "core_3")[n]
    load.probes = [p for p in load.probes if p.name != "steam_2"]
    made = make(load, rng)
    made.cells[name], made.cells["steam_1"] = made.cells["steam_1"], made.cells[name]
    return made, [name, "steam_1"]


def near_exchanged_columns(rng, n):
    load = night(rng, 24.0) if n == 2 else night(rng)
    load.probes = [p for p in load.probes if p.name != "steam_2"]
    if n == 0:  # bags filled warm stand above the steam space at first
        load = replace(load, probes=[replace(p, start_degC=44.0) if p.in_bag else p for p in load.probes])
    made = make(load, rng)
    if n == 1:  # the steam probe sits in a thick sheath
        slow = lagged(made.truth["steam_1"], made.step_s, 6.0, made.truth["steam_1"][0])
        made.cells["steam_1"] = readings_of(made, "steam_1", slow[made.row_step], rng)
    return made


def above_saturation(rng, n):
    name = ("core_2", "core_1", "core_3")[n]
    made = make(kettle(rng), rng)
    # A joint that goes bad with heat: right while cold, too high once hot.
    share = np.clip((by_row(made, name) - 60) / 30, 0, 1)
    made.cells[name] = np.round(made.cells[name] + (6.5, 7.0, 8.0)[n] * share, 1)
    return made, [name]


def near_above_saturation(rng, n):
    if n == 0:
        return make(one_probe(kettle(rng), "core_2", offset_K=0.6), rng)
    if n == 1:  # a gauge that jitters
        return make(replace(kettle(rng), pressure_noise_kPa=1.5), rng)
    made = make(replace(kettle(rng), cool_min=35.0), rng)  # pressure falls fast; the tips follow in a minute
    for name in ("core_1", "core_2", "core_3"):
        slow = lagged(made.truth[name], made.step_s, 0.8, made.truth[name][0])
        made.cells[name] = readings_of(made, name, slow[made.row_step], rng)
    return made


def at_ceiling(rng, n):
    load = night(rng) if n == 0 else kettle(rng)
    name = ("core_1", "core_2", "core_3")[n]
    kind, top_degC = (("thermistor", 70.0), ("dial-stem", 120.0), ("pt-a", 105.0))[n]
    if n == 1:
        load = replace(load, top_degC=124.5, wanted_min=90.0)
    made = make(one_probe(load, name, kind=kind), rng)
    made.cells[name] = np.minimum(made.cells[name], top_degC)
    return made, [name]


def near_at_ceiling(rng, n):
    if n == 0:  # straw at 69 degC under thermistors that go to 70
        load = all_probes(night(rng, 50.0), kind="thermistor")
        return make(replace(load, treatment="pasteurize_straw_aerated", top_degC=68.6, hot_degC=65.0,
                            wanted_min=150.0, mass_kg=8.0, moisture=0.72, cycle_K=0.4), rng)
    if n == 1:
        return make(replace(all_probes(night(rng), resolution_K=0.5, noise_K=0.05), cycle_K=0.1), rng)
    return make(one_probe(replace(kettle(rng), top_degC=118.7, wanted_min=33.0), "core_2", kind="dial-stem"), rng)


def flat_at_boiling(rng, n):
    load = kettle(rng)
    name = ("core_1", "core_2", "core_3")[n]
    made = make(load, rng)
    boils = boiling_degC(load.air_kPa)
    # Its sheath is open to the air outside and full of water.
    made.cells[name] = readings_of(made, name, np.minimum(by_row(made, name), boils), rng)
    return made, [name]


def near_flat_at_boiling(rng, n):
    if n == 2:  # the whole vented room is at its boiling point
        return make(replace(night(rng), cycle_K=0.1), rng)
    if n == 1:
        load = kettle(rng)
        return make(one_probe(load, "core_1", lag_min=1.3 * load.probes[0].lag_min), rng)
    made = make(kettle(rng), rng)
    at = ramp_row(made, "core_1", boiling_degC(made.load.air_kPa) - 3)
    truth = by_row(made, "core_1")
    wait = 12  # min at a shoulder, then up with the others
    behind = np.concatenate([truth[:at], np.linspace(truth[at], truth[at] + 1.5, wait), truth[at:-wait] + 1.5])
    made.cells["core_1"] = readings_of(made, "core_1", np.where(made.row_min < made.steam_off_min,
                                                                np.minimum(behind, truth), truth), rng)
    return made


def far_behind(rng, n):
    load = kettle(rng) if n == 1 else night(rng, (62.0, 0, 45.0)[n])
    name = ("core_2", "core_1", "core_3")[n]
    lag_min = next(p.lag_min for p in load.probes if p.name == name)
    return make(one_probe(load, name, lag_min=2.7 * lag_min), rng), [name]


def near_far_behind(rng, n):
    load = kettle(rng) if n == 1 else night(rng, (62.0, 0, 45.0)[n])
    lag_min = load.probes[1].lag_min
    return make(one_probe(load, "core_2", lag_min=1.3 * lag_min), rng)


def wrong_unit(rng, n):
    load = night(rng) if n == 0 else kettle(rng)
    made = make(load, rng)
    names = (["core_2"], [p.name for p in load.probes], ["core_1"])[n]
    for name in names:
        made.cells[name] = np.round(made.cells[name] * 1.8 + 32, 1)
    return made, names


def near_wrong_unit(rng, n):
    if n == 0:
        return make(replace(kettle(rng), top_degC=126.0), rng)
    load = night(rng)
    start = (0, 66.0, -12.0)[n]
    return make(replace(load, probes=[replace(p, start_degC=start) if p.in_bag else p for p in load.probes],
                        steam_start_degC=60.0 if n == 1 else 5.0), rng)


def copied(rng, n):
    made = make(kettle(rng) if n == 2 else night(rng), rng)
    name = ("core_2", "core_2", "core_3")[n]
    a = ramp_row(made, name, 40) if n == 1 else 0  # the whole column, or from the middle of heating up
    made.cells[name][a:] = made.cells["core_1"][a:]
    return made, ["core_1", name]


def near_copied(rng, n):
    load = night(rng)
    if n != 1:  # half and whole degrees: alike bags show the same figure most of the time
        load = all_probes(load, resolution_K=(0.5, 0, 1.0)[n], noise_K=0.08)
    alike = load.probes[0]
    return make(one_probe(load, "core_2", lag_min=alike.lag_min * 1.01, colder_K=alike.colder_K,
                          offset_K=alike.offset_K, start_degC=alike.start_degC), rng)


def too_smooth(rng, n):
    load = all_probes(kettle(rng) if n == 1 else night(rng), resolution_K=0.001, noise_K=0.08)
    name = ("core_1", "core_2", "core_3")[n]
    made = make(load, rng)
    minute = made.row_min
    # A curve somebody drew: up to a top, flat, down, to the thousandth of a kelvin.
    top = load.top_degC - 0.3
    up = 21 + (top - 21) * (1 - np.exp(-((np.maximum(minute - 10, 0)) / 75) ** 1.4))
    after = np.maximum(minute - made.steam_off_min, 0)
    made.cells[name] = np.round(24 + (up - 24) * np.exp(-((after / (1.3 * load.cool_min)) ** 1.2)), 3)
    return made, [name]


def near_too_smooth(rng, n):
    load = night(rng)
    resolution_K, noise_K = ((0.1, 0.03), (0.5, 0.02), (0.01, 0.015))[n]
    return make(all_probes(load, resolution_K=resolution_K, noise_K=noise_K), rng)


KINDS = ["out_of_range", "stuck", "spike", "jump", "dropout", "drift", "never_in_bag", "pulled_out",
         "exchanged_columns", "above_saturation", "at_ceiling", "flat_at_boiling", "far_behind", "wrong_unit", "copied",
         "too_smooth"]


def cases(seed, numbers=(0, 1, 2), kinds=KINDS):
    """Every case, with the generator its writer goes on with."""
    for kind in kinds:
        for faulty in (True, False):
            for number in numbers:
                rng = np.random.default_rng([seed, 3, KINDS.index(kind), int(faulty), number])
                made = globals()[kind if faulty else "near_" + kind](rng, number)
                made, probes = made if faulty else (made, [])
                yield Case(kind, faulty, number, made, probes, [seed, number]), rng
