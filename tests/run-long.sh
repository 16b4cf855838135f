#!/bin/sh
# The same builds and tests as run-tests.sh, with the long tests in; behind them ten minutes of the fuzzer on the log
# reader, which count as one test, and clang-tidy over all sources.
set -eu
COLDBAG_LONG=1
export COLDBAG_LONG
exec sh "$(dirname "$0")/run-tests.sh"
