"""Life fits, replacement and recurrence against `reliability` on its data sets, its known faults stated where met."""

from __future__ import annotations

import importlib
import warnings
from types import ModuleType, SimpleNamespace
from typing import Any

import numpy as np
import pytest

from wearlog.wear import (
    Ended,
    Lives,
    age_replacement,
    fit_power_law,
    fit_weibull,
    histories,
    laplace_test,
    log_likelihood,
    mean_cumulative,
    minimal_repair,
)

pytestmark = pytest.mark.filterwarnings("ignore")


@pytest.fixture(scope="module")
def peer() -> SimpleNamespace:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        names = ("Datasets", "Fitters", "Repairable_systems")
        found: dict[str, ModuleType] = {name: importlib.import_module(f"reliability.{name}") for name in names}
    return SimpleNamespace(**found)


def _peer_fit(peer: SimpleNamespace, **data: Any) -> Any:
    return peer.Fitters.Fit_Weibull_2P(show_probability_plot=False, print_results=False, **data)


def test_all_failed(peer: SimpleNamespace) -> None:
    """Mileage: 100 failures."""
    ages = peer.Datasets.mileage().failures
    fit, other = fit_weibull(Lives.of(ages)), _peer_fit(peer, failures=ages)
    assert (fit.shape, fit.scale) == pytest.approx((other.beta, other.alpha), rel=1e-6)
    assert (fit.shape_error, fit.scale_error) == pytest.approx((other.beta_SE, other.alpha_SE), rel=1e-5)
    assert fit.log_likelihood == pytest.approx(other.loglik, rel=1e-10)


def test_right_censored(peer: SimpleNamespace) -> None:
    """Automotive: 10 failures among 31; its optimiser stops 1.4e-6 short of the peak."""
    data = peer.Datasets.automotive()
    lives = Lives.of([*data.failures, *data.right_censored], [1] * 10 + [0] * 21)
    fit = fit_weibull(lives)
    other = _peer_fit(peer, failures=data.failures, right_censored=data.right_censored)
    assert (fit.shape, fit.scale) == pytest.approx((other.beta, other.alpha), rel=2e-6)
    assert fit.log_likelihood >= other.loglik


def test_under_very_heavy_censoring_ours_is_at_the_peak(peer: SimpleNamespace) -> None:
    """Electronics: 10 failures among 4082. `reliability` 0.9 stops below the peak, by 0.09 or by a hair, as the machine's own
    arithmetic has it; the profile likelihood is the reference.
    """
    data = peer.Datasets.electronics()
    lives = Lives.of([*data.failures, *data.right_censored], [1] * 10 + [0] * 4072)
    fit = fit_weibull(lives)
    other = _peer_fit(peer, failures=data.failures, right_censored=data.right_censored)
    assert fit.log_likelihood > other.loglik - 1e-6
    for shape in (fit.shape * 0.999, fit.shape * 1.001):
        assert log_likelihood(lives, shape, fit.scale) < fit.log_likelihood


def test_mean_cumulative_count(peer: SimpleNamespace) -> None:
    """MCF_1: the count as printed there. Its variance adds up the increments as if they were independent: it agrees
    with ours at the first event only.
    """
    systems = peer.Datasets.MCF_1().times
    found = mean_cumulative(histories([times[:-1] for times in systems], [times[-1] for times in systems]))
    assert found.age.tolist() == [5, 6, 10, 12, 13, 15, 16, 17, 20, 22, 25]
    printed = [0.2, 0.4, 0.6, 0.8, 1.2, 1.6, 1.8, 2.0, 2.33333, 2.66667, 3.66667]
    np.testing.assert_allclose(found.count, printed, atol=5e-6)
    other = peer.Repairable_systems.MCF_nonparametric(systems, print_results=False, show_plot=False)
    np.testing.assert_allclose(found.count[-1], float(other.MCF[-1]), atol=1e-9)
    assert found.robust_variance[0] == pytest.approx(float(other.variance[0]), rel=1e-9)
    assert found.robust_variance[-1] < float(other.variance[-1])


def test_power_law_and_laplace(peer: SimpleNamespace) -> None:
    """System growth: 22 failures, the watch ended by the last."""
    times = peer.Datasets.system_growth().failures
    watched = histories([times], times[-1], ended=Ended.BY_FAILURE)
    growth = peer.Repairable_systems.reliability_growth(
        times=times, model="Crow-AMSAA", print_results=False, show_plot=False
    )
    fit = fit_power_law(watched)
    assert (fit.shape, fit.coefficient) == pytest.approx((growth.Beta, growth.Lambda), rel=1e-12)
    assert float(fit.usage_between(times[-1])) == pytest.approx(growth.DMTBF_I, rel=1e-12)
    rate = peer.Repairable_systems.ROCOF(failure_times=times, print_results=False, show_plot=False)
    assert laplace_test(watched).statistic == pytest.approx(rate.U, rel=1e-12)
    later = peer.Repairable_systems.ROCOF(failure_times=times, test_end=2000, print_results=False, show_plot=False)
    assert laplace_test(histories([times], 2000)).statistic == pytest.approx(later.U, rel=1e-12)


def _peer_replacement(peer: SimpleNamespace, q: int, planned: float, failure: float) -> Any:
    return peer.Repairable_systems.optimal_replacement_time(
        cost_PM=planned,
        cost_CM=failure,
        weibull_alpha=1000,
        weibull_beta=2.5,
        q=q,
        show_time_plot=False,
        show_ratio_plot=False,
        print_results=False,
    )


def test_age_replacement(peer: SimpleNamespace) -> None:
    """As good as new (q = 0): it searches a grid of ages, which leaves 3 digits of the age and 7 of the cost."""
    other = _peer_replacement(peer, 0, 1, 5)
    best = age_replacement(2.5, 1000.0, planned_cost=1.0, failure_cost=5.0)
    assert best.age == pytest.approx(other.ORT, rel=5e-4)
    assert best.cost_rate == pytest.approx(other.min_cost, rel=1e-7)


def test_minimal_repair_with_its_costs_put_right(peer: SimpleNamespace) -> None:
    """As bad as old (q = 1): `reliability` 0.9 swaps the two costs, so it answers for a replacement of 5 and mends of 1
    when asked for 1 and 5.
    """
    other = _peer_replacement(peer, 1, 1, 5)
    swapped = minimal_repair(2.5, 1000.0, replacement_cost=5.0, repair_cost=1.0)
    assert swapped.age == pytest.approx(other.ORT, rel=1e-9)
    assert swapped.cost_rate == pytest.approx(other.min_cost, rel=1e-9)
    assert minimal_repair(2.5, 1000.0, replacement_cost=1.0, repair_cost=5.0).age < other.ORT / 3
