"""How much of what left the shelf was entered: two counts of a part beside the entries between them, kind by kind."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Final

import numpy as np

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import StockChange
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.fitted_now import NewParts
from wearlog.store.histories import Bools, Ints, code_of
from wearlog.store.schema.types import instant
from wearlog.wear.completeness import LogShare, UsedAndEntered, log_shares

#: an entry may be dated so long after the piece left the shelf
_LATE: Final = 14 * 86_400_000_000
_MINUTE: Final = 60_000_000

_RECEIVED, _USED, _RETURNED, _COUNTED = (
    code_of(one) for one in (StockChange.RECEIVED, StockChange.USED, StockChange.RETURNED, StockChange.COUNTED)
)


@dataclass(frozen=True, slots=True)
class SeasonUse:
    """What was used and entered of a kind between two counts that follow each other, by the harvest year of the later one."""

    harvest_year: int
    of: UsedAndEntered


@dataclass(frozen=True, slots=True)
class KindShare:
    """How complete the log of a kind is, and its seasons in their order."""

    share: LogShare
    seasons: tuple[SeasonUse, ...]


def shelf_shares(farm: Farm) -> dict[int, KindShare]:
    """Return the share entered of each kind whose parts were counted at least twice, by its place in the histories.

    Notes
    -----
    Used is what the first count showed and came since, less what the last count showed: what was brought back is on the shelf
    again. Entered is what breakages and planned work fitted or took, whichever is more, and every other use that was entered; what
    was fitted up to two weeks after a count may have left before it. A part that fits several kinds is left out: nobody knows which
    of them took it.
    """
    spans = _spans(farm)
    by_kind: dict[int, list[_Span]] = {}
    for span in spans:
        by_kind.setdefault(span.kind, []).append(span)
    new = NewParts(farm)
    whole = {kind: _together(new, kind, mine) for kind, mine in by_kind.items()}
    kinds = [kind for kind, of in whole.items() if of.used > 0]
    shares = log_shares([whole[kind] for kind in kinds])
    return {
        kind: KindShare(share, _by_season(farm, new, kind, by_kind[kind]))
        for kind, share in zip(kinds, shares, strict=True)
    }


@dataclass(frozen=True, slots=True)
class _Step:
    """From one count of a part to the next: used by the counts, taken by entries, other uses; instants in microseconds.

    `rough` broke and are entered without day and place.
    """

    part: int
    begins: int
    ends: int
    used: int
    taken: int
    otherwise: int
    rough: int


@dataclass(frozen=True, slots=True)
class _Span:
    """One part from its first count to its last."""

    kind: int
    steps: tuple[_Step, ...]
    counted: int


def _spans(farm: Farm) -> list[_Span]:
    moves, fits = farm.histories.stock_moves, farm.histories.part_fits
    kinds: dict[int, set[int]] = {}
    for part, kind in zip(fits.part.tolist(), fits.part_kind.tolist(), strict=True):
        kinds.setdefault(part, set()).add(kind)
    until = moves.at <= farm.now_microseconds
    # of what happens at one instant a count comes last: it sees all of it
    order = np.lexsort((moves.change, moves.at, moves.part))
    order = order[until[order]]
    part = moves.part[order]
    begins = np.flatnonzero(np.r_[True, part[1:] != part[:-1]][: part.size])
    found = []
    for begin, end in pairwise([*begins.tolist(), part.size]):
        mine = kinds.get(int(part[begin]), set())
        rows = order[begin:end]
        counts = np.flatnonzero(moves.change[rows] == _COUNTED)
        if len(mine) == 1 and counts.size > 1:
            steps = _steps(farm, rows, counts)
            at_ends = moves.quantity[rows[counts[[0, -1]]]]
            found.append(_Span(next(iter(mine)), steps, int(at_ends.sum())))
    return found


def _steps(farm: Farm, rows: Ints, counts: Ints) -> tuple[_Step, ...]:
    """Return what went from one count of a part to the next; `counts` are their places among its `rows`."""
    moves = farm.histories.stock_moves
    change, quantity, at = moves.change[rows], moves.quantity[rows], moves.at[rows[counts]].tolist()
    used, tied, rough = change == _USED, moves.is_tied[rows], moves.is_rough[rows]
    shown = quantity[counts]

    def pieces(which: Bools) -> Ints:
        # a count is none of these, so that what was before a count and before the next differ by what lies between
        return np.diff(np.cumsum(np.where(which, quantity, 0))[counts])

    back = pieces(change == _RETURNED)
    columns = (
        shown[:-1] + pieces(change == _RECEIVED) - shown[1:],
        pieces(used & tied) - back,
        pieces(used & ~tied & ~rough),
        pieces(used & rough),
    )
    told = zip(pairwise(at), *(column.tolist() for column in columns), strict=True)
    return tuple(_Step(int(moves.part[rows[0]]), begins, ends, *pieces) for (begins, ends), *pieces in told)


def _together(new: NewParts, kind: int, spans: list[_Span]) -> UsedAndEntered:
    steps = [step for span in spans for step in span.steps]
    return _used_and_entered(new, kind, steps, sum(span.counted for span in spans))


def _by_season(farm: Farm, new: NewParts, kind: int, spans: list[_Span]) -> tuple[SeasonUse, ...]:
    by_year: dict[int, list[_Step]] = {}
    for span in spans:
        for step in span.steps:
            by_year.setdefault(farm.harvest_year(instant(step.ends)), []).append(step)
    return tuple(SeasonUse(year, _used_and_entered(new, kind, by_year[year], 0)) for year in sorted(by_year))


def _used_and_entered(new: NewParts, kind: int, steps: list[_Step], counted: int) -> UsedAndEntered:
    begins, ends = min(step.begins for step in steps), max(step.ends for step in steps)
    taken, otherwise = sum(step.taken for step in steps), sum(step.otherwise for step in steps)
    entered = max(taken, new.between(kind, begins, ends + _LATE)) + otherwise
    used, rough = sum(step.used for step in steps), sum(step.rough for step in steps)
    # what is known to have broken was used, whatever a count says
    used = max(used, entered + rough) if rough else used
    return UsedAndEntered(float(used), float(entered), float(counted), float(rough))


@dataclass(frozen=True, slots=True)
class RoughPlace:
    """Where missing pieces of a kind and a season belong: the part (its place among the ids), when, and how many are missing."""

    harvest_year: int
    part: int
    at: datetime
    missing: int


def rough_places(farm: Farm, kind: int) -> tuple[RoughPlace, ...]:
    """Return for each season of a kind that was counted where pieces belong that broke in it, day and place not known.

    They are dated before the count that found them gone, so that it stays what it is. Those already entered so are not missing.
    """
    found: dict[int, _Step] = {}
    for span in _spans(farm):
        for step in span.steps if span.kind == kind else ():
            year = farm.harvest_year(instant(step.ends))
            if year not in found or _gone(step) > _gone(found[year]):
                found[year] = step
    share = shelf_shares(farm).get(kind)
    seasons = {} if share is None else {one.harvest_year: one.of for one in share.seasons}
    return tuple(
        RoughPlace(
            year,
            step.part,
            # between the two counts, however soon one followed the other
            instant(step.ends - min(_MINUTE, (step.ends - step.begins) // 2)),
            max(round(seasons[year].missing - seasons[year].rough), 0) if year in seasons else 0,
        )
        for year, step in sorted(found.items())
    )


def rough_place(farm: Farm, kind: int, harvest_year: int | None = None) -> RoughPlace:
    """Return where missing pieces of a season belong; without a year, of the season in which most are missing.

    Raises
    ------
    RefusedError
        When no count of the shelf speaks of that season.
    """
    places = rough_places(farm, kind)
    mine = [one for one in places if harvest_year in (None, one.harvest_year)]
    if not mine:
        name = farm.part_kinds[kind].name
        when = "" if harvest_year is None else f" in {harvest_year}"
        years = ", ".join(str(one.harvest_year) for one in places)
        raise RefusedError(
            f"No count of the shelf tells how many of the {name} went{when}.",
            f"Counted were: {years}."
            if years
            else "Count the shelf twice (wearlog stock count), or log what broke: wearlog log.",
        )
    return max(mine, key=lambda one: (one.missing, one.harvest_year))


def _gone(step: _Step) -> int:
    return step.used - step.taken - step.otherwise - step.rough
