#!/bin/sh
# Checks the format of the sources, then builds coldbag three ways and tests it: optimized, under the address
# and undefined-behaviour sanitizers, and compiled (not run) by clang. Stops at the first step that fails. The
# last line sums the tests of both runs: "N passed, N failed"; a step that breaks before its tests ran counts as
# one failed.
set -eu
cd "$(dirname "$0")/.."

passed=0
failed=0
log=$(mktemp)

closing_line() {
  status=$?
  rm -f "$log"
  if [ "$status" -ne 0 ] && [ "$failed" -eq 0 ]; then failed=1; fi
  echo "$passed passed, $failed failed"
  exit "$status"
}
trap closing_line EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

# run_ctest FOLDER: runs its tests and adds the counts from ctest's own summary.
run_ctest() {
  echo "== tests in $1"
  # A pipe would hide ctest's status, so it goes round by a file.
  rm -f "$log.status"
  { ctest --test-dir "$1" -j "$(nproc)" --output-on-failure --no-tests=error 2>&1 && echo 0 >"$log.status" ||
    echo 1 >"$log.status"; } | tee "$log"
  status_of_ctest=$(cat "$log.status")
  rm -f "$log.status"

  summary=$(sed -n 's/.*tests passed, \([0-9]*\) tests failed out of \([0-9]*\).*/\1 \2/p' "$log")
  [ -n "$summary" ] || return 1
  failed_here=${summary% *}
  passed=$((passed + ${summary#* } - failed_here))
  failed=$((failed + failed_here))
  [ "$status_of_ctest" -eq 0 ] && [ "$failed_here" -eq 0 ]
}

. examples/packages.sh
# shellcheck disable=SC2086 # lists of words
need_packages $packages_to_build $packages_to_test

echo "== format"
sh tests/check_style.sh format

# What nothing tests is built in the long run alone.
bench=OFF
[ "${COLDBAG_LONG-}" != 1 ] || bench=ON

# A folder's sources are compiled as one, which is quicker; that each stands by itself clang sees below, and g++ in the
# long run.
joined=ON
[ "${COLDBAG_LONG-}" != 1 ] || joined=OFF

# Debian's python3, for it has the numpy installed above; another on the PATH may not.
echo "== build-release"
cmake -S . -B build-release -G Ninja -DCMAKE_BUILD_TYPE=Release -DCMAKE_CXX_COMPILER=g++ \
  -DCOLDBAG_TESTS=ON -DCOLDBAG_BENCH="$bench" -DCOLDBAG_JOINED="$joined" -DCOLDBAG_JOINED_TESTS=ON -DPython3_EXECUTABLE=/usr/bin/python3
cmake --build build-release -j "$(nproc)"
run_ctest build-release

# Faults of memory are looked for here, not warnings: a folder's sources are one, and its names shadow each other.
echo "== build-sanitized"
cmake -S . -B build-sanitized -G Ninja -DCMAKE_BUILD_TYPE=RelWithDebInfo -DCMAKE_CXX_COMPILER=g++ \
  -DCOLDBAG_TESTS=ON -DCOLDBAG_BENCH=OFF -DCOLDBAG_SANITIZE=address,undefined -DCOLDBAG_JOINED=ON \
  -DCOLDBAG_JOINED_TESTS=ON -DCOLDBAG_WERROR=OFF \
  -DPython3_EXECUTABLE=/usr/bin/python3
cmake --build build-sanitized -j "$(nproc)"
ASAN_OPTIONS=detect_leaks=1 UBSAN_OPTIONS=print_stacktrace=1
export ASAN_OPTIONS UBSAN_OPTIONS
run_ctest build-sanitized

# Its warnings are wanted, not its code; the built-in tables are the only source that is made.
echo "== build-clang (looked at, not built)"
cmake -S . -B build-clang -G Ninja -DCMAKE_BUILD_TYPE=Debug -DCMAKE_CXX_FLAGS_DEBUG= -DCMAKE_CXX_COMPILER=clang++-14 \
  -DCOLDBAG_TESTS=OFF -DCOLDBAG_BENCH=OFF
/usr/bin/python3 tests/check_clang.py build-clang src

# The fuzzer takes ten minutes; clang-tidy about 11 s a source, some ten minutes on two free cores: both in the
# long run only. What the fuzzer finds hides no other step.
if [ "${COLDBAG_LONG-}" = 1 ]; then
  echo "== fuzzing the log reader"
  if sh tests/run-fuzzer.sh; then passed=$((passed + 1)); else failed=$((failed + 1)); fi
  echo "== clang-tidy"
  sh tests/check_style.sh tidy build-clang
fi
[ "$failed" -eq 0 ]
