"""A click saves nothing but what stands on the screen: not one beside a key, and the key saves what line 2 says, whole."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.every_form import WAYS
from tests.tui.piloting import flat, play, press, settled, yard_again
from tests.tui.test_screens_every_form import NOT_INTO_THE_LOG, entries, line_2
from tests.tui.writing import enter
from wearlog.tui.app import Screens
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.form_page import NOTHING_YET
from wearlog.tui.widgets.lines import FootLine

__all__ = ["demo_file", "demo_log"]

PARTS = 4


def last_said(log: str) -> str:
    with closing(sqlite3.connect(log)) as connection:
        return str(connection.execute("SELECT said FROM deed ORDER BY rowid DESC LIMIT 1").fetchone()[0])


def telling(sentence: str) -> set[str]:
    """Figures and words of five letters or more: the entry may say them in another order, and more beside."""
    return {word for word in re.findall(r"\w+", sentence.casefold()) if len(word) > 4 or word[0].isdigit()}


async def clicked_all_over(screens: Screens, pilot: Pilot[None], form: FormScreen) -> None:
    """Click every line between the title and the keys, in turn on its answer, its label and beside; lists are left again."""
    last = form.query_one(FootLine).region.y
    for y in range(1, last):
        await pilot.click(offset=((20, 2, 60)[y % 3], y))
        await settled(pilot)
        while screens.screen is not form and form in screens.screen_stack:
            await press(pilot, "escape")
        if screens.screen is not form:
            return


async def wrong_of(screens: Screens, pilot: Pilot[None], name: str, log: str) -> str:
    """Click all over a form, then on the key that saves; return what was saved that was not shown, or shown and not saved."""
    await enter(pilot, *WAYS[name])
    form = screens.screen
    assert isinstance(form, FormScreen), flat(screens)
    before = entries(log)
    await clicked_all_over(screens, pilot, form)
    if screens.screen is not form:
        return f"a click leaves the form: {type(screens.screen).__name__}"
    if more := entries(log) - before:
        return f"{more} saved by clicks that are on no key: {last_said(log)}"
    said = line_2(form)
    start, end, active = form.query_one(FootLine)._spans[0]
    assert active.binding.key == "enter"
    await pilot.click(form.query_one(FootLine), offset=((start + end) // 2, 0))
    await settled(pilot)
    more = entries(log) - before
    shown = said.removeprefix("Enter saves: ")
    if shown == said:
        is_right = (
            said.startswith(("Not ready to save: ", "Enter takes it over: ", "Still asked: ")) or said == NOTHING_YET
        )
        return "" if more == 0 and (is_right or name in NOT_INTO_THE_LOG) else f"{said!r} and {more} saved"
    if name in NOT_INTO_THE_LOG:
        return "" if more == 0 else f"{said!r} and {more} saved"
    if more != 1:
        return f"{said!r} and {more} saved: {flat(screens)}"
    kept = last_said(log)
    return "" if telling(shown) <= telling(kept) else f"shown {shown!r}, saved {kept!r}"


@pytest.mark.parametrize("part", range(PARTS))
def test_a_click_saves_only_what_stands_on_the_screen(demo_log: str, part: int) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        found = {}
        for name in list(WAYS)[part::PARTS]:
            if wrong := await wrong_of(screens, pilot, name, demo_log):
                found[name] = wrong
            await yard_again(screens, pilot, WAYS[name])
        assert found == {}

    play(demo_log, steps)
