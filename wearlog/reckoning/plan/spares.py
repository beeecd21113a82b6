"""What the season may take of every part, given what is replaced before it, and what being short of one costs. It buys nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.farm_settings import FarmSettings
from wearlog.plan.demand import ImpactRates
from wearlog.plan.life_nodes import LifeNodes, median_life
from wearlog.plan.newsvendor import carrying_cost, shortage_cost
from wearlog.plan.spares import SparePart
from wearlog.reckoning.parts.stock import PartChoices, ShelfPart
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.wear.wear_outlook import WearOutlook
from wearlog.store.histories import Floats
from wearlog.wear.stones import StoneRates

#: carrying a part for a year: interest, room, what rusts or is never used (common practice, no source)
CARRYING_RATE: Final = 0.10
#: field hours lost for each day of waiting: 10 h a day, 7 of 10 days workable (common practice, no source)
FIELD_HOURS_A_DAY: Final = 7.0
#: a part whose lead time nobody wrote down (a guess, and told as one)
USUAL_LEAD_DAYS: Final = 3
#: fetched in a hurry, whatever its lead time: one field day lost, and a quarter on the price (common practice, no source)
HURRY_HOURS: Final = 10.0
HURRY_PREMIUM: Final = 0.25
#: failures by wear on record from which a kind's own records hold its spares, not what is fitted: as many as a narrow guess that is
#: wrong takes to give way
RECORDS_SPEAK: Final = 5


@dataclass(frozen=True, slots=True, eq=False)
class PartNeed:
    """One part: what it is for and what being without it costs.

    Attributes
    ----------
    shelf : ShelfPart
    lines : tuple of int
        Places of the lines whose components take it.
    impacts : tuple of ImpactRates
    spare : SparePart or None
        None when nothing says how many a season takes; without a price it is only looked at, not bought.
    lead_days : int
        As written down, else the guess.
    lead_guessed : bool
    wait_hours : float
        Field hours lost each time it runs out.
    wait_minor : int
        What that costs, in whole minor units.
    hurried : bool
        Whether fetching it in a hurry is what costs less.
    """

    shelf: ShelfPart
    lines: tuple[int, ...]
    impacts: tuple[ImpactRates, ...]
    spare: SparePart | None
    lead_days: int
    lead_guessed: bool
    wait_hours: float
    wait_minor: int
    hurried: bool


def part_needs(
    choices: PartChoices, lines: Sequence[PlanLine], outlook: WearOutlook, settings: FarmSettings
) -> tuple[PartNeed, ...]:
    """Put the components that take each part together; in the order of the parts."""
    rates = {kind.life.kind.id: kind.life.impacts for kind in outlook.kinds}
    places: dict[int, list[int]] = defaultdict(list)
    for number, line in enumerate(lines):
        place = choices.of_component.get(line.component.id)
        if place is not None and (line.nodes is not None or rates[line.kind.id] is not None):
            places[place].append(number)
    found = []
    for place, shelf in enumerate(choices.parts):
        mine = tuple(places[place])
        impacts = _impacts(mine, lines, outlook)
        found.append(_need(shelf, mine, impacts, settings, _guessed_set([lines[number] for number in mine])))
    return tuple(found)


def _guessed_set(lines: Sequence[PlanLine]) -> int | None:
    """Return how many pieces are fitted where little but a guess says how long they last, else None."""
    failures: dict[UUID, float] = {}
    for line in lines:
        if line.life.measured or not line.life.has_guess:
            return None
        failures[line.kind.id] = max(failures.get(line.kind.id, 0.0), line.life.failures)
    if sum(failures.values()) >= RECORDS_SPEAK:
        return None
    return sum(len(line.positions) + len(line.unknown) for line in lines)


def _need(
    shelf: ShelfPart,
    mine: tuple[int, ...],
    impacts: tuple[ImpactRates, ...],
    settings: FarmSettings,
    set_size: int | None,
) -> PartNeed:
    lead, price, pack = shelf.part.lead_time_days, shelf.price_minor or 0, shelf.part.pack_size
    days = USUAL_LEAD_DAYS if lead is None else lead
    waiting = days * FIELD_HOURS_A_DAY
    hurry = shortage_cost(HURRY_HOURS, settings.downtime_minor) + HURRY_PREMIUM * price
    cost = shortage_cost(waiting, settings.downtime_minor, hurry)
    hurried = cost < shortage_cost(waiting, settings.downtime_minor)
    hours = HURRY_HOURS if hurried else waiting
    spare = SparePart(price, shelf.on_hand, pack, carrying_cost(price, CARRYING_RATE), cost, hours, set_size)
    return PartNeed(shelf, mine, impacts, spare if mine else None, days, lead is None, hours, round(cost), hurried)


def assumed_age(nodes: LifeNodes) -> float:
    """Return the age at which parts of unknown age are taken: half a median life (a guess, and told as one)."""
    return float(nodes.mean(median_life(nodes))) / 2


def _impacts(mine: Sequence[int], lines: Sequence[PlanLine], outlook: WearOutlook) -> tuple[ImpactRates, ...]:
    """Rates of each kind over the ground that its machines are to cut, each component counting for itself."""
    place = {machine.id: number for number, machine in enumerate(outlook.farm.machines)}
    rates = {kind.life.kind.id: kind.life.broken_by_stones for kind in outlook.kinds}
    exposure: dict[UUID, Floats] = {}
    for number in mine:
        line = lines[number]
        if rates[line.kind.id] is not None:
            area = outlook.ahead.area_by_ground[place[line.machine.id]]
            exposure[line.kind.id] = exposure.get(line.kind.id, np.zeros(area.size)) + area
    found = []
    for kind_id, area in exposure.items():
        impact = rates[kind_id]
        if impact is not None:
            shape, rate = zip(*((one.shape, one.exposure) for one in impact.rates), strict=True)
            # one stone takes several pieces of a part: how many come is no sum of single breakages
            law = impact.predict(area).chance if isinstance(impact, StoneRates) else None
            found.append(ImpactRates(np.array(shape), np.array(rate), area, law))
    return tuple(found)
