"""First in, first out: each use at the cost of the stock it came from, every cent once, the unknown counted and told."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.costs.stock_cost import LATEST_USE, UNKNOWN_COST, StockMoves, first_in_first_out
from wearlog.errors import DataError
from wearlog.facts.closed_lists import StockChange

CAME, USED, BACK, COUNT = StockChange.RECEIVED, StockChange.USED, StockChange.RETURNED, StockChange.COUNTED


def one_part(*rows: tuple[StockChange, int, int], returns_use: tuple[int, ...] = ()) -> StockMoves:
    change, quantity, unit_cost = zip(*rows, strict=True)
    return StockMoves([0] * len(rows), change, quantity, unit_cost, returns_use)


def test_a_use_takes_the_oldest_stock_first() -> None:
    costs = first_in_first_out(one_part((CAME, 5, 300), (CAME, 5, 400), (USED, 7, UNKNOWN_COST)))
    assert costs.cost_minor.tolist() == [0, 0, 5 * 300 + 2 * 400]
    assert costs.on_hand.tolist() == [3]
    assert costs.on_hand_minor.tolist() == [1_200]


def test_a_return_gives_back_the_units_taken_last_and_they_go_out_first_again() -> None:
    costs = first_in_first_out(one_part((CAME, 2, 300), (CAME, 5, 400), (USED, 4, -1), (BACK, 3, -1), (USED, 2, -1)))
    assert costs.cost_minor.tolist() == [0, 0, 1_400, -(2 * 400 + 300), 300 + 400]
    assert costs.on_hand_minor.tolist() == [4 * 400]


def test_a_return_can_name_the_use_it_undoes() -> None:
    moves = one_part(
        (CAME, 2, 300), (CAME, 2, 400), (USED, 2, -1), (USED, 2, -1), (BACK, 1, -1), returns_use=(-1, -1, -1, -1, 2)
    )
    assert first_in_first_out(moves).cost_minor.tolist() == [0, 0, 600, 800, -300]


def test_returned_more_than_was_used_comes_in_as_new_stock_at_its_own_cost() -> None:
    costs = first_in_first_out(one_part((CAME, 1, 300), (USED, 1, -1), (BACK, 3, 250)))
    assert costs.cost_minor.tolist() == [0, 300, -300]
    assert costs.added_minor.tolist() == [300, 0, 500]
    assert costs.on_hand_minor.tolist() == [800]


def test_used_without_stock_is_counted_as_unknown_not_as_nothing() -> None:
    costs = first_in_first_out(one_part((CAME, 2, 300), (USED, 5, -1)))
    assert costs.cost_minor.tolist() == [0, 600]
    assert costs.unknown_units.tolist() == [0, 3]
    assert costs.short_units.tolist() == [0, 3]
    assert costs.on_hand.tolist() == [0]


def test_what_is_used_before_it_came_in_is_paid_by_what_comes_next() -> None:
    costs = first_in_first_out(one_part((USED, 5, -1), (CAME, 2, 300), (CAME, 10, 400)))
    assert costs.cost_minor.tolist() == [2 * 300 + 3 * 400, 0, 0]
    assert (costs.unknown_units.tolist(), costs.short_units.tolist()) == ([0, 0, 0], [0, 0, 0])
    assert costs.on_hand.tolist() == [7]
    # given back it has the cost it was given
    returned = first_in_first_out(one_part((USED, 5, -1), (CAME, 12, 300), (BACK, 1, -1)))
    assert returned.cost_minor.tolist() == [1500, 0, -300]
    assert returned.on_hand_minor.tolist() == [8 * 300]


def test_a_count_ends_what_was_owed() -> None:
    costs = first_in_first_out(one_part((USED, 5, -1), (COUNT, 3, 200), (CAME, 4, 300)))
    assert costs.cost_minor.tolist() == [0, 0, 0]
    assert costs.short_units.tolist() == [5, 0, 0]
    assert costs.on_hand.tolist() == [7]


def test_stock_without_a_price_is_told() -> None:
    costs = first_in_first_out(one_part((CAME, 4, UNKNOWN_COST), (USED, 1, -1), (BACK, 1, -1)))
    assert costs.unknown_units.tolist() == [0, 1, -1]
    assert costs.short_units.tolist() == [0, 0, 0]
    assert costs.on_hand_unknown.tolist() == [4]


def test_a_count_below_the_book_takes_the_missing_out_at_cost() -> None:
    costs = first_in_first_out(one_part((CAME, 5, 300), (CAME, 5, 400), (COUNT, 4, -1)))
    assert costs.cost_minor.tolist() == [0, 0, 5 * 300 + 400]
    assert costs.on_hand_minor.tolist() == [1_600]


def test_a_count_above_the_book_adds_the_found_ones_and_can_open_the_stock() -> None:
    costs = first_in_first_out(one_part((COUNT, 6, 250), (USED, 2, -1), (COUNT, 5, UNKNOWN_COST)))
    assert costs.added_minor.tolist() == [1_500, 0, 0]
    assert costs.cost_minor.tolist() == [0, 500, 0]
    assert (costs.on_hand.tolist(), costs.on_hand_minor.tolist(), costs.on_hand_unknown.tolist()) == ([5], [1_000], [1])


def test_no_moves_cost_nothing() -> None:
    assert first_in_first_out(StockMoves([], [], [], [])).cost_minor.size == 0


def test_moves_that_make_no_sense_are_refused() -> None:
    with pytest.raises(DataError, match="equal length"):
        first_in_first_out(StockMoves([0], [CAME], [1, 2], [5]))
    with pytest.raises(DataError, match="Stock move 1 has a negative"):
        first_in_first_out(one_part((USED, -1, 5)))


moves = st.lists(
    st.tuples(
        st.integers(0, 2),
        st.sampled_from([CAME, CAME, USED, USED, BACK, COUNT]),
        st.integers(0, 12),
        st.integers(UNKNOWN_COST, 5_000),
    ),
    max_size=40,
)


@given(moves, st.randoms(use_true_random=False))
def test_every_cent_and_every_unit_is_counted_exactly_once(rows: list[tuple[int, StockChange, int, int]], rng) -> None:  # type: ignore[no-untyped-def]
    """What came in = what went out, less what came back, + what is on the shelf; units likewise, against a naive queue."""
    part, change, quantity, unit_cost = ([row[place] for row in rows] for place in range(4))
    undoes = [rng.randrange(-1, place + 1) if rng.random() < 0.3 else LATEST_USE for place in range(len(rows))]
    costs = first_in_first_out(StockMoves(part, change, quantity, unit_cost, undoes))  # type: ignore[arg-type]
    assert costs.added_minor.sum() == costs.cost_minor.sum() + costs.on_hand_minor.sum()
    assert np.all(costs.on_hand >= costs.on_hand_unknown)
    assert np.all(costs.on_hand_unknown >= 0)
    for number in range(costs.on_hand.size):
        book = 0
        for row in range(len(rows)):
            if part[row] != number:
                continue
            if change[row] is COUNT:
                book = quantity[row]
            else:
                book += -quantity[row] if change[row] is USED else quantity[row]
        assert costs.on_hand[number] == max(book, 0)
        mine = [row for row in range(len(rows)) if part[row] == number]
        last_count = max((row for row in mine if change[row] is COUNT), default=-1)
        assert costs.short_units[[row for row in mine if row > last_count]].sum() == max(-book, 0)


@given(st.lists(st.tuples(st.integers(1, 9), st.integers(0, 900)), min_size=1, max_size=12), st.data())
def test_uses_cost_what_a_queue_of_single_units_says(batches: list[tuple[int, int]], data: st.DataObject) -> None:
    queue = [cost for units, cost in batches for _ in range(units)]
    uses = data.draw(st.lists(st.integers(0, 7), max_size=10))
    rows: list[tuple[StockChange, int, int]] = [(CAME, units, cost) for units, cost in batches]
    rows += [(USED, units, UNKNOWN_COST) for units in uses]
    costs = first_in_first_out(one_part(*rows))
    taken = 0
    for place, units in enumerate(uses, start=len(batches)):
        assert costs.cost_minor[place] == sum(queue[taken : taken + units])
        taken += units
