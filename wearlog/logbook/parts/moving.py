"""Moving parts from one place to another: the old fittings end as moved, new ones go on at the age the parts had then.

The ages are given: what a part had run is reckoned from the meters, which the logbook does not do.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from wearlog.errors import RefusedError, UsageError
from wearlog.facts.closed_lists import Action, Removal
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import at_positions, positions_said
from wearlog.facts.wearing import Breakage, Component, Fitting, Measurement
from wearlog.logbook.deed_sentences import place_of
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.fitting import all_positions, fittings_at, refuse_beyond
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class Move:
    """Parts that go from one component to another, or to other positions of the same.

    Attributes
    ----------
    positions : tuple of int
        Of `origin`; none named means every one that holds a part.
    target_positions : tuple of int
        Of `target`, in the order of `positions`; none named means the same numbers.
    replace : bool
        What sits at the target comes off as planned; else the move is refused there.
    """

    origin: Component
    target: Component
    at: datetime
    positions: tuple[int, ...] = ()
    target_positions: tuple[int, ...] = ()
    replace: bool = False


@dataclass(frozen=True, slots=True)
class Moving:
    """The fittings that end, and the position that each goes to, in the same order."""

    fittings: tuple[Fitting, ...]
    to: tuple[int, ...]


def parts_to_move(connection: Connection, move: Move) -> Moving:
    """Return what moves where.

    Raises
    ------
    UsageError
        When the numbers of positions differ.
    RefusedError
        When the kinds differ, nothing sits there, a part is broken, or something was entered there for a later time.
    """
    origin, target = move.origin, move.target
    _refuse_other_kind(connection, move)
    refuse_beyond(origin, move.positions)
    asked = move.positions or all_positions(origin)
    fitted = fittings_at(connection, origin, asked)
    on = {one.position: one for one in fitted if _is_on(one, move.at)}
    known = known_names(connection)
    where = place_of(known, origin)
    empty = [position for position in asked if position not in on]
    if not on or (move.positions and empty):
        hint = "Name the positions that hold a part, like 41-43." if on else "'wearlog fit' puts parts on."
        raise RefusedError(f"Nothing is fitted at {place_of(known, origin, empty if move.positions else ())}.", hint)
    positions = tuple(sorted(on))
    _refuse_entered_later(connection, origin, positions, fitted, move.at, where)
    _refuse_broken(connection, origin, on, move.at, where)
    _refuse_worn(connection, origin, on, move.at, where)
    to = move.target_positions or ((1,) if target.positions == 1 and len(positions) == 1 else positions)
    if len(to) != len(positions):
        raise UsageError(
            f"{len(positions)} parts cannot go to {len(to)} positions.", "Name as many positions there as here."
        )
    refuse_beyond(target, to)
    if target.id == origin.id and to == positions:
        raise UsageError("They sit there already.", "Say where they go, behind the word to.")
    return Moving(tuple(on[position] for position in positions), to)


def move_parts(store: Store, move: Move, ages: Sequence[int | None]) -> Done:
    """Move parts as one deed.

    Parameters
    ----------
    ages : sequence of int or None
        What each part of `parts_to_move` had run at `move.at` on its kind's meter, in seconds or square metres; None where
        nobody knows.

    Raises
    ------
    UsageError, RefusedError
        As `parts_to_move`, and when a target position is taken and `move.replace` is not given.
    """
    with store.writing() as connection:
        known = known_names(connection)
        moving = parts_to_move(connection, move)
        target, there = move.target, place_of(known, move.target)
        before = fittings_at(connection, target, moving.to)
        # parts may change places within one component: what leaves a position does not take it
        leaving = {one.id for one in moving.fittings}
        taken = [one for one in before if _is_on(one, move.at) and one.id not in leaving]
        if taken and not move.replace:
            raise RefusedError(
                f"There is a part at {place_of(known, target, [one.position for one in taken])} already.",
                "--replace takes it off as planned; 'wearlog take-off' takes it off on its own.",
            )
        staying = [one for one in before if one.id not in leaving]
        _refuse_entered_later(connection, target, moving.to, staying, move.at, there)
        ended = [replace(one, removed_at=move.at, removal=Removal.MOVED) for one in moving.fittings]
        ended += [replace(one, removed_at=move.at, removal=Removal.PLANNED) for one in taken]
        gone = place_of(known, move.origin, [one.position for one in moving.fittings])
        said = f"moved {gone} to {place_of(known, target, moving.to)}, {FarmSpeaker(known.farm).time_said(move.at)}"
        also = (*_came_off(target, taken), *_readings_stay(connection, move, moving))
        return save(store, connection, said, new=_at_target(move, moving, ages), changed=ended, known=known, also=also)


def _at_target(move: Move, moving: Moving, ages: Sequence[int | None]) -> list[Fitting]:
    return [
        Fitting(
            component_id=move.target.id,
            position=position,
            fitted_at=move.at,
            age_when_fitted_usage=age,
            part_id=one.part_id,
        )
        for one, position, age in zip(moving.fittings, moving.to, ages, strict=True)
    ]


def _came_off(target: Component, taken: Sequence[Fitting]) -> tuple[str, ...]:
    if not taken:
        return ()
    which = positions_said(target.positions, [one.position for one in taken])
    return (f"off there, planned: {which}" if which else "what sat there came off, planned",)


def _readings_stay(connection: Connection, move: Move, moving: Moving) -> tuple[str, ...]:
    on = {one.position: one for one in moving.fittings}
    count = len(_readings_of(connection, move.origin, on, move.at))
    if not count:
        return ()
    them = "its reading stays" if count == 1 else f"its {count} readings stay"
    return (f"{them} with the old place: measure again where it is now",)


def _is_on(fitting: Fitting, at: datetime) -> bool:
    return fitting.fitted_at <= at and (fitting.removed_at is None or at < fitting.removed_at)


def _refuse_other_kind(connection: Connection, move: Move) -> None:
    if move.origin.part_kind_id == move.target.part_kind_id:
        return
    here, there = (find_by_id(connection, PartKind, one.part_kind_id).name for one in (move.origin, move.target))
    raise RefusedError(
        f"'{here}' and '{there}' are different kinds of part: one does not go where the other sits.",
        "Name a place of the same kind behind the word to.",
    )


def _refuse_entered_later(
    connection: Connection,
    component: Component,
    positions: Sequence[int],
    fittings: Sequence[Fitting],
    at: datetime,
    where: str,
) -> None:
    """What was entered for a later time would hang on a part that is gone; nothing is guessed about it."""
    wanted = set(positions)
    later = any(one.fitted_at > at or (one.removed_at is not None and one.removed_at > at) for one in fittings)
    later = later or any(
        one.at > at and wanted & set(one.positions) for one in find_all(connection, Breakage, component_id=component.id)
    )
    later = later or any(
        one.at > at and one.position in wanted for one in find_all(connection, Measurement, component_id=component.id)
    )
    if later:
        raise RefusedError(
            f"At {_at(component, positions, where)} something was entered for a later time than that.",
            "Say a later --at, or take the later entry back first ('wearlog history', 'wearlog undo --entry').",
        )


def _refuse_broken(
    connection: Connection, component: Component, on: dict[int, Fitting], at: datetime, where: str
) -> None:
    """A part that broke and was left in has ended its life; on another machine it would pass for a whole one."""
    left: set[int] = set()
    breakages = find_all(connection, Breakage, component_id=component.id)
    for one in sorted(breakages, key=lambda one: one.at):
        its = {position for position in one.positions if position in on and on[position].fitted_at < one.at <= at}
        left = left | its if one.action is Action.LEFT else left - its
    if left:
        raise RefusedError(
            f"{_at(component, left, where)} broke and was left in.",
            "Log it as mended first (wearlog log '... mended'), or leave it out.",
        )


def _refuse_worn(
    connection: Connection, component: Component, on: dict[int, Fitting], at: datetime, where: str
) -> None:
    """A part that was past its limit has ended its life too; its readings stay where they were taken."""
    kind = find_by_id(connection, PartKind, component.part_kind_id)
    last = {one.position: one for one in _readings_of(connection, component, on, at)}
    worn = {position for position, one in last.items() if kind.is_past_limit(one.measured_micrometres)}
    if worn:
        raise RefusedError(
            f"{_at(component, worn, where)} was past its limit when it was last measured.",
            "Fit a new one there; where that reading was a slip, measure it again first.",
        )


def _readings_of(
    connection: Connection, component: Component, on: dict[int, Fitting], at: datetime
) -> list[Measurement]:
    """What was read on the parts that are on, in the order of time."""
    found = find_all(connection, Measurement, component_id=component.id)
    of_it = (one for one in found if one.position in on and on[one.position].fitted_at < one.at <= at)
    return sorted(of_it, key=lambda one: one.at)


def _at(component: Component, positions: Iterable[int], where: str) -> str:
    """The place, and which positions of it where there are several."""
    return at_positions(where, tuple(positions)) if component.positions > 1 else where
