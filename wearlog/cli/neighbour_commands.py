"""neighbours: lives without names that farms pass round in one file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wearlog.cli.options import (
    agreed,
    answer_sheet,
    command,
    local_now,
    opened,
    say,
    say_saved,
    tell,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import UsageError

if TYPE_CHECKING:
    from wearlog.logbook.open_log import Store
    from wearlog.present.answer_sheet import AnswerSheet


@command(
    "neighbours",
    examples=(
        "wearlog neighbours",
        "wearlog neighbours --write lives.csv",
        "wearlog neighbours --write sums.csv --sums",
        "wearlog neighbours --read lives.csv",
    ),
)
@click.option(
    "--write",
    "written",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write this farm's lives into FILE.csv; what other farms wrote there stays. It is shown first.",
)
@click.option("--sums", "only_sums", is_flag=True, help="With --write: only sums, no single life.")
@click.option(
    "--read",
    "read",
    multiple=True,
    metavar="FILE",
    help="Read what other farms wrote; once for each file, or postgresql://HOST/NAME with a table neighbour_life.",
)
@click.option("--again", is_flag=True, help="Learn the guesses anew from what was read.")
@click.option("--forget", is_flag=True, help="Take back all that was read of other farms.")
@click.option(
    "--new-number", "new_number", is_flag=True, help="Throw this farm's number away; the next file has another."
)
@click.option("--yes", is_flag=True, help="Write without asking.")
@with_save
@with_json
@with_db
def neighbours_command(
    *,
    written: Path | None,
    only_sums: bool,
    read: tuple[str, ...],
    again: bool,
    forget: bool,
    new_number: bool,
    yes: bool,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show how long parts last on the farms whose files were read; write a file for them, read theirs, forget them.

    A file holds ages of parts by kind and ground, under a random number of the farm: no name, date, field, price or machine.
    """
    if sum((written is not None, bool(read), again, forget, new_number)) > 1:
        raise UsageError("Those are several things at once.", "Do one after the other.")
    if only_sums and written is None:
        raise UsageError("--sums goes with --write FILE.", "For example: wearlog neighbours --write sums.csv --sums")
    with opened(db) as store:
        if written is not None:
            _write(store, written, only_sums=only_sums, yes=yes, as_json=as_json, save=save)
        elif read or again:
            _read(store, read)
        elif forget or new_number:
            from wearlog.logbook.farm.neighbouring import forget_neighbours, throw_number_away

            say_saved((forget_neighbours if forget else throw_number_away)(store))
        else:
            _show(store, as_json=as_json, save=save)


def _told(sheet: AnswerSheet[Any], *, as_json: bool, save: str) -> None:
    from wearlog.present.sheet_faces import answer_lines

    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: answer_lines(sheet, headed=bool(sheet.rows)))


def _show(store: Store, *, as_json: bool, save: str) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.wear.neighbour_sheet import pool_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.wear.neighbours import pools_of

    with store.reading() as connection:
        farm = farm_from(connection, local_now())
        pools = pools_of(connection, farm)
    _told(pool_sheet(pools, Measures(farm.settings)), as_json=as_json, save=save)


def _write(store: Store, path: Path, *, only_sums: bool, yes: bool, as_json: bool, save: str) -> None:
    from wearlog.exchange.neighbour_desk import write_own_lives
    from wearlog.present.digits import Measures
    from wearlog.present.wear.neighbour_sheet import share_sheet
    from wearlog.reckoning.farm import read_farm
    from wearlog.reckoning.wear.neighbours import lives_to_share

    farm = read_farm(store, local_now())
    found = lives_to_share(farm)
    _told(share_sheet(found, Measures(farm.settings), only_sums=only_sums), as_json=as_json, save=save)
    if not found.shared:
        return
    if yes or agreed(f"Write this into {path}?", nothing="Nothing was written.", yes_does="write it", default=True):
        done = write_own_lives(store, path, found, only_sums=only_sums)
        for line in done.lines:
            tell(line)


def _read(store: Store, places: tuple[str, ...]) -> None:
    from wearlog.exchange.neighbour_desk import read_into_log

    servers = [one for one in places if one.startswith("postgresql://")]
    if servers and len(places) > 1:
        raise UsageError("A server is read by itself.", "Read it first, then the files.")
    paths = [] if servers else [Path(one) for one in places]
    found = read_into_log(store, paths, local_now(), server=servers[0] if servers else "")
    say(found.lines)
    say_saved(found.done)
