"""What a life table alone says, with or without a starting guess. Knows no farm: ages are in the unit of the table."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.errors import DataError
from wearlog.reckoning.guess_check import GuessCheck, check_guess
from wearlog.wear.lives import Lives
from wearlog.wear.posterior import Posterior, SurvivalEstimate, fit_posterior
from wearlog.wear.prior import starting_guess
from wearlog.wear.weibull import WeibullFit, fit_weibull

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
