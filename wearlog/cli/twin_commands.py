"""twins, join: the same thing entered twice, offered and made one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.options import answer, command, local_now, with_by, with_db, with_json
from wearlog.errors import UsageError
from wearlog.logbook.doors import Store, by_farms_clock, opened
from wearlog.present.words import capital

if TYPE_CHECKING:
    from wearlog.exchange.row_book import RowBook
    from wearlog.facts.fact import Fact


@command("twins", examples=("wearlog twins", "wearlog twins --json", "wearlog twins --again"))
@click.option("--again", is_flag=True, help="Bring along what other laptops wrote to entries that were joined here.")
@with_by
@with_json
@with_db
def twins_command(*, again: bool, as_json: bool, db: str) -> None:
    """List what looks entered twice: a machine begun on two laptops, a breakage told by two people, runs, deliveries.

    Nothing is joined by itself: 'wearlog join' with the two numbers does it. What people tell of is looked for among entries of
    two laptops; what one laptop entered twice was asked about when it was entered.
    """
    from wearlog.exchange.two_cabs import twin_list
    from wearlog.logbook.twins.joining import join_again
    from wearlog.present.files.twin_words import joined_json, joined_lines, offer_lines, offers_json

    with opened(db) as store:
        if not again:
            found = twin_list(_book(store))
            answer(
                offer_lines(found.offers, found.later),
                as_json,
                lambda: {"twins": offers_json(found.offers), "written_to_again": found.later},
            )
            return
        done = join_again(store)
    said = (
        ["Nothing was written to what was joined."] if done is None else [f"{capital(done.said)}.", *joined_lines(done)]
    )
    answer(said, as_json, lambda: joined_json(done))


@command(
    "join",
    examples=(
        "wearlog twins",
        "wearlog join 482913 591022 --dry-run",
        "wearlog join 482913 591022 --different",
        "wearlog join 482913 591022",
    ),
)
@click.argument("first")
@click.argument("second")
@click.option("--different", is_flag=True, help="They are two things: offer them no more.")
@click.option("--dry-run", "dry_run", is_flag=True, help="Say what it would do, and save nothing.")
@with_by
@with_json
@with_db
def join_command(first: str, second: str, *, different: bool, dry_run: bool, as_json: bool, db: str) -> None:
    """Make one of two entries, by their numbers: all that pointed at either points at the one that was entered first.

    What only the other says is taken over. Meters, components and the parts at their positions are joined along. 'wearlog undo'
    parts them again, each with what it had.
    """
    from wearlog.logbook.twins.joining import join, keep_apart
    from wearlog.present.files.twin_words import joined_json, joined_lines

    if different and dry_run:
        raise UsageError("--different and --dry-run do not go together.", "Leave one of them out.")
    with opened(db) as store:
        book = _book(store)
        one, other = (_row(store, number) for number in (first, second))
        if different:
            from wearlog.exchange.two_cabs import row_called

            deed = keep_apart(store, one, other, f"{row_called(book, one)} and {row_called(book, other)}")
            answer([f"{capital(deed.said)}."], as_json, lambda: {"saved": deed.said, "entry": deed.id})
            return
        done = join(store, one, other, _name(book, one), dry_run=dry_run)
        mending = [] if dry_run else _to_mend(store)
    said = f"Nothing was saved. It would have {done.said}." if dry_run else f"{capital(done.said)}."
    hint = [] if dry_run else ["  'wearlog undo' parts them again."]
    answer([said, *joined_lines(done), *hint, *mending], as_json, lambda: joined_json(done))


def _row(store: Store, number: str) -> Fact:
    from wearlog.logbook.rows.found import find_entry, standing

    with store.reading() as connection:
        return standing(find_entry(connection, number).fact, number)


def _name(book: RowBook, fact: Fact) -> str:
    """What both are called, without a number: it names one of them only."""
    from wearlog.exchange.two_cabs import row_called

    return row_called(book, fact).partition("(")[2].rstrip(")")


def _to_mend(store: Store) -> list[str]:
    """What does not go together now that both are one: two readings that fall, two stops at one time."""
    from wearlog.logbook.files.log_findings import log_findings
    from wearlog.present.files.apart_words import finding_lines

    with store.reading() as connection:
        return finding_lines(log_findings(connection))


def _book(store: Store) -> RowBook:
    from wearlog.exchange.row_list import row_book

    return row_book(store, by_farms_clock(store, local_now()))
