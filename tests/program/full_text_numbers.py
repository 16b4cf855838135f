#!/usr/bin/python3
"""Each number of a run's JSON, outside the log and the editions, stands in its --full text.

A number is looked for where the text tells it: a probe's in the paragraph of that probe, a criterion's in its item, an
organism's in its line. It counts as told where a quantity printed there has the unit of the key and differs by less
than one step of its last printed digit, so rounding and cutting are both fair; where the site has US units it may stand
there in these. Then every number is changed and looked for again: were many still found, the test would say nothing.

usage: full_text_numbers.py PROGRAM SOURCE_FOLDER
"""
import datetime
import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile

DURATION = re.compile(r"(?<![\w.])(?:(\d+) h)?(?:(?<=h) )?(?:(\d+(?:\.(\d+))?) min)?(?:(?<=min) )?(?:(\d+) s\b)?")
LARGE = re.compile(r"(?<![\w.])(\d\.\d\de(\d+)) min\b")
# Where a time is told rounded up, to what: the time to wait.
UP_TO_MINUTES = 5


def quantities(text, unit):
    """(value, step) of each quantity of this unit in the text."""
    return [(float(m[1].replace(",", "")), 10.0 ** -len((m[1].split(".") + [""])[1]))
            for m in re.finditer(r"(?<![\w.])([-+]?\d[\d,]*(?:\.\d+)?)" + unit, text)]


def durations(text):
    """(minutes, step in minutes) of each duration in the text: "1 h 22 min", "3 min 20 s", "18.6 min",
    "7.68e6 min"."""
    found = []
    for m in DURATION.finditer(text):
        h, minutes, decimals, s = m[1], m[2], m[3], m[4]
        if h is None and minutes is None and s is None:
            continue
        step = 1 / 60 if s else (10.0 ** -len(decimals) if decimals else 1)
        found.append((60 * int(h or 0) + float(minutes or 0) + int(s or 0) / 60, step))
    for m in LARGE.finditer(text):
        found.append((float(m[1]), 10.0 ** (int(m[2]) - 2)))
    return found


def is_told(value, found):
    return any(abs(value - told) < step * (1 + 1e-9) for told, step in found)


def is_moment_told(at_s, clock, text, up):
    """Whether the moment stands in the text as people read it, to the minute (or rounded up)."""
    if clock["start_wall"] is None:
        return is_told(at_s / 60, durations(text))
    first = datetime.datetime.fromisoformat(clock["start_wall"])
    at = first + datetime.timedelta(seconds=at_s)
    minutes = (at - datetime.datetime(2000, 1, 1)).total_seconds() / 60
    step = UP_TO_MINUTES if up else 1
    whole = math.ceil(minutes / step) * step if up else math.floor(minutes + 0.5)
    shown = datetime.datetime(2000, 1, 1) + datetime.timedelta(minutes=whole)
    words = shown.strftime("%H:%M") if shown.date() == first.date() else shown.strftime("%Y-%m-%d %H:%M")
    # 19:05 within "2026-03-05 19:05" is another day.
    return re.search(r"(?<!\d )(?<!\d)" + words if len(words) == 5 else words, text) is not None


def is_told_in_us(name, value, text):
    """Whether it stands there in the units of a site in the United States."""
    if name.endswith("_degC"):
        return is_told(value * 1.8 + 32, quantities(text, r"(?= F\b)"))
    if name.endswith("_K"):
        return is_told(value * 1.8, quantities(text, r"(?= F\b)"))
    if name.endswith("_m"):
        return is_told(value / 0.3048, quantities(text, r"(?= ft\b)"))
    if name.endswith("_kg"):
        return is_told(value / 0.45359237, quantities(text, r"(?= lb\b)"))
    return False


def is_number_told(key, value, holder, text, is_us):
    if key == "decades" or key.startswith("decades_"):
        return "over 20" in text if value > 20 else is_told(value, quantities(text, r"(?![\d.])"))
    unit = holder.get("unit") if key in ("required", "required_to", "delivered", "bound") else None
    name = {"minutes": "x_minutes", "degC": "x_degC", "K": "x_K", "fraction": "x_fraction",
            "decades": "x"}[unit] if unit else key
    if is_us and is_told_in_us(name, value, text):
        return True
    if "_minutes" in name or name == "minutes":
        return is_told(value, durations(text))
    if name.endswith("_degC"):
        return is_told(value, quantities(text, r"(?= C\b|-\d+ C\b)"))
    if name.endswith("_K"):
        return is_told(value, quantities(text, r"(?= K\b)"))
    if name.endswith("_Pa"):
        return is_told(value / 1000, quantities(text, r"(?= kPa\b)"))
    if name.endswith("_m"):
        return is_told(value, quantities(text, r"(?= m\b)"))
    if name.endswith(("_fraction", "_percent")) or name in ("share_above_coldest", "coverage"):
        return is_told(value * 100, quantities(text, r"(?= %)"))
    return is_told(value, quantities(text, r"(?![\d.])"))


class Looker:
    """Walks a report; what it cannot find is in `missing`."""

    def __init__(self, report, text, change=None):
        self.clock, self.change, self.is_us = report["clock"], change, report["units"] == "us"
        self.missing, self.count = [], 0
        self.paragraphs = text.split("\n\n")
        self.all = self.flat(text)
        for key, value in report.items():
            if key not in ("log", "curves", "editions", "clock", "probes", "criteria", "would_need"):
                self.walk(key, key, value, report, self.all)
        self.criteria(report["criteria"], self.paragraph("Criteria\n"), "criteria")
        for i, probe in enumerate(report["probes"]):
            self.probe(probe, self.paragraph(re.escape(probe["name"]) + r" \("), f"probes[{i}]")
        for i, need in enumerate(report["would_need"]):
            paragraph = self.paragraph(re.escape(need["name"]) + "\n")
            self.walk_object({k: v for k, v in need.items() if k != "short_of"}, self.flat(paragraph),
                             f"would_need[{i}]")
            self.criteria(need["short_of"], paragraph, f"would_need[{i}].short_of", skip=1)

    @staticmethod
    def flat(text):
        return " ".join(text.split())

    def paragraph(self, start):
        found = [p for p in self.paragraphs if re.match(start, p)]
        return found[-1] if found else ""

    def items(self, paragraph):
        return [self.flat(item) for item in re.split(r"\n- ", paragraph)[1:]]

    def criteria(self, criteria, paragraph, path, skip=0):
        items = self.items(paragraph)[skip:]
        for i, criterion in enumerate(criteria):
            self.walk_object(criterion, items[i] if i < len(items) else "", f"{path}[{i}]")

    def probe(self, probe, paragraph, path):
        text = self.flat(paragraph)
        self.walk_object({k: v for k, v in probe.items() if k != "organisms"}, text, path)
        for i, organism in enumerate(probe["organisms"]):
            row = [line for line in paragraph.splitlines() if line.startswith("  " + organism["name"][:42])]
            self.walk_object(organism, row[0][46:] if row else "", f"{path}.organisms[{i}]")

    def walk_object(self, holder, text, path):
        for key, value in holder.items():
            self.walk(f"{path}.{key}", key, value, holder, text)

    def walk(self, path, key, value, holder, text):
        if key == "u_parts":  # a part that is not there is not listed
            value = {name: part for name, part in value.items() if part > 0}
        if isinstance(value, dict):
            if key != "moments_s":
                self.walk_object(value, text, path)
            if "moments_s" in value:
                for name, at_s in value["moments_s"].items():
                    self.look(f"{path}.{name}", at_s, lambda v: is_moment_told(v, self.clock, text, "until" in name))
        elif isinstance(value, list):
            for i, one in enumerate(value):
                self.walk(f"{path}[{i}]", key, one, holder, text)
        elif isinstance(value, bool) or not isinstance(value, (int, float)):
            return
        elif key == "withheld_s":
            if value > 0:
                self.look(path, value, lambda v: is_told(v / 60, durations(text)))
        elif key.endswith("_s") and key[:-2] in holder:
            self.look(path, value, lambda v: is_moment_told(v, self.clock, text, key == "until_s"))
        else:
            self.look(path, value, lambda v: is_number_told(key, v, holder, text, self.is_us))

    def look(self, path, value, told):
        self.count += 1
        if not told(self.change(path, value) if self.change else value):
            self.missing.append(f"{path} = {value}")


def two_runs(folder):
    """An invented log that holds two runs."""
    rows = ["time (min),core (C),steam (C)"]
    for minute in range(0, 2000, 2):
        warm = 80 * max(0.0, math.sin(minute * math.pi / 500)) if (minute // 500) % 2 == 0 else 0
        rows.append(f"{minute},{20 + warm:.2f},{20 + 1.02 * warm:.2f}")
    path = pathlib.Path(folder) / "two.csv"
    path.write_text("\n".join(rows) + "\n")
    return str(path)


def random_bags(source, folder):
    """The good run, as if its bags had been picked at random."""
    example = source / "examples/good-sterilization"
    site = (source / "examples/farm.toml").read_text().replace('spot = "cold"', 'spot = "random"')
    (pathlib.Path(folder) / "farm.toml").write_text(site)
    run = (example / "run.toml").read_text().replace("../farm.toml", "farm.toml")
    (pathlib.Path(folder) / "log.csv").write_bytes((example / "log.csv").read_bytes())
    path = pathlib.Path(folder) / "run.toml"
    path.write_text(run)
    return str(path)


def changed_value(path, value):
    # Decades beyond twenty are all told alike.
    return value % 9 + 7.3 if ".decades" in path else 1.37 * value + 4321.7


def report_of(program, source, arguments):
    run = [program, "check", *arguments, "--language", "en", "--json"]
    return json.loads(subprocess.run(run, cwd=source, capture_output=True, check=False).stdout)


def tells_all(name, report, text):
    """Whether the text, in the form of --full, tells every number; prints those that it does not."""
    text = re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", text)  # thousands
    looked = Looker(report, text)
    changed = Looker(report, text, changed_value)
    seen_wrongly = changed.count - len(changed.missing)
    print(f"{name}: {looked.count} numbers, {len(looked.missing)} not told; changed ones still found: {seen_wrongly}")
    for one in looked.missing:
        print("  not told:", one)
    if looked.count < 50 or seen_wrongly > looked.count / 20:
        print("  this comparison could not have failed")
        return False
    return not looked.missing


def cases(source, folder):
    """Arguments of runs that tell of everything a report may hold."""
    runs = sorted(str(p.relative_to(source)) for p in source.glob("examples/*/run.toml"))
    log = "examples/clock-at-gauge/log.csv"
    return [[run] for run in runs] + [
        ["examples/overnight-atmospheric/run.toml", "--running"],
        ["examples/good-sterilization/run.toml", "--leave-out", "core_1"],
        [log],
        [log, "--treatment", "pasteurize_straw", "--altitude", "1150 m", "--vented"],
        [two_runs(folder)],
        [random_bags(source, folder)],
    ]


def check(program, source, arguments):
    run = [program, "check", *arguments, "--language", "en", "--full"]
    text = subprocess.run(run, cwd=source, capture_output=True, text=True, check=False).stdout
    return tells_all(" ".join(arguments), report_of(program, source, arguments), text)


def main():
    program, source = sys.argv[1], pathlib.Path(sys.argv[2])
    with tempfile.TemporaryDirectory() as folder:
        results = [check(program, source, case) for case in cases(source, folder)]
        return 0 if len(results) >= 20 and all(results) else 1


if __name__ == "__main__":
    sys.exit(main())
