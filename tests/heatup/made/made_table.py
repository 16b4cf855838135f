"""One line of figures for each log or load, traces as values apart by spaces: how the tables beside this are kept."""

import numpy as np


def spaced(values, digits):
    return " ".join(f"{value:.{digits}f}" for value in values)


def maybe(value, digits=2):
    """Empty where there is no such time."""
    return "" if np.isnan(value) else f"{value:.{digits}f}"


def write(path, says, rows):
    """rows: one dict a line, all with the same keys; says: lines of comment at the head."""
    with open(path, "w", encoding="utf-8", newline="\n") as out:
        for line in says.strip().split("\n"):
            out.write(f"# {line}".rstrip() + "\n")
        out.write(",".join(rows[0]) + "\n")
        for row in rows:
            out.write(",".join(str(value) for value in row.values()) + "\n")
