"""A small farm in a file, made once for all tests of the screens and copied for each; and a clock that stands still."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.tui.small_farm import make_small_farm

#: Monday, five past two in the afternoon
NOW = datetime(2025, 7, 28, 14, 5, tzinfo=ZoneInfo("America/Denver"))


@pytest.fixture(scope="session")
def small_farm_made_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file that every test copies."""
    folder = tmp_path_factory.mktemp("small_farm")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_DEVICE", "shop")
        patch.setenv("WEARLOG_HOME", str(folder / "home"))
        make_small_farm(folder / "farm.db", NOW)
    return folder / "farm.db"


@pytest.fixture
def small_farm(small_farm_made_once: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The path of a file of its own with the small farm in it; the screens' clock stands at `NOW`."""
    from wearlog.tui.door import Door

    file = tmp_path / "farm.db"
    shutil.copyfile(small_farm_made_once, file)
    monkeypatch.setattr(Door, "now", lambda _: NOW)
    return str(file)
