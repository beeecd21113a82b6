"""What the screens of the plan and of a fault show in words: rows, sums, the drawing with its chances, a narrow checklist."""

from __future__ import annotations

from datetime import UTC, datetime

from tests.farm_fixtures import demo_file, demo_store
from wearlog.facts.closed_lists import CheckKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.plan.budget import Limits
from wearlog.present.digits import Measures
from wearlog.present.fault_page import case_page, drawn_nodes
from wearlog.present.fault_trail_page import checklist_told, count_lines, trail_page
from wearlog.present.plan_rows import plan_page, plan_sums, why_page
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.fault_case import advise, fault_case
from wearlog.reckoning.fault_log import read_fault_log
from wearlog.reckoning.fault_trail import trail_of
from wearlog.reckoning.season_plan import season_plan, with_limits
from wearlog.store.opening import Store

__all__ = ["demo_file", "demo_store"]
WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)
MEASURES = Measures(FarmSettings())


def test_the_rows_of_a_plan_say_its_marks_and_the_sums_say_too_much(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    page = plan_page(view, view, None, MEASURES)
    assert page.harvest_year == 2027
    assert {row.cells[0] for row in page.lines} == {"[x]", "[ ]"}
    assert not any(row.changed for row in page.lines)
    assert [row.in_plan for row in page.lines] == [bool(done) for done in view.found.replaced]
    assert sum(len(block.rows) for block in page.orders) == sum(len(one.lines) for one in view.found.orders.orders)
    assert page.sums.pay.endswith("of 6,000 USD")
    assert plan_page(view, view, None, MEASURES, settling=True).bound == "Spending the rest of the money anew ..."
    # what is chosen by hand stands whatever it costs, and the sum says so
    assert plan_sums(with_limits(view, Limits(100_00)), MEASURES).pay.endswith("of 100 USD TOO MUCH")
    heading, sentences = why_page(view, 0, MEASURES)
    assert heading == "Merlin knife sections: replace, but left out for want of money or shop hours"
    assert any(sentence.startswith("Chance that the weakest one fails") for sentence in sentences)


def test_the_page_of_a_fault_draws_what_is_in_question_with_its_chances(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        farm, log = farm_from(connection, WINTER), read_fault_log(connection)
    case = fault_case(log, farm, next(fault for fault in log.faults if fault.closed_at is None))
    page = case_page(case, advise(case, most=1), MEASURES)
    assert page.step is not None
    assert (page.step.kind, page.step.node) == (CheckKind.CONTINUITY, "Data line front")
    assert page.cautions[0].startswith("Stop the engine")
    assert page.cautions[3].startswith("Never bridge a fuse and never fit a larger one")
    assert page.cautions[-1].startswith("The machine's own book")
    shown, whole = {one.node for one in page.drawing}, [one.node for one in page.whole]
    assert sorted(whole) == sorted(node.name for node in case.circuit.nodes)
    assert {one.node for one in page.whole if one.percent} <= shown < set(whole)
    assert "Reel lift valve" not in shown
    likeliest = max(page.drawing, key=lambda one: int(one.percent.split()[0]) if one.percent else 0)
    assert (likeliest.node, likeliest.likely) == ("Data line rear", True)
    # each line of a drawing is its node's
    assert all(one.node in one.line for one in drawn_nodes(case.circuit))


def test_a_trail_has_its_times_its_count_and_every_checklist(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        farm, log = farm_from(connection, WINTER), read_fault_log(connection)
        trail = trail_of(connection, log, farm, log.faults[8])
    lines = trail_page(trail, MEASURES)
    assert lines[0] == "Tamarack: header fuse blows when the header moves, for the 4th time"
    assert lines[1].endswith("that it has held")
    assert "9. 2025-08-03: after 325 quiet hours, checked 3, found at 4: Header plug pigtail, short to ground" in lines
    assert count_lines(trail, MEASURES) == [
        "COUNT SO FAR: 4 times",
        "  2022 ████ 1 (+1)",
        "  2023 ████████ 2 (+1)",
        "  2024 ████████████ 3 (+1)",
        "  2025 ████████████████ 4 (+1)",
    ]
    assert checklist_told(trail.times[2]) == [
        "1. look at Fuse 5 header: BAD, 5 min",
        "   expected whole; seen charred",
        "2. look at Header plug: UNCLEAR, 6 min",
        "   expected dry and bright; seen damp, no damage",
    ]
