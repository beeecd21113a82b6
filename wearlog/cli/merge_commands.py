"""pack, merge, settle, twins, join: two laptops' logs made one, and what was entered twice made one."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wearlog.cli.figures import WholeBetween
from wearlog.cli.options import (
    answer,
    by_farms_clock,
    command,
    local_now,
    opened,
    rows_to_change,
    say,
    tell,
    with_by,
    with_db,
    with_json,
)
from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.present.words import capital
from wearlog.progress import stretch

if TYPE_CHECKING:
    from wearlog.exchange.bundles import MergeAhead
    from wearlog.exchange.row_book import RowBook
    from wearlog.exchange.two_cabs import TwoCabs
    from wearlog.facts.fact import Fact
    from wearlog.logbook.open_log import Store


@command("pack", examples=("wearlog pack stick.bundle", 'wearlog pack stick.bundle --since "cab 2"'))
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--since", "since", default="", metavar="DEVICE", help="Only what that device lacked when it last packed."
)
@with_json
@with_db
def pack_command(file: Path, *, since: str, as_json: bool, db: str) -> None:
    """Pack all that this log has into FILE, for 'wearlog merge' on another laptop.

    An older bundle under that name is replaced in one step, once all that is in it is in this log.
    """
    from wearlog.exchange.bundles import pack
    from wearlog.present.words import counted

    with opened(db) as store:
        done = pack(store, file, since=since)
    size = f"{done.size / 1e6:.1f} MB" if done.size >= 100_000 else f"{max(1, round(done.size / 1000))} kB"
    answer(
        [
            f"Packed {counted(done.entries, 'entry', 'entries')} into {done.file} ({size})"
            f"{', in place of an older bundle' if done.replaced else ''}.",
            f"On the other laptop: wearlog merge {done.file.name}",
        ],
        as_json,
        lambda: {
            "file": str(done.file),
            "entries": done.entries,
            "versions": done.versions,
            "bytes": done.size,
            "replaced": done.replaced,
        },
    )


@command("merge", examples=("wearlog merge stick.bundle", "wearlog merge stick.bundle --yes"))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--yes", is_flag=True, help="Take it without asking.")
@with_json
@with_db
def merge_command(file: Path, *, yes: bool, as_json: bool, db: str) -> None:
    """Take in what a bundle of another laptop has and this log lacks: all of it or nothing, told before.

    What both changed is kept in both forms; the later one is shown, and 'wearlog settle' keeps one. Merging a bundle again, or
    an older one, changes nothing.
    """
    from wearlog.exchange.bundle_file import read_bundle
    from wearlog.exchange.bundles import look_at, merge
    from wearlog.exchange.two_cabs import after_lines, ahead_lines

    with stretch():
        bundle = read_bundle(file)
    with opened(db, start=yes or sys.stdin.isatty()) as store:
        if yes:
            with stretch():
                ahead = merge(store, bundle)
            taken = ahead.entries > 0
            if not as_json:
                say(ahead_lines(ahead, store.device))
        else:
            with stretch():
                ahead = look_at(store, bundle)
            if not as_json:
                say(ahead_lines(ahead, store.device))
            taken = ahead.entries > 0 and _agreed(as_json=as_json)
            if taken:
                with stretch():
                    ahead = merge(store, bundle)
        after = _after(store) if taken else None
    if as_json:
        from wearlog.present.json_form import document

        say(document(_json(ahead, after, taken=taken)))
    elif after is not None:
        say(after_lines(after))
    if ahead.entries and not taken and not sys.stdin.isatty():
        raise RefusedError("Nothing was taken.", "Add --yes to take it.")


def _agreed(*, as_json: bool) -> bool:
    if as_json or not sys.stdin.isatty():
        return False
    if click.confirm("Take it in?", default=False, err=True):
        return True
    tell("Nothing was taken.")
    return False


def _after(store: Store) -> TwoCabs:
    from wearlog.exchange.two_cabs import two_cabs

    with stretch():
        return two_cabs(store, by_farms_clock(store, local_now()))


def _json(ahead: MergeAhead, after: TwoCabs | None, *, taken: bool) -> dict[str, Any]:
    from wearlog.present.files.apart_words import apart_json, findings_json
    from wearlog.present.files.twin_words import offers_json

    return {
        "taken": taken,
        "packed_by": ahead.packed_by,
        "packed_at": ahead.packed_at,
        "entries": ahead.entries,
        "from": [{"device": device, "entries": count} for device, count in ahead.by_device],
        "touching": list(ahead.touching),
        "rows": ahead.rows,
        "apart": ahead.apart,
        "clock_ahead_days": None if ahead.ahead is None else ahead.ahead.days,
        "same_name": ahead.same_name,
        "to_settle": [] if after is None else apart_json(after.apart),
        "to_mend": [] if after is None else findings_json(after.findings),
        "twins": [] if after is None else offers_json(after.twins.offers),
    }


@command("settle", examples=("wearlog settle", "wearlog settle --json"))
@click.argument("row", default="", required=False)
@click.option("--keep", "keep", type=WholeBetween(1), default=None, help="Which side of the row is kept.")
@click.option("--as-shown", is_flag=True, help="Keep of every row what is shown.")
@with_json
@with_db
def settle_command(*, row: str, keep: int | None, as_shown: bool, as_json: bool, db: str) -> None:
    """List what two laptops changed apart, or keep one side of it: once, and for all laptops.

    ROW is what the list calls it by; --keep says which side.
    """
    from wearlog.logbook.files.undo import settle
    from wearlog.present.files.apart_words import apart_json, apart_lines, matching_rows
    from wearlog.present.words import capital
    from wearlog.reckoning.files import rows_apart_view

    if bool(row) != (keep is not None) or (row and as_shown):
        raise UsageError("Name a row and the side to keep, or --as-shown for all.", "'wearlog settle' lists the rows.")
    with opened(db) as store:
        with store.reading() as connection:
            view = rows_apart_view(connection)
        if not row and not as_shown:
            lines = apart_lines(view) or ["Nothing is to be settled."]
            answer(lines, as_json, lambda: {"to_settle": apart_json(view)})
            return
        kept = None
        if row and keep is not None:
            found = matching_rows(view, row)
            if len(found) != 1:
                raise NotFoundError(f"'{row}' names {len(found)} rows to be settled.", "'wearlog settle' lists them.")
            kept = {found[0].row_id: keep}
        deed = settle(store, kept)
    answer([f"{capital(deed.said)}."], as_json, lambda: {"entry": deed.id, "said": deed.said})


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
            found = twin_list(rows_to_change(store, local_now()))
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
        book = rows_to_change(store, local_now())
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
    from wearlog.logbook.rows.entering import find_entry, standing

    with store.reading() as connection:
        return standing(find_entry(connection, number).fact, number)


def _name(book: RowBook, fact: Fact) -> str:
    """What both are called, without a number: it names one of them only."""
    from wearlog.exchange.two_cabs import row_called

    return row_called(book, fact).partition("(")[2].rstrip(")")


def _to_mend(store: Store) -> list[str]:
    """What does not go together now that both are one: two readings that fall, two stops at one time."""
    from wearlog.logbook.files.mending import log_findings
    from wearlog.present.files.apart_words import finding_lines

    with store.reading() as connection:
        return finding_lines(log_findings(connection))
