#!/bin/sh
# Installs the build into a folder of its own and judges an example with the program there, tables and all.
# usage: installed.sh BUILD_FOLDER SOURCE_FOLDER
set -eu
prefix=$(mktemp -d)
trap 'rm -rf "$prefix"' EXIT
cmake --install "$1" --prefix "$prefix" >/dev/null
test -f "$prefix/share/coldbag/organisms.csv"
"$prefix/bin/coldbag" check "$2/examples/good-sterilization/run.toml" --json >"$prefix/with.json"
grep -q "\"origin\": \"$prefix" "$prefix/with.json"
rm -r "$prefix/share/coldbag"
"$prefix/bin/coldbag" check "$2/examples/good-sterilization/run.toml" --json >"$prefix/without.json"
grep -q '"origin": "built in"' "$prefix/without.json"
