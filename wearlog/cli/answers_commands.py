"""due, cost, faults: what is due, what an acre costs, which electrical faults there are."""

from __future__ import annotations

import click

from wearlog.cli.options import answer, command, local_now, moment, say, with_at, with_db, with_json
from wearlog.errors import NotFoundError
from wearlog.logbook.doors import opened


@command("due", examples=("wearlog due", "wearlog due --all", "wearlog due --done kestrel 'engine oil'"))
@click.option("--all", "show_all", is_flag=True, help="Also what is due later.")
@click.option("--done", "done", nargs=2, metavar="MACHINE SERVICE", help="Note a service as done.")
@with_at
@with_json
@with_db
def due_command(*, show_all: bool, done: tuple[str, str] | None, at: str, as_json: bool, db: str) -> None:
    """Show the services that are overdue or soon due, or note one as done."""
    from wearlog.present.digits import Measures
    from wearlog.present.due_words import due_json, due_lines
    from wearlog.reckoning.due import Standing, services_due
    from wearlog.reckoning.farm import farm_from

    with opened(db) as store:
        if done:
            _note_done(store, *done, at=at)
            return
        with store.reading() as connection:
            farm = farm_from(connection, local_now())
            rows = services_due(connection, farm)
    shown = [row for row in rows if show_all or row.standing is not Standing.LATER]
    names = {machine.id: machine.name for machine in farm.machines}
    measures = Measures(farm.settings)
    lines = due_lines(shown, names, measures) if shown else ["Nothing is due. 'wearlog due --all' shows the rest."]
    answer(lines, as_json, lambda: due_json(shown, names, measures))


def _note_done(store: object, machine: str, service: str, *, at: str) -> None:
    from wearlog.facts.service import ServiceDone
    from wearlog.logbook.names import known_names, machine_named, pick
    from wearlog.logbook.upkeep import do_service
    from wearlog.store.opening import Store

    assert isinstance(store, Store)
    with store.reading() as connection:
        known = known_names(connection)
    found = machine_named(known, machine)
    items = [item for item in known.service_items if item.machine_id == found.id]
    item = pick(items, lambda one: one.name, service, f"service of {found.name}")
    say(f"Saved: {do_service(store, ServiceDone(service_item_id=item.id, at=moment(at))).said}.")


@command("cost", examples=("wearlog cost", "wearlog cost --by season", "wearlog cost --by crop --season 2026 --json"))
@click.option(
    "--by",
    type=click.Choice(["machine", "subsystem", "part", "season", "crop", "field"]),
    default="machine",
    show_default=True,
    help="What to split the costs by.",
)
@click.option("--season", "season", type=int, help="Only this harvest year.")
@with_json
@with_db
def cost_command(*, by: str, season: int | None, as_json: bool, db: str) -> None:
    """Show what an acre costs: parts at the cost of the stock they came from, labour, service, downtime."""
    from wearlog.present.cost_words import cost_json, cost_lines
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs import Split, cost_table
    from wearlog.reckoning.farm import farm_from

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        chosen = next((one for one in farm.seasons if one.harvest_year == season), None)
        if season is not None and chosen is None:
            years = ", ".join(str(one.harvest_year) for one in farm.seasons) or "none yet"
            raise NotFoundError(f"There is no season {season}.", f"There are: {years}.")
        table = cost_table(connection, farm, Split(by), chosen)
    measures = Measures(farm.settings)
    answer(cost_lines(table, measures), as_json, lambda: cost_json(table, measures))


@command("faults", examples=("wearlog faults", "wearlog faults --open", "wearlog faults --json"))
@click.option("--open", "only_open", is_flag=True, help="Only those that are open.")
@with_json
@with_db
def faults_command(*, only_open: bool, as_json: bool, db: str) -> None:
    """List electrical faults, the open ones first, with what was found and how long it has been quiet."""
    from wearlog.present.digits import Measures
    from wearlog.present.fault_words import fault_json, fault_table
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.fault_list import fault_lines

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        rows = [row for row in fault_lines(connection, farm) if row.fault.closed_at is None or not only_open]
    names = {machine.id: machine.name for machine in farm.machines}
    lines = (
        fault_table(rows, names, Measures(farm.settings))
        if rows
        else ["No fault is open." if only_open else "No fault yet."]
    )
    answer(lines, as_json, lambda: fault_json(rows, names))
