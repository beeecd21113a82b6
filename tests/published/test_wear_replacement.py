"""Replacement that costs least, against printed and computed optima, each beside its source."""

from __future__ import annotations

import pytest

from wearlog.wear import age_replacement, minimal_repair


@pytest.mark.parametrize(
    ("planned", "failure", "scale", "shape", "age"),
    [
        (1.0, 5.0, 1000.0, 2.5, 493.046957597),
        (1.0, 5.0, 1000.0, 3.0, 502.609582103),
        (2.0, 8.0, 150.0, 3.0, 83.122982488),
    ],
)
def test_age_replacement(planned: float, failure: float, scale: float, shape: float, age: float) -> None:
    """Barlow and Proschan 1965: h(T) x integral of R - F(T) = cp/(cf - cp); 493.0470 is printed, digits computed."""
    best = age_replacement(shape, scale, planned_cost=planned, failure_cost=failure)
    assert best.age == pytest.approx(age, abs=1e-8)


@pytest.mark.parametrize(("shape", "rate"), [(2.5, 0.00346204273879), (3.0, 0.00303139670426)])
def test_age_replacement_cost_rate(shape: float, rate: float) -> None:
    """The cost rate at the optimum; 0.0035 is printed for shape 2.5, digits computed."""
    best = age_replacement(shape, 1000.0, planned_cost=1.0, failure_cost=5.0)
    assert best.cost_rate == pytest.approx(rate, abs=1e-14)


def test_minimal_repair() -> None:
    """Barlow and Hunter 1960, replacement 1, mend 5, scale 1000, shape 2.5; computed from the closed form."""
    best = minimal_repair(2.5, 1000.0, replacement_cost=1.0, repair_cost=5.0)
    assert best.age == pytest.approx(446.658388442, abs=1e-9)
    assert best.cost_rate == pytest.approx(0.0037314124391, abs=1e-13)
