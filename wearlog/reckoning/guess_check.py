"""Whether records and starting guess agree: what the guess alone foretells, and where the plain fit leaves the posterior."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wearlog.wear.conflict import Conflict, life_conflict
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives
from wearlog.wear.posterior import Posterior
from wearlog.wear.weibull import WeibullFit


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
