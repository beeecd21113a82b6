"""What lies on the shelf, what it cost, what is low, and what left it by its counts against what was entered of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum, unique
from itertools import pairwise
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.costs.stock_cost import UNKNOWN_COST, StockCosts, StockMoves, first_in_first_out
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import Part, PartFit
from wearlog.reckoning.farm import Farm, kind_names
from wearlog.reckoning.parts.fitted_now import NewParts
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, settings_of
from wearlog.store.histories import NONE, Bools, Ints, code_of
from wearlog.store.opening import Store
from wearlog.store.paid_rows import MoveRows, moves
from wearlog.store.plain_reader import PlainReader
from wearlog.store.schema.types import instant
from wearlog.wear.completeness import LogShare, UsedAndEntered, log_shares


@dataclass(frozen=True, slots=True)
class Shelf:
    """One part: how many are on hand, what they cost (those whose cost is known), how many to order in whole packs.

    `on_hand` is as the book says; `short` counts pieces that were used although the book showed none: time to count.
    """

    part: Part
    kind_ids: tuple[UUID, ...]
    on_hand: int
    worth_minor: int
    short: int
    order: int

    @property
    def is_low(self) -> bool:
        return self.on_hand < self.part.keep_on_hand


@dataclass(frozen=True, slots=True)
class CostedMoves:
    """All stock moves in the order of time with what each cost; `moves.part` numbers `parts`."""

    moves: MoveRows
    parts: tuple[Part, ...]
    costs: StockCosts


def costed_moves(connection: Connection) -> CostedMoves:
    """Read all stock moves and cost them first in, first out."""
    parts = tuple(find_all(connection, Part))
    rows = moves(PlainReader(connection), {part.id.bytes: place for place, part in enumerate(parts)})
    changes = list(StockChange)
    as_lists = StockMoves(
        part=rows.part.tolist(),
        change=[changes[one] for one in rows.change.tolist()],
        quantity=rows.quantity.tolist(),
        unit_cost_minor=np.where(rows.unit_cost_minor == NONE, UNKNOWN_COST, rows.unit_cost_minor).tolist(),
    )
    return CostedMoves(rows, parts, first_in_first_out(as_lists))


def shelves(connection: Connection, costed: CostedMoves | None = None) -> tuple[Shelf, ...]:
    """Return every part, the low ones first, then by number; `costed` are the moves where they are read already."""
    costed = costed or costed_moves(connection)
    kinds: dict[UUID, list[UUID]] = defaultdict(list)
    for fit in find_all(connection, PartFit):
        kinds[fit.part_id].append(fit.part_kind_id)
    short = np.zeros(len(costed.parts), dtype=np.int64)
    np.add.at(short, costed.moves.part, costed.costs.short_units)
    found = []
    # a part without a move has no place in the arrays of the moves when there are none at all
    on_hand, worth = costed.costs.on_hand, costed.costs.on_hand_minor
    for place, part in enumerate(costed.parts):
        here = int(on_hand[place]) if place < len(on_hand) else 0
        value = int(worth[place]) if place < len(worth) else 0
        found.append(Shelf(part, tuple(kinds[part.id]), here, value, int(short[place]), _order(part, here)))
    return tuple(sorted(found, key=lambda shelf: (not shelf.is_low, shelf.part.number)))


@dataclass(frozen=True, slots=True)
class ShelfView:
    """Every part, and what it takes to say them: the names of the kinds that they fit, the farm's settings."""

    shelves: tuple[Shelf, ...]
    kind_names: Mapping[UUID, str]
    settings: FarmSettings


def shelf_view(store: Store) -> ShelfView:
    """Return the shelf of a log."""
    with store.reading() as connection:
        return ShelfView(shelves(connection), kind_names(connection), settings_of(connection))


def _order(part: Part, on_hand: int) -> int:
    """Pieces to order so that there are as many as should be kept, in whole packs."""
    missing = part.keep_on_hand - on_hand
    return 0 if missing <= 0 else -(-missing // part.pack_size) * part.pack_size


@unique
class PriceSource(StrEnum):
    """Where a price comes from."""

    LIST = "part_list"
    LAST_RECEIPT = "last_receipt"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class ShelfPart:
    """A part, its price in whole minor units (None: nobody wrote one) and how many are on hand, never below zero."""

    part: Part
    price_minor: int | None
    price_source: PriceSource
    on_hand: int


@dataclass(frozen=True, slots=True)
class PartChoices:
    """Every part of the log by its place, and which one each component takes (by component id; absent: none fits)."""

    parts: tuple[ShelfPart, ...]
    of_component: dict[UUID, int]

    def part_of(self, component_id: UUID) -> ShelfPart | None:
        """Return the part that a component takes."""
        place = self.of_component.get(component_id)
        return None if place is None else self.parts[place]


def part_choices(connection: Connection, farm: Farm) -> PartChoices:
    """Read the parts and choose one for each component.

    Of several that fit: one made for the machine first, then one that has a price, then the one of which most are on hand.
    """
    costed = costed_moves(connection)
    parts = tuple(_shelf_part(costed, place) for place in range(len(costed.parts)))
    place_of = {one.part.id: place for place, one in enumerate(parts)}
    fits: dict[UUID, list[PartFit]] = defaultdict(list)
    for fit in find_all(connection, PartFit):
        if fit.part_id in place_of:
            fits[fit.part_kind_id].append(fit)
    chosen = {}
    for component in farm.components:
        found = [fit for fit in fits[component.part_kind_id] if fit.machine_id in (None, component.machine_id)]
        if found:
            chosen[component.id] = place_of[
                max(found, key=lambda fit: _rank(fit, parts[place_of[fit.part_id]])).part_id
            ]
    return PartChoices(parts, chosen)


def _rank(fit: PartFit, shelf: ShelfPart) -> tuple[bool, bool, int, str]:
    return (fit.machine_id is not None, shelf.price_minor is not None, shelf.on_hand, shelf.part.number)


def _shelf_part(costed: CostedMoves, place: int) -> ShelfPart:
    part = costed.parts[place]
    on_hand = costed.costs.on_hand
    here = int(on_hand[place]) if place < on_hand.size else 0
    if part.price_minor is not None:
        return ShelfPart(part, part.price_minor, PriceSource.LIST, max(here, 0))
    moves = costed.moves
    paid = np.flatnonzero((moves.part == place) & (moves.change == _RECEIVED) & (moves.unit_cost_minor != NONE))
    if paid.size:
        return ShelfPart(part, int(moves.unit_cost_minor[paid[-1]]), PriceSource.LAST_RECEIPT, max(here, 0))
    return ShelfPart(part, None, PriceSource.MISSING, max(here, 0))


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
