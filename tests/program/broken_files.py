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


def commands_of(tests):
    """(broken file, arguments of the program) of every file that is broken by itself."""
    found = []
    for folder in ("broken", "broken_times"):
        for path in sorted((tests / "logs" / folder).iterdir()):
            if path.name not in NEED_AN_OPTION:
                found.append((path, ["check", str(path), "--treatment", "sterilize"]))
    log = tests.parent / "examples" / "overnight-atmospheric" / "log.csv"
    for path in sorted((tests / "farm" / "broken").iterdir()):
        if path.name.startswith("run_"):
            found.append((path, ["check", str(path)]))
        elif path.name.startswith("site_"):
            found.append((path, ["check", str(log), "--site", str(path), "--treatment", "atmospheric_steam"]))
    return found


def main(program, tests):
    faults = 0
    commands = commands_of(tests)
    for path, arguments in commands:
        done = subprocess.run([program, *arguments], capture_output=True, timeout=60)
        errors = done.stderr.decode("utf-8", "replace")
        if done.returncode != 65 or path.name not in errors or done.stdout or not errors.startswith("coldbag: "):
            faults += 1
            print(f"{path.name}: status {done.returncode}: {errors[:200]!r}")
    print(f"{len(commands)} broken files tried, {faults} not refused as they should be")
    return 1 if faults or len(commands) < 30 else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], pathlib.Path(sys.argv[2])))
