"""Makes the example runs: a folder each beside this file, with run.toml and log.csv.

Everything here is invented: the farm, the runs and every reading. How it is computed stands in made/, one part a
file. Seeds are fixed, so the same files come out each time. Nothing is shared with the program that judges the logs.

Run:  /usr/bin/python3 examples/make_examples.py [OUTDIR]
"""

import pathlib
import sys

sys.dont_write_bytecode = True
from made.farm_runs import runs  # noqa: E402
from made.run import write_run  # noqa: E402

HERE = pathlib.Path(__file__).resolve().parent


def main():
    outdir = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    for run in runs():
        write_run(run, outdir / run.folder)


if __name__ == "__main__":
    main()
