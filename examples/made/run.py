"""A run as it is invented, its readings, and its two files."""

import datetime
from dataclasses import dataclass, field

import numpy as np

from made.substrate import STEP_S, brick_core_degC
from made.water import saturation_degC, standard_air_kPa

SITE_ALTITUDE_M = 1150.0
AIR_kPa = standard_air_kPa(SITE_ALTITUDE_M)


def in_brick(steam_degC, boiling_degC, place):
    return brick_core_degC(steam_degC, boiling_degC, place.lag_min, place.colder_K)


def in_steam(steam_degC, boiling_degC, place):
    return steam_degC - place.colder_K


@dataclass
class Place:
    """A column of the log: how slowly steam reaches the place, and what the probe does to the truth."""
    column: str
    lag_min: float  # of the surface behind the steam
    colder_K: float  # than the steam, for good
    probe_error_K: float
    noise_K: float
    truth: object = in_brick  # (steam, boiling, place) -> degC, one value a step
    resolution_K: float = 0.1


@dataclass
class Run:
    folder: str
    title: str
    seed: int
    start: datetime.datetime
    end_min: int
    interval_min: int
    vessel: str
    treatment: str
    by: str
    notes: str
    count: int
    places: list
    steam: object  # minutes since the start -> degC of the steam space
    pressure: object = None  # minutes since the start -> kPa gauge
    events: list = field(default_factory=list)  # (what, minute, who, note)
    bag: str = "brick"
    site: str = "../farm.toml"
    log_keys: str = ""  # more keys of [[log]]
    teaches: tuple = ()  # comment lines: what it shows, its verdict, why
    left_out: object = None  # minutes -> which rows the logger missed
    made_by: str = "examples/make_examples.py"
    write: object = None  # (run, minutes, columns) -> text of the log; plain where None


def readings(run):
    """Rows of the log: (minute, values a column)."""
    rng = np.random.default_rng(run.seed)
    step_min = np.arange(0, run.end_min * 60 + STEP_S, STEP_S) / 60
    steam = run.steam(step_min)
    pressure = run.pressure(step_min) if run.pressure else np.zeros_like(step_min)
    boiling = saturation_degC(AIR_kPa + pressure)
    every = round(run.interval_min * 60 / STEP_S)
    columns = []
    for place in run.places:
        truth = place.truth(steam, boiling, place)[::every] + place.probe_error_K
        jitter = rng.normal(0, place.noise_K, len(truth))
        step = place.resolution_K
        columns.append(np.round(truth + jitter, 1) if step == 0.1 else np.round((truth + jitter) / step) * step)
    if run.pressure:
        truth = pressure[::every]
        columns.append(np.maximum(np.round(truth + rng.normal(0, 0.2, len(truth)), 1), 0.0))
    minutes = step_min[::every]
    if run.left_out:
        stays = ~run.left_out(minutes)
        minutes, columns = minutes[stays], [column[stays] for column in columns]
    return minutes, columns


def moment(run, minute):
    return run.start + datetime.timedelta(minutes=float(minute))


def iso(run, minute):
    return moment(run, minute).isoformat()


def said_in_log(run):
    return ["Invented example log: there is no such farm and there was no such run",
            f"Made by {run.made_by} from seed {run.seed}"]


def plain_log(run, minutes, columns):
    header = ["time"] + [f"{place.column} (C)" for place in run.places]
    if run.pressure:
        header.append("Vessel pressure (kPa gauge)")
    lines = said_in_log(run) + [",".join(header)]
    for row, minute in enumerate(minutes):
        lines.append(",".join([iso(run, minute)] + [f"{column[row]:.1f}" for column in columns]))
    return "\n".join(lines) + "\n"


def run_file(run):
    """Text of run.toml."""
    comment = "".join(f"# {line}\n" for line in run.teaches)
    text = f"""# {run.title}
# Invented: there is no such farm and there was no such run. Made by {run.made_by}.
{comment}
[run]
name = "{run.folder}"
site = "{run.site}"
vessel = "{run.vessel}"
treatment = "{run.treatment}"
by = "{run.by}"
notes = "{run.notes}"

[[log]]
file = "log.csv"
{run.log_keys}
[[load.bags]]
bag = "{run.bag}"
count = {run.count}
"""
    for what, minute, who, note in run.events:
        text += f'\n[[event]]\nwhat = "{what}"\ntime = {iso(run, minute)}\nwho = "{who}"\n'
        if note:
            text += f'note = "{note}"\n'
    return text


def write_run(run, folder):
    folder.mkdir(parents=True, exist_ok=True)
    text = (run.write or plain_log)(run, *readings(run))
    (folder / "log.csv").write_text(text, encoding="utf-8")
    (folder / "run.toml").write_text(run_file(run), encoding="utf-8")
