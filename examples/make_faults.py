"""Makes seeded logs for the checks of probes: with each fault, clean ones near it, and clean runs of many kinds.

Run:  /usr/bin/python3 examples/make_faults.py OUTDIR [--seed N] [--kinds K,K] [--clean N] [--offsets N] [--each N]

OUTDIR gets a folder for each run, with run.toml, site.toml and log.csv, and made.json, which says of each run what
was put into it: kind of fault, whether it is there or only nearly, and the probes that have it. All of it is invented.
"""

import argparse
import json
import pathlib
import sys

sys.dont_write_bytecode = True
from made.clean import clean_runs, offset_runs  # noqa: E402
from made.faults import KINDS, cases  # noqa: E402
from made.load import write  # noqa: E402


def make_all(folder, seed, kinds=KINDS, numbers=(0, 1, 2), clean=200, offsets=50):
    """Writes everything; gives what stands in made.json."""
    folder.mkdir(parents=True, exist_ok=True)
    made = []

    def put(name, run, rng, **what):
        write(run, folder / name, rng)
        probes = [probe.name for probe in run.load.probes]
        made.append({"folder": name, "all_probes": probes, "treatment": run.load.treatment, **what})

    for case, rng in cases(seed, numbers, kinds):
        put(case.name, case.made, rng, kind=case.kind, faulty=case.faulty, probes=case.probes)
    for set_of, runs in (("clean", clean_runs(seed, clean)), ("offset", offset_runs(seed, offsets))):
        for name, run, rng in runs:
            put(name, run, rng, kind=set_of, faulty=False, probes=[])
    (folder / "made.json").write_text(json.dumps({"invented": True, "seed": seed, "runs": made}, indent=1) + "\n",
                                      encoding="utf-8")
    return made


def main():
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("outdir", type=pathlib.Path)
    asked.add_argument("--seed", type=int, default=7)
    asked.add_argument("--kinds", default=",".join(KINDS))
    asked.add_argument("--each", type=int, default=3, choices=(1, 2, 3), help="logs of each kind, with and near")
    asked.add_argument("--clean", type=int, default=200)
    asked.add_argument("--offsets", type=int, default=50)
    given = asked.parse_args()
    made = make_all(given.outdir, given.seed, given.kinds.split(","), range(given.each), given.clean, given.offsets)
    print(f"{len(made)} runs in {given.outdir}")


if __name__ == "__main__":
    main()
