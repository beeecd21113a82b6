"""The farm's own repair-cost curve: a power law through what was paid between hour readings. Draws nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import fdtri

from wearlog.costs.published_curves import RepairCurve
from wearlog.errors import DataError
from wearlog.facts.closed_lists import Evidence

#: exponents of published repair-cost models lie here (D497 1.3-2.3; tractor studies 1.3-1.7); outside it, look at the data
USUAL_EXPONENTS: Final = (1.2, 2.5)
_SEARCH: Final = (0.05, 12.0)


@dataclass(frozen=True, slots=True)
class OwnCurve:
    """A fitted C / P = factor x (h / 1000) ^ exponent.

    Attributes
    ----------
    factor, exponent : float
    exponent_low, exponent_high : float or None
        Interval of the exponent; None while two intervals of record leave no spread to judge by.
    level : float
        Level of that interval.
    dispersion : float or None
        Pearson spread about the curve, in shares of list price.
    intervals : int
        How many stretches between readings it rests on.
    hours : float
        Hours they cover together.
    """

    factor: float
    exponent: float
    exponent_low: float | None
    exponent_high: float | None
    level: float
    dispersion: float | None
    intervals: int
    hours: float

    @property
    def is_unusual(self) -> bool:
        """Tell whether the exponent lies outside what published models show: check the entries before trusting it."""
        low, high = USUAL_EXPONENTS
        return not low <= self.exponent <= high

    def as_repair_curve(self, machine: str, life_hours: float) -> RepairCurve:
        """Return it in the form of the published curves, so that the same functions read it.

        Parameters
        ----------
        machine : str
            What the machine is called.
        life_hours : float
            Hours to which the curve is told.
        """
        life_percent = 100 * self.factor * (life_hours / 1000) ** self.exponent
        source = f"own records, {self.intervals} intervals over {self.hours:,.0f} h"
        return RepairCurve(machine, self.factor, self.exponent, life_hours, life_percent, Evidence.OWN_RECORDS, source)


def fit_cumulative(
    hours: ArrayLike, cumulative_cost_minor: ArrayLike, list_price_minor: int, *, level: float = 0.90
) -> OwnCurve:
    """Fit the power law to one machine's cumulative cost at successive hour readings.

    Parameters
    ----------
    hours, cumulative_cost_minor : array_like, shape (n,)
        Ascending readings, and what had been paid by then. The first may be where the record begins: what was paid
        before it does not enter the fit.
    list_price_minor : int
    level : float
        Level of the interval of the exponent.

    See Also
    --------
    fit_own_curve : several machines, or readings with gaps.
    """
    marks = np.asarray(hours, dtype=np.float64)
    paid = np.diff(np.asarray(cumulative_cost_minor, dtype=np.float64))
    if marks.ndim != 1 or marks.size != paid.size + 1:
        raise DataError("Hours and cumulative costs are not of equal length.", "Give one cost for each reading.")
    return fit_own_curve(marks[:-1], marks[1:], paid / list_price_minor, level=level)


def fit_own_curve(
    from_hours: ArrayLike, to_hours: ArrayLike, cost_share: ArrayLike, *, level: float = 0.90
) -> OwnCurve:
    """Fit C / P = factor x (h / 1000) ^ exponent to the costs of separate hour intervals.

    Parameters
    ----------
    from_hours, to_hours : array_like, shape (n,)
        Each interval's readings, of one machine or several of a class.
    cost_share : array_like, shape (n,)
        Cost of the interval over the machine's list price.
    level : float

    Returns
    -------
    OwnCurve

    Raises
    ------
    DataError
        Fewer than two intervals with cost, an interval that runs backwards, a negative cost, costs no power law fits.

    Notes
    -----
    Quasi-likelihood with variance proportional to the mean: the power law is the mean of a power-law process, whose increments
    are independent, while cumulative costs are not. It needs nothing of the time before the record began. The interval is a
    quasi-likelihood-ratio interval with F(1, n - 2); it assumes that the spread is the same along the curve.

    References
    ----------
    McCullagh and Nelder, Generalized Linear Models (1989), chapter 9; Crow (1974) for the process.
    """
    start, stop, share = (np.asarray(column, dtype=np.float64) for column in (from_hours, to_hours, cost_share))
    _check(start, stop, share)
    b = _best_exponent(start, stop, share)
    growth = _growth(start, stop, b)
    factor = float(share.sum() / growth.sum())
    freedom = share.size - 2
    # two intervals are always met exactly by two parameters: there is no spread to judge by
    low = high = spread = None
    if freedom > 0:
        spread = float(np.sum((share - factor * growth) ** 2 / (factor * growth)) / freedom)
        low, high = _exponent_interval(start, stop, share, b, spread * float(fdtri(1, freedom, level)))
    return OwnCurve(factor, b, low, high, level, spread, share.size, float(np.sum(stop - start)))


def _check(start: NDArray[np.float64], stop: NDArray[np.float64], share: NDArray[np.float64]) -> None:
    if start.ndim != 1 or start.shape != stop.shape or start.shape != share.shape:
        raise DataError("The columns of the repair intervals are not of equal length.", "Give one cost per interval.")
    if not np.all((start >= 0) & (stop > start) & np.isfinite(stop)):
        raise DataError("A repair interval does not run forwards.", "Check the hour readings of this machine.")
    if not np.all((share >= 0) & np.isfinite(share)):
        raise DataError("A repair cost is negative or missing.", "Check the repairs between these readings.")
    if np.count_nonzero(share) < 2:
        raise DataError(
            "A curve needs repair costs in at least two intervals of hours.", "Use the published curve until then."
        )


def _growth(start: NDArray[np.float64], stop: NDArray[np.float64], exponent: float) -> NDArray[np.float64]:
    return (stop / 1000.0) ** exponent - (start / 1000.0) ** exponent


def _log_likelihood(
    start: NDArray[np.float64], stop: NDArray[np.float64], share: NDArray[np.float64], b: float
) -> float:
    """Quasi-likelihood in the exponent alone: the factor that fits best is put in."""
    growth = _growth(start, stop, b)
    paid = share > 0
    return float(share[paid] @ np.log(growth[paid]) - share.sum() * np.log(growth.sum()))


def _score(start: NDArray[np.float64], stop: NDArray[np.float64], share: NDArray[np.float64], b: float) -> float:
    """Slope of the quasi-likelihood over the exponent."""
    with np.errstate(divide="ignore", invalid="ignore"):
        from_slope = np.where(start > 0, (start / 1000) ** b * np.log(start / 1000), 0.0)
    slope = (stop / 1000) ** b * np.log(stop / 1000) - from_slope
    growth = _growth(start, stop, b)
    return float(share @ (slope / growth) - share.sum() * slope.sum() / growth.sum())


def _best_exponent(start: NDArray[np.float64], stop: NDArray[np.float64], share: NDArray[np.float64]) -> float:
    # loaded here: who asks for costs without a curve of their own does not wait for it
    from scipy.optimize import brentq

    low, high = _SEARCH
    if not _score(start, stop, share, low) > 0 > _score(start, stop, share, high):
        raise DataError(
            "No power law fits these repair costs.", "Check for a cost entered twice or at the wrong hours."
        )
    return float(brentq(lambda b: _score(start, stop, share, b), low, high, xtol=1e-13))


def _exponent_interval(
    start: NDArray[np.float64], stop: NDArray[np.float64], share: NDArray[np.float64], best: float, drop: float
) -> tuple[float, float]:
    """Where twice the quasi-likelihood has fallen by `drop`; the ends of the search where it never does."""
    from scipy.optimize import brentq

    top = _log_likelihood(start, stop, share, best)

    def beyond(b: float) -> float:
        return 2 * (top - _log_likelihood(start, stop, share, b)) - drop

    ends = []
    # costs on the curve to the last digit leave nothing to search for
    for end in _SEARCH:
        ends.append(float(brentq(beyond, best, end)) if beyond(end) > 0 > beyond(best) else end)
    return (ends[0], ends[1]) if drop > 1e-15 else (best, best)
