"""Failures far earlier than their kind lives: how rare that is, and whether a bad part or a cause upstream explains it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import gammainc

from wearlog.errors import DataError
from wearlog.wear.arrays import FloatArray

#: share of parts that are bad, and of places with a cause that eats parts (common practice, no source)
BAD_SHARE: Final = 0.03
CAUSE_SHARE: Final = 0.03
#: what of the median life a bad part has (it then fails at any age alike), and a part at such a place
_BAD_MEDIAN, _CAUSE_MEDIAN = 0.1, 1 / 3
_LN2: Final = float(np.log(2.0))


@dataclass(frozen=True, slots=True)
class EarlyLaw:
    """What is believed of a kind's Weibull life, in equal or weighed nodes.

    Attributes
    ----------
    median, shape, weight : (n,) float64
        Medians in any one unit, above 0; the weights add up to 1.
    """

    median: FloatArray
    shape: FloatArray
    weight: FloatArray


@dataclass(frozen=True, slots=True)
class EarlyCauses:
    """Which reading explains what failed at one place.

    Attributes
    ----------
    upstream : float
        The chance that something there eats the parts.
    last_bad : float
        The chance that the last of them was bad.
    """

    upstream: float
    last_bad: float


def too_early(law: EarlyLaw, ages: ArrayLike) -> float:
    """Return the chance that parts of this law fail one after the other as soon as these did, or sooner.

    Parameters
    ----------
    law : EarlyLaw
    ages : array_like, shape (r,)
        Ages at failure, above 0, in the unit of the medians.

    Notes
    -----
    The hazard run through by r failures is Gamma(r, 1); exact where the law is known, else averaged over its nodes.
    """
    failed = _ages(ages)
    hazard = _LN2 * ((failed / law.median[:, None]) ** law.shape[:, None]).sum(axis=1)
    return float(law.weight @ gammainc(failed.size, hazard))


def of_all_places(chance: float, places: int) -> float:
    """Return the chance that it happens at one at least of all the places that were looked at.

    Parameters
    ----------
    chance : float
        At one place.
    places : int
        1 or more.
    """
    return float(-np.expm1(places * np.log1p(-chance))) if chance < 1 else 1.0


def early_causes(law: EarlyLaw, ages: ArrayLike) -> EarlyCauses:
    """Return how far a cause at the place, or bad parts, explain its failures.

    Parameters
    ----------
    law : EarlyLaw
    ages : array_like, shape (r,)
        Ages at failure of the parts that failed there one after the other, above 0.

    Notes
    -----
    A part is bad with 3 % (exponential, a tenth of the median), a place has a cause with 3 % (a third of the median; what is bad
    stays as it is). Both are averaged over the nodes before their ratio is taken.
    """
    failed = _ages(ages)
    good, eaten = (_density(law, failed, share) for share in (1.0, _CAUSE_MEDIAN))
    bad = np.exp(-_LN2 * failed / (_BAD_MEDIAN * law.median[:, None])) * _LN2 / (_BAD_MEDIAN * law.median[:, None])
    without = (1 - BAD_SHARE) * good + BAD_SHARE * bad
    within = (1 - BAD_SHARE) * eaten + BAD_SHARE * bad
    usual = (1 - CAUSE_SHARE) * float(law.weight @ without.prod(axis=1))
    caused = CAUSE_SHARE * float(law.weight @ within.prod(axis=1))
    whole = usual + caused
    if whole <= 0:
        # so far out that no reading says anything
        return EarlyCauses(CAUSE_SHARE, BAD_SHARE)
    last = BAD_SHARE * bad[:, -1]
    bad_usual = (1 - CAUSE_SHARE) * float(law.weight @ (without[:, :-1].prod(axis=1) * last))
    bad_caused = CAUSE_SHARE * float(law.weight @ (within[:, :-1].prod(axis=1) * last))
    return EarlyCauses(caused / whole, (bad_usual + bad_caused) / whole)


def fails_within(law: EarlyLaw, age: float) -> float:
    """Return the chance that a new part fails by an age.

    Parameters
    ----------
    law : EarlyLaw
    age : float
        0 or more, in the unit of the medians.
    """
    return float(law.weight @ -np.expm1(-_LN2 * (age / law.median) ** law.shape))


def _ages(ages: ArrayLike) -> FloatArray:
    failed = np.atleast_1d(np.asarray(ages, dtype=np.float64))
    if failed.ndim != 1 or not failed.size or not (failed > 0).all():
        raise DataError("A part fails at an age above 0.", "Leave out failures whose age nobody knows.")
    return failed


def _density(law: EarlyLaw, failed: FloatArray, share: float) -> FloatArray:
    median, shape = law.median[:, None] * share, law.shape[:, None]
    ran = (failed / median) ** shape
    return np.asarray(_LN2 * shape * ran / failed * np.exp(-_LN2 * ran))
