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
    kept : ndarray of float, shape (nodes, ways, positions)
        Cost to come of each position when it is kept now.
    new : ndarray of float, shape (nodes, ways)
        Cost to come of a position fitted new now, without its price.
    fixed : ndarray of float, shape (nodes, ways)
        What comes whatever is done now.
    """

    kept: NDArray[np.float64]
    new: NDArray[np.float64]
    fixed: NDArray[np.float64]

    def mean(self, weight: NDArray[np.float64]) -> GoingOn:
        """Return the same on the mean of the nodes, as one node."""
        one = [np.tensordot(weight, part, axes=1)[None] for part in (self.kept, self.new, self.fixed)]
        return GoingOn(*one)

    def after(self, replaced: NDArray[np.bool_]) -> NDArray[np.float64]:
        """Return the cost to come by node and way once these places are replaced, prices left out; shape (nodes, ways)."""
        return np.asarray(self.kept[..., ~replaced].sum(axis=-1) + self.new * int(replaced.sum()) + self.fixed)


def ways_to_go_on(kept: NDArray[np.float64], new: NDArray[np.float64], until: UntilRenewal | None = None) -> GoingOn:
    """Put the ways to go on side by side; without renewals of the set each position only goes on by its own rule.

    Parameters
    ----------
    kept : ndarray of float, shape (nodes, positions)
        Cost to come by its own rule of each position kept now.
    new : ndarray of float, shape (nodes, 1)
        The same of a position fitted new now.
    until : UntilRenewal, optional
    """
    fixed = np.zeros_like(new)
    if until is None:
        return GoingOn(kept[:, None, :], new, fixed)
    return GoingOn(
        np.concatenate([kept[:, None, :], until.kept], axis=1),
        np.concatenate([new, until.new], axis=1),
        np.concatenate([fixed, until.renewals], axis=1),
    )
