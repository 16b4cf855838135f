#!/usr/bin/python3
"""Compiles every source of ours by itself with clang, for its warnings: no code is made, nothing is written.

usage: check_clang.py FOLDER_WITH_compile_commands.json SOURCE_FOLDER
"""
import concurrent.futures
import json
import os
import pathlib
import shlex
import subprocess
import sys

built, source = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()


def looked_at(entry):
    words = shlex.split(entry["command"])
    out = words.index("-o")
    command = words[:out] + words[out + 2:] + ["-fsyntax-only"]
    return entry["file"], subprocess.run(command, cwd=entry["directory"], capture_output=True, text=True)


entries = [one for one in json.loads((built / "compile_commands.json").read_text())
           if pathlib.Path(one["file"]).is_relative_to(source)]
bad = 0
with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
    for name, done in pool.map(looked_at, entries):
        if done.returncode != 0:
            bad += 1
            print(f"{name}\n{done.stderr}")
print(f"{len(entries)} sources compiled by clang, {bad} with faults")
sys.exit(1 if bad or not entries else 0)
