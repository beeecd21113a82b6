"""How many spares would lie there if money were no bound; where the advice is held to one set, since only a guess speaks."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from wearlog.facts.plain_text import one_line
from wearlog.plan.newsvendor import Stock, best_stock, expected_cost
from wearlog.plan.spares import costs_by_packs, most_wanted
from wearlog.present.digits import number
from wearlog.present.words import capital, listed
from wearlog.reckoning.plan.desk import SpareLine
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.plan.spares import PartNeed

HELD: Final = "held to one set, since little but a guess says how long they last"


def best_alone(need: PartNeed, row: SpareLine) -> Stock | None:
    """Return how many would lie there at the start if money were no bound and pieces came singly; None without a price."""
    if need.spare is None:
        return None
    found = best_stock(row.demand, overage=need.spare.overage_minor, shortage=need.spare.shortage_minor)
    held = most_wanted(need.spare, row.demand)
    if held is None or found.level <= held:
        return found
    cost = expected_cost(row.demand, held, overage=need.spare.overage_minor, shortage=need.spare.shortage_minor)
    return Stock(held, float(cost))


def is_held(need: PartNeed, row: SpareLine) -> bool:
    """Whether the advice stops at what is fitted, since a guess alone would go on."""
    if need.spare is None or need.spare.set_size is None or not has_costs(need):
        return False
    free = int(np.argmin(costs_by_packs(replace(need.spare, on_hand=row.start_stock, set_size=None), row.demand)))
    held = int(np.argmin(costs_by_packs(replace(need.spare, on_hand=row.start_stock), row.demand)))
    return free > held


def held_words(view: SeasonPlanView) -> list[str]:
    """Return what is said of the parts whose advice is held so."""
    names = [
        f"{one_line(need.shelf.part.number)} ({number(need.spare.set_size)} fitted)"
        for row in view.found.spares
        if (need := view.needs[row.need]).spare is not None and is_held(need, row)
    ]
    if not names:
        return []
    return [f"{capital(HELD)}: {listed(names)}. More can be ordered once the first wear out; their records then speak."]


def has_costs(need: PartNeed) -> bool:
    """Whether too few and too many cost anything."""
    return need.spare is not None and need.spare.overage_minor + need.spare.shortage_minor > 0
