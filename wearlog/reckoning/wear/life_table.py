"""What a life table alone says, with or without a starting guess, and whether records and guess agree. Knows no farm."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wearlog.errors import DataError
from wearlog.wear.conflict import Conflict, life_conflict
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives
from wearlog.wear.posterior import Posterior, SurvivalEstimate, fit_posterior
from wearlog.wear.prior import starting_guess
from wearlog.wear.weibull import WeibullFit, fit_weibull


@dataclass(frozen=True, slots=True, eq=False)
class GuessCheck:
    """A guess of the life against the lives.

    Attributes
    ----------
    conflict : Conflict
        How the lives lie in what the guess alone foretells.
    posterior : Posterior
        Guess and lives together.
    """

    conflict: Conflict
    posterior: Posterior

    @property
    def weight(self) -> float:
        """What the guess as it was given still weighs; 1 where it is wide by itself and has no second part."""
        return self.posterior.part_weight[0]

    @property
    def has_second_part(self) -> bool:
        return len(self.posterior.parts) > 1

    @property
    def too(self) -> str | None:
        """Return "short" where parts seem to last longer than guessed, "long" where less long; None where neither shows."""
        if not self.conflict.leans:
            return None
        return "short" if self.conflict.above else "long"

    @property
    def times(self) -> float:
        """How many times the guessed life the records' own is, the guess left as wide as it can be."""
        return self.posterior.under_widest_part().median_life().median / math.exp(self.posterior.prior.log_life_mean)


def check_guess(lives: Lives, posterior: Posterior | None) -> GuessCheck | None:
    """Hold a guess against the lives; None where no life was guessed."""
    if posterior is None:
        return None
    conflict = life_conflict(lives, posterior.prior)
    return None if conflict is None else GuessCheck(conflict, posterior)


@dataclass(frozen=True, slots=True)
class Parting:
    """A figure that the plain fit puts outside the posterior's 90 % interval: "shape", "half" or "tenth"."""

    which: str
    fitted: float
    together: Estimate


def parting(fit: WeibullFit | None, posterior: Posterior | None) -> tuple[Parting, ...]:
    """Return where the plain fit and the posterior part company."""
    if fit is None or posterior is None:
        return ()
    beside = (
        Parting("shape", fit.shape, posterior.shape()),
        Parting("half", fit.life_at(0.5), posterior.median_life()),
        Parting("tenth", fit.life_at(0.1), posterior.life_at(0.1)),
    )
    return tuple(one for one in beside if one.fitted not in one.together.interval)


LEVEL = 0.9
Range = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class LifeTableAnswer:
    """Both fits of a life table.

    Attributes
    ----------
    fit : WeibullFit or None
        By greatest likelihood; None where the lives hold no law down, and `no_fit` says why.
    posterior : Posterior or None
        None where nothing failed and no life was guessed; then there is no fit either.
    survival : SurvivalEstimate or None
        When a stretch was asked for.
    guess_check : GuessCheck or None
        The guess of the life held against the lives.
    """

    lives: Lives
    prior_life: Range | None
    prior_shape: Range | None
    fit: WeibullFit | None
    no_fit: str
    posterior: Posterior
    stretch: Range | None
    survival: SurvivalEstimate | None
    guess_check: GuessCheck | None


def answer_life_table(
    lives: Lives, prior_life: Range | None = None, prior_shape: Range | None = None, stretch: Range | None = None
) -> LifeTableAnswer:
    """Fit a life table.

    Raises
    ------
    DataError
        When nothing failed and no life was guessed, or a range or the stretch cannot be right.
    """
    posterior = fit_posterior(lives, starting_guess(prior_life, prior_shape))
    fit, no_fit = None, ""
    try:
        fit = fit_weibull(lives)
    except DataError as error:
        no_fit = error.message
    survival = None if stretch is None else posterior.survival_between(stretch[0], stretch[1], LEVEL)
    check = check_guess(lives, posterior)
    return LifeTableAnswer(lives, prior_life, prior_shape, fit, no_fit, posterior, stretch, survival, check)
