"""Stop now, at the next idle time, or run on: what each way costs for one part that may fail before, and how sure that is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.decide import USUAL_LEVEL
from wearlog.plan.life_nodes import LifeNodes, cumulative_hazard
from wearlog.wear import law
from wearlog.wear.quadrature import panel

Floats = NDArray[np.float64]
_POINTS: Final = 64


class Residual(Protocol):
    """What is believed of the usage still to come of one part: averaged over the belief, and law by law."""

    @property
    def weight(self) -> Floats:
        """The weights of the laws, shape (nodes,)."""
        ...

    def survival(self, ahead: ArrayLike) -> Floats:
        """Return the chance to last the usage ahead, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        ...

    def density(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        ...

    def survival_by_node(self, ahead: ArrayLike) -> Floats:
        """Return the chance to last the usage ahead under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        ...

    def density_by_node(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        ...


@dataclass(frozen=True, slots=True)
class AgedPart:
    """A sound part of a known age: what is believed of its kind's life, given that it got so far.

    Attributes
    ----------
    nodes : LifeNodes
    age : float
        In the units of the nodes, 0 or more.
    """

    nodes: LifeNodes
    age: float

    @property
    def weight(self) -> Floats:
        """The weights of the laws, each with the chance that it got so far; shape (nodes,)."""
        reached = self.nodes.weight * np.exp(-cumulative_hazard(self.nodes, self.age))
        whole = float(reached.sum())
        # a part far older than any law allows says nothing of which law holds
        return np.asarray(reached / whole) if whole > 0 else self.nodes.weight

    def survival_by_node(self, ahead: ArrayLike) -> Floats:
        """Return R(age + u) / R(age) under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        u = np.asarray(ahead, dtype=np.float64)
        begun = cumulative_hazard(self.nodes, self.age)[(...,) + (None,) * u.ndim]
        return np.exp(begun - cumulative_hazard(self.nodes, self.age + u))

    def density_by_node(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more; 0 of a part of age 0 gives 0.
        """
        u = np.asarray(ahead, dtype=np.float64)
        along = (...,) + (None,) * u.ndim
        reached = self.age + u
        # a new part, now: it has no usage to come in which it could fail
        hazard = self.nodes.shape[along] * cumulative_hazard(self.nodes, reached) / np.where(reached > 0, reached, 1.0)
        return np.asarray(hazard * self.survival_by_node(u))

    def survival(self, ahead: ArrayLike) -> Floats:
        """Return the chance to last the usage ahead, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        return np.asarray(np.tensordot(self.weight, self.survival_by_node(ahead), axes=1))

    def density(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, above 0.
        """
        return np.asarray(np.tensordot(self.weight, self.density_by_node(ahead), axes=1))


@dataclass(frozen=True, slots=True)
class PartOfUnknownAge:
    """A sound part met at a chance moment of its life: what is still to come has the density R(u) / mean life."""

    nodes: LifeNodes

    @property
    def weight(self) -> Floats:
        """The weights of the laws, shape (nodes,)."""
        return self.nodes.weight

    def survival_by_node(self, ahead: ArrayLike) -> Floats:
        """Return 1 - integral of R to u / mean life under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        u = np.asarray(ahead, dtype=np.float64)
        shape, scale = (one[(...,) + (None,) * u.ndim] for one in (self.nodes.shape, self.nodes.scale))
        return np.asarray(1 - law.life_used_by(u, shape, scale) / law.mean_life(shape, scale))

    def density_by_node(self, ahead: ArrayLike) -> Floats:
        """Return R(u) / mean life under each law; shape (nodes, *ahead.shape).

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        u = np.asarray(ahead, dtype=np.float64)
        shape, scale = (one[(...,) + (None,) * u.ndim] for one in (self.nodes.shape, self.nodes.scale))
        return np.asarray(law.survival(u, shape, scale) / law.mean_life(shape, scale))

    def survival(self, ahead: ArrayLike) -> Floats:
        """Return the chance to last the usage ahead, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        return np.asarray(np.tensordot(self.weight, self.survival_by_node(ahead), axes=1))

    def density(self, ahead: ArrayLike) -> Floats:
        """Return the density of the usage to come, averaged over the laws.

        Parameters
        ----------
        ahead : array_like, any shape
            Usage to come, 0 or more.
        """
        return np.asarray(np.tensordot(self.weight, self.density_by_node(ahead), axes=1))


@dataclass(frozen=True, slots=True)
class Opportunity:
    """A time at which the part can be changed.

    Attributes
    ----------
    usage : float
        Usage until then, in the units of the part's meter, 0 or more.
    planned_minor : float
        What changing it then costs: part, labour and the standing that is not idle anyway.
    """

    usage: float
    planned_minor: float


@dataclass(frozen=True, slots=True)
class FailureCost:
    """What it costs when the part goes first.

    Attributes
    ----------
    minor : float or callable
        Part, labour and standing; a callable takes the usage at which it fails, any shape, and gives as many costs.
    collateral : tuple of float
        Equally believed further costs: what it takes along, times the chance that it does.
    """

    minor: float | Callable[[Floats], Floats]
    collateral: tuple[float, ...] = (0.0,)

    def at(self, usage: Floats) -> Floats:
        """Return the cost without collateral of a failure at each usage.

        Parameters
        ----------
        usage : array, any shape
            Usage from now.
        """
        return self.minor(usage) if callable(self.minor) else np.full(usage.shape, float(self.minor))

    @property
    def collateral_minor(self) -> float:
        """The further cost on the mean."""
        return float(np.mean(self.collateral))


@dataclass(frozen=True, slots=True)
class WayCost:
    """What one opportunity costs: mean, central 80 % over the belief, the chance that it goes first, that this way is best."""

    usage: float
    cost_minor: float
    low_minor: float
    high_minor: float
    breaks_first: float
    chance_best: float


@dataclass(frozen=True, slots=True)
class StopOrRun:
    """All ways in the order given, which of them costs least on the mean, and how the next one differs.

    Attributes
    ----------
    ways : tuple of WayCost
    best : int
        Place of the cheapest on the mean.
    next_less_best : tuple of float
        Central 80 % of what the second cheapest costs more; (0, 0) where there is one way alone.
    """

    ways: tuple[WayCost, ...]
    best: int
    next_less_best: tuple[float, float]

    @property
    def either_way(self) -> bool:
        """Whether the best and the next are not told apart: their difference may be nothing."""
        return len(self.ways) > 1 and self.next_less_best[0] <= 0.0


def weigh_opportunities(
    residual: Residual,
    opportunities: Sequence[Opportunity],
    failure: FailureCost,
    *,
    gain: float,
    level: float = USUAL_LEVEL,
) -> StopOrRun:
    """Weigh the times at which a part can be changed against its going first.

    Parameters
    ----------
    residual : Residual
        `AgedPart`, or `wear.left_running.LeftRunning`.
    opportunities : sequence of Opportunity
        At least one, in any order.
    failure : FailureCost
    gain : float
        Long-run cost of keeping such a position going, minor units per unit of usage: a part taken off early gives usage away.
    level : float
        Central share of the belief that the intervals cover.

    Returns
    -------
    StopOrRun

    Notes
    -----
    J(u) = S(u) cp + integral over (0, u) of cf(x) f(x) dx - g x integral over (0, u) of S(x) dx, by 64 Gauss-Legendre points. It is
    linear in S, so the mean takes the mean survival; the spread comes from the laws one by one, crossed with what is believed of
    the collateral. With an opportunity at every moment and constant costs the best is that of age replacement.

    References
    ----------
    R. E. Barlow and F. Proschan, Mathematical Theory of Reliability, Wiley 1965, ch. 4.
    """
    if not opportunities:
        raise DataError("There is no time at which the part could be changed.", "Give at least one: now.")
    usage = np.array([one.usage for one in opportunities], dtype=np.float64)
    planned = np.array([one.planned_minor for one in opportunities], dtype=np.float64)
    if not (np.isfinite(usage).all() and (usage >= 0).all() and np.isfinite(planned).all()):
        raise DataError("A time to change the part lies before now, or costs nobody knows what.", "Check what is left.")
    rule = panel(_POINTS, 1)
    x = usage[:, None] * rule.nodes
    weights = usage[:, None] * rule.weights
    cost = failure.at(x)

    def ways(survival_at: Floats, density: Floats, survival: Floats) -> Floats:
        return np.asarray(
            survival_at * planned + (cost * density * weights).sum(-1) - gain * (survival * weights).sum(-1)
        )

    lasts = residual.survival(usage)
    mean = ways(lasts, residual.density(x), residual.survival(x)) + failure.collateral_minor * (1 - lasts)
    each = residual.survival_by_node(usage)
    by_node = ways(each, residual.density_by_node(x), residual.survival_by_node(x))
    further = np.asarray(failure.collateral)
    crossed = (by_node[:, None, :] + further[None, :, None] * (1 - each)[:, None, :]).reshape(-1, usage.size)
    weight = np.repeat(residual.weight, further.size) / further.size
    return _weighed(usage, mean, lasts, crossed, weight, level)


def _weighed(usage: Floats, mean: Floats, lasts: Floats, by_node: Floats, weight: Floats, level: float) -> StopOrRun:
    tails = np.array([(1 - level) / 2, (1 + level) / 2])
    cheapest = by_node.argmin(axis=1)
    chance = np.bincount(cheapest, weight, minlength=usage.size)
    ranked = np.argsort(mean, kind="stable")
    best = int(ranked[0])
    ways = []
    for place in range(usage.size):
        low, high = weighted_quantile(by_node[:, place], weight, tails)
        ways.append(
            WayCost(
                float(usage[place]),
                float(mean[place]),
                float(low),
                float(high),
                # rounding may leave the whole a hair above 1
                max(float(1 - lasts[place]), 0.0),
                float(chance[place]),
            )
        )
    if usage.size == 1:
        return StopOrRun(tuple(ways), best, (0.0, 0.0))
    low, high = weighted_quantile(by_node[:, int(ranked[1])] - by_node[:, best], weight, tails)
    return StopOrRun(tuple(ways), best, (float(low), float(high)))


def weighted_quantile(values: Floats, weight: Floats, chances: ArrayLike) -> Floats:
    """Return quantiles of weighted values, the weight of each spread about its own value.

    Parameters
    ----------
    values, weight : array, shape (n,)
        The weights add up to 1.
    chances : array_like
        Between 0 and 1.
    """
    order = np.argsort(values, kind="stable")
    middle = np.cumsum(weight[order]) - weight[order] / 2
    return np.asarray(np.interp(np.asarray(chances, dtype=np.float64), middle, values[order]))
