"""First in, first out: what each use of a part cost, from the stock it came from. It knows no repairs; those are repair_cost.py."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.facts.closed_lists import StockChange

#: stands for a unit cost that nobody wrote down
UNKNOWN_COST: Final = -1
#: a return that does not say which use it undoes
LATEST_USE: Final = -1


@dataclass(frozen=True, slots=True)
class StockMoves:
    """Moves of all parts in order of time, one row each.

    Attributes
    ----------
    part : sequence of int
        0, 1, ... which part.
    change : sequence of StockChange
        `received` and `used` say how many came or went, `returned` how many came back to the shelf from a use, `counted`
        how many there are.
    quantity : sequence of int
    unit_cost_minor : sequence of int
        What one cost when it came, in whole minor units; `UNKNOWN_COST` when not known or not asked for.
    returns_use : sequence of int
        For a return, the row of the use it undoes, or `LATEST_USE`; empty when no return says so.
    """

    part: Sequence[int]
    change: Sequence[StockChange]
    quantity: Sequence[int]
    unit_cost_minor: Sequence[int]
    returns_use: Sequence[int] = ()


@dataclass(frozen=True, slots=True)
class StockCosts:
    """What every move cost. added.sum() == cost.sum() + on_hand_minor.sum(), to the cent.

    Attributes
    ----------
    cost_minor : ndarray of int64, shape (moves,)
        Uses and what a count found missing: above zero. Returns: below zero. Else 0. Known costs only.
    unknown_units : ndarray of int64, shape (moves,)
        Units of the move whose cost nobody knows, with the sign of the cost; they are in no sum.
    short_units : ndarray of int64, shape (moves,)
        Units used although the book showed none, and none came in later for them: a receipt was not entered.
    added_minor : ndarray of int64, shape (moves,)
        Value that came in with the move.
    on_hand : ndarray of int64, shape (parts,)
    on_hand_minor : ndarray of int64, shape (parts,)
    on_hand_unknown : ndarray of int64, shape (parts,)
        Units on the shelf without a known cost.
    """

    cost_minor: NDArray[np.int64]
    unknown_units: NDArray[np.int64]
    short_units: NDArray[np.int64]
    added_minor: NDArray[np.int64]
    on_hand: NDArray[np.int64]
    on_hand_minor: NDArray[np.int64]
    on_hand_unknown: NDArray[np.int64]


@dataclass(slots=True)
class _Layer:
    """Units that came at one cost; `use` is the row of the use that took them, once taken."""

    unit_cost: int
    units: int
    use: int = LATEST_USE


@dataclass(slots=True)
class _Owed:
    """Units that a use took although the book showed none, until some come in."""

    layer: _Layer
    units: int


@dataclass(slots=True)
class _Shelf:
    """One part while its moves are gone through: layers and what is owed oldest first, what was taken latest last."""

    layers: deque[_Layer] = field(default_factory=deque)
    taken: list[_Layer] = field(default_factory=list)
    owed: deque[_Owed] = field(default_factory=deque)
    units: int = 0

    def come_in(self, unit_cost: int, units: int, *, in_front: bool = False) -> list[_Layer]:
        """Put units on the shelf; those that were used before they came go to their uses, and are returned with them."""
        filled: list[_Layer] = []
        while units and self.owed:
            owed = self.owed[0]
            now = min(units, owed.units)
            owed.units -= now
            units -= now
            filled.append(_Layer(unit_cost, now, owed.layer.use))
            self._now_known(owed.layer, unit_cost, now)
            if not owed.units:
                self.owed.popleft()
        if units:
            (self.layers.appendleft if in_front else self.layers.append)(_Layer(unit_cost, units))
            self.units += units
        return filled

    def _now_known(self, layer: _Layer, unit_cost: int, units: int) -> None:
        """What was taken at an unknown cost has one now, for when it is given back."""
        known = min(units, layer.units)
        if unit_cost == UNKNOWN_COST or not known:
            return
        place = next(number for number, one in enumerate(self.taken) if one is layer)
        layer.units -= known
        self.taken.insert(place, _Layer(unit_cost, known, layer.use))

    def take(self, units: int) -> list[_Layer]:
        """Take from the oldest layers; what the book does not have comes at an unknown cost, as a last layer."""
        out: list[_Layer] = []
        while units and self.layers:
            oldest = self.layers[0]
            now = min(units, oldest.units)
            out.append(_Layer(oldest.unit_cost, now))
            oldest.units -= now
            self.units -= now
            units -= now
            if oldest.units == 0:
                self.layers.popleft()
        if units:
            out.append(_Layer(UNKNOWN_COST, units))
        return out

    def give_back(self, units: int, use: int) -> list[_Layer]:
        """Return the units that were taken last, each at the cost it went out with; they are not on the shelf yet."""
        back: list[_Layer] = []
        for place in range(len(self.taken) - 1, -1, -1):
            if not units:
                break
            layer = self.taken[place]
            if use not in (LATEST_USE, layer.use) or not layer.units:
                continue
            now = min(units, layer.units)
            layer.units -= now
            units -= now
            back.append(_Layer(layer.unit_cost, now))
        while self.taken and not self.taken[-1].units and not any(one.layer is self.taken[-1] for one in self.owed):
            self.taken.pop()
        return back


def first_in_first_out(moves: StockMoves) -> StockCosts:
    """Cost every use of a part from the stock it came from, oldest first.

    Parameters
    ----------
    moves : StockMoves
        In order of time.

    Returns
    -------
    StockCosts

    Raises
    ------
    DataError
        When the columns differ in length, a quantity is negative or a part has no number.

    Notes
    -----
    A return gives back what its use paid, latest units first, and they stand in front of the queue again. More returned than
    was ever used comes in as new stock at the return's own unit cost. What is used before it came in is owed: the next units
    that come in go to those uses, oldest first, and give them their cost; a count ends that. A count below the book takes the
    missing units out at cost, a count above it adds the found ones at the count's unit cost; the first count is how opening
    stock is entered.
    """
    rows = len(moves.part)
    _check(moves, rows)
    parts = max(moves.part, default=-1) + 1
    shelves = [_Shelf() for _ in range(parts)]
    # numbers of their own: a cell of an array takes ten times as long to set
    cost, unknown, short, added = ([0] * rows for _ in range(4))
    for row in range(rows):
        shelf, unit_cost, change = shelves[moves.part[row]], moves.unit_cost_minor[row], moves.change[row]
        came, went = _came_and_went(shelf, change, moves.quantity[row])
        filled: list[_Layer] = []
        if change is StockChange.COUNTED:
            # a count says what there is: what was owed until then came from somewhere
            shelf.owed.clear()
        if change is StockChange.RETURNED:
            back = shelf.give_back(came, moves.returns_use[row] if moves.returns_use else LATEST_USE)
            cost[row], unknown[row] = (-figure for figure in _worth(back))
            came -= sum(layer.units for layer in back)
            for layer in back:
                filled += shelf.come_in(layer.unit_cost, layer.units, in_front=True)
        if went:
            short[row] = max(went - shelf.units, 0)
            out = [_Layer(layer.unit_cost, layer.units, row) for layer in shelf.take(went)]
            cost[row], unknown[row] = _worth(out)
            if change is StockChange.USED:
                shelf.taken.extend(out)
                if short[row]:
                    shelf.owed.append(_Owed(out[-1], short[row]))
        if came:
            filled += shelf.come_in(unit_cost, came)
            added[row] = came * unit_cost if unit_cost != UNKNOWN_COST else 0
        for layer in filled:
            short[layer.use] -= layer.units
            if layer.unit_cost != UNKNOWN_COST:
                cost[layer.use] += layer.unit_cost * layer.units
                unknown[layer.use] -= layer.units
    left = [_worth(shelf.layers) for shelf in shelves]
    return StockCosts(
        np.array(cost, dtype=np.int64),
        np.array(unknown, dtype=np.int64),
        np.array(short, dtype=np.int64),
        np.array(added, dtype=np.int64),
        np.array([shelf.units for shelf in shelves], dtype=np.int64),
        np.array([minor for minor, _ in left], dtype=np.int64),
        np.array([units for _, units in left], dtype=np.int64),
    )


def _came_and_went(shelf: _Shelf, change: StockChange, quantity: int) -> tuple[int, int]:
    """Units that came on the shelf and that went off it."""
    if change is StockChange.COUNTED:
        # a count says how many there are: the difference to the book was found or is missing
        return max(quantity - shelf.units, 0), max(shelf.units - quantity, 0)
    return (0, quantity) if change is StockChange.USED else (quantity, 0)


def _worth(layers: Sequence[_Layer] | deque[_Layer]) -> tuple[int, int]:
    """Known cost in minor units, and the number of units without one."""
    known = sum(layer.unit_cost * layer.units for layer in layers if layer.unit_cost != UNKNOWN_COST)
    return known, sum(layer.units for layer in layers if layer.unit_cost == UNKNOWN_COST)


def _check(moves: StockMoves, rows: int) -> None:
    columns: tuple[Sequence[object], ...] = (moves.change, moves.quantity, moves.unit_cost_minor)
    if any(len(column) != rows for column in columns) or len(moves.returns_use) not in (0, rows):
        raise DataError("The columns of the stock moves are not of equal length.", "Give every move in every column.")
    for row in range(rows):
        if moves.quantity[row] < 0 or moves.unit_cost_minor[row] < UNKNOWN_COST or moves.part[row] < 0:
            raise DataError(
                f"Stock move {row + 1} has a negative quantity or cost.",
                "Write a use as 'used', with its quantity above zero.",
            )
