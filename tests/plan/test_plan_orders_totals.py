"""The order list and the sums of a plan."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog.errors import DataError
from wearlog.plan.orders import Article, Need, order_list
from wearlog.plan.spares import SpareAdvice
from wearlog.plan.totals import ReplaceLines, plan_totals

SECTIONS = Article("Elm Street Parts", 4_25, 10, 3)
CHAIN = Article("Northside", 310_00, 1, 0)
BELT = Article("", None, 1, 0)


def test_lines_are_grouped_by_supplier_in_whole_packs_with_sums() -> None:
    orders = order_list([SECTIONS, CHAIN, BELT], [Need(0, 8, 12), Need(1, 1), Need(2, 0, 2), Need(1, 0, 1)])
    assert [order.supplier for order in orders.orders] == ["Elm Street Parts", "Northside", ""]
    sections = orders.orders[0].lines[0]
    assert (sections.needed, sections.packs, sections.units, sections.sum_minor) == (20, 2, 20, 85_00)
    assert orders.orders[1].lines[0].units == 2
    assert orders.sum_minor == 85_00 + 620_00
    assert orders.without_price == 1


def test_what_is_on_hand_is_not_ordered() -> None:
    assert order_list([SECTIONS], [Need(0, 1, 2)]).orders == ()
    assert order_list([], []).sum_minor == 0


@given(
    st.lists(st.tuples(st.sampled_from("AB"), st.integers(0, 900), st.integers(1, 9), st.integers(0, 20)), max_size=6),
    st.data(),
)
def test_every_need_is_met_with_less_than_a_pack_to_spare(
    rows: list[tuple[str, int, int, int]], data: st.DataObject
) -> None:
    articles = [Article(*row) for row in rows]
    places = st.integers(0, max(len(rows) - 1, 0))
    needs = (
        data.draw(st.lists(st.builds(Need, places, st.integers(0, 9), st.integers(0, 9)), max_size=8)) if rows else []
    )
    ordered = {line.part: line for order in order_list(articles, needs).orders for line in order.lines}
    total = 0
    for part, article in enumerate(articles):
        wanted = sum(need.for_replacement + need.for_stock for need in needs if need.part == part)
        units = ordered[part].units if part in ordered else 0
        assert article.on_hand + units >= wanted
        assert units == 0 or article.on_hand + units - wanted < article.pack_size
        total += units * (article.price_minor or 0)
    assert order_list(articles, needs).sum_minor == total


def test_orders_that_make_no_sense_are_refused() -> None:
    with pytest.raises(DataError, match="not there"):
        order_list([SECTIONS], [Need(1, 1)])
    with pytest.raises(DataError, match="pack holds at least one"):
        order_list([Article("", 1, 0, 0)], [Need(0, 1)])


def advice(spend: int, run_out: float) -> SpareAdvice:
    return SpareAdvice(0, 1.0, 1, 1, spend, run_out, 0.5, 30_00)


def test_a_plan_adds_up() -> None:
    lines = ReplaceLines(
        np.array([100_00, 200_00]),
        np.array([80_00, -10_00]),
        np.array([3_600, 7_200]),
        np.array([0.5, 0.25]),
        np.array([0.125, 0.125]),
        np.array([2.0, 4.0]),
    )
    totals = plan_totals(lines, np.array([True, False]), [advice(20_00, 0.1), advice(0, 0.5)])
    assert (totals.replace_minor, totals.spares_minor, totals.spend_minor) == (100_00, 20_00, 120_00)
    assert totals.saving_minor == 80_00 + 60_00
    assert totals.shop_seconds == 3_600
    assert (totals.stops, totals.stops_avoided, totals.hours_down) == (0.375, 0.375, 1.25)
    assert totals.hours_for_want_of_parts == 1.0
    assert totals.stop_free_chance == pytest.approx(0.45)
    with pytest.raises(DataError, match="do not fit"):
        plan_totals(lines, np.array([True]), [])
