#!/bin/sh
# From a bare Debian 12 to the first verdict: installs what is missing, builds coldbag into build/, and
# checks one example. Ends with status 0 only where the verdict is PASS.
set -eu
cd "$(dirname "$0")/.."

. examples/packages.sh
# shellcheck disable=SC2086 # a list of words
need_packages $packages_to_build

cmake -S . -B build -G Ninja -DCMAKE_BUILD_TYPE=Release -DCOLDBAG_TESTS=OFF
cmake --build build --target coldbag -j "$(nproc)"

status=0
build/coldbag check examples/good-sterilization/run.toml || status=$?
echo "exit status $status"
[ "$status" -eq 0 ]
