"""Failures far too early: values worked out for this test, the level of the tail, and how true the chances come out."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.wear.early import BAD_SHARE, CAUSE_SHARE, EarlyLaw, early_causes, fails_within, of_all_places, too_early


def believed(nodes: int = 20, sd: tuple[float, float] = (0.35, 0.3)) -> EarlyLaw:
    """ln median N(ln 2,000, .35), ln shape N(ln 2.4, .3), as equal-weight normal quantiles."""
    z = ndtri((np.arange(nodes) + 0.5) / nodes)
    median, shape = (grid.ravel() for grid in np.meshgrid(2000 * np.exp(sd[0] * z), 2.4 * np.exp(sd[1] * z)))
    return EarlyLaw(median, shape, np.full(median.size, 1 / median.size))


LAW = believed()


@pytest.mark.parametrize(
    ("ages", "chance"),
    [((300,), "0.0149"), ((300, 400), "0.0019"), ((300, 400, 350), "0.0003"), ((1500, 1800, 1700), "0.27")],
)
def test_how_rare_such_failures_are(ages: tuple[float, ...], chance: str) -> None:
    places = len(chance) - 2
    assert f"{too_early(LAW, ages):.{places}f}" == chance


@pytest.mark.parametrize(
    ("ages", "chance"),
    [
        ((300,), 0.18),
        ((300, 400), 0.59),
        ((300, 400, 350), 0.90),
        ((1500, 1800), 0.006),
        ((700, 800, 600), 0.50),
    ],
)
def test_how_likely_something_upstream_eats_them(ages: tuple[float, ...], chance: float) -> None:
    assert round(early_causes(LAW, ages).upstream, 3 if chance < 0.01 else 2) == chance


@pytest.mark.parametrize(
    ("age", "normal", "bad", "upstream"),
    [(50, 0.18, 0.78, 0.04), (200, 0.47, 0.40, 0.13), (600, 0.80, 0.06, 0.14), (1500, 0.98, 0.00, 0.01)],
)
def test_one_failure_is_normal_bad_or_caused(age: float, normal: float, bad: float, upstream: float) -> None:
    found = early_causes(LAW, [age])
    # a bad part at a place with a cause counts as bad here
    both = CAUSE_SHARE * found.last_bad
    assert round(found.last_bad, 2) == bad
    assert round(found.upstream - both, 2) == upstream
    assert round(1 - found.last_bad - (found.upstream - both), 2) == normal


def test_many_places_looked_at_make_a_rare_one_usual() -> None:
    assert round(160 * too_early(LAW, [300]), 1) == 2.4
    assert round(of_all_places(too_early(LAW, [300, 400]), 80), 2) == 0.14
    assert round(of_all_places(too_early(LAW, [300, 400, 350]), 80), 3) == 0.023


@pytest.mark.parametrize(("term", "chance"), [(250, "0.0106"), (500, "0.0397"), (1000, "0.1593")])
def test_what_a_term_is_worth(term: float, chance: str) -> None:
    assert f"{fails_within(LAW, term):.4f}" == chance


def test_the_tail_is_right_where_the_law_is_known() -> None:
    """20,000 places of two failures each: p below .05 in .05 of them (s.e. .0015), below .01 in .01."""
    random = np.random.default_rng(5)
    law = EarlyLaw(np.array([2000.0]), np.array([2.4]), np.ones(1))
    ages = 2000.0 * (random.exponential(size=(20_000, 2)) / np.log(2)) ** (1 / 2.4)
    p = np.array([too_early(law, row) for row in ages])
    assert (p < 0.05).mean() == pytest.approx(0.05, abs=0.005)
    assert (p < 0.01).mean() == pytest.approx(0.01, abs=0.0025)


def test_the_chances_that_are_told_come_true() -> None:
    """6,000 places of three failures, three of ten with a cause, three of a hundred parts bad; told with that share of causes."""
    random = np.random.default_rng(6)
    said, true = [], []
    for _ in range(6_000):
        median, shape = 2000 * np.exp(0.35 * random.standard_normal()), 2.4 * np.exp(0.3 * random.standard_normal())
        cause = random.random() < 0.3
        ages = (median / 3 if cause else median) * (random.exponential(size=3) / np.log(2)) ** (1 / shape)
        bad = random.random(3) < BAD_SHARE
        ages = np.where(bad, median / 10 * random.exponential(size=3) / np.log(2), ages)
        told = early_causes(LAW, np.maximum(ages, 1e-6)).upstream
        odds = told / (1 - told) * (0.3 / 0.7) / (CAUSE_SHARE / (1 - CAUSE_SHARE))
        said.append(odds / (1 + odds))
        true.append(cause)
    told_all, came = np.array(said), np.array(true)
    for low, high in ((0.0, 0.05), (0.05, 0.35), (0.35, 0.65), (0.65, 0.9), (0.9, 1.0)):
        within = (told_all >= low) & (told_all <= high)
        assert within.sum() > 150
        error = np.sqrt(told_all[within].mean() * (1 - told_all[within].mean()) / within.sum())
        assert abs(came[within].mean() - told_all[within].mean()) < 4 * error + 0.01


def test_an_age_of_nothing_is_refused() -> None:
    with pytest.raises(DataError):
        too_early(LAW, [0.0])
    with pytest.raises(DataError):
        early_causes(LAW, [])
