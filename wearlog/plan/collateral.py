"""What a failure takes along: how often, and what that costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import betaincinv

from wearlog.errors import DataError

#: one in ten failures takes something along, as sure as five breakages would tell (common practice, no source)
COLLATERAL_PRIOR: Final = (0.5, 4.5)
_COLLATERAL_NODES: Final = 8


@dataclass(frozen=True, slots=True)
class Collateral:
    """How often a failure takes something along, and what that costs.

    Attributes
    ----------
    chance : float
        Mean of the belief.
    low, high : float
        Its central 90 %.
    cost_minor : float
        Of what is taken along.
    believed : tuple of float
        Equally believed chances.
    """

    chance: float
    low: float
    high: float
    cost_minor: float
    believed: tuple[float, ...]

    @property
    def costs(self) -> tuple[float, ...]:
        """Equally believed costs of what one failure takes along."""
        return tuple(chance * self.cost_minor for chance in self.believed)


def collateral_of(breakages: int, with_others: int, secondary_minor: float, part_minor: float) -> Collateral:
    """Return what a failure takes along, by the record.

    Parameters
    ----------
    breakages : int
        Breakages of the kind that were not taken along themselves.
    with_others : int
        How many of them took something along.
    secondary_minor : float
        What those secondary breakages cost in all.
    part_minor : float
        Price of the part itself: what one costs before there is a record of it.

    Notes
    -----
    Beta(0.5 + x, 4.5 + n - x): one in ten without records. The cost counts the part's price as one breakage more.
    """
    if not 0 <= with_others <= breakages:
        raise DataError(f"{with_others} of {breakages} breakages cannot have taken something along.", "Run 'check'.")
    a, b = COLLATERAL_PRIOR[0] + with_others, COLLATERAL_PRIOR[1] + breakages - with_others
    cost = (secondary_minor + part_minor) / (with_others + 1)
    low, high = (float(betaincinv(a, b, tail)) for tail in (0.05, 0.95))
    believed = betaincinv(a, b, (np.arange(_COLLATERAL_NODES) + 0.5) / _COLLATERAL_NODES)
    # few nodes: brought to the mean that is known exactly
    believed = believed * (a / (a + b) / believed.mean())
    return Collateral(a / (a + b), low, high, cost, tuple(believed.tolist()))
