"""What an acre cut for others costs, and what a rate leaves over."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from wearlog.costs.custom_work import SHORT_RUN, CustomWork, RateVerdict, custom_cost, rate_verdict
from wearlog.costs.downtime import graded_custom_rate
from wearlog.errors import DataError

#: worked by hand, in dollars and acres: list price 500,000 at 1,800 h
WORK = CustomWork(
    capacity=13.36,
    wear_per_hour=18.0,
    stone_cost=60.0,
    stone_hours=0.75,
    repairs_per_hour=80.18,
    fuel_per_hour=13 * 3.80,
    labour_per_hour=18.53,
    standing_hours_per_area=0.00367,
    hour_worth=112.50,
    value_lost_per_hour=15.99,
    owning_per_hour=60.0,
)
#: stones in 1,000 acres, clean to very stony -> short run, full
GROUNDS = ((0.4, 14.79, 19.29), (1.4, 14.94, 19.43), (5.5, 15.53, 20.02), (14.0, 16.76, 21.25))


@pytest.mark.parametrize(("stones", "short", "full"), GROUNDS)
def test_an_acre_on_each_ground(stones: float, short: float, full: float) -> None:
    found = custom_cost(replace(WORK, stones_per_area=stones / 1000))
    assert round(float(found.short_run), 2) == short
    assert round(float(found.full), 2) == full


def test_each_part_stands_once() -> None:
    found = custom_cost(replace(WORK, stones_per_area=0.0014))
    said = {name: round(float(part), 3) for name, part in found.parts.items()}
    assert said == {
        "wear": 1.347,
        "stones": 0.202,
        "repairs": 6.001,
        "fuel": 4.252,
        "labour": 1.526,
        "standing": 0.413,
        "value_lost": 1.197,
        "owning": 4.491,
    }
    assert float(found.short_run) == pytest.approx(sum(float(found.parts[name]) for name in SHORT_RUN))


def test_draws_give_draws() -> None:
    rng = np.random.default_rng(1)
    found = custom_cost(
        replace(WORK, capacity=13.36 * rng.uniform(0.9, 1.1, 50), stones_per_area=rng.gamma(2, 0.001, 50))
    )
    assert found.short_run.shape == found.full.shape == (50,)
    assert (found.full > found.short_run).all()


@pytest.mark.parametrize(
    ("rate", "verdict"), [(12.0, RateVerdict.LOSES), (16.0, RateVerdict.HELPS), (32.0, RateVerdict.PAYS)]
)
def test_what_a_rate_is_worth(rate: float, verdict: RateVerdict) -> None:
    found = custom_cost(replace(WORK, stones_per_area=0.0055))
    assert rate_verdict(rate, float(found.short_run), float(found.full)) is verdict


def test_an_offer_of_three_parts() -> None:
    # 20 an acre, 20 cents a bushel hauled, 20 cents above 20 bushels, at 35 bushels: surveys print 30.00
    assert graded_custom_rate(2000, 20, 20, 20, 35) == 3000


@pytest.mark.parametrize(
    "spoilt", [{"capacity": 0.0}, {"fuel_per_hour": -1.0}, {"stones_per_area": np.array([0.1, -0.1])}]
)
def test_what_cannot_be_is_refused(spoilt: dict[str, object]) -> None:
    with pytest.raises(DataError):
        custom_cost(replace(WORK, **spoilt))  # type: ignore[arg-type]


def test_simulated_jobs_cost_what_is_foretold() -> None:
    """4,000 jobs of 300 acres, each stone, failure and stop drawn; parts of every age sit on the machine when a job begins."""
    rng = np.random.default_rng(3)
    acres, jobs, shape, scale, positions, each = 300.0, 4000, 2.4, 900.0, 60, 45.0
    hours = acres / WORK.capacity
    mean_life = scale * math.gamma(1 + 1 / shape)
    # one part after the other until long after the job began at a moment of no meaning
    failures = np.zeros(jobs)
    for job in range(jobs):
        begin = rng.uniform(10, 20) * scale
        age = np.cumsum(scale * rng.weibull(shape, (positions, 40)), axis=1)
        failures[job] = ((age > begin) & (age <= begin + hours)).sum()
    stones = rng.poisson(5.5 / 1000 * acres, jobs)
    stood = rng.gamma(0.5, 0.00367 * acres / 0.5, jobs)
    per_hour = 80.18 + 1.15 * 13 * 3.80 + 1.1 * 18.53 + 15.99
    spent = failures * each + stones * (60 + 0.75 * 112.50) + stood * 112.50 + per_hour * hours
    found = custom_cost(replace(WORK, stones_per_area=0.0055, wear_per_hour=positions * each / mean_life))
    error = spent.std() / math.sqrt(jobs) / acres
    assert abs(spent.mean() / acres - float(found.short_run)) < 3.5 * error
