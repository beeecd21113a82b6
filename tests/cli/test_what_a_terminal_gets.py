"""What reaches the terminal: no control code out of an argument or a file's name, and a sentence where nothing can be written."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log, runner
from tests.farm_fixtures import entered_farm
from tests.small_farm import SmallFarm
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import acts_on_a_terminal

__all__ = ["entered_farm"]

CLEAR = "\x1b[2J"


@pytest.fixture
def file(entered_farm: tuple[SmallFarm, tuple[Fact, ...], Path], tmp_path: Path) -> Path:
    return Path(shutil.copy(entered_farm[2], tmp_path / "farm.db"))


@pytest.fixture
def wearlog(capsys: pytest.CaptureFixture[str], file: Path) -> Wearlog:
    return on_log(runner(capsys), file)


@pytest.mark.parametrize(
    "words",
    [
        ("set", f"{CLEAR}x", "y"),
        ("wear", f"{CLEAR}x"),
        ("import", f"/nowhere/{CLEAR}"),
        ("merge", f"/nowhere/{CLEAR}"),
        ("restore", f"/nowhere/{CLEAR}"),
        ("log", f"kestrel {CLEAR} broke"),
        ("plan", f"{CLEAR}2026"),
        (f"{CLEAR}nothing",),
    ],
)
def test_a_control_code_in_an_argument_never_reaches_the_terminal(words: tuple[str, ...], wearlog: Wearlog) -> None:
    ran = wearlog(*words)
    assert ran.code != 0
    assert "\x1b" not in ran.out + ran.err
    assert ran.err.startswith("wearlog: ")


#: every text that acts on a terminal: an escape, a bell, a mark that turns what follows, and one of the eight-bit codes
ACTS = ("\x1b[2J", "\x1b]0;taken\x07", "\u202e", "\x9b31m", "\r", "\x08")


@pytest.mark.parametrize("code", ACTS, ids=ascii)
@pytest.mark.parametrize("as_json", [False, True], ids=["words", "json"])
@pytest.mark.parametrize(
    "sheet",
    ["name,are{0}a (ac),gro{0}und\nEast,5,clean\n", "name,area (ac),ground\nEa{0}st,5{0}x,cl{0}ean\n"],
    ids=["headings", "cells"],
)
def test_a_control_code_in_a_sheet_never_reaches_the_terminal(
    sheet: str, code: str, wearlog: Wearlog, tmp_path: Path, *, as_json: bool
) -> None:
    folder = tmp_path / "sheets"
    folder.mkdir()
    (folder / "field.csv").write_bytes(sheet.format(code).encode())
    ran = wearlog("import", str(folder), *(["--json"] if as_json else []))
    assert ran.code == 4
    shown = f"{ran.out}{ran.err}"
    assert not acts_on_a_terminal(shown.replace("\t", " "))
    if as_json:
        told = [problem[name] for problem in ran.json["problems"] for name in ("file", "heading", "message", "hint")]
        assert len(told) >= 4
        assert not any(acts_on_a_terminal(text) for text in told if text)


@pytest.mark.parametrize("code", ACTS, ids=ascii)
def test_a_control_code_in_a_notebook_or_a_note_never_reaches_the_terminal(
    code: str, wearlog: Wearlog, tmp_path: Path
) -> None:
    book, note = tmp_path / "book.csv", tmp_path / f"note{code.replace(chr(13), '')}.txt"
    book.write_bytes(f"da{code}y,wh{code}at\n2026-08-01,kes{code}trel gua{code}rd 8 rock\n".encode())
    note.write_bytes(f"kes{code}trel gua{code}rd 8 rock\n".encode())
    for words in (("notebook", str(book), "--dry-run"), ("inbox", str(note), "--dry-run")):
        ran = wearlog(*words)
        assert not acts_on_a_terminal(f"{ran.out}{ran.err}")


def run(words: list[str], stdout: object, file: Path, tmp_path: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "WEARLOG_DB": str(file), "WEARLOG_HOME": str(tmp_path / "home")}
    program = [sys.executable, "-c", "from wearlog.cli.main import main; main()", *words]
    return subprocess.run(program, stdout=stdout, stderr=subprocess.PIPE, text=True, env=environment, check=False)  # type: ignore[call-overload, no-any-return]


@pytest.mark.parametrize("words", [["wear"], ["wear", "--json"], ["--help"], ["history"], ["check"]])
def test_an_answer_that_cannot_be_written_is_a_sentence(words: list[str], file: Path, tmp_path: Path) -> None:
    with Path("/dev/full").open("w") as full:
        ran = run(words, full, file, tmp_path)
    assert ran.returncode == 1
    assert ran.stderr == (
        "wearlog: The answer could not be written: No space left on device.\n"
        "  What was saved is saved; make room and ask again.\n"
    )


def test_a_reader_that_went_away_is_no_mistake(file: Path, tmp_path: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        ran = run(["wear", "--json"], writing, file, tmp_path)
    finally:
        os.close(writing)
    assert (ran.returncode, ran.stderr) == (0, "")


def test_a_backup_that_cannot_be_made_is_told_beside_what_was_added(wearlog: Wearlog, file: Path) -> None:
    file.with_name(f"{file.name}-backups").write_text("no folder", encoding="utf-8")
    ran = wearlog("add", "field", "east quarter", "--area", "40ac", "--ground", "clean")
    assert ran.code == 0
    assert re.fullmatch(r"Saved: .*\.\n  The backup .* could not be written: .*\.\n", ran.out)


def test_who_begins_a_log_beside_a_leftover_journal_is_told(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    begun = tmp_path / "begun.db"
    begun.with_name("begun.db-journal").write_bytes(b"an unfinished write")
    ran = on_log(runner(capsys), begun)("add", "field", "east quarter", "--area", "40ac", "--ground", "clean")
    assert ran.code == 0
    assert "An unfinished write of a log that is gone lay here; it is kept as" in ran.out


def test_a_currency_is_three_letters(wearlog: Wearlog) -> None:
    ran = wearlog("set", "currency", "dollars")
    assert (ran.code, ran.err) == (
        4,
        "wearlog: 'dollars' is not a currency.\n  Write its three letters, like USD or EUR.\n",
    )
    assert wearlog("set", "currency", "eur").out.startswith("Saved: set currency to EUR.")


def test_a_text_longer_than_a_cell_brings_back_is_refused(wearlog: Wearlog) -> None:
    ran = wearlog("add", "field", "x" * 32_001, "--area", "40ac", "--ground", "clean")
    assert ran.code == 4
    assert "is 32,001 characters long; 32,000 can be kept." in ran.err
