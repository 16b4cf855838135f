#!/usr/bin/python3
"""What the program says in Spanish beside what it says in English: the same figures in the same order, the same exit
status, the same JSON; no line over 80 columns and no English left but for names, commands and notes out of files.

usage: spanish.py PROGRAM SOURCE_FOLDER
"""
import functools
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import tomllib
from concurrent.futures import ThreadPoolExecutor

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
COLUMNS = 80
COMMANDS = "check|lag|probe|record|setup|sheet|size|type"
UNITS = ("h|min|s|d|ms|C|F|K|kPa|Pa|psi|bar|kg|lb|kg/h|lb/h|kg/m3|m|cm|m2|m3|ft|ft2|ft3|L|gal|kW|W|kWh|Btu/h|W/m2K|W/mK|"
         "ppm|%|V|A")
# A unit, but not the first letter of a name.
FIGURE = re.compile(rf"(?<![\w.])[+-]?\d(?:[\d,:]*\d)?(?:\.\d+)?(?:e[+-]?\d+)?(?: (?:{UNITS})(?![\w/]|\. botulinum))?")
ENGLISH = set("""the of with not for was from and is are at by to in on it or this that than least most bag bags steam probe
    probes vessel run runs core cores hold heat row rows time times hot cold when which where what be been have had its
    every likely slow good nobody said until after before above below under over more less than them they each one two an
    as if then so but do does did can may must never no-one first last water air by up down out off day days
    fitted model pattern""".split())
faults = []
tasks = ThreadPoolExecutor(os.cpu_count())
compared = []


def fault(text):
    faults.append(text)


def run(arguments, folder, language):
    done = subprocess.run([program, *map(str, arguments), "--language", language], cwd=folder, capture_output=True,
                          text=True, timeout=300)
    return done.returncode, done.stdout, done.stderr


def strings_of(value):
    """Every text in a TOML document, keys too."""
    if isinstance(value, dict):
        for key, each in value.items():
            yield key
            yield from strings_of(each)
    elif isinstance(value, list):
        for each in value:
            yield from strings_of(each)
    elif isinstance(value, str):
        yield value


@functools.cache
def names_in(path):
    names = set()
    if path.suffix == ".toml":
        names |= set(strings_of(tomllib.loads(path.read_text())))
    elif path.suffix == ".csv":
        for line in path.read_text(encoding="utf-8-sig", errors="replace").splitlines()[:12]:
            names |= {cell.strip(' "') for cell in re.split(r"[,;\t]", line)}
            names |= {re.sub(r" *[(\[].*", "", cell).strip(' "') for cell in re.split(r"[,;\t]", line)}
    return names


def names_of(folder, arguments):
    """What the files say in words of their own: every text of the TOML files and every column of the logs."""
    files = {path for text in map(str, arguments) for path in (folder / text).parent.glob("*.*")}
    files |= set((folder / "examples").glob("*.toml"))
    names = set().union(*map(names_in, files))
    return sorted((name for name in names if len(name) > 2), key=len, reverse=True)


def is_one_word(line):
    words = line.split()
    return len(words[1:] if words[0] == "-" else words) == 1


def own_words(text, names):
    """The text without what no language changes: commands to type, options, quotes, names, keys, files."""
    lines = []
    in_command = False
    for line in text.splitlines():
        in_command = in_command or bool(re.match(r" *coldbag [a-z]+ (?!-)", line))
        is_of_a_file = re.match(r"[a-z_]+ = |\[", line)  # a check as the site file holds it
        if not in_command and not is_of_a_file:
            lines.append(re.sub(rf"^  (?:{COMMANDS}) ", " ", line))
        in_command = in_command and line.endswith("\\")
    text = " ".join(" ".join(lines).split())
    text = re.sub(r'"[^"]*"', " ", text)
    text = re.sub(r"\bsha256 [0-9a-f]+", " ", text)
    text = re.sub(r"; (?:probe|other|gauge|event|bag|fault|film|where|side) [\w-]+", " ", text)  # figures by their JSON name
    text = re.sub(r"\[\w+\]", " ", text)
    text = re.sub(r"(?<![\w-])--[\w-]+(?: (?:sides|all|sealed|insulated)\b|,? o all\b)?", " ", text)
    for name in names:
        text = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", " ", text)
    text = re.sub(r"(?:\d|F, lb e) in\b|steam, hold-at;|run, key, ", " ", text)
    text = re.sub(r"\S*[\w~][._/=~-][\w]\S*", " ", text)  # core_1, log.csv, bags.NAME.film
    return re.sub(rf"coldbag (?:{COMMANDS})", " ", text)


def compare(arguments, folder=source):
    compared.append(tasks.submit(compare_now, arguments, folder))


def same_json(arguments):
    compared.append(tasks.submit(same_json_now, arguments))


def compare_now(arguments, folder):
    name = " ".join(map(str, arguments))
    status, english, remarks = run(arguments, folder, "en")
    other_status, spanish, other_remarks = run(arguments, folder, "es")
    if status != other_status:
        fault(f"{name}: exit status {status} in English, {other_status} in Spanish: {remarks} {other_remarks}")
    if not english or english == spanish:
        fault(f"{name}: nothing is told in Spanish: {english[:200]}{remarks}")
    figures = [FIGURE.findall(" ".join(text.split())) for text in (english, spanish)]
    if arguments[0] == "sheet":  # pages break where the words leave room
        figures = list(map(sorted, figures))
    if figures[0] != figures[1]:
        at = next((i for i, (one, other) in enumerate(zip(*figures)) if one != other), min(map(len, figures)))
        fault(f"{name}: figures differ: {figures[0][at - 2:at + 4]} and {figures[1][at - 2:at + 4]}")
    for one, other in (("PASS", "CUMPLE"), ("FAIL", "NO CUMPLE"), ("UNPROVEN", "SIN DEMOSTRAR")):
        if re.search(rf"^{one} ", english, re.M) and not re.search(rf"^{other} ", spanish, re.M):
            fault(f"{name}: {one} is not told as {other}")
    for line in spanish.splitlines():
        if len(line) > COLUMNS and not is_one_word(line):
            fault(f"{name}: {len(line)} columns: {line}")
    words = set(re.findall(r"[^\W\d_]+", own_words(spanish, names_of(folder, arguments)).lower()))
    if left := sorted(words & ENGLISH):
        where = [line for line in spanish.splitlines() if any(re.search(rf"\b{word}\b", line, re.I) for word in left)]
        fault(f"{name}: English left: {left}: {where[:4]}")


def same_json_now(arguments):
    name = " ".join(map(str, arguments))
    english, spanish = (run([*arguments, "--json"], source, language) for language in ("en", "es"))
    if not english[1].startswith("{") or english[:2] != spanish[:2]:
        fault(f"{name}: --json differs with the language")


def plain(arguments, folder=source):
    done = subprocess.run([program, *map(str, arguments)], cwd=folder, capture_output=True, text=True, timeout=120)
    return done.returncode, done.stdout, done.stderr


def the_site_file_decides():
    """Without --language, and --language goes before it."""
    example = "examples/decimal-comma"
    for arguments in (["check", f"{example}/run.toml"], ["lag", f"{example}/run.toml"],
                      ["check", f"{example}/log.csv", "--site", f"{example}/finca.toml"],
                      ["check", f"{example}/run.toml", "examples/us-units/run.toml"],
                      ["sheet", "--site", f"{example}/finca.toml"],
                      ["size", "--site", f"{example}/finca.toml", "--bags", "40", "--steam", "12 kW"],
                      ["size", "--run", f"{example}/run.toml", "--steam", "12 kW"],
                      ["probe", f"{example}/finca.toml", "bolsa_1", "--ice", "0.1 C", "--on", "2026-03-08", "--show"],
                      ["lag", "--bag", "--site", f"{example}/finca.toml"]):
        said, spanish, english = plain(arguments), run(arguments, source, "es"), run(arguments, source, "en")
        if said[1] != spanish[1] or said[1] == english[1] or said[2] != spanish[2]:
            fault(f"{arguments}: the site file's language does not count: {said[1][:200]}")
    if plain(["check", "examples/us-units/run.toml"])[1] != run(["check", "examples/us-units/run.toml"], source, "en")[1]:
        fault("where nobody asks for a language, it is not English")


def an_unknown_language_is_refused():
    for arguments in (["check", "examples/us-units/run.toml"], ["lag", "--bag", "--mass", "2 kg"], ["sheet"], ["probe"],
                      ["size", "--mass", "2 kg", "--bags", "9", "--steam", "6 kW"], ["setup", "new.toml"],
                      ["type", "new.csv"]):
        status, said, remark = plain([*arguments, "--language", "xx"])
        if status != 64 or said or '--language: "xx" is none' not in remark or "en, es" not in remark:
            fault(f"{arguments} --language xx: {status} {said} {remark}")


runs = sorted(path.relative_to(source) for path in (source / "examples").glob("*/run.toml"))
logs = sorted(path.relative_to(source) for path in (source / "examples").glob("*/log.csv"))
if len(runs) < 14 or len(logs) < 14:
    fault(f"the examples are not where they should be: {len(runs)} runs, {len(logs)} logs")
for path in runs:
    compare(["check", path, "--full", "--explain"])  # begins with what is told without them
    compare(["lag", path, "--full"])
for path in runs[:3]:
    compare(["check", path])
    same_json(["check", path])
for path in logs:
    compare(["check", path, "--explain"])
    compare(["check", path, "--treatment", "atmospheric_steam", "--running", "--if-each-bag-held", "1e6", "--full",
             "--altitude", "1150 m", "--vented"])
for number in ("1", "2"):
    compare(["check", "examples/two-loads-in-one-log/run.toml", "--run", number, "--full"])
for treatment in ("sterilize", "pasteurize_straw", "wood_packaging", "compost", "atmospheric_steam_hot"):
    compare(["check", "examples/good-sterilization/run.toml", "--treatment", treatment, "--full"])
compare(["check", *runs[:5]])
compare(["lag", "--learn", *runs[:4]])
drum = ["size", "--mass", "5 lb", "--steam", "6 kW", "--volume", "208 L", "--altitude", "1150 m"]
compare([*drum, "--bags", "24", "--steam-on", "18:30", "--full", "--come-up-in", "1 h"])
compare([*drum, "--bags", "24", "--us", "--boils-inside", "--water", "30 gal", "--fuel", "electricity", "--price", "0.2",
         "--volts", "240", "--full"])
compare([*drum, "--bags", "24", "--second-after", "1 h", "--fuel", "pellets"])
compare([*drum, "--bags", "6", "--inside", "standing 57 cm x 85 cm"])
compare(["size", "--mass", "5 lb", "--bags", "240", "--steam", "60 kW", "--volume", "2 m3", "--rated", "20 psi gauge",
         "--treatment", "sterilize", "--altitude", "1150 m"])
compare(["size", "--mass", "5 lb", "--bags", "100", "--steam", "1 kW"])
compare([*drum, "--vary", "bags=10,20,60", "--vary", "mass=1,2 kg", "--fuel", "electricity", "--price", "0.2", "--bags",
         "9"])
compare(["size", "--run", "examples/good-sterilization/run.toml", "--steam", "60 kW", "--metered", "150 kg", "--full"])
same_json([*drum, "--bags", "24"])
for bag in (["--mass", "2.3 kg", "--vented", "--altitude", "1150 m"],
            ["--mass", "12 kg", "--form", "column", "--substrate", "straw", "--vented", "--altitude", "1150 m"],
            ["--mass", "5 lb", "--us", "--steam", "15 psi gauge", "--rated", "20 psi gauge", "--come-up", "40 min"]):
    compare(["lag", "--bag", *bag, "--full"])
    same_json(["lag", "--bag", *bag])
compare(["sheet"])
for treatment in ("atmospheric_steam", "sterilize", "pasteurize_straw", "compost"):
    compare(["sheet", "--treatment", treatment, "--start", "2026-03-08 18:30", "--every", "1 h", "--us"])
compare(["sheet", "--site", "examples/farm.toml", "--vessel", "room", "--probes", "dial_1,dial_2,room_dial", "--treatment",
         "atmospheric_steam"])
compare(["probe"])
for command in ("check", "type", "probe", "record", "setup", "lag", "size", "sheet"):
    compare([command, "--help"])
compare(["--help"])
with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    (folder / "farm.toml").write_bytes((source / "examples" / "farm.toml").read_bytes())
    for readings in (["--ice", "0.4 C", "--boil", "96.9 C"], ["--boil", "96.9 C", "--by", "A"],
                     ["--ice", "0.4 C", "--boil", "96.9 C", "--ice-left", "0.1 C", "--boil-left", "96.2 C",
                      "--pressure-at-site", "88.2 kPa"],
                     ["--point", "60 C, 60.4 C", "--point", "121.0 C, 121.9 C", "--reference-u", "0.1 K"]):
        compare(["probe", "farm.toml", "core_1", "--on", "2026-03-08", *readings, "--show"], folder)
    the_site_file_decides()
    an_unknown_language_is_refused()
    for each in compared:
        each.result()
if len(compared) < 90:
    fault(f"only {len(compared)} texts were compared")
for one in faults[:40]:
    print(one)
print(f"{len(compared)} texts in two languages, {len(faults)} faults")
sys.exit(1 if faults else 0)
