#!/usr/bin/python3
"""One invented run written in many layouts: the program must see the same run in each.

usage: same_run_many_layouts.py PROGRAM [LAYOUT ...]

Where the layout carries the same Celsius text at the same times, `verdict`, `criteria`, `probes` and `coldest` of
`check --json` must be equal to the last digit. Written in F and K each figure may differ by what half the last digit
can do: worked out here by judging the run with every reading moved up and down by that much. Layouts as recorders
and sheets have them (common practice, no source). Each layout is named where it fails.
"""
import datetime
import json
import math
import pathlib
import subprocess
import sys
import tempfile

import numpy as np

START = datetime.datetime(2026, 3, 18, 16, 48)
NAMES = ["Core 1", "Core 2", "Room"]
INTERVAL_MIN = 7.2  # 0.005 day, so that three decimals of a serial date say each time exactly
ROWS = 221

RUN = """
[run]
name = "one run, many layouts"
site = "site.toml"
vessel = "room"
treatment = "atmospheric_steam"
pressure_at_site = "88.4 kPa"

{logs}
[[load.bags]]
bag = "brick"
count = 120

[[event]]
what = "steam_on"
time = 2026-03-18T16:55:12

[[event]]
what = "steam_off"
time = 2026-03-19T11:52:48
"""

SITE = """
[site]
name = "an invented farm"
altitude = "1150 m"
zone = "-05:00"

[vessels.room]
kind = "vented"

[bags.brick]
substrate = "supplemented_sawdust"
form = "brick"
mass = "2.3 kg"
moisture = "62 %"
film = "pp-homopolymer"
"""
for number, name in enumerate(NAMES, 1):
    SITE += f'\n[probes.p{number}]\ncolumn = "{name}"\nclass = "pt-a"\n'
    SITE += 'place = "vessel"\n' if name == "Room" else 'place = "bag"\nbag = "brick"\n'
    SITE += f'[[probes.p{number}.check]]\non = 2026-02-01\ncorrection = "{0.1 * number - 0.2:.1f} K"\nu = "0.12 K"\n'


def celsius_text():
    """Rows of (time, cells): three probes, 0.1 K steps; invented, seed 31."""
    rng = np.random.default_rng(31)
    minute = np.arange(ROWS) * INTERVAL_MIN
    room = 22 + 73.6 * np.clip((minute - 6) / 140, 0, 1) ** 0.6
    room = np.where(minute > 1140, 30 + 65.6 * np.exp(-(minute - 1140) / 260), room)
    columns = []
    for lag_min, offset_K in ((100, -0.1), (70, 0.1), (0, 0.05)):
        truth, value = [], 22.0
        for steam in room:
            value = steam if lag_min == 0 else value + (steam - value) * (1 - math.exp(-INTERVAL_MIN / lag_min))
            truth.append(value)
        columns.append([f"{x:.1f}" for x in np.array(truth) + offset_K + rng.normal(0, 0.1, ROWS)])
    times = [START + datetime.timedelta(seconds=round(60 * m)) for m in minute]
    return list(zip(times, zip(*columns)))


ROWS_C = celsius_text()


def iso(time):
    return time.strftime("%Y-%m-%dT%H:%M:%S")


def table(separator=",", show=iso, mark=".", names=None, rows=None, unit="C"):
    """The plain wide log with one thing changed."""
    head = ["time"] + [f"{name} ({unit})" for name in names or NAMES]
    lines = [separator.join(head)]
    lines += [separator.join([show(time)] + [cell.replace(".", mark) for cell in cells]) for time, cells in rows or ROWS_C]
    return "\n".join(lines) + "\n"


def one(text, encoding="utf-8"):
    return {"log.csv": text.encode(encoding)}


def blanks():
    width = 22
    head = ["time".ljust(width)] + [f"{name} (C)".ljust(16) for name in NAMES]
    lines = ["".join(head).rstrip()]
    lines += ["".join([iso(time).ljust(width)] + [cell.ljust(16) for cell in cells]).rstrip() for time, cells in ROWS_C]
    return one("\n".join(lines) + "\n")


def long_layout():
    lines = ["time,probe,value (C)"]
    for time, cells in ROWS_C:
        lines += [f"{iso(time)},{name},{cell}" for name, cell in zip(NAMES, cells)]
    return one("\n".join(lines) + "\n")


def two_header_rows():
    lines = ["time," + ",".join(NAMES), "," + ",".join(["C"] * len(NAMES))]
    lines += [",".join([iso(time), *cells]) for time, cells in ROWS_C]
    return one("\n".join(lines) + "\n")


def unit_beside_value():
    lines = ["time," + ",".join(f"{name},unit" for name in NAMES)]
    lines += [",".join([iso(time)] + [f"{cell},C" for cell in cells]) for time, cells in ROWS_C]
    return one("\n".join(lines) + "\n")


def date_and_clock(date_format, clock_format):
    lines = ["date,clock," + ",".join(f"{name} (C)" for name in NAMES)]
    lines += [",".join([time.strftime(date_format), time.strftime(clock_format), *cells]) for time, cells in ROWS_C]
    return one("\n".join(lines) + "\n")


def epoch():
    """Seconds since 1970; the wall clocks of the other layouts are 5 h behind UTC, as the site file says."""
    def show(time):
        return str(int((time + datetime.timedelta(hours=5)).replace(tzinfo=datetime.timezone.utc).timestamp()))
    return one(table(show=show).replace("time", "epoch (s)", 1))


def serial(time):
    """Days since 1899-12-30."""
    days = (time - datetime.datetime(1899, 12, 30)) / datetime.timedelta(days=1)
    text = f"{days:.3f}"
    assert abs(float(text) - days) < 1e-9, time
    return text


def in_format(text):
    return lambda time: time.strftime(text)


def with_highest_and_lowest():
    """The readings between columns of the highest and the lowest of each interval."""
    lines = ["time," + ",".join(f"{name} max (C),{name} (C),{name} min (C)" for name in NAMES)]
    for time, cells in ROWS_C:
        three = [f"{float(cell) + 0.7:.1f},{cell},{float(cell) - 0.4:.1f}" for cell in cells]
        lines.append(",".join([iso(time), *three]))
    return one("\n".join(lines) + "\n")


def unit_behind_a_stroke():
    return one(table(unit="C").replace(" (C)", "/\u00b0C"))


def file_each():
    files = {}
    for number, name in enumerate(NAMES):
        files[f"log{number}.csv"] = table(names=[name], rows=[(t, (cells[number],)) for t, cells in ROWS_C]).encode()
    return files


def preamble_and_footer():
    before = ["Recorder sheet of an invented farm", "serial number;0000"] + [f"setting {n}: {n * 3}" for n in range(36)]
    before += ["", "interval: 432 s"]
    after = ["", "end of record", f"rows {ROWS}"]
    return one("\n".join(before) + "\n" + table() + "\n".join(after) + "\n")


def converted(convert, decimals, unit):
    rows = [(time, [f"{convert(float(cell)):.{decimals}f}" for cell in cells]) for time, cells in ROWS_C]
    return one(table(rows=rows, unit=unit))


def moved(by_K):
    rows = [(time, [f"{float(cell) + by_K:.4f}" for cell in cells]) for time, cells in ROWS_C]
    return one(table(rows=rows))


SAME = {
    "comma": lambda: one(table()),
    "semicolon and decimal comma": lambda: one(table(";", mark=",")),
    "tab": lambda: one(table("\t")),
    "pipe": lambda: one(table("|")),
    "runs of blanks": blanks,
    "UTF-16 LE with mark": lambda: {"log.csv": b"\xff\xfe" + table().encode("utf-16-le")},
    "UTF-16 BE with mark": lambda: {"log.csv": b"\xfe\xff" + table().encode("utf-16-be")},
    "UTF-16 LE without mark": lambda: {"log.csv": table().encode("utf-16-le")},
    "Windows-1252 with degree signs": lambda: one(table(unit="\u00b0C"), "cp1252"),
    "long": long_layout,
    "newest first": lambda: one(table(rows=ROWS_C[::-1])),
    "two header rows": two_header_rows,
    "unit beside each value": unit_beside_value,
    "dd/mm/yyyy and 24 h clock": lambda: date_and_clock("%d/%m/%Y", "%H:%M:%S"),
    "mm/dd/yyyy with AM and PM": lambda: date_and_clock("%m/%d/%Y", "%I:%M:%S %p"),
    "epoch seconds": epoch,
    "spreadsheet serial dates": lambda: one(table(show=serial)),
    "day, German month by name": lambda: one(table(show=in_format("%d. M\u00e4rz %Y %H:%M:%S"))),
    "day, French month, h in the clock": lambda: one(table(show=in_format("%d mars %Y %Hh%M:%S"))),
    "points in date and clock": lambda: one(table(";", in_format("%d.%m.%Y %H.%M.%S"), ",")),
    "as asctime writes it": lambda: one(table(show=in_format("%a %b %d %H:%M:%S %Y"))),
    "as mail headers write it": lambda: one(table(";", in_format("%a, %d %b %Y %H:%M:%S"))),
    "two-digit year in front": lambda: one(table(show=in_format("%y/%m/%d %H:%M:%S"))),
    "unit behind a stroke": unit_behind_a_stroke,
    "highest and lowest beside": with_highest_and_lowest,
    "a file for each probe": file_each,
    "40 lines before, three after": preamble_and_footer,
}
# Layout, files, half of the last digit in K.
OTHER_UNIT = {
    "F": (lambda: converted(lambda c: c * 9 / 5 + 32, 1, "F"), 0.05 * 5 / 9),
    "K": (lambda: converted(lambda c: c + 273.15, 1, "K"), 0.05),
}


def judged(program, files):
    """(parts of the JSON that must agree, None) or (None, what went wrong)."""
    with tempfile.TemporaryDirectory() as place:
        folder = pathlib.Path(place)
        for name, data in files.items():
            (folder / name).write_bytes(data)
        logs = "".join(f'[[log]]\nfile = "{name}"\n\n' for name in files)
        (folder / "run.toml").write_text(RUN.format(logs=logs), encoding="utf-8")
        (folder / "site.toml").write_text(SITE, encoding="utf-8")
        done = subprocess.run([program, "check", str(folder / "run.toml"), "--json"], capture_output=True, timeout=120)
        try:
            whole = json.loads(done.stdout)
            return {key: whole[key] for key in ("verdict", "criteria", "probes", "coldest")}, None
        except (ValueError, KeyError):
            return None, f"status {done.returncode}: {done.stderr.decode('utf-8', 'replace').strip()[:300]}"


def differences(first, second, path=""):
    """Every place where two JSON values differ, as text."""
    if isinstance(first, dict) and isinstance(second, dict):
        return [text for key in sorted(first.keys() | second.keys())
                for text in differences(first.get(key), second.get(key), f"{path}.{key}")]
    if isinstance(first, list) and isinstance(second, list) and len(first) == len(second):
        return [text for n, pair in enumerate(zip(first, second)) for text in differences(*pair, f"{path}[{n}]")]
    return [] if first == second and type(first) is type(second) else [f"{path}: {first!r} and {second!r}"]


def figures(whole):
    """{path: figure} of what rises with every reading: hot minutes, F, tops, and their bounds."""
    out = {}
    for criterion in whole["criteria"]:
        for key in ("delivered", "bound"):
            out[f"{criterion['name']}.{key}"] = criterion[key]
    for probe in whole["probes"]:
        for key in ("F_minutes", "F_minutes_all", "F_minutes_lower", "hold_minutes", "hold_minutes_lower", "top_degC"):
            out[f"{probe['name']}.{key}"] = probe[key]
    for key in ("F_minutes", "F_minutes_lower", "hold_minutes", "hold_minutes_lower"):
        out[f"coldest.{key}"] = whole["coldest"][key]
    return out


def outside(program, half_K, seen):
    """What of the run in another unit lies outside the run moved down and up by half a digit."""
    low, high = (figures(judged(program, moved(by_K))[0]) for by_K in (-half_K, half_K))
    texts = []
    for key, value in figures(seen).items():
        ends = (low[key], high[key])
        if value is None or None in ends:
            if value is not None or ends != (None, None):
                texts.append(f"{key}: {value!r}, moved {ends!r}")
        # Bounds divide out exp((s ln10/z)^2/2); with s = 0.1 K, z = 10 K and 0.05 K of rounding on top that moves by
        # (0.05 ln10/10)^2/2 = 7e-5, which is no matter of more or less heat.
        elif not min(ends) - 1e-4 * abs(value) <= value <= max(ends) + 1e-4 * abs(value):
            texts.append(f"{key}: {value!r} is not between {ends!r}")
    return texts


def main():
    program, wanted = sys.argv[1], sys.argv[2:]
    plain, trouble = judged(program, SAME["comma"]())
    if plain is None:
        sys.exit(f"the plain layout is not judged: {trouble}")
    bad = []
    for name, make in SAME.items():
        if wanted and name not in wanted:
            continue
        seen, trouble = judged(program, make())
        texts = [trouble] if seen is None else differences(plain, seen)
        if texts:
            bad.append(name)
            print(f"{name}: {len(texts)} differences; {texts[0]}")
    for name, (make, half_K) in OTHER_UNIT.items():
        if wanted and name not in wanted:
            continue
        seen, trouble = judged(program, make())
        texts = [trouble] if seen is None else outside(program, half_K, seen)
        if seen is not None and seen["verdict"] != plain["verdict"]:
            texts.append(f"verdict {seen['verdict']}")
        if texts:
            bad.append(name)
            print(f"{name}: {len(texts)} outside; {texts[0]}")
    count = len(wanted) or len(SAME) + len(OTHER_UNIT)
    print(f"{count} layouts of one run tried, {len(bad)} not the same run" + (f": {', '.join(bad)}" if bad else ""))
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
