"""wearlog inbox: all is shown as understood, the doubtful is asked in a terminal and left elsewhere, nothing comes in twice."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from tests.cli.test_asking import Keyboard

_NOTE = "aug 14 2026\nkestrel sections 44-46 rock, 40 min\nwren thingy 4 broke\n16.20 merlin section 33 rock\n"


@pytest.fixture
def note(tmp_path: Path) -> Path:
    file = tmp_path / "note.txt"
    file.write_text(_NOTE, "utf-8")
    return file


def test_a_dry_run_shows_all_and_saves_nothing(demo: Wearlog, note: Path) -> None:
    ran = demo("inbox", str(note), "--dry-run", "--json")
    found = ran.json
    assert (ran.code, found["saved"], found["new"], found["known"], found["asked"]) == (0, 0, 2, 0, 1)
    assert [(one["line"], one["state"], one["verdict"]) for one in found["lines"]] == [
        (2, "new", "entry"),
        (3, "asked", "question"),
        (4, "new", "entry"),
    ]
    assert [one["day"] for one in found["lines"]] == ["2026-08-14"] * 3
    assert demo("inbox", str(note), "--dry-run").out.endswith("2 lines to save, 1 to ask about.\n")


def test_without_a_terminal_the_doubtful_is_told_and_left(demo: Wearlog, note: Path) -> None:
    ran = demo("inbox", str(note), "--yes")
    assert (ran.code, ran.out) == (0, "Saved 2 of 3 lines; 'wearlog undo' takes the last one back.\n")
    assert "What is 'thingy'? It is no part that the log knows." in ran.err
    again = demo("inbox", str(note), "--yes")
    assert again.out == "Nothing was saved.\n"
    assert "line 2: in the log already: kestrel sections 44-46 rock, 40 min" in again.err


def test_without_a_terminal_and_without_yes_nothing_is_saved(demo: Wearlog, note: Path) -> None:
    ran = demo("inbox", str(note))
    assert (ran.code, ran.out) == (4, "")
    assert ran.err.endswith("wearlog: Nothing was saved, since nobody could be asked.\n  Add --yes to save them.\n")


def test_in_a_terminal_it_asks_about_the_doubtful_line(
    demo: Wearlog, note: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", Keyboard("y\nwren tine 4 broke\ny\n"))
    ran = demo("inbox", str(note))
    assert ran.out == "Saved 3 of 3 lines; 'wearlog undo' takes the last one back.\n"
    monkeypatch.undo()
    assert demo("inbox", str(note), "--dry-run", "--json").json["known"] == 3


def test_in_a_terminal_it_asks_once_for_the_day_of_lines_without_one(
    demo: Wearlog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "undated.txt"
    file.write_text("kestrel guard 70 cracked\nwren tine 4 broke\n", "utf-8")
    assert demo("inbox", str(file), "--yes").out == "Nothing was saved.\n"
    monkeypatch.setattr(sys, "stdin", Keyboard("aug 14 2026\ny\ny\n"))
    assert demo("inbox", str(file)).out.startswith("Saved 2 of 2 lines")


def test_every_text_file_of_a_folder_is_read(demo: Wearlog, tmp_path: Path) -> None:
    folder = tmp_path / "notes"
    folder.mkdir()
    (folder / "a.txt").write_text("aug 14 2026\nkestrel guard 70 cracked\n", "utf-8")
    (folder / "2026-08-15.md").write_bytes("wren tine 4 broke – caf\u00e9\n".encode("cp1252"))
    (folder / "photo.jpg").write_bytes(b"\xff\xd8\0")
    found = demo("inbox", str(folder), "--dry-run", "--json").json["lines"]
    assert [(one["source"], one["state"], one["day"]) for one in found] == [
        ("2026-08-15.md", "new", "2026-08-15"),
        ("a.txt", "new", "2026-08-14"),
    ]


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [("gone.txt", None, "There is no file or folder"), ("photo.txt", b"\x01\0\x02", "photo.txt is no text file.")],
)
def test_what_is_no_note_is_told(demo: Wearlog, tmp_path: Path, name: str, content: bytes | None, said: str) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    ran = demo("inbox", str(tmp_path / name))
    assert ran.code != 0
    assert said in ran.err


def test_a_day_that_is_none_is_told(demo: Wearlog, note: Path) -> None:
    ran = demo("inbox", str(note), "--day", "feb 30")
    assert (ran.code, ran.err.splitlines()[0]) == (2, "wearlog: 'feb 30' is no day that has been.")
