"""The parts of one position as two people noted them, as one chain: what was on there, one after the other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Action, Removal
from wearlog.facts.wearing import Breakage, Fitting


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
