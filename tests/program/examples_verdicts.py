#!/usr/bin/python3
"""The examples are what their script makes, say that they are invented, and get the verdicts that are promised.

usage: examples_verdicts.py PROGRAM SOURCE_FOLDER

The promise is the table of examples/README.md: a folder with its options, and the verdict in bold letters. The same
verdict stands in the comment of the folder's run.toml, where the whole of the log is judged.
"""
import json
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

program, source = sys.argv[1], pathlib.Path(sys.argv[2])
examples = source / "examples"
STATUS = {"PASS": 0, "FAIL": 1, "UNPROVEN": 2, "none": 2}
bad = []


def promised():
    """(folder, options, verdict) of each row."""
    rows = re.findall(r"^\| `([^`]+)` \|.*\| (\w+) \|$", (examples / "README.md").read_text(encoding="utf-8"), re.M)
    return [(*(lambda words: (words[0], words[1:]))(shlex.split(what)), verdict) for what, verdict in rows]


def check_verdict(folder, options, verdict):
    done = subprocess.run([program, "check", str(examples / folder / "run.toml"), "--json", *options],
                          capture_output=True, text=True, timeout=120)
    try:
        seen = json.loads(done.stdout)["verdict"]
    except (ValueError, KeyError):
        bad.append(f"{folder} {' '.join(options)}: not read (status {done.returncode}): {done.stderr.strip()[:300]}")
        return
    if (seen or "none").upper() != verdict.upper() or done.returncode != STATUS[verdict]:
        bad.append(f"{folder} {' '.join(options)}: {verdict} is promised, {seen} (status {done.returncode}) is given")


def check_words(folder, verdict):
    log, run = ((examples / folder / name).read_text(encoding="utf-8") for name in ("log.csv", "run.toml"))
    if not re.match("Invented|Registro inventado", log):
        bad.append(f"{folder}: the log does not say that it is invented")
    if "Invented" not in run or (verdict != "none" and f"Judged {verdict}" not in " ".join(run.split("\n# "))):
        bad.append(f"{folder}: run.toml does not say that it is invented and judged {verdict}")


def check_made():
    with tempfile.TemporaryDirectory() as place:
        subprocess.run([sys.executable, str(examples / "make_examples.py"), place], check=True, timeout=600)
        made = sorted(path.relative_to(place) for path in pathlib.Path(place).rglob("*.*") if path.is_file())
        for path in made:
            if (pathlib.Path(place) / path).read_bytes() != (examples / path).read_bytes():
                bad.append(f"{path}: is not what make_examples.py makes")
        return {str(path.parent) for path in made}


rows = promised()
folders = check_made()
if folders != {folder for folder, _, _ in rows}:
    bad.append(f"examples/README.md does not list just {sorted(folders)}")
for row in rows:
    check_verdict(*row)
    if not row[1]:
        check_words(row[0], row[2])
print("\n".join([*bad, f"{len(rows)} promised verdicts of {len(folders)} examples tried, {len(bad)} faults"]))
sys.exit(1 if bad or len(rows) < 14 else 0)
