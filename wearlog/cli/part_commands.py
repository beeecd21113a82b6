"""move, take-off: parts that go from one machine to another, or come off without others going on."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING, Final

import click

from wearlog.cli.options import answer, command, moment, opened, tell, with_at, with_db, with_json
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Removal
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.parts import PartKind
    from wearlog.facts.wearing import Component
    from wearlog.logbook.names import KnownNames
    from wearlog.logbook.open_log import Connection
    from wearlog.present.digits import Measures

_SHAPE = "wearlog move MACHINE PLACE [POSITIONS] to MACHINE [PLACE] [POSITIONS]"
_POSITIONS: Final = re.compile(r"[\d\s,;–-]+")


@command(
    "move",
    examples=(
        "wearlog move north knife 41-43 to south --replace",
        "wearlog move north knife 1-20 to north knife 141-160 --replace",
        "wearlog move north knife to south knife --replace",
        "wearlog move kestrel 'feeder chain' to merlin --replace --at 'yesterday 16:00'",
    ),
)
@click.argument("words", nargs=-1, required=True, metavar="MACHINE PLACE [POSITIONS] to MACHINE [PLACE] [POSITIONS]")
@click.option("--replace", "take_off", is_flag=True, help="What sits there comes off, planned; else nothing is moved.")
@with_at
@with_json
@with_db
def move_command(words: tuple[str, ...], *, take_off: bool, at: str, as_json: bool, db: str) -> None:
    """Move parts to another machine or other positions: their age goes along.

    Without POSITIONS all that sit there move; without PLACE they go to the place of the same kind, same positions. Enter what
    the meters show first: a moved part keeps the age that the log knows on the day of the move.
    """
    from wearlog.logbook.names import known_names
    from wearlog.logbook.parts.moving import Move, move_parts, parts_to_move
    from wearlog.present.digits import Measures
    from wearlog.present.wear.wear_json import JSON_UNIT

    origin_words, target_words = _two_sides(words)
    with opened(db) as store:
        when = moment(at, store)
        with store.reading() as connection:
            known = known_names(connection)
            origin, positions = _place(known, origin_words)
            target, target_positions = _target(known, origin, target_words)
            move = Move(origin, target, when, positions, target_positions, take_off)
            moving = parts_to_move(connection, move)
            kind = _tell_care(known, origin)
            ages = _ages_at(connection, origin, [one.position for one in moving.fittings], when)
        done = move_parts(store, move, ages)
    measures = Measures(known.farm)
    answer(
        [
            *saved_lines(done),
            *_age_lines(ages, kind, measures),
            "  'wearlog undo' takes it back.",
        ],
        as_json,
        lambda: {
            "saved": done.said,
            "entry": done.deed.id,
            "moved": len(ages),
            "unit": JSON_UNIT[measures.usage_unit(kind.meter_kind)],
            "ages": [None if age is None else round(measures.usage_number(kind.meter_kind, age), 3) for age in ages],
            "also": list(done.also),
        },
    )


def _age_lines(ages: list[int | None], kind: PartKind, measures: Measures) -> list[str]:
    known = sorted(age for age in ages if age is not None)
    lines = []
    if known:
        ends = [measures.usage(kind.meter_kind, age, 1) for age in (known[0], known[-1])]
        lines.append(f"  Age that goes along: {' to '.join(dict.fromkeys(ends))}.")
    if len(known) < len(ages):
        lines.append(f"  {'Its age' if len(ages) == 1 else 'The age of some'} was not known and stays unknown.")
    return lines


def _two_sides(words: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    places = [place for place, one in enumerate(words) if one.casefold() == "to"]
    if len(places) != 1:
        raise UsageError("From where to where?", f"Write it like: {_SHAPE}")
    return words[: places[0]], words[places[0] + 1 :]


def _place(known: KnownNames, words: tuple[str, ...]) -> tuple[Component, tuple[int, ...]]:
    from wearlog.facts.positions import parse_positions
    from wearlog.logbook.names import machine_named
    from wearlog.logbook.parts.measuring import component_named

    if not 2 <= len(words) <= 3:
        raise UsageError("Which machine and which part?", f"Write it like: {_SHAPE}; several words in quotes.")
    component = component_named(known, machine_named(known, words[0]), words[1])
    return component, parse_positions(words[2]) if len(words) == 3 else ()


def _target(known: KnownNames, origin: Component, words: tuple[str, ...]) -> tuple[Component, tuple[int, ...]]:
    """Return where the parts go; without a place, the one place of the same kind there."""
    from wearlog.errors import NotFoundError
    from wearlog.facts.positions import parse_positions
    from wearlog.logbook.names import machine_named

    if not words:
        raise UsageError("Where do they go?", f"Write it like: {_SHAPE}")
    if len(words) > 1 and not _POSITIONS.fullmatch(words[1]):
        return _place(known, words)
    machine = machine_named(known, words[0])
    same = [one for one in known.components if one.machine_id == machine.id and one.part_kind_id == origin.part_kind_id]
    alike = [one for one in same if one.place.casefold() == origin.place.casefold()] or same
    if len(words) > 2:
        raise UsageError("Behind the machine stands a place, then positions.", f"Write it like: {_SHAPE}")
    if not alike:
        kind = next(one for one in known.part_kinds if one.id == origin.part_kind_id)
        raise NotFoundError(
            f"There is no place for a {kind.name} on {machine.name}.",
            f"'wearlog add component' enters one: --on {machine.name} --kind '{kind.name}'; then take off what it is said to hold.",
        )
    if len(alike) > 1:
        names = ", ".join(f"'{one.place}'" for one in alike)
        raise UsageError(f"Which place on {machine.name}?", f"Write one of {names} behind it.")
    return alike[0], parse_positions(words[1]) if len(words) == 2 else ()


def _tell_care(known: KnownNames, component: Component) -> PartKind:
    """Say the cautions of the parts there, and return their kind."""
    from wearlog.present.parts.measurement_words import care_of

    kind = next(one for one in known.part_kinds if one.id == component.part_kind_id)
    for caution in care_of(kind):
        tell(caution)
    return kind


def _ages_at(connection: Connection, component: Component, positions: list[int], at: datetime) -> list[int | None]:
    """Return what the part at each position had run at that time on its kind's meter; None where nobody knows."""
    import math

    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.parts.fitted_now import fitting_ages

    farm = farm_from(connection, at)
    rows, now = farm.histories.fittings, farm.now_microseconds
    ages = fitting_ages(farm.histories, farm.lines, now)
    number = next(place for place, one in enumerate(farm.components) if one.id == component.id)
    here = (rows.component == number) & (rows.fitted_at <= now) & (now < rows.removed_at)
    found = dict(zip(rows.position[here].tolist(), ages.exit[here].tolist(), strict=True))
    return [None if math.isnan(found[position]) else round(found[position]) for position in positions]


@command(
    "take-off",
    examples=(
        "wearlog take-off north knife 41-43",
        "wearlog take-off kestrel 'feeder chain' --scrapped --at 'yesterday 16:00'",
    ),
)
@click.argument("machine")
@click.argument("place")
@click.argument("positions", required=False, default="")
@click.option("--scrapped", is_flag=True, help="It goes to the scrap heap, not worn out; else it came off as planned.")
@with_at
@with_db
def take_off_command(machine: str, place: str, positions: str, *, scrapped: bool, at: str, db: str) -> None:
    """Take parts off without putting others on: all of PLACE, or those named.

    Their life ends whole. What broke is logged with 'wearlog log'; what goes elsewhere, with 'wearlog move'.
    """
    from wearlog.cli.options import say
    from wearlog.logbook.names import known_names
    from wearlog.logbook.parts.fitting import take_off

    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        component, chosen = _place(known, (machine, place, *([positions] if positions else [])))
        removal = Removal.SCRAPPED if scrapped else Removal.PLANNED
        done = take_off(store, component, chosen, at=moment(at, store), removal=removal)
        # what cannot be was refused before the cautions, or it would be lost among them
        _tell_care(known, component)
    say([*saved_lines(done), "  'wearlog undo' takes it back."])
