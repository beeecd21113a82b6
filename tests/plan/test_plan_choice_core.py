"""The choice within limits, beside every choice there is gone through, and beside the solver on lists as long as a farm's."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from wearlog.plan.choice_core import cheapest_within

WISHES = st.lists(
    st.tuples(st.integers(-40, 40), st.integers(-6, 20), st.integers(0, 20), st.integers(0, 4)), min_size=1, max_size=9
)


def every_choice(cost: list[int], takes: list[list[int]], room: list[int], group: list[int]) -> tuple[int, ...] | None:
    """The least cost within the limits and what that takes of the first, by trying all; None where nothing fits."""
    names = sorted(set(group))
    found = []
    for picks in product(*([None, *(at for at, one in enumerate(group) if one == name)] for name in names)):
        chosen = [at for at in picks if at is not None]
        taken = [sum(row[at] for at in chosen) for row in takes]
        if all(used <= most for used, most in zip(taken, room, strict=True)):
            found.append((sum(cost[at] for at in chosen), taken[0]))
    return min(found) if found else None


@given(WISHES, st.integers(-8, 60), st.integers(0, 60))
def test_no_choice_within_the_limits_costs_less(wishes: list[tuple[int, ...]], first: int, second: int) -> None:
    cost, one, two, group = (list(column) for column in zip(*wishes, strict=True))
    chosen = cheapest_within(np.array(cost), np.array([one, two]), np.array([first, second]), np.array(group))
    best = every_choice(cost, [one, two], [first, second], group)
    if chosen is None:
        # it may find nothing only where little fits: then the solver is asked
        assert best is None or first < 0
        return
    at = np.flatnonzero(chosen)
    assert (sum(cost[i] for i in at), sum(one[i] for i in at)) == best
    assert sum(two[i] for i in at) <= second
    assert len({group[i] for i in at}) == at.size


def test_on_lists_as_long_as_a_farms_it_saves_what_the_solver_saves() -> None:
    answered = [beside_the_solver(seed) for seed in range(10)]
    # the solver is for the others: money and hours are both short here, of 60 parts at once
    assert sum(answered) >= 5


def beside_the_solver(seed: int) -> bool:
    """Whether it has an answer, which then is the solver's."""
    rng = np.random.default_rng(seed)
    group, gain = rng.integers(0, 60, 240), rng.integers(1, 3_000_00, 240)
    spend, hours = rng.integers(20_00, 2_000_00, 240), rng.integers(600, 40_000, 240)
    room = np.array([spend.sum() // 8, hours.sum() // 6])
    chosen = cheapest_within(-gain, np.array([spend, hours]), room, group)
    if chosen is None:
        return False
    limits = np.vstack([spend, hours, np.arange(60)[:, None] == group])
    solved = milp(
        -gain,
        integrality=np.ones(240),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(limits, -np.inf, [*room, *np.ones(60)]),
        options={"mip_rel_gap": 0.0},
    )
    assert gain[chosen].sum() == pytest.approx(-solved.fun, abs=0.5)
    assert spend[chosen].sum() <= room[0]
    assert hours[chosen].sum() <= room[1]
    return True


def test_where_too_many_choices_are_nearly_alike_it_says_nothing() -> None:
    """Coins of nearly one worth: no price tells them apart, and going through them would take for ever."""
    rng = np.random.default_rng(0)
    coins = rng.integers(100_000_00, 100_001_00, 60)
    takes = np.array([coins, rng.integers(100_000, 100_100, 60)])
    assert cheapest_within(-coins - rng.integers(0, 3, 60), takes, takes.sum(axis=1) // 2, np.arange(60)) is None
