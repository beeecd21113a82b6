"""What standing costs on one evening: people who wait, and the area that dark and rain then keep from being cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError

#: share of the crop's worth that one rain on it takes (common practice, no source)
RAIN_LOSS_SHARE: Final = 0.03


@dataclass(frozen=True, slots=True)
class Tonight:
    """The evening. Areas in any one unit.

    Attributes
    ----------
    hours_to_dark : float
    left : float
        Area still to cut tonight.
    capacity : float
        Area an hour, above 0.
    crew_minor : float
        What an hour of all who wait costs.
    late_minor : float
        What a unit of area loses that is not cut tonight.
    """

    hours_to_dark: float
    left: float
    capacity: float
    crew_minor: float
    late_minor: float

    def __post_init__(self) -> None:
        if self.capacity <= 0 or min(self.hours_to_dark, self.left, self.crew_minor, self.late_minor) < 0:
            raise DataError("An evening needs an area an hour above 0 and nothing below 0.", "Check --left and --dark.")

    @property
    def slack_hours(self) -> float:
        """Hours that can be lost before dark without any area being left over."""
        return max(0.0, self.hours_to_dark - self.left / self.capacity)

    def standing_minor(self, hours: ArrayLike) -> NDArray[np.float64]:
        """Return what standing so long now costs, in minor units.

        Parameters
        ----------
        hours : array_like, any shape
            Hours that the machine stands, 0 or more.
        """
        stood = np.asarray(hours, dtype=np.float64)
        lost = np.minimum(np.maximum(0.0, stood - self.slack_hours) * self.capacity, self.left)
        return np.asarray(self.crew_minor * stood + lost * self.late_minor)

    def standing_later_minor(self, hours: ArrayLike, cut: ArrayLike) -> NDArray[np.float64]:
        """Return the same for a stop that begins when so much more is cut; after dark nothing is left to lose but people's time.

        Parameters
        ----------
        hours : array_like
            Hours that the machine stands.
        cut : array_like, the same shape
            Area cut until then.
        """
        stood, done = np.broadcast_arrays(
            np.asarray(hours, dtype=np.float64), np.minimum(np.asarray(cut, dtype=np.float64), self.left)
        )
        to_dark = np.maximum(self.hours_to_dark - done / self.capacity, 0.0)
        # the slack is the same at any time of the evening: it cuts at its pace until then
        open_hours = np.minimum(stood, to_dark)
        lost = np.minimum(np.maximum(0.0, open_hours - self.slack_hours) * self.capacity, self.left - done)
        return np.asarray(self.crew_minor * open_hours + lost * self.late_minor)


def late_minor(
    *, grain_minor_per_area: float, loss_per_day: float, days_of_delay: float, rain_chance: float = 0.0
) -> float:
    """Return what a unit of area loses that is not cut tonight, in minor units.

    Parameters
    ----------
    grain_minor_per_area : float
        Yield times price.
    loss_per_day : float
        Share of the standing crop's worth lost with each day.
    days_of_delay : float
        Days until it is cut then.
    rain_chance : float
        Chance of rain before that; one rain takes `RAIN_LOSS_SHARE`.
    """
    return grain_minor_per_area * (loss_per_day * days_of_delay + rain_chance * RAIN_LOSS_SHARE)
