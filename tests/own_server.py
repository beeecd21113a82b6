"""A PostgreSQL server that may be killed and started again on what it left behind."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

import psycopg
import pytest

from tests.servers import HOW_TO_GET_ONE, SECONDS_TO_START, find_programs, quick_folder, unprivileged_user


class OwnServer:
    """A server in a folder of its own. What it acknowledges is as safe as its clients ask for: by itself it would not wait."""

    def __init__(self, programs: Path, home: Path) -> None:
        self._programs, self._home = programs, home
        user = unprivileged_user()
        self._identity = {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []} if user else {}
        if user:
            os.chown(home, user.pw_uid, user.pw_gid)
        self._process: subprocess.Popen[bytes] | None = None
        self._numbers = count(1)
        self.kills = 0

    def make(self) -> None:
        words = [self._programs / "initdb", "-D", self._home / "data", "-A", "trust", "-U", "postgres", "-E", "UTF8"]
        subprocess.run(
            [*words, "--no-sync", "--no-locale"],
            cwd=self._home,
            capture_output=True,
            check=True,
            **self._identity,  # type: ignore[call-overload]
        )

    def start(self) -> None:
        """Start it and wait until it answers; after a kill its last processes may still be going."""
        deadline = time.monotonic() + SECONDS_TO_START
        while time.monotonic() < deadline:
            if self._process is None or self._process.poll() is not None:
                self._launch()
            try:
                psycopg.connect(self.url("postgres"), autocommit=True).close()
            except psycopg.OperationalError:
                time.sleep(0.02)
            else:
                return
        pytest.fail(f"PostgreSQL did not start:\n{(self._home / 'log').read_text()[-2000:]}", pytrace=False)

    def _launch(self) -> None:
        # not synced: a kill takes the processes away and not the machine. Not waited for either: that is for the client to ask
        quick = ["-F", "-c", "full_page_writes=off", "-c", "synchronous_commit=off"]
        with (self._home / "log").open("ab") as log:
            self._process = subprocess.Popen(
                [self._programs / "postgres", "-D", self._home / "data", "-k", self._home, "-h", "", *quick],
                cwd=self._home,
                stdout=log,
                stderr=log,
                **self._identity,  # type: ignore[call-overload]
            )

    def kill(self) -> None:
        """Take the server and all that it started away without a word."""
        assert self._process is not None
        main = self._process.pid
        # held first, so that it starts no more of them while they are looked for
        os.kill(main, signal.SIGSTOP)
        for child in _children(main):
            _end(child)
        _end(main)
        self._process.wait(SECONDS_TO_START)
        self.kills += 1

    def stop(self) -> None:
        if self._process is not None and self._process.poll() is None:
            self._process.send_signal(signal.SIGINT)
            self._process.wait(SECONDS_TO_START)

    def url(self, database: str) -> str:
        return f"postgresql://postgres@/{database}?host={self._home}"

    @contextmanager
    def database(self, template: str = "template0") -> Iterator[str]:
        """Make a database from a template, yield its name, and drop it."""
        name = f"farm_{next(self._numbers)}"
        self.administer(f'CREATE DATABASE "{name}" TEMPLATE "{template}" STRATEGY file_copy')
        try:
            yield name
        finally:
            self.administer(f'DROP DATABASE "{name}" WITH (FORCE)')

    def administer(self, statement: str) -> None:
        with psycopg.connect(self.url("postgres"), autocommit=True) as admin:
            admin.execute(statement.encode())

    def wait_until_alone(self, database: str) -> None:
        """Wait until whatever a killed client had sent is done or given up."""
        asking = "SELECT count(*) FROM pg_stat_activity WHERE datname = %s"
        deadline = time.monotonic() + SECONDS_TO_START
        with psycopg.connect(self.url("postgres"), autocommit=True) as admin:
            while admin.execute(asking, (database,)).fetchone() != (0,):
                assert time.monotonic() < deadline, f"somebody stays connected to {database}"
                time.sleep(0.005)


def _children(process: int) -> list[int]:
    found = []
    for folder in Path("/proc").iterdir():
        if folder.name.isdigit():
            try:
                status = (folder / "stat").read_text()
            except OSError:
                continue
            if int(status.rpartition(")")[2].split()[1]) == process:
                found.append(int(folder.name))
    return found


def _end(process: int) -> None:
    try:
        os.kill(process, signal.SIGKILL)
    except ProcessLookupError:
        return


@contextmanager
def own_server() -> Iterator[OwnServer]:
    """Make and start a server; it goes with its folder."""
    programs = find_programs()
    if programs is None:
        pytest.fail(HOW_TO_GET_ONE, pytrace=False)
    home = Path(tempfile.mkdtemp(prefix="wearlog-pg-", dir=quick_folder()))
    server = OwnServer(programs, home)
    try:
        server.make()
        server.start()
        yield server
    finally:
        server.stop()
        shutil.rmtree(home, ignore_errors=True)
