#!/usr/bin/python3
"""The output shown in README.md is what the program prints.

usage: readme_output.py PROGRAM SOURCE_FOLDER
"""
import pathlib
import subprocess
import sys

program, source = sys.argv[1], pathlib.Path(sys.argv[2])
shown = [line[4:] if line.startswith("    ") else line for line in (source / "README.md").read_text().split("\n")]
run = "examples/good-sterilization/run.toml"
printed = subprocess.run([program, "check", run], cwd=source, capture_output=True, text=True).stdout
if printed and printed.rstrip("\n") in "\n".join(shown):
    print("README.md shows what the program prints")
    sys.exit(0)
print("README.md does not show this output:\n" + printed)
sys.exit(1)
