"""Entering a wear measurement as it was read: which part, over which pitches, whether it can be at all. Draws no wear line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.facts.closed_lists import Dimension
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component, Fitting, Measurement
from wearlog.logbook.deed_sentences import place_of, read_off
from wearlog.logbook.names import KnownNames, fitting_best, known_names, pick, words_of_kind
from wearlog.logbook.parts.upkeep import measure
from wearlog.logbook.parts.wear_limits import Pitch
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order, settings_of
from wearlog.store.opening import Store
from wearlog.wear.chain import elongation_percent

#: elongations beyond these are a wrong count of pitches or a slip of the tape (common practice, no source)
LEAST_ELONGATION: Final = -2.0
MOST_ELONGATION: Final = 6.0
#: a part cannot be so much thicker than new
_THICKER: Final = 1.2
#: times the larger of new value and limit: beyond it a gap or a depth is a slip of the unit
_FAR_BEYOND: Final = 10
#: a span of more pitches than this many times the usual one is rather a wrong unit
_TIMES_MISCOUNTED: Final = 3


@dataclass(frozen=True, slots=True)
class Tape:
    """What was read, and for a chain over how many pitches of which pitch (None: those of the kind)."""

    micrometres: int
    pitches: int | None = None
    pitch: Pitch | None = None


@dataclass(frozen=True, slots=True)
class MeasuredPlace:
    """A component that is measured, its kind and its machine."""

    settings: FarmSettings
    machine: Machine
    component: Component
    kind: PartKind


@dataclass(frozen=True, slots=True)
class MeasureStart:
    """What the form of a measurement starts from: every place whose wear is measured, and the one measured last."""

    places: tuple[MeasuredPlace, ...]
    last_component_id: UUID | None


def measure_start(store: Store) -> MeasureStart:
    """Read it."""
    with store.reading() as connection:
        known = known_names(connection)
        settings = settings_of(connection)
        last = find_in_order(connection, Measurement, "at", latest_first=True, limit=1)
    kinds = {kind.id: kind for kind in known.part_kinds if kind.dimension is not Dimension.NONE}
    machines = {machine.id: machine for machine in known.machines}
    places = tuple(
        MeasuredPlace(settings, machines[one.machine_id], one, kinds[one.part_kind_id])
        for one in known.components
        if one.part_kind_id in kinds and one.machine_id in machines
    )
    return MeasureStart(places, last[0].component_id if last else None)


def component_named(known: KnownNames, machine: Machine, text: str) -> Component:
    """Return the component that `text` names: by its place, else by the name of its kind or what people call that.

    Raises
    ------
    NotFoundError, UsageError
        As `pick`.
    """
    mine = [one for one in known.components if one.machine_id == machine.id]
    try:
        return pick(mine, lambda one: one.place, text, "place")
    except NotFoundError as error:
        kinds = {kind.id: kind for kind in known.part_kinds}
        at_places = [kinds[one] for one in dict.fromkeys(one.part_kind_id for one in mine)]
        fitting = {kind.id for kind in fitting_best(at_places, lambda kind: kind.name, text, words_of_kind)}
        called = [one for one in mine if one.part_kind_id in fitting]
        if len(called) == 1:
            return called[0]
        if called:
            names = ", ".join(f"'{one.place}'" for one in called[:6])
            raise UsageError(
                f"'{text}' could be {len(called)} places on {machine.name}.", f"Write one of {names}."
            ) from None
        raise NotFoundError(f"There is no place '{text}' on {machine.name}.", error.hint) from None


def place_named(known: KnownNames, machine: Machine, text: str) -> MeasuredPlace:
    """Return the place to be measured.

    Raises
    ------
    RefusedError
        When nothing is measured on parts of this kind; the hint says how to set it.
    """
    component = component_named(known, machine, text)
    kind = next(one for one in known.part_kinds if one.id == component.part_kind_id)
    if kind.dimension is Dimension.NONE:
        raise RefusedError(
            f"The log does not know what is measured on a {kind.name}, nor at which limit it is worn out.",
            f"Tell it once, like: wearlog limit '{kind.name}' 0.2in --what thickness --new 0.25in "
            "(or gap, depth; a chain: --chain CA550 --pitches 12).",
        )
    return MeasuredPlace(known.farm, machine, component, kind)


def one_position(component: Component, position: int | None) -> int:
    """Return the position meant. UsageError when there are several and none is named, or there is no such one."""
    if position is None:
        if component.positions > 1:
            raise UsageError(
                f"Which of the {component.positions} positions of {component.place}?",
                "Write it before the value; they count from 1 at the left.",
            )
        return 1
    if not 1 <= position <= component.positions:
        has = "one position only" if component.positions == 1 else f"positions 1-{component.positions}"
        raise UsageError(f"{component.place} has no position {position}.", f"It has {has}.")
    return position


def elongation_of(kind: PartKind, tape: Tape) -> float | None:
    """Return the elongation that was read, in percent; None for what is no chain."""
    if kind.dimension is not Dimension.LENGTH_OVER_PITCHES:
        return None
    assert kind.pitch_micrometres is not None
    assert kind.pitches is not None
    pitch = tape.pitch.micrometres if tape.pitch else kind.pitch_micrometres
    return elongation_percent(tape.micrometres, tape.pitches or kind.pitches, pitch)


def in_kinds_terms(kind: PartKind, tape: Tape) -> int:
    """Return what is stored, in micrometres: a chain's length as it would be over the pitches of its kind.

    Raises
    ------
    UsageError, RefusedError
        When pitches are given for what is no chain, or the reading cannot be.
    """
    if kind.dimension is Dimension.LENGTH_OVER_PITCHES:
        return _chain_length(kind, tape)
    if tape.pitches is not None or tape.pitch is not None:
        raise UsageError(
            f"Pitches go with a chain; of a {kind.name} the {kind.dimension} is measured.",
            "Leave --pitches and --chain away.",
        )
    new, limit = kind.new_micrometres, kind.limit_micrometres
    sizes = [size for size in (new, limit) if size]
    if kind.dimension is Dimension.THICKNESS and new and tape.micrometres > _THICKER * new:
        raise RefusedError(f"That is thicker than a new {kind.name}.", "Look at the number and its unit.")
    if sizes and tape.micrometres >= _FAR_BEYOND * max(sizes):
        raise RefusedError(
            f"That is {tape.micrometres / max(sizes):,.0f} times what a {kind.name} measures when "
            f"{'worn out' if limit == max(sizes) else 'new'}.",
            "Look at the number and its unit, like 0.1in or 2.5mm.",
        )
    return tape.micrometres


def _chain_length(kind: PartKind, tape: Tape) -> int:
    assert kind.pitch_micrometres is not None
    assert kind.pitches is not None
    if tape.micrometres == 0:
        raise RefusedError("A chain has a length.", "Measure pin centre to pin centre, the chain taut.")
    percent = elongation_of(kind, tape)
    assert percent is not None
    if not LEAST_ELONGATION <= percent <= MOST_ELONGATION:
        raise RefusedError(*_wrong_span(kind, tape, percent))
    if tape.pitch is None and tape.pitches in (None, kind.pitches):
        return tape.micrometres
    return round(kind.pitches * kind.pitch_micrometres * (1 + percent / 100))


def _wrong_span(kind: PartKind, tape: Tape, percent: float) -> tuple[str, str]:
    """Return why a chain cannot be so long or short, and the number of pitches it looks like."""
    assert kind.pitch_micrometres is not None
    pitches = tape.pitches or kind.pitches or 1
    pitch = tape.pitch.micrometres if tape.pitch else kind.pitch_micrometres
    if percent < 100:
        far = f"{abs(percent):.1f} % {'shorter' if percent < 0 else 'longer'} than new"
    else:
        far = f"{tape.micrometres / (pitches * pitch):,.0f} times as long as new"
    message = f"Over {pitches} pitches that is {far}, which no chain is."
    likely = tape.micrometres // pitch
    over = tape.micrometres - likely * pitch
    if (
        1 <= likely <= _TIMES_MISCOUNTED * pitches
        and likely != pitches
        and over < likely * pitch * MOST_ELONGATION / 100
    ):
        return message, f"It looks like {likely} pitches: say --pitches {likely} if that is what you measured over."
    return message, "Count the pitches, look at the unit (505mm), and say --pitches N and --chain NUMBER."


def enter_measurement(store: Store, place: MeasuredPlace, position: int, tape: Tape, *, at: datetime) -> Done:
    """Enter what was read on the part that is fitted there at that time; the first fact of the answer is the measurement.

    Raises
    ------
    UsageError, RefusedError
        When the reading cannot be, or nothing was fitted there then. Nothing is saved.
    """
    with store.reading() as connection:
        made = measurement_made(connection, place, position, tape, at=at)
    return measure(store, made, read=read_text(place, tape))


def measurement_made(
    connection: Connection, place: MeasuredPlace, position: int, tape: Tape, *, at: datetime
) -> Measurement:
    """Return the measurement of what was read, not saved yet. Errors as `enter_measurement`."""
    stored = in_kinds_terms(place.kind, tape)
    component = place.component
    fitted = find_all(connection, Fitting, component_id=component.id, position=position)
    on = [one for one in fitted if one.fitted_at <= at and (one.removed_at is None or at <= one.removed_at)]
    if not on:
        where = place_of(known_names(connection), component, (position,))
        raise RefusedError(
            f"Nothing was fitted at {where} then, so nothing can have been measured.",
            "'wearlog fit' puts a part on; --at says when it was measured.",
        )
    if all(one.fitted_at == at for one in on):
        # read as it was fitted: of that very instant the reckoning would take it for the part before
        at += timedelta(seconds=1)
    return Measurement(
        component_id=component.id,
        position=position,
        at=at,
        measured_micrometres=stored,
        note=_converted(place, tape, stored),
    )


def read_text(place: MeasuredPlace, tape: Tape) -> str:
    """Return what was read: "19.900 in over 12 pitches" or "gap 0.012 in"."""
    chain = tape.pitch.name if tape.pitch else ""
    return read_off(FarmSpeaker(place.settings), place.kind, tape.micrometres, pitches=tape.pitches, chain=chain)


def _converted(place: MeasuredPlace, tape: Tape, stored: int) -> str:
    """Return what was read, where what is stored is not that itself."""
    if stored == tape.micrometres and tape.pitch is None:
        return ""
    return f"read {read_text(place, tape)}"
