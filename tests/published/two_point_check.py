#!/usr/bin/python3
"""A check in ice and at the boil, made by the real command and used by the real command.

The published rule of a two-point check: gain = (t1 - t0)/(r1 - r0), offset = t0 - gain r0, corrected = gain r + offset
(a straight line through two points; in any text on calibration, from memory). Computed in another program: at 500 m
water boils at 98.31 C (standard atmosphere ISO 2533:1975, IAPWS R7-97(2012) region 4); ice reads 0.4, steam reads
99.1: gain 0.996049, offset -0.398419, and a reading of 95.0 becomes 94.226.

usage: two_point_check.py PROGRAM
"""
import json
import pathlib
import subprocess
import sys
import tempfile

program = str(pathlib.Path(sys.argv[1]).resolve())
SITE = '[site]\naltitude = "500 m"\nzone = "America/Bogota"\n[probes.core]\ncolumn = "T1"\nclass = "tc-k1"\n'
faults = []


def expect(what, holds):
    if not holds:
        faults.append(what)


def corrected(folder, *, start):
    (folder / "log.csv").write_text(
        f"Time,T1 (C)\n{start} 08:00,95.0\n{start} 08:30,95.0\n{start} 09:00,95.0\n", encoding="utf-8")
    done = subprocess.run([program, "check", "log.csv", "--site", "farm.toml", "--treatment", "atmospheric_steam",
                           "--json"], cwd=folder, capture_output=True, text=True, timeout=60)
    return json.loads(done.stdout)["probes"][0]


with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    (folder / "farm.toml").write_text(SITE, encoding="utf-8")
    done = subprocess.run([program, "probe", "farm.toml", "core", "--ice", "0.4 C", "--boil", "99.1 C", "--by", "A",
                           "--on", "2026-03-01"], cwd=folder, capture_output=True, text=True, timeout=60)
    expect(f"status 0, not {done.returncode}: {done.stderr}", done.returncode == 0)
    expect("the command prints gain and offset: " + done.stdout,
           "corrected = 0.996049 x reading - 0.398419" in done.stdout)
    expect("the boiling point is the one of 500 m", "98.31 C" in done.stdout)
    bytes_now = (folder / "farm.toml").read_text(encoding="utf-8")
    expect("the old file stays in front, byte for byte", bytes_now.startswith(SITE))
    probe = corrected(folder, start="2026-03-10")
    expect(f"gain {probe['gain']}", abs(probe["gain"] - 0.996049) < 0.5e-6)
    expect(f"offset {probe['offset_K']}", abs(probe["offset_K"] + 0.398419) < 0.5e-6)
    expect(f"top {probe['top_degC']}", abs(probe["top_degC"] - 94.226) < 0.5e-3)
    expect(f"raw top {probe['top_raw_degC']}", probe["top_raw_degC"] == 95.0)
    expect("u is the check's", probe["u_parts"]["check_K"] > 0.05 and probe["u_parts"]["class_K"] == 0)
    # A run before the check takes it too, and one two years later is less sure of it.
    expect("before", abs(corrected(folder, start="2026-02-20")["top_degC"] - 94.226) < 0.5e-3)
    expect("two years on", corrected(folder, start="2028-03-10")["u_parts"]["age_K"] > 0.5)

for fault in faults:
    print("not so: " + fault)
print("two-point check: " + ("as published" if not faults else f"{len(faults)} differences"))
sys.exit(1 if faults else 0)
