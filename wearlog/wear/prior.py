"""The starting guess of a life as a prior law; holds no figures of any part and sees no lives."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from wearlog.errors import DataError

TENTH = 1.2815515655446004  # the 90 % point of the standard normal law
#: 10 % and 90 % points of the shape where nobody guessed one (common practice, no source); one in 1,500 lies beyond 20
NO_GUESS_SHAPE = (0.8, 5.0)
SHAPE_LIMITS = (0.1, 50.0)
#: the second part of a guess of the life: its weight, and its sd of ln(life) (a factor of 2.7 at one sd)
WIDE_WEIGHT = 0.2
WIDE_SD = 1.0


@dataclass(frozen=True, slots=True)
class Prior:
    """Independent laws of ln(median life) and ln(shape), each normal or flat.

    Attributes
    ----------
    log_life_mean, log_life_sd : float
        Normal law of ln(median life); an infinite sd is flat (and needs at least one failure).
    log_shape_mean, log_shape_sd : float
        Normal law of ln(shape); an infinite sd is flat, an sd of 0 a shape that is known.
    shape_low, shape_high : float
        The shape lies between these.
    wide_weight : float
        Weight of a second law of ln(median life) about the same mean, of sd `WIDE_SD`; 0 leaves the guess to stand alone.

    Notes
    -----
    For a known shape, flat in ln(median life) is flat in ln(scale): the prior p(scale) ~ 1/scale.

    The second law is what lets records overrule a guess that was typed wrong: a normal law alone holds for ever.

    References
    ----------
    H. Schmidli et al., Biometrics 70 (2014) 1023 (robust mixture priors), from memory.
    """

    log_life_mean: float
    log_life_sd: float
    log_shape_mean: float
    log_shape_sd: float
    shape_low: float = 0.01
    shape_high: float = 1000.0
    wide_weight: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a weight that is none."""
        if not 0 <= self.wide_weight < 1:
            raise DataError(f"A weight of {self.wide_weight:g} cannot be.", "Give 0 or more and less than 1.")

    @property
    def knows_life(self) -> bool:
        """Whether the life is guessed at all; if not, the posterior needs a failure."""
        return math.isfinite(self.log_life_sd)

    @property
    def parts(self) -> tuple[tuple[float, Prior], ...]:
        """Priors of one normal law each, with their weights, the guess's own first; alone where it is flat or wide itself."""
        own = replace(self, wide_weight=0.0)
        if not self.wide_weight or not self.knows_life or self.log_life_sd >= WIDE_SD:
            return ((1.0, own),)
        return ((1 - self.wide_weight, own), (self.wide_weight, replace(own, log_life_sd=WIDE_SD)))


def starting_guess(
    life: tuple[float, float] | None = None,
    shape: tuple[float, float] | None = None,
    *,
    wide_weight: float = WIDE_WEIGHT,
) -> Prior:
    """Return the prior of a starting guess.

    Parameters
    ----------
    life : (low, high), optional
        10 % and 90 % points of the kind's median life on farms like this one, in the unit of the ages. The scatter
        of single parts is the shape's business. None: ln(scale) flat.
    shape : (low, high), optional
        10 % and 90 % points of the shape; equal numbers make it known. None: `NO_GUESS_SHAPE`, which caps nothing.
    wide_weight : float
        Weight of the wide second part of the life's law (see `Prior`); 0: the guess alone.

    Raises
    ------
    DataError
        If a range is not of positive, ascending numbers.
    """
    life_mean, life_sd = (0.0, math.inf) if life is None else _log_normal(life, "life")
    if shape is not None and not (SHAPE_LIMITS[0] <= min(shape) and max(shape) <= SHAPE_LIMITS[1]):
        raise DataError(
            f"A starting guess of the shape from {shape[0]:g} to {shape[1]:g} is outside what parts do.",
            f"Keep it between {SHAPE_LIMITS[0]:g} and {SHAPE_LIMITS[1]:g}; 1 is chance, 2 to 4 is wear-out.",
        )
    return Prior(life_mean, life_sd, *_log_normal(shape or NO_GUESS_SHAPE, "shape"), wide_weight=wide_weight)


def scale_free_prior(shape_median: float, log_shape_sd: float) -> Prior:
    """Return the prior with ln(shape) normal around ln(shape_median) and p(scale) ~ 1/scale.

    Parameters
    ----------
    shape_median : float
        Median of the shape.
    log_shape_sd : float
        Standard deviation of ln(shape).
    """
    if not (shape_median > 0 and log_shape_sd >= 0):
        raise DataError("A prior of the shape needs a median above 0 and a spread of 0 or more.", "Say 2 and 0.4.")
    return Prior(0.0, math.inf, math.log(shape_median), log_shape_sd)


def _log_normal(ends: tuple[float, float], name: str) -> tuple[float, float]:
    """Return mean and sd of the logarithm from its 10 % and 90 % points."""
    low, high = ends
    if not 0 < low <= high < math.inf:
        raise DataError(
            f"The starting guess of the {name}, {low:g} to {high:g}, is not a range of positive numbers.",
            "Give the low end first, both above 0.",
        )
    # a shape may be known, a life never: it would make every record worthless
    if name == "life" and low == high:
        raise DataError(
            f"The starting guess of the life leaves no room: {low:g} to {high:g}.",
            "Give a range: from what one in ten would fall short of to what one in ten would exceed.",
        )
    return 0.5 * (math.log(low) + math.log(high)), (math.log(high) - math.log(low)) / (2 * TENTH)
