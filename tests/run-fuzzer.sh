#!/bin/sh
# Ten minutes of the fuzzer on the log reader; fails where it finds something, which then lies in build-fuzz/.
set -eu
cd "$(dirname "$0")/.."
. examples/packages.sh
# shellcheck disable=SC2086 # lists of words
need_packages $packages_to_build clang-14 libclang-rt-14-dev
cmake -S . -B build-fuzz -G Ninja -DCMAKE_BUILD_TYPE=RelWithDebInfo -DCMAKE_CXX_COMPILER=clang++-14 \
  -DCOLDBAG_TESTS=OFF -DCOLDBAG_BENCH=OFF -DCOLDBAG_FUZZ=ON
cmake --build build-fuzz --target fuzz_read_log -j "$(nproc)"
# What it learns goes beside the build; the corpus of the tree stays as it is.
mkdir -p build-fuzz/corpus
build-fuzz/tests/fuzz/fuzz_read_log -seed=1 -max_total_time="${COLDBAG_FUZZ_SECONDS-600}" -max_len=4096 -timeout=20 \
  -print_final_stats=1 -artifact_prefix=build-fuzz/ build-fuzz/corpus tests/fuzz/corpus/read_log
