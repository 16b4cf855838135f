#!/usr/bin/python3
"""Each number of a run's JSON stands on its printed sheet as it does in its --full text, and a second drawing of the
same run gives the same page, PDF and chart byte for byte. Needs poppler-utils.

The sheet's text is put into the form of --full: a paragraph for each heading, "- " before an item, a row for each
organism. How a number is looked for, and how the search itself is tested, is full_text_numbers' own.

usage: drawn_reports.py PROGRAM SOURCE_FOLDER
"""
import csv
import pathlib
import re
import subprocess
import sys
import tempfile

import full_text_numbers as full

HEADING_KEYS = ("record_criteria", "record_probes", "record_load", "record_probe_checks", "record_read", "record_reach",
                "record_by_hand", "faults_heading", "full_judged")


def words(source):
    with (source / "shared/words-en.csv").open(newline="", encoding="utf-8") as file:
        return dict(list(csv.reader(file))[1:])


def lines_of(pdf, order):
    """Of all pages, without their feet: "-raw" as they were drawn, "-layout" with wide blanks between cells."""
    text = subprocess.run(["pdftotext", order, "-enc", "UTF-8", str(pdf), "-"], capture_output=True, text=True,
                          check=True).stdout
    lines = [line.strip() for line in text.replace("\u00a0", " ").replace("\f", "").splitlines()]
    return [line for line in lines if not re.search(r"\bpage \d+ of \d+$", line)]


def without_chart(lines):
    """Its axes hold numbers of every kind. It is the last thing before the heading that ends the first paragraphs."""
    marks = [i for i, line in enumerate(lines) if re.fullmatch(r"-?[\d,.]+( [CF])?", line)]
    return lines[:marks[0]] if marks else lines


def is_heading(line, report, catalogue):
    if line in [catalogue[key] for key in HEADING_KEYS] + [text for key, text in catalogue.items()
                                                           if key.startswith("heading_")]:
        return True
    return any(re.fullmatch(re.escape(probe["name"]) + r" \([^()]*\)", line) for probe in report["probes"]) or any(
        line == need["name"] for need in report["would_need"])


def parts(lines, report, catalogue):
    """[heading, lines...] of each part; what stands before the first heading has "" for one."""
    found = [[""]]
    for line in lines:
        if is_heading(line, report, catalogue):
            found.append([line])
        else:
            found[-1].append(line)
    return found


def criteria(lines):
    """A row of the table ends with what a miss does. Its cells stay apart: "12 h" beside "34 min" is no duration."""
    rows, row = [], []
    for line in lines:
        row.append(re.sub(r" {2,}", " | ", line))
        if line.startswith("a miss "):
            rows.append("- " + " ".join(row))
            row = []
    return ["Criteria"] + rows


def organism_rows(lines, probe):
    text = " ".join(lines)
    over = re.search(r"In all three figures (over 20): (.*?)\.(?: \*|$)", text)
    rows = []
    for organism in probe["organisms"]:
        name = re.escape(organism["name"])
        figures = re.search(name + r"(?: \*)?((?: (?:over 20|\d+\.\d)){3})", text)
        if figures:
            told = figures[1].strip()
        elif over and re.search(r"(?:^|; )" + name + r"(?: \*)?(?: \([^()]*\))?(?:;|$)", over[2]):
            told = " ".join(3 * [over[1]])
        else:
            told = ""
        rows.append("  " + organism["name"][:42].ljust(44) + told)
    return rows


def as_full_text(pdf, report, catalogue):
    all_parts = parts(lines_of(pdf, "-raw"), report, catalogue)
    asked = catalogue["record_criteria"]
    with_cells = {part[0]: part[1:] for part in parts(lines_of(pdf, "-layout"), report, catalogue)}.get(asked)
    chart_stands_in = max((i for i, part in enumerate(all_parts) if part[0] in ("", catalogue["heading_next"])))
    all_parts[chart_stands_in] = without_chart(all_parts[chart_stands_in])
    paragraphs = []
    for heading, *rest in all_parts:
        items = [re.sub(r"^\u2013 ", "- ", line) for line in rest]
        if heading == asked:
            paragraphs.append("\n".join(criteria(with_cells)))
            continue
        for probe in report["probes"]:
            if heading.startswith(probe["name"] + " ("):
                items += organism_rows(rest, probe)
        paragraphs.append("\n".join([heading] + items))
    return "\n\n".join(paragraphs)


def drawn(program, source, arguments, folder):
    """The bytes of page, PDF and charts; the PDF stays in the folder."""
    files = {"--html": "run.html", "--pdf": "run.pdf", "--chart": "run.svg"}
    told = [program, "check", *arguments, "--language", "en"]
    for option, name in files.items():
        (folder / name).unlink(missing_ok=True)
        told += [option, str(folder / name)]
    done = subprocess.run(told, cwd=source, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 1, 2):
        raise RuntimeError(done.stderr)
    return [(folder / name).read_bytes() for name in files.values()]


def check(program, source, arguments, folder, catalogue):
    name = " ".join(arguments)
    first = drawn(program, source, arguments, folder)
    report = full.report_of(program, source, arguments)
    is_told = full.tells_all(name, report, as_full_text(folder / "run.pdf", report, catalogue))
    is_same = drawn(program, source, arguments, folder) == first
    if not is_same:
        print(f"{name}: drawn again it differs")
    return is_told and is_same


def main():
    program, source = str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve()
    catalogue = words(source)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        results = [check(program, source, case, folder, catalogue) for case in full.cases(source, folder)]
    return 0 if len(results) >= 20 and all(results) else 1


if __name__ == "__main__":
    sys.exit(main())
