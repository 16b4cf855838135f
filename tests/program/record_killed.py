#!/usr/bin/python3
"""A program that adds entries is killed (SIGKILL) at seeded moments: every entry that it said was added is there, nothing is
half there, the ledger verifies, and the next one goes on. Where COLDBAG_LONG is set, more often; on PostgreSQL the
server's own process for the writer is killed there too.

usage: record_killed.py PROGRAM APPEND_ENTRIES
"""
import os
import pathlib
import random
import signal
import subprocess
import sys
import tempfile
import time

import ledgers

program, append = (str(pathlib.Path(path).resolve()) for path in sys.argv[1:])
long_run = "COLDBAG_LONG" in os.environ
KILLS_A_LEDGER = 25
LEDGERS = 20 if long_run else 1
LATEST_S = 0.1
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:400])


def appended(where, count, seed, *make):
    done = subprocess.run([append, where, str(count), str(seed), *make], capture_output=True, text=True, timeout=300)
    expect(f"an undisturbed writer adds: {done.stderr}", done.returncode == 0)


def kill_server_process(where):
    """As a fault of the server would. It starts anew by itself; until then it takes nobody."""
    for pid in ledgers.by_psql(where, "SELECT pid FROM pg_stat_activity WHERE datname = current_database() "
                                      "AND pid <> pg_backend_pid()"):
        os.kill(int(pid), signal.SIGKILL)


def wait_for_server(where):
    for _ in range(300):
        try:
            return ledgers.by_psql(where, "SELECT 1")
        except RuntimeError:
            time.sleep(0.1)
    raise RuntimeError("the server did not come back")


def killed_writer(where, said, seed, chance, at_the_server):
    """The numbers that it said, in a file, were added before it was killed."""
    with open(said, "w", encoding="ascii") as numbers, subprocess.Popen(
            [append, where, "1000000", str(seed)], stdout=numbers, stderr=subprocess.PIPE, text=True) as writer:
        # Every other one while it gets ready or begins, the rest at work, however slow the machine.
        while seed % 2 == 0 and said.stat().st_size == 0 and writer.poll() is None:
            time.sleep(0.001)
        time.sleep(chance.uniform(0, LATEST_S))
        if at_the_server:
            kill_server_process(where)
        else:
            writer.kill()
        _, fault = writer.communicate(timeout=60)
        if at_the_server:
            wait_for_server(where)
            expect(f"a writer whose server is gone says so: {fault}", "was lost" in fault or "cannot be reached" in fault)
        expect(f"the writer came to no end of its own: {fault}", writer.returncode != 0)
    return [int(line) for line in said.read_text(encoding="ascii").split("\n")[:-1]]


def try_one(kept, name, seed):
    chance = random.Random(seed)
    where = kept.where(name)
    appended(where, 1, seed, "make")
    count, told = 2, 0
    for kill in range(KILLS_A_LEDGER):
        numbers = killed_writer(where, kept.folder / "said", (seed - 20260000) * 1000 + kill, chance,
                                ledgers.is_on_postgresql and long_run and kill % 10 == 9)
        told += len(numbers)
        there = kept.numbers(name)
        expect(f"kill {kill}: it went on at {count}: {numbers[:1]}", not numbers or numbers[0] == count)
        count += len(numbers)
        # One more may be there that it had no time to tell of.
        expect(f"kill {kill}: all {count} told are there, without holes: {len(there)}",
               there == list(range(len(there))) and len(there) - count in (0, 1))
        count = len(there)
        if kill % 5 == 4:
            done = subprocess.run([program, "record", "verify", "--ledger", where], capture_output=True, text=True, timeout=300)
            expect(f"kill {kill}: the ledger is whole: {done.stdout}{done.stderr}",
                   done.returncode == 0 and f"{count} entries" in done.stdout)
    appended(where, 1, seed + 1)
    expect("the last one was added", len(kept.numbers(name)) == count + 1)
    expect(f"writers got to work before they were killed: {told}", told >= KILLS_A_LEDGER // 2)


with tempfile.TemporaryDirectory() as folder:
    for each in range(LEDGERS):
        try_one(ledgers.Ledgers(pathlib.Path(folder)), f"killed-{each}.ledger", 20260308 + each)
print(f"record_killed: {LEDGERS * KILLS_A_LEDGER} kills, {len(faults)} faults")
sys.exit(1 if faults else 0)
