"""Whether facts can be believed: the one question that imports and forms ask, and the rules between rows that it asks of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime, tzinfo
from itertools import pairwise
from operator import attrgetter
from types import MappingProxyType
from typing import Any, Final, TypeAlias
from uuid import UUID

from wearlog.facts.bookkeeping import Person, Setting
from wearlog.facts.electrics import CircuitNode
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings, Measures
from wearlog.facts.machines import Hitch, Machine, Meter, Reading, ServiceItem
from wearlog.facts.parts import Part, PartKind, Supplier
from wearlog.facts.plain_text import folded
from wearlog.facts.wearing import Component, Fitting
from wearlog.facts.work import Crop, Field, Season, SeasonPlan
from wearlog.logbook.checks.many_rows import readings_in_order
from wearlog.logbook.checks.row_checks import Around, Unsound, around, long_texts, numbers_and_instants, without_zone
from wearlog.logbook.checks.row_rules import WEAR_RULES, WORK_RULES
from wearlog.logbook.names import KnownNames

__all__ = [
    "OWN_NAMES",
    "NameOf",
    "Unsound",
    "cross_findings",
    "falling_readings",
    "hitched_twice",
    "row_findings",
    "two_at_one_position",
    "unsound",
]


NameOf: TypeAlias = Callable[[Any], tuple[object, ...]]

#: fact -> the words that must be its own, the field to blame, and how the finding names the row
OWN_NAMES: Final[MappingProxyType[type[Fact], tuple[NameOf, str, Callable[[Any], str]]]] = MappingProxyType(
    {
        Setting: (lambda f: (f.key,), "key", lambda f: f"setting '{f.key}'"),
        Person: (lambda f: (folded(f.name),), "name", lambda f: f"person '{f.name}'"),
        Machine: (lambda f: (folded(f.name),), "name", lambda f: f"machine '{f.name}'"),
        Meter: (lambda f: (f.machine_id, f.kind), "kind", lambda f: f"meter of {f.kind.replace('_', ' ')}"),
        Field: (lambda f: (folded(f.name),), "name", lambda f: f"field '{f.name}'"),
        Crop: (lambda f: (folded(f.name),), "name", lambda f: f"crop '{f.name}'"),
        Season: (lambda f: (f.harvest_year,), "harvest_year", lambda f: f"season {f.harvest_year}"),
        PartKind: (lambda f: (folded(f.name),), "name", lambda f: f"kind '{f.name}'"),
        Part: (lambda f: (folded(f.number),), "number", lambda f: f"part '{f.number}'"),
        Component: (lambda f: (f.machine_id, folded(f.place)), "place", lambda f: f"component '{f.place}'"),
        ServiceItem: (lambda f: (f.machine_id, folded(f.name)), "name", lambda f: f"service '{f.name}'"),
        Supplier: (lambda f: (folded(f.name),), "name", lambda f: f"supplier '{f.name}'"),
        CircuitNode: (lambda f: (f.machine_id, folded(f.name)), "name", lambda f: f"node '{f.name}'"),
        SeasonPlan: (lambda f: (f.season_id, folded(f.name)), "name", lambda f: f"plan '{f.name}'"),
    }
)


def cross_findings(facts: Sequence[Fact], known: KnownNames, around: Around) -> Iterator[Unsound]:
    """Yield what does not go together among the facts, and between them and what is known."""
    of_type: dict[type[Fact], list[Any]] = defaultdict(list)
    for fact in facts:
        of_type[type(fact)].append(fact)
    known_rows: dict[type[Fact], Iterable[Fact]] = {
        Setting: known.settings,
        Person: known.people,
        Machine: known.machines,
        Meter: known.meters,
        Field: known.fields,
        Crop: known.crops,
        Season: known.seasons,
        PartKind: known.part_kinds,
        Part: known.parts,
        Component: known.components,
        ServiceItem: known.service_items,
        Supplier: known.suppliers,
        CircuitNode: known.circuit_nodes,
        SeasonPlan: known.season_plans,
    }
    for kind, existing in known_rows.items():
        yield from _same_name(of_type[kind], existing, *OWN_NAMES[kind], around)
    yield from falling_readings(of_type[Reading], around)
    yield from two_at_one_position(of_type[Fitting], around)
    yield from hitched_twice(of_type[Hitch], around)


def _same_name(
    facts: Sequence[Any],
    existing: Iterable[Fact],
    name_of: NameOf,
    field: str,
    shown: Callable[[Any], str],
    around: Around,
) -> Iterator[Unsound]:
    if not facts:
        return
    given = {fact.id for fact in facts}
    # a row that is being changed must not meet itself under its old name
    first: dict[tuple[object, ...], UUID] = {name_of(row): row.id for row in existing if row.id not in given}
    for fact in facts:
        other = first.setdefault(name_of(fact), fact.id)
        if other != fact.id:
            machine = around.machines.get(fact.machine_id) if hasattr(fact, "machine_id") else None
            where = f" on '{machine.name}'" if machine else ""
            yield Unsound(
                fact.id,
                field,
                f"There is another {shown(fact)}{where}.",
                "Give each its own name, or leave one of them out.",
            )


def falling_readings(readings: Iterable[Reading], around: Around) -> Iterator[Unsound]:
    """Yield the readings of a meter that are lower than the one before, where the meter was not replaced."""
    of_meter: dict[UUID, list[Reading]] = defaultdict(list)
    for reading in readings:
        of_meter[reading.meter_id].append(reading)
    for meter_id, its in of_meter.items():
        meter = around.meters.get(meter_id)
        its.sort(key=attrgetter("at", "new_leg", "shown_usage"))
        for before, reading in pairwise(its):
            if reading.shown_usage < before.shown_usage and not reading.new_leg:
                low, high = (_shown(one.shown_usage, meter, around) for one in (reading, before))
                yield Unsound(
                    reading.id,
                    "shown_usage",
                    f"{low} is less than {high} on {around.written(before.at)}: a meter does not run backwards.",
                    "Correct one of the two; if the meter was replaced, say yes to new_leg.",
                )


def _shown(usage: int, meter: Meter | None, around: Around) -> str:
    return str(usage) if meter is None else Measures(around.speak.settings).usage(meter.kind, usage, 1)


def two_at_one_position(fittings: Iterable[Fitting], around: Around) -> Iterator[Unsound]:
    """Yield the fittings that begin where another still is."""
    at_position: dict[tuple[UUID, int], list[Fitting]] = defaultdict(list)
    for fitting in fittings:
        at_position[fitting.component_id, fitting.position].append(fitting)
    for (component_id, position), its in at_position.items():
        for before, fitting in _overlaps(its, "fitted_at", "removed_at"):
            yield Unsound(
                fitting.id,
                "fitted_at",
                f"Position {position} of {around.place(component_id)} is still taken on "
                f"{around.written(fitting.fitted_at)} by what was fitted on {around.written(before.fitted_at)}.",
                "Say when the earlier one was removed.",
            )


def hitched_twice(hitches: Sequence[Hitch], around: Around) -> Iterator[Unsound]:
    """Yield the hitches that begin while their header or combine is in another."""
    for end, other in (("header_id", "combine_id"), ("combine_id", "header_id")):
        of_machine: dict[UUID, list[Hitch]] = defaultdict(list)
        for hitch in hitches:
            of_machine[getattr(hitch, end)].append(hitch)
        for machine_id, its in of_machine.items():
            # an open hitch ends where the next one begins: that is how the work of a header is reckoned too
            for before, hitch in _overlaps(its, "from_at", "to_at", open_ends_at_next=True):
                machine, first = around.machines.get(machine_id), around.machines.get(getattr(before, other))
                yield Unsound(
                    hitch.id,
                    "from_at",
                    f"'{machine.name if machine else 'The machine'}' is still hitched to "
                    f"'{first.name if first else 'another'}' on {around.written(hitch.from_at)}.",
                    "Say when the earlier hitch ended.",
                )


def _overlaps(facts: list[Any], first: str, last: str, *, open_ends_at_next: bool = False) -> Iterator[tuple[Any, Any]]:
    """Yield (earlier, later) where the later one begins before the earlier one has ended; intervals are half-open.

    With `open_ends_at_next` an interval without an end runs only until the next one begins.
    """
    facts.sort(key=lambda fact: (getattr(fact, first), fact.id.int))
    lasting: Any = None
    for fact in facts:
        ends = getattr(lasting, last) if lasting is not None else None
        begins: datetime = getattr(fact, first)
        if lasting is not None and (begins < ends if ends is not None else not open_ends_at_next):
            yield lasting, fact
        own_end = getattr(fact, last)
        runs_on = own_end is None and not open_ends_at_next
        if lasting is None or runs_on or ends is None or (own_end or begins) > ends:
            lasting = fact


def unsound(
    facts: Iterable[Fact],
    known: KnownNames,
    farm: FarmSettings | None = None,
    *,
    now: datetime | None = None,
    time_zone: tzinfo | None = None,
) -> tuple[Unsound, ...]:
    """Return everything that cannot be believed about these facts, in their order, rules between rows last.

    Parameters
    ----------
    facts : iterable of Fact
        What is to be written. Voided facts count for nothing and are passed over. Rules between rows (readings that never fall,
        one part at a position, one combine for a header) hold within these facts; `beside` holds them against the stored ones.
    known : KnownNames
        The rows that are there already; a fact of the same id stands in for its known row.
    farm : FarmSettings, optional
        In whose units and by whose clock the sentences are written; those among the known rows where none are given.
    now : datetime, optional
        An instant more than a day after it is still to come, and so not believed. None: the future is not looked at.
    time_zone : tzinfo, optional
        The clock of the sentences where it is another than the farm's.

    Notes
    -----
    A row that is pointed at and is neither among the facts nor known is left alone: that it exists is the store's affair.
    """
    rows = [fact for fact in facts if not fact.voided]
    at_hand = around(rows, known, farm or known.farm, now=now, time_zone=time_zone)
    found: list[Unsound] = []
    comparable: list[Fact] = []
    passed = Reading if readings_in_order(rows, at_hand) else None
    for fact in rows:
        if type(fact) is passed:
            comparable.append(fact)
            continue
        zoneless = list(without_zone(fact))
        found += zoneless
        if not zoneless:
            comparable.append(fact)
            found += row_findings(fact, at_hand)
    return (*found, *cross_findings(comparable, known, at_hand))


def row_findings(fact: Fact, at_hand: Around) -> Iterator[Unsound]:
    """Yield what cannot be believed about one row and what it points at."""
    yield from numbers_and_instants(fact, at_hand)
    yield from long_texts(fact)
    rule = WORK_RULES.get(type(fact)) or WEAR_RULES.get(type(fact))
    if rule is not None:
        yield from rule(fact, at_hand)
