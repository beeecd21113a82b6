"""Splits of cost: every cent of every repair exactly once, whichever key."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.costs.repair_cost import RepairCosts, parts_of_repairs, price_of_time, repair_costs
from wearlog.costs.split import CostSplit, Shares, share_out, split_costs, whole_shares
from wearlog.costs.stock_cost import UNKNOWN_COST, StockMoves, first_in_first_out
from wearlog.errors import DataError
from wearlog.facts.closed_lists import StockChange

MINOR = st.integers(-(10**6), 10**9)


def costs_of(*rows: tuple[int, int, int, int]) -> RepairCosts:
    return RepairCosts(*(np.array(column, dtype=np.int64) for column in zip(*rows, strict=True)))


def shares_of(*rows: tuple[int, int, float]) -> Shares:
    repair, key, weight = zip(*rows, strict=True)
    return Shares(np.array(repair, dtype=np.int64), np.array(key, dtype=np.int64), np.array(weight, dtype=np.float64))


def test_a_repair_that_belongs_to_one_key_goes_there_whole() -> None:
    split = split_costs(costs_of((10, 20, 30, 40), (1, 2, 3, 4)), whole_shares([1, 1]), [100.0, 50.0])
    assert split.costs.parts_minor.tolist() == [0, 11]
    assert split.costs.total_minor.tolist() == [0, 110]
    assert split.per_area_minor == (0.0, 2.2)


def test_a_shared_cost_goes_by_largest_remainder() -> None:
    """100 by weights 1 : 1 : 1 is 34, 33, 33; 10 by 5 : 3 : 2 is exact."""
    shares = shares_of((0, 0, 1), (0, 1, 1), (0, 2, 1), (1, 0, 5), (1, 1, 3), (1, 2, 2))
    split = split_costs(costs_of((100, 0, 0, 0), (10, 0, 0, 0)), shares, [1, 1, 1])
    assert split.costs.parts_minor.tolist() == [34 + 5, 33 + 3, 33 + 2]


def test_a_credit_is_shared_like_a_cost() -> None:
    out = share_out(np.array([-100]), np.array([0, 0, 0]), np.ones(3))
    assert sorted(out.tolist()) == [-34, -33, -33]


def test_a_key_without_weight_gets_nothing_unless_all_are_without() -> None:
    assert share_out(np.array([7]), np.array([0, 0]), np.array([0.0, 3.0])).tolist() == [0, 7]
    assert share_out(np.array([7]), np.array([0, 0]), np.zeros(2)).tolist() == [4, 3]


def test_a_repair_without_a_key_is_unassigned_not_lost() -> None:
    split = split_costs(costs_of((10, 0, 0, 5), (7, 0, 0, 0)), whole_shares([-1, 0]), [0.0])
    assert split.unassigned.total_minor.tolist() == [15]
    assert split.total.total_minor.tolist() == [22]
    assert split.per_area_minor == (None,)


def test_no_repairs_make_an_empty_split() -> None:
    none = np.zeros(0, dtype=np.int64)
    split = split_costs(RepairCosts(none, none, none, none), whole_shares([]), [10.0])
    assert split.costs.total_minor.tolist() == [0]
    assert split.total.total_minor.tolist() == [0]


def test_what_does_not_fit_is_refused() -> None:
    costs = costs_of((1, 1, 1, 1))
    with pytest.raises(DataError, match="not there"):
        split_costs(costs, whole_shares([3]), [1.0])
    with pytest.raises(DataError, match="cannot be negative"):
        split_costs(costs, shares_of((0, 0, -1.0)), [1.0])
    with pytest.raises(DataError, match="too large"):
        split_costs(costs_of((2**60, 0, 0, 0)), whole_shares([0]), [1.0])
    with pytest.raises(DataError, match="equal length"):
        RepairCosts(np.zeros(2, np.int64), np.zeros(1, np.int64), np.zeros(1, np.int64), np.zeros(1, np.int64))
    with pytest.raises(DataError, match="equal length"):
        split_costs(costs, Shares(np.array([0]), np.array([0, 0]), np.ones(1)), [1.0])


def test_time_is_priced_to_the_nearest_cent_with_halves_to_even() -> None:
    assert price_of_time([3_600, 1_800, 5_400, 1, 0], 1).tolist() == [1, 0, 2, 0, 0]
    assert price_of_time([5_400], 25_00).tolist() == [37_50]


@given(st.integers(0, 10**7), st.integers(0, 10**6))
def test_time_is_priced_like_an_exact_fraction(seconds: int, rate: int) -> None:
    assert price_of_time([seconds], rate).tolist() == [round(Fraction(seconds * rate, 3_600))]


def test_parts_go_to_the_repair_they_were_used_on_and_the_rest_stays_told() -> None:
    moves = StockMoves(
        [0, 0, 0, 0, 0],
        [StockChange.RECEIVED, StockChange.USED, StockChange.USED, StockChange.COUNTED, StockChange.USED],
        [10, 2, 3, 4, 6],
        [250, UNKNOWN_COST, UNKNOWN_COST, UNKNOWN_COST, UNKNOWN_COST],
    )
    parts = parts_of_repairs(first_in_first_out(moves), [-1, 1, 0, -1, 0], 2)
    assert parts.parts_minor.tolist() == [3 * 250 + 4 * 250, 500]
    assert parts.unknown_units.tolist() == [2, 0]
    assert (parts.elsewhere_minor, parts.elsewhere_unknown) == (250, 0)
    with pytest.raises(DataError, match="not there"):
        parts_of_repairs(first_in_first_out(moves), [-1, 1, 0, -1, 2], 2)


@st.composite
def repairs_and_shares(draw: st.DrawFn) -> tuple[RepairCosts, Shares, list[float]]:
    keys = draw(st.integers(1, 6))
    rows = draw(st.lists(st.tuples(MINOR, MINOR, MINOR, MINOR), min_size=1, max_size=12))
    weights = st.one_of(st.just(0.0), st.floats(0, 1e300), st.integers(0, 10**7).map(float))
    links = draw(
        st.lists(st.tuples(st.integers(0, len(rows) - 1), st.integers(0, keys - 1), weights), min_size=1, max_size=40)
    )
    area = draw(st.lists(st.floats(0, 1e5, allow_subnormal=False), min_size=keys, max_size=keys))
    return costs_of(*rows), shares_of(*links), area


def columns(split: CostSplit) -> list[tuple[int, int, int]]:
    parts = zip(split.costs.columns, split.unassigned.columns, split.total.columns, strict=True)
    return [(int(by_key.sum()), int(without.sum()), int(total.sum())) for by_key, without, total in parts]


@given(repairs_and_shares())
def test_every_cent_of_every_repair_is_counted_exactly_once(case: tuple[RepairCosts, Shares, list[float]]) -> None:
    """The parts of every split add up to the total: column by column, and for each repair alone."""
    costs, shares, area = case
    split = split_costs(costs, shares, area)
    for (by_key, without, total), column in zip(columns(split), costs.columns, strict=True):
        assert by_key + without == total == int(column.sum())
    for repair in range(costs.parts_minor.size):
        rows = shares.repair == repair
        alone = RepairCosts(*(column[repair : repair + 1] for column in costs.columns))
        of_it = split_costs(alone, Shares(shares.repair[rows] * 0, shares.key[rows], shares.weight[rows]), area)
        assert int(of_it.costs.total_minor.sum() + of_it.unassigned.total_minor.sum()) == int(alone.total_minor.sum())


@given(st.integers(-(10**8), 10**8), st.lists(st.integers(0, 10**6), min_size=1, max_size=9))
def test_no_share_is_a_cent_or_more_from_its_exact_part(cost: int, weights: list[int]) -> None:
    rows = share_out(np.array([cost]), np.zeros(len(weights), dtype=np.int64), np.array(weights, dtype=np.float64))
    whole = sum(weights)
    for share, weight in zip(rows.tolist(), weights, strict=True):
        exact = Fraction(cost * weight, whole) if whole else Fraction(cost, len(weights))
        assert abs(share - exact) < 1


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 400), st.integers(0, 36_000)), min_size=1, max_size=15))
def test_from_stock_to_split_no_cent_is_lost(rows: list[tuple[int, int, int]]) -> None:
    """Parts bought = parts in the split + used without a repair + still on the shelf, by two different keys."""
    units, unit_cost, labour = zip(*rows, strict=True)
    repairs = len(rows)
    change = [StockChange.RECEIVED] * repairs + [StockChange.USED] * repairs
    quantity = [*units, *(max(unit - 1, 0) for unit in units)]
    moves = StockMoves([0] * 2 * repairs, change, quantity, [*unit_cost, *[UNKNOWN_COST] * repairs])
    stock = first_in_first_out(moves)
    parts = parts_of_repairs(stock, [-1] * repairs + [*range(repairs - 1), -1], repairs)
    costs = repair_costs(
        parts_minor=parts.parts_minor,
        labour_seconds=labour,
        labour_minor_per_hour=31_17,
        hired_minor=unit_cost,
        downtime_seconds=labour,
        downtime_minor_per_hour=112_50,
    )
    bought = sum(unit * cost for unit, cost in zip(units, unit_cost, strict=True))
    for keys in (1, 3):
        split = split_costs(costs, whole_shares([row % keys for row in range(repairs)]), np.ones(keys))
        in_split = int(split.costs.parts_minor.sum())
        assert bought == in_split + parts.elsewhere_minor + int(stock.on_hand_minor.sum())
        assert int(split.costs.total_minor.sum()) == int(costs.total_minor.sum())
