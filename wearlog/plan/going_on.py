"""What a set of positions costs to come for whatever is replaced of it now, by every way to go on. It decides nothing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wearlog.plan.set_renewal import UntilRenewal


@dataclass(frozen=True, slots=True, eq=False)
class GoingOn:
    """Ways to go on after this winter: each position by its own rule first, then all renewed after 1, 2 ... seasons.

    Attributes
    ----------
    kept : ndarray of float, shape (nodes, ways, ages)
        Cost to come of a position of each age when it is kept now.
    age_of : ndarray of int, shape (positions,)
        Which age each position has.
    new : ndarray of float, shape (nodes, ways)
        Cost to come of a position fitted new now, without its price.
    fixed : ndarray of float, shape (nodes, ways)
        What comes whatever is done now.
    """

    kept: NDArray[np.float64]
    age_of: NDArray[np.intp]
    new: NDArray[np.float64]
    fixed: NDArray[np.float64]

    def after(self, replaced: NDArray[np.bool_]) -> NDArray[np.float64]:
        """Return the cost to come by node and way once these places are replaced, prices left out; shape (nodes, ways).

        Parameters
        ----------
        replaced : array of bool, shape (places,)
            Places that get new parts now.
        """
        # parts of one age cost the same to come, so they are counted and not gone through; the new ones are all of one age
        left = np.bincount(self.age_of[~replaced], minlength=self.kept.shape[-1])
        return np.asarray(self.kept @ left + self.new * int(replaced.sum()) + self.fixed)


def ways_to_go_on(
    kept: NDArray[np.float64],
    age_of: NDArray[np.intp],
    new: NDArray[np.float64],
    until: UntilRenewal | None = None,
) -> GoingOn:
    """Put the ways to go on side by side; without renewals of the set each position only goes on by its own rule.

    Parameters
    ----------
    kept : ndarray of float, shape (nodes, ages)
        Cost to come by its own rule of a position of each age kept now.
    age_of : ndarray of int, shape (positions,)
    new : ndarray of float, shape (nodes, 1)
        The same of a position fitted new now.
    until : UntilRenewal, optional
    """
    fixed = np.zeros_like(new)
    if until is None:
        return GoingOn(kept[:, None, :], age_of, new, fixed)
    return GoingOn(
        np.concatenate([kept[:, None, :], until.kept], axis=1),
        age_of,
        np.concatenate([new, until.new], axis=1),
        np.concatenate([fixed, until.renewals], axis=1),
    )
