"""Mending a part first and changing it later: what that costs now, and how long mended parts of its kind ran."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wearlog.costs.repair_cost import price_of_time
from wearlog.facts.parts import PartKind
from wearlog.plan.run_or_stop import MendFirst, Opportunity
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.left_stretches import LeftStretches, mended_stretches
from wearlog.reckoning.parts.mending_habits import MendingHabit, mending_habit, said_mending
from wearlog.reckoning.plan.stop_costs import AskedStop, Standing
from wearlog.reckoning.wear.age_groups import LifeLaw
from wearlog.store.connection import Connection
from wearlog.wear.left_running import mended_running


@dataclass(frozen=True, slots=True)
class Mendable:
    """That a part can be mended first.

    Attributes
    ----------
    first : MendFirst
    habit : MendingHabit
        What mending takes.
    stretches : LeftStretches
        What mended parts of the kind ran.
    """

    first: MendFirst
    habit: MendingHabit
    stretches: LeftStretches


def mendable(
    connection: Connection,
    farm: Farm,
    kind: PartKind,
    life: LifeLaw | None,
    asked: AskedStop,
    standing: Standing,
    then: Sequence[Opportunity],
) -> Mendable | None:
    """Return the way; None where none of the kind was mended and nobody says how long it takes, or nothing comes after it."""
    habit = mending_habit(connection, farm, kind) if asked.mend_seconds is None else said_mending(asked.mend_seconds)
    later = [one for one in then if one.usage > 0]
    if habit is None or life is None or not later:
        return None
    stretches = mended_stretches(farm, farm.part_kinds.index(kind))
    law = mended_running(life.median_life().median).after(stretches.breaks, stretches.usage)
    labour = float(price_of_time(round(habit.labour_seconds), farm.settings.labour_rate_minor))
    stood = float(standing(np.array([habit.standing_seconds / 3600]), np.zeros(1))[0])
    return Mendable(MendFirst(labour + habit.hired_minor + stood, law, later), habit, stretches)
