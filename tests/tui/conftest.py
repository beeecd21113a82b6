"""A small farm in a file, made once for all tests of the screens and copied for each; and the app on it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.tui.small_farm import make_small_farm


@pytest.fixture(scope="session")
def small_farm_made_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file that every test copies."""
    folder = tmp_path_factory.mktemp("small_farm")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_DEVICE", "shop")
        patch.setenv("WEARLOG_HOME", str(folder / "home"))
        make_small_farm(folder / "farm.db")
    return folder / "farm.db"


@pytest.fixture
def small_farm(small_farm_made_once: Path, tmp_path: Path) -> Path:
    """A file of its own with the small farm in it."""
    file = tmp_path / "farm.db"
    shutil.copyfile(small_farm_made_once, file)
    return file
