#!/usr/bin/python3
"""Breaks src/kinetics/lethality.cpp in ten ways and reports how many tests/published/lethality_test.cpp finds.

Slow, so not part of the test run. From anywhere:  /usr/bin/python3 tests/mutants.py
Exit status 0 if the unbroken source passes and at least nine of the ten are found.
"""

import os
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src/kinetics/lethality.cpp"
LEAST_FOUND = 9

# What is broken, the text as it stands (once in the source), and what takes its place.
MUTANTS = [
    ("sign of the exponent", "(t_degC - reference.at_degC)", "(reference.at_degC - t_degC)"),
    ("reference temperature a tenth off", "(t_degC - reference.at_degC)", "(t_degC - reference.at_degC - 0.1)"),
    ("minutes of 61 seconds", "dt_s / 60.0 * plain_rate(hot_degC", "dt_s / 61.0 * plain_rate(hot_degC"),
    ("base e for base ten", "/ reference.z_K * log2_of_10", "/ reference.z_K / ln_of_2"),
    ("colder end of the run first", "plain_rate(hot_degC, reference) *",
     "plain_rate(std::min(t1_degC, t2_degC), reference) *"),
    ("one term of the near series lost", "std::size_t k = 8; k-- > 0;", "std::size_t k = 3; k-- > 0;"),
    ("division of the far mean left out", "- 1.0) / x;", "- 1.0);"),
    ("a run under the lower cut-off keeps all its time",
     "span_s *= (high_degC - *reference.lowest_degC) / run_K;", ""),
    ("lower cut-off on the wrong side",
     "if (reference.lowest_degC && t_degC < *reference.lowest_degC) return 0;",
     "if (reference.lowest_degC && t_degC <= *reference.lowest_degC) return 0;"),
    ("upper cut-off takes the time below it", "dt_s * (high_degC - top_degC) / run_K",
     "dt_s * (top_degC - low_degC) / run_K"),
]


def compile_object(source, target):
    command = [os.environ.get("CXX", "g++"), "-std=c++20", "-O1", "-ffp-contract=off", f"-I{ROOT}/src",
               f"-I{ROOT}/tests", "-c", str(source), "-o", str(target)]
    return subprocess.run(command, stderr=subprocess.DEVNULL, check=False).returncode == 0


def passes(work, name, text, common):
    """Whether the test passes with this text as the source; None if it does not compile."""
    source = work / f"{name}.cpp"
    source.write_text(text)
    if not compile_object(source, work / f"{name}.o"):
        return None
    program = work / name
    subprocess.run([os.environ.get("CXX", "g++"), work / f"{name}.o", *common, "-o", program], check=True)
    try:
        run = subprocess.run([program], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=120,
                             check=False)
    except subprocess.TimeoutExpired:
        return False
    return run.returncode == 0


def main():
    original = SOURCE.read_text()
    for what, before, _ in MUTANTS:
        if original.count(before) != 1:
            sys.exit(f"mutants.py: \"{what}\" looks for a text that stands {original.count(before)} times: {before}")
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        common = []
        for path in ("tests/support/main.cpp", "tests/published/lethality_test.cpp", "src/errors/our_fault.cpp"):
            target = work / (path.replace("/", "_") + ".o")
            if not compile_object(ROOT / path, target):
                sys.exit(f"mutants.py: {path} does not compile")
            common.append(target)
        if not passes(work, "original", original, common):
            sys.exit("mutants.py: the test fails on the unbroken source")
        found = 0
        for number, (what, before, after) in enumerate(MUTANTS, 1):
            verdict = passes(work, f"mutant{number}", original.replace(before, after), common)
            if verdict is None:
                sys.exit(f"mutants.py: \"{what}\" does not compile, so it tells nothing")
            found += not verdict
            print(f"{number:2} {'NOT FOUND' if verdict else 'found':9} {what}", flush=True)
    print(f"{found} of {len(MUTANTS)} found; at least {LEAST_FOUND} are wanted")
    return 0 if found >= LEAST_FOUND else 1


if __name__ == "__main__":
    sys.exit(main())
