"""pack, merge, settle: two laptops, one log."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wearlog.cli.options import answer, command, local_now, say, tell, with_db, with_json
from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.logbook.doors import by_farms_clock, opened

if TYPE_CHECKING:
    from wearlog.exchange.bundles import MergeAhead
    from wearlog.exchange.two_cabs import TwoCabs
    from wearlog.logbook.doors import Store


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

    bundle = read_bundle(file)
    with opened(db, start=yes or sys.stdin.isatty()) as store:
        if yes:
            ahead = merge(store, bundle)
            taken = ahead.entries > 0
            if not as_json:
                say(ahead_lines(ahead, store.device))
        else:
            ahead = look_at(store, bundle)
            if not as_json:
                say(ahead_lines(ahead, store.device))
            taken = ahead.entries > 0 and _agreed(as_json=as_json)
            if taken:
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
@click.option("--keep", "keep", type=click.IntRange(1), default=None, help="Which side of the row is kept.")
@click.option("--as-shown", is_flag=True, help="Keep of every row what is shown.")
@with_json
@with_db
def settle_command(*, row: str, keep: int | None, as_shown: bool, as_json: bool, db: str) -> None:
    """List what two laptops changed apart, or keep one side of it: once, and for all laptops.

    ROW is what the list calls it by; --keep says which side.
    """
    from wearlog.logbook.files.settling import settle
    from wearlog.present.files.apart_words import apart_json, apart_lines, matching_rows
    from wearlog.present.words import capital
    from wearlog.reckoning.files.rows_apart import rows_apart_view

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
