"""The kept helps of the commands: the words that click would write."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.kept_help_pages import made
from wearlog.cli import overview
from wearlog.cli.app import run_command
from wearlog.cli.main import HEAD, KEPT_IN, WIDTH, kept_help


def test_a_kept_help_says_what_click_says(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """`python -m tests.kept_help_pages` writes the pages anew."""
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    for name in overview.names():
        run_command([name, "-h"])
        assert kept_help([name, "-h"]) == capsys.readouterr().out, name


def test_the_file_is_the_one_that_is_made_now() -> None:
    """It has a page of every command in the order of the overview, and of nothing else."""
    kept = Path(KEPT_IN).read_text("utf-8")
    assert kept == made()
    heads = [line.removeprefix(HEAD) for line in kept.splitlines() if line.startswith(HEAD)]
    assert heads == overview.names()


def test_without_its_file_click_makes_the_help(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    file = tmp_path / "kept_helps.txt"
    assert kept_help(["stock", "-h"], str(file)) is None
    file.write_text(f"\n{HEAD}stock\nUsage: stock\n\n{HEAD}wear\nUsage: wear\n", "utf-8")
    assert kept_help(["stock", "-h"], str(file)) == "Usage: stock\n"
    assert kept_help(["wear", "--help"], str(file)) == "Usage: wear\n"
    assert kept_help(["plan", "-h"], str(file)) is None


@pytest.mark.parametrize(
    "words", [["stock"], ["-h"], ["stock", "use", "-h"], ["stok", "-h"], ["stock", "--low"], ["../x", "-h"]]
)
def test_nothing_is_kept_of_other_words(words: list[str]) -> None:
    assert kept_help(words) is None


def test_a_narrow_terminal_has_its_own_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "46")
    assert kept_help(["stock", "-h"]) is None
