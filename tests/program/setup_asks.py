#!/usr/bin/python3
"""coldbag setup on the real program: by options, and by a person at a terminal whose slips are asked again.

usage: setup_asks.py PROGRAM
"""
import pathlib
import subprocess
import sys
import tempfile

from person import Person

program = str(pathlib.Path(sys.argv[1]).resolve())
# Unit and order of the dates stand nowhere in it.
LOG = "Time;T1;Vessel\n03/04/2026 10:00;20,5;21\n03/04/2026 10:01;95,5;96\n03/04/2026 10:02;96,0;98,5\n"
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what)


def run(folder, *arguments):
    return subprocess.run([program, *arguments], cwd=folder, capture_output=True, text=True, timeout=60,
                          stdin=subprocess.DEVNULL)


def by_options(folder):
    (folder / "log.csv").write_text(LOG)
    for arguments, status, says in [
            (["--altitude", "1150"], 64, "no unit"), (["--altitude", "11 kg"], 64, "--altitude"),
            (["--film", "plastic"], 64, "known: "), (["--zone", "Mars/Base"], 64, "there is no time zone"),
            (["--moisture", "162 %"], 64, "--moisture"), (["--rating", "15 psi"], 64, "--rating"),
            (["--vented", "--rating", "15 psi gauge"], 64, "contradicts"), (["--vented", "--rated"], 64, "contradicts"),
            (["--unit", "R"], 64, "choose one of C, F, K"), (["--pressure-unit", "psi"], 64, "gauge"),
            (["--log", "none.csv"], 66, "none.csv"), (["--log", "log.csv"], 65, "--date-order"),
            (["--log", "log.csv", "--date-order", "day-first"], 65, "--unit")]:
        done = run(folder, "setup", "farm.toml", *arguments)
        expect(f"{arguments} gives {status} and says {says!r}, not {done.returncode}: {done.stderr}",
               done.returncode == status and says in done.stderr)
        expect(f"{arguments} writes nothing", not (folder / "farm.toml").exists())
    done = run(folder, "setup", "farm.toml", "--log", "log.csv", "--date-order", "day-first", "--unit", "F", "--altitude",
               "1150 m", "--rating", "15 psi gauge")
    text = (folder / "farm.toml").read_text() if done.returncode == 0 else done.stderr
    expect("settings of the log are kept: " + text, 'unit = "F"' in text and 'date_order = "day-first"' in text)
    expect("a rating says that it is pressure-rated", 'kind = "pressure-rated"' in text)
    expect("what a log shows by itself is not written", "decimal" not in text)
    later = run(folder, "check", "log.csv", "--site", "farm.toml", "--explain")
    expect("a later check needs no option: " + later.stderr, later.returncode == 2 and "in F" in later.stdout)
    expect("and says where it has them from", "By [log] of farm.toml" in later.stdout)
    later = run(folder, "check", "log.csv", "--site", "farm.toml", "--explain", "--unit", "C")
    expect("an option goes before them", "in C" in later.stdout and '--unit "F"' not in later.stdout)
    done = run(folder, "setup", "farm.toml")
    expect("a file is never overwritten", done.returncode == 73 and (folder / "farm.toml").read_text() == text)


def by_a_person(folder):
    (folder / "log.csv").write_text(LOG)
    person = Person(expect, program, folder, "setup", "farm.toml")
    for prompt, answer in [
            ("vented) or pressure-rated (rated)?", "open"), ("neither vented nor rated", "rated"),
            ("call the farm?", ""), ("above the sea", "1150"), ("no unit", "12000 m"), ("9000 m", "1150 m"),
            ("time zone", "Bogota"), ("no time zone", "America/Bogota"), ("nameplate", "15 psi"), ("gauge", "15 psi gauge"),
            ("Volume", "208"), ("no unit", "208 L"), ("Heat", ""), ("in the bags", "sawdust"), ("filled bag", "5 lb"),
            ("Moisture", "62 %"), ("Film", "foil"), ("known: ", "pp-homopolymer"), ("of your recorder", "lag.csv"),
            ("cannot be opened", "log.csv"), ("Order of its dates", "first"), ("none of its values", "day-first"),
            ("are in (C, F or K)?", "C"), ('probe "T1"', "middle"), ("no place", "bag")]:
        person.types(prompt, answer)
    expect("it ends well", person.status() == 0)
    text = (folder / "farm.toml").read_text() if (folder / "farm.toml").exists() else ""
    for line in ['altitude = "1150 m"', 'zone = "America/Bogota"', 'rating = "15 psi gauge"', 'volume = "208 L"',
                 'film = "pp-homopolymer"', 'unit = "C"', 'date_order = "day-first"', 'steam_power = "?"', 'name = "?"']:
        expect(f"the file has {line}: {text}", line in text)
    expect("each probe has its place", text.count('place = "bag"') == 1 and text.count('place = "vessel"') == 1)
    later = run(folder, "check", "log.csv", "--site", "farm.toml")
    expect("and a check takes it: " + later.stderr, later.returncode == 2)


def in_spanish(folder):
    done = run(folder, "setup", "finca.toml", "--language", "es", "--altitude", "1150 m")
    text = (folder / "finca.toml").read_text()
    expect(f"it is told in Spanish: {done.stdout}", "Se escribió finca.toml" in done.stdout and done.returncode == 0)
    expect(f"the file asks for Spanish, and speaks it: {text}", 'language = "es"' in text and "a cuánto hierve" in text)
    for path in ("finca.toml", "log.csv"):
        (folder / path).unlink(missing_ok=True)
    (folder / "log.csv").write_text("Time,T1 (C)\n2026-03-08 10:00,20\n2026-03-08 10:01,95\n2026-03-08 10:02,96\n")
    person = Person(expect, program, folder, "setup", "finca.toml", "--language", "es")
    for prompt, answer in [("de presión (rated)?", "vented"), ("llama usted a la finca?", "Loma Inventada"), ("sobre el mar", ""),
                           ("huso horario", ""), ("Volumen", ""), ("Calor", ""), ("en las bolsas", ""), ("bolsa llena", ""),
                           ("Humedad", ""), ("Película", ""), ("de su registrador", "log.csv"), ('la sonda "T1"', "bag")]:
        person.types(prompt, answer)
    expect("it ends well", person.status() == 0)
    text = (folder / "finca.toml").read_text() if (folder / "finca.toml").exists() else ""
    expect(f"what was answered stands there: {text}", 'name = "Loma Inventada"' in text and 'place = "bag"' in text)
    later = run(folder, "check", "log.csv", "--site", "finca.toml")
    expect("and a check speaks as the file asks: " + later.stdout, "No se juzgó nada" in later.stdout)


for part in [by_options, by_a_person, in_spanish]:
    with tempfile.TemporaryDirectory() as name:
        part(pathlib.Path(name))
print(f"setup: {len(faults)} faults")
sys.exit(1 if faults else 0)
