"""Speeds of wear on rough ground: the evidence against brute integrals, the clock, what chances are worth in invented worlds."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import gamma

from tests.wear.farm_worlds import GUESS, World, farm, split
from tests.wear.ground_worlds import came_and_held
from wearlog.errors import DataError
from wearlog.wear import Lives, fit_posterior, starting_guess
from wearlog.wear.own_life import OwnLife
from wearlog.wear.speeds import SplitLives, at_pace, fit_speeds, log_evidence, ways_alike

PRIOR = starting_guess(*GUESS)
#: a shape that is known leaves one to sum over, so that a brute integral is quick
KNOWN = starting_guess(GUESS[0], (2.5, 2.5))


def two_machines() -> SplitLives:
    """Five lives on two machines, with one that entered late; two ended on stones."""
    lives = Lives.of(
        [900.0, 1400.0, 2000.0, 700.0, 2600.0], [True, True, False, True, True], entry=[0.0, 0.0, 500.0, 0.0, 0.0]
    )
    stony = np.array([[800.0], [300.0], [900.0], [650.0], [200.0]])
    ended = np.array([[1.0], [0.0], [0.0], [1.0], [0.0]])
    entry = np.array([[0.0], [0.0], [250.0], [0.0], [0.0]])
    return SplitLives(lives, np.array([0, 0, 1, 1, 1]), entry, stony, stony, ended)


def brute_evidence(given: SplitLives, log_speed: float, shape: float) -> float:
    """ln of the integral over the rate and over gamma frailties of the machines, likelihood by likelihood."""
    more = math.expm1(log_speed)
    lives = given.lives
    end, begun = lives.exit + more * given.exit[:, 0], lives.entry + more * given.entry[:, 0]
    dense = sum(
        math.log(shape) + (shape - 1) * math.log(age) + log_speed * on
        for age, on, failed in zip(end, given.ended[:, 0], lives.event, strict=True)
        if failed
    )
    ran = [
        float((end[mine] ** shape - begun[mine] ** shape).sum()) for mine in (given.machine == 0, given.machine == 1)
    ]
    failed = [float(lives.event[given.machine == one].sum()) for one in (0, 1)]

    def machine(rate: float, place: int, tight: float) -> float:
        law = gamma(tight, scale=1 / tight)
        made = lambda z: (z * rate) ** failed[place] * math.exp(-z * rate * ran[place]) * law.pdf(z)  # noqa: E731
        return float(quad(made, 0, 12, limit=200)[0])

    likeliest = sum(failed) / sum(ran)
    alike = quad(
        lambda u: math.exp(sum(failed) * u - math.exp(u) * sum(ran)), *(math.log(likeliest) + np.array([-9, 4]))
    )
    total = 0.5 * alike[0]
    for spread, chance in ((0.2, 0.3), (0.5, 0.2)):
        tight = 1 / (shape * spread) ** 2
        both = quad(
            lambda u, k=tight: machine(math.exp(u), 0, k) * machine(math.exp(u), 1, k),
            *(math.log(likeliest) + np.array([-9, 6])),
            epsabs=0,
            epsrel=1e-4,
            limit=100,
        )
        total += chance * both[0]
    return dense + math.log(total)


def test_the_evidence_of_speeds_is_that_of_brute_integrals() -> None:
    given = two_machines()
    asked = np.array([[0.0], [0.4], [-0.3]])
    found = log_evidence(given, asked, KNOWN, (2.0, 3.0))
    brute = np.array([brute_evidence(given, float(one), 2.5) for one in asked[:, 0]])
    np.testing.assert_allclose(found - found[0], brute - brute[0], atol=0.01)


def test_the_clock_counts_rough_acres_more_and_keeps_the_sum() -> None:
    given = two_machines()
    read = given.on_clock([math.log(2.0)])
    share = given.shares()[0]
    assert share == pytest.approx((800 + 300 + 650 + 650 + 200) / (900 + 1400 + 1500 + 700 + 2600))
    assert read.exit[0] == pytest.approx((100 + 2 * 800) / (1 + share))
    assert read.exposure == pytest.approx(given.lives.exposure)
    assert given.on_clock([0.0]).exit.tolist() == given.lives.exit.tolist()


def test_many_failures_give_the_speed_back() -> None:
    """60 kinds of about 45 failures each, true ln(speed) 0.51; beforehand it was 0.2, which draws it down a little."""
    rng = np.random.default_rng(4)
    found = []
    for _ in range(60):
        given = split(farm(World("", stony=0.51, positions=12), rng))
        if given.lives.failures >= 3:
            speeds = fit_speeds(given, PRIOR, fit_posterior(given.lives, PRIOR))
            found.append((speeds.mean[0], speeds.speed(0).low < math.exp(0.51) < speeds.speed(0).high))
    mean, held = np.mean(found, axis=0)
    assert 0.38 < mean < 0.55
    assert 0.68 < held < 0.95  # said: 0.8


def test_a_mix_is_the_surer_the_nearer_it_lies_to_the_usual_one() -> None:
    given = two_machines()
    speeds = fit_speeds(given, PRIOR, fit_posterior(given.lives, PRIOR))
    usual = given.shares()
    assert float(speeds.pace(usual)) == pytest.approx(1.0)
    assert float(speeds.doubt(usual)) == pytest.approx(0.0, abs=1e-12)
    clean, stones = np.zeros(1), np.ones(1)
    assert float(speeds.pace(clean)) < 1 < float(speeds.pace(stones))
    assert float(speeds.doubt(clean)) > 0.05


def test_a_law_at_another_pace_is_that_of_its_ages_on_the_clock() -> None:
    pooled = fit_posterior(two_machines().lives, PRIOR)
    faster = at_pace(pooled, 1.5)
    assert isinstance(faster, OwnLife)
    ages = np.array([500.0, 1000.0])
    np.testing.assert_allclose(faster.nodes.survival(ages), pooled.nodes.survival(ages * 1.5))
    assert at_pace(faster, 1.0, 0.3).median_life().high > faster.median_life().high


def test_without_failures_or_without_stones_there_is_nothing_to_weigh() -> None:
    plain = Lives.of([100.0, 200.0], [False, False])
    ways = np.array([[50.0], [20.0]])
    none = SplitLives(plain, np.array([0, 0]), np.zeros((2, 1)), ways, ways, np.zeros((2, 1)))
    pooled = fit_posterior(plain, PRIOR)
    assert ways_alike(none, pooled) == 1.0
    with pytest.raises(DataError, match="Nothing has failed"):
        fit_speeds(none, PRIOR, pooled)


@pytest.mark.parametrize(
    ("world", "least"),
    [
        (World("as the model"), 0.85),
        (World("an acre on stones counts 1.67", stony=0.51), 0.80),
        (World("stones and machines that differ", stony=0.51, machines_apart=0.3), 0.75),
        (World("stones and a machine sold in mid-season", stony=0.51, sold_half_way=True), 0.80),
    ],
    ids=lambda one: one.name if isinstance(one, World) else "",
)
def test_chances_hold_and_sums_come_true_on_a_mix_of_ground(world: World, least: float) -> None:
    """60 kinds on 4 machines: standard error about 3 in 100; the long form: tests/bench/test_bench_farm_worlds.py."""
    found = came_and_held(world, 60, 5, PRIOR)
    print(world.name, found)
    assert found.held >= least
    assert 1 / 1.1 < found.came_by_said < 1.1
    if world.stony and not world.machines_apart:
        assert found.held > found.plain_held + 0.05
