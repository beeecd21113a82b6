"""Replacement that costs least, failures ahead, and whether machines differ: what must hold for all laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from wearlog.errors import DataError
from wearlog.wear import (
    Lives,
    Nodes,
    age_replacement,
    age_replacement_over,
    compare_groups,
    count_first_failures,
    fit_posterior,
    fit_weibull,
    law,
    minimal_repair,
    starting_guess,
)

SHAPES, SCALES = st.floats(1.05, 12), st.floats(0.1, 1e5)


def _rate(age: float, shape: float, scale: float, planned: float, failure: float) -> float:
    whole = float(law.survival(age, shape, scale))
    return (planned * whole + failure * (1 - whole)) / float(law.life_used_by(age, shape, scale))


@settings(deadline=None)
@given(SHAPES, SCALES, st.floats(0.1, 10), st.floats(1.3, 100))
def test_no_other_age_costs_less(shape: float, scale: float, planned: float, ratio: float) -> None:
    """Neither a little sooner nor a little later, nor running to failure."""
    best = age_replacement(shape, scale, planned_cost=planned, failure_cost=planned * ratio)
    assert best.cost_rate <= best.failure_cost_rate
    if best.age < 50 * scale:
        assert best.cost_rate == pytest.approx(_rate(best.age, shape, scale, planned, planned * ratio), rel=1e-8)
        for other in (0.8, 0.97, 1.03, 1.25):
            assert _rate(best.age * other, shape, scale, planned, planned * ratio) >= best.cost_rate * (1 - 1e-9)


@pytest.mark.parametrize(
    ("shape", "planned", "failure"), [(1.0, 1.0, 5.0), (0.8, 1.0, 5.0), (3.0, 5.0, 5.0), (3.0, 5.0, 1.0)]
)
def test_run_to_failure_where_replacing_gains_nothing(shape: float, planned: float, failure: float) -> None:
    """Finite only for shape > 1 and failures dearer than replacements."""
    best = age_replacement(shape, 1000.0, planned_cost=planned, failure_cost=failure)
    assert best.age == math.inf
    assert best.cost_rate == best.failure_cost_rate == failure / float(law.mean_life(shape, 1000.0))


def test_minimal_repair_at_its_edges() -> None:
    """At shape 1 mends come for ever at one rate, below 1 ever rarer; replacing never pays."""
    assert minimal_repair(1.0, 500.0, replacement_cost=3.0, repair_cost=2.0).cost_rate == pytest.approx(2 / 500)
    assert minimal_repair(0.7, 500.0, replacement_cost=3.0, repair_cost=2.0).age == math.inf


def test_over_a_posterior_of_one_law_the_age_is_that_laws() -> None:
    """To the 0.1 % promised."""
    one = Nodes(np.array([2.5]), np.array([1000.0]), np.array([1.0]))
    found = age_replacement_over(one, planned_cost=1.0, failure_cost=5.0)
    exact = age_replacement(2.5, 1000.0, planned_cost=1.0, failure_cost=5.0)
    assert found.age == pytest.approx(exact.age, rel=1e-3)
    assert found.cost_rate == pytest.approx(exact.cost_rate, rel=1e-6)


def test_over_a_wide_posterior_no_single_age_is_as_good_as_knowing() -> None:
    """The cost of not knowing is not hidden: above the mean of the costs one would have with each law known."""
    nodes = fit_posterior(Lives.of([]), starting_guess((1500.0, 8000.0), (1.5, 4.0))).few_nodes()
    found = age_replacement_over(nodes, planned_cost=1.0, failure_cost=6.0)
    known = [
        age_replacement(shape, scale, planned_cost=1.0, failure_cost=6.0).cost_rate
        for shape, scale in zip(nodes.shape, nodes.scale, strict=True)
    ]
    assert nodes.weight @ known < found.cost_rate < found.failure_cost_rate
    chance = Nodes(np.array([0.9]), np.array([1000.0]), np.array([1.0]))
    assert age_replacement_over(chance, planned_cost=1.0, failure_cost=6.0).age == math.inf


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.floats(0, 5000, allow_subnormal=False), min_size=1, max_size=12),
    st.floats(0, 2000, allow_subnormal=False),
)
def test_first_failures_ahead(ages: list[float], usage: float) -> None:
    """The mean is the sum of the parts' chances; never more failures than parts."""
    posterior = fit_posterior(Lives.of([]), starting_guess((1500.0, 8000.0), (1.5, 4.0)))
    nodes = posterior.few_nodes(4, 6)
    counts = count_first_failures(nodes, ages, usage)
    chances = [
        1 - float(law.survival_between(age, age + usage, nodes.shape, nodes.scale) @ nodes.weight) if usage else 0.0
        for age in ages
    ]
    assert counts.mean == pytest.approx(sum(chances), abs=1e-9)
    assert len(counts.chance) <= len(ages) + 1


def test_parts_of_one_age_move_together() -> None:
    """Twelve new parts over 1,500 ac: more than three times the scatter of parts that fail independently."""
    nodes = fit_posterior(Lives.of([]), starting_guess((1500.0, 8000.0), (1.5, 4.0))).few_nodes()
    counts = count_first_failures(nodes, [0.0] * 12, 1500.0)
    chance = counts.mean / 12
    assert counts.variance > 3 * 12 * chance * (1 - chance)


def _two_machines(rng: np.random.Generator, scales: tuple[float, float]) -> list[Lives]:
    groups = []
    for scale in scales:
        ages = scale * rng.weibull(2.0, 40)
        ends = rng.uniform(300, 1500, 40)
        groups.append(Lives.of(np.minimum(ages, ends), ages <= ends))
    return groups


@pytest.mark.parametrize("own_shape", [False, True])
def test_p_is_uniform_when_machines_are_alike(own_shape: bool) -> None:
    """200 seeded pairs of machines with one law (Kolmogorov-Smirnov p > 0.01)."""
    rng = np.random.default_rng(17)
    found = [compare_groups(_two_machines(rng, (800.0, 800.0)), own_shape=own_shape).p_value for _ in range(200)]
    assert stats.kstest(found, "uniform").pvalue > 0.01


def test_a_machine_that_wears_twice_as_fast_is_told_apart() -> None:
    """Scale 500 against 1,000."""
    found = compare_groups(_two_machines(np.random.default_rng(18), (500.0, 1000.0)))
    assert found.degrees == 1
    assert found.p_value < 0.001


def test_a_machine_without_failures_counts() -> None:
    """Twenty long lives without a failure beside failures at a tenth of their age: they differ."""
    groups = [Lives.of([100.0, 120, 150, 180, 90]), Lives.of([900.0] * 20, [0] * 20)]
    assert compare_groups(groups).p_value < 1e-4
    between = Lives.of([110.0, 160.0, 200.0], [1, 1, 1], last_seen=[90.0, 140.0, 180.0])
    both = compare_groups([groups[0], between])
    assert 0.05 < both.p_value <= 1
    assert both.pooled == fit_weibull(Lives.joined([groups[0], between]))


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: age_replacement(0.0, 1.0, planned_cost=1.0, failure_cost=2.0), "are no law of a life"),
        (lambda: age_replacement(2.0, 1.0, planned_cost=0.0, failure_cost=2.0), "cannot be weighed"),
        (lambda: minimal_repair(2.0, math.inf, replacement_cost=1.0, repair_cost=2.0), "are no law of a life"),
        (lambda: compare_groups([Lives.of([5.0, 6.0])]), "fewer than two groups"),
        (lambda: compare_groups([Lives.of([5.0, 6.0]), Lives.of([])]), "fewer than two groups"),
        (lambda: compare_groups([Lives.of([5.0], [0]), Lives.of([6.0], [0])]), "None of these 2 lives"),
        (
            lambda: count_first_failures(Nodes(np.ones(1), np.ones(1), np.ones(1)), [-1.0], 5.0),
            "an age or a usage below 0",
        ),
    ],
)
def test_questions_without_an_answer_are_refused(ask: object, sentence: str) -> None:
    """Each in its words, with a hint."""
    with pytest.raises(DataError, match=sentence) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.hint
