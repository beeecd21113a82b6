"""The kept helps of the commands: the words that click would write, and only while they are."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import wearlog
from tests.kept_help_pages import made
from wearlog.cli import overview
from wearlog.cli.app import run_command
from wearlog.cli.kept_helps import HEAD, WIDTH, digest_of, kept_help

PACKAGE = Path(wearlog.__file__).parent


def test_a_kept_help_says_what_click_says(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """One that a change has outdated is passed over: `python -m tests.kept_help_pages` writes it anew."""
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    kept = {name: page for name in overview.names() if (page := kept_help([name, "-h"])) is not None}
    for name, page in kept.items():
        run_command([name, "-h"])
        assert page == capsys.readouterr().out, name


def test_a_page_made_now_is_one_that_is_shown(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    head, _, page = made("stock").partition("\n")
    run_command(["stock", "-h"])
    assert page == capsys.readouterr().out
    digest, *files = head.removeprefix(HEAD).split()
    assert digest == digest_of(files)
    assert {"cli/stock_commands.py", "cli/options.py"} <= set(files)


def test_every_command_has_a_page() -> None:
    folder = PACKAGE / "cli" / "helps"
    assert {file.stem for file in folder.iterdir()} >= set(overview.names())


def test_a_page_is_passed_over_when_what_it_was_made_of_changed(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    head, _, page = (PACKAGE / "cli" / "helps" / "stock.txt").read_text("utf-8").partition("\n")
    files = head.split()[3:]
    for name in files:
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(PACKAGE / name, tmp_path / name)
    kept = tmp_path / "cli" / "helps" / "stock.txt"
    kept.parent.mkdir()
    kept.write_text(f"made of {digest_of(files, str(tmp_path))} {' '.join(files)}\n{page}", "utf-8")
    assert kept_help(["stock", "-h"], str(tmp_path)) == page
    source = tmp_path / "cli" / "stock_commands.py"
    source.write_text(source.read_text("utf-8") + "# one option more\n", "utf-8")
    assert kept_help(["stock", "-h"], str(tmp_path)) is None
    source.unlink()
    assert kept_help(["stock", "-h"], str(tmp_path)) is None


@pytest.mark.parametrize(
    "words", [["stock"], ["-h"], ["stock", "use", "-h"], ["stok", "-h"], ["stock", "--low"], ["../x", "-h"]]
)
def test_nothing_is_kept_of_other_words(words: list[str]) -> None:
    assert kept_help(words) is None


def test_a_narrow_terminal_has_its_own_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "46")
    assert kept_help(["stock", "-h"]) is None
