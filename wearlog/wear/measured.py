"""Wear that is measured against a limit: the line through the readings and when it crosses; no failures, no prior."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr, stdtrit

from wearlog.errors import DataError
from wearlog.wear.arrays import BoolArray, FloatArray, checked_level, fixed, float_column
from wearlog.wear.roots import positive_root

_OUTLIER_CHANCE = 0.05
_FAR = 1e6  # this many times past the line's own crossing is never
_NO_CHANCE = "There are no more readings than the line needs, so no chance can be given."
_MEASURE_AGAIN = "Measure once more."


class WearForm(StrEnum):
    """How wear grows with usage."""

    LINE_THROUGH_NEW = "line through the new value"
    LINE = "line with intercept"
    POWER = "power of usage"


@dataclass(frozen=True, slots=True)
class Crossing:
    """Usage at which the limit is reached.

    Attributes
    ----------
    usage : float
        Where the fitted line crosses; infinite if it never does.
    low, high : float or None
        Predictive interval; None where the readings are too few to have one (no reading to spare beyond the line).
    level : float
    """

    usage: float
    low: float | None
    high: float | None
    level: float


@dataclass(frozen=True, slots=True, eq=False)
class WearLine:
    """A line of wear against usage, in the coordinates of its form.

    Attributes
    ----------
    form : WearForm
    new_value, limit : float
        Of the dimension measured.
    intercept, slope : float
        wear = slope x usage, intercept + slope x usage, or exp(intercept) x usage^slope, where wear is the distance
        from the new value toward the limit.
    residual_sd : float
        Scatter of the readings about the line (of ln wear for a power); nan without degrees of freedom.
    degrees : int
        Readings beyond those the line needs.
    outlier : bool array of shape (n,)
        Readings that stand apart (see Notes of `fit_wear`); they are in the fit all the same.
    spread : array of shape (2, 2)
        Covariance of (intercept, slope) over residual_sd^2.
    """

    form: WearForm
    new_value: float
    limit: float
    intercept: float
    slope: float
    residual_sd: float
    degrees: int
    outlier: BoolArray
    spread: FloatArray

    def value_at(self, usage: ArrayLike) -> FloatArray:
        """Return the dimension that the line expects at each usage.

        Parameters
        ----------
        usage : array_like
            Usage in the units of the readings, any shape.
        """
        x = np.asarray(usage, float)
        if self.form is WearForm.POWER:
            with np.errstate(divide="ignore"):
                wear = np.exp(self.intercept + self.slope * np.log(x))
        else:
            wear = self.intercept + self.slope * x
        return np.asarray(self.new_value + self._toward * wear)

    def crossing(self, level: float = 0.9) -> Crossing:
        """Return the usage at which the limit is reached.

        Parameters
        ----------
        level : float
            Level of the interval.

        Notes
        -----
        An end of the interval is the usage at which a reading to come lies beyond the limit with probability
        (1 - level)/2 or (1 + level)/2 by the predictive t law: it carries the scatter of the reading and the doubt
        about the line, and may be infinite where the slope is not sure to differ from 0.
        """
        tail = 0.5 - checked_level(level) / 2
        usage = self.crosses_at
        if self.degrees < 1:
            return Crossing(usage, None, None, level)
        low, high = (self._usage_where(chance, usage) for chance in (tail, 1 - tail))
        return Crossing(usage, low, high, level)

    @property
    def crosses_at(self) -> float:
        """Usage at which the line itself reaches the limit; infinite if it never does."""
        if self.slope <= 0:
            return math.inf
        usage = (self._target - self.intercept) / self.slope
        return math.exp(usage) if self.form is WearForm.POWER else max(usage, 0.0)

    def chance_beyond(self, usage: float) -> float:
        """Return the chance that a reading at this usage lies beyond the limit (predictive t law).

        Parameters
        ----------
        usage : float
            Usage in the units of the readings.

        Raises
        ------
        DataError
            If there are no more readings than the line needs.
        """
        if self.degrees < 1:
            raise DataError(_NO_CHANCE, _MEASURE_AGAIN)
        return float(stdtr(self.degrees, self._steps_beyond(usage)))

    def chance_of_crossing(self, seen: float, then: float) -> float:
        """Return the chance of reaching the limit by `then`, given that it had not been reached at `seen`.

        Parameters
        ----------
        seen : float
            Usage at the last reading, which lay within the limit. Not the usage now: that nobody has looked since does
            not keep a part within its limit.
        then : float
            Usage asked for, `seen` or more.

        Raises
        ------
        DataError
            If there are no more readings than the line needs, or the stretch runs backwards.
        """
        if not 0 <= seen <= then:
            raise DataError(f"A stretch from {seen:g} to {then:g} runs backwards.", "Give the earlier usage first.")
        if self.degrees < 1:
            raise DataError(_NO_CHANCE, _MEASURE_AGAIN)
        if then == seen:
            return 0.0
        # within the limit by the other tail: 1 - chance would be rounding where the line is far past it
        within, still = (float(stdtr(self.degrees, -self._steps_beyond(usage))) for usage in (seen, then))
        return 1.0 if within == 0 else min(max(1 - still / within, 0.0), 1.0)

    def _steps_beyond(self, usage: float) -> float:
        """Return how far the line lies beyond the limit, in standard deviations of a reading to come."""
        if usage <= 0:
            return -math.inf
        x = math.log(usage) if self.form is WearForm.POWER else usage
        place = np.array([1.0, x])
        gap = self.intercept + self.slope * x - self._target
        # 1 for the scatter of the reading to come, the rest for the doubt about the line
        sd = self.residual_sd * math.sqrt(1 + float(place @ self.spread @ place))
        if sd == 0:
            return math.inf if gap >= 0 else -math.inf
        return gap / sd

    @property
    def _toward(self) -> float:
        """+1 if wear makes the dimension grow, -1 if it shrinks."""
        return math.copysign(1.0, self.limit - self.new_value)

    @property
    def _target(self) -> float:
        """The wear that is the limit, in the coordinates of the form."""
        wear = abs(self.limit - self.new_value)
        return math.log(wear) if self.form is WearForm.POWER else wear

    def _usage_where(self, chance: float, start: float) -> float:
        """Return the usage at which a reading lies beyond the limit with this chance."""
        near = start if 0 < start < math.inf else 1.0
        if self.chance_beyond(near * _FAR) < chance:
            return math.inf
        return positive_root(lambda usage: self.chance_beyond(usage) - chance, near)


def fit_wear(
    usage: ArrayLike, value: ArrayLike, *, new_value: float, limit: float, form: WearForm = WearForm.LINE_THROUGH_NEW
) -> WearLine:
    """Fit wear against usage by least squares.

    Parameters
    ----------
    usage : array of shape (n,)
        Usage since the part was new, at each reading.
    value : array of shape (n,)
        The dimension measured.
    new_value, limit : float
        The dimension when new, and where the part is worn out; the limit says which way wear goes.
    form : WearForm
        Through the new value (1 reading is enough for a line, 2 for an interval), with an intercept (2 and 3), or a
        power of usage (2 and 3 with wear above 0).

    Returns
    -------
    WearLine

    Raises
    ------
    DataError
        Too few readings for the form, all at one usage, or new value and limit alike.

    Notes
    -----
    Readings scatter normally with one spread about the line (about ln wear for a power; readings without wear carry
    nothing there and are left aside). A reading is marked as an outlier if its externally studentised residual passes
    the two-sided 5 % point of t divided by the number of readings (Bonferroni); that needs 2 spare readings.

    References
    ----------
    W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data, Wiley 1998, ch. 13; N. R. Draper and
    H. Smith, Applied Regression Analysis, 3rd ed., Wiley 1998, ch. 8.
    """
    x, wear = wear_of(usage, value, new_value, limit)
    used = (x > 0) & (wear > 0) if form is WearForm.POWER else np.ones(len(x), dtype=bool)
    design, target = _design(x[used], wear[used], form)
    intercept, slope, sd, spread, apart = _least_squares(design, target, form)
    outlier = np.zeros(len(x), dtype=bool)
    outlier[used] = apart
    fixed(outlier)
    return WearLine(form, new_value, limit, intercept, slope, sd, len(target) - design.shape[1], outlier, spread)


def wear_of(usage: ArrayLike, value: ArrayLike, new_value: float, limit: float) -> tuple[FloatArray, FloatArray]:
    """Return usage and wear as columns (n,): wear grows from 0 toward the limit, whichever way the dimension goes.

    Parameters
    ----------
    usage : array_like
        (n,), usage at each reading.
    value : array_like
        (n,), the dimension read, in the unit of `limit`.
    new_value : float
        The dimension of a new part.
    limit : float
        The dimension at which a part is worn out.

    Raises
    ------
    DataError
        Readings that are no plain numbers or below usage 0, or new value and limit alike.
    """
    x = float_column(usage, "usage")
    wear = float_column(value, "reading", len(x)) - new_value
    if not (np.isfinite(x).all() and np.isfinite(wear).all() and (x >= 0).all()):
        raise DataError("A reading or its usage is missing, endless or below 0.", "Correct or drop that reading.")
    if not (math.isfinite(limit) and math.isfinite(new_value)) or limit == new_value:
        raise DataError(f"New value {new_value:g} and limit {limit:g} leave no room to wear.", "Check the two.")
    return x, wear if limit > new_value else -wear


def _design(x: FloatArray, wear: FloatArray, form: WearForm) -> tuple[FloatArray, FloatArray]:
    """Return the columns of the line and what they are to meet; refuse readings that cannot hold the form."""
    if form is WearForm.POWER:
        x, wear = np.log(x), np.log(wear)
    columns = x[:, None] if form is WearForm.LINE_THROUGH_NEW else np.column_stack([np.ones_like(x), x])
    different = len(np.unique(x[x > 0] if form is WearForm.LINE_THROUGH_NEW else x))
    if different < columns.shape[1]:
        raise DataError(
            f"A {form.value} needs readings at {columns.shape[1]} usage(s) and has them at {different}.",
            "Measure once more after some usage.",
        )
    return columns, wear


def _least_squares(
    design: FloatArray, target: FloatArray, form: WearForm
) -> tuple[float, float, float, FloatArray, BoolArray]:
    """Return intercept, slope, residual sd, covariance over sd^2, and which readings stand apart."""
    # QR keeps what the normal equations would square away
    q, r = np.linalg.qr(design)
    inverse = np.linalg.inv(r)
    coefficients = inverse @ (q.T @ target)
    residual = target - design @ coefficients
    degrees = len(target) - design.shape[1]
    squares = float(residual @ residual)
    sd = math.sqrt(squares / degrees) if degrees else math.nan
    spread = np.zeros((2, 2))
    if form is WearForm.LINE_THROUGH_NEW:
        intercept, slope = 0.0, float(coefficients[0])
        spread[1, 1] = float((inverse @ inverse.T)[0, 0])
    else:
        intercept, slope = (float(c) for c in coefficients)
        spread[:] = inverse @ inverse.T
    fixed(spread)
    return intercept, slope, sd, spread, _stand_apart(residual, (q * q).sum(axis=1), squares, degrees)


def _stand_apart(residual: FloatArray, leverage: FloatArray, squares: float, degrees: int) -> BoolArray:
    """Return the readings whose externally studentised residual passes Bonferroni's point."""
    if degrees < 2 or squares == 0:
        return np.zeros(len(residual), dtype=bool)
    room = np.maximum(1 - leverage, 1e-12)
    # each reading is judged by the scatter of the others, or a wild one would hide in the spread it makes itself
    others = np.maximum(squares - residual**2 / room, 1e-300) / (degrees - 1)
    student = np.abs(residual) / np.sqrt(others * room)
    point = float(stdtrit(degrees - 1, 1 - _OUTLIER_CHANCE / (2 * len(residual))))
    return np.asarray((student > point) & (leverage < 1 - 1e-9))
