"""Chances that come twice: with the fault there at the moment, and with one that comes and goes away. Only arrays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Both:
    """Chances with the fault there, and away; equal for what is steady."""

    there: Array
    away: Array

    def mixed(self, present: Array) -> Array:
        """Return the chances when the fault is there with a chance of its own for each suspect.

        Parameters
        ----------
        present : array, shape (suspects,)
            Chance that the fault is there, for each suspect.
        """
        shape = (-1,) + (1,) * (self.there.ndim - 1)
        share = present.reshape(shape)
        return np.asarray(share * self.there + (1 - share) * self.away)
