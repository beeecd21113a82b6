"""Trails over seasons: linking, gaps, trend, conditions."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Condition, SignKind
from wearlog.faults.association import fisher_exact, holm
from wearlog.faults.signs import Sign
from wearlog.faults.trail import Episode, QuietGap, laplace_trend, likeness, trails

DEAD = Sign(kind=SignKind.DEAD, node="Reel lift valve")
BLEW = Sign(kind=SignKind.FUSE_BLEW_LATER)


def episode(chances: list[float], opened: float, closed: float | None = None, **more) -> Episode:
    return Episode(node_chances=np.array(chances), opened_hours=opened, closed_hours=closed, **more)


def test_likeness_is_the_overlap_of_suspects_and_of_signs() -> None:
    one = episode([0.7, 0.2, 0.1], 1, signs=frozenset({DEAD, BLEW}))
    two = episode([0.5, 0.3, 0.2], 2, signs=frozenset({DEAD}))
    assert likeness(one, two) == pytest.approx(0.6 * 0.7 + 0.4 * 0.5) == likeness(two, one)


def test_not_on_this_diagram_links_nothing() -> None:
    assert likeness(episode([0.0, 0.0, 1.0], 1), episode([0.0, 0.0, 1.0], 2)) == 0.0


def test_without_signs_the_suspects_alone_decide() -> None:
    assert likeness(episode([0.9, 0.1], 1), episode([0.8, 0.2], 2)) == pytest.approx(0.8)


def test_episodes_told_over_different_diagrams_are_refused() -> None:
    with pytest.raises(DataError, match="different diagrams"):
        likeness(episode([1.0, 0.0], 1), episode([1.0, 0.0, 0.0], 2))


def test_episodes_of_one_fault_form_a_trail_with_gaps() -> None:
    given = [
        episode([0.8, 0.1, 0.1], 300, 310, opened_acres=3000, closed_acres=3100),
        episode([0.1, 0.8, 0.1], 150, 151),
        episode([0.9, 0.0, 0.1], 100, 102, opened_acres=1000, closed_acres=1010),
        episode([0.7, 0.2, 0.1], 400, opened_acres=4000),
    ]
    first, second = trails(given)
    assert first.episodes == (2, 0, 3)
    assert first.gaps == (QuietGap(198, 1990), QuietGap(90, 900))
    assert first.cumulative_hours.tolist() == [100, 300, 400]
    assert first.cumulative_count.tolist() == [1, 2, 3]
    assert (second.episodes, second.gaps, second.trend) == ((1,), (), None)


def test_episodes_at_the_same_hours_stay_in_the_order_given() -> None:
    (trail,) = trails([episode([1.0, 0.0], 5, 5) for _ in range(4)])
    assert trail.episodes == (0, 1, 2, 3)
    assert trail.gaps == (QuietGap(0, 0),) * 3


def test_an_episode_that_was_never_closed_leaves_no_gap() -> None:
    (trail,) = trails([episode([1.0, 0.0], 10), episode([1.0, 0.0], 20, 21), episode([1.0, 0.0], 30)])
    assert trail.gaps == (QuietGap(9, 0),)


def test_a_chain_of_likeness_joins_trails_that_were_apart() -> None:
    ends = [episode([1.0, 0.0, 0.0], 1), episode([0.0, 1.0, 0.0], 2)]
    assert len(trails(ends)) == 2
    assert len(trails([*ends, episode([0.5, 0.5, 0.0], 3)])) == 1


def test_a_trail_that_comes_faster_has_a_score_above_zero() -> None:
    given = [episode([1.0, 0.0], hours) for hours in (500, 800, 950, 990)]
    (trail,) = trails(given, now_hours=1000)
    assert trail.trend is not None
    assert trail.trend.score == pytest.approx((3.24 - 2) * np.sqrt(3))
    assert trail.trend.p_two_sided == pytest.approx(2 * 0.76**4 / 24)


def test_without_a_now_the_last_event_ends_the_stretch_and_is_not_counted() -> None:
    (trail,) = trails([episode([1.0, 0.0], hours) for hours in (500, 1000)])
    assert trail.trend is not None
    assert (trail.trend.score, trail.trend.p_two_sided) == (0.0, 1.0)


def test_the_exact_trend_chance_is_uniform_under_no_trend() -> None:
    """Simulated, seeded: at most 5 % of even trails get a p of 5 % or less (three standard errors allowed)."""
    rng = np.random.default_rng(8)
    p = np.array([laplace_trend(rng.random(5).tolist(), 1.0).p_two_sided for _ in range(4000)])
    for level in (0.05, 0.2, 0.5):
        assert abs((p <= level).mean() - level) < 3 * np.sqrt(level * (1 - level) / 4000)


@pytest.mark.parametrize(("times", "end"), [([], 1.0), ([2.0], 1.0), ([1.0], 0.0)])
def test_a_trend_needs_events_in_a_stretch(times: list[float], end: float) -> None:
    with pytest.raises(DataError, match="A trend needs events"):
        laplace_trend(times, end)


def test_a_condition_noted_more_in_the_trail_than_elsewhere_stands_first() -> None:
    rain, hot = frozenset({Condition.RAIN, Condition.HOT}), frozenset({Condition.HOT})
    inside = [episode([1.0, 0.0, 0.0], hour, conditions=rain) for hour in range(4)]
    outside = [episode([0.0, 1.0, 0.0], hour, conditions=hot) for hour in range(4, 8)]
    trail = trails([*inside, *outside])[0]
    first, second = trail.conditions
    assert (first.condition, first.in_trail, first.of_trail, first.elsewhere, first.of_elsewhere) == (
        Condition.RAIN,
        4,
        4,
        0,
        4,
    )
    assert first.p == pytest.approx(2 / 70)
    assert (second.condition, second.p) == (Condition.HOT, 1.0)


def test_holm_multiplies_the_smallest_most_and_never_falls() -> None:
    assert holm([0.01, 0.04, 0.03]) == pytest.approx((0.03, 0.06, 0.06))
    assert holm([0.9, 0.8]) == (1.0, 1.0)


def test_fisher_refuses_what_is_no_table() -> None:
    for table in ((0, 0, 0, 0), (-1, 1, 1, 1)):
        with pytest.raises(DataError, match="table of counts"):
            fisher_exact(*table)


@pytest.mark.parametrize(
    ("opened", "closed", "says"), [(5, 4, "closes before it opens"), (50, None, "outside the hours watched")]
)
def test_hours_that_cannot_be_are_refused(opened: float, closed: float | None, says: str) -> None:
    with pytest.raises(DataError, match=says):
        trails([episode([1.0, 0.0], opened, closed)], now_hours=20)
