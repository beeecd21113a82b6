"""Checks from which the rules of single rows are built: spans, positions, kinds of machine, areas, instants, numbers.

The bounds are wide: they catch a slip of the finger or of the unit, not an unusual farm. All are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields
from datetime import datetime, timedelta, tzinfo
from functools import cache
from typing import Any, Final, TypeAlias
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings, Measures
from wearlog.facts.machines import Machine, Meter
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import component_name, format_positions, place_said
from wearlog.facts.wearing import Component, Repair
from wearlog.logbook.names import KnownNames
from wearlog.logbook.said.measures import FarmSpeaker

#: a cell of a workbook holds 32 767 characters (ECMA-376): what is entered must come back through any sheet
LONGEST_TEXT: Final = 32_000


@dataclass(frozen=True, slots=True)
class Unsound:
    """Why a fact cannot be believed: `field` is the field of the fact, `message` a sentence, `hint` what to do."""

    fact_id: UUID
    field: str
    message: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Around:
    """The rows that a fact may point at, by id, and how the farm writes measures and instants.

    `time_zone` where the clock is another than the farm's, as in a file that names its own.
    """

    machines: dict[UUID, Machine]
    meters: dict[UUID, Meter]
    part_kinds: dict[UUID, PartKind]
    components: dict[UUID, Component]
    repairs: dict[UUID, Repair]
    speak: FarmSpeaker
    now: datetime | None = None
    time_zone: tzinfo | None = None

    def written(self, instant: datetime) -> str:
        """Return the instant as the clock shows it."""
        try:
            shown = instant.astimezone(self.time_zone or self.speak.zone)
        except OverflowError:
            # at the first and the last moment that there is no other clock shows anything
            shown = instant
        return f"{shown:%Y-%m-%d %H:%M}"

    def place(self, component_id: UUID) -> str:
        """Return the component's place and machine as a person names it."""
        component = self.components.get(component_id)
        if component is None:
            return "the component"
        machine, kind = self.machines.get(component.machine_id), self.part_kinds.get(component.part_kind_id)
        name = component_name(component.place, kind.name) if kind else component.place
        return f"'{place_said(machine.name if machine else '', name)}'"


def around(
    facts: Iterable[Fact], known: KnownNames, farm: FarmSettings, *, now: datetime | None, time_zone: tzinfo | None
) -> Around:
    """Gather what may be pointed at: the facts themselves go before what was known under the same id."""
    found: dict[type[Fact], dict[UUID, Fact]] = {kind: {} for kind in (Machine, Meter, PartKind, Component, Repair)}
    for row in (*known.machines, *known.meters, *known.part_kinds, *known.components, *facts):
        if type(row) in found:
            found[type(row)][row.id] = row
    return Around(
        machines=found[Machine],  # type: ignore[arg-type]
        meters=found[Meter],  # type: ignore[arg-type]
        part_kinds=found[PartKind],  # type: ignore[arg-type]
        components=found[Component],  # type: ignore[arg-type]
        repairs=found[Repair],  # type: ignore[arg-type]
        speak=FarmSpeaker(farm),
        now=now,
        time_zone=time_zone,
    )


HECTARE: Final = 10_000
HOUR: Final = 3_600
METRE: Final = 1_000_000
FARTHEST_AHEAD: Final = timedelta(days=1)
EARLIEST_YEAR: Final = 1950
LATEST_YEAR: Final = 2200
LARGEST_AREA: Final = 1_000_000 * HECTARE
LONGEST_USAGE: Final = 200_000 * HOUR
#: whole numbers beyond this do not fit the file
LARGEST_NUMBER: Final = 2**63 - 1

Rule: TypeAlias = Callable[[Any, Around], Iterator[Unsound]]


def _fields_of(fact: Fact) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    kind: Any = type(fact)
    return fields_of_type(kind)


@cache
def fields_of_type(kind: Any) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Return the names of the whole numbers, of the instants and of the texts of a type of fact; each type is looked at once."""
    given = fields(kind)
    return (
        tuple(field.name for field in given if field.type in ("int", "int | None")),
        tuple(field.name for field in given if field.type in ("datetime", "datetime | None")),
        tuple(field.name for field in given if field.type in ("str", "str | None")),
    )


def without_zone(fact: Fact) -> Iterator[Unsound]:
    """An instant says its time zone; one that does not can be compared with nothing."""
    for name in _fields_of(fact)[1]:
        value = getattr(fact, name)
        if value is not None and value.tzinfo is None:
            yield Unsound(fact.id, name, "The time says nothing about its time zone.", "Give it one.")


def long_texts(fact: Fact) -> Iterator[Unsound]:
    """No text is longer than a cell of a sheet can bring back."""
    for name in _fields_of(fact)[2]:
        value = getattr(fact, name)
        if value is not None and len(value) > LONGEST_TEXT:
            message = f"The {plain_name(name)} is {len(value):,} characters long; {LONGEST_TEXT:,} can be kept."
            yield Unsound(fact.id, name, message, "Shorten it, or keep it in a file of its own.")


def numbers_and_instants(fact: Fact, around: Around) -> Iterator[Unsound]:
    """No whole number is below 0 or too large to store; no instant is ancient or still to come."""
    numbers, instants, _ = _fields_of(fact)
    for name in numbers:
        value = getattr(fact, name)
        if value is not None and not 0 <= value <= LARGEST_NUMBER:
            what = "is below 0" if value < 0 else "is too large"
            yield Unsound(fact.id, name, f"The {plain_name(name)} {what}.", "Write it again.")
    for name in instants:
        value = getattr(fact, name)
        if value is None:
            continue
        if value.year < EARLIEST_YEAR:
            yield Unsound(fact.id, name, f"The year {value.year} is before {EARLIEST_YEAR}.", "Look at the year.")
        elif around.now is not None and value > around.now + FARTHEST_AHEAD:
            yield Unsound(fact.id, name, f"{around.written(value)} is still to come.", "Look at the year and month.")


_UNIT_ENDINGS = (
    "_grams_per_hectare",
    "_square_metres",
    "_micrometres",
    "_seconds",
    "_minor",
    "_usage",
    "_grams",
    "_milliamperes",
    "_hundredths",
)


def plain_name(name: str) -> str:
    for ending in _UNIT_ENDINGS:
        name = name.removesuffix(ending)
    return name.replace("_", " ")


def named(fact: Any, field: str, what: str) -> Iterator[Unsound]:
    """`what` ("A machine") needs a word in this field."""
    if not getattr(fact, field).strip():
        yield Unsound(fact.id, field, f"{what} needs a {field}.", "Write what people call it.")


def span(fact: Any, first: str, last: str, around: Around, *, may_be_empty: bool = True) -> Iterator[Unsound]:
    """The interval [first, last) does not run backwards; an end that is None is still to come."""
    start, end = getattr(fact, first), getattr(fact, last)
    if end is None or end > start or (end == start and may_be_empty):
        return
    if isinstance(start, datetime):
        start, end = around.written(start), around.written(end)
    yield Unsound(fact.id, last, f"The end, {end}, is not after the start, {start}.", "Change one of the two.")


def is_kind(fact: Any, field: str, wanted: MachineKind, around: Around) -> Iterator[Unsound]:
    """The machine that the field names, if it is known here, is of this kind."""
    machine = around.machines.get(getattr(fact, field))
    if machine is not None and machine.kind is not wanted:
        yield Unsound(
            fact.id, field, f"'{machine.name}' is a {machine.kind}, not a {wanted}.", f"Name a {wanted} here."
        )


def combine_and_header(fact: Any, around: Around) -> Iterator[Unsound]:
    yield from is_kind(fact, "combine_id", MachineKind.COMBINE, around)
    yield from is_kind(fact, "header_id", MachineKind.HEADER, around)


def within(fact: Any, field: str, positions: tuple[int, ...], around: Around) -> Iterator[Unsound]:
    """There is a position, and each lies on the fact's component."""
    component = around.components.get(fact.component_id)
    if not positions:
        yield Unsound(fact.id, field, "No position is given.", "Write positions like 41 or 41-43, 50.")
        return
    beyond = [p for p in positions if p < 1 or (component is not None and p > component.positions)]
    if beyond and component is None:
        yield Unsound(
            fact.id, field, f"Position {format_positions(beyond)} cannot be.", "They count from 1 at the left."
        )
    elif beyond and component is not None:
        many = "1 position" if component.positions == 1 else f"{component.positions} positions"
        which = f"{'Position' if len(beyond) == 1 else 'Positions'} {format_positions(beyond)}"
        yield Unsound(
            fact.id,
            field,
            f"{which} cannot be: {around.place(component.id)} has {many}.",
            "Correct the position, or the number of positions of the component.",
        )


def area(fact: Any, around: Around, field: str = "area_square_metres") -> Iterator[Unsound]:
    """The area is more than nothing and less than a county."""
    area = getattr(fact, field)
    if area == 0:
        yield Unsound(fact.id, field, "The area is 0.", "Write the area, or leave the row out.")
    elif area > LARGEST_AREA:
        said = around.speak.area(area, 0)
        yield Unsound(fact.id, field, f"The area of {said} is too large to be true.", "Look at the unit.")


def usage(fact: Any, field: str, meter: MeterKind | None, around: Around) -> Iterator[Unsound]:
    """What a meter counts up to stays within what a machine lives through."""
    count = getattr(fact, field)
    if count is None or meter is None:
        return
    if count > (LARGEST_AREA if meter is MeterKind.AREA else LONGEST_USAGE):
        said = Measures(around.speak.settings).usage(meter, count)
        yield Unsound(fact.id, field, f"{said} is too large to be true.", "Look at the unit.")


def low_and_high(fact: Any, low: str, high: str, what: str) -> Iterator[Unsound]:
    """A guess has both ends, above 0, the low one lower."""
    least, most = getattr(fact, low), getattr(fact, high)
    if least is None and most is None:
        return
    if least is None or most is None:
        missing = low if least is None else high
        yield Unsound(fact.id, missing, f"The {what} has only one end.", "Give the low and the high end, or neither.")
    elif not 0 < least < most:
        yield Unsound(fact.id, high, f"The low end of the {what} is not below its high end.", "Change one of the two.")


def at_least_one(fact: Any, field: str) -> Iterator[Unsound]:
    """A count that is given is not 0."""
    if getattr(fact, field) == 0:
        yield Unsound(fact.id, field, f"The {plain_name(field)} is 0.", "Write 1 or more, or leave it empty.")


def at_most(fact: Any, field: str, most: int, shown: str) -> Iterator[Unsound]:
    """A number that is given is not beyond belief."""
    value = getattr(fact, field)
    if value is not None and value > most:
        yield Unsound(
            fact.id, field, f"The {plain_name(field)} is more than {shown}: that cannot be.", "Look at the unit."
        )
