#!/usr/bin/python3
"""Seeded runs on the real program: each fault of a probe is seen, clean runs near it and clean runs at large are not.

usage: seeded_runs.py PROGRAM [--seed N] [--keep FOLDER] [--only NAME_PART]

Demands, of `check --json`:
  with a fault   probes[].faults[] holds its kind at one of the probes that have it, and no other probe is accused
  near a fault   no fault at all
  clean          no fault and no caution; barometer given, probes within 0.2 K, noise 0.1 K
  offset         probes off by up to 1.5 K: no fault, cautions only of kind above_boiling and probe_disagreement
The logs come from examples/make_faults.py, which shares nothing with the program. A fixed part is tried; all of it
where COLDBAG_LONG is 1. Every run must be read and judged in any case.
"""
import argparse
import collections
import concurrent.futures
import json
import os
import pathlib
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "examples"))
from made.faults import KINDS  # noqa: E402
from make_faults import make_all  # noqa: E402

# Kinds that the program must see. One that is taken out here is made and judged, and its faults are counted only.
TO_BE_SEEN = set(KINDS)
CAUTIONS_WITH_OFFSETS = {"above_boiling", "probe_disagreement"}
FIXED_PART = {"numbers": (0,), "clean": 30, "offsets": 8}
WHOLE = {"numbers": (0, 1, 2), "clean": 200, "offsets": 50}


def judged(program, folder):
    done = subprocess.run([program, "check", str(folder / "run.toml"), "--json"], capture_output=True, timeout=300)
    try:
        return json.loads(done.stdout), None
    except ValueError:
        return None, f"status {done.returncode}: {done.stderr.decode('utf-8', 'replace').strip()[:200]}"


def complaints(made, whole):
    """What is wrong with the program's answer to one run, as texts."""
    faults = [(probe["name"], fault["kind"]) for probe in whole["probes"] for fault in probe["faults"]]
    cautions = [caution["kind"] for caution in whole["cautions"]]
    if {probe["name"] for probe in whole["probes"]} != set(made["all_probes"]):
        return ["the probes in the answer are not those of the run"]
    if whole["verdict"] is None:
        return ["was not judged"]
    if made["faulty"]:
        texts = [f"{name} is accused of {kind}" for name, kind in faults if name not in made["probes"]]
        if made["kind"] in TO_BE_SEEN and not any(kind == made["kind"] for _, kind in faults):
            seen = ", ".join(f"{name} {kind}" for name, kind in faults) or "nothing"
            texts.append(f"not seen at {' or '.join(made['probes'])}; seen: {seen}")
        return texts
    texts = [f"{name} is accused of {kind}" for name, kind in faults]
    if made["kind"] == "clean":
        texts += [f"caution {kind}" for kind in cautions]
    if made["kind"] == "offset":
        texts += [f"caution {kind}" for kind in cautions if kind not in CAUTIONS_WITH_OFFSETS]
    return texts


def tried(program, folder, made):
    """(name of the run's kind, what is wrong) for every run, in order; bounded work at a time."""
    with concurrent.futures.ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        answers = pool.map(lambda one: judged(program, folder / one["folder"]), made)
        for one, (whole, trouble) in zip(made, answers):
            yield one, [trouble] if whole is None else complaints(one, whole)


def main():
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("program")
    asked.add_argument("--seed", type=int, default=7)
    asked.add_argument("--keep", type=pathlib.Path, help="leave the runs in this folder")
    asked.add_argument("--only", default="", help="only runs whose name holds this")
    given = asked.parse_args()
    part = WHOLE if os.environ.get("COLDBAG_LONG") == "1" else FIXED_PART
    with tempfile.TemporaryDirectory() as place:
        folder = given.keep or pathlib.Path(place)
        made = [one for one in make_all(folder, given.seed, **part) if given.only in one["folder"]]
        bad, wrong_kinds = 0, collections.Counter()
        for one, texts in tried(given.program, folder, made):
            if texts:
                bad += 1
                wrong_kinds[one["kind"]] += 1
                print(f"{one['folder']}: {'; '.join(texts)}")
    print(f"{len(made)} seeded runs tried, {bad} not as they should be", dict(wrong_kinds) if bad else "")
    sys.exit(1 if bad or not made else 0)


if __name__ == "__main__":
    main()
