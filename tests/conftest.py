"""What every test gets: nothing of the developer's machine, and stores on both databases for those that ask."""

from __future__ import annotations

import atexit
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings
from hypothesis.internal.conjecture import providers
from hypothesis.internal.constants_ast import Constants

from tests.other_system import left_out, runs_twice

if TYPE_CHECKING:
    # imported by the fixtures that use them: a test of the maths does not wait for a database library
    from tests.servers import Server
    from wearlog.store.location import Location
    from wearlog.store.opening import Store

# with summer time, and west of UTC: a local day and the UTC day differ in the evening, when a farmer writes
os.environ["TZ"] = "MST7MDT,M3.2.0,M11.1.0"
if hasattr(time, "tzset"):
    time.tzset()
for _name in [name for name in os.environ if name.startswith("PG") and name != "PGPASSWORD"]:
    del os.environ[_name]
# what is made once for many tests is made before `only_the_test` holds: it too keeps out of the developer's preferences
os.environ["WEARLOG_HOME"] = tempfile.mkdtemp(prefix="wearlog-tests-")
atexit.register(shutil.rmtree, os.environ["WEARLOG_HOME"], ignore_errors=True)
# the suite's processes share the cores; threads for matrices as small as ours only wait for each other
os.environ["OPENBLAS_NUM_THREADS"] = "1"

# "steady" has the same examples on every run; "explore" draws new ones and keeps what failed (DEVELOPERS.md)
settings.register_profile("steady", derandomize=True, deadline=None, database=None)
settings.register_profile("explore", deadline=None, print_blob=True)
settings.load_profile("steady")


def pytest_configure(config: pytest.Config) -> None:
    """Let steady examples depend on their own test only."""
    if config.getoption("--hypothesis-profile") in {None, "steady"}:
        # numbers found in the modules that happen to be loaded are mixed in: other tests before this one, other examples
        providers._get_local_constants = Constants


@pytest.fixture(autouse=True)
def only_the_test(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keep the developer's log, preferences, terminal and language out."""
    monkeypatch.setenv("WEARLOG_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("WEARLOG_DEVICE", "shop")
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("LINES", "40")
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    for name in ("WEARLOG_DB", "NO_COLOR", "FORCE_COLOR", "CLICOLOR", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)


# measured is on one system, and with calls that only it has
collect_ignore_glob = ["bench/*"] if sys.platform == "win32" else []


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Leave out, and say so, what ends processes half-way where the system has no way to do that."""
    # a server is not started under the rules: what they are about is files
    items[:] = [
        item for item in items if not {"other_system", "postgres"} <= {mark.name for mark in item.iter_markers()}
    ]
    if hasattr(os, "fork"):
        return
    for item in items:
        if reason := left_out(item.nodeid):
            item.add_marker(pytest.mark.skip(reason=reason))


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Let what goes through a door of the program run here, and once more under the rules of another system."""
    if sys.platform == "linux" and runs_twice(metafunc.module.__name__, metafunc.function.__name__):
        under_the_rules = pytest.param("other", marks=pytest.mark.other_system)
        metafunc.parametrize("system", ["here", under_the_rules], indirect=True)


@pytest.fixture(autouse=True)
def system(request: pytest.FixtureRequest, only_the_test: None) -> Iterator[None]:
    """Lay the rules of another system over this one where a test runs a second time for that."""
    if getattr(request, "param", "here") == "here":
        yield
        return
    from tests.windows_rules import laid_rules

    with laid_rules():
        yield


@pytest.fixture
def file_location(tmp_path: Path) -> Location:
    """A place for a log; nothing is there yet."""
    from wearlog.store.location import Location

    return Location(file=tmp_path / "farm.db")


@pytest.fixture
def file_store(file_location: Location) -> Iterator[Store]:
    """A new, empty log in a file."""
    from wearlog.store.opening import create_store

    store = create_store(file_location)
    yield store
    store.close()


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """A PostgreSQL server, started when the first test asks for it."""
    from tests.servers import running_server

    with running_server() as running:
        yield running


@pytest.fixture
def empty_server_location(server: Server) -> Iterator[Location]:
    """A database of its own without any table, for tests that make or change tables."""
    from wearlog.store.location import locate

    with server.database() as url:
        yield locate(url)


@pytest.fixture(scope="session")
def shared_server_location(server: Server) -> Iterator[Location]:
    """The database of the tests that only write rows."""
    from wearlog.store.location import locate
    from wearlog.store.opening import create_store

    with server.database() as url, pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_DEVICE", "shop")
        create_store(locate(url)).close()
        yield locate(url)


@pytest.fixture
def server_store(shared_server_location: Location) -> Iterator[Store]:
    """An empty log on a PostgreSQL server: every row is deleted afterwards, which takes 10 ms where a new database takes 60."""
    from wearlog.store.opening import open_store
    from wearlog.store.schema import metadata

    store = open_store(shared_server_location)
    yield store
    with store.engine.begin() as connection:
        for table in reversed(metadata.sorted_tables):
            connection.execute(table.delete())
    store.close()


@pytest.fixture(params=["file", pytest.param("server", marks=pytest.mark.postgres)])
def store(request: pytest.FixtureRequest) -> Store:
    """A new, empty log; the test runs once in a file and once on a server."""
    made: Store = request.getfixturevalue(f"{request.param}_store")
    return made


@pytest.fixture(params=["file", pytest.param("server", marks=pytest.mark.postgres)])
def empty_location(request: pytest.FixtureRequest) -> Location:
    """A place without any table, in a file and on a server."""
    name = "file_location" if request.param == "file" else "empty_server_location"
    place: Location = request.getfixturevalue(name)
    return place
