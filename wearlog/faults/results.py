"""What a check showed, as the reckoning takes it in."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.closed_lists import CheckVerdict
from wearlog.faults.checks import Check
from wearlog.faults.circumstances import MeterShown


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What a check showed; `measured` in the unit of its band, where a meter was used.

    Attributes
    ----------
    check : Check
    verdict : CheckVerdict
    measured : float or None
    reading : MeterShown or None
        The same with the state it was taken in; a case with circumstances weighs its size.
    visit : int
        Checks of one visit share whether the fault was there.
    """

    check: Check
    verdict: CheckVerdict
    measured: float | None = None
    reading: MeterShown | None = None
    visit: int = 0
