#!/usr/bin/python3
"""Every broken file, given to the real program: status 65, the file named in the message, nothing on standard output.

usage: broken_files.py PROGRAM TESTS_FOLDER
"""
import pathlib
import subprocess
import sys

# These need an option to be broken; the reader's own tests give it.
NEED_AN_OPTION = {
    "named-time-column-absent.csv", "named-time-column-holds-text.csv", "pressure-without-basis.csv",
    "probe-column-absent.csv", "probe-column-holds-text.csv", "probe-column-twice.csv", "unit-given-against-header.csv",
    "day-first-given-against-the-dates.csv", "epoch-form-of-small-numbers.csv", "form-given-against-the-times.csv",
    "missing-hour-alone.csv", "spreadsheet-days-too-large.csv",
    "decimal-said-wrong.csv", "delimiter-said-wrong.csv", "named-date-column-absent.csv",
    "pressure-column-in-amperes.csv", "pressure-column-twice.csv", "spanish-pressure-without-basis.csv",
    "unit-column-against-option.csv", "unit-row-against-option.csv", "utf-16-said-to-be-utf-8.csv",
    "utf-8-said-to-be-utf-16.csv",
}

program, tests = sys.argv[1], pathlib.Path(sys.argv[2])
log = tests.parent / "examples" / "overnight-atmospheric" / "log.csv"
faults = 0
tried = 0


def run(path, *arguments):
    global faults, tried
    tried += 1
    done = subprocess.run([program, "check", *arguments], capture_output=True, timeout=60)
    errors = done.stderr.decode("utf-8", "replace")
    if done.returncode != 65 or path.name not in errors or done.stdout or not errors.startswith("coldbag: "):
        faults += 1
        print(f"{path.name}: status {done.returncode}: {errors[:200]!r}")


for path in sorted((tests / "logs" / "broken").iterdir()):
    if path.name not in NEED_AN_OPTION:
        run(path, str(path), "--treatment", "sterilize")
for path in sorted((tests / "logs" / "broken_times").iterdir()):
    if path.name not in NEED_AN_OPTION:
        run(path, str(path), "--treatment", "sterilize")
for path in sorted((tests / "farm" / "broken").iterdir()):
    if path.name.startswith("run_"):
        run(path, str(path))
    elif path.name.startswith("site_"):
        run(path, str(log), "--site", str(path), "--treatment", "atmospheric_steam")

print(f"{tried} broken files tried, {faults} not refused as they should be")
sys.exit(1 if faults or tried < 30 else 0)
