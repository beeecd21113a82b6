"""What came of which order, how long it took, and how often the days said hold."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import UUID

import numpy as np
import pytest

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.parts import PartOrder, StockMove
from wearlog.plan.orders import lead_time
from wearlog.reckoning.parts.deliveries import deliveries

PART, OTHER = UUID(int=7 << 76 | 1), UUID(int=7 << 76 | 2)
MONDAY = datetime(2026, 3, 2, 8, tzinfo=UTC)


def order(days: float, quantity: int = 10, part: UUID = PART, cancelled: float | None = None) -> PartOrder:
    ended = None if cancelled is None else MONDAY + timedelta(days=cancelled)
    at = MONDAY + timedelta(days=days)
    return PartOrder(part_id=part, quantity=quantity, ordered_at=at, cancelled_at=ended)


def came(days: float, quantity: int = 10, part: UUID = PART, of: PartOrder | None = None) -> StockMove:
    at = MONDAY + timedelta(days=days)
    named = None if of is None else of.id
    return StockMove(part_id=part, at=at, change=StockChange.RECEIVED, quantity=quantity, part_order_id=named)


def test_a_receipt_fills_the_oldest_order_of_its_part() -> None:
    first, second, other = order(0), order(2), order(0, part=OTHER)
    found, still = deliveries([second, other, first], [came(3), came(7)])
    assert {one.order.id: one.days for one in found} == {first.id: 3.0, second.id: 5.0}
    assert [(one.order.id, one.missing) for one in still] == [(other.id, 10)]


def test_what_comes_in_two_counts_by_the_first_and_fills_what_is_missing() -> None:
    one, next_one = order(0), order(1)
    found, still = deliveries([one, next_one], [came(3, 6), came(8, 6)])
    assert {each.order.id: each.days for each in found} == {one.id: 3.0, next_one.id: 7.0}
    assert [(each.order.id, each.missing) for each in still] == [(next_one.id, 8)]


def test_a_receipt_that_names_its_order_goes_there_and_nowhere_else() -> None:
    one, later = order(0), order(1)
    found, still = deliveries([one, later], [came(4, of=later)])
    assert [(each.order.id, each.days) for each in found] == [(later.id, 3.0)]
    assert [each.order.id for each in still] == [one.id]


def test_a_receipt_before_its_order_and_one_after_it_was_cancelled_tell_no_time() -> None:
    found, still = deliveries([order(5)], [came(3)])
    assert (found, len(still)) == ([], 1)
    found, still = deliveries([order(0, cancelled=2)], [came(3)])
    assert (found, still) == ([], [])


@pytest.mark.parametrize(("quoted", "spread"), [(3.0, 0.35), (10.0, 0.2)])
def test_nine_in_ten_of_simulated_orders_are_there_by_the_day_that_is_said(quoted: float, spread: float) -> None:
    """Truth from the belief itself: quoted counts as two deliveries; the next order is there by its day in .90 (s.e. .0055)."""
    random = np.random.default_rng(19)
    within = 0
    for _ in range(3_000):
        # the precision of the logarithm is Gamma(2, 2 x .35^2), its mean about the quoted one with a half of the variance
        variance = 2 * 0.35**2 / random.gamma(2.0)
        middle = np.log(quoted) + np.sqrt(variance / 2) * random.standard_normal()
        took = np.exp(middle + np.sqrt(variance) * random.standard_normal(1 + int(10 * spread)))
        within += took[-1] <= lead_time(took[:-1], quoted).days(0.9)
    assert within / 3_000 == pytest.approx(0.9, abs=0.0165)
