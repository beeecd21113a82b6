"""The wear screen: kinds by threat, one kind in sections with its chart and table twin, the bar, and logging from it."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import assert_snapshot, play, screen_lines, screen_text, settled
from tests.tui.test_screens_contrast import ENOUGH, measured
from tests.tui.test_screens_foundation import HEAVY
from tests.tui.writing import enter, kept_at_every_size
from wearlog.cli.main import run
from wearlog.reckoning.wear.wear_outlook import KindOutlook
from wearlog.tui.app import Screens
from wearlog.tui.door import Door
from wearlog.tui.questions.wear import kind, wear
from wearlog.tui.screens.parts.breakages import BreakageScreen
from wearlog.tui.screens.wear import KindScreen
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.cutterbar_strip import CutterbarStrip
from wearlog.tui.widgets.list_rows import ListOrder, sheet_source

__all__ = ["demo_file", "demo_log"]


def flat(screens: Screens) -> str:
    """The screen on one line."""
    return " ".join(screen_text(screens).split())


def test_importing_the_screens_loads_nothing_heavy() -> None:
    names = ("wear", "costs", "harvest.harvest", "harvest.harvest_forms")
    script = (
        "import sys\n"
        f"for name in {names}: __import__('wearlog.tui.screens.' + name)\n"
        f"print([name for name in {(*HEAVY, 'plotext')} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_screen_says_that_it_is_working_and_can_be_left(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> None:
    may_answer = threading.Event()
    really = Door.farm

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        monkeypatch.setattr(Door, "farm", lambda door, connection: (may_answer.wait(10), really(door, connection))[1])
        await pilot.press("5")
        await pilot.pause(0.2)
        assert "Working it out ..." in screen_text(screens)
        await pilot.press("3")
        await pilot.pause(0.1)
        assert "[3 Daybook]" in screen_text(screens)
        may_answer.set()
        await settled(pilot)
        await enter(pilot, "5")
        assert ">knife section" in screen_text(screens)

    play(small_farm, steps)


def test_what_the_coming_acres_threaten_most_stands_first(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5")
        assert "Season ahead: 2027 as planned, 9,000 ac still to cut." in screen_text(screens)
        assert "In 2027 about 94 knife sections, 25 guards and 9 reel tines will break." in screen_lines(screens)[1]
        lines = screen_lines(screens)[5:9]
        assert [line[1:].split("  ")[0] for line in lines] == ["knife section", "guard", "reel tine", "hold-down"]
        assert "░░░░░░░░░·├●┤············" in lines[0], "lived, and where half of them fail, in seasons of use"
        assert "1 BROKEN" in lines[0]
        assert "8.8 +29?" in lines[2]
        assert "Most on Plover, knife sections: 42 expected to break" in flat(screens)
        assert "Reckoned from 75 worn in 2,501 lives, and the starting guess; it wears out." in flat(screens)
        await enter(pilot, "o")
        parts = [line[1:17].strip() for line in screen_lines(screens)[5:15]]
        assert parts == sorted(parts)

    play(demo_log, steps)


def test_a_tall_screen_has_the_chart_of_the_kind_under_the_cursor(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5")
        assert (
            "still whole, % (dots: 90 % interval; o: your own parts, counted; upright: the oldest of each component today)"
            in flat(screens)
        )
        await enter(pilot, "t")
        assert "still whole" not in screen_text(screens)

    play(demo_log, steps, size=(120, 40))


def test_enter_opens_a_kind_with_its_chart_and_t_turns_it_into_a_table(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "enter")
        assert isinstance(screens.screen, KindScreen)
        said = flat(screens)
        assert "Half of the knife sections last 7,820 ac here (90 % sure: 7,110 to 8,810)." in said
        assert "[Life] Parts now Where Seasons Why" in said
        # the curve, its interval in dots, and the oldest part of four components upright
        assert any(line.count("│") >= 5 for line in screen_lines(screens))
        assert "...." in said
        await enter(pilot, "t")
        said = flat(screens)
        assert "age, ac still whole 90 % oldest now, up to this age" in said
        assert "Merlin knife sections" in said
        await enter(pilot, "escape")
        assert screens.screen.AREA == "wear"
        assert not isinstance(screens.screen, KindScreen)

    play(demo_log, steps, size=(100, 30))


def test_parts_stand_by_age_with_their_chance_to_last_the_season(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "down", "enter", "right")
        said = flat(screens)
        assert "[Parts now]" in said
        assert "lasts season by wear" in said
        assert "Season ahead: 2027 as planned, 9,000 ac still to cut. Expected to break: 25" in said

    play(demo_log, steps, size=(120, 40))


def test_where_has_the_bar_with_the_hot_window_and_b_logs_what_is_marked_on_it(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "enter", "right", "right")
        said = flat(screens)
        assert "HOT 61-72" in said
        assert "HOT: Merlin, knife sections 61-72 were hit 13 times as often as elsewhere" in said
        strip = screens.screen.query_one(CutterbarStrip)
        assert strip.cursor == 1
        assert strip.count == 120
        await enter(pilot, "down")
        # the bar and the list say one window
        assert strip.cursor == 61
        await enter(pilot, "tab", "6", "5", "b")
        assert isinstance(screens.screen, BreakageScreen)
        assert "Merlin" in screen_text(screens)
        assert "[65]" in screen_text(screens)

    play(demo_log, steps, size=(120, 40))


def test_a_measured_kind_has_its_limit_and_the_age_at_which_it_is_met(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "slash", *"elevator chain", "enter", "enter", "right", "right")
        said = flat(screens)
        assert "[Measured]" in said
        assert ">Tamarack 20.060 in (2.6 %) 20.147 in (3.0 %) 1,750 (1,660-1,910) h 21 % 12" in said
        assert "measured, in (level: limit; upright: today; dots: meets it, 90 %)" in said
        await enter(pilot, "t")
        said = flat(screens)
        assert "├" not in said
        assert "today; limit 20.147 in (3.0 %)" in said
        assert "1,751 h 20.147 in meets its limit, by the readings" in said
        assert "to here, 90 %" in said
        assert "By 12 readings wear runs straight" in said

    play(demo_log, steps, size=(100, 40))


def test_seasons_are_counted_up_as_a_chart_and_by_season(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "enter", "left", "left")
        said = flat(screens)
        assert "header 2021 2022 2023 2024 2025 2026 all worked now one per trend" in said
        assert "breakages per machine, mean (dots: 90 % interval)" in said
        assert "All headers together:" in said
        assert "Now one per, with its 90 % interval: all headers together one per 340 ac (283-408)." in said
        await enter(pilot, "t")
        said = flat(screens)
        assert "110 so far, 26 that season" in said
        assert "after breakages per machine 90 % machines seen" in said

    play(demo_log, steps, size=(100, 44))


def test_why_says_which_lives_and_v_goes_through_the_machines(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "enter", "left")
        assert "Which lives:" in screen_text(screens)
        await enter(pilot, "v", "left", "left", "left", "left")
        assert " on Plover (90 % sure: " in screen_lines(screens)[1]
        assert "[Life]" in screen_text(screens)

    play(demo_log, steps, size=(100, 40))


def test_x_sets_aside_what_stones_take_and_takes_it_up_again(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "enter", "left")
        assert "One stone takes neighbours:" in flat(screens)
        await enter(pilot, "x")
        assert "Set aside for knife sections: stones. u undoes" in flat(screens)
        assert "Every broken piece counts as a stone of its own" in flat(screens)
        await enter(pilot, "x")
        assert "Taken up again for knife sections: stones." in flat(screens)
        assert "One stone takes neighbours:" in flat(screens)

    play(demo_log, steps, size=(100, 60))


@pytest.mark.parametrize("theme", list(INKS))
def test_wear_is_read_in_sunlight(demo_log: str, theme: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.theme = theme
        sections = (("right",), ("right",), ("tab",), ("tab", "right"), ("right",))
        for keys in (("5",), ("enter",), ("t",), *sections, ("question_mark",)):
            await enter(pilot, *keys)
            pieces = measured(screens)
            assert len(pieces) > 3
            assert [piece for piece in pieces if piece[0] < ENOUGH] == [], f"after {keys} in {theme}"

    play(demo_log, steps)


def test_wear_looks_as_kept(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5")
        await kept_at_every_size(pilot, "wear")
        await enter(pilot, "enter")
        for wide, high in ((80, 24), (120, 40)):
            await pilot.resize_terminal(wide, high)
            await settled(pilot)
            assert_snapshot(screens, f"kind_{wide}x{high}")
        await enter(pilot, "right", "right")
        assert_snapshot(screens, "kind_where_120x40")

    play(small_farm, steps)


def test_a_narrow_screen_keeps_the_label_and_the_chance(demo_log: str) -> None:
    """The strip stands for what a life rests on, which the sentence of the row says whole; no scrollbar stands on a figure."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5")
        scale = ["½", "1", "2", "4", "8", "16", "32"]
        assert screen_lines(screens)[4].split() == ["part", "break", "worst", "fails", *scale, "half", "last"]
        for size in ((80, 24), (46, 20)):
            await pilot.resize_terminal(*size)
            await settled(pilot)
            assert "half last 7,820 ac (90 % sure: 7,110-8,810). Reckoned from 75 worn in 2,501 lives" in flat(screens)
        await pilot.resize_terminal(80, 24)
        await enter(pilot, "slash", *"elevator chain", "enter", "enter", "right", "right")
        lines = screen_lines(screens)
        below = next(place for place, line in enumerate(lines) if line.startswith(" machine")) + 1
        rows = lines[below : below + 3]
        said = [row.split("h  ")[-1].rsplit(maxsplit=1)[0].strip() for row in rows]
        assert said == ["21 %", "under 1 %", "under 1 %"]

    play(demo_log, steps)


def test_the_order_by_rate_is_by_breakages_per_area_and_the_usual_one_counts_unknown_ages(demo_log: str) -> None:
    """A kind that broke seldom on few acres comes before one that broke often on many."""
    door = Door(demo_log)
    try:
        sheet = wear(door).sheet
    finally:
        door.log.close()
    source = sheet_source(sheet)

    def kinds(sort: str) -> list[KindOutlook]:
        by_id = {row.life.kind.id: row for row in sheet.rows}
        return [by_id[one.key] for one in source.filtered(ListOrder(sort=sort))]  # type: ignore[index]

    rates = [row.breakages / row.life.area for row in kinds("rate")]
    assert rates == sorted(rates, reverse=True)
    assert [row.breakages for row in kinds("rate")] != sorted((row.breakages for row in sheet.rows), reverse=True)
    threats = [row.threat for row in kinds("break")]
    assert threats == sorted(threats, reverse=True) == [row.threat for row in kinds("")]
    assert [row.life.kind.name for row in kinds("part")] == sorted(row.life.kind.name for row in sheet.rows)


def test_what_has_failed_stands_before_what_may_fail(demo_log: str) -> None:
    """The one section that broke and still runs stands first among those of its header, in every state of wear."""
    door = Door(demo_log)
    try:
        knife = next(row for row in wear(door).sheet.rows if row.life.kind.name == "knife section")
        shown = kind(door, knife.life.kind.id)
    finally:
        door.log.close()
    (parts,) = (one for one in shown.sections if one.name == "Parts now")
    (failed,) = (row for row in parts.rows if "BROKEN, still runs" in row.cells)
    assert failed.alarm
    assert isinstance(failed.key, tuple)
    beside = [row for row in parts.rows if isinstance(row.key, tuple) and row.key[0] == failed.key[0]]
    assert len(beside) > 1
    assert beside[0] is failed


def test_with_nothing_fitted_no_kind_is_listed_until_all_are_asked_for(tmp_path: Path) -> None:
    """The screen says why the list is empty and what to do first; m lists what the trade guesses."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5")
        assert "guess only" not in screen_text(screens)
        said = flat(screens)
        assert "Nothing is fitted on any machine yet, so nothing can wear." in said
        assert "'wearlog add combine' and 'wearlog add header' enter machines" in said
        await enter(pilot, "m")
        assert "guess only" in screen_text(screens)
        assert "It sits on no machine yet." in flat(screens)
        await enter(pilot, "m")
        assert "guess only" not in screen_text(screens)

    log = str(tmp_path / "bare.db")
    assert run(["add", "combine", "Kestrel", "--engine", "10", "--separator", "5", "--db", log]) == 0
    play(log, steps)


def test_rows_of_two_suppliers_are_told_apart_at_eighty_columns(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "7")
        low = [line.split()[-1] for line in screen_lines(screens) if "LOW" in line]
        assert low == ["Millpond", "Road", "Millpond", "Road", "Millpond"]

    play(demo_log, steps)


def test_on_a_phone_the_curve_keeps_its_rows_and_its_marks_are_told_below(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "enter")
        lines = [line.strip() for line in screen_lines(screens)]
        above, below = lines.index("still whole, %"), lines.index("dots: 90 % interval; o: your own parts,")
        # frame, seven rows between, the scale and what it counts
        assert below - above >= 9

    play(demo_log, steps, size=(46, 20))


def test_what_broke_and_was_never_entered_is_entered_from_the_kind_and_taken_back(
    small_farm: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Fourteen sections more left the shelf by its counts, than anything tells of."""
    assert run(["stock", "count", "KS-1", "3", "--at", "2025-07-28 12:00", "--db", small_farm]) == 0

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "enter", "a")
        said = flat(screens)
        assert "NEVER ENTERED: knife section" in said
        assert "14 knife sections broke in 2025, day and place not known" in said
        await kept_at_every_size(pilot, "never_entered")
        await enter(pilot, "enter")
        assert "14 x KS-1 section broke, day and place not known: 2025" in flat(screens)
        await enter(pilot, "u", "enter")

    play(small_farm, steps)
    capsys.readouterr()
    assert run(["stock", "missing", "knife section", "--db", small_farm]) == 0
    assert "14 x KS-1 section broke, day and place not known: 2025" in capsys.readouterr().out
    assert run(["undo", "--db", small_farm]) == 0
    assert run(["stock", "missing", "knife section", "5", "--season", "2025", "--db", small_farm]) == 0
    capsys.readouterr()
    assert run(["stock", "missing", "guard", "5", "--db", small_farm]) != 0
    assert "No count of the shelf tells how many of the guard went" in capsys.readouterr().err
    assert run(["stock", "missing", "knife section", "5", "--cost", "3", "--db", small_farm]) != 0
    assert run(["stock", "count", "KS-1", "5", "--season", "2025", "--db", small_farm]) != 0
