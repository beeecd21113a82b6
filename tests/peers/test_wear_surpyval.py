"""Life fits and recurrence against surpyval on the data sets it carries."""

from __future__ import annotations

import importlib
import warnings
from types import ModuleType

import numpy as np
import pytest

from wearlog.wear import Lives, fit_power_law, fit_weibull, histories, log_likelihood, mean_cumulative

pytestmark = pytest.mark.filterwarnings("ignore")


@pytest.fixture(scope="module")
def surpyval() -> ModuleType:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        importlib.import_module("surpyval.datasets")
        return importlib.import_module("surpyval")


def _same_law(lives: Lives, peer: object, digits: float) -> None:
    scale, shape = (float(p) for p in peer.params)  # type: ignore[attr-defined]
    fit = fit_weibull(lives)
    assert fit.shape == pytest.approx(shape, rel=digits)
    assert fit.scale == pytest.approx(scale, rel=digits)
    # where the digits part, ours is the higher peak
    assert fit.log_likelihood >= log_likelihood(lives, shape, scale) - 1e-10


def test_ball_bearings(surpyval: ModuleType) -> None:
    """All 23 failed."""
    ages = surpyval.datasets.load_bearing_failures().iloc[:, 0].to_numpy()
    _same_law(Lives.of(ages), surpyval.Weibull.fit(ages), 1e-6)


def test_weighted_lives(surpyval: ModuleType) -> None:
    """Bofors steel: ten ages that stand for 389 lives."""
    data = surpyval.datasets.load_bofors_steel()
    peer = surpyval.Weibull.fit(data.x.to_numpy(), n=data.n.to_numpy())
    _same_law(Lives.of(data.x, weight=data.n), peer, 1e-6)


def test_right_censored(surpyval: ModuleType) -> None:
    """The SAE vehicle data, 10 failures among 31, and the lung data, 165 among 228."""
    cars = surpyval.datasets.load_sae()
    _same_law(Lives.of(cars.x, 1 - cars.c), surpyval.Weibull.fit(cars.x.to_numpy(), c=cars.c.to_numpy()), 1e-6)
    lung = surpyval.datasets.load_lung()
    peer = surpyval.Weibull.fit(lung.time.to_numpy(), c=(1 - lung.status).to_numpy())
    _same_law(Lives.of(lung.time, lung.status), peer, 1e-6)


def test_late_entry(surpyval: ModuleType) -> None:
    """Heart transplants, with entry; its optimiser stops 6e-6 short of the peak in the scale."""
    data = surpyval.datasets.load_heart_transplants()
    data = data[data.stop > data.start]
    peer = surpyval.Weibull.fit(data.stop.to_numpy(), c=(1 - data.event).to_numpy(), tl=data.start.to_numpy())
    _same_law(Lives.of(data.stop, data.event, entry=data.start), peer, 1e-5)


def test_very_heavy_censoring(surpyval: ModuleType) -> None:
    """Integrated circuits, 28 failures among 4156: the scale lies a billion times beyond the data, where the peak is
    so flat that the peer stops 3e-4 short of it.
    """
    data = surpyval.datasets.load_meeker_lfp()
    peer = surpyval.Weibull.fit(data.x.to_numpy(), c=data.c.to_numpy(), n=data.n.to_numpy())
    lives = Lives.of(data.x, 1 - data.c, weight=data.n)
    shape, scale = float(peer.params[1]), float(peer.params[0])
    fit = fit_weibull(lives)
    assert fit.shape == pytest.approx(shape, rel=3e-5)
    assert fit.log_likelihood > log_likelihood(lives, shape, scale)
    assert fit.log_likelihood == pytest.approx(log_likelihood(lives, shape, scale), abs=1e-5)


def test_cracks_between_inspections(surpyval: ModuleType) -> None:
    """Nelson's cracked parts."""
    ends = np.array([0.0, 6.12, 19.92, 29.64, 35.4, 39.72, 45.24, 52.32, 63.48])
    count = np.array([5, 16, 12, 18, 18, 2, 6, 17, 73])
    peer = surpyval.Weibull.fit(xl=ends, xr=np.append(ends[1:], np.inf), n=count)
    lives = Lives.of([*ends[1:], ends[-1]], [1] * 8 + [0], weight=count, last_seen=[*ends[:-1], ends[-1]])
    _same_law(lives, peer, 1e-6)


def test_power_law_and_mean_count_of_systems_with_unequal_ends(surpyval: ModuleType) -> None:
    """Mettas and Zhao: six systems, 27 events."""
    data = surpyval.datasets.load_mettas_and_zhao()
    events = [data.x[(data.i == i) & (data.c == 0)].to_numpy() for i in data.i.unique()]
    watched = histories(events, [data.x[data.i == i].max() for i in data.i.unique()])
    peer = surpyval.CrowAMSAA.fit(data.x.to_numpy(), data.i.to_numpy(), data.c.to_numpy())
    fit = fit_power_law(watched)
    characteristic, shape = (float(p) for p in peer.params)
    assert fit.shape == pytest.approx(shape, rel=1e-6)
    # its coefficient is a power of this one, which would make 1e-6 of the shape into 5e-6
    assert fit.coefficient ** (-1 / fit.shape) == pytest.approx(characteristic, rel=1e-6)
    counted = surpyval.NonParametricCounting.fit(data.x.to_numpy(), data.i.to_numpy(), data.c.to_numpy())
    found = mean_cumulative(watched)
    at = np.searchsorted(counted.x, found.age)
    np.testing.assert_allclose(found.count, counted.mcf_hat[at], atol=1e-12)
