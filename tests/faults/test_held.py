"""Has the fix held: the formula, the hours still needed, the limit, and calibration on simulated trails."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.facts.closed_lists import FixEvidence
from wearlog.faults.held import ReturnRate, chance_held, hours_until, rate_limit_per_hour
from wearlog.faults.held_by_trail import chance_fix_is_right, held_by_trail


def test_before_it_has_run_the_chance_is_that_of_the_evidence() -> None:
    assert {e: held_by_trail(e, 0).chance for e in FixEvidence} == {
        FixEvidence.SEEN: pytest.approx(0.95),
        FixEvidence.INFERRED: pytest.approx(0.60),
        FixEvidence.CLEARED_BY_ITSELF: pytest.approx(0.20),
    }


def test_the_formula_by_hand() -> None:
    """p0 .6; gaps of 50 and 30 h on a start of 1 in 40 h: gamma(3, 120); quiet 60 h: (120/180)^3 = 8/27."""
    held = held_by_trail(FixEvidence.INFERRED, 60, [50, 30])
    assert held.chance == pytest.approx(0.6 / (0.6 + 0.4 * 8 / 27))
    needed = 0.6 * 0.05 / (0.95 * 0.4)
    assert held.hours_to_target == pytest.approx(120 * (needed ** (-1 / 3) - 1) - 60)


@given(
    st.sampled_from(FixEvidence),
    st.floats(min_value=0, max_value=2000, allow_subnormal=False),
    st.lists(st.floats(min_value=0, max_value=500, allow_subnormal=False), max_size=6),
    st.floats(min_value=0.5, max_value=0.99),
)
def test_after_the_hours_still_needed_the_chance_is_the_target(
    evidence: FixEvidence, quiet: float, gaps: list[float], target: float
) -> None:
    held = held_by_trail(evidence, quiet, gaps, target=target)
    then = held_by_trail(evidence, quiet + held.hours_to_target, gaps, target=target)
    assert then.hours_to_target == pytest.approx(0, abs=1e-6 * (1 + quiet + held.hours_to_target))
    if held.hours_to_target > 0:
        assert then.chance == pytest.approx(target)
    else:
        assert held.chance >= target - 1e-9


def test_the_longer_quiet_the_surer_and_short_gaps_convince_sooner() -> None:
    chances = [held_by_trail(FixEvidence.INFERRED, hours, [20, 25]).chance for hours in (0, 20, 100, 400)]
    assert chances == sorted(chances)
    assert (
        held_by_trail(FixEvidence.INFERRED, 100, [5, 6]).chance
        > held_by_trail(FixEvidence.INFERRED, 100, [300, 200]).chance
    )


def test_what_was_never_fixed_never_gets_there() -> None:
    assert hours_until(0.0, 0.95, ReturnRate()) == float("inf")
    assert hours_until(0.97, 0.95, ReturnRate()) == 0.0
    assert chance_held(0.0, 1e6, ReturnRate()) == 0.0


@pytest.mark.parametrize(("quiet", "gaps", "target"), [(-1, [], 0.95), (1, [-2.0], 0.95), (1, [], 1.0)])
def test_hours_below_zero_and_targets_that_are_no_chance_are_refused(
    quiet: float, gaps: list[float], target: float
) -> None:
    with pytest.raises(DataError):
        held_by_trail(FixEvidence.SEEN, quiet, gaps, target=target)


def test_a_limit_needs_hours() -> None:
    with pytest.raises(DataError, match="A limit needs hours"):
        rate_limit_per_hour(0)


@pytest.mark.parametrize("evidence", FixEvidence)
def test_the_chance_is_calibrated_on_simulated_trails(evidence: FixEvidence) -> None:
    """Simulated, seeded: return rates drawn from the starting belief, 0 to 3 earlier gaps, fixes that hold as often as the evidence
    says; of 60,000 trails those still quiet are sorted by the chance shown, and that share must have held."""
    rng, start, trails = np.random.default_rng(11), ReturnRate(), 60_000
    rate = rng.gamma(start.shape, 1 / start.hours, trails)
    gaps = rng.exponential(1 / rate[:, None], (trails, 3))
    earlier = rng.integers(0, 4, trails)
    fixed = rng.random(trails) < chance_fix_is_right(evidence, 0)
    quiet = rng.uniform(0, 150, trails)
    is_quiet = fixed | (rng.exponential(1 / rate) > quiet)
    counted = gaps * (np.arange(3) < earlier[:, None])
    picked = np.flatnonzero(is_quiet)[:20_000]
    shown = np.array([held_by_trail(evidence, quiet[i], counted[i, : earlier[i]].tolist()).chance for i in picked])
    cells = np.digitize(shown, np.quantile(shown, [0.2, 0.4, 0.6, 0.8]))
    for cell in range(5):
        here = cells == cell
        assert abs(shown[here].mean() - fixed[picked][here].mean()) < 3.5 * 0.5 / np.sqrt(here.sum())
