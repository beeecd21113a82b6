"""Farms with lives nobody knows but the draw: their parts, what wears and breaks in a season, and their records. Decides nothing.

Everything is drawn beforehand: the k-th part of a position lives equally long, and the same stones lie in the way, whatever is
decided. Ages are in stored units (seconds, square metres), money in whole minor units. Prices are invented.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.farm_settings import USUAL_DOWNTIME_MINOR, USUAL_LABOUR_RATE_MINOR
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.plan.positions import SetCosts
from wearlog.wear.impact import impact_prior
from wearlog.wear.prior import Prior, starting_guess
from wearlog.wear.rates import GammaRate

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

#: seasons that are on record before the first decision
RECORDED: Final = 3
_ACRE: Final = 4_046.8564224
_HOUR: Final = 3_600.0
#: half of the usual time is opening up, as where the farm has no records of its own
_OPENING_SHARE: Final = 0.5
#: beyond the repair itself: to notice, stop, and get there
_TO_GET_THERE: Final = 0.5
_PER_SQUARE_METRE: Final = 1e-12
#: one farm in so many lies on clean ground, with few stones, stony, very stony
_GROUNDS: Final = (0.3, 0.4, 0.2, 0.1)


@dataclass(frozen=True, slots=True)
class Article:
    """A part of the farm: so many components of so many positions each take it."""

    kind: PartKind
    components: int
    positions: int
    price_minor: int
    pack_size: int

    @property
    def costs(self) -> SetCosts:
        """Shop and field costs of one component."""
        hours = (self.kind.usual_labour_seconds or 0) / _HOUR
        labour = hours * USUAL_LABOUR_RATE_MINOR
        standing = (hours + _TO_GET_THERE) * USUAL_DOWNTIME_MINOR
        return SetCosts(
            round(labour * _OPENING_SHARE),
            self.price_minor + round(labour * (1 - _OPENING_SHARE)),
            self.price_minor + round(labour + standing),
        )

    @property
    def guess(self) -> Prior:
        """The starting guess of its life."""
        kind = self.kind
        low, high, flattest, steepest = (
            float(end or 0)
            for end in (
                kind.life_low_usage,
                kind.life_high_usage,
                kind.shape_low_thousandths,
                kind.shape_high_thousandths,
            )
        )
        return starting_guess((low, high), (flattest / 1_000, steepest / 1_000))

    def impact_guess(self, ground: int) -> GammaRate | None:
        """The starting guess of breakages of one component per square metre; None for what stones do not break."""
        rates = _impact_guesses(self.kind)
        return rates[ground] if rates else None


@cache
def _impact_guesses(kind: PartKind) -> tuple[GammaRate, ...]:
    guesses = (kind.impacts_clean, kind.impacts_few_stones, kind.impacts_stony, kind.impacts_very_stony)
    return impact_prior([one * _PER_SQUARE_METRE for one in guesses]) if any(guesses) else ()


def _article(name: str, components: int, positions: int, price_minor: int, pack_size: int) -> Article:
    kind = next(kind for kind in STARTING_KINDS if kind.name == name)
    return Article(kind, components, positions, price_minor, pack_size)


ARTICLES: Final = (
    _article("knife section", 1, 24, 5_00, 10),
    _article("guard", 1, 12, 22_00, 4),
    _article("feeder conveyor chain", 1, 1, 900_00, 1),
    _article("main drive belt", 3, 1, 180_00, 1),
    _article("chopper blades", 1, 1, 450_00, 1),
)
#: for parts in one winter: a little under half of what all the parts of the farm cost
BUDGET_MINOR: Final = 1_000_00


@dataclass(frozen=True, slots=True)
class TrueLife:
    """What really holds for one article of one farm.

    Attributes
    ----------
    shape, scale : float
        Of its Weibull life.
    impacts : float
        Breakages of one component per square metre.
    lives : ndarray of float, shape (places, parts)
        How long the k-th part of each position lasts.
    stones : tuple of (ndarray of float, ndarray of int)
        Of each season: when, in shares of the season, which place is broken by a stone.
    """

    shape: float
    scale: float
    impacts: float
    lives: Floats
    stones: tuple[tuple[Floats, Ints], ...]


@dataclass(frozen=True, slots=True)
class SimulatedFarm:
    """A farm: seasons before the log began, recorded ones, and those decided on.

    Attributes
    ----------
    before : int
        Seasons nobody wrote down; the ages of the parts are known all the same.
    area, hours : ndarray of float, shape (seasons,)
        Square metres and separator seconds of every season.
    ground : int
        Class of its ground, as the starting guesses order them.
    truths : tuple of TrueLife, one for each article
    """

    before: int
    area: Floats
    hours: Floats
    ground: int
    truths: tuple[TrueLife, ...]

    @property
    def first_decided(self) -> int:
        return self.before + RECORDED

    def usage(self, article: Article) -> Floats:
        """Usage of every season on the article's meter."""
        return self.area if article.kind.meter_kind is MeterKind.AREA else self.hours


@dataclass(slots=True)
class Shelf:
    """One article on one farm: what is fitted, what lies on the shelf, and what is on record.

    Attributes
    ----------
    ages, entry : ndarray of float, shape (places,)
        Age of each part now, and when it came under observation.
    part : ndarray of int, shape (places,)
        How many parts the position had before.
    stock : int
    ended : list of (entry, exit, failed by wear)
        Lives that ended while the log was kept.
    impacts, area : float
        Breakages by stones, and square metres they were seen on, of all components together.
    """

    ages: Floats
    entry: Floats
    part: Ints
    stock: int = 0
    ended: list[tuple[float, float, bool]] = field(default_factory=list)
    impacts: int = 0
    area: float = 0.0

    def copy(self) -> Shelf:
        return Shelf(
            self.ages.copy(), self.entry.copy(), self.part.copy(), self.stock, list(self.ended), self.impacts, self.area
        )

    def fit_new(self, places: Ints, *, failed: bool) -> None:
        """Take the parts of these places off, and fit new ones."""
        seen = places[self.ages[places] > self.entry[places]]
        self.ended += [(float(self.entry[at]), float(self.ages[at]), failed) for at in seen]
        self.ages[places] = self.entry[places] = 0.0
        self.part[places] += 1


def draw_farm(number: int, decided: int) -> SimulatedFarm:
    """Draw the farm of this number, with so many seasons that are decided on; asked again, the same farm."""
    rng = np.random.default_rng([20_260, number])
    before = int(rng.integers(0, 6))
    seasons = before + RECORDED + decided
    # 800 to 3,000 acres in most years, at 8 to 14 acres an hour; years differ by a fifth either way
    area = _ACRE * np.exp(rng.uniform(np.log(800), np.log(3_000))) * rng.uniform(0.8, 1.2, seasons)
    hours = _HOUR * area / _ACRE / rng.uniform(8, 14)
    ground = int(rng.choice(4, p=_GROUNDS))
    bare = SimulatedFarm(before, area, hours, ground, ())
    return SimulatedFarm(before, area, hours, ground, tuple(_draw_truth(rng, bare, article) for article in ARTICLES))


def _draw_truth(rng: np.random.Generator, farm: SimulatedFarm, article: Article) -> TrueLife:
    guess = article.guess
    median = float(np.exp(rng.normal(guess.log_life_mean, guess.log_life_sd)))
    shape = float(np.exp(rng.normal(guess.log_shape_mean, guess.log_shape_sd)))
    scale = median / np.log(2) ** (1 / shape)
    rate_guess = article.impact_guess(farm.ground)
    rate = 0.0 if rate_guess is None else float(rng.gamma(rate_guess.shape) / rate_guess.exposure)
    places = article.components * article.positions
    counts = rng.poisson(rate * article.components * farm.area)
    stones = tuple((np.sort(rng.random(count)), rng.integers(0, places, count)) for count in counts)
    parts = 2 * farm.area.size + int(counts.max()) + int(6 * farm.usage(article).sum() / scale) + 30
    return TrueLife(shape, scale, rate, scale * rng.weibull(shape, (places, parts)), stones)


def play_season(farm: SimulatedFarm, shelf: Shelf, number: int, season: int) -> int:
    """Let one article run through a season: every part that fails is replaced at once. Returns how many failed."""
    truth, usage = farm.truths[number], float(farm.usage(ARTICLES[number])[season])
    times, places = truth.stones[season]
    failed = 0
    for start, end, broken in zip((0.0, *times), (*times, 1.0), (*places, None), strict=True):
        failed += _wear(truth, shelf, usage * (end - start))
        if broken is not None:
            shelf.fit_new(np.array([broken], dtype=np.intp), failed=False)
    shelf.impacts += times.size
    shelf.area += float(farm.area[season]) * ARTICLES[number].components
    return failed + int(times.size)


def _wear(truth: TrueLife, shelf: Shelf, usage: float) -> int:
    """Run every place for so long; the number of failures by wear."""
    every = np.arange(shelf.ages.size)
    left = np.full(shelf.ages.size, usage)
    failures = 0
    while True:
        lasts = np.maximum(truth.lives[every, shelf.part] - shelf.ages, 0.0)
        failing = np.flatnonzero(lasts <= left)
        if failing.size == 0:
            break
        left[failing] -= lasts[failing]
        shelf.ages[failing] += lasts[failing]
        shelf.fit_new(failing, failed=True)
        failures += failing.size
    shelf.ages += left
    return failures


def recorded_farm(farm: SimulatedFarm) -> list[Shelf]:
    """Run every article to failure up to the first decision, and keep records of the last seasons of it."""
    shelves = []
    for number, article in enumerate(ARTICLES):
        places = article.components * article.positions
        shelf = Shelf(np.zeros(places), np.zeros(places), np.zeros(places, dtype=np.intp))
        for season in range(farm.before):
            play_season(farm, shelf, number, season)
        # the log begins: what happened before is not in it, how old the parts are is known
        kept = Shelf(shelf.ages, shelf.ages.copy(), shelf.part, article.pack_size)
        for season in range(farm.before, farm.first_decided):
            play_season(farm, kept, number, season)
        shelves.append(kept)
    return shelves


def waits(failed: int, stock: int, pack_size: int) -> int:
    """How often one runs out and waits, each time for a whole pack."""
    return -(-max(failed - stock, 0) // pack_size)


def usual_usage(usage: Sequence[float] | Floats) -> float:
    """What later seasons are expected to ask: the mean of the last three."""
    return float(np.mean(np.asarray(usage)[-3:]))
