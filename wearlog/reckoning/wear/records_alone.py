"""What the records of a kind say without the starting guess, and between which numbers what breaks in a season lies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.reckoning.wear.guessed_kinds import guess_of
from wearlog.reckoning.wear.kind_life import KindLife
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, CountRange, KindOutlook
from wearlog.wear import law
from wearlog.wear.counts import Counts, counts_of, sum_of_counts
from wearlog.wear.intervals import Estimate
from wearlog.wear.likelihood import log_likelihood
from wearlog.wear.posterior import Posterior, fit_posterior
from wearlog.wear.predict import count_first_failures
from wearlog.wear.prior import scale_free_prior
from wearlog.wear.product_limit import KaplanMeier, kaplan_meier
from wearlog.wear.weibayes import Weibayes, fit_weibayes

#: how sure a lower bound of the life is
BOUND_CONFIDENCE = 0.9


@dataclass(frozen=True, slots=True)
class ShareWhole:
    """The share still whole at an age, counted out without any law; `low` and `high` are None where all or none are."""

    age: float
    share: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, eq=False)
class RecordsAlone:
    """A kind by its records.

    Attributes
    ----------
    whole : KaplanMeier or None
        None before the first failure, and where a failure is known only to lie between two looks.
    at_median : ShareWhole or None
        At the age by which the answer says that half are gone, or at the last failure where that is older than any record.
    without_guess : Estimate or None
        Median life when the guess of the life is set aside and that of the shape stays; needs a failure.
    shape_taken : float
        The middle of the guess of the shape, which the next two take as known.
    with_shape_taken : Estimate or None
        Median life by the lives alone at that shape; needs a failure.
    at_least : float or None
        Where nothing failed: half of them last longer than this, with `BOUND_CONFIDENCE`.
    mean_life : Estimate or None
        By guess and records together.
    scatter : float or None
        Standard deviation of single lives about it.
    relative_likelihood : float or None
        How likely the records are under the middle law of the answer, over the plain fit.
    """

    whole: KaplanMeier | None
    at_median: ShareWhole | None
    without_guess: Estimate | None
    shape_taken: float
    with_shape_taken: Estimate | None
    at_least: float | None
    mean_life: Estimate | None
    scatter: float | None
    relative_likelihood: float | None


def records_alone(life: KindLife) -> RecordsAlone:
    """Reckon what the records of a kind say by themselves."""
    guess, posterior = guess_of(life.kind), life.posterior
    shape = math.exp(guess.log_shape_mean)
    whole = share_whole(life)
    taken = _with_shape(life, shape)
    failed = life.lives.failures > 0
    return RecordsAlone(
        whole=whole,
        at_median=None if whole is None or posterior is None else _share_at(life, whole, posterior),
        without_guess=_without_guess(life, shape, guess.log_shape_sd) if failed and life.has_guess else None,
        shape_taken=shape,
        with_shape_taken=_median(taken.scale_posterior(0.0, 0.0), shape) if taken is not None and failed else None,
        at_least=None if taken is None or failed else _bound(taken, shape),
        mean_life=None if posterior is None else posterior.mean_life(),
        scatter=None if posterior is None else _scatter(posterior),
        relative_likelihood=_relative_likelihood(life),
    )


def share_whole(life: KindLife) -> KaplanMeier | None:
    """Return the share still whole after each age at which one failed, without any law."""
    if not life.lives.failures:
        return None
    try:
        return kaplan_meier(life.lives)
    except DataError:
        # some failures lie between two looks: the steps of such a curve have no place
        return None


def _share_at(life: KindLife, whole: KaplanMeier, posterior: Posterior) -> ShareWhole:
    # past the oldest record the steps say nothing
    age = min(posterior.median_life().median, float(life.lives.exit.max()))
    step = int(np.searchsorted(whole.age, age, side="right")) - 1
    low, high = whole.bounds()
    ends = (math.nan, math.nan) if step < 0 else (float(low[step]), float(high[step]))
    return ShareWhole(age, float(whole.at(age)), *(None if math.isnan(one) else one for one in ends))


def _without_guess(life: KindLife, shape: float, log_shape_sd: float) -> Estimate | None:
    try:
        return fit_posterior(life.lives, scale_free_prior(shape, log_shape_sd)).median_life()
    except DataError:
        return None


def _with_shape(life: KindLife, shape: float) -> Weibayes | None:
    if not life.lives.exposure:
        return None
    try:
        return fit_weibayes(life.lives, shape)
    except DataError:
        return None


def _median(scale: Estimate, shape: float) -> Estimate:
    middle, low, high = (float(law.life_at(0.5, shape, one)) for one in (scale.median, scale.low, scale.high))
    return Estimate(middle, low, high, scale.level)


def _bound(taken: Weibayes, shape: float) -> float:
    return float(law.life_at(0.5, shape, taken.scale_lower_bound(BOUND_CONFIDENCE)))


def _scatter(posterior: Posterior) -> float:
    nodes = posterior.nodes
    return float(law.life_sd(nodes.shape, nodes.scale) @ nodes.weight)


def _relative_likelihood(life: KindLife) -> float | None:
    """Return how much less likely the middle law of the answer makes the records than the law that fits them best."""
    if life.fit is None or life.posterior is None:
        return None
    shape, median = life.posterior.shape().median, life.posterior.median_life().median
    scale = median / float(law.life_at(0.5, shape, 1.0))
    return math.exp(min(log_likelihood(life.lives, shape, scale) - life.fit.log_likelihood, 0.0))


def break_counts(row: KindOutlook, level: float = 0.9) -> CountRange | None:
    """Return how many break by wear and by stones, each part now on counted at most once by wear.

    Notes
    -----
    Parts of the kind share one life that is not known, so they break many together or few together: given a law each part fails by
    itself, and the laws are weighed by what is believed of them. What was measured goes by its own chance, what has failed and is
    still on counts as one. Parts of unknown age are in none of it. None where nothing can be said of any part.
    """
    laws = [law for law in (_by_age(row), _by_measurement(row), _by_stones(row)) if law is not None]
    if not laws:
        return None
    law, tail = sum_of_counts(laws), 0.5 - level / 2
    failed = sum(len(group.positions) for one in row.components for group in one.groups if group.failed)
    return CountRange(law.mean + failed, law.quantile(tail) + failed, law.quantile(1 - tail) + failed, level)


def _by_age(row: KindOutlook) -> Counts | None:
    by_law: dict[int, list[ComponentOutlook]] = {}
    for one in row.components:
        by_law.setdefault(id(one.usual_law), []).append(one)
    found = [law for mine in by_law.values() if (law := _by_age_and_law(mine)) is not None]
    return sum_of_counts(found) if found else None


def _by_age_and_law(components: Sequence[ComponentOutlook]) -> Counts | None:
    """Return the law of first failures of components that go by one life."""
    law = components[0].usual_law
    if law is None:
        return None
    ages, usage = [], []
    for one in components:
        for group in one.groups:
            if group.age is not None and group.survives is not None and not (group.failed or group.by_measurement):
                ages += [(group.worn_age or 0.0) * one.pace] * len(group.positions)
                usage += [one.usage * one.pace] * len(group.positions)
    return count_first_failures(law.few_nodes(), ages, usage) if ages else None


def _by_measurement(row: KindOutlook) -> Counts | None:
    chances = [
        group.survives
        for one in row.components
        for group in one.groups
        if group.by_measurement and group.survives is not None
        for _ in group.positions
    ]
    return sum_of_counts([counts_of(np.array([chance, 1 - chance])) for chance in chances]) if chances else None


def _by_stones(row: KindOutlook) -> Counts | None:
    broken = row.life.broken_by_stones
    if broken is None or not row.components:
        return None
    return broken.predict(np.sum([one.area_by_ground for one in row.components], axis=0))
