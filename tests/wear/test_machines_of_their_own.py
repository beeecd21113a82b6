"""Machines that differ: the posterior against a brute sum, and what chances to last are worth in invented worlds."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.wear.farm_worlds import GUESS, World, farm, together
from wearlog.errors import DataError
from wearlog.reckoning.wear.own_laws import looks_unlike
from wearlog.wear import Lives, fit_posterior, log_likelihood, starting_guess
from wearlog.wear.machines import SPREADS, MachineLives, fit_machines, machines_alike
from wearlog.wear.own_life import weighted_quantiles

MACHINES = (
    Lives.of([900.0, 1100.0, 1300.0, 700.0], [True, True, True, False]),
    Lives.of(
        [2900.0, 3400.0, 2500.0], [True, False, True], entry=[0.0, 800.0, 0.0], last_seen=[2900.0, 3400.0, 2100.0]
    ),
    Lives.of([1500.0, 1500.0], [False, False]),
)
PRIOR = starting_guess(*GUESS)


class BruteSum:
    """The same posterior summed over fine even grids, likelihood by likelihood."""

    def __init__(self) -> None:
        log_shape = np.linspace(math.log(0.5), math.log(14), 71)
        life = np.linspace(math.log(60), math.log(120_000), 381)
        step = life[1] - life[0]
        law = np.exp(-0.5 * ((log_shape - PRIOR.log_shape_mean) / PRIOR.log_shape_sd) ** 2)[:, None] * sum(
            share * np.exp(-0.5 * ((life - own.log_life_mean) / own.log_life_sd) ** 2) / own.log_life_sd
            for share, own in PRIOR.parts
        )
        likely = [
            np.array(
                [
                    [math.exp(log_likelihood(one, b, math.exp(u) / math.log(2) ** (1 / b)) + 30) for u in life]
                    for b in np.exp(log_shape)
                ]
            )
            for one in MACHINES
        ]
        self.weight, self.middle = np.zeros(len(SPREADS)), np.zeros(len(MACHINES))
        for place, spread in enumerate(SPREADS):
            off = (life[:, None] - life) / (spread or 1.0)
            blur = np.exp(-0.5 * off**2) * step / (spread * math.sqrt(2 * math.pi)) if spread else np.eye(life.size)
            each = [one @ blur for one in likely]
            joint = np.prod(each, axis=0) * law * math.exp(-spread / 0.7)
            self.weight[place] = joint.sum()
            self.middle += [
                float((joint * ((one * life) @ blur) / np.maximum(blurred, 1e-300)).sum())
                for one, blurred in zip(likely, each, strict=True)
            ]
        self.middle /= self.weight.sum()
        self.weight /= self.weight.sum()


@pytest.fixture(scope="module")
def found() -> MachineLives:
    return fit_machines(MACHINES, PRIOR, fit_posterior(Lives.joined(MACHINES), PRIOR))


@pytest.fixture(scope="module")
def brute() -> BruteSum:
    return BruteSum()


def test_the_weights_of_the_spreads_are_those_of_a_brute_sum(found: MachineLives, brute: BruteSum) -> None:
    np.testing.assert_allclose(found.spread_weight, brute.weight, atol=3e-3)


def test_each_machine_s_mean_ln_life_is_that_of_a_brute_sum(found: MachineLives, brute: BruteSum) -> None:
    means = [float(one.nodes.weight @ one.log_life) for one in found.laws]
    np.testing.assert_allclose(means, brute.middle, atol=8e-3)


def test_the_machine_that_wears_them_out_sooner_is_told_with_its_share_of_the_usual_life(found: MachineLives) -> None:
    first, second, _ = (one.ratio for one in found.laws)
    assert first.low < first.median < 1 < second.median
    assert first.high < second.high
    assert found.unseen.ratio.median == pytest.approx(1.0, abs=0.02)


def test_many_failures_on_unlike_machines_leave_no_doubt_and_each_has_its_own_life() -> None:
    rng = np.random.default_rng(3)
    lives = [Lives.of(scale * rng.weibull(3.0, 60), np.ones(60, dtype=bool)) for scale in (1000.0, 2000.0, 4000.0)]
    pooled = fit_posterior(Lives.joined(lives), PRIOR)
    own = fit_machines(lives, PRIOR, pooled)
    assert own.differ > 0.999
    assert machines_alike(lives, pooled) < 1e-6
    for one, each in zip(own.laws, lives, strict=True):
        shape = one.shape().median
        likeliest = (math.log(2) * float((each.exit**shape).mean())) ** (1 / shape)
        assert one.median_life().median == pytest.approx(likeliest, rel=0.02)


def test_few_nodes_stand_for_all(found: MachineLives) -> None:
    own = found.laws[0]
    few = own.few_nodes()
    assert len(few) < len(own.nodes)
    ages = [500.0, 1000.0, 2000.0]
    np.testing.assert_allclose(few.survival(ages), own.nodes.survival(ages), atol=0.01)
    chance = own.survival_between(400.0, 1000.0)
    assert chance.low[0] < chance.mean[0] < chance.high[0]


def test_quantiles_of_even_points_are_theirs() -> None:
    assert weighted_quantiles(np.arange(1, 6), np.full(5, 0.2), np.array([0.1, 0.5, 0.9])).tolist() == pytest.approx(
        [1, 3, 5]
    )


def test_without_a_failure_no_machine_has_a_law_of_its_own() -> None:
    whole = [Lives.of([100.0], [False]), Lives.of([200.0], [False])]
    pooled = fit_posterior(Lives.joined(whole), PRIOR)
    assert machines_alike(whole, pooled) == 1.0
    with pytest.raises(DataError, match="Nothing has failed"):
        fit_machines(whole, PRIOR, pooled)


@pytest.mark.parametrize(("apart", "least", "sold"), [(0.0, 0.86, False), (0.3, 0.78, False), (0.6, 0.80, True)])
def test_a_machine_s_own_chance_to_last_holds_where_machines_differ_and_where_not(
    apart: float, least: float, sold: bool
) -> None:
    """40 kinds on 4 machines, whose chances move together: standard error about 4 in 100; one world has a machine sold."""
    rng = np.random.default_rng(11)
    held: list[bool] = []
    pooled_held: list[bool] = []
    for _ in range(40):
        machines = farm(World("", machines_apart=apart, sold_half_way=sold), rng)
        lives = [one.lives for one in machines]
        pooled = fit_posterior(together(lives), PRIOR)
        own = fit_machines(lives, PRIOR, pooled) if sum(one.failures for one in lives) else None
        asked = own is not None and looks_unlike(lives, pooled)
        for place, machine in enumerate(machines):
            laws = [pooled, own.laws[place] if own else pooled]
            said = [one.survival_between(machine.ages, machine.ages + 1200.0) for one in laws]
            both = [((one.low <= machine.chance) & (machine.chance <= one.high)).tolist() for one in said]
            pooled_held += both[0]
            held += both[asked]
    print(apart, np.mean(pooled_held), np.mean(held))
    assert np.mean(held) >= least
    if apart:
        assert np.mean(pooled_held) < np.mean(held) - 0.1
