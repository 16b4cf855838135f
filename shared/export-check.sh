#!/bin/sh
# Checks this folder with sh, sha256sum, openssl, grep, sed, tr, cut, cmp and find alone. README.txt says how
# to do the same by hand: this script came with the folder, so read it before you believe it.
LC_ALL=C
export LC_ALL
cd "$(dirname -- "$0")" || exit 2
wrong=0

check() {
  what=$1
  shift
  if "$@" >/dev/null 2>&1; then
    printf '%s: %s\n' '@export_script_holds@' "$what"
  else
    printf '%s: %s\n' '@export_script_wrong@' "$what"
    wrong=1
  fi
}

is_count() {
  case $1 in '' | *[!0-9]* | 0?*) return 1 ;; esac
  [ ${#1} -le 18 ]
}

is_hash() {
  case $1 in *[!0-9a-f]*) return 1 ;; esac
  [ ${#1} -eq 64 ]
}

# The bytes that hexadecimal digits stand for.
bytes_of() {
  printf '%b' "$(printf '\\0%03o' $(printf '%s' "$1" | sed 's/../0x& /g'))"
}

node() {
  bytes_of "01$1$2" | sha256sum | cut -c 1-64
}

leaf_of() {
  printf '\000' | cat - "$1" | sha256sum | cut -c 1-64
}

all_listed() {
  count=$(find . -type f ! -path ./sha256sums | wc -l)
  [ "$count" -eq "$(wc -l <sha256sums)" ] && [ "$count" -eq "$(sha256sum -c sha256sums | grep -c ': OK$')" ]
}

# proof FOLDER: from the leaf up to the root, by RFC 6962 and RFC 9162. Leaves size and root.
proof() {
  size= root=
  {
    read -r line && [ "$line" = 'coldbag inclusion proof 1' ] || return 1
    read -r word number && [ "$word" = leaf_number ] && is_count "$number" || return 1
    read -r word size && [ "$word" = tree_size ] && is_count "$size" || return 1
    read -r word now && [ "$word" = leaf ] && [ "$now" = "$(leaf_of "$1/entry.json")" ] || return 1
    at=$number
    last=$((size - 1))
    [ "$at" -le "$last" ] || return 1
    while read -r side hash; do
      is_hash "$hash" && [ -z "$root" ] || return 1
      if [ "$side" = root ]; then
        root=$hash
        continue
      fi
      [ "$last" -gt 0 ] || return 1
      if [ $((at % 2)) -eq 1 ] || [ "$at" -eq "$last" ]; then
        [ "$side" = left ] || return 1
        now=$(node "$hash" "$now")
        while [ $((at % 2)) -eq 0 ] && [ "$at" -ne 0 ]; do
          at=$((at / 2))
          last=$((last / 2))
        done
      else
        [ "$side" = right ] || return 1
        now=$(node "$now" "$hash")
      fi
      at=$((at / 2))
      last=$((last / 2))
    done
  } <"$1/proof.txt"
  [ "$last" -eq 0 ] && [ "$now" = "$root" ] &&
    printf '{"coldbag":"ledger head 1","root":"%s","size":%s}' "$root" "$size" | cmp -s - head.json
}

# kept FOLDER: each file stands in its entry with this name, hash and size, and none is missing.
kept() {
  count=0
  for file in "$1"/files/* "$1"/files/.*; do
    [ -f "$file" ] || continue
    count=$((count + 1))
    name=$(printf '%s' "${file##*/}" | sed 's/"/\\"/g')
    sum=$(sha256sum <"$file" | cut -c 1-64)
    printf '{"name":"%s","sha256":"%s","size_bytes":%s}' "$name" "$sum" "$(($(wc -c <"$file")))" |
      grep -q -F -f - "$1/entry.json" || return 1
  done
  named=$(sed 's/\],"content":.*//; s/","sha256":"/\n/g' "$1/entry.json" | wc -l)
  [ "$count" -eq $((named)) ]
}

# The report is a part of the entry, byte for byte.
reported() {
  [ "$(wc -l <report.json)" -eq 0 ] && { printf '"report":' && cat report.json && printf ',"run":'; } |
    grep -q -F -f - entry.json
}

check '@export_script_sums@' all_listed
check '@export_script_proof@' proof .
check '@export_script_files@' kept .
[ -f report.json ] && check '@export_script_report@' reported
for folder in about/*; do
  [ -d "$folder" ] || continue
  check '@export_script_about@'" $folder" proof "$folder"
  check '@export_script_files@'" $folder" kept "$folder"
done
check '@export_script_signed@' openssl pkeyutl -verify -pubin -inkey key.pem -rawin -in head.json -sigfile head.sig
printf '%s\n' '@export_script_compare@'
proof . && printf '  %s%s\n' "$size" "$(printf '%s' "$root" | sed 's/..../ &/g')"
printf '  %s\n' "$(openssl pkey -pubin -in key.pem -outform DER | sha256sum | cut -c 1-64 | sed 's/..../& /g; s/ $//')"
exit $wrong
