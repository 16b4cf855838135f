"""Where the ledgers of a test stand: files of a folder, or, where COLDBAG_POSTGRESQL names a server (on_postgresql.sh),
databases of it. The same tests hold for both."""
import os
import shutil
import sqlite3
import subprocess
import urllib.parse

server = os.environ.get("COLDBAG_POSTGRESQL", "")
is_on_postgresql = bool(server)


def by_psql(where, *statements):
    """Rows as psql prints them, cells with bars between."""
    done = subprocess.run(["psql", "-X", "-q", "-A", "-t", "-v", "ON_ERROR_STOP=1", where]
                          + [part for statement in statements for part in ("-c", statement)],
                          capture_output=True, text=True, timeout=300, stdin=subprocess.DEVNULL)
    if done.returncode != 0:
        raise RuntimeError(done.stderr)
    return done.stdout.splitlines()


def address(database):
    return server.replace("?", urllib.parse.quote(database, safe="") + "?", 1)


class Ledgers:
    """Ledgers by name; each name is new where it is first asked for."""

    def __init__(self, folder):
        self.folder = folder
        self.made = {}

    def where(self, name):
        """What --ledger is given. A database is made empty where there is none, as `start` needs it."""
        if not is_on_postgresql:
            return str(self.folder / name)
        if name not in self.made:
            self.made[name] = f"{self.folder.name}-{name}"
            by_psql(address("postgres"), f'CREATE DATABASE "{self.made[name]}"')
        return address(self.made[name])

    def as_user(self, name, user):
        """The same ledger for another user of the server."""
        return self.where(name).replace("user=keeper", "user=" + user)

    def copy(self, name, new):
        """A copy under another name, as a backup would make it; nobody else has the ledger open."""
        if not is_on_postgresql:
            shutil.copy(self.folder / name, self.folder / new)
            return
        self.made[new] = f"{self.folder.name}-{new}"
        by_psql(address("postgres"), f'CREATE DATABASE "{self.made[new]}" TEMPLATE "{self.made[name]}"')

    def tamper(self, name, *statements):
        """Alters a ledger as another program does whose user owns it, and who took the triggers away."""
        if is_on_postgresql:
            by_psql(self.where(name), "ALTER TABLE entries DISABLE TRIGGER ALL", "ALTER TABLE files DISABLE TRIGGER ALL",
                    *statements)
            return
        with sqlite3.connect(self.folder / name) as sql:
            for trigger, in sql.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
                sql.execute(f"DROP TRIGGER {trigger}")
            for statement in statements:
                sql.execute(statement)

    def numbers(self, name):
        """Of its entries, in order, read without coldbag."""
        query = "SELECT number FROM entries ORDER BY number"
        if is_on_postgresql:
            return [int(line) for line in by_psql(self.where(name), query)]
        with sqlite3.connect(self.folder / name, timeout=60) as sql:
            return [number for number, in sql.execute(query)]
