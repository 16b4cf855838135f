#!/usr/bin/python3
"""A run out of its ledger, checked with sha256sum, openssl and sh alone: the script that goes with it and the lines of
its README say that it holds, and one changed byte of any file, a wrong proof, number or size is caught.

usage: record_export.py PROGRAM SOURCE_FOLDER
"""
import pathlib
import shutil
import subprocess
import sys
import tempfile
import zipfile

program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
faults = []
HOLDS, WRONG = "holds: ", "NOT SO: "


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what[:600])


def run(folder, *command, status=0):
    done = subprocess.run([str(part) for part in command], cwd=folder, capture_output=True, text=True, timeout=300,
                          stdin=subprocess.DEVNULL)
    expect(f"{command} ends with {status}, not {done.returncode}: {done.stderr}{done.stdout}", done.returncode == status)
    return done.stdout + done.stderr


def record(folder, *arguments, status=0):
    return run(folder, program, "record", *arguments, "--ledger", "farm.ledger", status=status)


def made_ledger(folder):
    """Seven entries; the third run has files of hostile names."""
    by = ["--key", "farm.key", "--by", "Ana Example"]
    record(folder, "start", *by)
    hostile = folder / "hostile"
    shutil.copytree(source / "examples" / "good-sterilization", hostile)
    shutil.copy(source / "examples" / "farm.toml", folder / "farm.toml")
    name = "-n $(touch here); 'a' \\\"b\\\" *.csv"
    (hostile / "log.csv").rename(hostile / name.replace("\\", ""))
    text = (hostile / "run.toml").read_text()
    expect("the run file names its log", '"log.csv"' in text)
    (hostile / "run.toml").write_text(text.replace('"log.csv"', f'"{name}"'))
    names = ["good-sterilization", "straw-overshoot", "unproven-probe", "us-units", "decimal-comma"]
    runs = [source / "examples" / name / "run.toml" for name in names]
    record(folder, "add", *runs[:2], hostile / "run.toml", *runs[2:], *by)


def said_by_script(folder, status=0):
    return run(folder, "sh", "check.sh", status=status)


def typed_lines(readme):
    """What README.txt says is to be typed, in its order."""
    lines = readme.split("\nBy hand\n")[1].splitlines()
    return "\n".join(line[4:] for line in lines if line.startswith("    ")).rsplit("\n", 2)[0] + "\n"


def by_hand(export, seal):
    said = run(export, "sh", "-c", typed_lines((export / "README.txt").read_text()))
    proof = dict(line.split(" ", 1) for line in (export / "proof.txt").read_text().splitlines()
                 if line.split()[0] in ("leaf", "root", "tree_size"))
    lines = said.splitlines()
    expect(f"every sum is OK by hand: {said}", lines[0].endswith(": OK") and "FAILED" not in said)
    expect(f"the leaf is computed by hand: {said}", proof["leaf"] + "  -" in lines)
    expect(f"the root is computed by hand: {said}", proof["root"] in lines)
    expect(f"the signature holds by hand: {said}", "Signature Verified Successfully" in said)
    expect(f"the report is the entry's by hand: {said}", lines[-1] == "1")
    expect(f"the root is that of the seal: {seal}", "".join(seal.split()[1:]) == proof["root"])
    expect("the size is that of the seal", seal.split()[0] == proof["tree_size"])
    for file in (export / "files").iterdir():
        hash_of = run(export, "sha256sum", file).split()[0].removeprefix("\\")
        expect(f"{file.name} stands in the entry by hand", f'"sha256":"{hash_of}"' in said)


def changed(export, folder, name, at):
    """A copy in which one byte of a file is another."""
    copy = folder / "changed"
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(export, copy)
    path = copy / name
    data = bytearray(path.read_bytes())
    data[at % len(data)] ^= 1
    path.write_bytes(data)
    return copy


def summed_anew(copy):
    """Somebody who knows of sha256sums makes it anew."""
    run(copy, "sh", "-c", "find . -type f ! -path ./sha256sums -exec sha256sum {} + >../sums && mv ../sums sha256sums")


def catches_bytes(export, folder):
    """Every file at two places; whoever writes sha256sums anew is caught by the entry, the root or the signature,
    but for what is only drawn from it."""
    drawn = {"README.txt", "check.sh", "report.pdf", "sha256sums"}
    for path in sorted(export.rglob("*")):
        name = path.relative_to(export)
        if not path.is_file() or name.name == "check.sh":
            continue
        for at in (path.stat().st_size // 2, -1):
            copy = changed(export, folder, name, at)
            expect(f"a byte of {name} is caught", WRONG in said_by_script(copy, 1))
            if str(name) in drawn or at == -1:
                continue
            summed_anew(copy)
            said = said_by_script(copy, 1)
            expect(f"a byte of {name} is caught whatever sha256sums says: {said}", WRONG in said and HOLDS + "every" in said)
    copy = changed(export, folder, "check.sh", 100)
    run(copy, "sha256sum", "-c", "--quiet", "sha256sums", status=1)


def edited(export, folder, edit):
    copy = folder / "edited"
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(export, copy)
    edit(copy)
    summed_anew(copy)
    return said_by_script(copy, 1)


def catches_lies(export, folder):
    """Whole files put right with each other, as somebody would who wants to deceive."""
    def in_file(name, old, new):
        def edit(copy):
            text = (copy / name).read_text()
            expect(f"{name} has {old!r}", old in text)
            (copy / name).write_text(text.replace(old, new, 1))
        return edit

    def both(*edits):
        return lambda copy: [edit(copy) for edit in edits]

    proof = (export / "proof.txt").read_text()
    number = next(line for line in proof.splitlines() if line.startswith("leaf_number"))
    size = next(line for line in proof.splitlines() if line.startswith("tree_size"))
    first = next(line for line in proof.splitlines() if line.startswith(("left", "right")))
    other = ("right" if first.startswith("left") else "left") + first[first.index(" "):]
    stands, root = HOLDS + "the entry stands", proof.split("\nroot ")[1].strip()
    for what, edit in {
        "another number": in_file("proof.txt", number, "leaf_number 4"),
        "a number of a proof as long": in_file("proof.txt", number, "leaf_number 2"),
        "another size": in_file("proof.txt", size, "tree_size 8"),
        "another size in the head too": both(in_file("proof.txt", size, "tree_size 8"),
                                             in_file("head.json", '"size":7', '"size":8')),
        "another side": in_file("proof.txt", first, other),
        "a step less": in_file("proof.txt", first + "\n", ""),
        "a step more": in_file("proof.txt", first + "\n", first + "\n" + first + "\n"),
        "no root": in_file("proof.txt", "root " + root + "\n", ""),
        "another root": in_file("proof.txt", root, "0" * 64),
        "no proof": lambda copy: (copy / "proof.txt").write_text(""),
        "another verdict": in_file("entry.json", '"verdict":"pass"', '"verdict":"fail"'),
    }.items():
        said = edited(export, folder, edit)
        expect(f"{what} is caught: {said}", stands not in said or HOLDS + "the root is signed" not in said)
    for what, edit in {
        "a kept file that is gone": lambda copy: next((copy / "files").iterdir()).unlink(),
        "a file that was put in": lambda copy: (copy / "files" / "more.csv").write_text("more"),
        "a hidden one": lambda copy: (copy / "files" / ".more").write_text("more"),
        "another name": lambda copy: (copy / "files" / "run.toml").rename(copy / "files" / "ran.toml"),
    }.items():
        said = edited(export, folder, edit)
        expect(f"{what} is caught: {said}", WRONG + "the kept files" in said)
    said = edited(export, folder, lambda copy: (copy / "report.json").write_text("{"))
    expect(f"a part of a report is none: {said}", WRONG + "the report" in said)


def other_key(export, folder):
    """A head of somebody else's key verifies, and its fingerprint is another."""
    def sign(copy):
        run(copy, "openssl", "genpkey", "-algorithm", "ed25519", "-out", "../other.key")
        run(copy, "openssl", "pkey", "-in", "../other.key", "-pubout", "-out", "key.pem")
        run(copy, "openssl", "pkeyutl", "-sign", "-inkey", "../other.key", "-rawin", "-in", "head.json", "-out", "head.sig")
    copy = folder / "stranger"
    shutil.copytree(export, copy)
    sign(copy)
    summed_anew(copy)
    first, second = said_by_script(export), said_by_script(copy)
    expect("a stranger's key shows by its fingerprint", first.splitlines()[-1] != second.splitlines()[-1])


def works(folder):
    seal = record(folder, "seal").strip()
    before = sorted(path.name for path in folder.iterdir())
    record(folder, "export", "3", "--to", "run-3")
    expect("nothing else was left beside it", sorted([*before, "run-3"]) == sorted(path.name for path in folder.iterdir()))
    said = said_by_script(folder / "run-3")
    expect(f"all holds: {said}", WRONG not in said and said.count(HOLDS) == 5)
    expect(f"it tells the seal: {said}", "  " + seal in said.splitlines())
    expect("no name was taken for a command", not list((folder / "run-3").rglob("here")))
    by_hand(folder / "run-3", seal)
    log = source / "examples" / "good-sterilization" / "log.csv"
    expect("the log is there bit for bit", log.read_bytes() in [p.read_bytes() for p in (folder / "run-3" / "files").iterdir()])
    for number in range(1, 7):
        record(folder, "export", str(number), "--to", f"each-{number}")
        expect(f"{number} holds", WRONG not in said_by_script(folder / f"each-{number}"))
    paper = run(folder, "pdftotext", "-raw", "run-3/report.pdf", "-")
    joined = "".join(paper.split())
    for what in (run(folder, "sh", "-c", "grep '^leaf ' run-3/proof.txt").split()[1], "".join(seal.split()),
                 "".join(said.splitlines()[-1].split()), run(folder, "sha256sum", "run-3/report.json").split()[0]):
        expect(f"{what} stands on the paper", what in joined)


def zipped(folder):
    """With a review, which goes with its run."""
    record(folder, "review", "2", "--agrees", "yes", "--key", "farm.key", "--by", "Ben Example")
    record(folder, "export", "2", "--to", "run-2.zip", "--language", "es")
    with zipfile.ZipFile(folder / "run-2.zip") as file:
        expect("the zip is whole", file.testzip() is None)
        file.extractall(folder)
    said = said_by_script(folder / "run-2")
    about = sorted(path.name for path in (folder / "run-2" / "about").iterdir())
    expect(f"what was stated about it goes with it: {about}", len(about) >= 1)
    expect(f"it holds in Spanish: {said}", said.count("correcto: ") == 5 + 2 * len(about) and "NO ES" not in said)
    expect("its README is in Spanish", "A mano" in (folder / "run-2" / "README.txt").read_text())
    # Drawn of the kept report, the run's own units; the paper too speaks Spanish.
    paper = run(folder, "pdftotext", "run-2/report.pdf", "-")
    expect("its paper is in Spanish", "En el libro" in paper)
    expect("it tells who reviewed it", "Ben Example" in paper and "revisión" in paper)
    copy = changed(folder / "run-2", folder, "entry.json", 5)
    expect("a byte is caught in Spanish", "NO ES" in said_by_script(copy, 1))


def refuses(folder):
    for arguments, status, words in [
        (["export", "3", "--to", "run-3"], 73, "there already"), (["export", "3", "--to", "run-2.zip"], 73, "there already"),
        (["export", "0", "--to", "key"], 65, "is no run"), (["export", "99", "--to", "none"], 64, 'no entry "99"'),
        (["export", "3", "--to", "no/folder/here"], 73, "is not there"), (["export", "3"], 64, "--to"), (["export"], 64, "number"),
        (["export", "3", "--to", "no.zip", "--language", "xx"], 64, "xx"),
    ]:
        said = " ".join(record(folder, *arguments, status=status).split())
        expect(f"{arguments} says {words!r}: {said}", words in said)
    expect("nothing came of it", not any((folder / name).exists() for name in ("key", "none", "no", "no.zip")))


with tempfile.TemporaryDirectory() as name:
    place = pathlib.Path(name)
    made_ledger(place)
    works(place)
    zipped(place)
    catches_bytes(place / "run-3", place)
    catches_lies(place / "run-3", place)
    other_key(place / "run-3", place)
    refuses(place)
print(f"record_export: {len(faults)} faults")
sys.exit(1 if faults else 0)
