#!/usr/bin/python3
"""coldbag probe and coldbag type on the real program: by options, through a pipe, and by a person at a terminal.

usage: probe_and_type.py PROGRAM
"""
import os
import pathlib
import re
import signal
import subprocess
import sys
import tempfile

from person import Person

program = str(pathlib.Path(sys.argv[1]).resolve())
SITE = '# ours\r\n[site]\r\naltitude = "500 m"\r\n\r\n[probes.core]\r\ncolumn = "T1"\r\n[probes."lid 2"]\r\n'
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what)


def run(folder, *arguments, says=None):
    return subprocess.run([program, *arguments], cwd=folder, capture_output=True, text=True, timeout=60, input=says)


def probe_by_options(folder):
    site = folder / "farm.toml"
    site.write_bytes(SITE.encode())
    site.chmod(0o640)
    cases = [
        (["probe"], 0), (["probe", "--help"], 0), (["probe", "none.toml", "core", "--ice", "0"], 66),
        (["probe", "farm.toml"], 64), (["probe", "farm.toml", "core"], 64), (["probe", "farm.toml", "cor", "--ice", "0"], 65),
        (["probe", "farm.toml", "core", "--ice", "zero"], 64), (["probe", "farm.toml", "core", "--ice", "40 C"], 64),
        (["probe", "farm.toml", "core", "--boil", "99", "--pressure-at-site", "70 kPa"], 64),
        (["probe", "farm.toml", "core", "--point", "60 C, 60.4 C"], 64),
        (["probe", "farm.toml", "core", "--ice", "0", "--point", "60 C, 60.4 C"], 64),
        (["probe", "farm.toml", "core", "--ice", "0", "--boil", "98", "--ice-left", "0"], 64),
        (["probe", "farm.toml", "core", "--ice", "0", "--on", "2026-13-01"], 64),
        (["probe", "farm.toml", "core", "--ice", "0", "--on", "2026-03-01", "--next-due", "2026-03-01"], 64),
        (["probe", "farm.toml", "core", "--nothing"], 64), (["probe", "farm.toml", "core", "--log", "none.csv"], 66),
        (["probe", "farm.toml", "core", "--ice", "0", "--show"], 0),
    ]
    for arguments, status in cases:
        done = run(folder, *arguments)
        expect(f"{arguments} gives {status}, not {done.returncode}: {done.stderr}", done.returncode == status)
        expect(f"{arguments} writes nothing", site.read_bytes() == SITE.encode())
    how_to = run(folder, "probe").stdout
    expect("the page on how to check fits one screen", len(how_to.splitlines()) <= 24 and max(map(len, how_to.splitlines())) <= 80)
    flat = " ".join(how_to.split())
    expect("it warns of burns", "burn" in flat and "Long gloves" in flat)
    expect("it says where the probe hangs", "Hang the probe in the steam just above vigorously boiling water" in flat)

    done = run(folder, "probe", "farm.toml", "lid 2", "--point", "60 C, 60.4 C", "--point", "121.0 C, 121.9 C",
               "--reference-u", "0.1 K", "--by", "A")
    once = site.read_bytes()
    expect(f"a reference check is added: {done.stderr}", done.returncode == 0 and once.startswith(SITE.encode()))
    expect("with CR LF", once.count(b"\n") == once.count(b"\r\n"))
    done = run(folder, "probe", "farm.toml", "core", "--ice", "0,4", "--boil", "99,1", "--ice-left", "0", "--boil-left",
               "98.3", "--pressure-at-site", "95.9 kPa", "--next-due", "2026-06-01", "--on", "2026-03-01T08:00")
    twice = site.read_bytes()
    expect(f"as found and as left are added: {done.stderr}", done.returncode == 0 and twice.startswith(once))
    added = twice[len(once):].decode()
    expect("two entries", added.count("[[probes.core.check]]") == 2 and added.index("as found") < added.index("as left"))
    expect("pressure, next due", 'pressure_at_site = "95.9 kPa"' in added and "next_due = 2026-06-01" in added)
    expect("rights stay", site.stat().st_mode & 0o777 == 0o640)
    expect("nothing else is left in the folder", sorted(os.listdir(folder)) == ["farm.toml"])

    site.chmod(0o440)
    if os.geteuid() != 0:
        done = run(folder, "probe", "farm.toml", "core", "--ice", "0")
        expect(f"a file that may not be written gives 73, not {done.returncode}", done.returncode == 73)
        expect("and stays", site.read_bytes() == twice)
    site.chmod(0o640)
    link = folder / "link.toml"
    link.symlink_to("farm.toml")
    done = run(folder, "probe", "link.toml", "core", "--ice", "0")
    expect("a link stays a link", done.returncode == 0 and link.is_symlink() and site.read_bytes().startswith(twice))
    link.unlink()


def probe_by_log(folder):
    site = folder / "farm.toml"
    site.write_bytes(SITE.encode())
    rows = [22.0] * 20 + [22 - i for i in range(22)] + [0.4, 0.5] * 20 + [i * 3.0 for i in range(33)]
    rows += [99.1, 99.0] * 20 + [99.0 - i for i in range(60)]
    text = "Time,T1 (C)\n"
    for i, value in enumerate(rows):
        text += f"2026-03-01 08:{i * 15 // 60:02d}:{i * 15 % 60:02d},{value:.1f}\n" if i < 240 else ""
    (folder / "check.csv").write_text(text)
    done = run(folder, "probe", "farm.toml", "core", "--log", "check.csv", "--by", "A")
    expect(f"both rests are found: {done.stdout} {done.stderr}",
           done.returncode == 0 and "At rest in ice" in done.stdout and "At rest at the boil" in done.stdout)
    read = [float(text) for text in re.findall(r'reads = "([0-9.]+) C"', site.read_text())]
    expect(f"their means are taken, not the way to or from them: {read}",
           len(read) == 2 and abs(read[0] - 0.45) < 0.01 and abs(read[1] - 99.05) < 0.01)
    (folder / "cold.csv").write_text("Time,T1 (C)\n" + "".join(f"2026-03-01 08:{m:02d},{20 + m}.0\n" for m in range(20)))
    before = site.read_bytes()
    done = run(folder, "probe", "farm.toml", "core", "--log", "cold.csv")
    expect("a log without a rest gives 65", done.returncode == 65 and "never at rest" in done.stderr)
    expect("and writes nothing", site.read_bytes() == before)


def probe_by_a_person(folder):
    site = folder / "farm.toml"
    site.write_bytes(SITE.encode())
    person = Person(expect, program, folder, "probe", "farm.toml", "core")
    person.wait_for("burn at once")
    person.types("in ice (0.4 C)?", "cold")
    person.types("is no temperature", "")
    person.types("over boiling water (99.1 C)?", "99,1")
    person.types("at the boil afterwards?", "")
    person.types("Barometer", "")
    person.types("Who", "A")
    person.types("(yes)?", "no")
    expect("a check that is not confirmed ends well", person.status() == 0)
    expect("and is not written", site.read_bytes() == SITE.encode())
    person = Person(expect, program, folder, "probe", "farm.toml", "core")
    for prompt, answer in [("in ice (0.4 C)?", "0,4"), ("over boiling water (99.1 C)?", "99.1"), ("ice afterwards?", ""),
                           ("boil afterwards?", ""), ("Barometer", "95,9 kPa".replace(",", ".")), ("Who", "A"),
                           ("(yes)?", "y")]:
        person.types(prompt, answer)
    expect("a confirmed one too", person.status() == 0)
    expect("and is written", b'reads = "99.1 C"' in site.read_bytes() and b'by = "A"' in site.read_bytes())


SHEET = ["--probes", "Core 1, Vessel", "--unit", "C", "--date", "2026-03-08", "--first", "2230", "--every", "30",
         "--by", "A"]


def rows_of(path):
    return path.read_text().split("Remark\n", 1)[1].splitlines() if path.exists() else []


def type_through_a_pipe(folder):
    sheet = folder / "sheet.csv"
    lines = "\n20,5 98\n\n96.1\n\n# stirred\n0015\n97 > 96,2 -\n\n\"\n98.4>\nend\n"
    done = run(folder, "type", "sheet.csv", *SHEET, says=lines)
    expect(f"a pipe is read: {done.stdout} {done.stderr}", done.returncode == 0)
    expect(f"rows {rows_of(sheet)}", rows_of(sheet) == [
        "2026-03-08 22:30,20.5,98,", "2026-03-08 23:00,96.1,,",
        "2026-03-09 00:15,96.2,,Core 1: 97 crossed out; stirred", "2026-03-09 00:45,96.2,,Vessel: 98.4 crossed out"])
    bytes_now = sheet.read_bytes()
    done = run(folder, "type", "sheet.csv", *SHEET, says="\n1 2\n")
    expect("a file is never overwritten", done.returncode == 73 and sheet.read_bytes() == bytes_now)
    done = run(folder, "type", "--resume", "sheet.csv", says="\n95 94\n\n\"")
    expect(f"--resume goes on, and a row begun at the end is kept: {done.stderr}",
           done.returncode == 0 and rows_of(sheet)[4:] == ["2026-03-09 01:15,95,94,", "2026-03-09 01:45,95,,"])
    bytes_now = sheet.read_bytes()
    done = run(folder, "type", "--resume", "sheet.csv", says="\nwet\n90\n")
    expect(f"a bad line ends a pipe with its number: {done.stderr}",
           done.returncode == 65 and "standard input:2: \"wet\"" in done.stderr and sheet.read_bytes() == bytes_now)
    for arguments, status in [(["type"], 64), (["type", "a.csv", "--resume", "b.csv"], 64), (["type", "--help"], 0),
                              (["type", "--resume", "none.csv"], 66), (["type", "--resume", "sheet.csv", "--unit", "C"], 64),
                              (["type", "a.csv", "--unit", "K"], 64), (["type", "no/a.csv", *SHEET], 73),
                              (["type", "a.csv", "--probes", "Remark"], 64), (["type", "a.csv", "--probes", "T1,T1"], 64),
                              (["type", "a.csv", "--nothing"], 64)]:
        done = run(folder, *arguments, says="\n95 94\n" if "no/a.csv" in arguments else "")
        expect(f"{arguments} gives {status}, not {done.returncode}: {done.stderr}", done.returncode == status)
    expect("a sheet without rows makes no file", run(folder, "type", "b.csv", *SHEET, says="end\n").returncode == 0
           and not (folder / "b.csv").exists())

    done = run(folder, "check", "sheet.csv", "--explain")
    expect("check takes it as by hand: " + done.stdout, "by hand, times good to 5 min" in done.stdout)
    expect("remarks are no probe", "\"Remark\", not used" in done.stdout)


def hold_of(folder, name, *more):
    import json
    done = run(folder, "check", name, "--treatment", "atmospheric_steam", "--in-bag", "T1", "--vented", "--altitude",
               "500 m", "--u", "0 K", "--json", *more)
    return json.loads(done.stdout)["probes"][0]["hold_minutes_lower"]


def typed_counts_as_by_hand(folder):
    typed = run(folder, "type", "t.csv", "--probes", "T1", *SHEET[2:], says="\n96\n" * 12)
    expect(typed.stderr, typed.returncode == 0)
    text = (folder / "t.csv").read_text()
    (folder / "bare.csv").write_text(text[text.index("Time,"):])
    expect("its hold is ten minutes shorter than the recorder's would be, as with --by-hand",
           hold_of(folder, "t.csv") == hold_of(folder, "bare.csv", "--by-hand") and
           hold_of(folder, "t.csv") == 320)


def type_by_a_person(folder):
    sheet = folder / "hand.csv"
    person = Person(expect, program, folder, "type", "hand.csv")
    for prompt, answer in [("Columns", "Core 1,Vessel"), ("C or F?", "K"), ("? ", "F"), ("Date", "8.3.2026"),
                           ("no date", "2026-03-08"), ("Time of the first", "11 am"), ("no time", "11:00 am"),
                           ("Minutes", "30"), ("Who", "B"), ("11:00?", ""), ("Core 1:", "190.2"), ("Vessel:", "205"),
                           ("11:30?", "1030"), ("12 h", ""), ("Core 1:", "19O"), ("no reading", "1985"),
                           ("1985!", "198.5"), ("Vessel:", "\"")]:
        person.types(prompt, answer)
    person.wait_for("12:00?")
    expect(f"two rows are on the disk while the third is asked: {rows_of(sheet)}",
           rows_of(sheet) == ["2026-03-08 11:00,190.2,205,", "2026-03-08 11:30,198.5,205,"])
    os.write(person.terminal, b"back\n")
    person.types("11:30?", "back")
    person.types("11:00?", "")
    person.types("Core 1 [190.2]:", "190.2>191")
    person.types("Vessel [205]:", "")
    person.wait_for("11:30?")
    expect("the mended row is on the disk, the one below it is as it was",
           rows_of(sheet) == ["2026-03-08 11:00,191,205,Core 1: 190.2 crossed out", "2026-03-08 11:30,198.5,205,"])
    os.write(person.terminal, b"11:40\n")
    person.types("Core 1 [198.5]:", "")
    person.types("Vessel [205]:", "")
    person.types("12:10?", "")
    person.types("Core 1:", "back")
    person.types("12:10?", "")
    person.types("Core 1:", "200")
    person.wait_for("Vessel:")
    person.interrupts()
    expect("ctrl-C ends it", person.status() == -signal.SIGINT)
    expect(f"and loses no accepted row: {rows_of(sheet)}",
           rows_of(sheet) == ["2026-03-08 11:00,191,205,Core 1: 190.2 crossed out", "2026-03-08 11:40,198.5,205,"])
    person = Person(expect, program, folder, "type", "--resume", "hand.csv", "--by", "C")
    person.types("12:10?", "")
    person.types("Core 1:", "200 206")
    person.types("12:40?", "back")
    person.types("12:10?", "back")
    person.types("first row typed now", "end")
    person.wait_for("1 row typed, 3 in all")
    expect("a resumed sheet ends well", person.status() == 0)
    expect("and says who went on", rows_of(sheet)[2] == "2026-03-08 12:10,200,206,from here typed by C")
    expect("in F", "Core 1 (F)" in sheet.read_text() and "Transcribed by: B" in sheet.read_text())


for part in [probe_by_options, probe_by_log, probe_by_a_person, type_through_a_pipe, typed_counts_as_by_hand,
             type_by_a_person]:
    with tempfile.TemporaryDirectory() as name:
        part(pathlib.Path(name))
print(f"probe and type: {len(faults)} faults")
sys.exit(1 if faults else 0)
