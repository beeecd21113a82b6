"""What is believed of a part's life, as weighted Weibull lives. How that belief is won from records is not done here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError

#: enough to carry the spread of a posterior of two parameters into a plan
USUAL_NODES: Final = 32
_LN_LN2: Final = float(np.log(np.log(2.0)))


@dataclass(frozen=True, slots=True)
class LifeNodes:
    """Posterior nodes: Weibull lives, each with the weight it is believed with.

    Attributes
    ----------
    shape, scale, weight : ndarray of float, shape (nodes,)
        Above zero; scale in the units of the part's own meter; the weights add up to 1.
    """

    shape: NDArray[np.float64]
    scale: NDArray[np.float64]
    weight: NDArray[np.float64]

    @classmethod
    def of(cls, shape: ArrayLike, scale: ArrayLike, weight: ArrayLike) -> LifeNodes:
        """Take nodes from arrays of equal length; the weights are brought to a sum of 1, those of 0 are left out.

        Parameters
        ----------
        shape : array_like, shape (n,)
            Weibull shapes.
        scale : array_like, shape (n,)
            Weibull scales in units of usage.
        weight : array_like
            Not negative, one for each; only their proportions count.

        Raises
        ------
        DataError
            When the arrays differ in length, a value is not above zero, or no weight is.
        """
        columns = [np.atleast_1d(np.asarray(column, dtype=np.float64)).ravel() for column in (shape, scale, weight)]
        if len({column.size for column in columns}) != 1 or columns[0].size == 0:
            raise DataError(
                "The nodes of a life are not of equal length.", "Give a shape, a scale and a weight for each."
            )
        shapes, scales, weights = columns
        whole = float(weights.sum())
        fit = np.all(np.isfinite(columns)) and np.all(weights >= 0) and 0 < whole < np.inf
        used = weights > 0
        if not fit or not np.all((shapes[used] > 0) & (scales[used] > 0)):
            raise DataError(
                "A life needs shapes, scales and weights above zero.", "Check the starting guess of this kind."
            )
        return cls(shapes[used], scales[used], weights[used] / whole)

    @classmethod
    def known(cls, shape: float, scale: float) -> LifeNodes:
        """Take one Weibull life for certain.

        Parameters
        ----------
        shape : float
            Weibull shape.
        scale : float
            Weibull scale in units of usage.
        """
        return cls.of(shape, scale, 1.0)

    def mean(self, per_node: NDArray[np.float64]) -> NDArray[np.float64]:
        """Average over the nodes, which are the first axis of `per_node`.

        Parameters
        ----------
        per_node : array, shape (nodes, ...)
            A value for each node.
        """
        if per_node.ndim <= 2:
            return np.asarray(self.weight @ per_node)
        return np.asarray(np.tensordot(self.weight, per_node, axes=1))

    def quantile(self, per_node: NDArray[np.float64], chances: ArrayLike) -> NDArray[np.float64]:
        """Return quantiles of a quantity with one value for each node, each node's weight spread about its own value.

        Parameters
        ----------
        per_node : array, shape (nodes,)
            A value for each node.
        chances : sequence of float
            Between 0 and 1.
        """
        order = np.argsort(per_node, kind="stable")
        # a node stands for laws on either side of it: steps between few nodes would make intervals jump
        middle = np.cumsum(self.weight[order]) - self.weight[order] / 2
        return np.interp(np.asarray(chances, dtype=np.float64), middle, per_node[order])


def survival(nodes: LifeNodes, age: ArrayLike, *, impact_per_usage: float = 0.0) -> NDArray[np.float64]:
    """Return the chance that a new part reaches `age`, by node.

    Parameters
    ----------
    nodes : LifeNodes
    age : array_like, any shape
        In the units of the scale, not negative.
    impact_per_usage : float
        Rate of breakage by impact, which does not depend on age.

    Returns
    -------
    ndarray of float, shape (nodes, *age.shape)
        exp(-(age / scale)^shape - impact_per_usage x age).
    """
    return np.exp(-cumulative_hazard(nodes, age, impact_per_usage=impact_per_usage))


def cumulative_hazard(nodes: LifeNodes, age: ArrayLike, *, impact_per_usage: float = 0.0) -> NDArray[np.float64]:
    """Return (age / scale)^shape + impact_per_usage x age, by node; shape (nodes, *age.shape).

    Parameters
    ----------
    nodes : LifeNodes
        Laws with their weights, life in the unit of usage.
    age : array_like
        Usage; any shape.
    impact_per_usage : float
        Failures by impact per unit of usage.
    """
    ages = np.asarray(age, dtype=np.float64)
    along = (slice(None),) + (None,) * ages.ndim
    with np.errstate(divide="ignore", over="ignore"):
        # one logarithm for all nodes is cheaper than a power for each
        power = np.exp(nodes.shape[along] * (np.log(ages) - np.log(nodes.scale)[along]))
    return np.asarray(power + impact_per_usage * ages)


def even_steps(end: float, steps: int) -> NDArray[np.float64]:
    """Return 0 to `end` in equal steps, shape (steps + 1,): `np.linspace`, which a plan asks for thousands of times, sooner.

    Parameters
    ----------
    end : float
        In the unit of usage.
    steps : int
        At least 1.
    """
    at: NDArray[np.float64] = np.arange(steps + 1, dtype=np.float64) * (end / steps)
    at[-1] = end
    return at


def median_life(nodes: LifeNodes) -> NDArray[np.float64]:
    """Return each node's median life, scale x (ln 2)^(1 / shape).

    Parameters
    ----------
    nodes : LifeNodes
        Laws with their weights, life in the unit of usage.
    """
    return np.asarray(nodes.scale * np.exp(_LN_LN2 / nodes.shape))


def condense(nodes: LifeNodes, most: int = USUAL_NODES) -> LifeNodes:
    """Carry a belief of many nodes by few, with its mean and spread kept.

    Parameters
    ----------
    nodes : LifeNodes
    most : int
        Nodes to keep; fewer come back unchanged.

    Notes
    -----
    In the plane of ln(median life) and ln(shape), the cell with the largest spread is cut at its weighted middle until there are
    enough cells; each becomes one node at its centre. Cutting loses the spread within cells, so the centres are then moved apart
    until the covariance of the plane is what it was.
    """
    if nodes.weight.size <= most:
        return nodes
    plane = np.stack([np.log(median_life(nodes)), np.log(nodes.shape)])
    cells = [_cell(plane, nodes.weight)]
    widths = [cells[0].width]
    while len(cells) < most and (largest := max(widths)) > 0:
        widest = widths.index(largest)
        halves = _halves(cells[widest])
        cells[widest : widest + 1] = halves
        widths[widest : widest + 1] = [half.width for half in halves]
    weight = np.array([cell.whole for cell in cells])
    centres = np.stack([cell.centre for cell in cells], axis=1)
    moved = _with_covariance_of(plane, nodes.weight, centres, weight)
    shape = np.exp(moved[1])
    return LifeNodes.of(shape, np.exp(moved[0] - _LN_LN2 / shape), weight)


class _Cell(NamedTuple):
    """Some of the nodes, (2, n) and their weights (n,); all of these, their centre, along which axis they are wide and how much."""

    points: NDArray[np.float64]
    weight: NDArray[np.float64]
    whole: float
    centre: NDArray[np.float64]
    axis: int
    width: float


def _cell(points: NDArray[np.float64], weight: NDArray[np.float64]) -> _Cell:
    # thirty cells a law, and thousands of laws on a large fleet: every call counts
    whole = np.add.reduce(weight)
    centre = points @ weight / whole
    if weight.size == 1:
        return _Cell(points, weight, whole, centre, 0, 0.0)
    apart = points - centre[:, None]
    apart *= apart
    first, second = (apart @ weight).tolist()
    return (
        _Cell(points, weight, whole, centre, 0, first)
        if first >= second
        else _Cell(points, weight, whole, centre, 1, second)
    )


def _halves(cell: _Cell) -> list[_Cell]:
    order = cell.points[cell.axis].argsort(kind="stable")
    points, weight = cell.points[:, order], cell.weight[order]
    heaped = weight.cumsum()
    at = min(int(heaped.searchsorted(heaped[-1] / 2)) + 1, weight.size - 1)
    return [_cell(points[:, :at], weight[:at]), _cell(points[:, at:], weight[at:])]


def _with_covariance_of(
    plane: NDArray[np.float64], weight: NDArray[np.float64], centres: NDArray[np.float64], masses: NDArray[np.float64]
) -> NDArray[np.float64]:
    middle = (plane @ weight)[:, None]
    wanted = ((plane - middle) * weight) @ (plane - middle).T
    have = ((centres - middle) * masses) @ (centres - middle).T
    if np.linalg.det(have) > 1e-12 * max(have[0, 0] * have[1, 1], 1e-300) and np.linalg.det(wanted) > 0:
        stretch = np.linalg.cholesky(wanted) @ np.linalg.inv(np.linalg.cholesky(have))
    else:
        # all on a line: stretch each axis on its own
        stretch = np.diag(
            [np.sqrt(wanted[axis, axis] / have[axis, axis]) if have[axis, axis] > 0 else 1 for axis in (0, 1)]
        )
    return np.asarray(middle + stretch @ (centres - middle))
