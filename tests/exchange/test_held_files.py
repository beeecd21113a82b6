"""A file that a spreadsheet has open, and a driver that a computer lacks, are told in a sentence with what to do."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.cli.running import on_log, runner
from tests.windows_rules import SystemRefusedError
from wearlog.tui.questions.papers import _entries

_HELD = "cannot be read: another program has it open; close it there."


@pytest.mark.parametrize("name", ["field.csv", "notebook.xlsx"])
@pytest.mark.parametrize("words", [("import",), ("notebook",), ("plan", "receive")])
def test_what_a_spreadsheet_has_open_is_told_and_nothing_is_saved(
    name: str,
    words: tuple[str, ...],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    wearlog = on_log(runner(capsys), tmp_path / "log.db")
    assert wearlog("add", "combine", "Wren").code == 0
    file = tmp_path / name
    file.write_bytes(b"name,area_ac\nhome,12\n")

    def refused(path: Path, *_: object) -> bytes:
        raise SystemRefusedError(32, path)

    monkeypatch.setattr(Path, "read_bytes", refused)
    monkeypatch.setattr("python_calamine.CalamineWorkbook.from_path", refused)
    ran = wearlog(*words, str(file))
    assert ran.code != 0
    assert _HELD in ran.out + ran.err
    assert name in ran.out + ran.err


def test_the_mark_of_an_open_workbook_is_no_notebook(tmp_path: Path) -> None:
    for name in ("~$book.xlsx", "book.xlsx", ".hidden.csv"):
        (tmp_path / name).touch()
    assert [one.name for one in _entries(tmp_path)] == ["book.xlsx"]


def test_a_server_without_its_driver_is_told(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)
    ran = runner(capsys)("history", "--db", "postgresql://shed/farm")
    assert (ran.code, ran.out) == (4, "")
    assert "The driver for PostgreSQL is not installed." in ran.err
    assert "Windows for ARM" in ran.err
