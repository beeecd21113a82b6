"""Pages whose commands stand with their answers: `docs/first-day.md` and its like, played from above to below on one log.

An indented line `wearlog ...` is a command; a block ```` ```text ```` right behind it is what it answers, word for word; with a
number (```` ```text 12 ````) it is the first so many lines of that. `python -m tests.texts.answered` writes all answers anew.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.texts.command_lines import ROOT
from tests.texts.running_texts import EVENING, at_the_terminal, words_of
from wearlog.cli.main import run

#: the evening on which the demo fleet's story ends, six o'clock by the farm's clock
STORY_ENDS = datetime(2026, 11, 21, 0, 0, tzinfo=UTC)

#: a wet morning in the season after it (eight o'clock by the farm's clock)
WET_MORNING = datetime(2027, 7, 29, 13, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Page:
    """A page: where it lies, whether it plays on the demo fleet (else on no log at all), and when."""

    file: str
    on_the_demo: bool
    now: datetime
    #: files of the tree that lie in the folder
    beside: tuple[str, ...] = ()


PAGES = (
    Page("docs/first-day.md", on_the_demo=False, now=EVENING),
    Page("docs/winter-evening.md", on_the_demo=True, now=STORY_ENDS),
    Page("docs/fault-on-the-road.md", on_the_demo=True, now=STORY_ENDS),
    Page("docs/rain-day.md", on_the_demo=True, now=WET_MORNING),
    Page("docs/how-to.md", on_the_demo=True, now=STORY_ENDS),
    Page("docs/what-pays.md", on_the_demo=True, now=WET_MORNING),
    Page("docs/neighbours.md", on_the_demo=True, now=STORY_ENDS, beside=("demo_fleet/neighbours/lives.csv",)),
)

#: the number of an entry, which is another one whenever the entry is made
_NUMBER = re.compile(r"(?<![\d,.])\d{6}(?![\d,.])")
_STEP = re.compile(r"^    (wearlog [^\n]*)\n(?:\n```text(?: (\d+))?\n(.*?)```\n)?", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True)
class Step:
    """A command of a page, and the answer that stands behind it: None where none does."""

    line: str
    shown: str | None
    first: int | None

    def of(self, answer: str) -> str:
        """What of an answer stands on the page."""
        lines = [_NUMBER.sub("482913", line.rstrip()) for line in answer.rstrip("\n").splitlines()]
        return "".join(f"{line}\n" for line in lines[: self.first])


def steps_of(text: str) -> list[Step]:
    """Return the commands of a page in order."""
    return [_step(found) for found in _STEP.finditer(text)]


def _step(found: re.Match[str]) -> Step:
    return Step(found[1].split("   #")[0].rstrip(), found[3], int(found[2]) if found[2] else None)


def played(text: str, answer_of: Callable[[str], str]) -> str:
    """Return the page with the answers that its commands give now."""

    def anew(found: re.Match[str]) -> str:
        step, answer = _step(found), answer_of(_step(found).line)
        if step.shown is None:
            return found[0]
        return f"{found[0].partition('```')[0]}```text{f' {step.first}' if step.first else ''}\n{step.of(answer)}```\n"

    return _STEP.sub(anew, text)


def answers(page: Page, folder: Path, demo: Path | None) -> str:
    """Return the page with the answers that its commands give now, run in that folder.

    What a command says of its answer (cautions, what it took for granted) stands with it, as in a terminal.
    """
    text = (ROOT / page.file).read_text("utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_DEVICE", "shop")
        at_the_terminal(patch, folder, page.now)
        if demo is not None:
            Path("farm.db").write_bytes(demo.read_bytes())
        for file in page.beside:
            Path(Path(file).name).write_bytes((ROOT / file).read_bytes())
        return played(text, lambda line: _answer(page, line))


def _answer(page: Page, line: str) -> str:
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        code = run(words_of(line))
    assert code == 0, f"{page.file}: {line}\n    exit {code}: {said.getvalue()}"
    return said.getvalue()


def main() -> None:
    """Write the answers of every page anew."""
    with tempfile.TemporaryDirectory() as place:
        demo = Path(place) / "demo.db"
        os.environ["WEARLOG_HOME"] = place
        with contextlib.redirect_stdout(io.StringIO()):
            assert run(["import", str(ROOT / "demo_fleet"), "--db", str(demo)]) == 0
        for page in PAGES:
            anew = answers(page, Path(place) / Path(page.file).stem, demo if page.on_the_demo else None)
            (ROOT / page.file).write_text(anew, "utf-8", newline="\n")


if __name__ == "__main__":
    main()
