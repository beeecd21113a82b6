"""Output for consoles and files that know few characters: never an encoding error, and ASCII alone where it is asked for."""

from __future__ import annotations

import io
import os
import shlex
import subprocess
import sys
from pathlib import Path

import click
import pytest

from tests.farm_fixtures import demo_file
from wearlog import PLAIN_SETTING
from wearlog.cli import overview
from wearlog.cli.main import run
from wearlog.cli.plain_output import write_what_can_be_shown
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


#: the main answers, each with marks, charts or lines of its own
_ANSWERS = (
    "brief", "wear", "wear guards", "wear --repairs", "plan", "cost --by machine", "due --all", "stock", "harvest", "calibrate",
    "faults", "faults suspects 1 --draw", "runs", "breakages", "stop --all", "history", "entries",
    "rain-day", "where", "check", "set", "twins", "completion bash",
)  # fmt: skip
_NO_SUCH = ("no such command", "wear nøwhere→", "log 'Füße ≥ 3 …'")


@pytest.mark.parametrize("plain", [False, True])
def test_every_help_and_every_answer_goes_through_an_old_encoding(
    demo_file: Path, monkeypatch: pytest.MonkeyPatch, plain: bool
) -> None:
    monkeypatch.setenv("WEARLOG_DB", str(demo_file))
    monkeypatch.setenv(PLAIN_SETTING, "1" if plain else "")
    helps = [f"{name} -h" for name in (*overview.names(), "plan area", "faults check", "faults diagram")]
    for line in ("--help", *helps, *_ANSWERS, *_NO_SUCH):
        written = [io.TextIOWrapper(io.BytesIO(), encoding="cp1252", newline="\r\n") for _ in range(2)]
        monkeypatch.setattr(sys, "stdout", written[0])
        monkeypatch.setattr(sys, "stderr", written[1])
        words = write_what_can_be_shown(shlex.split(line))
        code = run(words)
        sys.stdout.flush()
        sys.stderr.flush()
        out, err = (stream.buffer.getvalue() for stream in written)  # type: ignore[attr-defined]
        assert out or err, line
        assert "Traceback" not in (out + err).decode("cp1252"), line
        assert (out + err).isascii() or not plain, line
        assert bool(code) == (line in _NO_SUCH), (line, code, err)


def test_a_question_that_click_asks_is_ascii_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(PLAIN_SETTING, "1")
    written = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    monkeypatch.setattr(sys, "stderr", written)
    monkeypatch.setattr(sys, "stdin", io.StringIO("y\n"))
    write_what_can_be_shown([])
    assert click.confirm("Füße ≥ 3 → ●?", err=True)
    sys.stderr.flush()
    assert b"Fu?e >= 3 > *? [y/N]" in written.buffer.getvalue()  # type: ignore[attr-defined]


@pytest.mark.parametrize("command", ["--help", "wear guards", "runs"])
def test_who_reads_no_more_ends_it_quietly(demo_file: Path, command: str) -> None:
    program = subprocess.Popen(
        [*_WEARLOG, *command.split()], env={**os.environ, "WEARLOG_DB": str(demo_file)},
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    assert program.stdout is not None
    assert program.stderr is not None
    program.stdout.close()
    assert (program.stderr.read(), program.wait()) == (b"", 0)
    program.stderr.close()


def test_what_comes_by_a_pipe_in_another_encoding_is_told(demo_file: Path) -> None:
    done = subprocess.run(
        [*_WEARLOG, "faults", "diagram", "Kestrel", "--set", "-"], input="battery\n  café\n".encode("cp1252"),
        env={**os.environ, "WEARLOG_DB": str(demo_file), "PYTHONIOENCODING": "utf-8"}, capture_output=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (2, b"")
    assert done.stderr.startswith(b"wearlog: What comes in by the pipe is no text in utf-8.")


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
