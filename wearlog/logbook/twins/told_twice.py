"""One breakage told by two people: the parts that went on are one; repair, stop and parts off the shelf count once."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Removal, RepairKind, StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Fitting, Repair
from wearlog.facts.work import Stoppage
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_many


@dataclass(frozen=True, slots=True)
class AlongWith:
    """What a joined breakage takes along: rows as they shall stand, those that go, and pairs (kept, twin) that are one as well."""

    changed: list[Fact] = field(default_factory=list)
    gone: list[Fact] = field(default_factory=list)
    pairs: list[tuple[Fact, Fact]] = field(default_factory=list)


def refuse_other_place(kept: Breakage, twin: Breakage) -> None:
    """Two breakages at other places are two, whatever a person says."""
    if (kept.component_id, kept.positions, kept.action) != (twin.component_id, twin.positions, twin.action):
        raise RefusedError(
            "The two breakages are at other positions, or one part was replaced and the other not.",
            "Change one of them first, so that they say the same: 'wearlog change' with its number.",
        )


def told_twice(connection: Connection, kept: Breakage, twin: Breakage) -> AlongWith:
    """Return what follows when the second telling of a breakage goes."""
    along = AlongWith()
    _fittings(connection, kept, twin, along)
    used = {move.part_id for move in find_all(connection, StockMove, breakage_id=kept.id, change=StockChange.USED)}
    moves = find_all(connection, StockMove, breakage_id=twin.id, change=StockChange.USED)
    along.gone.extend(move for move in moves if move.part_id in used)
    repairs = {one.id: one for one in find_many(connection, Repair, [i for i in (kept.repair_id, twin.repair_id) if i])}
    mine, other = (repairs.get(i) if i else None for i in (kept.repair_id, twin.repair_id))
    if mine and other and mine.id != other.id and _is_of_one(connection, other):
        along.pairs.append((mine, other))
        along.pairs.extend(_stops(connection, mine, other))
    return along


def _is_of_one(connection: Connection, repair: Repair) -> bool:
    return repair.kind is RepairKind.BREAKDOWN and len(find_all(connection, Breakage, repair_id=repair.id)) == 1


def _stops(connection: Connection, mine: Repair, other: Repair) -> list[tuple[Fact, Fact]]:
    """The machine stood once, however many tell of it."""
    kept = find_all(connection, Stoppage, repair_id=mine.id)
    twins = find_all(connection, Stoppage, repair_id=other.id)
    return [(one, two) for one, two in zip(kept, twins, strict=False) if one.reason is two.reason]


def _fittings(connection: Connection, kept: Breakage, twin: Breakage, along: AlongWith) -> None:
    here = {one.id: one for one in find_all(connection, Fitting, component_id=kept.component_id)}
    for place, position in enumerate(kept.positions):
        mine = here.get(_at(kept.followed_fitting_ids, place))
        other = here.get(_at(twin.followed_fitting_ids, place))
        if mine is None or other is None or mine.id == other.id:
            continue
        ended = other if mine.removed_at in (None, twin.at) else mine
        along.pairs.append((replace(mine, removed_at=ended.removed_at, removal=ended.removal), other))
        for one in here.values():
            broke_then = one.removed_at in (twin.at, kept.at) and one.removal is Removal.BROKE
            if one.position == position and one.id not in (mine.id, other.id) and broke_then:
                along.changed.append(replace(one, removed_at=kept.at))


def _at(ids: tuple[UUID | None, ...], place: int) -> UUID:
    return (ids[place] if place < len(ids) else None) or UUID(int=0)


def broke_before(kept: Breakage, twin: Breakage) -> Breakage:
    """Return the kept breakage naming what broke: where two laptops told of it one after the other, the first of the two knew."""
    if kept.at <= twin.at:
        return kept
    own = set(twin.followed_fitting_ids) - {None}
    broke = [
        _or_none(twin.broke_fitting_ids, place) if one in own else one
        for place, one in enumerate(kept.broke_fitting_ids)
    ]
    return replace(kept, broke_fitting_ids=tuple(broke))


def _or_none(ids: tuple[UUID | None, ...], place: int) -> UUID | None:
    return ids[place] if place < len(ids) else None
