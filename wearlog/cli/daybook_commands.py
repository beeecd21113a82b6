"""runs, breakages: what was cut and what broke, latest first; words narrow it down."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import click

from wearlog.cli.options import answer_sheet, command, with_db, with_json, with_save
from wearlog.logbook.doors import opened

if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.files.history import ListQuery

_with_last = click.option(
    "--last", "last", default=20, type=click.IntRange(1, 1_000_000), help="How many, latest first (20)."
)


@command(
    "runs",
    examples=("wearlog runs", "wearlog runs kestrel wheat", "wearlog runs --last 500 --save runs.csv"),
)
@click.argument("words", nargs=-1)
@_with_last
@with_save
@with_json
@with_db
def runs_command(words: tuple[str, ...], *, last: int, as_json: bool, save: str, db: str) -> None:
    """Show the runs, latest first. WORDS, or parts of them: a combine, a field, a crop, a header; each must be found."""
    from wearlog.present.work.daybook_sheet import run_sheet
    from wearlog.reckoning.files.history import run_query

    asked = " ".join(words)
    _show(run_query(None, asked, "when", backwards=True), run_sheet, last, asked, as_json=as_json, save=save, db=db)


@command(
    "breakages",
    examples=("wearlog breakages", "wearlog breakages north section rock", "wearlog breakages --last 500 --json"),
)
@click.argument("words", nargs=-1)
@_with_last
@with_save
@with_json
@with_db
def breakages_command(words: tuple[str, ...], *, last: int, as_json: bool, save: str, db: str) -> None:
    """Show what broke, latest first. WORDS, or parts of them: a machine, a place, a kind, a cause, what was done, a remark."""
    from wearlog.present.work.daybook_sheet import breakage_sheet, short_word
    from wearlog.reckoning.files.history import breakage_query

    asked = " ".join(words)
    query = breakage_query(asked, "when", backwards=True, spoken=short_word)
    _show(query, breakage_sheet, last, asked, as_json=as_json, save=save, db=db)


def _show(
    query: ListQuery,
    sheet_of: Callable[..., AnswerSheet[Any]],
    last: int,
    words: str,
    *,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.present.tables import WIDEST
    from wearlog.reckoning.files.history import latest_rows

    with opened(db) as store:
        rows, count, settings = latest_rows(store, query, last)
    sheet = sheet_of(rows, count, Measures(settings), words=words)

    def lines() -> Sequence[str]:
        return answer_lines(sheet, WIDEST, headed=bool(rows))

    answer_sheet(sheet, as_json=as_json, save=save, lines=lines)
