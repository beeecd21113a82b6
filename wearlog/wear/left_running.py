"""How much longer a part runs that was left in service broken, or past its limit: a constant hazard of which little is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gammaincinv

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Mode
from wearlog.wear.arrays import FloatArray
from wearlog.wear.rates import rate_from_range

#: mean usage still to come of a part left in service so, as a share of its kind's median life (common practice, no source)
SHARES_OF_LIFE: Final[dict[Mode, float]] = {
    Mode.CRACKED: 0.05,
    Mode.LOOSE: 0.05,
    Mode.BENT: 0.15,
    Mode.LEAKING: 0.15,
    Mode.STRETCHED: 0.20,
    Mode.WORN: 0.20,
}
#: any other mode (common practice, no source)
OTHER_SHARE: Final = 0.10
#: a part that was mended (common practice, no source)
MENDED_SHARE: Final = 0.25
#: the share lies within a third and three times of that on eight farms of ten
_SPREAD: Final = 3.0
_NODES: Final = 192


@dataclass(frozen=True, slots=True)
class LeftRunning:
    """A hazard that does not change with usage, believed to be Gamma(`shape`, `usage`); what is still to come is then a Lomax law.

    Attributes
    ----------
    shape : float
        Breaks that the belief is worth, above 0.
    usage : float
        Usage that it is worth, in the units of the part's meter, above 0.
    """

    shape: float
    usage: float

    def __post_init__(self) -> None:
        if not (0 < self.shape < np.inf and 0 < self.usage < np.inf):
            raise DataError(
                "What is believed of a part left in service has no bound.", "Give two usages above 0, the lower first."
            )

    def after(self, breaks: float, usage: float) -> LeftRunning:
        """Return the belief after so many breaks of parts left in service, in so much usage of theirs in all.

        Parameters
        ----------
        breaks : float
            Number that broke, 0 or more.
        usage : float
            What they and those that were taken off before ran, in the same units.
        """
        return LeftRunning(self.shape + breaks, self.usage + usage)

    def survival(self, ahead: ArrayLike) -> FloatArray:
        """Return the chance to last the usage ahead, averaged over the belief: (B / (B + u))^A.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        return np.asarray((self.usage / (self.usage + np.asarray(ahead, dtype=np.float64))) ** self.shape)

    def density(self, ahead: ArrayLike) -> FloatArray:
        """Return the density of the usage still to come, averaged over the belief.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        u = np.asarray(ahead, dtype=np.float64)
        return np.asarray(self.shape / (self.usage + u) * self.survival(u))

    @property
    def weight(self) -> FloatArray:
        """The weights of the hazards of `survival_by_node`, shape (nodes,)."""
        return np.full(_NODES, 1.0 / _NODES)

    def survival_by_node(self, ahead: ArrayLike) -> FloatArray:
        """Return the chance to last the usage ahead under each of equally believed hazards; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        return np.exp(-np.multiply.outer(self._hazards, np.asarray(ahead, dtype=np.float64)))

    def density_by_node(self, ahead: ArrayLike) -> FloatArray:
        """Return the density under each of the hazards; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        u = np.asarray(ahead, dtype=np.float64)
        return np.asarray(self._hazards[(...,) + (None,) * u.ndim] * self.survival_by_node(u))

    @property
    def _hazards(self) -> FloatArray:
        middles = (np.arange(_NODES) + 0.5) / _NODES
        return np.asarray(gammaincinv(self.shape, middles) / self.usage)


def left_running(mode: Mode, median_life: float) -> LeftRunning:
    """Return what is believed of a part left in service before the farm has records of such.

    Parameters
    ----------
    mode : Mode
        How it failed.
    median_life : float
        Median life of its kind, in the units of its meter, above 0.

    Notes
    -----
    The mean usage still to come lies between a third and three times the mode's share of a life on eight farms of ten.
    """
    usual = SHARES_OF_LIFE.get(mode, OTHER_SHARE) * median_life
    return should_last(usual / _SPREAD, usual * _SPREAD)


def mended_running(median_life: float) -> LeftRunning:
    """Return what is believed of a mended part before the farm has records of such.

    Parameters
    ----------
    median_life : float
        Median life of its kind, in the units of its meter, above 0.
    """
    usual = MENDED_SHARE * median_life
    return should_last(usual / _SPREAD, usual * _SPREAD)


def should_last(low: float, high: float) -> LeftRunning:
    """Return the belief of a person who says "it should last so much to so much": 10 and 90 % points of the mean still to come.

    Parameters
    ----------
    low, high : float
        Usage, above 0, the lower first.

    Raises
    ------
    DataError
        When they are not in that order.
    """
    if not 0 < low < high < np.inf:
        raise DataError(
            f"'{low:g} to {high:g}' is no range of what a part may still last.",
            "Give two usages above 0, the lower first.",
        )
    law = rate_from_range(1.0 / high, 1.0 / low)
    return LeftRunning(law.shape, law.exposure)
