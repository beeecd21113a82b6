"""The season plan on the screens: a choice shows its sums at once, saved as one entry; why; spares; orders written and received."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import assert_snapshot, flat, play, press, rows, screen_lines, screen_text, settled
from tests.tui.test_screens_faults import SIZES, keep
from tests.tui.writing import Text, enter
from wearlog.facts.closed_lists import Choice, StockChange
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import StockMove
from wearlog.facts.work import PlanChoice, SeasonPlan
from wearlog.present.digits import Measures
from wearlog.present.plan.plan_list import short_names
from wearlog.present.wear.wear_sheet import wear_columns
from wearlog.reckoning.wear.season_ahead import SeasonAhead, TakenFrom
from wearlog.tui.app import Screens
from wearlog.tui.screens.plan.season_plan import SeasonPlanScreen
from wearlog.tui.screens.wear import KindScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.list_rows import column_widths, list_columns
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]


def plan(screens: Screens) -> SeasonPlanScreen:
    """The open plan."""
    assert isinstance(screens.screen, SeasonPlanScreen)
    return screens.screen


def test_a_choice_changes_the_sums_at_once_and_is_saved_as_one_entry(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6")
        page = plan(screens).page
        assert page is not None
        before = page.sums
        assert "of 6,000 USD" in before.pay
        await keep(screens, pilot, "season_plan")
        # two lines that are left out: the first of the list, and another one further down
        shown = page.lines.short().rows
        first = next(at for at, row in enumerate(shown) if not row.done)
        down = next(at for at, row in enumerate(shown) if at > first and not row.done and row.line.by_hand is None)
        await press(pilot, *["down"] * down, "space")
        after = plan(screens).page
        assert after is not None
        assert (after.sums.pay, after.sums.stops, after.sums.saving) != (before.pay, before.stops, before.saving)
        row = next(line for line in screen_lines(screens) if line.startswith(">"))
        assert row.startswith(f">[x] {short_names(page.lines.rows)[shown[down].component_id]}")
        assert row.rstrip("▁▂▃▄▅▆▇█ ").endswith("by hand *")
        # the second time it is as it was saved
        await press(pilot, "space")
        assert plan(screens).page.sums == before  # type: ignore[union-attr]
        await enter(pilot, "space", *["up"] * (down - first), "space", "ctrl+s")
        assert "Saved: the plan for 2027: 2 to replace." in flat(screens)
        assert "*" not in screen_text(screens)
        chosen = {(one.component_id, one.choice) for one in rows(demo_log, PlanChoice) if one not in kept}
        assert chosen == {(shown[at].component_id, Choice.REPLACE) for at in (first, down)}
        await press(pilot, "u")
        assert rows(demo_log, PlanChoice) == kept
        assert plan(screens).page.sums == before  # type: ignore[union-attr]

    kept = rows(demo_log, PlanChoice)
    play(demo_log, steps)


def test_a_key_that_comes_before_its_answer_is_kept_or_refused_aloud(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        # the answer waits at the door of the log until every key was pressed, however fast the machine is
        with screens.gateway.door._lock:
            await pilot.press("6")
            await pilot.pause()
            assert plan(screens).page is None
            # done in their order when the lines are here
            await pilot.press("down", "space", "ctrl+s")
            await pilot.pause(0.5)
            assert plan(screens).page is None
            assert "One moment: what you press is kept." in screen_text(screens)
        await settled(pilot)
        (chosen,) = (one for one in rows(demo_log, PlanChoice) if one not in kept)
        # the second line was chosen by hand to be replaced: it runs on now
        (first,) = (one for one in kept if (one.season_plan_id, one.choice) == (chosen.season_plan_id, Choice.REPLACE))
        assert (chosen.component_id, chosen.choice) == (first.component_id, Choice.RUN)
        assert chosen.positions
        assert "Saved: the plan for 2027: chose to " in flat(screens)

    kept = rows(demo_log, PlanChoice)
    play(demo_log, steps)


def test_what_is_in_no_figure_is_never_cut_off() -> None:
    nothing = np.zeros((1, 4))
    ahead = SeasonAhead(None, TakenFrom.NOTHING, (), nothing, nothing[:, :3], 0.0)
    seen = [column for column in wear_columns({}, ahead) if column.is_shown]
    kinds = list_columns(seen, Measures(FarmSettings()))
    for wide in (44, 46, 78, 80, 120):
        shown = {kinds[place].title: cells for place, cells in column_widths(kinds, wide)}
        assert shown.get("break", 10) >= len("<0.1 +160?")
    # two cells of a row stand before its columns; the life and what it rests on are the last to go
    phone = {kinds[place].title: cells for place, cells in column_widths(kinds, 46 - 2)}
    assert list(phone) == ["part", "half last", "known from"]
    assert phone["half last"] >= len("16,200-22,600 ac")
    assert sum(phone.values()) + len(phone) - 1 == 46 - 2


def test_what_was_not_saved_can_be_dropped_and_nothing_is_saved_without_a_choice(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6", "ctrl+s")
        assert "There is no choice to save" in screen_text(screens)
        before = plan(screens).page
        await enter(pilot, "space", "escape")
        assert "Dropped; the plan is as it was saved." in screen_text(screens)
        assert plan(screens).page.sums == before.sums  # type: ignore[union-attr]
        # the figures decide again on what was chosen by hand before
        rows_list = plan(screens).query_one("#rows")
        by_hand = next(one for one in before.lines.rows if one.line.by_hand is Choice.REPLACE)  # type: ignore[union-attr]
        rows_list.move_to_key(by_hand.component_id)  # type: ignore[attr-defined]
        await enter(pilot, "x")
        row = plan(screens).page.rows[by_hand.component_id]  # type: ignore[union-attr]
        assert (row.line.by_hand, row.changed, row.done) == (None, True, ())

    play(demo_log, steps)


def test_enter_shows_why_with_what_it_rests_on(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6", "down", "down", "down", "enter")
        text = flat(screens)
        assert screen_lines(screens)[1].startswith(" Merlin knife sections: replacing 156 of 160 would save ")
        assert "Left out: putting it in within these limits would push out" in text
        assert "▲ CARE key out header on its stop" in text
        assert re.search(r"half last [\d,]+ ac \(90 % sure: [\d,]+ to [\d,]+ ac\)", text)
        assert "worst one fails in 2027 20 %" in text
        await keep(screens, pilot, "plan_why")
        # the line after it, and back; the cautions whole
        await press(pilot, "n")
        assert "Merlin knife sections" not in screen_lines(screens)[1]
        await press(pilot, "N", "exclamation_mark")
        assert "Turn the knife by hand from its drive only" in flat(screens)
        await press(pilot, "escape", "end")
        # the framework glides there
        for _ in range(100):
            if "WHAT THE PLAN IS RECKONED FROM" in screen_text(screens):
                break
            await pilot.pause(0.02)
        assert "WHAT THE PLAN IS RECKONED FROM" in screen_text(screens)
        await enter(pilot, "escape", "down", "down", "down", "down", "down", "down", "down", "down", "down", "m")
        lines = plan(screens).page.lines  # type: ignore[union-attr]
        either = next(row for row in lines.rows if lines.cells(row)[-1] == "unsure")
        assert "It may save nothing: unsure." in lines.about(either, lines.measures)

    play(demo_log, steps)


def test_what_was_chosen_by_hand_and_loses_is_in_sight_and_says_so(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6")
        assert next(line for line in screen_lines(screens) if line.startswith(">")).startswith(">[x] Plover")
        await press(pilot, "down")
        row = next(line for line in screen_lines(screens) if line.startswith(">"))
        assert row.startswith(">[x] Alder rasp bars")
        assert "-1,933" in row
        assert "by hand" in row
        # taken out it stays under the key until that is saved
        await enter(pilot, "space")
        assert next(line for line in screen_lines(screens) if line.startswith(">")).startswith(">[ ] Alder rasp bars")
        await enter(pilot, "escape", "right", "right", "right")
        buys = plan(screens).page.money[0]  # type: ignore[union-attr]
        loses = next(one for one in buys.rows if one.by_hand)
        for wide, high in ((46, 20), (80, 24)):
            await pilot.resize_terminal(wide, high)
            plan(screens).query_one(WindowedList).move_to_key(buys.key_of(loses))
            await settled(pilot)
            (bars,) = (line for line in screen_lines(screens) if "rasp bars" in line and "-1,933" in line)
            assert bars.rstrip("▁▂▃▄▅▆▇█ ").endswith("by hand" if wide == 46 else "chosen by hand")

    play(demo_log, steps)


def test_money_and_shop_hours_are_typed(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6", "l")
        assert "MONEY AND SHOP HOURS OF 2027" in screen_text(screens)
        await enter(pilot, Text("12,000"), "down", Text("none"), "down")
        assert "Enter saves: the plan for 2027: 12,000.00 USD for parts, no limit in the shop" in screen_text(screens)
        await enter(pilot, "ctrl+s")
        assert "of 12,000" in screen_text(screens)

    play(demo_log, steps)
    (found,) = rows(demo_log, SeasonPlan)
    assert (found.budget_minor, found.shop_seconds) == (12_000_00, None)


def test_spares_and_orders_are_shown_written_and_received(demo_log: str, tmp_path: Path) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6", "right")
        assert any(line.startswith(">QF-") for line in screen_lines(screens))
        assert "without one" in flat(screens)
        await keep(screens, pilot, "plan_spares")
        await enter(pilot, "right")
        assert "Hollow Road Parts: " in screen_text(screens)
        await keep(screens, pilot, "plan_orders")
        await enter(pilot, "s")
        assert "Enter saves: the order as one workbook" in flat(screens)
        await enter(pilot, "enter", "s", "ctrl+s", "s", "right", "ctrl+s", "s", "left", "ctrl+s")
        assert "Wrote" in screen_text(screens)
        order = plan(screens).page.orders[0]  # type: ignore[union-attr]
        pieces = {one.number: one.pieces for one in order.rows}
        await enter(pilot, "+")
        assert f"Saved: received {sum(pieces.values()):,} pieces of {len(pieces)} parts, 20 Nov 2026 12:00." in flat(
            screens
        )
        came = [one for one in rows(demo_log, StockMove) if one.change is StockChange.RECEIVED and one not in before]
        assert sorted(one.quantity for one in came) == sorted(pieces.values())
        assert all(one.note.startswith("order 2027-") for one in came)
        await enter(pilot, "u")
        assert [one for one in rows(demo_log, StockMove) if one not in before] == []

    before = rows(demo_log, StockMove)
    play(demo_log, steps)
    # the second workbook does not write over the first: pieces may have been corrected in it
    assert {one.name for one in tmp_path.glob("*2027*")} == {
        "order-2027.xlsx",
        "order-2027-2.xlsx",
        "order-2027",
        "plan-2027.html",
    }
    assert len(list((tmp_path / "order-2027").glob("order-*.csv"))) == 2


def test_enter_on_spares_orders_and_money_opens_what_the_row_is_about(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6", "right")
        number = next(line for line in screen_lines(screens) if line.startswith(">"))[1:].split()[0]
        await enter(pilot, "enter")
        assert "CHANGE A PART" in screen_text(screens)
        assert number in flat(screens)
        await enter(pilot, "escape", "right")
        number = next(line for line in screen_lines(screens) if line.startswith(">"))[1:].split()[0]
        await enter(pilot, "enter")
        assert "CHANGE A PART" in screen_text(screens)
        assert number in flat(screens)
        await enter(pilot, "escape", "right")
        assert "THE MONEY BUYS" in screen_text(screens)
        name = next(line for line in screen_lines(screens) if line.startswith(">"))[1:].split("  ")[0]
        await enter(pilot, "enter")
        assert isinstance(screens.screen, KindScreen)
        assert screens.screen.kind_name == name
        # and back where it was
        await enter(pilot, "escape")
        assert next(line for line in screen_lines(screens) if line.startswith(">"))[1:].startswith(name)

    play(demo_log, steps)


def test_the_plan_is_not_reckoned_behind_the_back_of_another_screen(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6", "1")
        shown = screens._screen_stacks["plan"][0].shown  # type: ignore[attr-defined]
        screens.something_entered()
        await settled(pilot)
        assert screens._screen_stacks["plan"][0].shown is shown  # type: ignore[attr-defined]
        await enter(pilot, "6")
        assert plan(screens).shown is not shown

    play(demo_log, steps)


def test_without_a_plan_the_limits_begin_one(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6")
        assert screen_lines(screens)[1].startswith(
            (" Replace ", " Buy ", " Work ", " No acres are planned", " Nothing pays")
        )
        for wide, high in SIZES:
            await pilot.resize_terminal(wide, high)
            await settled(pilot)
            assert_snapshot(screens, f"plan_of_a_small_farm_{wide}x{high}")
        await enter(pilot, "l", Text("900"), "ctrl+s")
        assert "of 900" in screen_text(screens)

    play(small_farm, steps)
    (found,) = rows(small_farm, SeasonPlan)
    assert found.budget_minor == 900_00


def test_on_a_phone_the_cautions_of_a_line_stand_under_its_answer_however_long_that_is(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "6")
        await press(pilot, "enter")
        seen = 0
        for _ in range(12):
            answer = screens.screen.query_one("#answer", AnswerLine)
            lines = screen_lines(screens)
            if answer.hazards:
                seen += 1
                (row,) = (number for number, line in enumerate(lines) if line.startswith(" ▲ CARE"))
                # above the page that scrolls, and no sentence is cut before it
                assert row < screens.screen.query_one("#page").region.y
                assert lines[row - 1].rstrip().endswith("."), lines[row - 1]
            await press(pilot, "n")
        assert seen > 6

    play(demo_log, steps, (46, 20))


def test_on_a_phone_the_key_that_saves_stands_in_the_last_line(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "6", "space")
        assert "Ctrl+S save" in screen_lines(screens)[-1]

    play(demo_log, steps, (46, 20))
