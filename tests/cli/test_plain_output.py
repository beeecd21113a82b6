"""Output for consoles and files that know few characters: never an encoding error, and ASCII alone where it is asked for."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.farm_fixtures import demo_file
from wearlog.facts.plain_text import in_ascii
from wearlog.tui.plain_cells import PlainCells

__all__ = ["demo_file"]

_WEARLOG = (sys.executable, "-c", "from wearlog.cli.main import main; main()")


def ran(file: Path, *words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    with_log = {**os.environ, "WEARLOG_DB": str(file), **environment}
    return subprocess.run([*_WEARLOG, *words], env=with_log, capture_output=True, check=False)


@pytest.mark.parametrize("encoding", ["cp1252", "ascii"])
def test_a_chart_redirected_in_any_encoding_is_written_whole(demo_file: Path, encoding: str) -> None:
    done = ran(demo_file, "wear", "guards", PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    in_full = ran(demo_file, "wear", "guards", PYTHONIOENCODING="utf-8").stdout.decode()
    lines = done.stdout.decode(encoding).splitlines()
    assert len(lines) == len(in_full.splitlines())
    assert [in_ascii(line) for line in lines] == [in_ascii(line) for line in in_full.splitlines()]


@pytest.mark.parametrize("words", [("wear",), ("faults",)])
def test_plain_writes_ascii_alone_and_the_same_words(demo_file: Path, words: tuple[str, ...]) -> None:
    done = ran(demo_file, *words, "--plain", PYTHONIOENCODING="utf-8")
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.isascii()
    assert done.stdout.decode() == in_ascii(ran(demo_file, *words, PYTHONIOENCODING="utf-8").stdout.decode())


def test_an_error_with_a_name_that_the_console_lacks_is_told(tmp_path: Path) -> None:
    done = ran(tmp_path / "Füße→.db", "history", PYTHONIOENCODING="ascii")
    assert done.returncode == 3
    assert b"Fu?e>.db" in done.stderr


def test_letters_keep_their_letter_and_lines_their_shape() -> None:
    assert in_ascii("Größe ≥ 3 µm → ● │ ─ ┌ █ ⠿ ½") == "Gro?e >= 3 um > * | - + # : 1/2"


def test_cells_painted_in_ascii_stay_where_they_were() -> None:
    from rich.segment import Segment
    from textual.color import Color

    painted = PlainCells().apply([Segment("● ≥ … ½│農x"), Segment("ascii")], Color(0, 0, 0))
    assert "".join(one.text for one in painted) == "* > . 1|? xascii"
