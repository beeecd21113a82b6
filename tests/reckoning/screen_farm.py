"""The small farm of the screens as a store, made once and copied for each test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.tui.small_farm import make_small_farm
from wearlog.logbook.open_log import Store, open_log

NOW = datetime(2025, 7, 28, 20, 5, tzinfo=UTC)


@pytest.fixture(scope="session")
def screen_farm_made_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("screen_farm")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_DEVICE", "shop")
        patch.setenv("WEARLOG_HOME", str(folder / "home"))
        make_small_farm(folder / "farm.db", NOW)
    return folder / "farm.db"


@pytest.fixture
def farm_store(screen_farm_made_once: Path, tmp_path: Path) -> Iterator[Store]:
    store = open_log(str(shutil.copyfile(screen_farm_made_once, tmp_path / "farm.db")))
    yield store
    store.close()
