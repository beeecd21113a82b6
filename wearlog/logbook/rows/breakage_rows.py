"""The rows that are written along with one row: fittings that end and begin with a breakage, parts that come off the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from uuid import UUID

from wearlog.facts.closed_lists import Action, Removal
from wearlog.facts.fact import Fact
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.facts.work import Stoppage
from wearlog.ids import short_number
from wearlog.logbook.parts.fitting import (
    breakages_of_new_parts,
    breakages_since,
    change_fittings,
    fittings_at,
    refuse_beyond,
)
from wearlog.logbook.parts.stocking import Taking, take_off_shelf
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_many


@dataclass(frozen=True, slots=True)
class _Pair:
    """What broke at a position and what followed it; None: not in the log."""

    broke: Fitting | None
    followed: Fitting | None


def _pairs(connection: Connection, breakage: Breakage) -> dict[int, _Pair]:
    """Return by position what the breakage ended and began: as noted, else what ended and began at its time."""
    component = find_by_id(connection, Component, breakage.component_id)
    here = fittings_at(connection, component, breakage.positions)
    by_id = {one.id: one for one in here}
    found = {}
    for place, position in enumerate(breakage.positions):
        broke = by_id.get(_noted(breakage.broke_fitting_ids, place))
        followed = by_id.get(_noted(breakage.followed_fitting_ids, place))
        mine = [one for one in here if one.position == position]
        if breakage.action is Action.REPLACED:
            # a change entered later may have taken off before what is noted: what broke is what came off when it broke
            if broke is None or broke.removed_at != breakage.at:
                broke = next((one for one in mine if one.removed_at == breakage.at), broke)
            followed = followed or next((one for one in mine if one.fitted_at == breakage.at), None)
        found[position] = _Pair(broke, followed)
    return found


def _noted(ids: tuple[UUID | None, ...], place: int) -> UUID:
    found = ids[place] if place < len(ids) else None
    return found or UUID(int=0)


def breakage_gone(connection: Connection, breakage: Breakage) -> Hanging:
    """Return the fittings as if this had not broken, and the moves of stock that go with it."""
    changed: list[Fitting] = []
    gone: list[Fitting] = []
    if breakage.action is Action.REPLACED:
        for pair in _pairs(connection, breakage).values():
            if pair.followed is None:
                continue
            gone.append(pair.followed)
            if pair.broke is not None and pair.broke.removed_at == breakage.at:
                whole = replace(pair.broke, removed_at=pair.followed.removed_at, removal=pair.followed.removal)
                changed.append(whole)
    return Hanging(changed=changed, gone=[*gone, *find_all(connection, StockMove, breakage_id=breakage.id)])


def breakage_changed(connection: Connection, old: Breakage, new: Breakage) -> Hanging:
    """Return what follows when a breakage is corrected; the row itself is among what is changed."""
    if (old.component_id, old.positions, old.action) != (new.component_id, new.positions, new.action):
        return _entered_anew(connection, old, new)
    return Hanging() if old.at == new.at else _moved(connection, old, new)


def _moved(connection: Connection, old: Breakage, new: Breakage) -> Hanging:
    changed: list[Fitting | StockMove | Repair | Stoppage] = []
    if old.action is Action.REPLACED:
        for pair in _pairs(connection, old).values():
            if pair.broke is not None and pair.broke.removed_at == old.at:
                changed.append(replace(pair.broke, removed_at=new.at))
            if pair.followed is not None and pair.followed.fitted_at == old.at:
                changed.append(replace(pair.followed, fitted_at=new.at))
    changed += [replace(one, at=new.at) for one in find_all(connection, StockMove, breakage_id=old.id)]
    work, also = _work_moved(connection, old, new)
    return Hanging(changed=[*changed, *work], also=also)


def _work_moved(
    connection: Connection, old: Breakage, new: Breakage
) -> tuple[list[Repair | Stoppage], tuple[str, ...]]:
    """The repair and the stop that began with it go along, to its time, machine and component.

    Where another part broke in the same stop they stay with that one, which is told.
    """
    rows = _work_of(connection, old) if old.repair_id == new.repair_id else []
    if not rows:
        return [], ()
    before, after = (find_by_id(connection, Component, one.component_id) for one in (old, new))
    by = new.at - old.at
    moved: list[Repair | Stoppage] = []
    for one in rows:
        there = replace(one, machine_id=after.machine_id if one.machine_id == before.machine_id else one.machine_id)
        if one.started_at == old.at:
            there = replace(there, started_at=new.at, ended_at=one.ended_at + by if one.ended_at else None)
        if isinstance(there, Repair) and there.component_id == before.id:
            there = replace(there, component_id=after.id)
        if there != one:
            moved.append(there)
    if moved and _shares_its_stop(connection, old):
        number = short_number(rows[0].id)
        return [], (f"the repair {number} and its stop stay as they are: another part broke in the same stop",)
    return moved, ()


def _work_of(connection: Connection, breakage: Breakage) -> list[Repair | Stoppage]:
    if breakage.repair_id is None:
        return []
    stops = find_all(connection, Stoppage, repair_id=breakage.repair_id)
    return [*find_many(connection, Repair, [breakage.repair_id]), *stops]


def _shares_its_stop(connection: Connection, breakage: Breakage) -> bool:
    others = find_all(connection, Breakage, repair_id=breakage.repair_id)
    return any(one.id != breakage.id and one.at == breakage.at for one in others)


def _own_repair(connection: Connection, old: Breakage, new: Breakage) -> UUID | None:
    """The repair it goes on belonging to: not that of a stop which stays on another machine."""
    if new.repair_id is None or new.repair_id != old.repair_id or not _shares_its_stop(connection, old):
        return new.repair_id
    before, after = (find_by_id(connection, Component, one.component_id) for one in (old, new))
    return new.repair_id if before.machine_id == after.machine_id else None


def _entered_anew(connection: Connection, old: Breakage, new: Breakage) -> Hanging:
    """Other positions, another component, or something else was done: its fittings and parts as if it were entered so."""
    component = find_by_id(connection, Component, new.component_id)
    refuse_beyond(component, new.positions)
    pairs, back = _pairs(connection, old), breakage_gone(connection, old)
    gone = {one.id: one for one in back.gone}
    as_before = {one.id: one for one in back.changed}
    there = [as_before.get(one.id, one) for one in fittings_at(connection, component, new.positions)]
    here = [one for one in there if isinstance(one, Fitting) and one.id not in gone]
    broke = {
        one.position: one
        for one in here
        if one.fitted_at < new.at and (one.removed_at is None or new.at <= one.removed_at)
    }
    fresh: list[Fitting | StockMove] = []
    broke_later: tuple[Breakage, ...] = ()
    also: tuple[str, ...] = ()
    followed: dict[int, Fitting] = {}
    if new.action is Action.REPLACED:
        change = change_fittings(here, component, new.positions, at=new.at, removal=Removal.BROKE)
        as_before |= {one.id: one for one in change.ended}
        since = [one for one in breakages_since(connection, component, new.at) if one.id != new.id]
        broke_later = breakages_of_new_parts(change.new, change.ended, since)
        move, also = _off_shelf(connection, component, old, new)
        for made in change.new:
            was = pairs.get(made.position) if old.component_id == new.component_id else None
            part_id = move.part_id if move else None
            kept = was.followed if was is not None else None
            # a part that followed before still does: what was entered about it since stays with it
            followed[made.position] = replace(
                made, id=kept.id if kept else made.id, part_id=kept.part_id if kept else part_id
            )
            if kept is None:
                fresh.append(followed[made.position])
            else:
                as_before[kept.id] = followed[made.position]
                gone.pop(kept.id, None)
        if move is not None and move.id in gone:
            as_before[move.id] = move
            gone.pop(move.id)
        elif move is not None:
            fresh.append(move)
    row = replace(
        new,
        repair_id=_own_repair(connection, old, new),
        broke_fitting_ids=tuple(broke[one].id if one in broke else None for one in new.positions),
        followed_fitting_ids=tuple(followed[one].id if one in followed else None for one in new.positions),
    )
    changed = [one for one in as_before.values() if one.id not in gone]
    work, told = _work_moved(connection, old, new)
    return Hanging(
        new=fresh, changed=[row, *changed, *broke_later, *work], gone=list(gone.values()), also=(*also, *told)
    )


def _off_shelf(
    connection: Connection, component: Component, old: Breakage, new: Breakage
) -> tuple[StockMove | None, tuple[str, ...]]:
    """The move of stock that stands for it: the one there was with another number of pieces, or a new one."""
    there = find_all(connection, StockMove, breakage_id=old.id)
    before = find_by_id(connection, Component, old.component_id)
    if len(there) == 1 and before.part_kind_id == component.part_kind_id:
        return replace(there[0], quantity=len(new.positions), at=new.at), ()
    if there and before.part_kind_id == component.part_kind_id:
        return None, ("the parts that came off stock stay as they were entered; count them",)
    return take_off_shelf(connection, component, Taking(len(new.positions), new.at, new.repair_id, new.id))


@dataclass(frozen=True, slots=True)
class Hanging:
    """New rows, changed ones as they shall stand, and those that go, as they stand now; `also` says what a person should know."""

    new: Sequence[Fact] = field(default_factory=list)
    changed: Sequence[Fact] = field(default_factory=list)
    gone: Sequence[Fact] = field(default_factory=list)
    also: tuple[str, ...] = ()
