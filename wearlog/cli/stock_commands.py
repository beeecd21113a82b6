"""stock: parts on hand; receive, use, return and count them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

import click

from wearlog.cli.doors import opened
from wearlog.cli.options import (
    answer_sheet,
    command,
    local_now,
    moment,
    only_enters,
    only_lists,
    say,
    tell,
    with_at,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import StockChange
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.machines import ServiceItem
    from wearlog.facts.parts import Part
    from wearlog.logbook.doors import Store
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
        "wearlog due --done kestrel 'engine oil' --cost 84.50 --labour 40min",
        "wearlog due --halve kestrel 'engine oil'",
        "wearlog due --whole kestrel 'engine oil'",
        "wearlog due --end kestrel 'engine oil'",
        "wearlog due --calendar services.ics",
    ),
)
@click.option("--all", "show_all", is_flag=True, help="Also what is due later.")
@click.option("--done", "done", nargs=2, metavar="MACHINE SERVICE", help="Note a service as done.")
@click.option("--cost", "cost", default="", metavar="AMOUNT", help="Done: what it cost, without parts of your own.")
@click.option("--labour", "labour", default="", metavar="TIME", help="Done: man-time, like 40min.")
@click.option("--part", "parts", multiple=True, metavar="NUMBER[xN]", help="Done: what came off the shelf for it.")
@click.option("--note", "note", default="", help="Done: a note.")
@click.option("--halve", "halve", nargs=2, metavar="MACHINE SERVICE", help="Heavy dust: due after half its interval.")
@click.option("--whole", "whole", nargs=2, metavar="MACHINE SERVICE", help="Due after its whole interval again.")
@click.option("--end", "end", nargs=2, metavar="MACHINE SERVICE", help="Due no more.")
@click.option("--calendar", type=click.Path(path_type=Path), help="Write those that have a day as a calendar (.ics).")
@with_at
@with_save
@with_json
@with_db
def due_command(
    *,
    show_all: bool,
    done: tuple[str, str] | None,
    halve: tuple[str, str] | None,
    whole: tuple[str, str] | None,
    end: tuple[str, str] | None,
    calendar: Path | None,
    at: str,
    as_json: bool,
    save: str,
    db: str,
    **of_done: Any,
) -> None:
    """Show the services that are overdue or soon due, note one as done, or change how often it is due.

    They stand in the order in which they come at the present pace, with the days of cutting until then. A new one is entered with
    'wearlog add service'; any other change with 'wearlog change' and its number.
    """
    from wearlog.logbook.parts.upkeep import end_service, halve_service
    from wearlog.present.digits import Measures
    from wearlog.present.work.service_sheet import service_sheet
    from wearlog.reckoning.farm.whole_farm import farm_from
    from wearlog.reckoning.work.services_due import DueStanding, services_due

    if done or halve or whole or end:
        only_lists(all=show_all, save=save, json=as_json)
    else:
        only_enters(at=at)
    if not done:
        only_enters(**of_done)
    with opened(db) as store:
        if done:
            _note_done(store, *done, at=at, **of_done)
            return
        if halve or whole:
            say(saved_lines(halve_service(store, _service(store, *(halve or whole or ("", ""))), halved=bool(halve))))
            return
        if end:
            say(saved_lines(end_service(store, _service(store, *end), at=moment(at, store))))
            return
        with store.reading() as connection:
            farm = farm_from(connection, local_now())
            rows = services_due(connection, farm)
    names = {machine.id: machine.name for machine in farm.machines}
    if calendar is not None:
        _write_calendar(rows, names, Measures(farm.settings), calendar)
        return
    sheet = service_sheet(
        rows,
        names,
        Measures(farm.settings),
        which=lambda row: show_all or row.standing is not DueStanding.LATER,
        numbered=True,
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


def _note_done(
    store: Store, machine: str, service: str, *, at: str, cost: str, labour: str, parts: tuple[str, ...], note: str
) -> None:
    """Note a service as done; the cautions of its task stand before."""
    from wearlog.facts.cautions import CAUTIONS
    from wearlog.facts.machines import ServiceDone
    from wearlog.logbook.parts.upkeep import do_service
    from wearlog.logbook.said.measures import hours, money

    item = _service(store, machine, service)
    done = ServiceDone(
        service_item_id=item.id,
        at=moment(at, store),
        cost_minor=money(cost) if cost else None,
        labour_seconds=hours(labour) if labour else None,
        note=note,
    )
    used = [off_shelf(store, text) for text in parts]
    if item.hazard is not None:
        for caution in CAUTIONS[item.hazard]:
            tell(caution)
    say(saved_lines(do_service(store, done, used)))


def off_shelf(store: Store, text: str) -> tuple[Part, int]:
    """Read FI-2 or FI-2x3: the part, and how many of it."""
    from wearlog.logbook.names import known_names, pick

    name, times, count = text.rpartition("x")
    number, pieces = (name, int(count)) if times and name and count.isdigit() else (text, 1)
    with store.reading() as connection:
        parts = known_names(connection).parts
    return pick(parts, lambda row: f"{row.number} {row.name}", number, "part"), pieces


def _service(store: Store, machine: str, service: str) -> ServiceItem:
    """Return the service of a machine that is named."""
    from wearlog.logbook.names import known_names, machine_named, pick

    with store.reading() as connection:
        known = known_names(connection)
    found = machine_named(known, machine)
    items = [item for item in known.service_items if item.machine_id == found.id]
    return pick(items, lambda one: one.name, service, f"service of {found.name}")
