"""What the screens of the plan and of a fault show in words: rows, sums, the drawing with its chances, a narrow checklist."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from tests.farm_fixtures import demo_file, demo_store
from tests.planned_choices import within
from wearlog.exchange.season_report.content import write_report
from wearlog.facts.closed_lists import CheckKind, Choice
from wearlog.facts.farm_settings import FarmSettings
from wearlog.plan.budget import Limits
from wearlog.present.digits import Measures
from wearlog.present.faults.drawing_sheet import drawn_nodes
from wearlog.present.faults.fault_case_words import case_json
from wearlog.present.faults.fault_page import case_page
from wearlog.present.faults.fault_sheet import fault_sentence, fault_sheet
from wearlog.present.faults.fault_trail_sheet import count_lines, ordinal, trail_page
from wearlog.present.faults.suspect_sheet import checklist_sheet, checklist_told
from wearlog.present.plan.plan_page import (
    parts_left_out,
    plan_json,
    plan_lines_of_page,
    pushed_out_sentence,
    stops_sentence,
)
from wearlog.present.plan.plan_shown import plan_page, plan_sums, why_page
from wearlog.present.plan.plan_words import line_name
from wearlog.present.plan.spare_sheet import spare_sheet
from wearlog.present.sheet_faces import table_lines
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.faults.fault_case import advise, fault_case
from wearlog.reckoning.faults.fault_list import fault_lines
from wearlog.reckoning.faults.fault_log import read_fault_log
from wearlog.reckoning.faults.fault_trail import trail_of
from wearlog.reckoning.plan.season_plan import season_plan
from wearlog.reckoning.plan.toggle import pushed_out_by, sums_at_once
from wearlog.reckoning.yard.yard_view import yard_view
from wearlog.store.opening import Store
from wearlog.tui.screens.plan.plan_lists import plan_source

__all__ = ["demo_file", "demo_store"]
WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)
MEASURES = Measures(FarmSettings())


def test_the_rows_of_a_plan_say_its_marks_and_the_sums_say_too_much(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    page = plan_page(view, view, None, MEASURES)
    assert page.harvest_year == 2027
    assert {page.lines.cells(row)[0] for row in page.lines.rows} == {"[x]", "[ ]"}
    rows = sorted(page.rows.values(), key=lambda row: row.number)
    assert not any(row.changed for row in rows)
    assert [bool(row.done) for row in rows] == [bool(done) for done in view.found.replaced]
    assert sum(len(sheet.rows) for sheet in page.orders) == sum(len(one.lines) for one in view.found.orders.orders)
    assert page.sums.pay.endswith("of 6,000 USD")
    assert plan_page(view, view, None, MEASURES, settling=True).bound == "Spending the rest of the money anew ..."
    # what is chosen by hand stands whatever it costs, and the sum says so
    assert plan_sums(within(view, Limits(100_00)), MEASURES).pay.endswith("of 100 USD TOO MUCH")
    plover = next(at for at, line in enumerate(view.lines) if line_name(line) == "Plover knife sections")
    heading, sentences = why_page(view, plover, MEASURES)
    assert heading == "Plover knife sections: replace"
    assert any(sentence.startswith("Chance that the most worn one fails") for sentence in sentences)


def test_a_saving_and_a_cost_are_each_called_by_their_name(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))

    def said(by_replacing: int, by_parts: int) -> str:
        totals = replace(
            view.found.totals, saving_by_replacing_minor=by_replacing, saving_minor=by_replacing + by_parts
        )
        return plan_sums(replace(view, found=replace(view.found, totals=totals)), MEASURES).saving

    assert said(1_111_00, 32_283_00) == "saves 1,111 USD by replacing, 32,283 USD by not waiting for parts"
    assert said(-1_111_00, 32_283_00) == "costs 1,111 USD more by replacing, saves 32,283 USD by not waiting for parts"
    assert said(1_111_00, -5_00) == "saves 1,111 USD by replacing, costs 5 USD more by waiting for parts"


def test_the_spares_are_the_same_on_the_page_the_screen_and_the_report(demo_store: Store, tmp_path: Path) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    lines = plan_lines_of_page(view, None, MEASURES)
    start = lines.index("SPARES TO CARRY") + 3
    page = [line.split()[0] for line in lines[start : lines.index("", start)] if not line.startswith("  Of ")]
    source = plan_source("spares", plan_page(view, view, None, MEASURES), show_all=False)
    screen = [row.cells[0] for row in source.rows if not row.heading]
    paper = write_report(demo_store, WINTER, tmp_path / "plan.html", view).read_text("utf-8")
    carried = paper[paper.index("<h2>Spares to carry") :]
    carried = carried[: carried.index("<h2>", 1)]
    assert page == screen == re.findall(r"<tr><td[^>]*>([^<]*)</td>", carried)
    assert len(page) < len(view.found.spares)
    more = len(view.found.spares) - len(page)
    assert f"  Of {more} parts more there is enough; --all shows them." in lines
    assert f"Of {more} parts more there is enough." in carried
    # what being without one costs stands only where nothing is cut for it
    sheet = spare_sheet(view, MEASURES)
    assert ["without one" in table_lines(sheet, wide)[0] for wide in (98, 140)] == [False, True]
    assert source.rows[-1].cells == (f"Of {more} parts more there is enough; m shows them.",)


def test_the_lines_are_the_same_on_the_page_the_screen_and_the_report(demo_store: Store, tmp_path: Path) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    shown = plan_page(view, view, None, MEASURES)
    text = plan_lines_of_page(view, None, MEASURES)
    first = next(at for at, line in enumerate(text) if line.startswith("  ---")) + 1
    page = [line.split("]")[1].split("  ")[1].rstrip("…") for line in text[first : text.index("", first) - 1]]
    source = plan_source("lines", shown, show_all=False)
    screen = [row.cells[1] for row in source.rows if not row.heading]
    paper = write_report(demo_store, WINTER, tmp_path / "plan.html", view).read_text("utf-8")
    table = paper[paper.index("<h2>Before the season") : paper.index("<h2>Spares to carry")]
    assert screen == re.findall(r"<tr><td[^>]*>\[[ x]\]</td><td[^>]*>([^<]*)</td>", table)
    assert [name[: len(cut)] for name, cut in zip(screen, page, strict=True)] == page
    told = plan_json(view, None, MEASURES)
    more = len(told["replace"]) - len(page)
    said = f"{more} components more are best run as they are"
    assert f"  {said}; --all shows them." in text
    assert f"{said}." in table
    assert [row.cells[0] for row in source.rows if row.heading] == [
        f"{said}; m shows them.",
        f"Of {len(told['undecided'])} components the figures say nothing; m shows them.",
    ]
    # each line is either weighed or told to be undecided
    assert len(told["replace"]) + len(told["undecided"]) == len(view.lines)


def test_a_choice_makes_the_words_of_its_own_line_anew_and_no_others(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    before = plan_page(view, view, None, MEASURES)
    chosen = next(row for row in before.lines.rows if not row.done and row.line.by_hand is None)
    then = sums_at_once(view, view, {chosen.component_id: Choice.REPLACE})
    after = plan_page(then, view, None, MEASURES, settling=True, before=before)
    # more work begins earlier, so that the parts of the other work must be ordered earlier, too
    earlier = {one for one, row in after.rows.items() if row.order != before.rows[one].order}
    assert len(earlier) < len(after.rows) / 2
    assert all(row.order.for_work for one, row in after.rows.items() if one in earlier and row.order is not None)
    changed = {chosen.component_id} | earlier
    assert {one for one, row in after.rows.items() if row is not before.rows[one]} == changed
    anew = [row for row in after.lines.rows if after.lines.cells(row) is not before.lines.made.get(row)]
    assert {row.component_id for row in anew} == changed
    (by_hand,) = (row for row in anew if row.component_id == chosen.component_id)
    assert after.lines.cells(by_hand)[-1] == "by hand *"
    # what is taken over is what would be made
    assert [after.lines.cells(row) for row in after.lines.rows] == [
        tuple(column.cell(row, MEASURES) for column in after.lines.shown) for row in after.lines.rows
    ]


def test_a_choice_that_costs_nothing_saves_no_more_and_while_the_money_is_spent_anew_nothing_is_said_of_it(
    demo_store: Store,
) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    left_out = next(at for at in range(len(view.lines)) if pushed_out_by(view, at) is not None)
    assert " would save 0 " not in pushed_out_sentence(view, left_out, MEASURES)
    _, settled = why_page(view, left_out, MEASURES)
    _, settling = why_page(view, left_out, MEASURES, settling=True)
    assert settled[0].startswith("Left out: ")
    assert settling[0].startswith("The rest of the money was being spent anew")
    assert settling[1:] == settled[1:]


def test_the_failures_say_how_many_parts_they_leave_out(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    ages, lives = parts_left_out(view)
    assert ages == sum(len(line.unknown) for line in view.lines if line.nodes is not None) > 0
    assert f" and those of {ages + lives} parts of unknown age or life, " in plan_sums(view, MEASURES).stops
    assert f"Left out: {ages} parts of unknown age (about " in stops_sentence(view)
    assert plan_json(view, None, MEASURES)["parts_of_unknown_age"] == ages


def test_the_page_of_a_fault_draws_what_is_in_question_with_its_chances(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        farm, log = farm_from(connection, WINTER), read_fault_log(connection)
    case = fault_case(log, farm, next(fault for fault in log.faults if fault.closed_at is None))
    page = case_page(case, advise(case, most=1), MEASURES)
    assert page.step is not None
    # near 120 ohm the screen is asked first which controllers it still sees
    assert (page.step.kind, page.step.node) == (CheckKind.TRY_IT, "Cab controller")
    assert page.cautions[0].startswith("Stop the engine")
    assert page.cautions[3].startswith("Never bridge a fuse and never fit a larger one")
    assert page.cautions[-1].startswith("The machine's own book")
    shown, whole = {one.node for one in page.drawing.rows}, [one.node for one in page.whole.rows]
    assert sorted(whole) == sorted(node.name for node in case.circuit.nodes)
    assert {one.node for one in page.whole.rows if one.percent} <= shown < set(whole)
    assert "Reel lift valve" not in shown
    likeliest = max(page.drawing.rows, key=lambda one: one.chance)
    assert (likeliest.node, likeliest.percent) == ("Data line rear", "48 %")
    # each line of a drawing is its node's
    assert all(one.node in one.line for one in drawn_nodes(case.circuit))


def test_a_trail_has_its_times_its_count_and_every_checklist(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        farm, log = farm_from(connection, WINTER), read_fault_log(connection)
        trail = trail_of(connection, log, farm, log.faults[8])
    lines = trail_page(trail, MEASURES)
    assert lines[0] == "Tamarack: header fuse blows when the header moves, for the 4th time"
    assert lines[1].endswith("that it has held")
    assert "9. 3 Aug 2025: after 346 quiet hours, checked 3, found at 4: Header plug pigtail, short to ground" in lines
    assert count_lines(trail, MEASURES) == [
        "COUNT SO FAR: 4 times",
        "  2022 ████ 1 (+1)",
        "  2023 ████████ 2 (+1)",
        "  2024 ████████████ 3 (+1)",
        "  2025 ████████████████ 4 (+1)",
    ]
    assert checklist_told(checklist_sheet(trail.times[2], MEASURES)) == [
        "1. look at Fuse 5 header: BAD, 5 min",
        "   expected whole; seen charred",
        "2. look at Header plug: UNCLEAR, 8 min",
        "   expected dry and bright; seen damp, no damage",
    ]


def test_a_fault_is_counted_alike_on_the_list_the_yard_its_case_and_its_trail(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        farm, log = farm_from(connection, WINTER), read_fault_log(connection)
        listed = {line.fault.id: line for line in fault_lines(connection, farm)}
        yard = {line.fault.id: line for line in yard_view(connection, farm).faults}
        trails = {fault.id: trail_of(connection, log, farm, fault) for fault in log.faults}
    names = {machine.id: machine.name for machine in farm.machines}
    for fault in log.faults:
        line, case, times = listed[fault.id], fault_case(log, farm, fault), trails[fault.id].times
        assert line.number == case.number == log.number(fault)
        assert (line.nth, line.of) == (len(case.before) + 1, len(times))
        assert [one.fault.id for one in times][line.nth - 1] == fault.id
        assert case_json(case)["episode"] == line.nth
        assert f"for the {ordinal(line.nth)} time" in case_page(case, None, MEASURES).about or line.nth == 1
        if fault.closed_at is None:
            assert fault_sentence(yard[fault.id], names, MEASURES) == fault_sentence(line, names, MEASURES)
    assert max(line.of for line in listed.values()) == 4
    assert set(yard) == {fault.id for fault in log.faults if fault.closed_at is None}


def test_the_next_check_names_its_own_chance_and_that_of_the_place_and_says_why_a_likelier_one_waits(
    demo_store: Store,
) -> None:
    with demo_store.reading() as connection:
        log, farm = read_fault_log(connection), farm_from(connection, WINTER)
        case = fault_case(log, farm, next(one for one in log.faults if one.closed_at is None))
    # behind the screen that is asked first, and the terminator that is measured then
    advice = advise(case, most=5)
    place = next(at for at, step in enumerate(advice.steps) if step.check and step.check.kind is CheckKind.CONTINUITY)
    page = case_page(case, replace(advice, steps=advice.steps[place:]), MEASURES)
    assert page.step is not None
    chances = {one.node: one.percent for one in page.drawing.rows if one.percent}
    here, likeliest = page.step.node, max(chances, key=lambda node: int(chances[node].removesuffix(" %")))
    assert likeliest != here
    said, why = page.step.why.split(". ")
    assert said.startswith("15 % that this check reads bad, likeliest then: Data line front")
    assert why.startswith(
        f"The fault sits here with {chances[here]}, {likeliest} with {chances[likeliest]}, but a check there takes"
    )
    assert "not linked with 4 Aug 2024 of the same name" in page.about


def test_two_faults_of_one_name_that_are_not_linked_say_so_in_the_list(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        farm = farm_from(connection, WINTER)
        lines = fault_lines(connection, farm)
    names = {machine.id: machine.name for machine in farm.machines}
    sheet = fault_sheet(lines, names, MEASURES)
    came = [column.title for column in sheet.shown].index("came")
    title = "controllers drop off the data line"
    twins = [line for line in lines if line.fault.title == title]
    assert [sheet.cells(line)[came] for line in twins] == ["apart", "apart"]
    assert sheet.about(twins[0], MEASURES).endswith(
        "Not linked with 4 Aug 2024 of the same name: other signs or places."
    )
    others = {sheet.cells(line)[came] for line in lines if line not in twins}
    assert others == {"once", "1 of 4", "2 of 4", "3 of 4", "4 of 4"}
