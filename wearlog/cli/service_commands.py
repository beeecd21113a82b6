"""due: the services that come round, tonight's round of them, and noting one as done, halved or ended."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

import click

from wearlog.cli.options import (
    answer_sheet,
    command,
    local_now,
    moment,
    only_enters,
    only_lists,
    opened,
    say,
    tell,
    tell_care,
    with_at,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import NotFoundError, UsageError
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.machines import ServiceItem
    from wearlog.logbook.open_log import Store
    from wearlog.present.digits import Measures
    from wearlog.reckoning.work.services_due import ServiceDue
    from wearlog.reckoning.work.tonight import EveningRound


@command(
    "due",
    examples=(
        "wearlog due",
        "wearlog due --all",
        "wearlog due --tonight",
        "wearlog due --tonight --tick all",
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
@click.option("--tonight", is_flag=True, help="The round of tonight, for tomorrow's hours; its cautions stand first.")
@click.option("--hours", "hours_text", default="", metavar="TIME", help="Tonight: how long is cut tomorrow.")
@click.option("--tick", "ticks", multiple=True, metavar="all|NUMBER", help="Tonight: done, all of it or one by one.")
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
    tonight: bool,
    hours_text: str,
    ticks: tuple[str, ...],
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

    changes = done or halve or whole or end
    if changes or ticks:
        only_lists(all=show_all, save=save, json=as_json)
    else:
        only_enters(at=at)
    if not done:
        only_enters(**of_done)
    if (hours_text or ticks) and not tonight:
        raise UsageError("--hours and --tick belong to the round of tonight.", "Add --tonight.")
    if tonight and (changes or calendar or show_all):
        raise UsageError("--tonight shows its own list.", "Ask for the one or the other.")
    with opened(db) as store:
        if tonight:
            _tonight(store, hours_text, ticks, at=at, as_json=as_json, save=save)
            return
        if done:
            _note_done(store, *done, at=at, **of_done)
            return
        if halve or whole:
            say(saved_lines(halve_service(store, _service(store, *(halve or whole or ("", ""))), halved=bool(halve))))
            return
        if end:
            say(saved_lines(end_service(store, _service(store, *end), at=moment(at, store))))
            return
        _list(store, calendar, show_all=show_all, as_json=as_json, save=save)


def _list(store: Store, calendar: Path | None, *, show_all: bool, as_json: bool, save: str) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.work.service_sheet import service_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.work.services_due import DueStanding, services_due

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


def _tonight(store: Store, hours_text: str, ticks: tuple[str, ...], *, at: str, as_json: bool, save: str) -> None:
    """Show the round of tonight, its cautions first, or note what of it was done."""
    from wearlog.facts.cautions import BOOK_COMES_FIRST, acts_of, hazards_of_service, sentences_of
    from wearlog.logbook.parts.upkeep import do_services
    from wearlog.logbook.said.measures import hours
    from wearlog.present.digits import Measures
    from wearlog.present.sheet_faces import said_and_listed
    from wearlog.present.tables import folded
    from wearlog.present.work.tonight_sheet import tonight_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.work.tonight import tonight

    day = hours(hours_text) if hours_text else None
    with store.reading() as connection:
        farm = farm_from(connection, local_now())
        found = tonight(connection, farm, day)
    if ticks:
        items = _ticked(found, ticks)
        hazards = dict.fromkeys(one for item in items for one in hazards_of_service(item.hazard, item.name))
        if hazards:
            # the round told them in full
            tell(f"CARE {', '.join(acts_of(hazards))}. All of it: wearlog due --tonight")
        say(saved_lines(do_services(store, items, moment(at, store))))
        return
    sheet = tonight_sheet(found, Measures(farm.settings))
    cautions = [f"- {line}" for line in (*sentences_of(found.hazards), BOOK_COMES_FIRST)] if found.hazards else []
    before = ["Before you touch it:", *folded(cautions), ""] if cautions else []
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: [*before, *said_and_listed(sheet)])


def _ticked(found: EveningRound, ticks: tuple[str, ...]) -> list[ServiceItem]:
    """Return the services of the round that are named: all, or by their numbers."""
    from wearlog.ids import short_number

    items = {short_number(one.due.item.id): one.due.item for one in found.lines}
    if "all" in ticks:
        return list(items.values())
    named = [number for text in ticks for number in text.replace(",", " ").split()]
    for number in named:
        if number not in items:
            raise NotFoundError(
                f"{number} is not in tonight's round.",
                "'wearlog due --tonight' shows its numbers; --done notes any service.",
            )
    return [items[number] for number in dict.fromkeys(named)]


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
    from wearlog.cli.stock_commands import off_shelf
    from wearlog.facts.cautions import hazards_of_service
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
    tell_care(hazards_of_service(item.hazard, item.name))
    say(saved_lines(do_service(store, done, used)))


def _service(store: Store, machine: str, service: str) -> ServiceItem:
    """Return the service of a machine that is named."""
    from wearlog.logbook.names import known_names, machine_named, pick

    with store.reading() as connection:
        known = known_names(connection)
    found = machine_named(known, machine)
    items = [item for item in known.service_items if item.machine_id == found.id]
    return pick(items, lambda one: one.name, service, f"service of {found.name}")
