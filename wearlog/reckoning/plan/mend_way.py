"""Mending a part now and changing it later, beside getting a new one and fitting it now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from wearlog.facts.wearing import Component
from wearlog.plan.run_or_stop import FailureCost, Opportunity, weigh_opportunities
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_view import HarvestView
from wearlog.reckoning.plan.mend_first import Mendable, mendable
from wearlog.reckoning.plan.stop_costs import AskedStop, Pace, Prices, Standing, collateral_record, long_run_rate
from wearlog.reckoning.plan.stop_or_run import failure_minor_at, season_left
from wearlog.reckoning.wear.wear_outlook import wear_outlook
from wearlog.store.connection import Connection


@dataclass(frozen=True, slots=True)
class Evening:
    """What a change costs with the part at hand, how fast it is cut, what standing costs, and what somebody said beside the log."""

    prices: Prices
    pace: Pace
    standing: Standing
    asked: AskedStop


@dataclass(frozen=True, slots=True)
class MendWay:
    """What mending costs beyond fitting a new part now, and when the machine runs again."""

    minor: float
    runs_at: datetime
    mendable: Mendable


def mend_way(
    connection: Connection, farm: Farm, component: Component, waited: Prices, evening: Evening, view: HarvestView
) -> MendWay | None:
    """Weigh mending; None where none of the kind was mended and nobody says how long it takes.

    `waited` are the prices with the wait for a part that must be ordered, for when what was mended breaks again.
    """
    prices, pace, standing, asked = evening.prices, evening.pace, evening.standing, evening.asked
    both = (
        (row, one)
        for row in wear_outlook(connection, farm).kinds
        for one in row.components
        if one.component_id == component.id
    )
    row, mine = next(both, (None, None))
    if row is None or mine is None:
        return None
    later = [Opportunity(season_left(view, mine, pace), prices.in_shop)]
    if asked.dark is not None:
        later.append(Opportunity(asked.dark * pace.usage, prices.in_field))
    found = mendable(connection, farm, row.life.kind, mine.law, asked, standing, later)
    if found is None:
        return None
    failure = FailureCost(
        lambda usage: failure_minor_at(waited, pace, standing, usage),
        collateral_record(connection, farm, farm.part_kinds.index(row.life.kind), prices).costs,
    )
    after = weigh_opportunities(found.first.residual, found.first.then, failure, gain=long_run_rate(mine.law, prices))
    # what all other ways cost besides: the new part and fitting it
    fitting = prices.in_field + float(standing(np.array([prices.stands]), np.zeros(1))[0])
    minor = found.first.minor + after.ways[after.best].cost_minor - fitting
    return MendWay(minor, farm.now + timedelta(seconds=found.habit.standing_seconds), found)
