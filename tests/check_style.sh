#!/bin/sh
# Style of the sources: "format" holds them against .clang-format (seconds), "tidy" against .clang-tidy (minutes).
#
# Usage: check_style.sh format        src/ and tests/
#        check_style.sh tidy FOLDER   src/, by the compile_commands.json that a clang build left in FOLDER
# Says which files are at fault and ends with status 1 if any is.
set -eu
cd "$(dirname "$0")/.."

case "${1-}:$#" in
format:1)
  find src tests -name '*.cpp' -print0 -o -name '*.h' -print0 | sort -z |
    xargs -0 clang-format-14 --dry-run -Werror
  ;;
tidy:2)
  if [ ! -f "$2/compile_commands.json" ]; then
    echo "$2/compile_commands.json is not there; configure that folder with clang++-14 first" >&2
    exit 64
  fi
  said=$(mktemp)
  status=0
  # The largest first, so that none is left to run alone at the end.
  find src -name '*.cpp' -printf '%s %p\n' | sort -rn | cut -d' ' -f2 |
    xargs -P "$(nproc)" -n 1 clang-tidy-14 --quiet -p "$2" 2>"$said" || status=1
  # Counts of what was suppressed in the headers of libraries are no news; all else is.
  grep -vE '^[0-9]+ warnings? (and [0-9]+ errors? )?generated\.$' "$said" >&2 || true
  rm -f "$said"
  exit "$status"
  ;;
*)
  sed -n '2,6s/^# \{0,1\}//p' "$0" >&2
  exit 64
  ;;
esac
