"""A sensor against its reference: yield-monitor loads against the scale, or any indicated against true value. No crops.

Error % = (indicated - true) / true x 100 (common practice; the test standard is ASAE S578, title from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.harvest.by_line import Floats
from wearlog.harvest.straight_line import StraightLine, fit_straight_line


@dataclass(frozen=True, slots=True, eq=False)
class SensorAgreement:
    """How well a sensor's loads agree with the reference.

    Attributes
    ----------
    error_percent : (n,) float64
        Of each load.
    mean_percent, mean_absolute_percent, rms_percent : float
    factor : float
        What to multiply the indication by: sum of true values over sum of indicated ones.
    left_percent : (n,) float64
        Error of each load once the factor is applied.
    left_out_absolute_percent : float or None
        Mean absolute error of each load under the factor of all the others: what the next load may show. None from one.
    flow : StraightLine or None
        Error in per cent against flow, when flows are given for at least three loads: where it slopes, one factor will not
        do and the flow range needs more loads.
    """

    error_percent: Floats
    mean_percent: float
    mean_absolute_percent: float
    rms_percent: float
    factor: float
    left_percent: Floats
    left_out_absolute_percent: float | None
    flow: StraightLine | None


def calibrate(indicated: Floats, true: Floats, flow: Floats | None = None) -> SensorAgreement:
    """Compare indicated with true values.

    Parameters
    ----------
    indicated, true : (n,) float64
        Mass of each load as the monitor and the checked scale say, same unit.
    flow : (n,) float64, optional
        Mean flow of each load, any unit.

    Raises
    ------
    DataError
        No loads, unequal lengths, or a value not above zero.
    """
    if not indicated.size or indicated.size != true.size or (flow is not None and flow.size != true.size):
        raise DataError(
            "Calibration needs loads with an indicated and a true value each.", "Enter at least one full load."
        )
    if not (np.minimum(indicated, true) > 0).all():
        raise DataError("A calibration load is not above zero.", "Enter what the monitor and the scale said.")
    error = error_percent(indicated, true)
    # sum over sum: the tickets' total is what counts, and a short load must not weigh as much as a full one
    factor = float(true.sum() / indicated.sum())
    many = indicated.size >= 2
    # each load by the factor of the others: one that it took part in makes it look better than the next load will
    others = (true.sum() - true) / (indicated.sum() - indicated) if many else np.array([factor])
    left_out = float(np.mean(np.abs(error_percent(indicated * others, true))))
    spans_flow = flow is not None and flow.size >= 3 and float(np.ptp(flow)) > 0
    return SensorAgreement(
        error_percent=error,
        mean_percent=float(np.mean(error)),
        mean_absolute_percent=float(np.mean(np.abs(error))),
        rms_percent=float(np.sqrt(np.mean(error**2))),
        factor=factor,
        left_percent=error_percent(indicated * factor, true),
        left_out_absolute_percent=left_out if many else None,
        flow=fit_straight_line(flow, error) if spans_flow and flow is not None else None,
    )


def error_percent(indicated: Floats, true: Floats) -> Floats:
    """Return (indicated - true) / true in per cent.

    Parameters
    ----------
    indicated : array
        (n,), what the sensor said.
    true : array
        (n,), the reference, in the same unit.
    """
    return (indicated - true) / true * 100
