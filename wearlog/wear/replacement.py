"""The age at which replacing costs least in the long run; whole seasons and shop time are the plan's business."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.special import gammainc, gammaln

from wearlog.errors import DataError
from wearlog.wear import law
from wearlog.wear.arrays import FloatArray
from wearlog.wear.posterior import Nodes
from wearlog.wear.roots import positive_root

_AGES = 120
_LOSS_STEPS = 1200
_WORTH = 1e-9  # a saving smaller than this share is rounding


@dataclass(frozen=True, slots=True)
class BestAge:
    """The replacement that costs least per unit of usage.

    Attributes
    ----------
    age : float
        Replace at this age; infinite means: run to failure.
    cost_rate : float
        Cost per unit of usage when doing so.
    failure_cost_rate : float
        Cost per unit of usage when every part runs to failure.
    """

    age: float
    cost_rate: float
    failure_cost_rate: float


def age_replacement(shape: float, scale: float, *, planned_cost: float, failure_cost: float) -> BestAge:
    """Return the age at which to replace a part that is as good as new after failure and replacement alike.

    Parameters
    ----------
    shape, scale : float
        Weibull law of the life.
    planned_cost, failure_cost : float
        Cost of a replacement before failure, and of a failure with all it brings; above 0.

    Returns
    -------
    BestAge
        Finite only for shape > 1 and failure_cost > planned_cost.

    Notes
    -----
    The optimum T solves h(T) x integral of R to T - F(T) = cp / (cf - cp), h the hazard and R = 1 - F the survival.

    References
    ----------
    R. E. Barlow and F. Proschan, Mathematical Theory of Reliability, Wiley 1965, ch. 4.
    """
    _check(shape, scale, planned_cost, failure_cost)
    run_out = failure_cost / float(law.mean_life(shape, scale))
    if shape <= 1 or failure_cost <= planned_cost:
        return BestAge(math.inf, run_out, run_out)
    ratio = planned_cost / (failure_cost - planned_cost)
    log_gamma = float(gammaln(1 + 1 / shape))

    def gain(hazard: float) -> float:
        # in x = (T / scale)^shape, the cumulative hazard: free of the unit, and close to 1 for any shape
        used = float(gammainc(1 / shape, hazard))
        rate = math.exp(min(log_gamma + math.log(shape) + (1 - 1 / shape) * math.log(hazard), 700.0))
        return rate * used + math.expm1(-hazard) - ratio

    hazard = positive_root(gain, 1.0)
    age = scale * math.exp(math.log(hazard) / shape) if math.isfinite(hazard) else math.inf
    if not age < math.inf:
        return BestAge(math.inf, run_out, run_out)
    # at the optimum the cost rate is the hazard times what a failure costs more
    cost = (failure_cost - planned_cost) * float(law.hazard(age, shape, scale))
    return BestAge(age, cost, run_out) if cost < run_out * (1 - _WORTH) else BestAge(math.inf, run_out, run_out)


def minimal_repair(shape: float, scale: float, *, replacement_cost: float, repair_cost: float) -> BestAge:
    """Return the age at which to replace a part whose failures until then are only mended (as bad as old).

    Parameters
    ----------
    shape, scale : float
        Expected mends up to age t are (t / scale)^shape.
    replacement_cost, repair_cost : float
        Cost of a new part and of one mend; above 0.

    Returns
    -------
    BestAge
        Finite only for shape > 1. `failure_cost_rate` is infinite then (never replacing, mends come ever closer);
        else the rate of mending for ever.

    References
    ----------
    R. E. Barlow and L. Hunter, Operations Research 8 (1960) 90.
    """
    _check(shape, scale, replacement_cost, repair_cost)
    if shape <= 1:
        for_ever = repair_cost / scale if shape == 1 else 0.0
        return BestAge(math.inf, for_ever, for_ever)
    age = scale * (replacement_cost / (repair_cost * (shape - 1))) ** (1 / shape)
    return BestAge(age, (replacement_cost + repair_cost * (age / scale) ** shape) / age, math.inf)


def age_replacement_over(nodes: Nodes, *, planned_cost: float, failure_cost: float) -> BestAge:
    """Return the age with the least cost per unit of usage, expected over the posterior of the life.

    Parameters
    ----------
    nodes : Nodes
        Laws with weights.
    planned_cost, failure_cost : float
        As for `age_replacement`.

    Returns
    -------
    BestAge
        The age to about 0.1 %; infinite where no age beats running to failure by more than 0.01 %.

    Notes
    -----
    The long-run cost rate of each law, (cp R + cf F) / integral of R, is averaged over the laws: the age is chosen
    once, before it is known which law holds.
    """
    _check(1.0, 1.0, planned_cost, failure_cost)
    run_out = float((failure_cost / law.mean_life(nodes.shape, nodes.scale)) @ nodes.weight)
    # two passes: the whole range of sensible ages, then the stretch around the best of them
    ages = np.geomspace(0.01, 3.0, _AGES) * float(np.exp(np.log(nodes.scale) @ nodes.weight))
    for _ in range(2):
        rates = _cost_rates(nodes, ages, planned_cost, failure_cost)
        best = int(rates.argmin())
        age, cost = float(ages[best]), float(rates[best])
        ages = np.geomspace(ages[max(best - 1, 0)], ages[min(best + 1, _AGES - 1)], _AGES)
    return BestAge(age, cost, run_out) if cost < run_out * (1 - 1e-4) else BestAge(math.inf, run_out, run_out)


def age_replacement_with_loss(
    nodes: Nodes, *, planned_cost: float, failure_cost: float, loss_rate: Callable[[FloatArray], FloatArray]
) -> BestAge:
    """Return the age with the least cost per unit of usage where an old part also costs by the work that it does worse.

    Parameters
    ----------
    nodes : Nodes
        Laws with weights.
    planned_cost, failure_cost : float
        As for `age_replacement`.
    loss_rate : callable
        Ages -> what a part of that age costs per unit of usage beyond a new one; not negative, 0 at age 0.

    Returns
    -------
    BestAge
        Infinite where no age within three mean lives beats running to failure.

    Notes
    -----
    The rate (cp R + cf F + integral of c R) / integral of R, averaged over the laws as in `age_replacement_over`; c is the same for
    every law. Trapezoids of 1/400 of a scale; the least by a parabola through the three best ages.
    """
    _check(1.0, 1.0, planned_cost, failure_cost)
    ages = np.linspace(0.0, 3.0 * float(np.exp(np.log(nodes.scale) @ nodes.weight)), _LOSS_STEPS + 1)
    whole = law.survival(ages[:, None], nodes.shape, nodes.scale)
    used, lost = (_up_to(each, ages[1]) for each in (whole, loss_rate(ages)[:, None] * whole))
    costs = failure_cost - (failure_cost - planned_cost) * whole[1:] + lost
    rates = np.asarray((costs / used) @ nodes.weight)
    best, run_out = int(rates.argmin()), float(rates[-1])
    if best in (0, rates.size - 1) or rates[best] >= run_out * (1 - 1e-4):
        return BestAge(math.inf, run_out, run_out)
    before, least, after = (float(rates[best + step]) for step in (-1, 0, 1))
    shift = (before - after) / (2 * (before - 2 * least + after))
    return BestAge(float(ages[best + 1] + shift * ages[1]), least - (before - after) * shift / 4, run_out)


def _up_to(rate: FloatArray, step: float) -> FloatArray:
    """Return the integral from 0 to each age but the first, along the first axis."""
    return np.asarray(np.cumsum((rate[1:] + rate[:-1]) / 2, axis=0) * step)


def _cost_rates(nodes: Nodes, ages: FloatArray, planned_cost: float, failure_cost: float) -> FloatArray:
    """Return the cost per unit of usage at each age, averaged over the laws."""
    column = ages[:, None]
    whole = law.survival(column, nodes.shape, nodes.scale)
    used = law.life_used_by(column, nodes.shape, nodes.scale)
    return np.asarray(((failure_cost - (failure_cost - planned_cost) * whole) / used) @ nodes.weight)


def _check(shape: float, scale: float, planned_cost: float, failure_cost: float) -> None:
    """Refuse laws and costs that are not above 0."""
    if not (0 < shape < math.inf and 0 < scale < math.inf):
        raise DataError(f"Shape {shape:g} and scale {scale:g} are no law of a life.", "Both must be above 0.")
    if not (0 < planned_cost < math.inf and 0 < failure_cost < math.inf):
        raise DataError(f"Costs of {planned_cost:g} and {failure_cost:g} cannot be weighed.", "Give two costs above 0.")
