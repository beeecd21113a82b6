"""The words of the demo fleet, read once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from wearlog.logbook.lines.line_saving import farm_words
from wearlog.logbook.plain_line import FarmWords
from wearlog.store.location import Location
from wearlog.store.opening import open_store


@pytest.fixture(scope="session")
def demo_words(demo_file: Path, tmp_path_factory: pytest.TempPathFactory) -> FarmWords:
    copy = tmp_path_factory.mktemp("words") / "demo.db"
    shutil.copyfile(demo_file, copy)
    store = open_store(Location(file=copy))
    words = farm_words(store)
    store.close()
    return words
