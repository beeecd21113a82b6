"""The posterior of a life: against a plain two-dimensional grid, at its edges, and what must hold for all lives."""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from wearlog.errors import DataError
from wearlog.wear import (
    Lives,
    Nodes,
    Posterior,
    Prior,
    fit_posterior,
    fit_weibayes,
    fit_weibull,
    scale_free_prior,
    starting_guess,
)
from wearlog.wear.law import mean_life
from wearlog.wear.posterior import fit_posteriors
from wearlog.wear.posterior_grid import Grid, build_parts
from wearlog.wear.posterior_quantiles import draw_laws, life_quantiles, shape_quantiles

SECTIONS = starting_guess((1500.0, 8000.0), (1.5, 4.0))
ABERNETHY = Lives.of([1500.0, 7000, 2250, 4000, 4300, 1750, 5000], [1] * 5 + [0] * 2)


def _plain_likelihood(lives: Lives, shape: np.ndarray, scale: np.ndarray) -> np.ndarray:
    """Return the log-likelihood on a grid of laws, life by life, straight from the definition."""
    value = np.zeros(shape.shape)
    seen = lives.exit if lives.last_seen is None else lives.last_seen
    for entry, end, failed, weight, last in zip(lives.entry, lives.exit, lives.event, lives.weight, seen, strict=True):
        survived = np.exp(-((end / scale) ** shape))
        if failed and (lives.last_seen is None or last == end):
            term = np.log(shape / end) + shape * np.log(end / scale) - (end / scale) ** shape
        elif failed:
            term = np.log(np.maximum(np.exp(-((last / scale) ** shape)) - survived, 1e-300))
        else:
            term = -((end / scale) ** shape)
        value += weight * (term + (entry / scale) ** shape)
    return value


def _plain_grid(lives: Lives, prior: Prior, posterior: Posterior, points: int = 1200) -> tuple[np.ndarray, ...]:
    """Return shapes, medians and normed weights of the posterior on an even grid."""
    shape, life = posterior.shape(0.9999998), posterior.median_life(0.9999998)
    log_shape = np.linspace(math.log(shape.low), math.log(shape.high), points)[:, None]
    log_life = np.linspace(math.log(life.low), math.log(life.high), points)[None, :]
    scale = np.exp(log_life - math.log(math.log(2)) / np.exp(log_shape))
    value = _plain_likelihood(lives, np.exp(log_shape) + 0 * log_life, scale)
    if math.isfinite(prior.log_shape_sd):
        value -= 0.5 * ((log_shape - prior.log_shape_mean) / prior.log_shape_sd) ** 2
    if math.isfinite(prior.log_life_sd):
        sds, shares = (prior.log_life_sd, max(prior.log_life_sd, 1.0)), (1 - prior.wide_weight, prior.wide_weight)
        laws = (
            share * stats.norm.pdf(log_life, prior.log_life_mean, sd) for share, sd in zip(shares, sds, strict=True)
        )
        value += np.log(np.maximum(sum(laws), 1e-300))
    weight = np.exp(value - value.max())
    return np.exp(log_shape[:, 0]), np.exp(log_life[0]), weight / weight.sum()


def _quantiles(values: np.ndarray, weight: np.ndarray) -> np.ndarray:
    middle = np.cumsum(weight) - 0.5 * weight
    return np.exp(np.interp([0.05, 0.5, 0.95], middle, np.log(values)))


@pytest.mark.parametrize(
    ("lives", "prior"),
    [
        pytest.param(ABERNETHY, SECTIONS, id="lives and guess agree"),
        pytest.param(Lives.of([900.0, 1200.0], [0, 0]), SECTIONS, id="nothing failed"),
        pytest.param(ABERNETHY, starting_guess(None, (1.5, 4.0)), id="no guess of the life"),
        pytest.param(
            Lives.of([48.0, 51, 55, 60, 62, 70, 80, 45], [1] * 7 + [0]), SECTIONS, id="lives far below the guess"
        ),
        pytest.param(
            Lives.of([1e5, 2e5, 1.5e5, 3e5], [1, 1, 1, 0]),
            starting_guess((100.0, 150.0), (1.5, 4.0)),
            id="far above it",
        ),
        pytest.param(
            Lives.of([1000.0, 1010, 1020, 990, 1005]), starting_guess((500.0, 2000.0), (0.8, 1.2)), id="shape far off"
        ),
        pytest.param(
            Lives.of([700.0, 900, 1500, 1100], [1, 0, 1, 0], entry=[300.0, 0, 1000, 500], weight=[1, 2, 1, 3]),
            SECTIONS,
            id="late entries and weights",
        ),
        pytest.param(
            Lives.of([700.0, 900, 1500, 1100], [1, 1, 1, 0], entry=[100.0, 0, 0, 0], last_seen=[400.0, 0, 1500, 1100]),
            SECTIONS,
            id="between inspections",
        ),
    ],
)
def test_quantiles_agree_with_a_plain_grid(lives: Lives, prior: Prior) -> None:
    """Shape and median life to 4 digits, whether guess and lives agree or lie worlds apart."""
    posterior = fit_posterior(lives, prior)
    shapes, medians, weight = _plain_grid(lives, prior, posterior)
    for found, values, margin in (
        (posterior.shape(), shapes, weight.sum(axis=1)),
        (posterior.median_life(), medians, weight.sum(axis=0)),
    ):
        expected = _quantiles(values, margin)
        np.testing.assert_allclose([found.low, found.median, found.high], expected, rtol=4e-4)
    chance = weight.ravel() @ np.exp(-math.log(2) * (600 / medians[None, :]) ** shapes[:, None]).ravel()
    assert float(posterior.survival(600.0).mean[0]) == pytest.approx(chance, abs=1e-6)


def test_without_lives_the_answer_is_the_starting_guess() -> None:
    """First day: the 80 % interval of the median life is the guess, word for word; its wide part adds little room."""
    posterior = fit_posterior(Lives.of([]), starting_guess((1500.0, 8000.0), (1.5, 4.0), wide_weight=0.0))
    life, shape = posterior.median_life(0.8), posterior.shape(0.8)
    assert (life.low, life.median, life.high) == pytest.approx((1500.0, math.sqrt(1500 * 8000), 8000.0), rel=1e-7)
    assert (shape.low, shape.median, shape.high) == pytest.approx((1.5, math.sqrt(6), 4.0), rel=1e-7)
    assert (posterior.failures, posterior.lives, posterior.exposure) == (0.0, 0.0, 0.0)
    both = fit_posterior(Lives.of([]), SECTIONS)
    assert both.part_weight == pytest.approx((0.8, 0.2), abs=1e-12)
    wider = both.median_life(0.8)
    for end, middle in ((wider.low, 0.1), (wider.median, 0.5), (wider.high, 0.9)):
        away = math.log(end / math.sqrt(1500 * 8000))
        reached = 0.8 * stats.norm.cdf(away / SECTIONS.log_life_sd) + 0.2 * stats.norm.cdf(away)
        assert reached == pytest.approx(middle, abs=1e-7)
    assert both.shape(0.8).low == pytest.approx(1.5, rel=1e-7)


def test_many_lives_outweigh_the_guess() -> None:
    """10,000 lives at another place: medians within 0.3 % of the maximum-likelihood fit."""
    rng = np.random.default_rng(2)
    ages, ends = 300 * rng.weibull(6.5, 10_000), 400 * rng.weibull(3, 10_000)
    lives = Lives.of(np.minimum(ages, ends), ages <= ends)
    fit, posterior = fit_weibull(lives), fit_posterior(lives, SECTIONS)
    assert posterior.shape().median == pytest.approx(fit.shape, rel=3e-3)
    assert posterior.scale().median == pytest.approx(fit.scale, rel=3e-3)


@pytest.mark.parametrize("lives", [ABERNETHY, Lives.of([800.0, 900], [1, 0], entry=[300.0, 0.0])])
def test_a_known_shape_is_the_gamma_conjugate(lives: Lives) -> None:
    """Shape exactly 2 and p(scale) ~ 1/scale: the same scale as Weibayes' gamma law."""
    found = fit_posterior(lives, scale_free_prior(2.0, 0.0))
    expected = fit_weibayes(lives, 2.0).scale_posterior(0.0, 0.0)
    scale = found.scale()
    assert (scale.low, scale.median, scale.high) == pytest.approx(
        (expected.low, expected.median, expected.high), rel=5e-6
    )
    assert (found.shape().low, found.shape().high) == pytest.approx((2.0, 2.0), rel=1e-12)


def test_lives_of_life() -> None:
    """Median, mean life, B10 and scale are one quantity seen through the shape: for a known shape they keep its ratios."""
    posterior = fit_posterior(ABERNETHY, scale_free_prior(3.0, 0.0))
    scale = posterior.scale().median
    assert posterior.median_life().median == pytest.approx(scale * math.log(2) ** (1 / 3), rel=1e-9)
    assert posterior.mean_life().median == pytest.approx(scale * math.gamma(4 / 3), rel=1e-9)
    assert posterior.life_at(0.1).median == pytest.approx(scale * 0.1053605156578263 ** (1 / 3), rel=1e-9)


@pytest.mark.parametrize(
    ("lives", "prior", "sentence"),
    [
        (Lives.of([900.0], [0]), starting_guess(), "Nothing has failed yet and there is no starting guess"),
        (Lives.of([]), scale_free_prior(2.0, 0.4), "Nothing has failed yet and there is no starting guess"),
        (Lives.of([900.0], last_seen=[0.0]), starting_guess(), "leave the life without a bound"),
    ],
)
def test_a_life_that_could_be_anything_is_refused(lives: Lives, prior: Prior, sentence: str) -> None:
    """With the way out."""
    with pytest.raises(DataError, match=sentence) as caught:
        fit_posterior(lives, prior)
    assert "starting guess" in caught.value.hint


def test_one_failure_is_enough_without_a_guess() -> None:
    """Shape about where shapes usually are; the interval of the life is as wide as it must be."""
    posterior = fit_posterior(Lives.of([620.0, 400.0, 550.0], [1, 0, 0]), starting_guess())
    life = posterior.median_life()
    assert 0.5 < posterior.shape().low < 1.0
    assert 5.0 < posterior.shape().high < 8.0
    assert life.low < 620 < life.high
    assert life.high / life.low > 4


@pytest.mark.parametrize("true", [6.7, 20.0])
def test_without_a_guess_nothing_caps_the_shape(true: float) -> None:
    """120 failures at a shape beyond 5: fit and posterior agree, and their intervals of B10 all but coincide."""
    place = (np.arange(1, 121) - 0.3) / 120.4
    lives = Lives.of(1000 * (-np.log1p(-place)) ** (1 / true))
    fit, posterior = fit_weibull(lives), fit_posterior(lives, starting_guess())
    shape, tenth, beside = posterior.shape(), posterior.life_at(0.1), fit.life_interval(0.1)
    assert shape.low < true < shape.high
    assert shape.median == pytest.approx(fit.shape, rel=0.04)
    assert (tenth.low, tenth.high) == pytest.approx((beside.low, beside.high), rel=0.02)


def test_without_a_guess_a_shape_beyond_20_is_possible_and_rare() -> None:
    """Eight of ten between 0.8 and 5; beyond 20 one in 1,500."""
    prior = starting_guess()
    law = stats.norm(prior.log_shape_mean, prior.log_shape_sd)
    assert np.exp(law.ppf([0.1, 0.9])) == pytest.approx([0.8, 5.0])
    assert law.sf(math.log(20)) == pytest.approx(1 / 1500, rel=0.1)
    assert prior.shape_high > 100


@pytest.mark.parametrize("guess", [((950.0, 1050.0), (1.5, 4.0)), ((1500.0, 8000.0), (2.0, 2.0))])
def test_with_no_weight_on_the_second_part_every_answer_is_what_it_was(
    guess: tuple[tuple[float, float], tuple[float, float]],
) -> None:
    """Bit for bit that of one normal law: the grid, the quantiles, the nodes and the draws."""
    alone = starting_guess(*guess, wide_weight=0.0)
    plain = Prior(alone.log_life_mean, alone.log_life_sd, alone.log_shape_mean, alone.log_shape_sd)
    for lives in (ABERNETHY, Lives.of([900.0, 1200.0], [0, 0]), Lives.of([])):
        found, grid = fit_posterior(lives, alone), build_parts(lives, plain)[0][0]
        assert found.part_weight == (1.0,)
        for name in ("row_weight", "shape_running", "life_running", "node_weight"):
            np.testing.assert_array_equal(getattr(found.grid, name), getattr(grid, name))
        tails, flat = np.array([0.05, 0.5, 0.95]), np.zeros((1, len(grid.log_shape)))
        life, shape = found.median_life(), found.shape()
        np.testing.assert_array_equal(
            [life.low, life.median, life.high], np.exp(life_quantiles(grid, flat, flat + 1, tails)[0])
        )
        np.testing.assert_array_equal([shape.low, shape.median, shape.high], shape_quantiles(grid, tails))
        laws = draw_laws((grid,), (1.0,), 50, np.random.default_rng(3))
        np.testing.assert_array_equal(found.draws(50, np.random.default_rng(3)).shape, np.exp(laws[0]))


def test_two_parts_answer_as_their_weighted_sum() -> None:
    """Survival, nodes, a few nodes and draws of a guess that the lives half overrule."""
    prior = starting_guess((950.0, 1050.0), (1.5, 4.0))
    posterior = fit_posterior(Lives.of([1300.0, 1900.0, 2600.0]), prior)
    weight, ages = posterior.part_weight, [700.0, 1500.0, 2500.0]
    assert 0.3 < weight[0] < 0.7
    each = [
        fit_posterior(Lives.of([1300.0, 1900.0, 2600.0]), replace(prior, wide_weight=0.0, log_life_sd=sd))
        for sd in (prior.log_life_sd, 1.0)
    ]
    mixed = sum(share * one.survival(ages).mean for share, one in zip(weight, each, strict=True))
    np.testing.assert_allclose(posterior.survival(ages).mean, mixed, rtol=1e-9)
    np.testing.assert_allclose(posterior.nodes.survival(ages), mixed, atol=1e-8)
    np.testing.assert_allclose(posterior.few_nodes().survival(ages), mixed, atol=4e-3)
    drawn = posterior.draws(20_000, np.random.default_rng(5))
    np.testing.assert_allclose(drawn.survival(ages), mixed, atol=0.01)
    np.testing.assert_allclose(drawn.scale[:2000].mean(), drawn.scale.mean(), rtol=0.03)
    assert posterior.under_widest_part().median_life().low == each[1].median_life().low


def test_a_guess_that_is_wide_or_none_has_no_second_part() -> None:
    """An sd of 1 and more of ln(life) gives way by itself."""
    assert len(starting_guess((100.0, 1300.0), (1.5, 4.0)).parts) == 1
    assert len(starting_guess((100.0, 1290.0), (1.5, 4.0)).parts) == 2
    assert len(starting_guess(None, (1.5, 4.0)).parts) == 1
    with pytest.raises(DataError, match="weight of 1 cannot be"):
        starting_guess((100.0, 200.0), wide_weight=1.0)


@pytest.mark.parametrize(
    ("life", "shape", "sentence"),
    [
        ((8000.0, 1500.0), (1.5, 4.0), "starting guess of the life, 8000 to 1500, is not a range"),
        ((0.0, 1500.0), (1.5, 4.0), "starting guess of the life, 0 to 1500"),
        ((math.nan, 1500.0), (1.5, 4.0), "starting guess of the life, nan"),
        ((1500.0, 1500.0), (1.5, 4.0), "leaves no room"),
        ((1500.0, 8000.0), (4.0, 1.5), "starting guess of the shape, 4 to 1.5, is not a range"),
        ((1500.0, 8000.0), (0.01, 4.0), "outside what parts do"),
    ],
)
def test_guesses_that_are_none_are_refused(
    life: tuple[float, float], shape: tuple[float, float], sentence: str
) -> None:
    """Each in its words."""
    with pytest.raises(DataError, match=sentence):
        starting_guess(life, shape)


def test_questions_without_an_answer_are_refused() -> None:
    """Fractions, stretches and levels out of range."""
    posterior = fit_posterior(ABERNETHY, SECTIONS)
    with pytest.raises(DataError, match="No age belongs to a fraction of 1"):
        posterior.life_at(1.0)
    with pytest.raises(DataError, match="runs backwards"):
        posterior.survival_between(500.0, 400.0)
    with pytest.raises(DataError, match="starts before 0"):
        posterior.survival_between(-1.0, 400.0)
    with pytest.raises(DataError, match="level 0 cannot"):
        posterior.shape(0.0)
    with pytest.raises(DataError, match="needs a median above 0"):
        scale_free_prior(0.0, 0.4)


def test_nodes_carry_the_posterior() -> None:
    """Averages over the nodes are the posterior's own; a few nodes keep the mean and nearly all of the spread."""
    posterior = fit_posterior(ABERNETHY, SECTIONS)
    nodes, few = posterior.nodes, posterior.few_nodes()
    assert len(few) == 96
    assert nodes.weight.sum() == pytest.approx(1.0, abs=1e-12)
    assert few.weight.sum() == pytest.approx(1.0, abs=1e-12)
    ages = [500.0, 2000.0, 6000.0]
    np.testing.assert_allclose(nodes.survival(ages), posterior.survival(ages).mean, atol=1e-9)
    np.testing.assert_allclose(few.survival(ages), posterior.survival(ages).mean, atol=2e-3)
    for log_of in (lambda n: np.log(n.scale), lambda n: np.log(n.shape)):
        mean, mean_few = nodes.weight @ log_of(nodes), few.weight @ log_of(few)
        assert mean_few == pytest.approx(mean, abs=1e-3)
        ratio = math.sqrt((few.weight @ (log_of(few) - mean) ** 2) / (nodes.weight @ (log_of(nodes) - mean) ** 2))
        assert 0.95 < ratio < 1.0


def test_draws_are_reproducible_and_follow_the_posterior() -> None:
    """The same seed, the same laws; 20,000 of them have the posterior's quantiles to 2 %."""
    posterior = fit_posterior(ABERNETHY, SECTIONS)
    one, other = (posterior.draws(20_000, np.random.default_rng(7)) for _ in range(2))
    np.testing.assert_array_equal(one.scale, other.scale)
    scale = posterior.scale()
    found = np.quantile(one.scale, [0.05, 0.5, 0.95])
    np.testing.assert_allclose(found, [scale.low, scale.median, scale.high], rtol=0.02)


def test_survival_of_many_positions_at_once_is_that_of_each() -> None:
    """Rows answer in their order, equal ages alike, an empty stretch is sure."""
    posterior = fit_posterior(ABERNETHY, SECTIONS)
    many = posterior.survival_between([0.0, 800.0, 0.0, 300.0], [900.0, 1400.0, 900.0, 300.0])
    assert many.mean[0] == many.mean[2]
    assert (many.mean[3], many.low[3], many.high[3]) == (1.0, 1.0, 1.0)
    alone = posterior.survival_between(800.0, 1400.0)
    assert (many.mean[1], many.low[1], many.high[1]) == pytest.approx(
        (alone.mean[0], alone.low[0], alone.high[0]), rel=1e-9
    )


@st.composite
def any_lives(draw: st.DrawFn) -> Lives:
    """0 to 20 lives of any kind."""
    n = draw(st.integers(0, 20))
    ends = draw(st.lists(st.floats(1, 1e5), min_size=n, max_size=n))
    share = draw(st.lists(st.floats(0, 0.95), min_size=n, max_size=n))
    failed = draw(st.lists(st.booleans(), min_size=n, max_size=n))
    return Lives.of(ends, failed, entry=[e * s for e, s in zip(ends, share, strict=True)])


@settings(deadline=None, max_examples=30)
@given(any_lives())
def test_every_posterior_is_a_law_of_lives(lives: Lives) -> None:
    """Intervals in order and nested; survival falls with age, between 0 and 1, low below mean-bearing high."""
    posterior = fit_posterior(lives, SECTIONS)
    for ask in (posterior.shape, posterior.median_life, posterior.mean_life, posterior.scale):
        wide, narrow = ask(0.95), ask(0.5)
        assert 0 < wide.low <= narrow.low <= narrow.median <= narrow.high <= wide.high < math.inf
    survival = posterior.survival([10.0, 100.0, 1000.0, 10000.0])
    for row in (survival.mean, survival.median, survival.low, survival.high):
        assert (np.diff(row) <= 1e-9).all()
        assert ((row >= 0) & (row <= 1 + 1e-12)).all()
    assert (survival.low <= survival.median).all()
    assert (survival.median <= survival.high).all()
    assert posterior.life_at(0.1).median < posterior.median_life().median < posterior.life_at(0.9).median


@settings(deadline=None, max_examples=25)
@given(any_lives(), st.floats(1e-2, 1e3))
def test_another_unit_only_changes_the_unit(lives: Lives, factor: float) -> None:
    """Lives and guess in hours or in acres."""
    one = fit_posterior(lives, SECTIONS)
    scaled = Lives.of(lives.exit * factor, lives.event, entry=lives.entry * factor)
    other = fit_posterior(scaled, starting_guess((1500.0 * factor, 8000.0 * factor), (1.5, 4.0)))
    assert other.median_life().low == pytest.approx(one.median_life().low * factor, rel=1e-5)
    assert other.shape().high == pytest.approx(one.shape().high, rel=1e-5)


@settings(deadline=None, max_examples=25)
@given(any_lives(), st.floats(1, 1e5))
def test_a_life_seen_whole_lengthens_the_life_at_a_known_shape(lives: Lives, age: float) -> None:
    """One more part that has not failed never shortens any quantile of the life."""
    known = starting_guess((1500.0, 8000.0), (2.0, 2.0))
    before = fit_posterior(lives, known).median_life()
    after = fit_posterior(Lives.joined([lives, Lives.of([age], [0])]), known).median_life()
    for old, new in ((before.low, after.low), (before.median, after.median), (before.high, after.high)):
        assert new >= old * (1 - 1e-6)


def test_a_part_met_at_a_chance_moment_of_its_life_fails_as_often_as_renewals_say() -> None:
    """Against 200,000 positions renewed for long and looked at once: the share that fails within the next stretch."""
    rng = np.random.default_rng(21)
    lives = 1000 * rng.weibull(2.5, (200_000, 14))
    ends = np.cumsum(lives, axis=1)
    seen = 5000 * (1 + rng.random(200_000) / 10)
    following = np.take_along_axis(ends, (ends <= seen[:, None]).sum(axis=1)[:, None], axis=1).ravel()
    one = Nodes(np.array([2.5]), np.array([1000.0]), np.array([1.0]))
    for usage in (10.0, 200.0, 900.0, 5000.0):
        share = float((following <= seen + usage).mean())
        assert float(one.failing_within(usage)) == pytest.approx(share, abs=0.005)
    assert float(one.failing_within(1e-3)) == pytest.approx(1e-3 / float(mean_life(2.5, 1000.0)), rel=1e-6)


def test_many_kinds_in_one_go_are_those_fitted_one_by_one_bit_for_bit() -> None:
    """More than are built at once; with a known shape, no guess, failures between looks, late entries, nothing failed."""
    rng = np.random.default_rng(3)
    asked: list[tuple[Lives, Prior]] = []
    for number in range(20):
        ages, ends = 4000 * rng.weibull(2.2, 5 + number), rng.uniform(300, 3000, 5 + number)
        late = np.where(rng.random(5 + number) < 0.3, 0.4 * np.minimum(ages, ends), 0.0)
        asked.append((Lives.of(np.minimum(ages, ends), ages <= ends, entry=late), SECTIONS))
    asked[3] = asked[3][0], starting_guess((1500.0, 8000.0), (2.0, 2.0))
    asked[5] = asked[18][0], starting_guess(None, (1.0, 3.0))
    asked[7] = Lives.of([900.0, 1200.0], [True, True], last_seen=[600.0, 1200.0]), SECTIONS
    asked[9] = Lives.of([], []), SECTIONS
    asked[11] = Lives.of([900.0, 1200.0], [False, False]), starting_guess(None, (1.0, 3.0))
    found = fit_posteriors(asked)
    assert [place for place, one in enumerate(found) if one is None] == [11]
    for one, (lives, prior) in zip(found, asked, strict=True):
        if one is not None:
            alone = fit_posterior(lives, prior)
            assert one.part_weight == alone.part_weight
            for mine, its in zip((one.grid, *one.parts), (alone.grid, *alone.parts), strict=True):
                for column in fields(Grid):
                    assert np.array_equal(getattr(mine, column.name), getattr(its, column.name)), column.name


def test_no_kinds_are_none() -> None:
    assert fit_posteriors([]) == []


def test_the_middle_is_that_of_the_intervals() -> None:
    for prior in (SECTIONS, starting_guess((1500.0, 8000.0), (2.0, 2.0))):
        found = fit_posterior(ABERNETHY, prior)
        assert found.middle() == pytest.approx((found.shape().median, found.median_life().median), rel=1e-9)
