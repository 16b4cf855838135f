"""Reads every #include under src/ and fails when one goes against the order of the folders.

Usage: check_includes.py <src folder>    check a tree
       check_includes.py --self-test     check the check, on made-up trees
"""

import re
import sys
import tempfile
from pathlib import Path

INCLUDE = re.compile(r'^\s*#\s*include\s*(?:"([^"]+)"|<([^>]+)>)')
SUFFIXES = {".h", ".hpp", ".cpp"}

# Open to every folder that stands after them.
OPEN = ["errors", "clock", "quantity", "tables"]
# Lowest first; what a folder may include besides itself and the open ones before it. None: everything before it.
FOLDERS = {
    "errors": [],
    "clock": [],
    "quantity": ["errors"],
    "tables": ["quantity", "errors"],
    "steam": [],
    "kinetics": [],
    "substrate": ["steam"],
    "logs": [],
    "farm": ["kinetics", "substrate", "steam"],
    "probes": ["logs", "farm", "steam"],
    "heatup": ["probes", "farm", "substrate", "kinetics", "steam"],
    "run": None,
    "sizing": None,
    "live": ["run", "heatup", "probes", "logs"],
    "records": ["run", "logs", "kinetics"],
    "report": None,
    "web": None,
    "cli": None,
}
# Built without the clock, though they stand after it.
CLOSED = {("quantity", "clock"), ("tables", "clock")}

# Third-party headers that have a home: what the include starts with, which files may have it, in words.
# A file is named without its suffix; every one of these stays out of our headers.
HOMES = [
    (r"sodium(\.h|/)", r"tables/sha256|records/.*", "tables/sha256, records/"),
    (r"openssl/", r"tables/sha256|records/base64", "tables/sha256, records/base64"),
    (r"zstd", r"records/.*", "records/"),
    (r"archive(_entry)?\.h$", r"records/zip", "records/zip"),
    (r"(unsupported/)?Eigen/", r"heatup/.*|sizing/.*|records/logistic", "heatup/, sizing/, records/logistic"),
    (r"soci/", r"records/store", "records/store"),
    (r"toml(\+\+|\.hpp|11|/)", r"farm/keyed", "farm/keyed"),
    (r"nlohmann/", r".*_json", "the *_json sources"),
    (r"cairo|pango/", r"report/((plan|trend)_)?(chart|pdf|drawing).*",
     "report/chart, report/plan_chart, report/trend_chart, report/pdf, report/drawing"),
    (r"kainjow/", r"report/page.*", "report/page"),
    (r"(libfccp/|fast-cpp-csv-parser/)?csv\.h$", r"logs/lines|tables/table", "logs/lines, tables/table"),
    (r"(oneapi/)?tbb/", r"(run|sizing|cli)/.*", "run/, sizing/, cli/"),
    (r"httplib", r"web/server", "web/server"),
    (r"fmt/", r".*", "sources"),
    (r"boost/", r".*", "sources"),
]
# A declaration without its definition may stand in a header.
FORWARD = {"nlohmann/json_fwd.hpp": r".*_json"}

STREAMS = {"iostream", "fstream", "istream", "ostream", "sstream", "syncstream"}
NO_STREAMS = {"kinetics", "heatup", "run"}


def allowed_folders(folder):
    """The folders a file of this folder may include."""
    order = list(FOLDERS)
    before = order[: order.index(folder)]
    if FOLDERS[folder] is None:
        # sizing, live and records stand side by side and do not know each other.
        side_by_side = {"sizing", "live", "records"}
        return {folder} | {f for f in before if not (folder in side_by_side and f in side_by_side)}
    is_open = {f for f in before if f in OPEN and (folder, f) not in CLOSED}
    return {folder} | set(FOLDERS[folder]) | is_open


def includes_of(path):
    """(line number, name, quoted) of every include of a file."""
    found = []
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
        match = INCLUDE.match(line)
        if match:
            found.append((number, match[1] or match[2], match[1] is not None))
    return found


def complaint_about_ours(root, file, name):
    """Why a file may not include one of ours, or None."""
    folder, target = file.split("/")[0], name.split("/")[0]
    if not (root / name).is_file():
        return f'"{name}" is no file under src/; write our headers from there, third-party ones in <>'
    if target not in FOLDERS:
        return f'"{name}" stands in a folder that has no place in the order'
    if target not in allowed_folders(folder):
        return f'{folder}/ may not include {target}/ ("{name}")'
    if not name.endswith(".h"):
        return f'"{name}" is a source, not a header'
    return None


def complaint_about_others(file, name):
    """Why a file may not include a third-party or standard header, or None."""
    if name in STREAMS and file.split("/")[0] in NO_STREAMS:
        return f"<{name}>: a stream has no place in {file.split('/')[0]}/"
    stem = file.rsplit(".", 1)[0]
    if name in FORWARD and re.fullmatch(FORWARD[name], stem):
        return None
    for starts, may, words in HOMES:
        if not re.match(starts, name):
            continue
        if not re.fullmatch(may, stem):
            return f"<{name}> belongs in {words} only"
        if not file.endswith(".cpp"):
            return f"<{name}> belongs in a source, not in a header"
    return None


def circles(graph):
    """Every way round from a file to itself that a walk in depth meets."""
    found, done, path = [], set(), []

    def walk(file):
        if file in path:
            found.append(path[path.index(file):] + [file])
            return
        if file in done:
            return
        path.append(file)
        for target in graph.get(file, []):
            walk(target)
        done.add(path.pop())

    for file in sorted(graph):
        walk(file)
    return found


def check(root):
    """All complaints about a tree, in order of file and line."""
    complaints, graph = [], {}
    for path in sorted(p for p in root.rglob("*") if p.suffix in SUFFIXES):
        file = path.relative_to(root).as_posix()
        if "/" not in file or file.split("/")[0] not in FOLDERS:
            complaints.append(f"{file}: stands in no folder of the order")
            continue
        graph[file] = []
        for number, name, quoted in includes_of(path):
            ours = quoted or (root / name).is_file()
            complaint = complaint_about_ours(root, file, name) if ours else complaint_about_others(file, name)
            if complaint:
                complaints.append(f"{file}:{number}: {complaint}")
            if ours:
                graph[file].append(name)
    complaints += ["round in a circle: " + " -> ".join(circle) for circle in circles(graph)]
    return complaints


GOOD_TREE = {
    "errors/fault.h": "#pragma once\n#include <string>\n",
    "clock/instant.h": '#include "errors/fault.h"\n',
    "quantity/unit.h": '#include "errors/fault.h"\n',
    "tables/table.h": '#include "quantity/unit.h"\n',
    "tables/table.cpp": '#include "tables/table.h"\n\n#include <libfccp/csv.h>\n',
    "tables/sha256.cpp": "#include <sodium.h>\n",
    "kinetics/hold.h": '#include "tables/table.h"\n#include "clock/instant.h"\n',
    "logs/source.cpp": "#include <fstream>\n",
    "farm/keyed.cpp": "#include <toml++/toml.h>\n",
    "run/judge.h": '#include "kinetics/hold.h"\n',
    "run/judge.cpp": '#include "run/judge.h"\n#include <fmt/format.h>\n#include <tbb/parallel_for.h>\n',
    "run/run_report_json.h": '#include "run/judge.h"\n#include <nlohmann/json_fwd.hpp>\n',
    "run/run_report_json.cpp": '#include "run/run_report_json.h"\n#include <nlohmann/json.hpp>\n',
    "sizing/plan.cpp": '#include "run/judge.h"\n',
    "report/page.cpp": '#include "run/judge.h"\n#include <sstream>\n',
    "cli/main.cpp": '#include "run/judge.h"\n#include <iostream>\n// #include "cli/nothing.h"\n',
}

# What is put into the good tree, and what must then be said, and nothing else.
BAD_FILES = [
    ({"errors/x.h": '#include "clock/instant.h"\n'}, ["errors/x.h:1: errors/ may not include clock/"]),
    ({"quantity/x.h": '#include "clock/instant.h"\n'}, ["quantity/x.h:1: quantity/ may not include clock/"]),
    ({"tables/x.h": '\n#include "kinetics/hold.h"\n'}, ["tables/x.h:2: tables/ may not include kinetics/"]),
    ({"logs/x.h": '#include "kinetics/hold.h"\n'}, ["logs/x.h:1: logs/ may not include kinetics/"]),
    ({"kinetics/x.cpp": '#include "run/judge.h"\n'}, ["kinetics/x.cpp:1: kinetics/ may not include run/"]),
    ({"kinetics/x.cpp": "#include <run/judge.h>\n"}, ["kinetics/x.cpp:1: kinetics/ may not include run/"]),
    ({"sizing/x.h": "", "live/x.cpp": '#include "sizing/x.h"\n'}, ["live/x.cpp:1: live/ may not include sizing/"]),
    ({"cli/x.h": "", "report/x.cpp": '#include "cli/x.h"\n'}, ["report/x.cpp:1: report/ may not include cli/"]),
    ({"run/x.cpp": '#include "judge.h"\n'}, ['run/x.cpp:1: "judge.h" is no file under src/']),
    ({"run/x.cpp": '#include "run/judge.cpp"\n'}, ['run/x.cpp:1: "run/judge.cpp" is a source']),
    ({"odds/x.h": ""}, ["odds/x.h: stands in no folder"]),
    ({"x.h": ""}, ["x.h: stands in no folder"]),
    ({"run/x.cpp": "#include <fstream>\n"}, ["run/x.cpp:1: <fstream>: a stream"]),
    ({"kinetics/x.h": "#include <iostream>\n"}, ["kinetics/x.h:1: <iostream>: a stream"]),
    ({"heatup/x.cpp": "#  include <sstream>\n"}, ["heatup/x.cpp:1: <sstream>: a stream"]),
    ({"run/x.cpp": "#include <sodium.h>\n"}, ["run/x.cpp:1: <sodium.h> belongs in"]),
    ({"farm/x.cpp": "#include <toml++/toml.h>\n"}, ["farm/x.cpp:1: <toml++/toml.h> belongs in"]),
    ({"farm/keyed.h": "#include <toml++/toml.h>\n"}, ["farm/keyed.h:1: <toml++/toml.h> belongs in a source"]),
    ({"run/x.cpp": "#include <nlohmann/json.hpp>\n"}, ["run/x.cpp:1: <nlohmann/json.hpp> belongs in"]),
    ({"run/x_json.h": "#include <nlohmann/json.hpp>\n"}, ["run/x_json.h:1: <nlohmann/json.hpp> belongs in a source"]),
    ({"run/x.h": "#include <nlohmann/json_fwd.hpp>\n"}, ["run/x.h:1: <nlohmann/json_fwd.hpp> belongs in"]),
    ({"logs/rows.cpp": "#include <libfccp/csv.h>\n"}, ["logs/rows.cpp:1: <libfccp/csv.h> belongs in"]),
    ({"kinetics/x.cpp": "#include <tbb/parallel_for.h>\n"}, ["kinetics/x.cpp:1: <tbb/parallel_for.h> belongs in"]),
    ({"run/x.h": "#include <tbb/parallel_for.h>\n"}, ["run/x.h:1: <tbb/parallel_for.h> belongs in a source"]),
    ({"errors/x.h": "#include <fmt/format.h>\n"}, ["errors/x.h:1: <fmt/format.h> belongs in a source"]),
    (
        {"run/a.h": '#include "run/b.h"\n', "run/b.h": '#include "run/c.h"\n', "run/c.h": '#include "run/a.h"\n'},
        ["round in a circle: run/a.h -> run/b.h -> run/c.h -> run/a.h"],
    ),
    ({"run/a.h": '#include "run/a.h"\n'}, ["round in a circle: run/a.h -> run/a.h"]),
]


def check_made_up(files):
    """The complaints about a tree written for the moment."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name, text in files.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(text, encoding="utf-8")
        return check(root)


def self_test():
    """Differences between what the check says of the made-up trees and what it should say."""
    cases = [({}, [])] + BAD_FILES
    differences = []
    for added, expected in cases:
        said = check_made_up({**GOOD_TREE, **added})
        matches = len(said) == len(expected) and all(s.startswith(e) for s, e in zip(said, expected))
        if not matches:
            differences.append(f"with {added or 'nothing'} added: expected {expected}, said {said}")
    return differences


def main(arguments):
    if len(arguments) != 1:
        print(__doc__, file=sys.stderr)
        return 64
    if arguments[0] == "--self-test":
        complaints = self_test()
    elif not list(Path(arguments[0]).rglob("*.cpp")):
        complaints = [f"{arguments[0]}: no source found to check"]
    else:
        complaints = check(Path(arguments[0]))
    for complaint in complaints:
        print(complaint, file=sys.stderr)
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
