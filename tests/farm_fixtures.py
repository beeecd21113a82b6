"""Fixtures of farms that stand ready: entered once, then copied for each test. A conftest that wants them imports them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tests.small_farm import SmallFarm, small_farm
from wearlog.facts.fact import Fact
from wearlog.logbook.files.importing import bring_in, everything
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store


@pytest.fixture(scope="session")
def entered_farm(tmp_path_factory: pytest.TempPathFactory) -> tuple[SmallFarm, tuple[Fact, ...], Path]:
    """The small farm as it was entered, all its facts, and the file it lies in."""
    file = tmp_path_factory.mktemp("farm") / "small.db"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_HOME", str(file.parent / "home"))
        patch.setenv("WEARLOG_DEVICE", "shop")
        store = create_store(Location(file=file))
    found = small_farm(store)
    facts = tuple(fact for rows in everything(store).values() for fact in rows)
    store.close()
    return found, facts, file


@pytest.fixture
def farm(store: Store, entered_farm: tuple[SmallFarm, tuple[Fact, ...], Path]) -> SmallFarm:
    """The small farm in a store of its own, once in a file and once on a server."""
    found, facts, _ = entered_farm
    bring_in(store, facts, source="template", digest="")
    return replace(found, store=store)


@pytest.fixture
def file_farm(tmp_path: Path, entered_farm: tuple[SmallFarm, tuple[Fact, ...], Path]) -> Iterator[SmallFarm]:
    """The small farm in a file of its own."""
    found, _, file = entered_farm
    copy = tmp_path / "small.db"
    shutil.copyfile(file, copy)
    store = open_store(Location(file=copy))
    yield replace(found, store=store)
    store.close()


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo fleet, brought in once through the real importer; copy it before you write."""
    from wearlog.exchange.importer import import_source
    from wearlog.logbook.farm.first_day import start_log
    from wearlog.settings import shipped

    file = tmp_path_factory.mktemp("demo") / "demo.db"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_HOME", str(file.parent / "home"))
        patch.setenv("WEARLOG_DEVICE", "shop")
        store = start_log(Location(file=file))
    report = import_source(store, shipped("demo_fleet"))
    store.close()
    assert report.reading.problems == ()
    return file


@pytest.fixture
def demo_store(demo_file: Path, tmp_path: Path) -> Iterator[Store]:
    """A copy of the demo fleet's log."""
    copy = tmp_path / "demo.db"
    shutil.copyfile(demo_file, copy)
    store = open_store(Location(file=copy))
    yield store
    store.close()
