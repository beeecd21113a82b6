"""A straight line through few points, with what it does not know: least squares and t intervals. No wear limits here."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import stdtrit

from wearlog.errors import DataError
from wearlog.harvest.by_line import Floats


@dataclass(frozen=True, slots=True)
class StraightLine:
    """y = intercept + slope x, fitted by least squares.

    Attributes
    ----------
    count : int
    intercept, slope : float
    slope_low, slope_high : float
        Interval of the slope at `level`.
    scatter : float
        Standard deviation of the points about the line (count - 2 degrees of freedom).
    mean_x, spread_x : float
        Mean of x, and the root of the sum of squares about it.
    level : float
    """

    count: int
    intercept: float
    slope: float
    slope_low: float
    slope_high: float
    scatter: float
    mean_x: float
    spread_x: float
    level: float

    def at(self, x: npt.ArrayLike) -> Floats:
        """Return the height of the line.

        Parameters
        ----------
        x : float or array
            In the units of the points.
        """
        return self.intercept + self.slope * np.asarray(x, dtype=np.float64)

    def next_between(self, x: npt.ArrayLike) -> tuple[Floats, Floats]:
        """Return the interval, at `level`, in which one new point at x will lie.

        Parameters
        ----------
        x : float
            In the units of the points.
        """
        off = (np.asarray(x, dtype=np.float64) - self.mean_x) / self.spread_x
        # 1 is the new point's own scatter, 1 / n the height's; the slope's grows with the way from the middle of the points
        half = t_quantile(self.count - 2, self.level) * self.scatter * np.sqrt(1 + 1 / self.count + off**2)
        return self.at(x) - half, self.at(x) + half

    @property
    def slopes(self) -> bool:
        """True when the interval of the slope leaves out zero."""
        return self.slope_low > 0 or self.slope_high < 0


def fit_straight_line(x: npt.ArrayLike, y: npt.ArrayLike, *, level: float = 0.90) -> StraightLine:
    """Fit a line by least squares.

    Parameters
    ----------
    x, y : (n,) float64
        At least three points, not all at one x.
    level : float
        Chance that the intervals cover, strictly between 0 and 1.

    Notes
    -----
    Assumes equal, independent, normal scatter about the line; the intervals are too narrow where points come in clusters.

    Raises
    ------
    DataError
        Fewer than three points, unequal lengths, or no spread in x.
    """
    across, up = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    # through two points a line always goes, and nothing is left to judge it by
    if across.size != up.size or across.size < 3:
        raise DataError(f"A line needs three points; there are {min(across.size, up.size)}.", "Enter more checks.")
    mean_x, mean_y = across.mean(), up.mean()
    # centred first: hours in the thousands lose no digits in the squares
    square_x = float(np.sum((across - mean_x) ** 2))
    if square_x <= 0:
        raise DataError("All checks were made at the same place, so no line goes through them.", "Enter a later check.")
    slope = float(np.sum((across - mean_x) * (up - mean_y))) / square_x
    left = up - mean_y - slope * (across - mean_x)
    scatter = float(np.sqrt(np.sum(left**2) / (across.size - 2)))
    half = t_quantile(across.size - 2, level) * scatter / np.sqrt(square_x)
    return StraightLine(
        count=across.size,
        intercept=float(mean_y - slope * mean_x),
        slope=slope,
        slope_low=slope - half,
        slope_high=slope + half,
        scatter=scatter,
        mean_x=float(mean_x),
        spread_x=float(np.sqrt(square_x)),
        level=level,
    )


def mean_interval(values: Floats, *, level: float = 0.90) -> tuple[float, float, float, float]:
    """Return mean, standard deviation and the t interval of the mean; from one value the last three are NaN.

    Parameters
    ----------
    values : array
        (n,), at least one.
    level : float
        Chance that the interval covers, strictly between 0 and 1.
    """
    mean = float(np.mean(values))
    if values.size < 2:
        return mean, np.nan, np.nan, np.nan
    spread = float(np.std(values, ddof=1))
    half = t_quantile(values.size - 1, level) * spread / np.sqrt(values.size)
    return mean, spread, mean - half, mean + half


def t_quantile(degrees: int, level: float) -> float:
    """Return the half width of a two-sided interval of Student's t in standard errors.

    Parameters
    ----------
    degrees : int
        Degrees of freedom, at least 1.
    level : float
        Chance that the interval covers, strictly between 0 and 1.
    """
    return float(stdtrit(degrees, (1 + level) / 2))
