"""One breakage that two people told: the parts that went on form one chain; repair, stop and parts off the shelf count once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Action, Removal, RepairKind, StockChange
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


@dataclass(frozen=True, slots=True)
class NotedChain:
    """The fittings as they shall stand, and those that are one with another: twin -> kept."""

    fittings: tuple[Fitting, ...]
    joined: dict[UUID, UUID]


def one_chain(kept: Sequence[Fitting], twins: Sequence[Fitting]) -> NotedChain:
    """Put the parts of one position together.

    The first part that each noted is one part, and so are two that went on at one time. Of what came later each part stays, and
    each ends when it was first said to end, or when the next one went on.

    Parameters
    ----------
    kept, twins : sequences of Fitting
        Of the position that is kept, and of its twin.
    """
    joined: dict[UUID, UUID] = {}
    if not kept or not twins:
        return NotedChain(tuple(sorted((*kept, *twins), key=_order)), joined)
    mine, theirs = sorted(kept, key=_order), sorted(twins, key=_order)
    chain = list(mine)
    if _share_time(mine[0], theirs[0]):
        chain[0] = _begun_first(mine[0], theirs[0])
        joined[theirs[0].id] = mine[0].id
    at = {one.fitted_at: one.id for one in reversed(mine)}
    for one in theirs:
        if one.id not in joined and one.fitted_at in at:
            joined[one.id] = at[one.fitted_at]
        elif one.id not in joined:
            chain.append(one)
    ends = sorted(
        (one.removed_at, one.removal or Removal.PLANNED) for one in (*mine, *theirs) if one.removed_at is not None
    )
    return NotedChain(tuple(_ended(sorted(chain, key=_order), ends)), joined)


def _order(fitting: Fitting) -> tuple[datetime, UUID]:
    return fitting.fitted_at, fitting.id


def _share_time(one: Fitting, other: Fitting) -> bool:
    first, second = sorted((one, other), key=_order)
    return first.removed_at is None or second.fitted_at < first.removed_at


def _begun_first(kept: Fitting, twin: Fitting) -> Fitting:
    """The one that is kept, on since the earlier of the two days; an age that somebody knows goes before none."""
    told = min((kept, twin), key=lambda one: (one.fitted_at, one.age_when_fitted_usage is None))
    return replace(
        kept,
        fitted_at=told.fitted_at,
        age_when_fitted_usage=told.age_when_fitted_usage,
        part_id=kept.part_id or twin.part_id,
    )


def _ended(chain: list[Fitting], ends: Sequence[tuple[datetime, Removal]]) -> list[Fitting]:
    found: list[Fitting] = []
    for place, one in enumerate(chain):
        following = chain[place + 1].fitted_at if place + 1 < len(chain) else None
        inside = [end for end in ends if one.fitted_at < end[0] and (following is None or end[0] <= following)]
        if inside:
            found.append(replace(one, removed_at=inside[0][0], removal=inside[0][1]))
        elif following is not None:
            found.append(replace(one, removed_at=following, removal=one.removal or Removal.PLANNED))
        else:
            found.append(replace(one, removed_at=None, removal=None))
    return found


def breakage_on(breakage: Breakage, chains: dict[int, NotedChain]) -> Breakage:
    """Return a breakage that names the fittings of the chains: what came off when it broke, and what went on then.

    A position without a chain keeps what it names; so does a breakage of which nobody noted the fittings.
    """
    broke = list(_each(breakage.broke_fitting_ids, breakage))
    followed = list(_each(breakage.followed_fitting_ids, breakage))
    for place, position in enumerate(breakage.positions):
        chain, off, on = chains.get(position), broke[place], followed[place]
        if chain is not None and off is not None:
            ended = breakage.action is Action.REPLACED
            broke[place] = _broke(chain.fittings, breakage.at, ended=ended) or chain.joined.get(off, off)
        if chain is not None and on is not None:
            begun = [one.id for one in chain.fittings if one.fitted_at == breakage.at]
            followed[place] = begun[0] if begun else chain.joined.get(on, on)
    return replace(breakage, broke_fitting_ids=tuple(broke), followed_fitting_ids=tuple(followed))


def _each(ids: tuple[UUID | None, ...], breakage: Breakage) -> tuple[UUID | None, ...]:
    return (*ids, *[None] * (len(breakage.positions) - len(ids)))


def _broke(fittings: Iterable[Fitting], at: datetime, *, ended: bool) -> UUID | None:
    for one in fittings:
        if one.removed_at == at if ended else one.fitted_at <= at and (one.removed_at is None or at < one.removed_at):
            return one.id
    return None
