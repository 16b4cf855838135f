#!/bin/sh
# Ten minutes of the fuzzer on the log reader, then the same builds and tests as run-tests.sh with the long tests in.
set -eu
cd "$(dirname "$0")/.."

fuzz() {
  . examples/packages.sh
  # shellcheck disable=SC2086 # lists of words
  need_packages $packages_to_build clang-14 libclang-rt-14-dev
  cmake -S . -B build-fuzz -G Ninja -DCMAKE_BUILD_TYPE=RelWithDebInfo -DCMAKE_CXX_COMPILER=clang++-14 \
    -DCOLDBAG_TESTS=OFF -DCOLDBAG_BENCH=OFF -DCOLDBAG_FUZZ=ON
  cmake --build build-fuzz --target fuzz_read_log -j "$(nproc)"
  # What it finds goes beside the build; the corpus of the tree stays as it is.
  mkdir -p build-fuzz/corpus
  build-fuzz/tests/fuzz/fuzz_read_log -seed=1 -max_total_time=600 -max_len=4096 -timeout=20 -print_final_stats=1 \
    -artifact_prefix=build-fuzz/ build-fuzz/corpus tests/fuzz/corpus/read_log
}

echo "== fuzzing the log reader"
if ! (fuzz); then
  echo "0 passed, 1 failed"
  exit 1
fi

COLDBAG_LONG=1
export COLDBAG_LONG
exec sh tests/run-tests.sh
