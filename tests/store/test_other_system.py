"""The tests that run under another system's rules are there, and the rules lie over them and over no others."""

from __future__ import annotations

import io
import os
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path

import pytest

from tests.other_system import NEEDS, TWICE, left_out
from tests.windows_rules import laid_rules
from wearlog.settings import write_private


def test_every_test_that_is_named_is_there_and_each_door_has_some() -> None:
    for module, names in TWICE.items():
        there = import_module(module)
        assert [name for name in names if not callable(getattr(there, name, None))] == [], module
    assert {module.split(".")[1] for module in TWICE} == {"store", "exchange", "cli", "tui"}


def test_what_is_left_out_where_nothing_can_be_forked_is_there_and_says_why() -> None:
    for start in NEEDS:
        path, _, name = start.partition("::")
        assert Path(path).exists()
        assert not name or f"def {name}(" in Path(path).read_text("utf-8")
    assert left_out("tests/kills/test_kills.py::test_x") == "no process can be forked and killed here"
    assert left_out("tests/store/test_backup.py::test_x") == ""


def test_the_rules_are_laid_and_taken_away_again(tmp_path: Path) -> None:
    before = (io.open, os.open, os.replace, os.unlink, os.fsync, datetime.__dict__["astimezone"])
    old = datetime(1957, 8, 1, tzinfo=UTC)
    with laid_rules():
        assert not hasattr(os, "fork")
        assert not hasattr(os, "getuid")
        write_private(tmp_path / "kept.json", "{}\n")
        (tmp_path / "text").write_text("two\nlines\n", "utf-8")
        with pytest.raises(OSError, match="Invalid argument"):
            old.astimezone()
        with pytest.raises(PermissionError):
            os.open(tmp_path, os.O_RDONLY)
    assert (tmp_path / "kept.json").read_bytes() == b"{}\n"
    assert (tmp_path / "text").read_bytes() == b"two\r\nlines\r\n"
    assert before == (io.open, os.open, os.replace, os.unlink, os.fsync, datetime.__dict__["astimezone"])
    assert hasattr(os, "fork")
    assert old.astimezone() == old
