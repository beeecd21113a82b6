"""Grain left behind: counts or mass on the ground, corrected for the width it lies on, and its growth with wear. No money.

Straw is dropped in a windrow with chopper and spreader disengaged, and several frames are counted behind the combine and
ahead of it. What came through the machine lies on the discharge width, so it is divided by header / discharge width.
Source of the procedure: smallgrains.org (2003), North Dakota State (1978); concentration factor: Canola Council.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtri

from wearlog.errors import DataError
from wearlog.harvest.by_line import Floats
from wearlog.harvest.straight_line import StraightLine, fit_straight_line


@dataclass(frozen=True, slots=True)
class GrainLoss:
    """Loss in grams per square metre (1 g/m2 = 10 kg/ha).

    Attributes
    ----------
    ahead : float
        Shatter and cutterbar.
    machine : float
        Threshing, separating and cleaning.
    total, low, high : float
        Both together, and an interval at `level` from the scatter between frames (NaN from a single frame).
    level : float
    """

    ahead: float
    machine: float
    total: float
    low: float
    high: float
    level: float

    def share_of_crop(self, harvested: float) -> float:
        """Return total loss / (harvested + loss); `harvested` in grams per square metre.

        Parameters
        ----------
        harvested : float
            Grams per square metre.
        """
        return self.total / (harvested + self.total)


def concentration_factor(header_width: float, discharge_width: float) -> float:
    """Return how much thicker the discharge lies than the crop stood: cut width / discharge width, same unit.

    Parameters
    ----------
    header_width : float
        Width of cut.
    discharge_width : float
        Width on which straw and chaff fall, in the same unit.
    """
    if not 0 < discharge_width <= header_width:
        raise DataError(
            "The discharge must be wider than nothing and no wider than the header.",
            "Check the two widths and their unit.",
        )
    return header_width / discharge_width


def loss_from_counts(
    behind: Floats, ahead: Floats, *, frame_area: float, concentration: float, per_gram: float, level: float = 0.90
) -> GrainLoss:
    """Return the loss from kernels counted in frames.

    Parameters
    ----------
    behind, ahead : (n,), (m,) float64
        Kernels in each frame behind the combine and ahead of it.
    frame_area : float
        Square metres of one frame.
    concentration : float
        From `concentration_factor`.
    per_gram : float
        Kernels in a gram, from the farm's own seed weight or `kernel_table`.
    level : float
        Chance that the intervals cover, strictly between 0 and 1.
    """
    if frame_area <= 0 or per_gram <= 0:
        raise DataError("Counts need a frame and a kernel weight above zero.", "Enter the frame's size and the crop.")
    grams = 1 / (per_gram * frame_area)
    return loss_from_mass(behind * grams, ahead * grams, concentration=concentration, level=level)


def loss_from_mass(behind: Floats, ahead: Floats, *, concentration: float, level: float = 0.90) -> GrainLoss:
    """Return the loss from grain weighed, in grams per square metre of ground, behind and ahead.

    Nothing counted ahead (an empty array) means that only what the pans caught from the machine is known.

    Parameters
    ----------
    behind : array
        (frames,), grams per square metre behind the combine.
    ahead : array
        (frames,), grams per square metre in the standing crop; may be empty.
    concentration : float
        How much thicker the discharge lies than the crop stood.
    level : float
        Chance that the interval covers, strictly between 0 and 1.

    Notes
    -----
    machine = (mean behind - mean ahead) / concentration, not below zero; total = mean ahead + machine. The interval is
    normal, from the variance between frames; with few frames it is too narrow.
    """
    if not behind.size or (behind < 0).any() or (ahead < 0).any() or concentration < 1:
        raise DataError("A loss check needs counts of zero or more behind the combine.", "Enter at least one frame.")
    before = float(np.mean(ahead)) if ahead.size else 0.0
    # what lay there before lies in the frame behind as well; fewer behind than ahead is chance and no gain
    machine = max(float(np.mean(behind)) - before, 0.0) / concentration
    total = before + machine
    variance = _variance_of_mean(behind) / concentration**2
    if ahead.size:
        # total = ahead (1 - 1 / c) + behind / c: what is counted ahead is taken off again behind
        variance += _variance_of_mean(ahead) * (1 - 1 / concentration) ** 2
    half = float(ndtri((1 + level) / 2)) * float(np.sqrt(variance))
    return GrainLoss(before, machine, total, max(total - half, 0.0), total + half, level)


def loss_with_wear(separator_hours: Floats, machine_loss: Floats, *, level: float = 0.90) -> StraightLine:
    """Fit machine loss against separator hours since the threshing parts were new.

    Parameters
    ----------
    separator_hours : (n,) float64
        Age of rasp bars and concave at each check.
    machine_loss : (n,) float64
        In any unit that is the same for all checks.
    level : float
        Chance that the intervals cover, strictly between 0 and 1.

    Returns
    -------
    StraightLine
        `slopes` says whether loss has grown beyond what scatter explains; `next_between` foretells the next check.

    Notes
    -----
    Crop state and speed move the loss more than wear does: compare checks of one crop in like state.
    """
    return fit_straight_line(separator_hours, machine_loss, level=level)


def _variance_of_mean(frames: Floats) -> float:
    # one frame says nothing of the others: not a number, and no scatter of zero
    return float(np.var(frames, ddof=1)) / frames.size if frames.size > 1 else np.nan
