"""What one part number does against another, learned by kinds from each other: the step that new numbers bring on a farm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from wearlog.wear.arrays import FloatArray

#: sd of the farm's step, and of a kind's about it with how likely each is beforehand, in ln(speed) (common practice, no source)
FARM_STEP_SD = 0.35
KIND_STEP_SDS = (0.1, 0.2, 0.35, 0.5)
KIND_STEP_CHANCES = (0.2, 0.3, 0.3, 0.2)
#: mean and sd of the step of a kind that no other kind says anything of (two lives, each with an sd of 0.3 about the kind's)
STEP_ALONE = (0.0, 0.4)
#: steps at which a kind is asked, and the even ones between
ASKED_STEPS = np.linspace(-1.1, 1.1, 9)
_FINE = np.linspace(-1.1, 1.1, 45)
_MEANS = np.linspace(-0.9, 0.9, 25)
_FAINT = 1e-300


def _spline() -> FloatArray:
    """Return what carries values at `ASKED_STEPS` to the even steps between, (45, 9): the natural cubic spline.

    Its bends solve one system (R. L. Burden and J. D. Faires, Numerical Analysis, sec. 3.5, from memory). By hand: the splines
    of scipy load its solvers, which half of the commands never need.
    """
    count, step = len(ASKED_STEPS), ASKED_STEPS[1] - ASKED_STEPS[0]
    bends = 4.0 * np.eye(count) + np.eye(count, k=1) + np.eye(count, k=-1)
    turns = (np.eye(count, k=1) - 2 * np.eye(count) + np.eye(count, k=-1)) * 6 / step**2
    for end in (0, -1):
        bends[end], turns[end] = np.eye(count)[end], 0.0
    bend = np.linalg.solve(bends, turns)
    left = np.clip(((_FINE - ASKED_STEPS[0]) / step).astype(int), 0, count - 2)
    share = ((_FINE - ASKED_STEPS[left]) / step)[:, None]
    curved = (share**3 - share) * bend[left + 1] + ((1 - share) ** 3 - (1 - share)) * bend[left]
    plain = share * np.eye(count)[left + 1] + (1 - share) * np.eye(count)[left]
    return np.asarray(plain + curved * step**2 / 6)


_BETWEEN = _spline()


def _bells() -> tuple[FloatArray, FloatArray]:
    """Return the law of a kind's step by each mean and sd of the farm, (h, 45), and ln of what is believed of these, (h,)."""
    mean = np.repeat(_MEANS, len(KIND_STEP_SDS))[:, None]
    spread = np.tile(KIND_STEP_SDS, len(_MEANS))[:, None]
    found = np.exp(-0.5 * ((_FINE - mean) / spread) ** 2)
    before = -0.5 * (mean[:, 0] / FARM_STEP_SD) ** 2 + np.log(np.tile(KIND_STEP_CHANCES, len(_MEANS)))
    return found / found.sum(axis=1, keepdims=True), before - np.log(np.exp(before).sum())


_BELLS, _BEFORE = _bells()


@dataclass(frozen=True, slots=True, eq=False)
class FarmSteps:
    """What the kinds of a farm say together of slope and steps: ln of the likelihood by mean and sd of the steps, and slope.

    Attributes
    ----------
    own : tuple of arrays of shape (9, s) or (1, s)
        ln of the likelihood of each kind at `ASKED_STEPS`, one row where it has one part number, and at every slope.
    blur : array of shape (s, s)
        Which slopes a kind may have by that of the farm.
    before : array of shape (s,)
        ln of what is believed of the farm's slope.
    """

    own: tuple[FloatArray, ...]
    blur: FloatArray
    before: FloatArray
    _total: FloatArray = field(repr=False)

    @classmethod
    def of(cls, own: Sequence[FloatArray], blur: FloatArray, before: FloatArray) -> FarmSteps:
        """Put kinds together.

        Parameters
        ----------
        own : sequence of arrays of shape (9, s) or (1, s)
            ln of the likelihood of each kind at steps and slopes.
        blur : array of shape (s, s)
            Which slopes a kind may have by that of the farm.
        before : array of shape (s,)
            ln of what is believed of the farm's slope.
        """
        stepped = any(len(one) > 1 for one in own)
        total = np.zeros((len(_BELLS) if stepped else 1, len(before)))
        for one in own:
            total += np.log(_smeared(one, blur))
        return cls(tuple(own), blur, before, total + (_BEFORE[:, None] if stepped else 0.0))

    @property
    def by_slope(self) -> FloatArray:
        """ln of the likelihood of all kinds at each slope of the farm, whatever the steps, (s,)."""
        top = self._total.max(axis=0)
        return np.asarray(top + np.log(np.exp(self._total - top).sum(axis=0)))

    @property
    def kinds(self) -> int:
        """How many kinds have a step."""
        return sum(len(one) > 1 for one in self.own)

    def has_step(self, place: int) -> bool:
        """Tell whether a kind has several part numbers.

        Parameters
        ----------
        place : int
            Of the kind in the order in which they were given.
        """
        return len(self.own[place]) > 1

    def slope_law(self, place: int) -> FloatArray:
        """Return the law of a kind's slope but for a factor, (s,): what it says itself, and what all others say of the farm's.

        Parameters
        ----------
        place : int
            Of the kind in the order in which they were given.
        """
        own = self.own[place]
        others = self._others(place)
        likely = _by_law(own) if len(own) > 1 else np.exp(own - own.max())
        return np.asarray((likely * (others @ self.blur)).sum(axis=0))

    def beforehand(self, place: int, slope: int = 0) -> tuple[float, float]:
        """Return mean and sd of the step of a kind that has one, as the other kinds foretell it.

        Parameters
        ----------
        place : int
            Of the kind in the order in which they were given.
        slope : int
            At which slope the farm stands.
        """
        return _spread(self._others(place)[:, slope])

    def _others(self, place: int) -> FloatArray:
        """Return what all kinds but one say, and what is believed beforehand, but for a factor, (h, s)."""
        found = self._total + self.before - np.log(_smeared(self.own[place], self.blur))
        return np.asarray(np.exp(found - found.max()))


def _spread(law: FloatArray) -> tuple[float, float]:
    steps = (law / law.sum()) @ _BELLS
    mean = float(steps @ _FINE)
    return mean, float(np.sqrt(steps @ (_FINE - mean) ** 2))


def _by_law(own: FloatArray) -> FloatArray:
    """Return the likelihood of a kind by mean and sd of the steps, and at each slope of its own, (h, s)."""
    fine = _BETWEEN @ own
    return np.asarray(_BELLS @ np.exp(fine - fine.max()))


def _smeared(own: FloatArray, blur: FloatArray) -> FloatArray:
    """Return the same at each slope of the farm, (h, s); (1, s) for a kind with one part number."""
    likely = _by_law(own) if len(own) > 1 else np.exp(own - own.max())
    return np.asarray(np.maximum(likely @ blur.T, _FAINT))
