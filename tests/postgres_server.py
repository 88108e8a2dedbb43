"""A real PostgreSQL server for the tests: started by the first that asks, ended with the run.

All the workers of a run share one. Where PostgreSQL is not installed the tests that need it are
skipped and say so; with CI set in the environment a missing server is a failure.
"""

import os
import secrets
import shutil
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

import pytest
from psycopg import ClientCursor
from sqlalchemy import event

from fencerow.store import carry
from fencerow.store.address import Address
from fencerow.store.dialect import database_of
from fencerow.store.postgres import Postgres

HOME = "FENCEROW_TEST_POSTGRES"
"""In the environment: the folder that the workers of a run share."""
KEEPER = "keeper"
PASSWORD = "sesame"
FAST = "fsync=off\nfull_page_writes=off\n"
SMALL = "shared_buffers=16MB\nmax_connections=60\nautovacuum=off\nlog_min_messages=fatal\n"


def programs():
    """The folder of initdb, pg_ctl and postgres; None where there is none."""
    found = shutil.which("initdb")
    homes = [Path(found).resolve().parent] if found else []
    homes += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((h for h in homes if (h / "pg_ctl").exists() and (h / "postgres").exists()), None)


def why_not():
    """Why no server can be started here; empty where one can."""
    if sys.platform == "win32":
        return "the server is started as on Linux and macOS"
    if programs() is None:
        return "PostgreSQL is not installed (initdb, pg_ctl, postgres)"
    return "" if os.geteuid() or _somebody() else "root may not run PostgreSQL, and nobody else is"


def _somebody():
    """Whom root becomes: PostgreSQL refuses to be run by root."""
    import pwd

    for name in ("postgres", "nobody"):
        with suppress(KeyError):
            return pwd.getpwnam(name)
    return None


@dataclass
class Server:
    """A server of our own, on a socket in a folder of its own; no port is taken."""

    home: Path

    def make(self, settings=FAST):
        self.home.mkdir(parents=True, exist_ok=True)
        self.home.chmod(0o755)
        (self.home / "word").write_text(PASSWORD)
        if os.geteuid() == 0:
            who = _somebody()
            for path in (self.home, self.home / "word"):
                os.chown(path, who.pw_uid, who.pw_gid)
        self._run(
            "initdb", "--no-sync", "-A", "scram-sha-256", "-U", KEEPER, "-E", "UTF8", "--locale=C",
            "--no-instructions", f"--pwfile={self.home / 'word'}",
        )  # fmt: skip
        # the keeper is let in without the password, which costs each connection thousands of hashes
        doors = self.home / "data/pg_hba.conf"
        doors.write_text(f"local all {KEEPER} trust\nlocal all all scram-sha-256\n")
        text = f"listen_addresses=''\nunix_socket_directories='{self.home}'\n{SMALL}{settings}"
        with (self.home / "data/postgresql.conf").open("a") as conf:
            conf.write(text)
        return self.start()

    def start(self):
        self._run("pg_ctl", "-w", "-l", str(self.home / "log"), "start")
        return self

    def stop(self, how="immediate"):
        self._run("pg_ctl", "-w", "-m", how, "stop")

    def _run(self, program, *more):
        as_other = {}
        if os.geteuid() == 0:
            who = _somebody()
            as_other = {"user": who.pw_uid, "group": who.pw_gid, "extra_groups": []}
        command = [str(programs() / program), "-D", str(self.home / "data"), *more]
        env = {"PATH": os.environ["PATH"], "LC_ALL": "C"}
        log = self.home / f"{program}.txt"
        with log.open("ab") as out:  # no pipe: the server would hold it open
            done = subprocess.run(
                command, cwd=self.home, env=env, stdout=out, stderr=out, check=False, **as_other
            )
        assert done.returncode == 0, log.read_text(errors="replace")

    def database(self, name=None):
        """The address of a new database."""
        name = name or f"d{secrets.token_hex(6)}"
        self.ask(f"CREATE DATABASE {name}")
        return f"postgresql://{KEEPER}@/{name}?host={self.home}"

    def ask(self, sql, database="postgres", user=KEEPER):
        """What a query gives, asked past Fencerow."""
        import psycopg

        where = {"host": str(self.home), "user": user, "password": PASSWORD, "dbname": database}
        with psycopg.connect(**where, autocommit=True) as connection:
            done = connection.execute(sql)
            return done.fetchall() if done.description else []


def configure(config):
    """Give the workers of a run one folder to share, before they start, and the password.

    It stands in the environment from the first, for processes that are forked from a clean one.
    """
    os.environ["PGPASSWORD"] = PASSWORD
    if not hasattr(config, "workerinput") and HOME not in os.environ:
        os.environ[HOME] = str(Path(tempfile.gettempdir(), f"fencerow-pg-{secrets.token_hex(5)}"))


def unconfigure(config):
    """End the server of the run, where one was started."""
    home = Path(os.environ.get(HOME, "/nowhere"))
    if hasattr(config, "workerinput") or not home.is_dir():
        return
    if (home / "data/postmaster.pid").exists():
        Server(home).stop()
    shutil.rmtree(home, ignore_errors=True)


def shared():
    """The server of the run, started by who comes first."""
    home = Path(os.environ[HOME])
    try:
        home.mkdir()
    except FileExistsError:
        end = time.monotonic() + 120
        while not (home / "ready").exists():
            assert not (home / "failed").exists(), "the server of this run could not be started"
            assert time.monotonic() < end, "the server of this run did not start in two minutes"
            time.sleep(0.05)
        return Server(home)
    try:
        server = Server(home).make()
    except BaseException:
        (home / "failed").touch()
        raise
    (home / "ready").touch()
    return server


def wanted():
    """Skip where there can be no server; fail there when CI is set."""
    why = why_not()
    if why and os.environ.get("CI"):
        pytest.fail(f"no PostgreSQL server: {why}")
    if why:
        pytest.skip(f"no PostgreSQL server: {why}")


@pytest.fixture(scope="session")
def postgres():
    """The server that the tests of a run share; it does not wait for its disk."""
    wanted()
    return shared()


@pytest.fixture(scope="module")
def own_postgres():
    """A server for one module's tests alone, to be killed; it waits for its disk."""
    wanted()
    home = Path(tempfile.gettempdir(), f"fencerow-pg-{secrets.token_hex(5)}")
    server = Server(home)
    try:
        yield server.make(settings="")
    finally:
        if (home / "data/postmaster.pid").exists():
            server.stop()
        shutil.rmtree(home, ignore_errors=True)


class Either:
    """Makes copies of a tract, in folders or in a database, as `kind` says."""

    scripts: ClassVar[dict[Path, str]] = {}

    def __init__(self, kind, database=None):
        self.kind, self.database = kind, database

    def copy(self, folder, target):
        """A copy of a tract's folder whose record is in the same kind of store."""
        return self._made(folder, target, self._carried)

    def fresh(self, folder, target):
        """A copy of a folder that never changes: in a database, what was said to make it is said
        again at one go, which costs a tenth."""
        return self._made(folder, target, self._said_again)

    def _made(self, folder, target, make):
        if self.kind == "folder":
            return Path(shutil.copytree(folder, target))
        shutil.copytree(folder, target, ignore=shutil.ignore_patterns("record.*"))
        address = Address.read(self.database).named(f"t{secrets.token_hex(6)}")
        make(folder, Postgres(address, target))
        address.keep(target)
        return target

    def _carried(self, folder, there):
        with database_of(folder).reading() as source, there.writing(bare=True) as connection:
            carry.into(source, there, connection)

    def _said_again(self, folder, there):
        name = there.address.tract
        if folder in self.scripts:
            with there.writing() as connection:
                script = self.scripts[folder].replace("{tract}", name)
                connection.connection.cursor().execute(script)
            return
        said = []

        @event.listens_for(there.engine, "before_cursor_execute")
        def _hear(_, cursor, statement, parameters, *__):
            if statement.split()[0] in ("CREATE", "INSERT", "UPDATE", "DROP"):
                spell = ClientCursor(cursor.connection).mogrify
                for each in parameters if isinstance(parameters, list) else [parameters or None]:
                    said.append(spell(statement, each).replace(name, "{tract}"))

        self._carried(folder, there)
        self.scripts[folder] = ";\n".join(said)


@pytest.fixture(scope="session")
def one_database(request):
    """A database of this worker's own on the shared server."""
    return request.getfixturevalue("postgres").database()


@pytest.fixture(params=["folder", "postgres"])
def either(request):
    """Each test that asks for it is run over both stores."""
    if request.param == "folder":
        return Either("folder")
    return Either("postgres", request.getfixturevalue("one_database"))
