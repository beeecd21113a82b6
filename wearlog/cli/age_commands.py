"""age: telling how old parts are that the log knows already, and the reading of rough ages for every command that asks for one."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import UUID

import click

from wearlog.cli.options import command, local_now, opened, say, tell, with_by, with_db
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import MeterKind
    from wearlog.logbook.open_log import Store


@command(
    "age",
    examples=(
        "wearlog age north hold-downs 'about 3 seasons'",
        "wearlog age merlin 'feeder chain' 'since new'",
        "wearlog age north knife '400 ac' --positions 1-40",
        "wearlog age north hold-downs unknown --positions 1-40",
    ),
)
@click.argument("machine")
@click.argument("place")
@click.argument("age")
@click.option(
    "--positions", default="", metavar="POSITIONS", help="Which (usual: those of which nobody knows the age)."
)
@with_by
@with_db
def age_command(machine: str, place: str, age: str, *, positions: str, db: str) -> None:
    """Say how old what is on PLACE is now: a figure, 'about 3 seasons', 'since new', new or unknown.

    A season is what the machine ran a season by the log, else a usual one, and the answer says so.
    """
    from wearlog.facts.positions import parse_positions
    from wearlog.logbook.names import component_at, known_names, machine_named
    from wearlog.logbook.parts.ages import tell_ages
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.wear.age_scale import ages_when_fitted

    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        found = machine_named(known, machine)
        component = component_at(known, found, place)
        meter = next(kind.meter_kind for kind in known.part_kinds if kind.id == component.part_kind_id)
        now = told_age(store, found.id, meter, age)
        with store.reading() as connection:
            chosen = parse_positions(positions) if positions else ()
            ages = ages_when_fitted(connection, farm_from(connection, local_now()), component, chosen, now)
        say(saved_lines(tell_ages(store, component, ages, now)))


def told_age(store: Store, machine_id: UUID, meter: MeterKind, text: str) -> int | None:
    """Read an age; one that is told roughly by what the machine runs, and then say what it is taken for."""
    from wearlog.exchange.told_ages import ToldAges
    from wearlog.logbook.names import known_names
    from wearlog.logbook.said.measures import farm_reader
    from wearlog.logbook.said.rough_ages import is_rough
    from wearlog.present.digits import Measures

    with store.reading() as connection:
        reader = farm_reader(known_names(connection))
        if not is_rough(text):
            return reader.age(meter, text)
    ages = ToldAges(store, local_now(), Measures(reader.settings))
    age = ages.age(text, machine_id, meter)
    for said in ages.said:
        tell(said)
    return age
