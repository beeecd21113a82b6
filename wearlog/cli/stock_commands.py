"""stock: parts on hand; receive, use, return and count them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

import click

from wearlog.cli.options import (
    answer_sheet,
    command,
    local_now,
    moment,
    only_enters,
    only_lists,
    say,
    with_at,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import StockChange
from wearlog.logbook.doors import Store, opened
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.present.digits import Measures
    from wearlog.reckoning.work.services_due import ServiceDue

_CHANGES = {
    "receive": StockChange.RECEIVED,
    "use": StockChange.USED,
    "return": StockChange.RETURNED,
    "count": StockChange.COUNTED,
}


@command(
    "stock",
    examples=(
        "wearlog stock",
        "wearlog stock --low",
        "wearlog stock receive KS-3 25 --cost 4.60",
        "wearlog stock count KS-3 18",
    ),
)
@click.argument("doing", required=False, type=click.Choice(list(_CHANGES)))
@click.argument("number", required=False)
@click.argument("quantity", required=False, type=click.IntRange(min=0))
@click.option("--low", is_flag=True, help="Only what is below the number to keep.")
@click.option("--cost", "cost", default="", metavar="AMOUNT", help="What one cost, when received.")
@with_at
@with_save
@with_json
@with_db
def stock_command(
    doing: str | None,
    number: str | None,
    quantity: int | None,
    *,
    low: bool,
    cost: str,
    at: str,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show the parts on the shelf, or enter that some came, went or were counted."""
    from wearlog.facts.parts import StockMove
    from wearlog.logbook.names import known_names, pick
    from wearlog.logbook.parts.stocking import move_stock
    from wearlog.logbook.said.measures import money

    if doing is None:
        only_enters(cost=cost, at=at)
        _show(db, low=low, as_json=as_json, save=save)
        return
    only_lists(low=low, save=save, json=as_json)
    if number is None or quantity is None:
        raise UsageError("Which part, and how many?", f"Write it like: wearlog stock {doing} KS-3 25")
    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        part = pick(known.parts, lambda row: f"{row.number} {row.name}", number, "part")
        done = move_stock(
            store,
            StockMove(
                part_id=part.id,
                at=moment(at, store),
                change=_CHANGES[doing],
                quantity=quantity,
                unit_cost_minor=money(cost) if cost else (part.price_minor if doing == "receive" else None),
            ),
        )
    say(saved_lines(done))


def _show(db: str, *, low: bool, as_json: bool, save: str) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.parts.stock_sheet import stock_sheet
    from wearlog.reckoning.parts.stock import shelf_view

    with opened(db) as store:
        view = shelf_view(store)
    sheet = stock_sheet(view.shelves, view.kind_names, Measures(view.settings), only_low=low)
    answer_sheet(sheet, as_json=as_json, save=save)


@command(
    "due",
    examples=(
        "wearlog due",
        "wearlog due --all",
        "wearlog due --done kestrel 'engine oil'",
        "wearlog due --calendar services.ics",
    ),
)
@click.option("--all", "show_all", is_flag=True, help="Also what is due later.")
@click.option("--done", "done", nargs=2, metavar="MACHINE SERVICE", help="Note a service as done.")
@click.option("--calendar", type=click.Path(path_type=Path), help="Write those that have a day as a calendar (.ics).")
@with_at
@with_save
@with_json
@with_db
def due_command(
    *,
    show_all: bool,
    done: tuple[str, str] | None,
    calendar: Path | None,
    at: str,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show the services that are overdue or soon due, or note one as done."""
    from wearlog.present.digits import Measures
    from wearlog.present.work.service_sheet import service_sheet
    from wearlog.reckoning.farm.whole_farm import farm_from
    from wearlog.reckoning.work.services_due import DueStanding, services_due

    if done:
        only_lists(all=show_all, save=save, json=as_json)
    else:
        only_enters(at=at)
    with opened(db) as store:
        if done:
            _note_done(store, *done, at=at)
            return
        with store.reading() as connection:
            farm = farm_from(connection, local_now())
            rows = services_due(connection, farm)
    names = {machine.id: machine.name for machine in farm.machines}
    if calendar is not None:
        _write_calendar(rows, names, Measures(farm.settings), calendar)
        return
    sheet = service_sheet(
        rows, names, Measures(farm.settings), which=lambda row: show_all or row.standing is not DueStanding.LATER
    )
    answer_sheet(sheet, as_json=as_json, save=save)


def _write_calendar(rows: Sequence[ServiceDue], names: Mapping[UUID, str], measures: Measures, calendar: Path) -> None:
    from wearlog.exchange.service_calendar import write_calendar
    from wearlog.present.words import counted

    written = write_calendar(rows, names, local_now(), measures, calendar)
    say(f"Wrote {counted(written.events, 'service')} into {written.file}.")
    if written.without_day:
        go = "goes" if written.without_day == 1 else "go"
        say(f"{counted(written.without_day, 'service')} {go} by the meter or {go} unnoted, so no day is known.")


def _note_done(store: Store, machine: str, service: str, *, at: str) -> None:
    from wearlog.facts.service import ServiceDone
    from wearlog.logbook.names import known_names, machine_named, pick
    from wearlog.logbook.parts.upkeep import do_service

    with store.reading() as connection:
        known = known_names(connection)
    found = machine_named(known, machine)
    items = [item for item in known.service_items if item.machine_id == found.id]
    item = pick(items, lambda one: one.name, service, f"service of {found.name}")
    say(saved_lines(do_service(store, ServiceDone(service_item_id=item.id, at=moment(at, store)))))
