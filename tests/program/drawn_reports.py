#!/usr/bin/python3
"""What is drawn of a run: the PDF tells each number of the JSON outside curves and log, page and PDF have the same bytes
twice, and those of a long night with many probes are made quickly, small, and with every extreme on the chart.

usage: drawn_reports.py PROGRAM SOURCE_FOLDER
"""
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import time

import full_text_numbers as told
import made_night

MOST_BYTES = 3_000_000
MOST_S = 0.5
SPIKE = (40_000, 3)  # a row of the night and one of its columns
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:400])


class OnPaper(told.Looker):
    """Looks on the whole paper, where tables take the place of the text's paragraphs; an organism in its own rows."""

    def paragraph(self, start):
        return self.text

    def __init__(self, report, text, change=None):
        self.text = text
        super().__init__(report, text, change)

    def criteria(self, criteria, paragraph, path, skip=0):
        for i, criterion in enumerate(criteria):
            self.walk_object(criterion, self.all, f"{path}[{i}]")

    def probe(self, probe, paragraph, path):
        self.walk_object({k: v for k, v in probe.items() if k != "organisms"}, self.all, path)
        lines = self.text.splitlines()
        for i, organism in enumerate(probe["organisms"]):
            rows = [" ".join(lines[at:at + 3]) for at, line in enumerate(lines) if line.startswith(organism["name"][:14])]
            # What is far beyond all need is named in one sentence.
            over = " over 20" if organism["name"] in self.all else ""
            self.walk_object(organism, " ".join(rows) + over, f"{path}.organisms[{i}]")


def drawn(run, folder, name):
    files = {kind: folder / f"{name}.{kind}" for kind in ("html", "pdf")}
    done = subprocess.run([told.program, "check", run, "--html", files["html"], "--pdf", files["pdf"], "--json",
                           "--language", "en"], cwd=told.source, capture_output=True, text=True, timeout=120)
    expect(f"{run} is drawn: {done.stderr}", done.returncode in (0, 1, 2) and all(f.is_file() for f in files.values()))
    return json.loads(done.stdout), files


def text_of(pdf):
    text = subprocess.run(["pdftotext", "-raw", pdf, "-"], capture_output=True, text=True, timeout=60).stdout
    text = text.replace("\u00a0", " ")
    return re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", text)  # thousands


def paper_tells_the_json(folder):
    runs = sorted(told.source.glob("examples/*/run.toml"))
    expect("there are examples", len(runs) >= 14)
    for run in runs:
        name = run.parent.name
        report, files = drawn(run, folder, name)
        _, again = drawn(run, folder, name + "-again")
        for kind in files:
            expect(f"{name}.{kind} has the same bytes twice", files[kind].read_bytes() == again[kind].read_bytes())
        if report["units"] != "metric":  # its figures are told in other units
            continue
        text = text_of(files["pdf"])
        looked = OnPaper(report, text)
        changed = OnPaper(report, text, told.changed_value)
        wrongly = changed.count - len(changed.missing)
        print(f"{name}: {looked.count} numbers, {len(looked.missing)} not told; changed ones still found: {wrongly}")
        expect(f"{name}: the PDF tells {looked.missing}", not looked.missing)
        expect(f"{name}: the comparison can fail", looked.count >= 50 and wrongly <= looked.count / 10)


def seconds_of(*arguments):
    begin = time.perf_counter()
    subprocess.run([told.program, "check", *arguments], capture_output=True, timeout=300)
    return time.perf_counter() - begin


def a_long_night(folder):
    """24 h, 16 probes, a reading a second."""
    run = made_night.write_night(folder / "night", 24, 16, 1, {SPIKE: 101.7})
    bare_s, drawn_s = [], {"html": [], "pdf": []}
    for n in range(3):
        bare_s.append(seconds_of(run))
        for kind, each in drawn_s.items():
            each.append(seconds_of(run, f"--{kind}", folder / f"night-{n}.{kind}"))
    for kind, each in drawn_s.items():
        size = (folder / f"night-0.{kind}").stat().st_size
        took_s = min(each) - min(bare_s)
        print(f"24 h, 16 probes, 1 s: {kind} of {size} bytes in {took_s:.2f} s beside {min(bare_s):.2f} s of judging")
        expect(f"{kind} has at most 3 MB: {size}", 1000 < size <= MOST_BYTES)
        expect(f"{kind} takes at most half a second: {took_s:.2f}", took_s <= MOST_S)
    done = subprocess.run([told.program, "check", run, "--json"], capture_output=True, text=True, timeout=300)
    curves = json.loads(done.stdout)["curves"]
    name = made_night.columns(16)[SPIKE[1]].lower().replace(" ", "_")
    curve = next(one for one in curves["probes"] if one["probe"] == name)
    # As read, plus the correction of that probe's check; +-0.2 K at most.
    highest = max(v for v in curve["highest_degC"] if v is not None)
    expect(f"a spike of one second stands in the curve: {highest}", abs(highest - 101.7) < 0.25)
    expect("with few points", all(len(one["highest_degC"]) <= 512 for one in curves["probes"]))


with tempfile.TemporaryDirectory() as place:
    paper_tells_the_json(pathlib.Path(place))
    a_long_night(pathlib.Path(place))
print(f"drawn reports: {len(faults)} faults")
sys.exit(1 if faults else 0)
