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
from wearlog.wear.prior import Prior
from wearlog.wear.speed_evidence import SplitLives, log_evidence, stepped_evidence
from wearlog.wear.speeds import at_pace, fit_speeds, ways_alike

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


def lives_of_two_numbers(count: int, machines: int) -> SplitLives:
    """Lives of which each ran in ways 0 and 1, or in 2 and 3 where its part was of another number; some entered late."""
    rng = np.random.default_rng(count)
    ages, failed, other = 800 * rng.weibull(2.0, count) + 20, rng.random(count) < 0.6, rng.random(count) < 0.4
    entry = np.where(rng.random(count) < 0.3, 0.3 * ages, 0.0)
    share = rng.uniform(0.1, 0.9, count)
    first = np.stack([share, 1 - share], axis=1)
    ways = np.hstack([first * ~other[:, None], first * other[:, None]])
    ended = np.zeros((count, 4))
    ended[np.arange(count), np.where(other, 3, 1)] = failed
    lives = Lives.of(ages, failed, entry=entry)
    at_exit = ways * ages[:, None]
    return SplitLives(lives, rng.integers(0, machines, count), ways * entry[:, None], at_exit, at_exit, ended)


def over_all_rates(given: SplitLives, log_speed: np.ndarray, prior: Prior, between: tuple[float, float]) -> float:
    """ln of the evidence of one row of speeds as it is written down: every life on its clock, every rate, machine by machine."""
    lives, machines = given.lives, int(given.machine.max()) + 1
    more = np.expm1(log_speed)
    end, begun = lives.exit + given.exit @ more, lives.entry + given.entry @ more
    failed = np.bincount(given.machine, lives.event, machines)
    count = failed.sum()
    found = []
    for shape in np.exp(np.linspace(*np.log(between), 6)):
        ran = np.bincount(
            given.machine, (end / lives.exit.max()) ** shape - (begun / lives.exit.max()) ** shape, machines
        )
        dense = count * math.log(shape) + (shape - 1) * np.log(end / lives.exit.max())[lives.event].sum()
        dense += float((given.ended @ log_speed)[lives.event].sum())
        dense -= 0.5 * ((math.log(shape) - prior.log_shape_mean) / prior.log_shape_sd) ** 2
        terms = [math.lgamma(count) - count * math.log(ran.sum()) + math.log(0.5)]
        steps = np.linspace(-1, 1, 21) * (1.6 + 3 / math.sqrt(count))
        for spread, chance in ((0.2, 0.3), (0.5, 0.2)):
            tight = 1 / (shape * spread) ** 2
            rates = math.log(count / ran.sum()) + shape * steps
            apart = sum(math.lgamma(tight + d) - math.lgamma(tight) + tight * math.log(tight) for d in failed)
            joint = [
                count * rate - float(((tight + failed) * np.log(tight + math.exp(rate) * ran)).sum()) for rate in rates
            ]
            terms.append(float(np.logaddexp.reduce(joint)) + math.log(shape * (steps[1] - steps[0]) * chance) + apart)
        found.append(dense + float(np.logaddexp.reduce(terms)))
    return float(np.logaddexp.reduce(found))


@pytest.mark.parametrize(("count", "machines"), [(12, 2), (60, 3), (900, 40)])
def test_the_evidence_of_many_speeds_at_once_is_that_of_each(count: int, machines: int) -> None:
    """Few failures look at every rate, many at those about the middle; steps that lie on whole lives go by power sums."""
    given = lives_of_two_numbers(count, machines)
    slopes = np.array([[0.1, 0.0, 0.1, 0.0], [-0.2, 0.0, -0.2, 0.0], [0.0, 0.3, 0.0, 0.3]])
    steps, other = np.array([-0.8, 0.0, 0.5]), np.array([0.0, 0.0, 1.0, 1.0])
    rows = [[slope + step * other for slope in slopes] for step in steps]
    wanted = np.array([[over_all_rates(given, row, PRIOR, (1.5, 3.0)) for row in some] for some in rows])
    found = stepped_evidence(given, slopes, steps, other, PRIOR, (1.5, 3.0))
    np.testing.assert_allclose(found, wanted, rtol=1e-11)
    np.testing.assert_allclose(log_evidence(given, np.vstack(rows), PRIOR, (1.5, 3.0)), wanted.ravel(), rtol=1e-11)


def test_lives_that_ran_whole_in_one_way_or_none_are_weighed_as_any_other() -> None:
    """A life in two ways at once, or partly in none, is put on its clock at every speed; the answer is the same."""
    given = lives_of_two_numbers(80, 4)
    # three ways: none, one and two, each life whole in one of them
    whole = np.stack([given.exit[:, 0] > 0, given.exit[:, 2] > 0], axis=1) * (np.arange(80) % 3 > 0)[:, None]
    at_exit = whole * given.lives.exit[:, None]
    ended = (whole & given.lives.event[:, None]).astype(float)
    asked = np.array([[0.0, 0.0], [0.4, -0.6], [-0.3, 0.2]])
    alone = SplitLives(given.lives, given.machine, whole * given.lives.entry[:, None], at_exit, at_exit, ended)
    mixed_exit = at_exit.copy()
    mixed_exit[np.flatnonzero(whole[:, 0])[0]] *= 0.5
    mixed = SplitLives(given.lives, given.machine, alone.entry, mixed_exit, mixed_exit, ended)
    for split_lives in (alone, mixed):
        wanted = [over_all_rates(split_lives, row, PRIOR, (1.5, 3.0)) for row in asked]
        np.testing.assert_allclose(log_evidence(split_lives, asked, PRIOR, (1.5, 3.0)), wanted, rtol=1e-11)
        stepped = stepped_evidence(
            split_lives, np.zeros((1, 2)), np.array([0.4, -0.6]), np.array([1.0, 0.0]), PRIOR, (1.5, 3.0)
        )
        wanted = [over_all_rates(split_lives, np.array([step, 0.0]), PRIOR, (1.5, 3.0)) for step in (0.4, -0.6)]
        np.testing.assert_allclose(stepped[:, 0], wanted, rtol=1e-11)


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
