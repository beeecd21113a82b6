"""What looking at one place after the other takes, against every order tried; and how many spares would lie there alone."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import combinations

import numpy as np
import pytest

from wearlog.faults.checks import checks_for
from wearlog.plan.demand import gamma_poisson, poisson
from wearlog.plan.spares import costs_by_packs
from wearlog.present.plan.spare_bound import best_alone
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.faults.fault_case import fault_case, place_order
from wearlog.reckoning.faults.fault_log import read_fault_log
from wearlog.reckoning.plan.season_plan import season_plan
from wearlog.store.opening import Store

WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)


def test_places_stand_in_the_order_that_takes_least(demo_store: Store) -> None:
    """The last place needs no look: only it is left. No two places changed about, and no other one left for last, take less."""
    with demo_store.reading() as connection:
        farm, log = farm_from(connection, WINTER), read_fault_log(connection)
        case = fault_case(log, farm, next(one for one in log.faults if one.closed_at is None))
    order = place_order(case.suspects)
    assert order is not None
    chance: dict[str, float] = {}
    for one in case.suspects.ranked():
        if one.node in order.places:
            assert one.node is not None
            chance[one.node] = chance.get(one.node, 0.0) + one.chance
    minutes = {
        name: min(check.minutes for check in checks_for(case.circuit) if check.node == name) for name in order.places
    }
    total = sum(chance.values())

    def takes(places: tuple[str, ...]) -> float:
        spent = np.cumsum([minutes[name] for name in places])
        spent[-1] = spent[-2]
        return float(sum(chance[name] / total * one for name, one in zip(places, spent, strict=True)))

    assert order.minutes == pytest.approx(takes(order.places), rel=1e-12)
    names = list(order.places)
    for one, other in combinations(range(len(names)), 2):
        swapped = names.copy()
        swapped[one], swapped[other] = names[other], names[one]
        assert takes(tuple(swapped)) >= order.minutes * (1 - 1e-12)
    for last in names:
        assert takes((*(name for name in names if name != last), last)) >= order.minutes * (1 - 1e-12)
    assert order.minutes <= order.likeliest_first_minutes
    assert order.bits <= order.fewest_checks < order.bits + 1


def test_alone_the_best_number_is_that_of_least_cost(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    tried = 0
    for row in view.found.spares:
        need = view.needs[row.need]
        if need.spare is None or need.spare.overage_minor <= 0 or need.spare.shortage_minor <= 0:
            continue
        found = best_alone(need, row)
        assert found is not None
        singly = type(need.spare)(
            need.spare.price_minor, 0, 1, need.spare.overage_minor, need.spare.shortage_minor, 0.0
        )
        costs = costs_by_packs(singly, row.demand)
        assert found.expected_cost == pytest.approx(float(costs.min()), rel=1e-9)
        assert costs[int(found.level)] == pytest.approx(float(costs.min()), rel=1e-9)
        tried += 1
    assert tried > 10


def test_a_rate_known_for_sure_gives_a_poisson_demand() -> None:
    """A gamma of a huge shape is a number; the negative binomial must not lose its digits on the way there."""
    known = gamma_poisson(1e12, 1e12, 3.0)
    wanted = poisson(3.0).chance
    assert known.size == wanted.size
    assert np.abs(known - wanted).max() < 1e-12
    near = gamma_poisson(1e8, 1e8, 3.0)
    assert np.abs(near[:20] - wanted[:20]).max() < 1e-6
