"""Makes a year of the invented farm, and keeps it in a ledger with the real program: 120 runs of three vessels, with
what was inoculated of them, what became of the bags, and who looked each record over.

Everything here is invented: the farm, the people, the runs and every reading. What is hidden in the year stands in
made/year.py; coldbag record trends and coldbag record outcomes find it. Takes some ten minutes.

Run:  /usr/bin/python3 examples/make_year.py PROGRAM FOLDER [WEEKS]
"""

import datetime
import pathlib
import re
import subprocess
import sys

import numpy as np

sys.dont_write_bytecode = True
from made.run import write_run  # noqa: E402
from made.year import PEOPLE, WEEKS, bad_bags, spawn_lot, year_runs  # noqa: E402

HERE = pathlib.Path(__file__).resolve().parent
AT_ONCE = 12


class Ledger:
    """The ledger of a folder, by the program's own commands."""

    def __init__(self, program, folder):
        self.program, self.folder = str(pathlib.Path(program).resolve()), folder

    def record(self, *arguments, by):
        done = subprocess.run([self.program, "record", *map(str, arguments), "--ledger", "farm.ledger", "--key", "farm.key",
                               "--by", by], cwd=self.folder, capture_output=True, text=True, stdin=subprocess.DEVNULL)
        if done.returncode != 0:
            sys.exit(f"{arguments}: {done.stderr}{done.stdout}")
        return " ".join(done.stdout.split())


def site_of_the_year(folder):
    """The farm of the examples, its probes checked before the year began."""
    text = (HERE / "farm.toml").read_text(encoding="utf-8")
    (folder / "farm.toml").write_text(text.replace("on = 2026-02-01", "on = 2025-01-02"), encoding="utf-8")


def keep_runs(ledger, runs):
    """Adds the runs; gives back each one's verdict by its name."""
    verdicts = {}
    for first in range(0, len(runs), AT_ONCE):
        said = ledger.record("add", *[f"{made.run.folder}/run.toml" for made in runs[first:first + AT_ONCE]], by=PEOPLE[0])
        verdicts.update((name, verdict) for name, verdict in re.findall(r"Entry \d+: ([\w-]+), (\w+)", said))
    return verdicts


def on_day(made, days):
    return (made.run.start + datetime.timedelta(days=days)).date().isoformat()


def decide(ledger, made, verdict):
    """Whether the bags went on to be inoculated."""
    name, at = made.run.folder, ["--at", on_day(made, 2)]
    if verdict == "PASS":
        ledger.record("decide", name, "--disposition", "released", *at, by=PEOPLE[1])
        return True
    if made.is_short and made.week < WEEKS // 2:
        ledger.record("decide", name, "--disposition", "released_as_trial", "--reason", "to see what a short run costs",
                      "--second", PEOPLE[2], *at, by=PEOPLE[1])
        return True
    if verdict == "FAIL":
        ledger.record("decide", name, "--disposition", "discarded", "--reason", "too little heat", *at, by=PEOPLE[1])
        return False
    ledger.record("decide", name, "--disposition", "released", "--reason", "enough in the bags with a probe", "--second",
                  PEOPLE[2], *at, by=PEOPLE[1])
    return True


def tell_later(ledger, made, verdict, rng):
    name = made.run.folder
    ledger.record("review", name, "--agrees", "yes", "--at", on_day(made, 1), by=PEOPLE[1])
    if not decide(ledger, made, verdict):
        return
    lot = "L-" + name
    ledger.record("inoculate", name, "--bags", made.bags, "--inoculation-lot", lot, "--spawn-lot", spawn_lot(made), "--shift",
                  ("morning", "evening")[made.week % 2], "--room", "ABC"[made.week % 3], "--at", on_day(made, 2),
                  by=PEOPLE[2])
    left = made.bags
    for day, bad, kind, place in bad_bags(made, rng):
        ledger.record("outcome", name, "--day", day, "--looked-at", left, "--bad", bad, "--kind", kind, "--place", place,
                      "--inoculation-lot", lot, "--at", on_day(made, 2 + day), by=PEOPLE[2])
        left -= bad


def main():
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    folder = pathlib.Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    runs = year_runs(int(sys.argv[3]) if len(sys.argv) > 3 else WEEKS)
    site_of_the_year(folder)
    for made in runs:
        write_run(made.run, folder / made.run.folder)
    ledger = Ledger(sys.argv[1], folder)
    ledger.record("start", by=PEOPLE[0])
    verdicts = keep_runs(ledger, runs)
    rng = np.random.default_rng(7)
    for made in runs:
        tell_later(ledger, made, verdicts[made.run.folder], rng)
    print(f"{len(runs)} invented runs are in {folder / 'farm.ledger'}")


if __name__ == "__main__":
    main()
