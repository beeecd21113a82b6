"""Where a part's own measurements speak for its life in the plan: the usage at which its wear meets the limit, as a belief."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.plan.life_nodes import LifeNodes
from wearlog.reckoning.measured_wear import MeasuredPart
from wearlog.reckoning.wear_outlook import WearOutlook
from wearlog.wear.intervals import Estimate

#: a line says when the limit is met, and parts fitted there after it wear nearly alike: far sharper than lives of a kind
SHARPNESS: Final = 12.0
#: two readings on a line can lie on it by chance and would then seem quite sure
_ENOUGH_DEGREES: Final = 2
_LEVELS: Final = (0.9, 0.7, 0.5, 0.3, 0.1)
_SHORTEST, _LONGEST = 0.5, 20.0


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredLife:
    """A belief of one component's life: nodes, the usage at the limit with its 90 % interval, and how many readings.

    The upper end of the interval is infinite where the readings do not say that the limit is ever met.
    """

    nodes: LifeNodes
    crossing: Estimate
    readings: int


def measured_lives(outlook: WearOutlook) -> dict[UUID, MeasuredLife]:
    """Return the measured lives, by id of the component.

    Only components of one position whose part has a known age and readings to spare beyond its line: of a set some positions
    are measured and others not, and there the lives of the kind say more.
    """
    farm, found = outlook.farm, {}
    for part in outlook.basis.measured:
        component = farm.components[part.component]
        if component.positions == 1 and part.age_known and part.usage_now > 0:
            life = _life(part)
            if life is not None:
                found[component.id] = life
    return found


def _life(part: MeasuredPart) -> MeasuredLife | None:
    path = part.path
    if path is None or path.degrees < _ENOUGH_DEGREES:
        return None
    found = [path.crossing(level) for level in _LEVELS]
    shown = part.crossing(found[0].level)
    if shown is None or shown.low is None or shown.high is None or np.isinf(shown.usage):
        # no wear toward the limit: the lives of the kind say more
        return None
    ends = [end for one in found for end in (one.low, one.high) if end is not None]
    # a limit met long ago or never is as good as half the age, or many times it: the figures stay within reach
    usage = np.clip(np.array(ends), _SHORTEST * part.usage_now, _LONGEST * part.usage_now)
    nodes = LifeNodes.of(
        np.full(usage.size, SHARPNESS), usage / np.log(2.0) ** (1 / SHARPNESS), np.full(usage.size, 1.0)
    )
    return MeasuredLife(nodes, Estimate(shown.usage, shown.low, shown.high, shown.level), part.usage.size)
