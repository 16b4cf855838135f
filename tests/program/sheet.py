#!/usr/bin/python3
"""coldbag sheet on the real program: what it prints and refuses, and that what is typed off it is read.

All readings are invented.

usage: sheet.py PROGRAM
"""
import json
import pathlib
import subprocess
import sys
import tempfile

program = str(pathlib.Path(sys.argv[1]).resolve())
LINES, COLUMNS = 60, 80
SITE = """[site]
name = "invented farm"
altitude = "1150 m"
[vessels.drum]
kind = "vented"
[vessels.retort]
kind = "pressure-rated"
rating = "22 psi gauge"
[bags.brick]
mass = "2.3 kg"
moisture = "62 %"
film = "pp-homopolymer"
[probes.low]
column = "Core low"
place = "bag"
bag = "brick"
position = "lowest layer, rear"
class = "pt-a"
[probes.high]
column = "Core high"
place = "bag"
bag = "brick"
class = "pt-a"
[probes.steam]
column = "Vessel"
place = "vessel"
class = "pt-a"
"""
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what)


def run(folder, *arguments, says=None):
    return subprocess.run([program, *arguments], cwd=folder, capture_output=True, text=True, timeout=60, input=says)


def sheet(folder, *arguments):
    done = run(folder, "sheet", *arguments)
    expect(f"sheet {arguments} is printed: {done.stderr}", done.returncode == 0)
    return done.stdout


def pages_of(text):
    return [page.split("\n")[:-1] for page in text.split("\f")]


def columns_of(text):
    """Header of each column as a log would have it: what stands above the first rule, cell by cell."""
    page, rule = next((page, i) for page in pages_of(text) for i, line in enumerate(page) if line.startswith("------"))
    ends = [i for i, c in enumerate(page[rule]) if c == "+"] + [len(page[rule])]
    heads, line = [], rule - 1
    while "|" in page[line]:
        heads.insert(0, page[line])
        line -= 1
    names, begin = [], 0
    for end in ends:
        names.append(" ".join(filter(None, (head[begin:end].strip() for head in heads))))
        begin = end + 1
    return names


def times_of(text):
    return [line.split("|")[0].strip() for page in pages_of(text) for line in page
            if "|" in line and line[:1].isdigit()]


def typing_command(text):
    """The words of the command on the back, as a shell takes them."""
    lines = text[text.index("  coldbag type "):].split("\f")[0]
    said = subprocess.run(["sh", "-c", 'coldbag() { printf "%s\\n" coldbag "$@"; }\n' + lines], capture_output=True,
                          text=True, timeout=60)
    return said.stdout.splitlines()


def fits_the_paper(folder):
    (folder / "farm.toml").write_text(SITE)
    for arguments in ([], ["--start", "18:30"], ["--us", "--treatment", "sterilize"],
                      ["--probes", ",".join(f"Core {i}" for i in range(8)), "--every", "15"],
                      ["--site", "farm.toml", "--vessel", "retort", "--probes", "low,high,steam", "--treatment",
                       "sterilize", "--bags", "240", "--start", "2026-03-08 18:30"]):
        text = sheet(folder, *arguments)
        pages = pages_of(text)
        expect(f"{arguments}: no page over {LINES} lines: {list(map(len, pages))}",
               max(map(len, pages)) <= LINES)
        expect(f"{arguments}: no line over {COLUMNS} columns", max(len(line) for page in pages for line in page) <= COLUMNS)
        expect(f"{arguments}: it is all text", text.isprintable() or set(text) - {"\n", "\f"} <= set(map(chr, range(32, 127))))
    printed = times_of(sheet(folder, "--start", "1830", "--every", "30", "--for", "14 h"))
    minutes = [18 * 60 + 30 + 30 * i for i in range(29)]
    expect(f"readings of 14 h at 30 min: {printed}", printed == [f"{m // 60 % 24:02d}:{m % 60:02d}" for m in minutes])
    expect("minutes since steam on", times_of(sheet(folder, "--every", "15 min", "--for", "1 h")) ==
           ["0", "15", "30", "45", "60"])


def refuses(folder):
    (folder / "farm.toml").write_text(SITE)
    (folder / "bad.toml").write_text("[site]\naltitude = 3\n")
    site = ["--site", "farm.toml", "--vessel", "drum", "--probes", "low, steam"]
    for arguments, status in [(["--help"], 0), (["--nothing"], 64), (["sheet.txt"], 64), (["--bags", "many"], 64),
                              (["--bags", "0"], 64), (["--every", "90 s"], 64), (["--every", "13 h"], 64),
                              (["--start", "late"], 64), (["--for", "14"], 64), (["--for", "0 h"], 64),
                              (["--every", "1", "--for", "20 h"], 64), (["--treatment", "boil"], 64),
                              (["--probes", "T1,T1"], 64), (["--probes", "Humidity"], 64),
                              (["--site", "none.toml"], 66), (["--site", "bad.toml"], 65), (site, 0),
                              ([*site, "--treatment", "sterilize"], 64), (["--site", "farm.toml"], 64),
                              ([*site[:4], "--probes", "lew"], 64), ([*site, "--bag", "brck"], 64),
                              (["--out", "no/sheet.txt"], 73)]:
        done = run(folder, "sheet", *arguments)
        expect(f"{arguments} gives {status}, not {done.returncode}: {done.stderr}", done.returncode == status)
        expect(f"{arguments} says why", status == 0 or (done.stderr.startswith("coldbag: ") and not done.stdout))
    done = run(folder, "sheet", *site, "--treatment", "sterilize")
    expect(f"no sheet that would have a vent closed: {done.stderr}", "never close a vent" in done.stderr)

    done = run(folder, "sheet", *site, "--out", "sheet.txt")
    expect(f"--out says what it wrote: {done.stdout}", done.returncode == 0 and "sheet.txt" in done.stdout)
    written = (folder / "sheet.txt").read_bytes()
    expect("the same that is printed", written.decode() == sheet(folder, *site))
    done = run(folder, "sheet", *site, "--bags", "3", "--out", "sheet.txt")
    expect("a file is never overwritten", done.returncode == 73 and (folder / "sheet.txt").read_bytes() == written)


def readings(count, in_degF):
    """What a person would have written: cores that come up in 3 h, steam that is hot after one."""
    rows = []
    for i in range(count):
        core = min(96.0, 20 + 76 * i / 6)
        steam = min(96.1, 20 + 39.0 * i)
        degC = [core, core - (0.4 if i < 8 else 0.1), steam]
        rows.append([f"{value * 9 / 5 + 32 if in_degF else value:.1f}" for value in degC])
    return rows


def typed_off(folder, text, name, count, in_degF, more=()):
    """Types the sheet off with the command on its back, every time taken as printed."""
    command = typing_command(text)
    expect(f"the command on the back is one of coldbag: {command}", command[:2] == ["coldbag", "type"])
    command[2] = name
    lines = "".join("\n" + " ".join(row) + "\n" for row in readings(count, in_degF)) + "end\n"
    done = run(folder, *command[1:], *more, "--by", "A", says=lines)
    expect(f"coldbag type takes its command: {done.stderr}", done.returncode == 0)
    return done


def header_of(path):
    lines = path.read_text().splitlines()
    return next(line for line in lines if line.startswith("Time,")).split(",")


def what_is_typed_is_read(folder):
    (folder / "farm.toml").write_text(SITE)
    for number, in_degF in enumerate([False, True]):
        name = f"typed{number}.csv"
        text = sheet(folder, "--site", "farm.toml", "--vessel", "drum", "--probes", "low, high, steam", "--treatment",
                     "atmospheric_steam", "--start", "2026-03-08 18:30", *(["--us"] if in_degF else []))
        typed_off(folder, text, name, 40, in_degF)
        heads, header = columns_of(text), header_of(folder / name)
        unit = "F" if in_degF else "C"
        expect(f"the sheet's columns are the log's: {heads}, {header}",
               heads[0] == "Time" and heads[2:5] == header[1:4] == [f"Core low ({unit})", f"Core high ({unit})", f"Vessel ({unit})"])
        expect(f"times are the printed ones: {times_of(text)[:3]}",
               [row.split(",")[0][11:] for row in (folder / name).read_text().splitlines() if row.startswith("2026-")]
               == times_of(text)[:40])
        (folder / "run.toml").write_text('[run]\nsite = "farm.toml"\nvessel = "drum"\ntreatment = "atmospheric_steam"\n'
                                         f'[[log]]\nfile = "{name}"\n[[load.bags]]\nbag = "brick"\ncount = 2\n')
        done = run(folder, "check", "run.toml", "--json")
        report = json.loads(done.stdout)
        expect(f"check judges it: {report['verdict']}", done.returncode == 0 and report["verdict"] == "pass")
        expect("as by hand", report["log"]["sources"][0]["understanding"]["by_hand"]["value"] is True)
        bags = [probe for probe in report["probes"] if probe["role"] == "bag"]
        # Rows 6 to 39 are at or over 88 C; by hand five minutes at either end are not credited.
        expect(f"the hold is what was written: {bags}", len(bags) == 2 and
               all(abs(bag["hold_minutes"] - 33 * 30) < 0.1 and abs(bag["hold_minutes_lower"] - 980) < 0.1
                   for bag in bags))


def a_sheet_without_a_site_is_typed_too(folder):
    text = sheet(folder, "--probes", "Core 1, Core 2, Vessel", "--every", "30")
    typed_off(folder, text, "plain.csv", 30, False, ["--date", "2026-03-08", "--first", "18:30"])
    done = run(folder, "check", "plain.csv", "--treatment", "atmospheric_steam", "--altitude", "1150 m", "--vented", "--json")
    roles = {probe["name"]: probe["role"] for probe in json.loads(done.stdout)["probes"]}
    expect(f"places are read off the names: {roles}", roles == {"Core 1": "bag", "Core 2": "bag", "Vessel": "vessel"})
    # Eight probes: the command is broken over several lines, and still is one.
    names = [f"Core {i} of the lower layer" for i in range(1, 9)]
    text = sheet(folder, "--probes", ", ".join(names), "--start", "18:30")
    command = typing_command(text)
    named = [name.strip() for name in command[command.index("--probes") + 1].split(",")]
    expect(f"all eight stand in the command: {named}", named == names)


def the_whole_sheet_typed_into_a_table_is_read(folder):
    """Someone types all columns, gauge included, under the heads as they stand on the sheet."""
    for arguments, first, unit in ((["--start", "18:30"], "Time", "kPa"), ([], "Elapsed (min)", "kPa"),
                                   (["--us", "--start", "18:30"], "Time", "psi")):
        text = sheet(folder, "--probes", "Core 1, Core 2, Vessel", "--every", "15", *arguments)
        heads = columns_of(text)
        expect(f"time stands first: {heads}", heads[0] == first)
        wanted = [i for i, head in enumerate(heads) if head not in ("Clock", "Water level", "By", "Remark")]
        rows = []
        for i, values in enumerate(readings(22, unit == "psi")):
            minute = 18 * 60 + 30 + 15 * i
            when = f"2026-03-08 {minute // 60:02d}:{minute % 60:02d}" if first == "Time" else str(15 * i)
            rows.append(",".join([when, "0.5", *values]))
        (folder / "table.csv").write_text("Transcribed by: A\n" + ",".join(heads[i] for i in wanted) + "\n" +
                                          "\n".join(rows) + "\n")
        done = run(folder, "check", "table.csv", "--treatment", "atmospheric_steam", "--altitude", "1150 m", "--vented",
                   "--json")
        report = json.loads(done.stdout)
        read = report["log"]["sources"][0]["understanding"]
        gauge = next(column for column in read["columns"] if column["name"] == "Gauge")
        expect("it is read as by hand", read["by_hand"]["value"] is True)
        expect(f"the gauge is one: {gauge}", gauge["kind"]["value"] == "pressure" and
               gauge["unit"]["value"].lower() == unit.lower() and gauge["pressure_basis"] == "gauge")
        expect("every cell was read", report["log"]["cells_unread"] == [] and report["log"]["rows"] == 22)
        tops = {probe["name"]: round(probe["top_degC"], 1) for probe in report["probes"]}
        expect(f"what was written is what was read: {tops}", tops == {"Core 1": 96.0, "Core 2": 95.9, "Vessel": 96.1})


def text_of(path):
    done = subprocess.run(["pdftotext", "-raw", str(path), "-"], capture_output=True, text=True, timeout=60)
    return done.stdout


def paper_of(path):
    done = subprocess.run(["pdfinfo", str(path)], capture_output=True, text=True, timeout=60)
    return next(line.split("(")[-1].rstrip(")") for line in done.stdout.splitlines() if line.startswith("Page size"))


def makes_pdfs(folder):
    (folder / "farm.toml").write_text(SITE)
    (folder / "us.toml").write_text(SITE.replace("[site]", '[site]\nunits = "us"'))
    asked = ["--vessel", "drum", "--probes", "low, steam", "--treatment", "atmospheric_steam", "--run-name", "north 7",
             "--bags", "240"]
    metric, us = ["--site", "farm.toml", *asked], ["--site", "us.toml", *asked]

    done = run(folder, "sheet", *metric, "--pdf", "a.pdf", "--tags", "tags.pdf", "--racks", "6", "--out", "a.txt")
    expect(f"all three are made: {done.stderr}", done.returncode == 0)
    expect(f"each is told: {done.stdout}", all(name in done.stdout for name in ("a.txt", "a.pdf", "tags.pdf")))
    text, pdf, tags = (folder / "a.txt").read_text(), text_of(folder / "a.pdf"), text_of(folder / "tags.pdf")
    expect("text and PDF have the run's name", "Run north 7" in text and "Run north 7" in pdf)
    for words in ("invented farm", "Where each probe sits", "STEAM LOST", "coldbag type sheet.csv", "Core low"):
        expect(f"the PDF says {words}", words in pdf)
    # Every reading of the text stands in the PDF, alone on its line as it was drawn.
    lines = pdf.splitlines()
    expect("every reading stands in the PDF", all(time in lines for time in times_of(text)))
    expect("a tag for each rack", all(f"{rack} of 6" in tags for rack in range(1, 7)) and
           tags.count("UNTREATED until signed") == 6)
    expect("a tag says which run", tags.count("Run north 7") == 6 and tags.count("of 240") == 6)

    done = run(folder, "sheet", *metric, "--pdf", "again.pdf", "--tags", "tags2.pdf", "--racks", "6")
    expect("only files that were asked for, no sheet on the screen", done.returncode == 0 and "STEAM LOST" not in done.stdout)
    expect("the same bytes from one process to the next",
           (folder / "again.pdf").read_bytes() == (folder / "a.pdf").read_bytes() and
           (folder / "tags2.pdf").read_bytes() == (folder / "tags.pdf").read_bytes())
    run(folder, "sheet", *us, "--pdf", "us.pdf", "--tags", "us-tags.pdf")
    run(folder, "sheet", *us, "--pdf", "us-a4.pdf", "--paper", "a4")
    run(folder, "sheet", *metric, "--tags", "letter.pdf", "--paper", "letter")
    papers = {name: paper_of(folder / f"{name}.pdf") for name in ("a", "tags", "us", "us-tags", "us-a4", "letter")}
    expect(f"paper by the units, or as asked: {papers}", papers == {
        "a": "A4", "tags": "A4", "us": "letter", "us-tags": "letter", "us-a4": "A4", "letter": "letter"})

    before = (folder / "a.pdf").read_bytes()
    for arguments, status in [(["--pdf", "a.pdf", "--bags", "3"], 73), (["--tags", "a.pdf"], 73), (["--pdf", "no/a.pdf"], 73),
                              (["--paper", "a4"], 64), (["--pdf", "b.pdf", "--paper", "a5"], 64), (["--racks", "3"], 64),
                              (["--tags", "b.pdf", "--racks", "0"], 64), (["--tags", "b.pdf", "--racks", "401"], 64),
                              (["--tags", "b.pdf", "--racks", "many"], 64)]:
        done = run(folder, "sheet", *arguments)
        expect(f"{arguments} gives {status}, not {done.returncode}: {done.stderr}", done.returncode == status)
        expect(f"{arguments} says why", done.stderr.startswith("coldbag: ") and not done.stdout)
    expect("a PDF is never overwritten, and nothing is made of what is refused",
           (folder / "a.pdf").read_bytes() == before and not (folder / "b.pdf").exists())


for part in [fits_the_paper, refuses, makes_pdfs, what_is_typed_is_read, a_sheet_without_a_site_is_typed_too,
             the_whole_sheet_typed_into_a_table_is_read]:
    with tempfile.TemporaryDirectory() as name:
        part(pathlib.Path(name))
print(f"sheet: {len(faults)} faults")
sys.exit(1 if faults else 0)
