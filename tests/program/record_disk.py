#!/usr/bin/python3
"""A disk that is full and a ledger that can only be read: the program says so, what was added before is there and verifies,
and the next entry goes in once there is room. On PostgreSQL the server says that its disk is full, or goes away.

usage: record_disk.py PROGRAM SOURCE_FOLDER
"""
import os
import pathlib
import random
import resource
import shutil
import subprocess
import sys
import tempfile

import ledgers

NOBODY = 65534
SMALL_DISK = "--small-disk"
program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
is_root = os.getuid() == 0
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:400])


def record(*arguments, where, **how):
    """Status and words."""
    done = subprocess.run([program, "record", *map(str, arguments), "--ledger", str(where)], capture_output=True, text=True,
                          timeout=300, stdin=subprocess.DEVNULL, cwd=folder, **how)
    return done.returncode, " ".join((done.stdout + done.stderr).split())


def add(where, **how):
    return record("add", folder / "examples" / "good-sterilization" / "run.toml", "--key", folder / "farm.key", "--by",
                  "Ana Example", where=where, **how)


def is_whole(where, entries, **how):
    status, said = record("verify", where=where, **how)
    expect(f"{entries} entries are whole: {said}", status == 0 and f"{entries} entries" in said)


def start(where):
    status, said = record("start", "--key", folder / "farm.key", "--by", "Ana Example", where=where)
    expect(f"a ledger is made: {said}", status == 0)


def is_refused(where, words, **how):
    status, said = add(where, **how)
    expect(f"what is full is said: {status} {said}", status == 74 and words in said and "nothing was added" in said)


def goes_on(where, entries):
    status, said = add(where)
    expect(f"with room again the next goes in: {said}", status == 0 and f"Entry {entries}:" in said)
    is_whole(where, entries + 1)


def file_may_not_grow():
    """Wherever in the writing of an entry the end comes; one takes some 130,000 bytes."""
    chance = random.Random(20260308)
    where = folder / "limited.ledger"
    shutil.copy(folder / "farm.ledger", where)
    for entries in range(2, 6):
        most = chance.randrange(1_000, 120_000)
        limit = {"preexec_fn": lambda size=most: resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))}
        is_refused(where, "the disk", **limit)
        is_whole(where, entries)
        goes_on(where, entries)


def on_a_small_disk():
    """In a process of its own that may mount one."""
    small = folder / "small"
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2000k", "none", small], check=True)
    where, filled = small / "farm.ledger", small / "filled"
    shutil.copy(folder / "farm.ledger", where)
    for entries, left in enumerate((0, 49_152, 98_304), start=2):
        filled.write_bytes(b"x" * (shutil.disk_usage(small).free - left))
        is_refused(where, "the disk")
        filled.unlink()
        is_whole(where, entries)
        goes_on(where, entries)


def small_disk():
    """Root may mount; elsewhere the system may let anybody, in a space of his own."""
    own_space = ["unshare", "--mount"] if is_root else ["unshare", "--map-root-user", "--mount"]
    (folder / "small").mkdir()
    if subprocess.run([*own_space, "mount", "-t", "tmpfs", "none", folder / "small"], capture_output=True).returncode != 0:
        print("no disk can be mounted here: a file that may not grow stands for it")
        return
    done = subprocess.run([*own_space, sys.executable, __file__, program, source, SMALL_DISK, folder], capture_output=True,
                          text=True, timeout=300)
    expect(f"a small disk: {done.stdout}{done.stderr}", done.returncode == 0)


def only_read():
    """Root may write anywhere, so somebody else tries."""
    who = {"user": NOBODY, "group": NOBODY, "extra_groups": []} if is_root else {}
    if is_root:
        os.chown(folder / "farm.key", NOBODY, NOBODY)
    for name, file_rights, folder_rights in (("neither", 0o444, 0o555), ("folder", 0o444, 0o777), ("file", 0o666, 0o555)):
        there = folder / name
        there.mkdir()
        where = shutil.copy(folder / "farm.ledger", there)
        os.chmod(where, file_rights)
        there.chmod(folder_rights)
        status, said = add(where, **who)
        expect(f"{name}: the right to write is missing: {status} {said}", status == 73 and "can only be read" in said)
        status, said = record("list", where=where, **who)
        expect(f"{name}: it is listed all the same: {said}", status == 0 and "good-sterilization" in said)
        is_whole(where, 2, **who)
        expect(f"{name}: nothing is left beside it", [each.name for each in there.iterdir()] == ["farm.ledger"])
        there.chmod(0o755)
        os.chmod(where, 0o644)
    if is_root:
        os.chown(folder / "farm.key", 0, 0)
    goes_on(folder / "folder" / "farm.ledger", 2)


def server_fails():
    """A trigger stands for the server's own trouble: it raises the code that PostgreSQL has for it."""
    where = kept.where("farm.ledger")
    for does, words, wanted in (("RAISE EXCEPTION USING ERRCODE = 'disk_full'", "the disk is full", 74),
                                ("PERFORM pg_terminate_backend(pg_backend_pid())", "the database was lost", 74)):
        ledgers.by_psql(where, "CREATE OR REPLACE FUNCTION trouble() RETURNS trigger LANGUAGE plpgsql AS "
                        f"$$BEGIN {does}; RETURN NEW; END$$", "CREATE TRIGGER trouble AFTER INSERT ON entries FOR EACH ROW "
                        "EXECUTE FUNCTION trouble()")
        status, said = add(where)
        expect(f"{words}: {status} {said}", status == wanted and words in said)
        ledgers.by_psql(where, "DROP TRIGGER trouble ON entries")
        entries = len(kept.numbers("farm.ledger"))
        is_whole(where, entries)
        goes_on(where, entries)


def ledger_to_start_from():
    shutil.copytree(source / "examples" / "good-sterilization", folder / "examples" / "good-sterilization")
    shutil.copy(source / "examples" / "farm.toml", folder / "examples")
    global program
    program = shutil.copy(program, folder / "coldbag") # where everybody may read it
    start(kept.where("farm.ledger"))
    status, said = add(kept.where("farm.ledger"))
    expect(f"a run is added: {said}", status == 0)


if SMALL_DISK in sys.argv:
    folder = pathlib.Path(sys.argv[-1])
    on_a_small_disk()
else:
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        folder.chmod(0o755)
        kept = ledgers.Ledgers(folder)
        ledger_to_start_from()
        if ledgers.is_on_postgresql:
            server_fails()
        else:
            file_may_not_grow()
            small_disk()
            only_read()
print(f"record_disk: {len(faults)} faults")
sys.exit(1 if faults else 0)
