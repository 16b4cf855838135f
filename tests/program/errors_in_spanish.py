#!/usr/bin/python3
"""What can be mended, asked for in Spanish: every broken file, and usage errors of every command.

Place, exit status, numbers, quoted parts and options are as in English, and no English is left. A command line is
what a shell takes; it runs in a folder that holds the files of FILES.

usage: errors_in_spanish.py PROGRAM TESTS_FOLDER
"""
import os
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

import broken_files

SITE = """[site]
name = "Invented farm"
altitude = "1150 m"
zone = "America/Bogota"
[vessels.drum]
kind = "vented"
volume = "208 L"
steam_power = "6 kW"
[vessels.retort]
kind = "pressure-rated"
rating = "15 psi gauge"
volume = "2 m3"
[bags.brick]
substrate = "sawdust"
mass = "5 lb"
moisture = "62 %"
form = "brick"
film = "hdpe"
[bags.round]
substrate = "sawdust"
mass = "2 kg"
form = "column"
diameter = "15 cm"
[probes.core]
column = "Core 1"
place = "bag"
bag = "brick"
class = "pt-a"
[probes.steam]
column = "Vessel"
place = "vessel"
class = "pt-a"
"""
LOG = "Time,Core 1 (C),Vessel (C)\n" + "".join(f"2026-03-08 14:{m:02d}:00,{20 + m},{40 + m}\n" for m in range(0, 50, 5))
FILES = {
    "farm.toml": SITE,
    "log.csv": LOG,
    "clock.csv": LOG.replace("2026-03-08 ", ""),
    "dates.csv": LOG.replace("2026-03-08", "03/04/26"),
    "run.toml": '[run]\nsite = "farm.toml"\nvessel = "drum"\ntreatment = "boil"\n[[log]]\nfile = "log.csv"\n',
    "run2.toml": '[run]\nsite = "farm.toml"\nvessel = "drun"\ntreatment = "sterilize"\n[[log]]\nfile = "log.csv"\n'
                 '[[probe]]\nname = "core"\nbag = "brik"\n',
    "run3.toml": '[run]\nsite = "farm.toml"\n[[log]]\nfile = "log.csv"\n[[log]]\nfile = "log.csv"\n[[log]]\n'
                 'file = "clock.csv"\n[[event]]\nwhat = "probe_moved"\nprobe = "other"\ntime = "10 min"\n',
    "run4.toml": '[run]\nsite = "farm.toml"\npressure_at_site = "60 kPa"\n[[log]]\nfile = "none.csv"\n',
    "bad.toml": "[site]\naltitude = 3\n",
    "load.toml": '[run]\nsite = "farm.toml"\n[load]\nfile = "load.csv"\n[[log]]\nfile = "log.csv"\n',
    "load.csv": 'bag,cuont,mass\nbrick,many,5\n"brick,1,2\n',
    "load2.toml": '[run]\nsite = "farm.toml"\n[load]\nfile = "load2.csv"\n[[log]]\nfile = "log.csv"\n',
    "load2.csv": "bag,count,mass,moisture\nbrick,many,5,162 %\nbrick,0,-2 kg,\n,5,5 stone,\nbrick,1\n",
    "short.csv": "Time,Core 1 (C)\n",
    "sheet.csv": "no sheet\n",
    "learned.toml": "[learned]\nversion = 1\n",
    "farm2.toml": SITE.replace("[site]\n", '[site]\nlearned = "none.toml"\n'),
    "tables/films.csv": "key,highest_degC\nhdpe,hot\nhdpe,\n",
    "tables2/organisms.csv": "key,name\n",
}

# Logs that need an option to be broken (the reader's own tests give the same).
BROKEN_WITH = {
    "named-time-column-absent.csv": "--time-column Clock", "named-time-column-holds-text.csv": "--time-column Note",
    "unit-given-against-header.csv": "--unit C", "pressure-without-basis.csv": '--pressure-column "Vessel pressure"',
    "utf-8-said-to-be-utf-16.csv": "--encoding utf-16le", "utf-16-said-to-be-utf-8.csv": "--encoding utf-8",
    "unit-row-against-option.csv": "--unit F", "unit-column-against-option.csv": "--unit C",
    "delimiter-said-wrong.csv": "--delimiter pipe", "decimal-said-wrong.csv": "--decimal comma",
    "spanish-pressure-without-basis.csv": "--pressure-column Presión",
    "pressure-column-twice.csv": "--pressure-column P", "pressure-column-in-amperes.csv": "--pressure-column P",
    "named-date-column-absent.csv": "--time-column Clock --date-column Day",
    "form-given-against-the-times.csv": "--time-form clock", "epoch-form-of-small-numbers.csv": "--time-form epoch-s",
    "spreadsheet-days-too-large.csv": "--time-form serial-1904", "missing-hour-alone.csv": "--zone America/New_York",
    "day-first-given-against-the-dates.csv": "--date-order day-first",
}

BAG = 'lag --bag --mass "2 kg" --form brick --length "20 cm" --width "12 cm" --height "16 cm"'
STEAM = '--steam "96 C" --vented --altitude "1150 m"'
DRUM = 'size --bags 24 --mass "5 lb" --steam "6 kW" --volume "208 L" --altitude "1150 m"'
RATED = 'size --bags 24 --mass "5 lb" --steam "6 kW" --volume "2 m3" --rated "20 psi gauge"'
COMMAND_LINES = f"""
boil
check
check none.csv
check .
check --nothing log.csv
check log.csv --treatment
check log.csv --treatment boil
check log.csv --treatment sterilise
check log.csv --treatment sterilize --treatment sterilize
check log.csv --json=yes
check log.csv --in-bag "Core 9" --vessel Lid
check log.csv --unit R
check log.csv --zone Mars/Base
check log.csv --zone America/Bogata
check log.csv --date yesterday
check log.csv --altitude 1150
check log.csv --altitude "11500 m"
check log.csv --altitude "11 kg"
check log.csv --pressure-at-site "10 kPa"
check log.csv --pressure-at-site "101 kPa" --altitude "1150 m" --treatment sterilize
check log.csv --vented --rated "15 psi gauge"
check log.csv --rated "15 psi"
check log.csv --rated lots
check log.csv --rated "-5 kPa abs"
check log.csv --u "-1 K"
check log.csv --u "1,5 K"
check log.csv --u "1,500 K"
check log.csv --class pt-z --treatment sterilize
check log.csv --run two
check log.csv --run 3 --treatment sterilize
check log.csv --from later
check log.csv --event nothing
check log.csv --event "probe_moved 2026-03-08T06:10"
check log.csv --event "steam_off soon"
check log.csv --reference odd
check log.csv --reference "121.1 C, 0 K"
check log.csv --if-each-bag-held none
check log.csv --tables none
check log.csv --tables empty
check log.csv --tables tables --treatment sterilize
check log.csv --tables tables2 --treatment sterilize
check log.csv --decimal full
check log.csv --elapsed-unit year
check log.csv --pressure-unit psi --pressure-column Vessel
check log.csv --site none.toml --treatment sterilize
check log.csv --site bad.toml --treatment sterilize
check log.csv --site farm2.toml --treatment sterilize
check log.csv --time-column Vessel --treatment sterilize
check log.csv --date-column Time --time-column Time --treatment sterilize
check dates.csv --treatment sterilize
check dates.csv --decimal comma --treatment sterilize
check short.csv --treatment sterilize
check run.toml
check run2.toml
check run3.toml
check run4.toml
check load.toml
check load2.toml
lag
lag none.toml
lag run.toml --steam "121 C"
lag --learn
lag --learn run.toml --json
lag run.toml --out file.toml
lag log.csv --bag --mass "2 kg" --bags none
lag --bag brick {STEAM}
lag --bag brik --site farm.toml {STEAM}
lag --bag --site farm.toml {STEAM}
lag --bag {STEAM}
lag --bag --mass 2.3 {STEAM}
lag --bag --mass "0 kg" {STEAM}
lag --bag --mass "2 kg 1 kg" {STEAM}
lag --bag --mass "kg" {STEAM}
lag --bag --mass "1e999 kg" {STEAM}
lag --bag --mass "5 lb -4 oz" {STEAM}
{BAG} --moisture "100 %" {STEAM}
{BAG} --moisture 62 {STEAM}
{BAG.replace("2 kg", "9 kg")} {STEAM}
{BAG.replace("2 kg", "0.1 kg")} {STEAM}
{BAG.replace("brick", "cube")} {STEAM}
{BAG.replace("brick", "loose")} {STEAM}
{BAG} --diameter "18 cm" {STEAM}
{BAG.replace("20 cm", "0 cm")} {STEAM}
lag --bag --mass "2 kg" --form slab {STEAM}
lag --bag --mass "2 kg" --form column --length "20 cm" {STEAM}
{BAG} --steam "121.1 C" --vented --altitude "1150 m"
{BAG} --steam "121.1 C" --rated "15 psi gauge" --altitude "1150 m"
{BAG} --steam "121.1 C"
{BAG} --steam "160 C" --rated "150 psi gauge"
{BAG} --steam "15 psi"
{BAG} --steam "-300 C"
{BAG} --steam "96 C 5 C" --vented
{BAG} --rated "20 psi gauge"
{BAG} {STEAM} --start "97 C"
{BAG} {STEAM} --start "95 C"
{BAG} {STEAM} --come-up "30 h"
{BAG} {STEAM} --in-bag "Core 1"
{DRUM} --hold-at "121 C"
{DRUM} --hold-at "15 psi"
{DRUM} --hold-at "20 C"
{DRUM} --hold-at "-5 kPa gauge"
{RATED} --hold-at "25 psi gauge"
{RATED} --hold-at "160 C"
{DRUM.replace("24", "60")}
{DRUM} --wall-area "1 m2"
{DRUM} --burner "20 kW" --efficiency "80 %"
{DRUM} --treatment boil
{DRUM} --treatment sterilize
{DRUM} --fuel moonlight
{DRUM} --water "300 kg"
{DRUM} --metal-mass "-1 kg"
{DRUM} --wall thick
{DRUM} --purge "-1"
{DRUM} --pressure-at-site "101 kPa"
{DRUM} --start "99 C"
{DRUM} --room "99 C"
{DRUM} --dryness "20 %"
{DRUM} --air-left "80 %"
{DRUM} --u "-1 K"
{DRUM} --between "5 min"
{DRUM} --within "5 h"
{DRUM} --steam-on later
{DRUM} --metered "5 kg"
{DRUM} --vary colour=1,2
{DRUM} --vary bags=x
{DRUM} --vary bags=20,40 --csv a.csv
{DRUM} --vary bags=20,40 --supply "a=5 kW"
{DRUM} --inside "big"
{DRUM} --inside "1 m"
{DRUM} --gap "2 cm"
{DRUM} --vessel drum
{DRUM} --volts 0 --fuel electric
size --mass "5 lb" --steam "6 kW" --volume "208 L"
size --bags many --mass "5 lb" --steam "6 kW"
size --bags 24 --mass "5 lb" --volume "208 L"
size --bags 24 --mass "5 lb" --steam 6 --volume "208 L"
size --bags 24 --mass "5 lb" --steam "0 kW" --volume "208 L"
size --bags 24 --mass "5 lb" --steam "6 kW" --volume "5 barrels"
size --bags 24 --mass "5 lb" --burner "20 kW" --volume "208 L"
size --bags 24 --mass "5 lb" --fuel-rate "3 kg/h" --volume "208 L"
size --bags 24 --mass "5 lb" --fuel-rate "3 kg/h" --fuel electric --volume "208 L"
size --bags 24 --mass "5 lb" --fuel-rate "3 kg/h" --fuel natural-gas --volume "208 L"
size --steam "6 kW" --volume "208 L" --bags 90 --mass "5 lb" --inside "30 cm x 30 cm x 30 cm"
size --inside "1 m x 1 m x 1 m"
size --site farm.toml --bags 40
size --site farm.toml --vessel drum --load "40 brck"
size --site farm.toml --vessel drum --load many
size --site farm.toml --vessel drun --bags 40
size --site farm.toml --vessel retort --bag brick --bags 40 --steam "20 kW" --hold-at "120 C"
size --run log.csv
size --run run2.toml
size --run run.toml --bags 4
size --supply "5 kW" --bags 24 --mass "5 lb"
size --bags 24 --mass "5 lb" {" ".join(f'--supply "s{i}=5 kW"' for i in range(6))}
sheet --nothing
sheet sheet.txt
sheet --bags many
sheet --bags 0
sheet --every "90 s"
sheet --every half
sheet --start late
sheet --for 14
sheet --for "0 h"
sheet --every 1 --for "20 h"
sheet --treatment boil
sheet --probes T1,T1
sheet --probes Humidity
sheet --probes {"x" * 70}
sheet --probes {",".join(f"C{i}" for i in range(12))}
sheet --site none.toml
sheet --site bad.toml
sheet --site farm.toml
sheet --site farm.toml --vessel drum --treatment sterilize --probes core
sheet --site farm.toml --vessel retort --probes cor
sheet --site farm.toml --vessel retort --probes core --bag brck
sheet --out no/sheet.txt
probe farm.toml
probe --ice 0
probe farm.toml cor --ice 0
probe farm.toml core
probe farm.toml core --ice zero
probe farm.toml core --ice "40 C"
probe farm.toml core --unit K --ice 0
probe farm.toml core --resolution "-1 K" --ice 0
probe farm.toml core --boil 99 --pressure-at-site "70 kPa"
probe farm.toml core --boil 99 --pressure-at-site "10 kPa"
probe farm.toml core --boil 99 --pressure-at-site "88 kPa" --pressure-at-sea-level "101 kPa"
probe farm.toml core --boil 99 --pressure-at-sea-level "60 kPa"
probe farm.toml core --point "60 C, 60.4 C"
probe farm.toml core --point warm --reference-u "0.1 K"
probe farm.toml core --point "60 C, 60.4 C" --point "70 C, 70 C" --point "80 C, 80 C" --reference-u "0.1 K"
probe farm.toml core --point "60 C, 60.4 C" --point "70 C, 70 C" --reference-u "0.1 K"
probe farm.toml core --point "60 C, 60.4 C" --reference-u "-0.1 K"
probe farm.toml core --ice 0 --point "60 C, 60.4 C"
probe farm.toml core --point "60 C, 60.4 C" --ice-left 0
probe farm.toml core --ice 0 --boil 96 --ice-left 0
probe farm.toml core --ice 0 --on 2026-13-01
probe farm.toml core --ice 0 --on 2026-03-01 --next-due 2026-03-01
probe farm.toml core --log none.csv
probe farm.toml core --log log.csv
probe farm.toml core --log log.csv --column Core
probe bad.toml core --ice 0
setup
setup farm.toml
setup new.toml --altitude 1150
setup new.toml --altitude "11 kg"
setup new.toml --film plastic
setup new.toml --zone Mars/Base
setup new.toml --moisture "162 %"
setup new.toml --rating "15 psi"
setup new.toml --vented --rating "15 psi gauge"
setup new.toml --unit R
setup new.toml --pressure-unit psi
setup new.toml --log none.csv
setup new.toml --log dates.csv
setup no/new.toml --vented
type
type a.csv --resume b.csv
type --resume none.csv
type --resume sheet.csv
type --resume sheet.csv --unit C
type log.csv
type a.csv --unit K
type a.csv --probes Remark
type a.csv --probes T1,T1
type a.csv --probes ,
type a.csv --probes T1 --unit C --date yesterday
type a.csv --probes T1 --unit C --date 2026-03-08 --first noon
type a.csv --probes T1 --unit C --date 2026-03-08 --first 14:30 --every never
type a.csv --probes T1 --unit C --date 2026-03-08 --first 14:30 --every "20 h"
type a.csv --probes T1 --unit C --date 2026-03-08 --first 14:30 --every 30 --by ""
"""
# What is typed at "type b.csv" with everything given: each line is one mistake.
SHEET = 'type b.csv --probes "T1, T2" --unit C --date 2026-03-08 --first 14:30 --every 30 --by A'
TYPED = ["\nwet\n", "\n98 99 97\n", '\n" 5\n', "\n98.4>x\n", "\n5 F\n", "\n700\n", "4 pm\n", "\n>5\n"]

# Words of English that are none of Spanish, of no key and of no unit.
ENGLISH = set("""
the is are of and or not has have write say says with from this that which was were its it there leave holds must
cannot nobody said does do than then by be been into only than gives give given names named it last each every either
neither so where when who how out here its known know stands twice missing nothing number text folder row rows column
columns cell cells line lines heading unit already more less least most before after behind above against wrong both
lower higher highest lowest longer write written read reads reading readings choose look take add put mend make leave
save copy keep two
""".split())

program, tests = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
faults = []


def run(arguments, folder, says=""):
    environment = {key: value for key, value in os.environ.items() if not key.startswith(("LC_", "LANG"))}
    done = subprocess.run([program, *arguments], cwd=folder, capture_output=True, input=says.encode(), timeout=120,
                          env=environment)
    return done.returncode, done.stderr.decode("utf-8", "replace").splitlines(), done.stdout


QUOTED = r'"(?:[^"]|"")*"|\'--?[^\']*\''


def place_of(line):
    """Program, file, line and column, and the key, where they stand."""
    match = re.match(r"coldbag: (?:(?:standard input|entrada estándar|\S*\.(?:csv|toml|txt))(?::\d+)*: )?"
                     r"(?:--[a-z-]+: |[a-z_0-9]+(?:[.\[][\w\[\]-]+)+: |column \d+: )?", line)
    return match[0].replace("entrada estándar", "standard input")


def kept_in(line):
    return Counter(re.findall(QUOTED + r"|--[a-z][\w-]*|\d(?:[\d.,:]*\d)?", line))


def english_in(line):
    """Words of English outside of places, quotes, options, examples, keys and paths."""
    bare = re.sub(QUOTED, " ", line[len(place_of(line)):])
    passed = (r"(?:--[a-z][\w-]*)(?: [a-z]+-[a-z]+)?|línea \d+: [^;)]*|\[\[?[\w. -]*\]\]?|\S*[/=_]\S*|"
              r"\S+\.(?:csv|toml|md)\b|\w+ = |coldbag \w+")
    bare = re.sub(passed, " ", bare)
    lists = (r"se conocen(?: aquí)?:?|las columnas (?:aquí )?son|elija uno de estos:|comandos:|columnas que hay:|"
             r"una de estas:|la primera línea nombra las columnas:|escriba uno de estos:|las tablas son")
    bare = re.sub(rf"(?:{lists}) [\w, -]*?(?: o bien [\w-]+|(?=;|$))", " ", bare)
    return [word for word in re.findall(r"[a-z]+", bare) if word in ENGLISH]


def compare(name, arguments, folder, says=""):
    status, lines, printed = run(arguments, folder, says)
    if status < 64 or not lines:
        faults.append(f"{name}: is no error: status {status}")
        return
    in_spanish = [arguments[0], "--language", "es", *arguments[1:]]
    told_status, told, told_printed = run(in_spanish, folder, says)
    if (status, len(lines), printed) != (told_status, len(told), told_printed):
        faults.append(f"{name}: status {status} and {len(lines)} lines, in Spanish {told_status} and {told}")
        return
    for line, other in zip(lines, told):
        same_kept = kept_in(line) == kept_in(other)
        if line == other or place_of(line) != place_of(other) or not same_kept or english_in(other):
            faults.append(f"{name}:\n    {line}\n    {other}\n    {english_in(other)}")


def language_of_a_site(folder):
    """A site file says the language of its own errors, whatever else is wrong with it; an option goes before."""
    (folder / "sitio.toml").write_text('[site]\naltitude = 3\nlanguage = "es"\n', encoding="utf-8")
    (folder / "tanda.toml").write_text('[run]\nsite = "sitio.toml"\n[[log]]\nfile = "log.csv"\n', encoding="utf-8")
    spanish = "no tiene unidad; escriba por ejemplo"
    for arguments, wanted in [("check log.csv --site sitio.toml", spanish), ("check tanda.toml", spanish),
                              ("check --site=sitio.toml log.csv", spanish), ("probe sitio.toml x --ice 0", spanish),
                              ("check log.csv --site sitio.toml --language en", "has no unit; write for example"),
                              ("check log.csv --site sitio.toml --language=en", "has no unit; write for example"),
                              ("check log.csv --site bad.toml --language=es", spanish),
                              ("check log.csv --site bad.toml", "has no unit; write for example")]:
        said = run(shlex.split(arguments), folder)[1]
        if not said or wanted not in said[0]:
            faults.append(f"{arguments}: {said}, not {wanted}")


def many_at_once(folder):
    """Beside each other runs that cannot be judged are told in the report, in Spanish as well."""
    _, _, printed = run(["check", "none.csv", "bad.csv", "--language", "es"], folder)
    said = " ".join(printed.decode("utf-8").split())
    if "no se puede abrir: no existe tal archivo o carpeta" not in said:
        faults.append(f"two runs at once: {said}")


def main():
    tried = []
    for path, arguments in broken_files.commands_of(tests):
        tried.append((path.name, arguments, tests))
    for name, options in BROKEN_WITH.items():
        path = next((tests / "logs").rglob(name))
        tried.append((name, ["check", str(path), "--treatment", "sterilize", *shlex.split(options)], tests))
    with tempfile.TemporaryDirectory() as at:
        folder = pathlib.Path(at)
        (folder / "empty").mkdir()
        for name, text in FILES.items():
            (folder / name).parent.mkdir(exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8")
        tried += [(line, shlex.split(line), folder) for line in COMMAND_LINES.strip().split("\n")]
        with ThreadPoolExecutor(os.cpu_count()) as tasks:
            for each in [tasks.submit(compare, *one) for one in tried]:
                each.result()
        for says in TYPED:  # one after another: each writes the sheet
            compare(f"{SHEET} and then {says!r}", shlex.split(SHEET), folder, says)
            (folder / "b.csv").unlink(missing_ok=True)
        language_of_a_site(folder)
        many_at_once(folder)
    for fault in faults:
        print(fault)
    count = len(tried) + len(TYPED)
    print(f"{count} errors told in Spanish, {len(faults)} not as they should be")
    return 1 if faults or count < 300 else 0


sys.exit(main())
