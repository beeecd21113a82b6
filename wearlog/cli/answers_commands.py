"""due: which services are due, and noting one as done."""

from __future__ import annotations

import click

from wearlog.cli.options import answer_sheet, command, local_now, moment, say, with_at, with_db, with_json, with_save
from wearlog.logbook.doors import Store, opened
from wearlog.present.saved_words import saved_lines


@command("due", examples=("wearlog due", "wearlog due --all", "wearlog due --done kestrel 'engine oil'"))
@click.option("--all", "show_all", is_flag=True, help="Also what is due later.")
@click.option("--done", "done", nargs=2, metavar="MACHINE SERVICE", help="Note a service as done.")
@with_at
@with_save
@with_json
@with_db
def due_command(*, show_all: bool, done: tuple[str, str] | None, at: str, as_json: bool, save: str, db: str) -> None:
    """Show the services that are overdue or soon due, or note one as done."""
    from wearlog.present.digits import Measures
    from wearlog.present.service_sheet import service_sheet
    from wearlog.reckoning.due import DueStanding, services_due
    from wearlog.reckoning.farm import farm_from

    with opened(db) as store:
        if done:
            _note_done(store, *done, at=at)
            return
        with store.reading() as connection:
            farm = farm_from(connection, local_now())
            rows = services_due(connection, farm)
    names = {machine.id: machine.name for machine in farm.machines}
    sheet = service_sheet(
        rows, names, Measures(farm.settings), which=lambda row: show_all or row.standing is not DueStanding.LATER
    )
    answer_sheet(sheet, as_json=as_json, save=save)


def _note_done(store: Store, machine: str, service: str, *, at: str) -> None:
    from wearlog.facts.service import ServiceDone
    from wearlog.logbook.names import known_names, machine_named, pick
    from wearlog.logbook.upkeep import do_service

    with store.reading() as connection:
        known = known_names(connection)
    found = machine_named(known, machine)
    items = [item for item in known.service_items if item.machine_id == found.id]
    item = pick(items, lambda one: one.name, service, f"service of {found.name}")
    say(saved_lines(do_service(store, ServiceDone(service_item_id=item.id, at=moment(at, store)))))
