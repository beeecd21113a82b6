"""Suspects after a meter reading, by the check's own band; the program judges a reading where it is entered."""

from __future__ import annotations

from wearlog.faults.checks import Check, judge
from wearlog.faults.suspects import Suspects
from wearlog.faults.updating import after_check


def after_reading(suspects: Suspects, check: Check, measured: float) -> Suspects:
    """Return the suspects after a reading. DataError for a check that no meter decides."""
    return after_check(suspects, check, judge(check, measured), measured=measured)
