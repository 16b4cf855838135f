#!/bin/sh
# Runs a command beside a PostgreSQL server of its own, which goes with it: reached by a socket in a folder of its own, no
# port and no network. Fails where PostgreSQL is not installed.
#
# usage: on_postgresql.sh COMMAND ...
#
# COLDBAG_POSTGRESQL is then the server's address without the name of a database: postgresql:///?host=FOLDER&user=keeper
set -eu

# Debian keeps the server's programs by version and off the PATH.
initdb=$(find /usr/lib/postgresql -path '*/bin/initdb' 2>/dev/null | sort -V | tail -n 1)
if [ -z "$initdb" ] || ! command -v psql >/dev/null; then
  echo "PostgreSQL is needed here: install the packages of examples/packages.sh" >&2
  exit 1
fi
bin=$(dirname "$initdb")
folder=$(mktemp -d "${TMPDIR:-/tmp}/coldbag-pg-XXXXXX")

# The server refuses to run as root; its package brings a user for it.
as_server() {
  if [ "$(id -u)" -eq 0 ]; then
    (cd / && runuser -u postgres -- "$@")
  else
    "$@"
  fi
}

end() {
  status=$?
  trap - EXIT
  as_server "$bin/pg_ctl" -D "$folder/data" -m immediate stop >/dev/null 2>&1 || true
  [ "$status" -eq 0 ] || tail -n 40 "$folder/log" >&2 || true
  rm -rf "$folder"
  exit "$status"
}
trap end EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

[ "$(id -u)" -ne 0 ] || chown postgres "$folder"
as_server "$initdb" -D "$folder/data" -U keeper --auth=trust --encoding=UTF8 --locale=C.UTF-8 --no-sync >/dev/null
# What a power cut would lose is not what is tested here.
as_server "$bin/pg_ctl" -D "$folder/data" -l "$folder/log" -w -t 60 \
  -o "-c listen_addresses= -c unix_socket_directories=$folder -c fsync=off -c shared_buffers=16MB" start >/dev/null

COLDBAG_POSTGRESQL="postgresql:///?host=$folder&user=keeper"
export COLDBAG_POSTGRESQL
"$@"
