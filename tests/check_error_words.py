"""Finds every English sentence of src/ that can get into a complaint and holds them against shared/errors-es.csv.

A sentence without a row, or a row without a sentence, is a failure. So is a row whose Spanish has other places,
quoted parts, options or numbers than its English, and a place that is marked as holding words where it holds none,
or the other way round. Sentences are put together as the sources do it: neighbouring literals, "+", both sides of a
"?", fmt::format; whatever else stands there is a place.

Usage: check_error_words.py SRC_FOLDER ERRORS.csv     check
       check_error_words.py --list SRC_FOLDER         print the sentences with where they stand
       check_error_words.py --self-test               check the check, on made-up sources
"""

import csv
import re
import sys
import tempfile
from collections import Counter
from pathlib import Path

# --- What is no complaint, though it looks like a sentence. ---

# Reports have a catalogue of their own; a site file gets its comments from setup_text.
OTHER_FILES = r"report/(?!error_words).*|farm/setup_text\.cpp"
# Calls whose texts no complaint holds: checks of the program itself, help, what is searched for, keys of words, JSON.
OTHER_CALLS = {name + "()" for name in (
    "our_check", "OurFault", "help_text", "command_lines", "starts_with", "find",
    "parse_quantity", "says", "Json", "words.text", "option_place",
)}
# Functions, variables and members that hold names, spellings, keys, commands of help or what is written into files.
OTHER_NAMES = {
    "words_of_no_number", "words", "ways", "units", "spellings", "rules", "bases", "basis_words", "kinds", "signs",
    "commands", "questions", "log_setting_rules", "built_in_origin", "by_key", "way_of", "read_state", "example_of",
    "column_in_run", "named_cell", "numbered_cells", "spread", "tell_apart", "remark_of",
    "learned_heading", "moment_for_people", "entry_name", "report_name", "head_statement",
    "encoding_name", "description", "rule_units", "about_entry", "units_to_name", "options_of", "check_many",
    "first_line", "first_line_of_any_form", "warning",
}
# Examples; nothing in them is a word but "or", and that is a joint.
# SQL, and lists of its columns.
SQL = re.compile(r"(CREATE|SELECT|INSERT|UPDATE|PRAGMA|SET) | FROM |\) VALUES |dbname=|number, leaf,|kind, run,")
NO_SENTENCES = {'"core 1"', "15 cm", "30 cm", "15 psi gauge", "C or F", 'true, false, "unknown"'}

# --- What the sources cannot show. ---

# Joints that put sentences together.
JOINTS = {
    "{1} or {2}",
    "{1:words}; {2:words}",
    "--{1}: {2:words}",
    '"{1}" ({2:words})',
    '"{1}" ({2:words}), {3:words}',
}
# Of Boost.Program_options, and what the system says of a file.
LIBRARIES = {
    "unrecognised option '{1}'",
    "the required argument for option '{1}' is missing",
    "the argument for option '{1}' should follow immediately after the equal sign",
    "option '{1}' cannot be specified more than once",
    "option '{1}' does not take any arguments",
    "option '{1}' only takes a single argument",
    "option '{1}' is not valid",
    "too many positional options have been specified on the command line",
    "Permission denied",
    "No such file or directory",
    "Not a directory",
    "Is a directory",
    "File name too long",
    "File too large",
    "Text file busy",
    "Device or resource busy",
    "Input/output error",
    "No space left on device",
    "Disk quota exceeded",
    "Read-only file system",
    "Operation not permitted",
    "Too many open files",
    "Too many levels of symbolic links",
}
# Parts of one word, by the function that gives or takes them.
SHORT_PARTS = {"manner_of", "unknown_name()"}
# Expressions whose value is a sentence or a part, by file; a place that holds one is marked ":words". In quotes a
# place is never marked: what stands there is somebody's own.
HOLDS_WORDS = [
    (r".*", r".*\.evidence|.*\.problem|.*\.remedy|as_written|what|told|calendar_languages"),
    (r".*", r".*(site|sea_level)_pressure_words|.*bounds\.words|.*(temperature|other)_unit_text"),
    (r".*", r"(allowed_numbers|one_of|list_words|options_of|parts_in_front|of_rows|units_to_name)\(.*"),
    (r".*", r"strerror\(errno\)|manner_of\(dimension\)\.name|.*value_or\(.* .*\)"),
    (r"farm/keyed\.cpp|run/.*_json\.cpp", r"shown\(.*"),
    (r"run/read_report_json\.cpp", r"kind"),
    (r"logs/time_scan\.cpp", r"order"),
    (r"logs/understanding\.cpp", r"names"),
    (r"run/run_input\.cpp", r"g\.tables\.source_name\(.*"),
]

# --- Reading C++, as far as it goes here. ---

TOKEN = re.compile(
    r"""(?P<blank>\s+|//[^\n]*|/\*.*?\*/|\#(?:[^\n]*\\\n)*[^\n]*)
      | R"(?P<mark>[^(\s]*)\((?P<raw>.*?)\)(?P=mark)"
      | "(?P<text>(?:\\.|[^"\\])*)"
      | '(?P<letter>(?:\\.|[^'\\])*)'
      | (?P<name>[A-Za-z_]\w*)
      | (?P<number>\.?\d(?:['\w.]|[eE][+-])*)
      | (?P<sign>::|->|\+=|-=|\*=|==|!=|<=|>=|&&|\|\||<<|\+\+|--|.)""",
    re.S | re.X,
)
ESCAPES = {"n": "\n", "t": "\t", "r": "\r", "0": "\0"}
ENDS = {"=", "+=", "-=", "==", "!=", "&&", "||", "<<", ",", ";"}
STARTS = {"return", "throw", "else", "case", "default"}
CLOSING = {"(": ")", "[": "]", "{": "}"}


class Token:
    """One token, or a bracket with all that stands in it."""

    def __init__(self, kind, value, line):
        self.kind, self.value, self.line = kind, value, line
        self.inside = []
        self.is_used = False

    def __str__(self):
        if self.kind == "text":
            return '"' + self.value + '"'
        if self.kind == "bracket":
            return self.value + written(self.inside) + CLOSING[self.value]
        return self.value

    def is_sign(self, *signs):
        return self.kind == "sign" and self.value in signs


def written(tokens):
    """An expression as the sources have it, with as few blanks as can be."""
    text = " ".join(str(token) for token in tokens)
    return re.sub(r" ?(::|->|\.|\(|\[|,) ?", lambda match: match[1], text).replace(",", ", ").replace("->", ".")


def unescaped(text):
    def one(match):
        return chr(int(match[1][1:], 16)) if match[1][0] == "x" else ESCAPES.get(match[1], match[1])

    return re.sub(r"\\(x[0-9A-Fa-f]+|.)", one, text, flags=re.S)


def tokens_of(source):
    tokens, line = [], 1
    for match in TOKEN.finditer(source):
        kind, value = match.lastgroup, match[0]
        if match["raw"] is not None:
            kind, value = "text", match["raw"]
        elif kind in ("text", "letter"):
            value = unescaped(match[kind])
        if kind == "text" and tokens and tokens[-1].kind == "text":
            tokens[-1].value += value
        elif kind != "blank":
            tokens.append(Token(kind, value, line))
        line += match[0].count("\n")
    return tokens


def tree_of(tokens):
    open_brackets = [Token("bracket", "{", 0)]
    for token in tokens:
        if token.is_sign("(", "[", "{"):
            bracket = Token("bracket", token.value, token.line)
            open_brackets[-1].inside.append(bracket)
            open_brackets.append(bracket)
        elif token.is_sign(")", "]", "}"):
            open_brackets.pop()
        else:
            open_brackets[-1].inside.append(token)
    return open_brackets[0]


def ends_statement(tokens, at):
    """Whether a bracket is a condition, or the body of a function or a block."""
    token, before = tokens[at], tokens[at - 1] if at > 0 else None
    if token.kind != "bracket" or before is None:
        return False
    if token.value == "(":
        return before.kind == "name" and before.value in ("if", "while", "for", "switch")
    is_body = before.kind == "bracket" and before.value == "(" or before.value in ("const", "noexcept", "override")
    is_lambda = any(each.kind == "bracket" and each.value == "[" for each in tokens[max(0, at - 4) : at])
    return token.value == "{" and is_body and not is_lambda


def expressions_in(bracket):
    """(tokens, the sign before them, the tokens before an "=") of every expression right inside a bracket."""
    found, now, before, target, open_questions = [], [], "", [], 0
    for at, token in enumerate(bracket.inside):
        is_question = token.is_sign("?")
        is_answer = token.is_sign(":") and open_questions > 0
        open_questions += is_question - is_answer
        is_end = token.kind == "sign" and token.value in ENDS or token.is_sign(":") and not is_answer
        is_start = token.kind == "name" and token.value in STARTS
        if not (is_end or is_start):
            now.append(token)
        if is_end or is_start or ends_statement(bracket.inside, at):
            found.append((now, before, target))
            target = now if token.is_sign("=", "+=") else []
            now, before, open_questions = [], token.value if is_end else "", 0
    return found + [(now, before, target)]


# --- What an expression says: lists of texts and places, one list for each way it can turn out. ---


class Place:
    def __init__(self, expression):
        self.expression = expression


def holds_text(tokens):
    return any(each.kind in ("text", "letter") or holds_text(each.inside) for each in tokens)


def split_at(tokens, sign):
    parts = [[]]
    for token in tokens:
        if token.is_sign(sign):
            parts.append([])
        else:
            parts[-1].append(token)
    return parts


def joined(parts):
    out = []
    for part in parts:
        if isinstance(part, str) and out and isinstance(out[-1], str):
            out[-1] += part
        elif part != "":
            out.append(part)
    return out


def ways_of(tokens):
    """Every way an expression can turn out."""
    at = next((i for i, token in enumerate(tokens) if token.is_sign("?")), None)
    if at is not None:
        depth = 0
        for end in range(at + 1, len(tokens)):
            depth += tokens[end].is_sign("?") - tokens[end].is_sign(":")
            if depth < 0:
                return ways_of(tokens[at + 1 : end]) + ways_of(tokens[end + 1 :])
    ways = [[]]
    for term in split_at(tokens, "+"):
        ways = [way + more for way in ways for more in ways_of_term(term)]
    return [joined(way) for way in ways]


def without_std(tokens):
    while len(tokens) > 1 and (tokens[0].value == "std" and tokens[1].is_sign("::") or tokens[0].is_sign("*")):
        tokens = tokens[1:] if tokens[0].is_sign("*") else tokens[2:]
    return tokens


def ways_of_term(term):
    bare = without_std(term)
    if len(bare) == 1 and bare[0].kind in ("text", "letter"):
        return [[bare[0].value]]
    last = bare[-1] if bare and bare[-1].kind == "bracket" else None
    arguments = split_at(last.inside, ",") if last is not None else []
    before = [token.value for token in bare[:-1]]
    is_around = last is not None and (not before and last.value == "(" or before in (["string"], ["string_view"]))
    if is_around and len(arguments) == 1 and arguments[0]:
        last.is_used = True
        return ways_of(arguments[0])
    if before == ["fmt", "::", "format"]:
        last.is_used = True
        return ways_of_format(ways_of(arguments[0]), arguments[1:])
    return [[Place(written(bare))]]


def ways_of_format(patterns, arguments):
    values = [ways_of(each) if holds_text(each) else [[Place(written(without_std(each)))]] for each in arguments]
    out = []
    for pattern in patterns:
        ways, number = [[]], 0
        for part in re.split(r"(\{\{|\}\}|\{[^{}]*\})", "".join(part for part in pattern if isinstance(part, str))):
            if part in ("{{", "}}"):
                ways = [way + [part[0]] for way in ways]
            elif part.startswith("{"):
                ways = [way + more for way in ways for more in values[number]]
                number += 1
            else:
                ways = [way + [part] for way in ways]
        out += [joined(way) for way in ways]
    return out


class Sentence:
    def __init__(self, way, file, line, around):
        self.way, self.file, self.line, self.around = way, file, line, around

    def text(self, holds_words):
        """With numbered places, those that hold words marked."""
        text, number = "", 0
        for at, part in enumerate(self.way):
            if isinstance(part, str):
                text += part
                continue
            number += 1
            is_quoted = text.endswith('"') and at + 1 < len(self.way) and str(self.way[at + 1]).startswith('"')
            is_marked = not is_quoted and holds_words(self.file, part.expression)
            text += "{%d%s}" % (number, ":words" if is_marked else "")
        return text


def is_sentence(way):
    """Whether it has words: more than one where nothing else tells that it is more than a name."""
    literal = "".join(part if isinstance(part, str) else "{}" for part in way)
    has_place = any(isinstance(part, Place) for part in way)
    words = [word for word in re.findall(r"[A-Za-z]{2,}", literal) if word not in UNITS]
    if not any(re.search("[a-z]", word) for word in words) or "\n" in literal or literal in NO_SENTENCES or SQL.match(literal):
        return False
    return " " in (literal if has_place else literal.strip())


UNITS = {"kPa", "kg", "lb", "ft", "psi", "kW", "kWh", "Btu", "min"}


def sentences_in(bracket, file, around, out):
    for tokens, before, target in expressions_in(bracket):
        names = around + [token.value for token in target if token.kind == "name"]
        is_compared = before in ("==", "!=") and not any(token.is_sign("?") for token in tokens)
        if holds_text(tokens) and not is_compared:
            for way in ways_of(tokens):
                is_short_part = any(name in SHORT_PARTS for name in names) and len(way) == 1
                if is_sentence(way) or is_short_part and re.fullmatch("[a-z]{4,}", str(way[0])):
                    out.append(Sentence(way, file, tokens[0].line, names))
        walk_inside(tokens, file, names, out)


def walk_inside(tokens, file, around, out):
    for at, token in enumerate(tokens):
        if token.kind != "bracket":
            continue
        names = around + [name + "()" if token.value == "(" else name for name in called_before(tokens, at)]
        if token.is_used:
            walk_inside(token.inside, file, names, out)
        else:
            sentences_in(token, file, names, out)


def called_before(tokens, at):
    """The name that stands before a bracket; before a function's body the function, and help's own type of variable."""
    before = at - 1
    passed = ("const", "noexcept", "override")
    while before >= 0 and (tokens[before].kind == "bracket" or tokens[before].value in passed):
        before -= 1
    names = [token.value for token in tokens[max(0, before - 1) : before + 1] if token.kind == "name"]
    if names[:1] == ["options_description"]:
        return names
    is_of = before > 1 and tokens[before].kind == "name" and tokens[before - 1].is_sign(".", "->")
    return names[-1:] + ([tokens[before - 2].value + "." + names[-1]] if is_of else [])


def sentences_of(root):
    """All sentences of a tree of sources."""
    out = []
    for path in sorted(path for path in root.rglob("*") if path.suffix in (".cpp", ".h")):
        file = path.relative_to(root).as_posix()
        if re.fullmatch(OTHER_FILES, file):
            continue
        found = []
        sentences_in(tree_of(tokens_of(path.read_text(encoding="utf-8"))), file, [], found)
        out += [each for each in found if not (OTHER_CALLS | OTHER_NAMES) & set(each.around)]
    return out


# --- Holding them against the table. ---


class Marks:
    """Says which places hold words, and remembers which of its rules were of use."""

    def __init__(self):
        self.used = set()

    def holds_words(self, file, expression):
        for number, (files, expressions) in enumerate(HOLDS_WORDS):
            if re.fullmatch(files, file) and re.fullmatch(expressions, expression):
                self.used.add(number)
                return True
        return False


PLACE = r"\{\d+(?::words)?\}"
# What both languages have alike: text in quotes, options, headings, numbers.
KEPT = r'"[^"]*"|--[a-z][\w-]*|\[\[?[\w.]+\]?\]|\d[\d.,:]*\d|\d'


def places_of(text):
    return sorted(re.findall(r"\{(\d+)", text))


def kept_in(text):
    return Counter(re.findall(KEPT, re.sub(PLACE, "", text)))


def complaints_about_row(english, spanish):
    if not spanish.strip():
        return ["has no Spanish"]
    said = []
    if places_of(english) != places_of(spanish):
        said.append("its Spanish has other places")
    if ":words}" in spanish:
        said.append("only the English marks a place")
    if kept_in(english) != kept_in(spanish):
        said.append(f"its Spanish has other quoted parts, options or numbers: {spanish}")
    if (english[:1] == " ") != (spanish[:1] == " ") or spanish != spanish.strip():
        said.append("its Spanish begins or ends with a blank")
    return said


def check(root, table):
    """All complaints about sources and a table."""
    marks = Marks()
    where = {}
    for sentence in sentences_of(root):
        where.setdefault(sentence.text(marks.holds_words), f"{sentence.file}:{sentence.line}")
    wanted = set(where) | JOINTS | LIBRARIES
    with open(table, encoding="utf-8", newline="") as file:
        rows = [(row["english"], row["spanish"]) for row in csv.DictReader(file)]
    known = Counter(english for english, _ in rows)
    complaints = [f"{where[text]}: no row: {text}" for text in sorted(set(where) - set(known))]
    complaints += [f"no row: {text}" for text in sorted((JOINTS | LIBRARIES) - set(known))]
    complaints += [f"no sentence of the sources: {text}" for text in sorted(set(known) - wanted)]
    complaints += [f"two rows: {text}" for text, count in known.items() if count > 1]
    complaints += [f"{english}: {said}" for english, spanish in rows for said in complaints_about_row(english, spanish)]
    if [english for english, _ in rows] != sorted(known):
        complaints.append("the rows are not in the order of their English")
    complaints += [f"no place holds words by {HOLDS_WORDS[i]}" for i in range(len(HOLDS_WORDS)) if i not in marks.used]
    return complaints


def list_sentences(root):
    marks = Marks()
    return sorted({f"{each.text(marks.holds_words)}\t{each.file}:{each.line}" for each in sentences_of(root)})


# --- Checking the check. ---

MADE_UP = {
    "logs/a.cpp": """
        void refuse(Place place, std::string problem, std::string remedy);
        std::string what_it_holds(bool high) { return high ? "holds highest readings" : "holds means"; }
        void take(const std::string& name, int count, bool is_one) {
          our_check(count > 0, "a count is above nothing");
          if (name == "an old name") return; // "nothing of this" is read
          const std::string what = what_it_holds(true);
          refuse({}, is_one ? "one row of " + name : fmt::format("{} rows of \\"{}\\"", count + 1, name),
                 "write it "
                 "anew");
          refuse({}, what + ", and nothing else", R"(say "this")");
          words.text("a_key_of_words");
        }
        """,
}
MADE_UP_SENTENCES = {
    "holds highest readings", "holds means", "one row of {1}", '{1} rows of "{2}"', "write it anew",
    "{1:words}, and nothing else", 'say "this"',
}
ROWS = [
    ("write {1} and {2}", "escriba {2} y {1}", None),
    ("write {1}", "escriba", "its Spanish has other places"),
    ('write "{1}"', "escriba {1}", "its Spanish has other quoted parts"),
    ("say --unit C", "diga --unidad C", "its Spanish has other quoted parts"),
    ("from 0 to 24 h", "de 0 a 23 h", "its Spanish has other quoted parts"),
    ("{1:words} is", "{1:words} es", "only the English marks a place"),
    ("is empty", " ", "has no Spanish"),
]


def self_test():
    """Differences between what the check finds in what is made up and what it should find."""
    differences = []
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "src"
        for name, text in MADE_UP.items():
            (root / name).parent.mkdir(parents=True)
            (root / name).write_text(text, encoding="utf-8")
        found = {sentence.text(Marks().holds_words) for sentence in sentences_of(root)}
        if found != MADE_UP_SENTENCES:
            differences.append(f"found {sorted(found - MADE_UP_SENTENCES)}, missed {sorted(MADE_UP_SENTENCES - found)}")
        table = Path(folder) / "errors.csv"
        table.write_text('english,spanish\nholds means,tiene promedios\nno such,no hay\n', encoding="utf-8")
        said = check(root, table)
        for wanted in ("logs/a.cpp:8: no row: one row of {1}", "no sentence of the sources: no such"):
            if wanted not in said:
                differences.append(f"did not say {wanted}: {said}")
    for english, spanish, wanted in ROWS:
        said = complaints_about_row(english, spanish)
        if [wanted] != [each[: len(wanted)] for each in said] if wanted else said:
            differences.append(f"of {english}, {spanish} said {said}, not {wanted}")
    return differences


def main(arguments):
    if arguments == ["--self-test"]:
        complaints = self_test()
    elif len(arguments) == 2 and arguments[0] == "--list":
        print("\n".join(list_sentences(Path(arguments[1]))))
        return 0
    elif len(arguments) == 2:
        complaints = check(Path(arguments[0]), arguments[1])
    else:
        print(__doc__, file=sys.stderr)
        return 64
    for complaint in complaints:
        print(complaint, file=sys.stderr)
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
