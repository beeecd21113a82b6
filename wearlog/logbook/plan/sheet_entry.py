"""What was written on a printed sheet, entered by the numbers of its lines: measured, to order, done. One sheet is one entry."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

from wearlog.errors import RefusedError, UsageError, WearlogError
from wearlog.facts.closed_lists import Choice, Dimension
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import ServiceDone, ServiceItem
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import parse_positions
from wearlog.facts.wearing import Component, Measurement
from wearlog.facts.work import PlanChoice, SeasonPlan
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.parts.fitting import all_positions, refuse_beyond
from wearlog.logbook.parts.measuring import MeasuredPlace, Tape, measurement_made, one_position
from wearlog.logbook.plan.planning import choices_made, plan_or_new
from wearlog.logbook.said.amounts import read_length
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

_OK: Final = frozenset({"ok", "good", "fine", "-"})
_DONE: Final = frozenset({"done", "ok", "x"})
_ORDER: Final = re.compile(
    r"(?:worn\W+)?(?:(?P<before>[\d,\-\s]*?)\s*)order(?:\s+(?P<after>[\d,\-\s]+))?", re.IGNORECASE
)
_AT_POSITION: Final = re.compile(r"(?:at\s+)?#?(?P<position>\d+)\s*[:=]\s*(?P<value>.+)")
_LINE: Final = re.compile(r"\s*(?P<number>\d+)\s*[.:)]?\s+(?P<text>\S.*)")
_HOW: Final = (
    "Write a length with its unit (19.9in; of several: 12: 0.02in), ok, or order with positions (41,42 order)."
)


@dataclass(frozen=True, slots=True)
class SheetAnswer:
    """What was written on one line."""

    number: int
    text: str


def read_answers(lines: Sequence[str]) -> list[SheetAnswer]:
    """Read "3 19.9in", "7: order": the number of the line, then what was written there; empty lines are passed over.

    Raises
    ------
    UsageError
        When a line does not begin with a number, or one number stands twice.
    """
    found: dict[int, SheetAnswer] = {}
    for line in lines:
        if not line.strip():
            continue
        match = _LINE.fullmatch(line)
        if match is None:
            raise UsageError(f"'{line.strip()}' does not begin with the number of a line.", "Write it like: 3 19.9in")
        number = int(match["number"])
        if number in found:
            raise UsageError(f"Line {number} stands twice.", "Write all of it on one line, parted by ;")
        found[number] = SheetAnswer(number, match["text"].strip())
    return [found[number] for number in sorted(found)]


_MARK: Final = re.compile(r"\bsheet\s+([0-9a-f]{6})\b", re.IGNORECASE)


def without_heading(lines: Sequence[str], mark: str, machine: str, others: Sequence[str]) -> list[str]:
    """Return the lines below what was typed off the head of a sheet, once that head is this sheet's.

    Parameters
    ----------
    machine : str
        Whose sheet it is; "" for the service round.
    others : sequence of str
        The names of all machines.

    Raises
    ------
    UsageError
        When the head is another sheet's, or names neither a sheet nor a machine.
    """
    rest = [line for line in lines if line.strip()]
    while rest and not _LINE.fullmatch(rest[0]):
        head = rest.pop(0).strip()
        marks = [one.upper() for one in _MARK.findall(head)]
        named = [one for one in others if re.search(rf"(?<!\w){re.escape(one)}(?!\w)", head, re.IGNORECASE)]
        whose = f"sheet {mark} is {machine}'s" if machine else f"sheet {mark} is the service round"
        if marks and mark not in marks:
            raise UsageError(f"'{head}' stands above these lines, and {whose}.", f"Name that sheet: {marks[0]}.")
        if not marks and named and machine not in named:
            raise UsageError(f"'{head}' stands above these lines, and {whose}.", "Name the sheet they stand on.")
        if not marks and not named:
            raise UsageError(f"'{head}' does not begin with the number of a line.", "Write it like: 3 19.9in")
    return rest


@dataclass(slots=True)
class _Taken:
    """What the lines come to so far."""

    new: list[Fact] = field(default_factory=list)
    changed: list[Fact] = field(default_factory=list)
    gone: list[Fact] = field(default_factory=list)
    measured: int = 0
    ordered: int = 0
    done: int = 0
    fine: int = 0
    known: int = 0


def enter_sheet(
    store: Store,
    mark: str,
    machine: str,
    places: Mapping[int, Component | ServiceItem],
    answers: Sequence[SheetAnswer],
    *,
    at: datetime,
    harvest_year: int,
) -> Done:
    """Save what was written on a sheet as one entry: measurements, what the plan is to replace, services done.

    A sheet that comes a second time brings nothing twice: what the log knows of the same day is passed over.

    Parameters
    ----------
    machine : str
        Whose sheet it is; "" for the service round.
    places : mapping of int to Component or ServiceItem
        What stands on each line; a line that is not in it can only be ok.
    at : datetime
        When it was looked at.
    harvest_year : int
        The season whose plan takes what is to be ordered; it begins where there is none.

    Raises
    ------
    UsageError, RefusedError, NotFoundError
        When a line cannot be read or believed; it is named, and nothing is saved.
    """
    with store.writing() as connection:
        known, taken = known_names(connection), _Taken()
        for answer in answers:
            try:
                _take(connection, known, places.get(answer.number), answer, at, harvest_year, taken)
            except WearlogError as error:
                raise type(error)(f"Line {answer.number}: {error.message}", error.hint) from error
        if not (taken.new or taken.changed or taken.gone):
            if taken.known:
                raise RefusedError(
                    f"All that stands on sheet {mark} is in the log of that day already.",
                    "If it was looked at or done again on another day, say when it was.",
                )
            raise RefusedError("Nothing on the sheet is to be saved.", "What is ok leaves the log as it is.")
        said = f"entered sheet {mark}{f' of {machine}' if machine else ''}: {', '.join(_said(taken))}"
        return save(store, connection, said, new=taken.new, changed=taken.changed, gone=taken.gone, known=known)


def _said(taken: _Taken) -> list[str]:
    counts = (
        (taken.measured, "measured"),
        (taken.ordered, "to replace"),
        (taken.done, "done"),
        (taken.fine, "ok"),
        (taken.known, "in the log already"),
    )
    return [f"{count} {word}" for count, word in counts if count]


@dataclass(frozen=True, slots=True)
class _Answered:
    """One thing written on a line: done or ok (nothing else), positions to order, or a length at a position."""

    order: tuple[int, ...] = ()
    position: int = 0
    length: int = 0


def check_line(place: Component | ServiceItem | None, kind: PartKind | None, farm: FarmSettings, text: str) -> str:
    """Return what was written on a line if it can be read; UsageError where it cannot."""
    try:
        _pieces(place, kind, farm, text)
    except WearlogError as error:
        raise UsageError(error.message, error.hint) from error
    return text


def _pieces(
    place: Component | ServiceItem | None, kind: PartKind | None, farm: FarmSettings, text: str
) -> list[_Answered]:
    """Read a line. UsageError, RefusedError where it says nothing that the place can have."""
    if isinstance(place, ServiceItem):
        if text.strip().casefold() not in _DONE:
            raise UsageError(f"'{text}' says nothing of a service.", "Write done.")
        return [_Answered()]
    return [_piece(place, kind, farm, one.strip()) for one in text.split(";")]


def _piece(place: Component | None, kind: PartKind | None, farm: FarmSettings, said: str) -> _Answered:
    if said.casefold() in _OK:
        return _Answered()
    if place is None or kind is None:
        raise UsageError(f"'{said}' cannot be saved there.", "That line has no part: write ok, or use 'wearlog log'.")
    if order := _ORDER.fullmatch(said):
        listed = order["before"] or order["after"] or ""
        positions = parse_positions(listed) if listed.strip() else all_positions(place)
        refuse_beyond(place, positions)
        return _Answered(order=positions)
    match = _AT_POSITION.fullmatch(said)
    position, value = (int(match["position"]), match["value"]) if match else (None, said)
    try:
        length = read_length(value, farm)
    except UsageError as error:
        raise UsageError(error.message, _HOW) from error
    if kind.dimension is Dimension.NONE:
        raise RefusedError(
            f"Nothing is measured on a {kind.name}.", "Write ok or order; 'wearlog limit' sets what is measured."
        )
    return _Answered(position=one_position(place, position), length=length)


def _take(
    connection: Connection,
    known: KnownNames,
    place: Component | ServiceItem | None,
    answer: SheetAnswer,
    at: datetime,
    harvest_year: int,
    taken: _Taken,
) -> None:
    kind = None
    if isinstance(place, Component):
        kind = next(one for one in known.part_kinds if one.id == place.part_kind_id)
    pieces = _pieces(place, kind, known.farm, answer.text)
    if isinstance(place, ServiceItem):
        before = find_all(connection, ServiceDone, service_item_id=place.id)
        if any(_same_day(one.at, at) for one in before):
            taken.known += 1
            return
        taken.new.append(ServiceDone(service_item_id=place.id, at=at))
        taken.done += 1
        return
    for piece in pieces:
        if place is None or kind is None or not (piece.order or piece.position):
            taken.fine += 1
        elif piece.order:
            _order(connection, place, piece.order, harvest_year, taken)
        else:
            machine = next(one for one in known.machines if one.id == place.machine_id)
            measured = MeasuredPlace(known.farm, machine, place, kind)
            tape = Tape(piece.length)
            made = measurement_made(connection, measured, piece.position, tape, at=at)
            before_it = find_all(connection, Measurement, component_id=place.id, position=piece.position)
            if any(
                one.measured_micrometres == made.measured_micrometres and _same_day(one.at, at) for one in before_it
            ):
                taken.known += 1
                continue
            taken.new.append(made)
            taken.measured += 1


def _same_day(one: datetime, other: datetime) -> bool:
    return one.astimezone(other.tzinfo).date() == other.date()


def _order(
    connection: Connection, component: Component, positions: tuple[int, ...], harvest_year: int, taken: _Taken
) -> None:
    _, plan, new = plan_or_new(connection, harvest_year)
    begun = next((one for one in taken.new if isinstance(one, SeasonPlan)), None)
    if begun is not None:
        plan, new = begun, []
    earlier = find_all(connection, PlanChoice, season_plan_id=plan.id, component_id=component.id)
    touched = [old for old in earlier if set(old.positions) & set(positions)]
    chosen_so = {at for old in touched if old.choice is Choice.REPLACE for at in old.positions}
    if chosen_so >= set(positions):
        taken.known += len(positions)
        return
    chosen, changed, gone = choices_made(plan, component, positions, Choice.REPLACE, touched)
    taken.new += [*new, *chosen]
    taken.changed += changed
    taken.gone += gone
    taken.ordered += len(positions)
