#!/usr/bin/python3
"""What people state about runs, on the real program: rules of release, deviations opened and closed, fields asked and
listed, lots traced both ways, what is due, a probe in doubt, runs judged again, and a key that follows another. On
PostgreSQL where COLDBAG_POSTGRESQL names a server; there several programs share the judging.

usage: record_statements.py PROGRAM SOURCE_FOLDER
"""
import os
import pathlib
import pty
import signal
import subprocess
import sys
import tempfile
import time

import ledgers

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:600])


def record(folder, *arguments, status=0, by=None, key="farm.key"):
    command = [program, "record", *map(str, arguments), "--ledger", where]
    if by:
        command += ["--key", key, "--by", by]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=300, stdin=subprocess.DEVNULL)
    expect(f"{arguments} ends with {status}, not {done.returncode}: {done.stderr}{done.stdout}", done.returncode == status)
    return " ".join((done.stdout + done.stderr).split())


def tell(what, said, *words):
    for word in words:
        expect(f"{what} tells \"{word}\": {said}", word in said)


def run_with_events(folder):
    """The example run with a door, a power cut and a burst bag while steam is on, and a door after it."""
    made = folder / "events"
    made.mkdir()
    text = (source / "examples/good-sterilization/run.toml").read_text()
    for name in ("log.csv",):
        (made / name).write_bytes((source / "examples/good-sterilization" / name).read_bytes())
    (made / "farm.toml").write_bytes((source / "examples/farm.toml").read_bytes())
    text = text.replace("../farm.toml", "farm.toml").replace('name = "good-sterilization"', 'name = "door night"')
    for what, at, note in (("power_cut", "20:10", "two minutes"), ("door_opened", "20:30", ""), ("bag_burst", "23:58", ""),
                           ("door_opened", "00:10", "unloading")):
        day = "05" if at < "12" else "04"
        text += f'\n[[event]]\nwhat = "{what}"\ntime = 2026-03-{day}T{at}:00\n' + (f'note = "{note}"\n' if note else "")
    (made / "run.toml").write_text(text)
    return made / "run.toml"


def releases(folder):
    failed = ("decide", "2", "--disposition", "released")
    said = record(folder, *failed, by="Ben Example", status=64)
    tell("a release against FAIL", said, "--reason", "--second")
    record(folder, *failed, "--reason", "trial", "--second", "Ben Example", by="Ben Example", status=64)
    record(folder, *failed, "--reason", "trial", "--second", "Cy Example", by="Ben Example")
    record(folder, "decide", "2", "--disposition", "discarded", by="Ben Example")
    record(folder, "decide", "1", "--disposition", "released", by="Ben Example")
    said = record(folder, "decide", "1", "--disposition", "lost", by="Ben Example", status=64)
    tell("a word that is none", said, "released_as_trial", "held")
    shown = record(folder, "show", "2")
    expect(f"the verdict stays: {shown}", "verdict on heat: FAIL" in shown and "released" in shown and "discarded" in shown)


def deviations(folder, number):
    open_now = record(folder, "list", "--open")
    tell("what is open", open_now, "power cut", "two minutes", "door opened", "bag burst")
    expect(f"a door after steam off is as planned: {open_now}", open_now.count("door night") == 3)
    for dev in (number + 1, number + 2):
        record(folder, "remedy", dev, "--action", "held 10 min more", "--closes", "yes", by="Ana Example")
    record(folder, "remedy", number + 3, "--action", "looking", "--closes", "no", by="Ana Example")
    still = record(folder, "list", "--open")
    expect(f"one is still open: {still}", still.count("door night") == 1 and f"{number + 3} " in still)
    said = record(folder, "remedy", number, "--action", "x", "--closes", "yes", by="Ana Example", status=64)
    tell("an action on a run", said, 'is of kind "run"', "deviation")
    record(folder, "deviation", "1", "--event", "other", "--what", "trolley fell", by="Ana Example")
    tell("one by hand", record(folder, "list", "--open"), "trolley fell")


def strips(folder):
    strip = ["spore-strip", "1", "--organism", "geobacillus", "--strips", "4", "--control-strips", "2"]
    record(folder, *strip, "--grown", "0", "--control-grown", "2", by="Ana Example")
    record(folder, *strip, "--grown", "1", "--control-grown", "0", by="Ana Example")
    expect("a dead control says nothing", "growth" not in record(folder, "list", "--open"))
    record(folder, *strip, "--grown", "5", "--control-grown", "2", by="Ana Example", status=64)
    said = record(folder, *strip, "--grown", "1", "--control-grown", "2", by="Ana Example")
    tell("growth after PASS", said, "deviation")
    tell("what is open then", record(folder, "list", "--open"), "growth")


def fields(folder):
    shown = record(folder, "show", "good-sterilization")
    tell("a run", shown, "recipe: oak", "Not stated:", "recorder")
    record(folder, "amend", "1", "--recipe", "beech", "--logger", "paper", "--reason", "typing", by="Ana Example")
    shown = record(folder, "show", "1")
    tell("a run put right", shown, "recipe: beech", "recorder: paper", "amendment by Ana Example")
    record(folder, "amend", "1", "--recipe", "x", by="Ana Example", status=64)
    record(folder, "outcome", "1", "--day", "14", "--looked-at", "3", "--bad", "4", by="Ana Example", status=64)
    said = record(folder, "outcome", "1", "--day", "soon", "--looked-at", "3", by="Ana Example", status=64)
    tell("every fault at once", said, "--day", "--bad")
    tell("a run that is not there", record(folder, "review", "nobody", "--agrees", "yes", by="A", status=64), "list shows")
    # A time without a zone is that of the run's wall; one to come is refused.
    record(folder, "review", "1", "--agrees", "yes", "--at", "2026-03-05 08:00", by="Ben Example")
    record(folder, "review", "1", "--agrees", "yes", "--at", "2099-03-05", by="Ben Example", status=64)
    last = record(folder, "list").split("good-sterilization")[-2]
    expect(f"08:00 by the clock of the run is 13:00 UTC: {last}", "2026-03-05 13:00" in last)


def asked_at_terminal(folder):
    """A person is asked once for what no file says; an empty line leaves it out, a wrong answer is asked again."""
    answers = "maybe\nno\n\nfour layers\n" + 9 * "\n"
    primary, secondary = pty.openpty()
    done = subprocess.Popen([program, "record", "add", str(source / "examples/us-units/run.toml"), "--ledger", where, "--key",
                             "farm.key", "--by", "Ana Example"], cwd=folder, stdin=secondary, stdout=subprocess.PIPE,
                            stderr=subprocess.PIPE, text=True)
    os.close(secondary)
    os.write(primary, answers.encode())
    out, errors = done.communicate(timeout=120)
    os.close(primary)
    expect(f"a run is kept at a terminal: {out}{errors}", done.returncode == 0 and "us-units" in out)
    expect(f"a wrong answer is told: {out}", "maybe" in out and "yes, no" in out)
    shown = record(folder, "show", "us-units")
    tell("what was answered", shown, "how the bags stood: four layers", "substrate of animal origin: no")


def lots(folder):
    record(folder, "inoculate", "1", "--inoculation-lot", "I9", "--bags", "40", "--spawn-lot", "SP1, SP2", "--room", "2",
           by="Di Example")
    record(folder, "outcome", "1", "--day", "14", "--looked-at", "40", "--bad", "3", by="Di Example")
    back = record(folder, "trace", "SP2")
    tell("from the spawn back", back, "good-sterilization", "S4", "I9", "bad bags so far: 3")
    forth = record(folder, "trace", "S4")
    tell("from the material on", forth, "good-sterilization", "straw-overshoot", "I9", "discarded")
    listed = record(folder, "list", "--lot", "SP2")
    expect(f"one run is on SP2: {listed}", "good-sterilization" in listed and "straw-overshoot" not in listed)
    unread = record(folder, "list", "--reviewed", "no")
    expect(f"nobody reviewed one of them: {unread}", "straw-overshoot" in unread and "good-sterilization" not in unread)
    record(folder, "list", "--reviewed", "perhaps", status=64)
    tell("a room", record(folder, "trace", "2"), "I9")
    tell("a lot nobody knows", record(folder, "trace", "S99"), "No run")


def due_and_kept(folder):
    said = record(folder, "due")
    expect(f"a reviewed run is not missing: {said}", "good-sterilization" not in said)
    tell("a missing review", said, "straw-overshoot", "2026-03-18")
    kept = record(folder, "keep")
    tell("retention", kept, "5 years", "keep-organic")
    tell("another rule", record(folder, "keep", "--rule", "keep-produce"), "2 years")
    tell("a rule that is none", record(folder, "keep", "--rule", "for-ever", status=64), "keep-low-acid")


def probe_in_doubt(folder):
    # The run's own check of February counts, so March is after it; a check of today finds the probe 12 K high.
    record(folder, "probe-check", "--probe", "core_1", "--method", "boil", "--reads", "108.1 C", "--is", "96.1 C",
           "--result", "bad", by="Ben Example")
    tell("what is due", record(folder, "due"), "core_1: not to be relied on")
    said = record(folder, "affected", "--probe", "core_1")
    tell("runs since its last good check", said, "2026-02-01", "good-sterilization")
    row = said.split("good-sterilization")[1].split()
    expect(f"PASS then, and no longer: {row}", row[0] == "PASS" and row[1] != "PASS")
    record(folder, "probe-check", "--probe", "core_1", "--method", "boil", "--reads", "96.2 C", "--is", "96.1 C",
           "--result", "good", by="Ben Example")
    tell("after a good one", record(folder, "affected", "--probe", "core_1"), ": 0.")
    tell("a probe without a name", record(folder, "affected", status=64), "--probe")


def judged_again(folder):
    same = record(folder, "judge-again")
    tell("under the same tables", same, "All verdicts are the same", "Nothing in the ledger was changed")
    other = record(folder, "judge-again", "--treatment-now", "atmospheric_steam", "--threads", "2")
    tell("by another treatment", other, "good-sterilization", "FAIL", "would be others")
    before = record(folder, "seal")
    record(folder, "judge-again", "--treatment-now", "atmospheric_steam")
    expect("a report changes nothing", record(folder, "seal") == before)
    record(folder, "judge-again", "--threads", "none", status=64)


def shared(folder):
    """Programs that share the judging end with the same report, also where one dies over its part."""
    command = [program, "record", "judge-again", "--treatment-now", "atmospheric_steam", "--threads", "1", "--ledger", where]
    if not ledgers.is_on_postgresql:
        tell("a file", record(folder, "judge-again", "--share", "autumn", status=64), "several machines")
        return
    alone = record(folder, "judge-again", "--treatment-now", "atmospheric_steam")
    dies = subprocess.Popen(command + ["--share", "autumn"], stdout=subprocess.DEVNULL)
    time.sleep(0.15)
    dies.send_signal(signal.SIGKILL)
    dies.wait()
    both = [subprocess.Popen(command + ["--share", "autumn"], stdout=subprocess.PIPE, text=True) for _ in range(2)]
    for one in both:
        said = " ".join(one.communicate(timeout=300)[0].split())
        expect(f"a shared report says what one alone says: {said} not {alone}", said == alone and one.returncode == 0)
    shared_rows = ledgers.by_psql(where, "SELECT count(*), count(said) FROM shared_work")
    runs = ledgers.by_psql(where, "SELECT count(*) FROM entries WHERE kind = 'run'")
    expect(f"each run was judged once: {shared_rows}, {runs}", shared_rows == [f"{runs[0]}|{runs[0]}"])
    expect("the ledger is as it was", "Whole" in record(folder, "verify"))


def bare_log(folder):
    """A log judged by options alone is kept with them, and says the same again."""
    log = source / "examples/good-sterilization/log.csv"
    options = ["--treatment", "sterilize", "--in-bag", "Core 1, Core 2", "--vessel", "Vessel", "--altitude", "1150 m",
               "--rated", "15 psi gauge"]
    checked = subprocess.run([program, "check", str(log), *options], capture_output=True, text=True).stdout
    last = " ".join(checked.split("coldbag record add")[-1].replace("\\\n", " ").split())
    for word in ("--treatment sterilize", "--in-bag 'Core 1, Core 2'", "--altitude '1150 m'", "log.csv", "--by NAME"):
        expect(f"check tells how to keep it with {word}: {last}", word in last)
    tell("a bare log kept", record(folder, "add", log, *options, by="Ana Example"), "log.csv")


def keys(folder):
    record(folder, "key", "--new-key", "second.key", "--reason", "new machine", by="Ana Example")
    said = record(folder, "review", "3", "--agrees", "yes", by="Ben Example", status=65)
    tell("the old key", said, "not the one")
    record(folder, "review", "3", "--agrees", "yes", by="Ben Example", key="second.key")
    whole = record(folder, "verify", "--recompute")
    tell("a ledger of two keys", whole, "Whole", "judged again")
    expect(f"both keys are told: {whole}", whole.count("- key ") == 2)
    # Without the old key it goes on as well, and whoever verifies is told.
    lost = record(folder, "key", "--lost", "--new-key", "third.key", "--reason", "disk broke", by="Ana Example", key="none")
    tell("a lost key", lost, "without a word of the key before it")
    record(folder, "review", "3", "--agrees", "yes", by="Ben Example", key="third.key")
    tell("a ledger with a lost key", record(folder, "verify"), "Whole", "without a word of the key before it")


with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    where = ledgers.Ledgers(folder).where("farm.ledger")
    record(folder, "start", by="Ana Example")
    runs = [source / "examples" / one / "run.toml" for one in ("good-sterilization", "straw-overshoot", "unproven-probe")]
    record(folder, "add", *runs, "--recipe", "oak", "--material-lots", "S4, B2", by="Ana Example")
    said = record(folder, "add", run_with_events(folder), by="Ana Example")
    tell("a night with a door", said, "Entry 4: door night", "Deviations opened: 3")
    deviations(folder, 4)
    releases(folder)
    strips(folder)
    fields(folder)
    lots(folder)
    due_and_kept(folder)
    probe_in_doubt(folder)
    asked_at_terminal(folder)
    bare_log(folder)
    judged_again(folder)
    shared(folder)
    keys(folder)
print(f"{len(faults)} faults")
sys.exit(1 if faults else 0)
