"""The belief behind lives by part number: the density read off tables against life by life, slopes against small steps."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.wear.lives import Lives
from wearlog.wear.part_model import PartModel
from wearlog.wear.prior import scale_free_prior, starting_guess

GUESS = starting_guess((1000.0, 4000.0), (1.5, 4.0))
GROUND_SD = 0.4


def _lives(rng: np.random.Generator, count: int) -> Lives:
    """Parts that came late, that were seen whole last, that stand for several."""
    life = 2000 * (rng.exponential(size=count) / np.log(2)) ** (1 / 2.4)
    watched = rng.uniform(800, 4000, count)
    end = np.minimum(life, watched)
    entry = np.where(rng.random(count) < 0.3, 0.4 * end, 0.0)
    return Lives.of(end, life < watched, entry=entry, weight=rng.integers(1, 5, count), last_seen=0.9 * end)


@pytest.fixture(params=[(31, 3, 2), (300, 12, 3)], ids=["few", "many"])
def given(request: pytest.FixtureRequest) -> tuple[Lives, np.ndarray, np.ndarray, PartModel]:  # type: ignore[type-arg]
    count, parts, grounds = request.param
    rng = np.random.default_rng(count)
    lives = _lives(rng, count)
    part, ground = rng.integers(0, parts, count), rng.integers(0, grounds, count)
    part[:parts], ground[:grounds] = np.arange(parts), np.arange(grounds)
    return lives, part, ground, PartModel.of(lives, part, ground, GUESS, GROUND_SD)


def _by_lives(z: np.ndarray, lives: Lives, part: np.ndarray, ground: np.ndarray, inverse: np.ndarray) -> float:  # type: ignore[type-arg]
    """The density written down life by life; a failure between two looks counts in the middle."""
    parts = inverse.shape[0]
    middle = z[1 : 1 + parts][part] + np.append(0.0, z[1 + parts :])[ground]
    assert lives.last_seen is not None
    seen = np.where(lives.event, (lives.exit + lives.last_seen) / 2, lives.exit)
    shape = np.exp(z[0])
    ran = np.log(2) * ((seen / np.exp(middle)) ** shape - (np.minimum(lives.entry, seen) / np.exp(middle)) ** shape)
    hazard = np.log(np.log(2)) + z[0] + shape * (np.log(seen) - middle) - np.log(seen)
    off = z[1 : 1 + parts] - GUESS.log_life_mean
    before = off @ inverse @ off + (z[1 + parts :] ** 2).sum() / GROUND_SD**2
    before += ((z[0] - GUESS.log_shape_mean) / GUESS.log_shape_sd) ** 2
    return float(lives.weight @ (lives.event * hazard - ran) - before / 2)


def _inverse(parts: int) -> np.ndarray:  # type: ignore[type-arg]
    return np.linalg.inv(0.2**2 * np.eye(parts) + GUESS.log_life_sd**2)


def test_the_density_is_that_of_the_lives_one_by_one(
    given: tuple[Lives, np.ndarray, np.ndarray, PartModel],  # type: ignore[type-arg]
) -> None:
    lives, part, ground, model = given
    inverse = _inverse(model.parts)
    rng = np.random.default_rng(1)
    middle = np.concatenate(([0.9], np.full(model.parts, np.log(2000)), np.zeros(model.grounds - 1)))
    points = middle + 0.4 * rng.standard_normal((500, middle.size))
    # a shape far from all others stretches the table
    points[0, 0], points[1, 0] = -1.5, 2.5
    read = model.log_density(points, inverse)
    by_lives = np.array([_by_lives(z, lives, part, ground, inverse) for z in points])
    apart = read - by_lives
    assert apart - apart[0] == pytest.approx(np.zeros(500), abs=1e-6)
    few = model.log_density(points[:50], inverse)
    assert few == pytest.approx(read[:50], abs=1e-6)


def test_the_mode_is_the_greatest_and_its_spread_that_of_small_steps(
    given: tuple[Lives, np.ndarray, np.ndarray, PartModel],  # type: ignore[type-arg]
) -> None:
    _, _, _, model = given
    inverse = _inverse(model.parts)
    start = np.concatenate(([0.7], np.full(model.parts, model.life_mean), np.zeros(model.grounds - 1)))
    mode, root = model.mode(inverse, start)
    steps = 1e-4 * np.eye(mode.size)

    def density(z: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
        return np.array([float(model.log_density(one[None, :], inverse)[0]) for one in z])

    slope = (density(mode + steps) - density(mode - steps)) / 2e-4
    assert slope == pytest.approx(np.zeros(mode.size), abs=1e-5)
    curve = np.empty((mode.size, mode.size))
    for place, step in enumerate(steps):
        ahead, behind = density(mode + step + steps), density(mode + step - steps)
        other, back = density(mode - step + steps), density(mode - step - steps)
        curve[place] = (ahead - behind - other + back) / 4e-8
    assert root @ root.T @ -curve == pytest.approx(np.eye(mode.size), abs=2e-3)


def test_without_any_guess_the_lives_alone_say_where() -> None:
    lives = _lives(np.random.default_rng(3), 40)
    none = np.zeros(40, dtype=np.int64)
    model = PartModel.of(lives, none, none, scale_free_prior(2.0, 0.4), GROUND_SD)
    mode, _ = model.mode(np.array([[1 / 9.0]]), np.array([0.7, model.life_mean]))
    assert 1500 < np.exp(mode[1]) < 2600
