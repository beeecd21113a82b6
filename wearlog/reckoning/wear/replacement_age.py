"""The age at which replacing a kind costs least in the long run, where its costs are known; seasons are the plan's business."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np

from wearlog.facts.closed_lists import Action
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.repair_habits import RepairHabits, repair_habits
from wearlog.reckoning.parts.stock import ShelfPart, part_choices
from wearlog.reckoning.wear.age_groups import LifeLaw
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, KindOutlook
from wearlog.store.connection import Connection
from wearlog.store.histories import NONE, code_of
from wearlog.wear.replacement import BestAge, age_replacement, age_replacement_over, minimal_repair


@unique
class NoAge(StrEnum):
    """Why there is no such age."""

    NO_LIFE = "no_life"
    NO_PRICE = "no_price"
    NO_TIME = "no_time"


@dataclass(frozen=True, slots=True)
class ReplacementAge:
    """The age-replacement interval of one kind.

    Attributes
    ----------
    best : BestAge
        Age in seconds or square metres (infinite: run to failure costs least) and costs in minor units per second or square metre.
    planned_minor, failure_minor : int
        Cost of one position replaced in the shop, the opening shared by all positions of its component, and of one that fails in
        the field: part, labour and the standing machine.
    part : ShelfPart
        Whose price it is.
    habits : RepairHabits
        The times it rests on, each with its source.
    by_fit : BestAge or None
        The same by the law that fits the records best, without the starting guess.
    mends : int
        How many of the kind's breakages were mended and not replaced.
    mended : BestAge or None
        The age at which to replace a part that is only mended when it fails, and runs on as worn as it was; None where none was
        ever mended.
    by_machine : tuple of (str, BestAge)
        Where machines differ and it is about all of them: the same by the life on each, by its name.
    """

    best: BestAge
    planned_minor: int
    failure_minor: int
    part: ShelfPart
    habits: RepairHabits
    by_fit: BestAge | None
    mends: int
    mended: BestAge | None
    by_machine: tuple[tuple[str, BestAge], ...] = ()

    @property
    def saves(self) -> float:
        """Share of the cost of running to failure that replacing at this age spares."""
        return 1 - self.best.cost_rate / self.best.failure_cost_rate


def replacement_age(connection: Connection, farm: Farm, row: KindOutlook) -> ReplacementAge | NoAge:
    """Reckon the age-replacement interval of a kind, averaged over what is believed of its life.

    Notes
    -----
    By wear alone: a stone breaks a part of any age, and no replacement spares it. Reads parts, stock and repairs, so it costs more
    than the outlook itself; ask for it for one kind at a time.

    References
    ----------
    R. E. Barlow and F. Proschan, Mathematical Theory of Reliability, Wiley 1965, ch. 4 (see wear.replacement).
    """
    posterior = row.life.law
    if posterior is None:
        return NoAge.NO_LIFE
    found = _priced_component(connection, farm, row)
    if found is None:
        return NoAge.NO_PRICE
    component, part = found
    habits = repair_habits(connection, farm).get(row.life.kind.id)
    if habits is None or habits.shop_each.seconds is None or habits.standing.seconds is None:
        return NoAge.NO_TIME
    rate, hour = farm.settings.labour_rate_minor, farm.settings.downtime_minor
    price = part.price_minor or 0
    opening = habits.shop_opening.minor(rate) / component.positions
    planned = round(price + habits.shop_each.minor(rate) + opening)
    failure = round(price + habits.field_labour.minor(rate) + habits.standing.minor(hour))
    if min(planned, failure) <= 0:
        return NoAge.NO_PRICE
    best = age_replacement_over(posterior.nodes, planned_cost=planned, failure_cost=failure)
    fit = row.life.fit
    by_fit = None
    if fit is not None:
        by_fit = age_replacement(fit.shape, fit.scale, planned_cost=planned, failure_cost=failure)
    mends = _mends(farm, row)
    mended = _mended(row, planned, failure - price) if mends else None
    by_machine = tuple(
        (name, age_replacement_over(law.nodes, planned_cost=planned, failure_cost=failure)) for name, law in _own(row)
    )
    return ReplacementAge(best, planned, failure, part, habits, by_fit, mends, mended, by_machine)


def _own(row: KindOutlook) -> list[tuple[str, LifeLaw]]:
    """Return the machines of a fleet that differ and the life on each."""
    own = row.life.machines
    if own is None or row.life.machine != NONE:
        return []
    laws = ((name, row.life.law_on(place)) for name, place in zip(own.names, own.numbers, strict=True))
    return [(name, law) for name, law in laws if law is not None]


def _mends(farm: Farm, row: KindOutlook) -> int:
    """Return how many positions of the kind were mended when they broke."""
    breakages, ids = farm.histories.breakages, {one.component_id for one in row.components}
    mine = np.array([one.id in ids for one in farm.components], dtype=bool)
    rows = np.flatnonzero(mine[breakages.component] & (breakages.action == code_of(Action.MENDED)))
    return sum(len(breakages.positions[place]) for place in rows if breakages.at[place] <= farm.now_microseconds)


def _mended(row: KindOutlook, planned: int, mend: int) -> BestAge | None:
    """Weigh a new part against mending at every failure: what is mended goes on at its age, so mends come as the hazard runs."""
    posterior = row.life.law
    if posterior is None or mend <= 0:
        return None
    shape, scale = posterior.shape().median, posterior.scale().median
    return minimal_repair(shape, scale, replacement_cost=planned, repair_cost=mend)


def _priced_component(
    connection: Connection, farm: Farm, row: KindOutlook
) -> tuple[ComponentOutlook, ShelfPart] | None:
    """Return the first component whose part has a price; they stand with the most threatened first."""
    choices = part_choices(connection, farm)
    for component in row.components:
        part = choices.part_of(component.component_id)
        if part is not None and part.price_minor is not None:
            return component, part
    return None
