"""Entering components and what sits on their positions: one call fits all 160 sections of a knife.

A change of parts that is entered late means something for the breakages after it: they were of the part that it put on.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Final
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Removal, RepairKind
from wearlog.facts.fact import Fact
from wearlog.facts.parts import StockMove
from wearlog.facts.positions import format_positions
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.logbook.deed_sentences import fitted_sentence, place_of
from wearlog.logbook.made import Made
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.parts.stocking import Taking, take_off_shelf
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class Change:
    """What a change of parts at some positions does to the fittings there."""

    new: tuple[Fitting, ...]
    ended: tuple[Fitting, ...]
    #: positions where nothing was fitted at that time
    empty: tuple[int, ...]


def all_positions(component: Component) -> tuple[int, ...]:
    """Return every position of a component, from 1."""
    return tuple(range(1, component.positions + 1))


def change_fittings(
    fittings: Sequence[Fitting],
    component: Component,
    positions: Sequence[int],
    *,
    at: datetime,
    removal: Removal,
    age_usage: int | None = 0,
    part_id: UUID | None = None,
) -> Change:
    """Work out what a change of parts at `at` does; nothing is saved here.

    The fitting that was on at that time ends and a new one begins. Entered late, the new one takes over the old one's later end.
    A position that was empty then gets its first fitting, which lasts until the next one there, if any.
    """
    new: list[Fitting] = []
    ended: list[Fitting] = []
    empty: list[int] = []
    for position in positions:
        here = sorted((one for one in fittings if one.position == position), key=lambda one: one.fitted_at)
        on = next(
            (one for one in here if one.fitted_at <= at and (one.removed_at is None or at < one.removed_at)), None
        )
        later = next((one for one in here if one.fitted_at > at), None)
        if on is None:
            empty.append(position)
        else:
            ended.append(replace(on, removed_at=at, removal=removal))
        new.append(
            Fitting(
                component_id=component.id,
                position=position,
                fitted_at=at,
                age_when_fitted_usage=age_usage,
                removed_at=on.removed_at if on else (later.fitted_at if later else None),
                # how the part came off nobody said: planned, so that it does not count as one that failed
                removal=on.removal if on else (Removal.PLANNED if later else None),
                part_id=part_id,
            )
        )
    return Change(tuple(new), tuple(ended), tuple(empty))


def on_at(fittings: Sequence[Fitting], positions: Sequence[int], at: datetime) -> dict[int, Fitting]:
    """Return what was on at these positions just before an instant, by position; an empty position is left out."""
    wanted = set(positions)
    return {
        one.position: one
        for one in fittings
        if one.position in wanted and one.fitted_at < at and (one.removed_at is None or at <= one.removed_at)
    }


def fittings_at(connection: Connection, component: Component, positions: Sequence[int]) -> list[Fitting]:
    """Return every fitting there ever was on these positions."""
    return find_all(connection, Fitting, component_id=component.id, position=set(positions))


def add_component(
    store: Store,
    component: Component,
    *,
    fitted_at: datetime | None = None,
    age_usage: int | None = 0,
    part_id: UUID | None = None,
) -> Done:
    """Enter a component and, when `fitted_at` is given, fit all its positions.

    Parameters
    ----------
    age_usage : int or None
        Age of the parts when fitted, in the units of the kind's meter: 0 = new, None = nobody knows.

    Raises
    ------
    RefusedError
        When the machine has a component of this place already.
    """
    new: list[Fact] = [component]
    if fitted_at is not None:
        new += [
            Fitting(
                component_id=component.id,
                position=position,
                fitted_at=fitted_at,
                age_when_fitted_usage=age_usage,
                part_id=part_id,
            )
            for position in all_positions(component)
        ]
    with store.writing() as connection:
        known = known_names(connection)
        count = f" with {component.positions} positions" if component.positions > 1 else ""
        said = f"added {place_of(known, component)}{count}"
        return save(store, connection, said, new=new, known=known)


@dataclass(frozen=True, slots=True)
class Put:
    """What is put on in planned work.

    Attributes
    ----------
    age_usage : int or None
        Age of the parts, in the units of the kind's meter: 0 = new, None = nobody knows.
    part_id : UUID or None
        None: the part on the shelf that fits.
    off_shelf : bool
        Whether new parts come off stock; used ones never do, since they come from another machine.
    labour_seconds : int or None
        Man-time of the work; None = nobody said.
    """

    age_usage: int | None = 0
    part_id: UUID | None = None
    off_shelf: bool = True
    labour_seconds: int | None = None


#: new parts off the shelf
NEW_PARTS: Final = Put()


def refit(
    store: Store, component: Component, positions: Sequence[int] = (), *, at: datetime, put: Put = NEW_PARTS
) -> Done:
    """Put other parts on positions (all of them when none are named) without a breakage: planned work.

    New parts come off the shelf; they, and the man-time where somebody said it, belong to a planned repair.
    """
    with store.writing() as connection:
        known = known_names(connection)
        made = refit_made(connection, known, component, positions, at=at, put=put)
        return save(store, connection, made.said, new=made.new, changed=made.changed, known=known, also=made.also)


def refit_made(
    connection: Connection,
    known: KnownNames,
    component: Component,
    positions: Sequence[int] = (),
    *,
    at: datetime,
    put: Put = NEW_PARTS,
) -> Made:
    """Return what planned work on positions writes, and save nothing. Otherwise as `refit`."""
    chosen = tuple(positions) or all_positions(component)
    refuse_beyond(component, chosen)
    work = _planned_work(component, at, put)
    used: StockMove | None = None
    also: tuple[str, ...] = ()
    if put.off_shelf and put.age_usage == 0:
        used, also = take_off_shelf(connection, component, Taking(len(chosen), at, work.id), put.part_id)
    change = change_fittings(
        fittings_at(connection, component, chosen),
        component,
        chosen,
        at=at,
        removal=Removal.PLANNED,
        age_usage=put.age_usage,
        part_id=used.part_id if used else put.part_id,
    )
    # without parts or time there is nothing that a repair would tell beside the fittings
    worth_noting = used is not None or put.labour_seconds is not None
    new: list[Fact] = [*([work] if worth_noting else []), *change.new, *([used] if used else [])]
    meter = next(kind.meter_kind for kind in known.part_kinds if kind.id == component.part_kind_id)
    said = fitted_sentence(FarmSpeaker(known.farm), place_of(known, component, chosen), meter, put.age_usage, at)
    broke_later = breakages_of_new_parts(change.new, change.ended, breakages_since(connection, component, at))
    return Made(said, tuple(new), (*change.ended, *broke_later), also)


def _planned_work(component: Component, at: datetime, put: Put) -> Repair:
    return Repair(
        machine_id=component.machine_id,
        kind=RepairKind.PLANNED,
        started_at=at,
        ended_at=at + timedelta(seconds=put.labour_seconds or 0),
        labour_seconds=put.labour_seconds,
        component_id=component.id,
    )


def take_off(store: Store, component: Component, positions: Sequence[int], *, at: datetime, removal: Removal) -> Done:
    """Take parts off without putting others on; no positions named means all that hold one. RefusedError when none does."""
    refuse_beyond(component, positions)
    with store.writing() as connection:
        known = known_names(connection)
        there = fittings_at(connection, component, positions or all_positions(component))
        on = [one for one in there if one.fitted_at <= at and one.removed_at is None]
        if not on:
            raise _nothing_to_take_off(known, component, positions, there, at)
        ended = [replace(one, removed_at=at, removal=removal) for one in on]
        taken = sorted(one.position for one in on)
        said = f"took off {place_of(known, component, taken)}, {FarmSpeaker(known.farm).time_said(at)}"
        return save(store, connection, said, changed=ended, known=known)


def _nothing_to_take_off(
    known: KnownNames, component: Component, positions: Sequence[int], there: Sequence[Fitting], at: datetime
) -> RefusedError:
    """What was on then and came off since is told: a wrong time is likelier than a wrong place."""
    since = [one.removed_at for one in there if one.removed_at is not None and one.fitted_at <= at < one.removed_at]
    where, speak = place_of(known, component, positions), FarmSpeaker(known.farm)
    if since:
        return RefusedError(
            f"{where}: what was on at {speak.time_said(at)} came off on {speak.time_said(min(since))} already.",
            "Give a later time, or change when that one came off: 'wearlog entries fitting' lists its number.",
        )
    noted = [one.fitted_at for one in there if one.removed_at is None]
    if noted:
        return RefusedError(
            f"{where}: nothing was on yet at {speak.time_said(at)}; it was fitted on {speak.time_said(min(noted))}.",
            "Give a later time.",
        )
    return RefusedError(f"Nothing is fitted at {where}.")


def refuse_beyond(component: Component, positions: Sequence[int]) -> None:
    """Refuse positions that the component does not have."""
    beyond = [position for position in positions if not 1 <= position <= component.positions]
    if beyond:
        raise RefusedError(
            f"{component.place} has no position {format_positions(beyond)}.",
            f"Its positions are 1-{component.positions}." if component.positions > 1 else "It has one position only.",
        )


#: no entry of a farm is of a later time than this
_AT_LAST: Final = datetime(9999, 1, 1, tzinfo=UTC)


def breakages_since(connection: Connection, component: Component, at: datetime) -> list[Breakage]:
    """Return the breakages of a component from an instant on."""
    return find_all(connection, Breakage, component_id=component.id, at=[at, _AT_LAST])


def breakages_of_new_parts(
    new: Iterable[Fitting], ended: Iterable[Fitting], since: Iterable[Breakage]
) -> tuple[Breakage, ...]:
    """Return those breakages that name a part which came off before them, as they shall stand: they name what was put on then.

    Parameters
    ----------
    new, ended : iterable of Fitting
        What one change of parts put on and took off, as they are to be saved.
    since : iterable of Breakage
        The breakages of the component that may come after the change.
    """
    new_at = {one.position: one for one in new}
    followed = {one.id: new_at[one.position] for one in ended if one.position in new_at}
    if not followed:
        return ()
    found = []
    for breakage in since:
        broke = tuple(_of(one, breakage.at, followed) for one in breakage.broke_fitting_ids)
        if broke != breakage.broke_fitting_ids:
            found.append(replace(breakage, broke_fitting_ids=broke))
    return tuple(found)


def _of(noted: UUID | None, at: datetime, followed: dict[UUID, Fitting]) -> UUID | None:
    new = followed.get(noted) if noted is not None else None
    if new is None or at <= new.fitted_at or (new.removed_at is not None and at > new.removed_at):
        return noted
    return new.id
