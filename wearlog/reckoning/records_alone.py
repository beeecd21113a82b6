"""What the lives of a kind say by themselves, beside the answer that rests on the starting guess too. No words."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.reckoning.kind_life import KindLife, guess_of
from wearlog.wear import law
from wearlog.wear.intervals import Estimate
from wearlog.wear.likelihood import log_likelihood
from wearlog.wear.posterior import Posterior, fit_posterior
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
