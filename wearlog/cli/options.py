"""What the commands share: the options --db and --json, saying what was done, and asking before what is doubtful is saved.

In a terminal a doubt is a question, elsewhere a refusal that says what to add.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

import click

from wearlog.errors import DoubtError, RefusedError, UsageError
from wearlog.facts.plain_text import harmless, plain
from wearlog.machine_clock import machine_now
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from contextlib import AbstractContextManager
    from datetime import datetime

    from wearlog.exchange.row_book import RowBook
    from wearlog.facts.closed_lists import Hazard
    from wearlog.logbook.open_log import Store
    from wearlog.logbook.saving import Done
    from wearlog.present.answer_sheet import AnswerSheet


def opened(location_text: str = "", *, start: bool = False) -> AbstractContextManager[Store]:
    """Open a log for the length of a block, as `wearlog.logbook.open_log.opened` does; errors as there."""
    from wearlog.logbook import open_log

    return open_log.opened(location_text, start=start)


def by_farms_clock(store: Store, now: datetime) -> datetime:
    """Return a moment as the farm's clock shows it; as it is where the farm named no clock."""
    from wearlog.logbook import open_log

    return open_log.by_farms_clock(store, now)


def rows_to_change(store: Store, now: datetime) -> RowBook:
    """Return the rows of the log as hands may change them, in the farm's clock."""
    from wearlog.exchange.row_book import row_book

    return row_book(store, by_farms_clock(store, now))


with_yes = click.option("--yes", is_flag=True, help="Save what is doubtful without asking.")


def asked(save: Callable[[frozenset[str]], Done], *, yes: bool) -> Done | None:
    """Save, and ask about each doubt that comes up.

    Parameters
    ----------
    save : callable
        Takes the doubts that are settled and saves; it raises DoubtError at the first that is not.
    yes : bool
        Whatever may be asked is settled.

    Returns
    -------
    Done or None
        None when the person said no: then nothing is saved.

    Raises
    ------
    DoubtError
        Where nobody can be asked (exit code 4).
    """
    from wearlog.logbook.checks.doubts import EVERY_DOUBT, NO_DOUBT_SETTLED

    settled = EVERY_DOUBT if yes else NO_DOUBT_SETTLED
    while True:
        try:
            return save(settled)
        except DoubtError as doubt:
            if not sys.stdin.isatty():
                raise
            tell(doubt.message)
            if not click.confirm(doubt.question, default=False, err=True):
                tell("Nothing was saved.")
                return None
            settled |= {doubt.doubt}


def agreed(question: str, *, nothing: str, yes_does: str, default: bool) -> bool:
    """Ask a last time before it is done.

    Parameters
    ----------
    nothing : str
        What is said after a no: "Nothing was saved."
    yes_does : str
        What --yes does where nobody can be asked: "save it".

    Raises
    ------
    RefusedError
        Where nobody can be asked (exit code 4).
    """
    if not sys.stdin.isatty():
        raise RefusedError(f"{nothing.removesuffix('.')}, since nobody could be asked.", f"Add --yes to {yes_does}.")
    if click.confirm(question, default=default, err=True):
        return True
    tell(nothing)
    return False


def say_saved(done: Done | None) -> None:
    """Say what was saved and what went along with it; nothing where nothing was."""
    if done is not None:
        say(saved_lines(done))


with_db = click.option(
    "--db", "db", default="", metavar="FILE", help="The log: a file or postgresql://HOST/NAME (else WEARLOG_DB)."
)

with_json = click.option("--json", "as_json", is_flag=True, help="Answer as one JSON document.")

with_save = click.option(
    "--save", "save", default="", metavar="FILE", help="Write the rows into FILE.csv, FILE.xlsx or FILE.html instead."
)

_at = click.option("--at", "at", default="", metavar="TIME", help="When: 16:20, yesterday 16:20, 2026-07-28 16:20.")


def _noted_as_done_by(_context: click.Context, _parameter: click.Parameter, name: str | None) -> None:
    if name is not None:
        from wearlog.facts.plain_text import one_line
        from wearlog.settings import remember_person

        remember_person(one_line(name))


with_by = click.option(
    "--by",
    "by",
    default=None,
    metavar="NAME",
    is_eager=True,
    expose_value=False,
    callback=_noted_as_done_by,
    help="Who did it; remembered on this device until another name is said ('' forgets it).",
)


def with_at(function: Callable[..., Any]) -> Callable[..., Any]:
    """What is entered has a time, and somebody who did it."""
    return _at(with_by(function))


def command(name: str, *, examples: Iterable[str]) -> Callable[[Callable[..., Any]], click.Command]:
    """Make a click command whose help ends with examples."""
    shown = "\n".join(f"  {example}" for example in examples)
    return click.command(
        name, epilog=f"\b\nExamples:\n{shown}", context_settings={"help_option_names": ["-h", "--help"]}
    )


def say(lines: str | Iterable[str]) -> None:
    """Write an answer to stdout."""
    text = lines if isinstance(lines, str) else "\n".join(lines)
    # a cell, a heading or a name of a file may stand in it as it was found
    text = harmless(text)
    # not by click: where the console knows only ASCII it would write something else past the stream that we prepared
    sys.stdout.write(f"{text}\n")


def tell(line: str) -> None:
    """Write a message to stderr."""
    sys.stderr.write(f"{plain(line)}\n")


def piped(most: int = -1) -> str:
    """Return what comes in by a pipe, at most so many characters. UsageError where it is no text in this console's encoding."""
    try:
        return sys.stdin.read(most)
    except UnicodeDecodeError as error:
        raise UsageError(
            f"What comes in by the pipe is no text in {error.encoding}.",
            "Save it as a text file (UTF-8), and name that file.",
        ) from error


def tell_care(hazards: Iterable[Hazard]) -> None:
    """Write the cautions of some work to stderr, before it is told; nothing where it has none."""
    from wearlog.facts.cautions import BOOK_COMES_FIRST, sentences_of

    sentences = sentences_of(hazards)
    for sentence in (*sentences, BOOK_COMES_FIRST) if sentences else ():
        tell(sentence)


def answer(lines: Iterable[str], as_json: bool, content: Callable[[], Mapping[str, Any]]) -> None:  # noqa: FBT001 - the flag of click
    """Write an answer as lines or as JSON."""
    if as_json:
        from wearlog.present.json_form import document

        say(document(content()))
    else:
        say(lines)


def answer_sheet(
    sheet: AnswerSheet[Any],
    *,
    as_json: bool,
    save: str = "",
    lines: Callable[[], Iterable[str]] | None = None,
    content: Callable[[], Mapping[str, Any]] | None = None,
) -> None:
    """Write an answer as its table and sentences, as JSON, or into a file; `lines` and `content` where a command says more."""
    from wearlog.present.sheet_faces import answer_lines, sheet_json

    if save:
        from pathlib import Path

        from wearlog.exchange.sheet_files import save_sheet
        from wearlog.present.words import counted

        file = save_sheet(sheet, Path(save))
        tell(f"Wrote {counted(len(sheet.rows), 'row')} into {file}.")
        return
    said = answer_lines(sheet) if lines is None else lines()
    answer(said, as_json, (lambda: sheet_json(sheet)) if content is None else content)


def only_lists(**given: object) -> None:
    """Refuse the options that a list takes, by their names, beside the words of an entry: they would do nothing there."""
    _refuse(given, "to the list, and this enters something.", "Leave {it} out, or ask for the list alone.")


def only_enters(**given: object) -> None:
    """Refuse the options of an entry where the list is asked for."""
    _refuse(given, "to an entry, and this shows the list.", "Leave {it} out, or write what is to be entered.")


def _refuse(given: Mapping[str, object], where: str, hint: str) -> None:
    named = [f"--{name.replace('_', '-')}" for name, value in given.items() if value]
    if named:
        from wearlog.present.words import listed

        one = len(named) == 1
        raise UsageError(
            f"{listed(named)} {'belongs' if one else 'belong'} {where}", hint.replace("{it}", "it" if one else "them")
        )


def local_now() -> datetime:
    """Return the time on this machine's clock, with its zone."""
    return machine_now()


def moment(text: str, store: Store) -> datetime:
    """Return the instant that --at says by the farm's clock; nothing said means now."""
    from wearlog.logbook.said.measures import read_moment

    return read_moment(text, by_farms_clock(store, local_now()))
