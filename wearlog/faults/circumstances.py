"""What is known around a fault beside its signs: what was asked, what was worked on, the stretches of work, repairs that failed.

A `Case` that has them is weighed with the size of readings, with silence and with whether the fault was there; one without them by
signs and verdicts alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from wearlog.facts.closed_lists import NodeKind
from wearlog.facts.electrics import Answer, FixKind, OthersTried, Supplied

#: chance that a fault which comes and goes is there during a stretch of work, by what the operator says of it
PRESENT: Final[dict[Answer | None, float]] = {Answer.YES: 0.8, Answer.NO: 0.0, Answer.CANNOT_TELL: 0.3, None: 0.3}
#: while somebody makes it happen: shakes, warms, wets, raises
PRESENT_MADE_TO: Final = 0.7
#: share of the suspicion left on a node after a repair that did not cure (common practice, no source)
LEFT_AFTER_REPAIR: Final[dict[FixKind, float]] = {
    FixKind.JOINT_MADE: 0.15,
    FixKind.PART_SWAPPED: 0.05,
    FixKind.PROVED_UNDER_LOAD: 0.03,
    FixKind.OTHER: 0.15,
}
#: what is mended by a crimp or a cleaned joint; anything else is exchanged
JOINTS: Final = frozenset({NodeKind.CONNECTOR, NodeKind.WIRE_RUN, NodeKind.SPLICE, NodeKind.GROUND, NodeKind.BATTERY})


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterShown:
    """What a meter showed, and in which state.

    Attributes
    ----------
    value : float
        In the unit of the check's band; `inf` where a meter of resistance shows no end.
    battery_volts : float or None
        The battery's own reading in the same state; None where it is not known.
    load_on : bool or None
        None: nobody said; then it counts as on.
    supplied : Supplied or None
    second : float or None
        On a data line: the volts of low, where `value` is those of high.
    """

    value: float
    battery_volts: float | None = None
    load_on: bool | None = None
    supplied: Supplied | None = None
    second: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Circumstances:
    """What was asked and answered.

    Attributes
    ----------
    others_tried : OthersTried or None
        None: the question was not asked.
    conditions_asked : bool
        Only then is silence about a condition an answer.
    worked_on : tuple of str
        Nodes that were worked on since the machine last ran right.
    present : mapping of int to Answer
        For each visit that checks speak of: whether the fault was there.
    repairs : mapping of str to FixKind
        What sort of repair each node got that was tried in vain, where somebody said it.
    nominal_volts : int
        12 or 24.
    """

    others_tried: OthersTried | None = None
    conditions_asked: bool = False
    worked_on: tuple[str, ...] = ()
    present: Mapping[int, Answer | None] = field(default_factory=dict)
    repairs: Mapping[str, FixKind] = field(default_factory=dict)
    nominal_volts: int = 12
