"""Every screen by mouse alone, on a phone and a usual terminal: each key of the last line, each area, section, row and word."""

from __future__ import annotations

from typing import Any

import pytest
from textual.dom import DOMNode
from textual.pilot import Pilot
from textual.widget import Widget

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.every_screen import WAYS
from tests.tui.piloting import flat, play, press, rows, screen_lines, settled, yard_again
from tests.tui.writing import enter
from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.wearing import Breakage
from wearlog.tui.app import Screens
from wearlog.tui.screens.find import FindScreen
from wearlog.tui.screens.parts.breakages import BreakageScreen
from wearlog.tui.screens.parts.stock import MoveScreen
from wearlog.tui.widgets.answer_line import AnswerLine, SectionTabs
from wearlog.tui.widgets.cutterbar_strip import CutterbarStrip
from wearlog.tui.widgets.lines import FootLine, TopLine
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]

PHONE, USUAL = (46, 20), (80, 24)


class Listening(Screens):
    """The program; while `heard` is a list it takes note of what a click asks for, and does nothing of it."""

    heard: list[str] | None = None

    async def run_action(self, action: Any, default_namespace: DOMNode | None = None, namespaces: Any = None) -> bool:
        if self.heard is not None and isinstance(action, str):
            self.heard.append(action)
            return True
        return await super().run_action(action, default_namespace, namespaces)


async def click_on(pilot: Pilot[None], widget: Widget, x: int, y: int = 0) -> None:
    await pilot.click(widget, offset=(x, y))
    await settled(pilot)


async def wrong_of(screens: Listening, pilot: Pilot[None]) -> list[str]:
    """Click every key of the last line, every area and every row in view of the open screen; return what did not answer."""
    wrong = []
    foot = screens.screen.query_one(FootLine)
    screens.heard = []
    wanted = []
    for start, end, active in list(foot._spans):
        await pilot.click(foot, offset=((start + end) // 2, 0))
        wanted.append(active.binding.action)
    for top in screens.screen.query(TopLine):
        for start, _, action in list(top._spans):
            await pilot.click(top, offset=(start + 1, 0))
            wanted.append(action)
    await settled(pilot)
    heard, screens.heard = screens.heard, None
    if heard != wanted:
        wrong.append(f"{wanted} clicked, {heard} heard")
    for listed in screens.screen.query(WindowedList):
        if not listed.display or not listed.region.height or isinstance(screens.screen, FindScreen):
            continue
        for y in range(1, min(listed.size.height, (listed.count or 0) + 1, 6)):
            if y >= listed.size.height:
                # what is told of the row below the list took a line of it
                break
            number, _ = listed.at_line(listed.scroll_offset.y + y - 1)
            row = listed.row_at(number)
            if row is None or row.heading or number == listed.cursor:
                continue
            await pilot.click(listed, offset=(2, y))
            await settled(pilot)
            if listed.cursor != number:
                wrong.append(f"row {number}: the cursor is on {listed.cursor}")
    return wrong


@pytest.mark.parametrize("part", range(6))
def test_every_key_area_and_row_of_every_screen_is_clicked(
    demo_log: str, part: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    from wearlog.tui import app

    monkeypatch.setattr(app, "Screens", Listening)
    found = {}

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        assert isinstance(screens, Listening)
        for name in list(WAYS)[part::6]:
            await pilot.resize_terminal(*USUAL)
            await enter(pilot, *WAYS[name])
            for wide, high in (PHONE, USUAL):
                await pilot.resize_terminal(wide, high)
                await settled(pilot)
                if wrong := await wrong_of(screens, pilot):
                    found[f"{name} at {wide}"] = wrong
            await yard_again(screens, pilot, WAYS[name])

    play(demo_log, steps)
    assert found == {}


def place_of(screens: Screens, words: str) -> tuple[int, int]:
    """Return where words stand on the terminal: (cell, line)."""
    # from below: the keys and words to choose stand under the sentences that tell of them
    for line, said in reversed(list(enumerate(screen_lines(screens)))):
        if words in said:
            return said.index(words), line
    raise AssertionError(f"'{words}' is not on the screen")


async def click_words(screens: Screens, pilot: Pilot[None], words: str) -> None:
    await pilot.click(offset=place_of(screens, words))
    await settled(pilot)


def test_a_breakage_is_logged_by_mouse_alone(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await click_words(screens, pilot, "breakage")
        assert isinstance(screens.screen, BreakageScreen)
        strip = screens.screen.query_one(CutterbarStrip)
        # a drag along the bar marks a span
        await pilot.mouse_down(strip, offset=(27, 2))
        await pilot.hover(strip, offset=(30, 2))
        await pilot.mouse_up(strip, offset=(30, 2))
        for words in ("wear", "cracked", "mended"):
            await click_words(screens, pilot, words)
        marked = tuple(sorted(strip.marked))
        assert len(marked) > 1
        assert not [one for one in rows(small_farm, Breakage) if one.positions == marked], "no click but this one saves"
        await click_words(screens, pilot, "Enter save")

    play(small_farm, steps)
    last = rows(small_farm, Breakage)[-1]
    assert (last.cause, last.mode, last.action) == (Cause.WEAR, Mode.CRACKED, Action.MENDED)


def test_on_a_phone_the_way_it_failed_and_the_part_are_picked_by_mouse(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        form = screens.screen
        assert isinstance(form, BreakageScreen)
        await click_words(screens, pilot, "11 ways")
        await click_words(screens, pilot, "T torn")
        await click_words(screens, pilot, "T torn")
        assert form.draft.mode is Mode.TORN
        await click_words(screens, pilot, "Part ")
        await click_words(screens, pilot, "guards")
        await click_words(screens, pilot, "guards")
        assert form.draft.choice is not None
        assert "guard" in form.draft.choice.name

    play(small_farm, steps, PHONE)


def test_a_click_on_the_bar_finds_every_position(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b")
        strip = screens.screen.query_one(CutterbarStrip)
        await press(pilot, "home")
        reached = set()
        for _ in range(strip.count):
            await pilot.click(strip, offset=(6 + 1 + 20, 2))
            await pilot.pause()
            if strip.cursor in reached:
                break
            reached.add(strip.cursor)
        assert len(reached) > 1, "a cell that several positions share goes through them"
        # in the close-up the very position
        await pilot.click(strip, offset=(6 + 1 + 2, 7))
        await settled(pilot)
        assert strip.cursor not in reached

    play(small_farm, steps)


def test_any_key_of_a_screen_is_done_by_a_click_on_its_line_of_the_help(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "7", "question_mark")
        await click_words(screens, pilot, "parts that came")
        assert isinstance(screens.screen, MoveScreen)

    # tall enough for all keys
    play(small_farm, steps, (80, 60))


def test_a_heading_orders_and_turns_the_order(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "3")
        listed = screens.screen.query_one(WindowedList)
        before = listed.order
        # the heading, and not what is told of the row under the list
        y, heading = next((line, said) for line, said in enumerate(screen_lines(screens)) if "machine" in said)
        x = heading.index("machine")
        await pilot.click(offset=(x, y))
        await settled(pilot)
        assert listed.order != before
        turned = listed.order.backwards
        await pilot.click(offset=(x, y))
        await settled(pilot)
        assert listed.order.backwards is not turned

    play(small_farm, steps)


def test_sections_are_clicked_and_on_a_phone_gone_through(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "9")
        tabs = screens.screen.query_one(SectionTabs)
        for start, _, number in list(tabs._spans):
            await click_on(pilot, tabs, start + 2)
            assert tabs.place == number
        await pilot.resize_terminal(*PHONE)
        await settled(pilot)
        place = tabs.place
        await click_on(pilot, tabs, 2)
        assert tabs.place == (place + 1) % len(tabs.names)

    play(demo_log, steps)


async def lies_still(pilot: Pilot[None], widget: Widget) -> None:
    """Wait until a widget has stood in its place for a moment."""
    stood = None
    while stood != widget.region:
        stood = widget.region
        await pilot.pause(0.1)
        await settled(pilot)


async def tabs_wrong(screens: Screens, pilot: Pilot[None]) -> list[str]:
    """Click every section, the open one last; return those that are not opened by it."""
    wrong = []
    first = screens.screen.query_one(SectionTabs).place
    spans = list(screens.screen.query_one(SectionTabs)._spans)
    for start, _, number in [*spans, *(span for span in spans if span[2] == first)]:
        # a section of the daybook is a screen of its own, whose answer moves the line of sections down when it comes
        await lies_still(pilot, screens.screen.query_one(SectionTabs))
        await click_on(pilot, screens.screen.query_one(SectionTabs), start + 2)
        wrong += [] if screens.screen.query_one(SectionTabs).place == number else [f"section {number}"]
    return wrong


async def drawn_wrong(screens: Screens, pilot: Pilot[None]) -> list[str]:
    """Click on the bar of positions and on the row of cautions; return what does not answer."""
    wrong, here = [], screens.screen
    for strip in here.query(CutterbarStrip):
        if strip.display and strip.count > 20 and strip.region.height > 3:
            reached = set()
            for cell in (12, 15):
                await click_on(pilot, strip, 6 + 1 + cell, 2)
                reached.add(strip.cursor)
            wrong += ["the bar"] if len(reached) < 2 else []
    for line in here.query(AnswerLine):
        if line.display and line.hazards and line.region.height:
            before_said = flat(screens)
            await click_on(pilot, line, 2, line._cautions_at)
            wrong += ["the row of cautions"] if screens.screen is here and flat(screens) == before_said else []
            while screens.screen is not here:
                screens.pop_screen()
            await settled(pilot)
    return wrong


@pytest.mark.parametrize("part", range(4))
def test_every_section_bar_and_row_of_cautions_of_every_screen_is_clicked(demo_log: str, part: int) -> None:
    found = {}
    clicked = set()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for name in list(WAYS)[part::4]:
            await enter(pilot, *WAYS[name])
            wrong = []
            if screens.screen.query(SectionTabs):
                wrong += await tabs_wrong(screens, pilot)
                clicked.add(name)
            wrong += await drawn_wrong(screens, pilot)
            if wrong:
                found[name] = wrong
            await yard_again(screens, pilot, WAYS[name])

    play(demo_log, steps)
    assert found == {}
    assert clicked
