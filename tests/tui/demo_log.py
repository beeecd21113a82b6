"""The demo fleet as the tests of the screens open it: a copy of its log, and a clock that stands still in the winter after."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.farm_fixtures import demo_file
from tests.tui.every_form import NOTE, NOTE_FILE

__all__ = ["WINTER", "demo_file", "demo_log"]

#: the day after the demo farm's story ends
WINTER = datetime(2026, 11, 20, 11, 0, tzinfo=ZoneInfo("America/Denver"))


@pytest.fixture
def demo_log(demo_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The path of a copy of its own, a note beside it; the screens' clock stands in the winter, files are written there."""
    from wearlog.tui.door import Door

    file = tmp_path / "demo.db"
    shutil.copyfile(demo_file, file)
    (tmp_path / NOTE_FILE).write_text(NOTE, "utf-8")
    monkeypatch.setattr(Door, "now", lambda _: WINTER)
    monkeypatch.chdir(tmp_path)
    return str(file)
