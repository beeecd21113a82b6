"""A small farm in a file, made once for all tests of the screens and copied for each; and a clock that stands still."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.kept_logs import built_once
from tests.tui.small_farm import make_small_farm

#: Monday, five past two in the afternoon
NOW = datetime(2025, 7, 28, 14, 5, tzinfo=ZoneInfo("America/Denver"))


@pytest.fixture(scope="session")
def small_farm_made_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file that every test copies."""

    def make(file: Path) -> None:
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("WEARLOG_DEVICE", "shop")
            patch.setenv("WEARLOG_HOME", str(file.with_name("home")))
            make_small_farm(file, NOW)

    return built_once(tmp_path_factory, "small_farm_of_the_screens.db", make)


@pytest.fixture
def small_farm(small_farm_made_once: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The path of a file of its own with the small farm in it; the screens' clock stands at `NOW`."""
    from wearlog.tui.gateway import Door

    file = tmp_path / "farm.db"
    shutil.copyfile(small_farm_made_once, file)
    monkeypatch.setattr(Door, "now", lambda _: NOW)
    return str(file)
