"""Replace or run against the age replacement that costs least (Barlow and Proschan 1965).

Values: 493.0470 and 0.0034620 are published for planned 1, failure 5, scale 1,000, shape 2.5 (replacement_optimizer of the
`reliability` documentation); the other digits and the two further cases are computed from h(T) x integral of R - F(T) =
cp / (cf - cp). Seasons that grow short and a discount that goes to 1 must give the same age and cost rate.
"""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.plan.age_table import ReplacementCosts, Seasons, tabulate
from wearlog.plan.age_values import AgeGrid
from wearlog.plan.decide import limit_age
from wearlog.plan.life_nodes import LifeNodes

DISCOUNT = 1 - 1e-9
CASES = [
    (1, 5, 1_000.0, 2.5, 493.046957597, 0.00346204273879),
    (1, 5, 1_000.0, 3.0, 502.609582103, 0.00303139670426),
]


def short_season(planned: int, failure: int, scale: float, shape: float, usage: float) -> tuple[float, float]:
    """Age limit and cost per unit of usage; a decision looks one season ahead, so the age meant is half a season later."""
    grid = AgeGrid(usage / 4, 4, round(2.5 * scale / usage))
    prices = ReplacementCosts(planned * 10**7, failure * 10**7)
    table = tabulate(LifeNodes.known(shape, scale), prices, Seasons(usage, usage, DISCOUNT), grid=grid)
    limit = limit_age(table)
    assert limit is not None
    return limit + usage / 2, (1 - DISCOUNT) * float(table.later.kept[0, 0]) / usage / 10**7


@pytest.mark.parametrize(("planned", "failure", "scale", "shape", "age", "rate"), CASES)
def test_short_seasons_give_the_published_age_and_rate(
    planned: int, failure: int, scale: float, shape: float, age: float, rate: float
) -> None:
    limit, by_seasons = short_season(planned, failure, scale, shape, scale / 100)
    assert by_seasons == pytest.approx(rate, rel=5e-5)
    assert limit == pytest.approx(age, rel=2e-3)


@pytest.mark.parametrize(("planned", "failure", "scale", "shape", "age", "rate"), CASES)
def test_the_cost_rate_comes_down_to_the_published_one_as_seasons_shorten(
    planned: int, failure: int, scale: float, shape: float, age: float, rate: float
) -> None:
    """Replacing only between seasons can never beat replacing at any moment, and loses less the shorter they are."""
    over = [short_season(planned, failure, scale, shape, scale / n)[1] / rate - 1 for n in (3, 12, 100)]
    assert over[0] > over[1] > over[2] > 0
    assert over[1] < 1e-3
    assert over[2] < 5e-5


def test_a_third_case() -> None:
    """Planned 2, failure 8, scale 150, shape 3: 83.122982488."""
    limit, _ = short_season(2, 8, 150.0, 3.0, 1.5)
    assert limit == pytest.approx(83.122982488, rel=2e-3)


def test_the_age_is_finite_only_for_wear_out_and_a_dearer_failure() -> None:
    for shape, failure in ((1.0, 5), (0.7, 5), (2.5, 1)):
        table = tabulate(LifeNodes.known(shape, 1_000.0), ReplacementCosts(1_000, 1_000 * failure), Seasons(50.0, 50.0))
        assert limit_age(table) is None
        assert np.all(table.keep)
