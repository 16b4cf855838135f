#!/usr/bin/python3
"""No line of what the program says is over 80 columns: every example in every mode, several runs, probe, help.

A line that is one word alone, such as a path, cannot be broken and is let through.

usage: eighty_columns.py PROGRAM SOURCE_FOLDER
"""
import pathlib
import subprocess
import sys
import tempfile

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
COLUMNS = 80
faults = []
lines_seen = 0


def is_one_word(line):
    words = line.split()
    return len(words[1:] if words[0] == "-" else words) == 1


def look(arguments, folder=source):
    """Runs the program and looks at every line of its output; a fault of the user's is no output of a report."""
    global lines_seen
    done = subprocess.run([program, *map(str, arguments)], cwd=folder, capture_output=True, text=True, timeout=120)
    if not done.stdout:
        faults.append(f"{arguments} says nothing: {done.stderr}")
    for line in done.stdout.splitlines():
        lines_seen += 1
        if len(line) > COLUMNS and not is_one_word(line):
            faults.append(f"{arguments}: {len(line)} columns: {line}")


runs = sorted(path.relative_to(source) for path in (source / "examples").glob("*/run.toml"))
logs = sorted(path.relative_to(source) for path in (source / "examples").glob("*/log.csv"))
if len(runs) < 10 or len(logs) < 10:
    faults.append(f"the examples are not where they should be: {len(runs)} runs, {len(logs)} logs")
for mode in ([], ["--full"], ["--explain"], ["--full", "--explain"]):
    for path in runs + logs:
        look(["check", path, *mode])
    for number in ("1", "2"):
        look(["check", "examples/two-loads-in-one-log/run.toml", "--run", number, *mode])
for path in logs:
    look(["check", path, "--treatment", "atmospheric_steam", "--running", "--if-each-bag-held", "1e6", "--full"])
look(["check", *runs])
look(["check", *runs[:3], "--full", "--explain"])
for path in runs:
    look(["lag", path, "--full"])
look(["lag", "--learn", *runs[:4]])
look(["check", *logs])
look(["check", *runs, "tests/farm/broken/run_event_time_words.toml"])

for command in ("check", "type", "probe", "setup", "lag", "size", "sheet"):
    look([command, "--help"])
look(["--help"])
drum = ["size", "--mass", "5 lb", "--steam", "6 kW", "--volume", "208 L", "--altitude", "1150 m"]
look([*drum, "--bags", "24", "--steam-on", "18:30", "--full", "--come-up-in", "1 h"])
look([*drum, "--bags", "24", "--us", "--boils-inside", "--water", "30 gal", "--fuel", "electricity", "--price", "0.2",
      "--volts", "240", "--full"])
look([*drum, "--vary", "bags=10,20,60", "--vary", "mass=1,2 kg", "--fuel", "electricity", "--price", "0.2", "--bags", "9"])
look(["size", "--run", "examples/good-sterilization/run.toml", "--steam", "60 kW", "--metered", "150 kg", "--full"])
look(["sheet"])
look(["sheet", "--site", "examples/farm.toml", "--vessel", "room", "--probes", "dial_1,dial_2,room_dial",
      "--treatment", "atmospheric_steam"])
look(["probe"])
with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    (folder / "farm.toml").write_bytes((source / "examples" / "farm.toml").read_bytes())
    for readings in (["--ice", "0.4 C", "--boil", "96.9 C"], ["--ice", "0.4 C"], ["--boil", "96.9 C", "--by", "A"],
                     ["--ice", "0.4 C", "--boil", "96.9 C", "--ice-left", "0.1 C", "--boil-left", "96.2 C",
                      "--pressure-at-site", "88.2 kPa"],
                     ["--point", "60 C, 60.4 C", "--point", "121.0 C, 121.9 C", "--reference-u", "0.1 K"]):
        look(["probe", "farm.toml", "core_1", "--show", *readings], folder)
        look(["probe", "farm.toml", "wire_1", *readings], folder)
    look(["setup", "new.toml", "--altitude", "1150 m"], folder)

if lines_seen < 3000:
    faults.append(f"only {lines_seen} lines were seen")
for fault in faults[:40]:
    print(fault)
print(f"{lines_seen} lines, {len(faults)} faults")
sys.exit(1 if faults else 0)
