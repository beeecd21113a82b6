"""What a fault that is on nothing drawn does to the loads: some or other of them, or one alone. Knows no circuit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from wearlog.facts.closed_lists import SignKind
from wearlog.facts.electrics import Told
from wearlog.faults.effects import UNKNOWN, Status, as_read, first_as_read
from wearlog.faults.signs import STATUS_OF, Sign
from wearlog.faults.silence import first_told_factor, silent_factor

#: of faults on nothing drawn so many take one load along and leave the others alone (common practice, no source)
ALONE_SHARE: Final = 0.5
#: working, dead, weak or coming and going: the load that it takes, and every other one
_TAKEN: Final = (0.02, 0.60, 0.38)
_LEFT_ALONE: Final = (0.985, 0.005, 0.010)


def alone_factor(
    signs: Sequence[Sign], tried: Mapping[str, bool], loads: int, error_rate: float, silence: float = 1.0
) -> float:
    """Return how much better what is known of the loads fits a fault on nothing drawn, since it may take one load alone.

    Parameters
    ----------
    signs : sequence of Sign
        What was told; each load counts once.
    tried : mapping of str to bool
        Loads that were tried, and whether they work.
    loads : int
        How many loads are drawn: the one that is taken is any of them.
    error_rate : float
        Share of signs read wrongly, in [0, 1).
    silence : float, optional
        How much better one load alone explains the loads that nobody spoke of.

    Returns
    -------
    float
        Against every load being as likely to fail as to work, each by itself; 1 where no load was told to fail.
    """
    spoken = {sign.node: sign for sign in signs if sign.node is not None and sign.kind in STATUS_OF}
    failing = [sign for sign in spoken.values() if sign.kind is not SignKind.WORKING]
    if not failing or not loads:
        return 1.0
    taken = next((sign for sign in failing if sign.told is Told.FIRST), failing[0]).node
    some, alone = 1.0, silence / loads
    for node, sign in spoken.items():
        at = int(STATUS_OF[sign.kind])
        read = first_as_read if sign.told is Told.FIRST and at != Status.WORKING else as_read
        some *= read(np.array(UNKNOWN), error_rate)[at]
        alone *= read(np.array(_TAKEN if node == taken else _LEFT_ALONE), error_rate)[at]
    for node, works in tried.items():
        for_it = _TAKEN if node == taken else _LEFT_ALONE
        for_some, for_one = (as_read(np.array(row), error_rate)[Status.WORKING] for row in (UNKNOWN, for_it))
        some *= for_some if works else 1 - for_some
        alone *= for_one if works else 1 - for_one
    return (1 - ALONE_SHARE) + ALONE_SHARE * alone / some


def silence_alone(silent: int, told_failing: int, failing_told: float, error_rate: float) -> float:
    """Return how well a fault that takes the load told first and no other explains that nobody spoke of so many others.

    Parameters
    ----------
    silent : int
        Loads that nobody spoke of or tried.
    told_failing : int
        Loads besides the first that were told or tried and do not work.
    failing_told : float
        Chance that a load which fails is told.
    error_rate : float
        Share of signs read wrongly, in [0, 1).
    """
    fails = np.full((1, silent), (1 - error_rate) * (1 - _LEFT_ALONE[Status.WORKING]) + error_rate / 2)
    kept_silent = silent_factor(fails, failing_told).prod(axis=1)
    return float((kept_silent * first_told_factor(fails, told_failing))[0])
