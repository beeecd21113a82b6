"""How long an order takes, by what is quoted and what the last ones took."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr, stdtrit

from wearlog.errors import DataError

#: days that an order takes where nobody quoted any (a guess)
UNQUOTED_DAYS: Final = 3.0
#: what a quoted time is worth: two deliveries, whose logarithms scatter by .35 (common practice, no source)
_WORTH, _SCATTER = 2.0, 0.35


@dataclass(frozen=True, slots=True)
class LeadTime:
    """What is believed of the days that the next order takes: their logarithm is Student's t."""

    degrees: float
    middle: float
    scale: float

    def days(self, chance: float) -> float:
        """Return the days that are not exceeded with this chance.

        Parameters
        ----------
        chance : float
            Between 0 and 1.
        """
        return exp(self.middle + self.scale * float(stdtrit(self.degrees, chance)))

    def later_than(self, days: float) -> float:
        """Return the chance that it takes longer.

        Parameters
        ----------
        days : float
            Above 0.
        """
        return float(stdtr(self.degrees, (self.middle - log(days)) / self.scale))


def lead_time(taken_days: ArrayLike, quoted_days: float | None = None) -> LeadTime:
    """Return how long the next order takes, by what the last ones took and what is quoted.

    Parameters
    ----------
    taken_days : array_like, shape (n,)
        Days from order to receipt, above 0.
    quoted_days : float, optional
        What the supplier says.

    Notes
    -----
    ln(days) is normal with unknown mean and variance (normal-gamma: k 2, a 2, b 2 x .35^2, mean ln quoted); the next one is
    Student's t with 2a degrees of freedom about m, scale sqrt(b (k + 1) / (a k)).
    """
    taken = np.asarray(taken_days, dtype=np.float64).ravel()
    quoted = UNQUOTED_DAYS if quoted_days is None else quoted_days
    if quoted <= 0 or not (taken > 0).all():
        raise DataError("An order takes more than 0 days.", "Check the day of the order and of the receipt.")
    logs, guess = np.log(taken), log(quoted)
    count = logs.size
    mean = float(logs.mean()) if count else guess
    worth = _WORTH + count
    middle = (_WORTH * guess + count * mean) / worth
    a = 2.0 + count / 2
    b = 2 * _SCATTER**2 + ((logs - mean) ** 2).sum() / 2 + _WORTH * count * (mean - guess) ** 2 / (2 * worth)
    return LeadTime(2 * a, middle, sqrt(float(b) * (worth + 1) / (a * worth)))
