"""Life fits against lifelines on the data sets it carries; its own import may warn, ours may not."""

from __future__ import annotations

import importlib
import warnings
from types import ModuleType

import numpy as np
import pytest

from wearlog.wear import Lives, fit_weibull, kaplan_meier, log_likelihood

pytestmark = pytest.mark.filterwarnings("ignore")


@pytest.fixture(scope="module")
def lifelines() -> ModuleType:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        importlib.import_module("lifelines.datasets")
        return importlib.import_module("lifelines")


def _same_law(lives: Lives, shape: float, scale: float, reached: float, digits: float = 1e-6) -> None:
    fit = fit_weibull(lives)
    assert fit.shape == pytest.approx(shape, rel=digits)
    assert fit.scale == pytest.approx(scale, rel=digits)
    assert log_likelihood(lives, shape, scale) == pytest.approx(reached, rel=1e-10)
    assert fit.log_likelihood >= reached - 1e-9


def test_right_censored(lifelines: ModuleType) -> None:
    """Waltons: 163 lives, 7 censored; its optimiser stops 1.4e-6 short of the peak in the shape."""
    data = lifelines.datasets.load_waltons()
    peer = lifelines.WeibullFitter().fit(data["T"], data["E"])
    _same_law(Lives.of(data["T"], data["E"]), peer.rho_, peer.lambda_, peer.log_likelihood_, 2e-6)
    fit = fit_weibull(Lives.of(data["T"], data["E"]))
    errors = peer.summary["se(coef)"]
    assert (fit.scale_error, fit.shape_error) == pytest.approx((errors["lambda_"], errors["rho_"]), rel=1e-5)


def test_late_entry(lifelines: ModuleType) -> None:
    """Multicenter cohort: entry W, exit T."""
    data = lifelines.datasets.load_multicenter_aids_cohort_study()
    peer = lifelines.WeibullFitter().fit(data["T"], data["D"], entry=data["W"])
    # its optimiser stops at a gradient of 1e-6: the scale is 7e-6 short of the peak
    _same_law(
        Lives.of(data["T"], data["D"], entry=data["W"]), peer.rho_, peer.lambda_, peer.log_likelihood_, digits=1e-5
    )


def test_between_inspections(lifelines: ModuleType) -> None:
    """Diabetes: 731 failures, 136 known only between two inspections; its optimiser stops 2.2e-6 short in the scale."""
    data = lifelines.datasets.load_diabetes()
    peer = lifelines.WeibullFitter().fit_interval_censoring(data["left"], data["right"])
    _same_law(Lives.of(data["right"], last_seen=data["left"]), peer.rho_, peer.lambda_, peer.log_likelihood_, 3e-6)


@pytest.mark.parametrize("late", [False, True], ids=["all from new", "late entries"])
def test_kaplan_meier(lifelines: ModuleType, late: bool) -> None:
    """Survival and its bounds on ln(-ln S), at every age at failure."""
    if late:
        data = lifelines.datasets.load_multicenter_aids_cohort_study()
        exit_age, failed, entry = data["T"], data["D"], data["W"]
    else:
        data = lifelines.datasets.load_waltons()
        exit_age, failed, entry = data["T"], data["E"], 0 * data["T"]
    peer = lifelines.KaplanMeierFitter(alpha=0.1).fit(exit_age, failed, entry=entry)
    found = kaplan_meier(Lives.of(exit_age, failed, entry=entry))
    np.testing.assert_allclose(found.survival, peer.survival_function_.iloc[:, 0].loc[found.age], atol=1e-14)
    inner = found.survival > 0
    bounds = peer.confidence_interval_.loc[found.age].to_numpy()
    np.testing.assert_allclose(np.array(found.bounds(0.9)).T[inner], bounds[inner], atol=1e-12)
