"""Every form by keys alone: Enter saves what line 2 says and nothing else, or goes to what is still asked; Tab reaches all."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest
from textual.geometry import Region
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.every_form import ELSEWHERE, WAYS, form_classes
from tests.tui.piloting import flat, play, press, rows, settled, yard_again
from tests.tui.writing import Text, enter
from wearlog.facts.machines import Reading
from wearlog.tui.app import Screens
from wearlog.tui.screens import over_screen
from wearlog.tui.screens.form import REALLY, FormScreen
from wearlog.tui.screens.form_page import NOTHING_YET
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.form_line import FormField
from wearlog.tui.widgets.lines import FootLine, SayLine, shown_key

__all__ = ["demo_file", "demo_log"]

#: forms whose Enter takes the answers to the page around them, looks before it takes, or weighs what nobody enters
NOT_INTO_THE_LOG = {
    "NoteLineScreen",
    "PackForm",
    "TakeForm",
    "CustomOfferScreen",
    "TradeOfferScreen",
    "EveningScreen",
    "RainAskedScreen",
}


def test_every_form_is_walked() -> None:
    names = {one.__name__ for one in form_classes()}
    assert names == {*WAYS, *ELSEWHERE}


def entries(log: str) -> int:
    """How many entries the log has."""
    with closing(sqlite3.connect(log)) as connection:
        return int(connection.execute("SELECT count(*) FROM deed").fetchone()[0])


def line_2(form: FormScreen) -> str:
    return form.query_one("#will", AnswerLine).answer


async def reached_by_tab(pilot: Pilot[None], form: FormScreen) -> set[str]:
    found = set()
    for _ in range(len(form.lines) * 2):
        found |= {line.asks for line in form.lines if form.focused is line.entry}
        await pilot.press("tab")
    return found


async def wrong_of(screens: Screens, pilot: Pilot[None], name: str, log: str) -> str:
    """Open a form, go through it by Tab, press Enter; return what is not as the rule has it."""
    await enter(pilot, *WAYS[name])
    form = screens.screen
    if type(form).__name__ != name:
        return f"is not opened: {type(form).__name__}"
    assert isinstance(form, FormScreen)
    if twice := hints_told_twice(form):
        return f"the hints of {twice} stand twice"
    names = [shown_key(one.binding) for one in form.query_one(FootLine)._shown()]
    if names[:2] != ["Enter", "Esc"]:
        return f"the keys begin with {names}"
    if (reached := await reached_by_tab(pilot, form)) != {line.asks for line in form.lines}:
        return f"Tab reaches {reached} alone"
    said, before = line_2(form), entries(log)
    await press(pilot, "enter")
    more = entries(log) - before
    if said.startswith("Not ready to save: "):
        asked = next(line for line in form.lines if not line.is_right)
        at_it = screens.screen is form and form.focused is asked.entry and bool(asked.wrong)
        return "" if more == 0 and at_it else f"{said} and {more} saved, at it: {at_it}"
    if said.startswith("Enter weighs: "):
        return (
            "" if more == 0 and name in NOT_INTO_THE_LOG and screens.screen is not form else f"{said} and {more} saved"
        )
    if said.startswith("Enter saves: "):
        wanted = 0 if name in NOT_INTO_THE_LOG else 1
        return "" if more == wanted and screens.screen is not form else f"{said} but {more} saved"
    return "" if more == 0 and said == NOTHING_YET else f"{said!r} and {more} saved"


@pytest.mark.parametrize("part", range(3))
def test_enter_saves_what_line_2_says_or_goes_to_what_is_asked(demo_log: str, part: int) -> None:
    found = {}

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for name in list(WAYS)[part::3]:
            if wrong := await wrong_of(screens, pilot, name, demo_log):
                found[name] = wrong
            await yard_again(screens, pilot, WAYS[name])

    play(demo_log, steps)
    assert found == {}


def hints_told_twice(form: FormScreen) -> list[str]:
    """Which empty fields show a hint that stands whole below them as well."""
    return [
        one.asks
        for one in form.query(FormField)
        if one.display and not one.text and one.input.placeholder and one.query(".form-line--whole.-there")
    ]


def in_view(form: FormScreen) -> bool:
    """Whether the question that has the cursor is on the screen with its whole first row."""
    here = form.focused
    return here is not None and form.query_one("#form").region.contains_region(
        Region(*here.region.offset, here.region.width, 1)
    )


def test_on_a_phone_every_question_is_read_whole_and_the_first_is_in_view(demo_log: str) -> None:
    cut = {}

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for name, way in WAYS.items():
            await enter(pilot, *way)
            form = screens.screen
            assert isinstance(form, FormScreen), name
            assert in_view(form), f"{name} begins off the screen"
            assert hints_told_twice(form) == [], name
            for label in form.query(".form-line--label"):
                words, size = str(label.render()), label.content_size
                # of what is not painted now: the width that a narrow screen gives
                if size.width * size.height < len(words) and (size.area or len(words) > 12):
                    cut[name] = words
            await yard_again(screens, pilot, way)

    play(demo_log, steps, size=(46, 20))
    assert cut == {}


def test_a_doubt_is_answered_by_enter_once_it_could_be_read_and_esc_is_no(
    small_farm: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        clock = [100.0]
        monkeypatch.setattr(over_screen, "monotonic", lambda: clock[0])
        before = len(rows(small_farm, Reading))
        await enter(pilot, "r", Text("99999"), "enter")
        assert "Does the meter show 99,999.0 engine hours? Enter: yes. Esc: no." in flat(screens)
        # held down, or pressed twice: no answer to what could not be read yet
        clock[0] += 0.4
        await enter(pilot, "enter")
        assert len(rows(small_farm, Reading)) == before
        await enter(pilot, "escape")
        assert "Not saved: change what is not right, or Enter asks again." in flat(screens)
        assert isinstance(screens.screen, FormScreen)
        await enter(pilot, "enter")
        assert "Does the meter show" in flat(screens)
        clock[0] += 0.6
        await enter(pilot, "enter")
        assert len(rows(small_farm, Reading)) == before + 1

    play(small_farm, steps)


def test_what_is_typed_while_it_is_saved_is_said_not_to_be_in_it(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "r", Text("2400"))
        form = screens.screen
        assert isinstance(form, FormScreen)
        form.save()
        form.line("engine_hours").answered()
        form.action_leave()
        assert form.query_one(SayLine).said == "One moment: it is being saved."
        await settled(pilot)
        assert "What you typed while it was saved is not in it." in flat(screens)
        assert 2400 * 3600 in [one.shown_usage for one in rows(small_farm, Reading)]

    play(small_farm, steps)


def test_a_breakage_that_was_begun_is_not_lost_by_one_esc(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "b", "right", "escape")
        # looking along the bar is no entry
        assert "[1 Yard]" in flat(screens)
        await enter(pilot, "b", "r", "escape")
        assert REALLY in flat(screens)
        # going on is staying
        await enter(pilot, "w", "escape")
        assert REALLY in flat(screens)
        await enter(pilot, "escape")
        assert "[1 Yard]" in flat(screens)

    play(small_farm, steps)
