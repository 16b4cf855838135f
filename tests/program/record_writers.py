#!/usr/bin/python3
"""Eight programs add to one ledger at once: none of their entries is lost, none has another's number, and all verify.

usage: record_writers.py PROGRAM APPEND_ENTRIES
"""
import os
import pathlib
import subprocess
import sys
import tempfile

import ledgers

program, append = (str(pathlib.Path(path).resolve()) for path in sys.argv[1:])
WRITERS = 8
EACH = 1000 if "COLDBAG_LONG" in os.environ else 25
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:400])


def written_at_once(where):
    """The numbers that each writer was given."""
    writers = [subprocess.Popen([append, where, str(EACH), str(seed)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
               for seed in range(WRITERS)]
    numbers = []
    for writer in writers:
        said, fault = writer.communicate(timeout=3000)
        expect(f"a writer adds all of its own: {fault}", writer.returncode == 0)
        numbers.append([int(line) for line in said.split()])
    return numbers


with tempfile.TemporaryDirectory() as folder:
    kept = ledgers.Ledgers(pathlib.Path(folder))
    place = kept.where("shared.ledger")
    subprocess.run([append, place, "0", "1", "make"], check=True, timeout=60)
    given = written_at_once(place)
    expect("each was told of as many as it added", [len(numbers) for numbers in given] == [EACH] * WRITERS)
    expect("each went upwards", all(numbers == sorted(numbers) for numbers in given))
    expect("no number twice and none left out",
           sorted(number for numbers in given for number in numbers) == list(range(1, WRITERS * EACH + 1)))
    expect("the ledger has these", kept.numbers("shared.ledger") == list(range(WRITERS * EACH + 1)))
    expect("they wrote among each other", any(numbers[-1] - numbers[0] >= EACH for numbers in given))
    whole = subprocess.run([program, "record", "verify", "--ledger", place], capture_output=True, text=True, timeout=3000)
    expect(f"all verify: {whole.stdout}{whole.stderr}",
           whole.returncode == 0 and f"{WRITERS * EACH + 1} entries" in whole.stdout)
print(f"record_writers: {WRITERS} x {EACH} entries, {len(faults)} faults")
sys.exit(1 if faults else 0)
