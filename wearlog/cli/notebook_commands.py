"""notebook: a sheet as the farm keeps it, understood by what stands in it, and brought into the log."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wearlog.cli.options import answer, by_farms_clock, command, local_now, opened, tell, with_db, with_json
from wearlog.errors import UsageError
from wearlog.progress import step, stretch

if TYPE_CHECKING:
    from datetime import datetime

    from wearlog.logbook.lines.notebook_desk import NotebookDesk
    from wearlog.logbook.lines.notebook_saving import NotebookBrought
    from wearlog.logbook.lines.open_notebook import OpenBook
    from wearlog.logbook.notebook.holds import Holds
    from wearlog.logbook.notebook.understanding import NotebookWords
    from wearlog.logbook.open_log import Store

_PARTS = "parts"


@command(
    "notebook",
    examples=(
        "wearlog notebook book.csv --dry-run",
        "wearlog notebook book.csv --dry-run --column 'Why=cause' --word 'sickle=knife section'",
        "wearlog notebook book.csv --answers open.csv --yes",
    ),
)
@click.argument("path", type=click.Path(path_type=Path))
@click.option(
    "--column", "columns", multiple=True, metavar="HEADING=WHAT", help="What a column holds; a letter names it too."
)
@click.option("--word", "words", multiple=True, metavar="WORD=MEANS", help="What a word of the notebook means.")
@click.option(
    "--days",
    "days",
    type=click.Choice(["day", "month"]),
    help="What stands first in 7/8, where the file does not show it",
)
@click.option(
    "--make",
    "make",
    multiple=True,
    metavar="NAME=SORT|parts",
    help="Make what it names: East='header 35 ft', North='field 160 ac stony', Canola=crop; parts.",
)
@click.option(
    "--answers",
    "answers",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Questions and answers as a CSV file.",
)
@click.option("--dry-run", "dry_run", is_flag=True, help="Say what was understood, and save nothing.")
@click.option("--yes", is_flag=True, help="Save what is sure without asking, and leave the rest.")
@with_json
@with_db
def notebook_command(
    path: Path,
    *,
    columns: tuple[str, ...],
    words: tuple[str, ...],
    days: str | None,
    make: tuple[str, ...],
    answers: Path | None,
    dry_run: bool,
    yes: bool,
    as_json: bool,
    db: str,
) -> None:
    """Bring in a notebook: a workbook or a CSV file with columns of any name.

    It tells what each column is taken for, what the rows say, and which rows have to be asked about. In a terminal, without these
    options, it asks: which column is wrong, what is to be made, what doubtful rows mean. What is sure is saved as one entry; the
    rest is left until it is answered (--answers). A row brought in once is not brought in again.
    """
    from wearlog.present.notebook_words import notebook_json, notebook_lines, notebook_told

    said = _said(columns, words, days)
    asks = sys.stdin.isatty() and not (columns or words or days or make or answers or dry_run or yes)
    with opened(db) as store:
        now = by_farms_clock(store, local_now())
        book = _book(store, path, now, said, make, answers)
        if asks:
            from wearlog.cli.notebook_talk import talk_over

            book = talk_over(store, book, now)
        desk = book.desk
        if answers is not None:
            _write_open(desk, answers)
        if asks:
            shown = [notebook_told(desk.notebook, desk.states.known)]
        else:
            shown = notebook_lines(desk.notebook, desk.states.known, desk.offers)
        if dry_run:
            answer(
                shown, as_json, lambda: notebook_json(desk.notebook, path.name, desk.states.known, None, desk.offers)
            )
            return
        tell("\n".join(shown))
        brought = _bring_in(store, desk, now, may_make=_PARTS in make, yes=yes)
    answer(
        _told(desk, brought),
        as_json,
        lambda: notebook_json(desk.notebook, path.name, desk.states.known, brought, desk.offers),
    )


def _said(columns: tuple[str, ...], words: tuple[str, ...], days: str | None) -> NotebookWords:
    from wearlog.logbook.notebook.understanding import NotebookWords

    return NotebookWords(
        columns=_columns_said(columns),
        words=_pairs(words, "--word 'sickle=knife section'"),
        order=f"{days}_first" if days else "",
    )


def _book(
    store: Store, path: Path, now: datetime, said: NotebookWords, make: tuple[str, ...], answers: Path | None
) -> OpenBook:
    from wearlog.exchange.notebook_files import read_answers, read_notebook
    from wearlog.logbook.lines.notebook_desk import kept_words, lay_out, with_said
    from wearlog.logbook.lines.notebook_made import facts_to_make
    from wearlog.logbook.lines.open_notebook import OpenBook

    new = tuple(fact for one in make if one != _PARTS for fact in facts_to_make(one))
    given = read_answers(answers) if answers is not None and answers.exists() else []
    words = with_said(kept_words(store, path.name), said)
    sheets = read_notebook(path)
    with stretch():
        desk = lay_out(store, sheets, path.name, now, words, new=new, answers=given, step=step)
    return OpenBook(path, sheets, desk, words, tuple(given), new)


def _write_open(desk: NotebookDesk, path: Path) -> None:
    """Write the questions that are open beside the answers that were given."""
    from wearlog.exchange.notebook_files import read_answers, write_answers
    from wearlog.logbook.lines.notebook_answers import asked_lines

    before = [one for one in (read_answers(path) if path.exists() else []) if one.answer.strip()]
    still = asked_lines(desk.asked)
    write_answers(path, [*before, *still])
    tell(f"{len(still)} questions stand in {path}: write into its last column, and name it again.")


def _bring_in(store: Store, desk: NotebookDesk, now: datetime, *, may_make: bool, yes: bool) -> NotebookBrought | None:
    from wearlog.cli.options import agreed
    from wearlog.logbook.lines.notebook_desk import take_in

    if not desk.sure:
        return None
    ready = len(desk.sure) - desk.waiting(may_make=may_make)
    left = len(desk.sure) - ready
    wait = f"{left} of them wait{'s' if left == 1 else ''} for what is not there. " if left else ""
    question = f"{wait}Save {ready} rows as one entry?"
    # where none is ready nothing is saved, and it is told why
    if ready and not yes and not agreed(question, nothing="Nothing was saved.", yes_does="save them", default=True):
        return None
    return take_in(store, desk, now, may_make=may_make)


def _told(desk: NotebookDesk, brought: NotebookBrought | None) -> list[str]:
    from wearlog.present.notebook_words import brought_told

    said = brought_told(brought, desk.new_rows)
    reasons = [why for _, why in brought.left] if brought is not None else []
    if any("log has no" in why or "has no service" in why or "parts list has no" in why for why in reasons):
        said.append("  --make parts makes parts of machines, articles and services that are not there.")
    return said


def _pairs(given: tuple[str, ...], option: str) -> dict[str, str]:
    pairs = {}
    for one in given:
        name, sign, meant = one.partition("=")
        if not sign or not name.strip() or not meant.strip():
            raise UsageError(f"'{one}' is not read.", f"Write it like {option}.")
        pairs[name.strip().casefold()] = meant.strip()
    return pairs


def _columns_said(given: tuple[str, ...]) -> dict[str, Holds]:
    from wearlog.logbook.notebook.holds import Holds, holds_called

    found = {}
    for name, word in _pairs(given, "--column 'Qty=count'").items():
        holds = holds_called(word)
        if holds is None:
            raise UsageError(f"No column holds '{word}'.", f"A column holds {', '.join(one.value for one in Holds)}.")
        found[name] = holds
    return found
