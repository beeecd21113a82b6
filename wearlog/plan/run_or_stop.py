"""Stop now, at the next idle time, or run on: what each way costs for one part that may fail before, and how sure that is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from wearlog.errors import DataError
from wearlog.plan.decide import USUAL_LEVEL
from wearlog.plan.residual_life import Floats, Residual
from wearlog.wear.quadrature import panel

_POINTS: Final = 64
#: the golden ratio: its multiples lie evenly between 0 and 1, however many there are
_LATTICE: Final = 0.6180339887498949


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
class MendFirst:
    """Mending the part now and changing it later, at whichever of the times then costs least.

    Attributes
    ----------
    minor : float
        What mending costs now, standing counted in.
    residual : Residual
        What is believed of the usage still to come of a mended part.
    then : sequence of Opportunity
        At least one.
    """

    minor: float
    residual: Residual
    then: Sequence[Opportunity]


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
    mended_then : int or None
        Place of the time at which the mended part is changed; that way is the last of `ways`.
    """

    ways: tuple[WayCost, ...]
    best: int
    next_less_best: tuple[float, float]
    mended_then: int | None = None

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
    mend: MendFirst | None = None,
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
    mend : MendFirst, optional
        One more way, behind the others.

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
    if not opportunities or (mend is not None and not mend.then):
        raise DataError("There is no time at which the part could be changed.", "Give at least one: now.")
    ways = _costs(residual, opportunities, failure, gain)
    further = np.asarray(failure.collateral)
    crossed = (ways.by_node[:, None, :] + further[None, :, None] * ways.fails_by_node[:, None, :]).reshape(
        -1, ways.usage.size
    )
    weight = np.repeat(residual.weight, further.size) / further.size
    if mend is None:
        return _weighed(ways.usage, ways.mean, ways.lasts, crossed, weight, level)
    after = _costs(mend.residual, mend.then, failure, gain)
    then = int(after.mean.argmin())
    # what is believed of mended parts is independent of the rest: each row takes a law of them along a lattice
    laws = np.searchsorted(
        np.cumsum(mend.residual.weight), (np.arange(weight.size) + 0.5) * _LATTICE % 1.0, side="right"
    ).clip(max=mend.residual.weight.size - 1)
    takes = np.tile(further, residual.weight.size)
    mended = mend.minor + after.by_node[laws, then] + takes * after.fails_by_node[laws, then]
    return replace(
        _weighed(
            np.append(ways.usage, after.usage[then]),
            np.append(ways.mean, mend.minor + after.mean[then]),
            np.append(ways.lasts, after.lasts[then]),
            np.column_stack([crossed, mended]),
            weight,
            level,
        ),
        mended_then=then,
    )


@dataclass(frozen=True, slots=True)
class _Costs:
    """Of several times: usage, mean cost and chance to last it; law by law the cost without collateral, and the chance to fail."""

    usage: Floats
    mean: Floats
    lasts: Floats
    by_node: Floats
    fails_by_node: Floats


def _costs(residual: Residual, times: Sequence[Opportunity], failure: FailureCost, gain: float) -> _Costs:
    usage = np.array([one.usage for one in times], dtype=np.float64)
    planned = np.array([one.planned_minor for one in times], dtype=np.float64)
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
    return _Costs(usage, mean, lasts, ways(each, residual.density_by_node(x), residual.survival_by_node(x)), 1 - each)


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
