"""What already stands in the log and would be asked about if it were entered now. Reads only."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.logbook.deed_sentences import place_of
from wearlog.logbook.doubts import Doubt, fast_pairs, fitted_only_later, twin_of
from wearlog.logbook.known_names import KnownNames
from wearlog.logbook.names import known_names
from wearlog.logbook.said_measures import FarmSpeaker, farm_speaker
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class StandingDoubt:
    """One thing that looks wrong: which rule, and what there is in a sentence."""

    doubt: Doubt
    message: str


def standing_doubts(store: Store) -> tuple[StandingDoubt, ...]:
    """Return what looks wrong, readings first, then breakages place by place; linear in fittings and breakages."""
    with store.reading() as connection:
        known = known_names(connection)
        speak = farm_speaker(known)
        return (*_fast_readings(connection, known, speak), *_odd_breakages(connection, known, speak))


def _fast_readings(connection: Connection, known: KnownNames, speak: FarmSpeaker) -> Iterator[StandingDoubt]:
    of_meter: dict[UUID, list[Reading]] = defaultdict(list)
    for reading in find_all(connection, Reading):
        of_meter[reading.meter_id].append(reading)
    names = {machine.id: machine.name for machine in find_all(connection, Machine)}
    for meter in find_all(connection, Meter):
        for earlier, later in fast_pairs(meter.kind, of_meter[meter.id]):
            yield StandingDoubt(
                Doubt.FAST_METER,
                f"{names.get(meter.machine_id, '')} showed {speak.usage(meter.kind, earlier.shown_usage)} on "
                f"{speak.moment(earlier.at)} and {speak.usage(meter.kind, later.shown_usage)} on {speak.moment(later.at)}: "
                "more than it can have worked.",
            )


def _odd_breakages(connection: Connection, known: KnownNames, speak: FarmSpeaker) -> Iterator[StandingDoubt]:
    components = {one.id: one for one in known.components}
    by_component: dict[UUID, list[Breakage]] = defaultdict(list)
    for breakage in sorted(find_all(connection, Breakage), key=lambda one: one.at):
        by_component[breakage.component_id].append(breakage)
    fittings: dict[UUID, list[Fitting]] = defaultdict(list)
    for fitting in find_all(connection, Fitting):
        fittings[fitting.component_id].append(fitting)
    for component_id, its in by_component.items():
        component = components[component_id]
        for place, breakage in enumerate(its):
            where = place_of(known, component, breakage.positions)
            if twin_of(breakage, its[max(0, place - 1) : place]) is not None:
                yield StandingDoubt(
                    Doubt.SAME_BREAKAGE, f"{where}: two breakages within a minute of {speak.moment(breakage.at)}."
                )
            late = fitted_only_later(breakage, fittings[component_id])
            if late:
                yield StandingDoubt(
                    Doubt.EARLIER_PART,
                    f"{where} broke on {speak.moment(breakage.at)}, but was noted as fitted only on "
                    f"{speak.moment(min(one.fitted_at for one in late))}: its life is not counted.",
                )
