# shellcheck shell=sh disable=SC2034
# The Debian 12 (bookworm) packages that coldbag needs, written once; first-run.sh and tests/run-tests.sh
# read this file with ".".

packages_to_build="g++ cmake ninja-build pkg-config
  libboost-program-options-dev libfccp-dev libtomlplusplus-dev nlohmann-json3-dev libfmt-dev
  libhowardhinnant-date-dev libtbb-dev libsodium-dev libssl-dev libzstd-dev libsoci-dev libsqlite3-dev libpq-dev
  libeigen3-dev libarchive-dev libcairo2-dev libpango1.0-dev libkainjow-mustache-dev fonts-dejavu-core
  tzdata ca-certificates"

packages_to_test="doctest-dev python3 python3-numpy clang-14 clang-format-14 clang-tidy-14
  libbenchmark-dev poppler-utils chromium chromium-driver python3-selenium openssl
  postgresql postgresql-common"

is_installed() {
  [ "$(dpkg-query -W -f='${db:Status-Status}' "$1" 2>/dev/null)" = installed ]
}

as_root() {
  if [ "$(id -u)" -eq 0 ]; then
    "$@"
  elif command -v sudo >/dev/null 2>&1; then
    sudo "$@"
  else
    echo "Packages are missing, and installing them needs root or sudo. As root, run:" >&2
    echo "  apt-get update && apt-get install --no-install-recommends$missing" >&2
    return 1
  fi
}

# need_packages PACKAGE... installs those that are missing; asks apt for nothing when none is.
need_packages() {
  missing=
  for package in "$@"; do
    is_installed "$package" || missing="$missing $package"
  done
  [ -n "$missing" ] || return 0
  echo "Installing:$missing"
  as_root apt-get update || return 1
  # shellcheck disable=SC2086 # a list of words
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends $missing
}
