"""The choice within a budget and shop hours: exact, plain when there is no money, and what more would buy."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.plan.budget import Bound, Limits, Wishes, choose, more_money

HOUR = 3_600


def by_trying_all(wishes: Wishes, limits: Limits) -> int:
    best = -(10**12)
    for picks in product([False, True], repeat=wishes.gain_minor.size):
        chosen = np.array(picks, dtype=bool)
        if np.any(wishes.must & ~chosen) or np.any(wishes.barred & chosen):
            continue
        money = limits.budget_minor is None or int(wishes.spend_minor[chosen].sum()) <= limits.budget_minor
        hours = limits.shop_seconds is None or int(wishes.shop_seconds[chosen].sum()) <= limits.shop_seconds
        if money and hours:
            best = max(best, int(wishes.gain_minor[chosen].sum()))
    return best


line = st.tuples(st.integers(-50_00, 5_000_00), st.integers(0, 900_00), st.integers(0, 20 * HOUR))
limit = st.one_of(st.none(), st.integers(0, 2_000_00))


@settings(max_examples=120, deadline=None)
@given(st.lists(line, min_size=1, max_size=8), limit, st.one_of(st.none(), st.integers(0, 60 * HOUR)))
def test_the_choice_equals_trying_all(lines: list[tuple[int, int, int]], budget: int | None, hours: int | None) -> None:
    wishes = Wishes.of(*zip(*lines, strict=True))
    limits = Limits(budget, hours)
    found = choose(wishes, limits)
    assert found.gain_minor == by_trying_all(wishes, limits)
    assert budget is None or found.spend_minor <= budget
    assert hours is None or found.shop_seconds <= hours
    assert found.gain_minor == int(wishes.gain_minor[found.chosen].sum())
    assert not np.any(found.chosen & (wishes.gain_minor <= 0))


@settings(max_examples=50, deadline=None)
@given(st.lists(line, min_size=2, max_size=7), st.integers(0, 2_000_00), st.data())
def test_what_is_settled_by_hand_is_kept(lines: list[tuple[int, int, int]], budget: int, data: st.DataObject) -> None:
    marks = data.draw(st.lists(st.sampled_from(["", "", "must", "barred"]), min_size=len(lines), max_size=len(lines)))
    must, barred = [mark == "must" for mark in marks], [mark == "barred" for mark in marks]
    wishes = Wishes.of(*zip(*lines, strict=True), must=must, barred=barred)
    found = choose(wishes, Limits(budget))
    assert np.all(found.chosen[wishes.must])
    assert not np.any(found.chosen[wishes.barred])
    by_hand = int(wishes.spend_minor[wishes.must].sum())
    if by_hand <= budget:
        assert found.gain_minor == by_trying_all(wishes, Limits(budget))
        assert found.overspent_minor == 0
    else:
        assert found.overspent_minor == by_hand - budget
        assert not np.any(found.chosen & ~wishes.must & (wishes.spend_minor > 0))


@settings(max_examples=60, deadline=None)
@given(st.lists(line, min_size=1, max_size=7), st.integers(0, 1_000_00))
def test_more_money_equals_trying_all_and_the_least_useful_step_is_the_least(
    lines: list[tuple[int, int, int]], budget: int
) -> None:
    wishes = Wishes.of(*zip(*lines, strict=True))
    now = by_trying_all(wishes, Limits(budget))
    more = more_money(wishes, Limits(budget), 100_00)
    assert more.gain_minor == by_trying_all(wishes, Limits(budget + 100_00)) - now
    step = more.next_useful_minor
    if step is None:
        assert now == by_trying_all(wishes, Limits(None))
    else:
        assert by_trying_all(wishes, Limits(budget + step)) > now
        assert by_trying_all(wishes, Limits(budget + step - 1)) == now
        assert more.next_gain_minor > 0


def test_which_limit_holds_is_told() -> None:
    wishes = Wishes.of([500, 400], [100, 100], [HOUR, HOUR])
    assert choose(wishes, Limits()).bound is Bound.ALL_DONE
    assert choose(wishes, Limits(200, 2 * HOUR)).bound is Bound.ALL_DONE
    assert choose(wishes, Limits(150, 2 * HOUR)).bound is Bound.MONEY
    assert choose(wishes, Limits(200, HOUR)).bound is Bound.SHOP_HOURS
    assert choose(wishes, Limits(150, HOUR)).bound is Bound.MONEY_AND_SHOP_HOURS
    assert choose(wishes, Limits(150, HOUR)).chosen.tolist() == [True, False]


@pytest.mark.parametrize("budget", [0, -500])
def test_no_money_is_a_plain_answer(budget: int) -> None:
    found = choose(Wishes.of([500, 400], [100, 100]), Limits(budget))
    assert not found.chosen.any()
    assert (found.gain_minor, found.spend_minor, found.bound) == (0, 0, Bound.MONEY)


def test_what_costs_no_money_is_done_without_any() -> None:
    found = choose(Wishes.of([500, 400], [100, 0], [0, HOUR]), Limits(0, HOUR))
    assert found.chosen.tolist() == [False, True]


def test_nothing_listed_and_nothing_that_pays_are_plain_answers() -> None:
    assert choose(Wishes.of([], []), Limits(100)).bound is Bound.NOTHING_LISTED
    assert choose(Wishes.of([-5, 0], [1, 1]), Limits(100)).bound is Bound.NOTHING_PAYS
    assert more_money(Wishes.of([], []), Limits(100)).next_useful_minor is None


def test_chosen_by_hand_beyond_the_budget_says_by_how_much() -> None:
    found = choose(Wishes.of([500, 400], [300, 100], [2 * HOUR, 0], must=[True, False]), Limits(250, HOUR))
    assert found.chosen.tolist() == [True, False]
    assert (found.overspent_minor, found.over_shop_seconds) == (50, HOUR)
    assert found.bound is Bound.MONEY


def test_what_the_next_hundred_would_buy() -> None:
    wishes = Wishes.of([900_00, 800_00, 700_00], [300_00, 250_00, 200_00])
    more = more_money(wishes, Limits(300_00), 100_00)
    assert choose(wishes, Limits(300_00)).chosen.tolist() == [True, False, False]
    assert (more.gain_minor, more.added, more.dropped) == (0, (), ())
    assert (more.next_useful_minor, more.next_gain_minor) == (150_00, 600_00)
    swap = more_money(wishes, Limits(400_00), 100_00)
    assert (swap.gain_minor, swap.added, swap.dropped) == (700_00, (2,), ())
    assert more_money(wishes, Limits()).next_useful_minor is None


def test_a_saving_of_one_cent_more_is_a_useful_step() -> None:
    more = more_money(Wishes.of([500, 501], [100, 140]), Limits(100), 30)
    assert (more.next_useful_minor, more.next_gain_minor) == (40, 1)


def test_a_list_made_to_be_hard_is_answered_soon_within_the_budget_to_the_cent() -> None:
    """All lines save the same for the money, to seven digits: not proved, but next to nothing of the budget is left unused."""
    rng = np.random.default_rng(3)
    spend = rng.integers(10_000_00, 90_000_00, 60)
    found = choose(Wishes.of(spend * 2 + rng.integers(0, 100, 60), spend), Limits(500_000_01))
    assert found.spend_minor <= 500_000_01
    assert found.spend_minor > 0.9999 * 500_000_01
    assert not found.proven


def test_a_list_of_150_lines_under_both_limits_is_proved() -> None:
    rng = np.random.default_rng(4)
    wishes = Wishes.of(
        rng.integers(-100_00, 3_000_00, 150), rng.integers(20_00, 2_000_00, 150), rng.integers(600, 40_000, 150)
    )
    found = choose(wishes, Limits(6_000_00, 80 * HOUR))
    assert found.proven
    assert found.bound is Bound.MONEY_AND_SHOP_HOURS
    assert (found.spend_minor <= 6_000_00, found.shop_seconds <= 80 * HOUR) == (True, True)


def test_lists_that_make_no_sense_are_refused() -> None:
    with pytest.raises(DataError, match="equal length"):
        Wishes.of([1, 2], [1])
    with pytest.raises(DataError, match="is negative"):
        Wishes.of([1], [-1])
    with pytest.raises(DataError, match="to be done and not"):
        Wishes.of([1], [1], must=[True], barred=[True])
    with pytest.raises(DataError, match="above zero"):
        more_money(Wishes.of([1], [1]), Limits(5), 0)
