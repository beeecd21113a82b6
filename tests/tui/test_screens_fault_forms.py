"""The forms of a fault take in what its commands take: readings with state, tries, what is asked first, visits, what is undone."""

from __future__ import annotations

from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, rows, screen_text, settled
from tests.tui.writing import Text, enter, kept_at_every_size
from wearlog.facts.bookkeeping import Person
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, SignKind
from wearlog.facts.electrics import (
    Answer,
    Fault,
    FaultCheck,
    FaultOpening,
    FaultSign,
    FaultVisit,
    Opened,
    OthersTried,
    ReadingUnit,
    Supplied,
)
from wearlog.logbook.open_log import open_log
from wearlog.logbook.saving import save
from wearlog.tui.app import Screens
from wearlog.tui.screens.faults.fault_case import FaultCaseScreen
from wearlog.tui.screens.faults.note_check import NoteCheckScreen
from wearlog.tui.screens.faults.tell_fault import TellFaultScreen, TryLoadsScreen, UndoneScreen
from wearlog.tui.screens.over_screen import LONG_ENOUGH_TO_READ
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]

#: the open fault of Alder: controllers drop off the data line, three checks made
ALDER = ("4", "enter")
#: a new fault of Tamarack: stubble lights dead; its cautions are read
STUBBLE = (
    *("4", "down", "down", "down", "a"),
    Text("stubble lights dead again"),
    *("down", "down", *["down"] * 4, "right", "d", "ctrl+s", "enter", "enter"),
)


async def check_at(screens: Screens, pilot: Pilot[None], node: str) -> NoteCheckScreen:
    """Open the form of a check at a place of the drawing."""
    case = screens.screen
    assert isinstance(case, FaultCaseScreen)
    case.whole = True
    case._show_drawing()
    await pilot.pause()
    case.query_one("#drawing", WindowedList).move_to_key(node)
    await press(pilot, "enter")
    form = screens.screen
    assert isinstance(form, NoteCheckScreen)
    return form


def last_check(log: str) -> FaultCheck:
    return max(rows(log, FaultCheck), key=lambda one: (one.at is not None, one.at, one.step))


async def choose(pilot: Pilot[None], form: NoteCheckScreen, question: str, letter: str) -> None:
    """Go to a question with a few answers, and choose by the first letter."""
    form.focus_line(form.line(question))
    await press(pilot, letter)


def test_a_plug_of_the_data_line_that_was_opened_is_noted_by_the_side_that_shows_0(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        form = await check_at(screens, pilot, "Data line plug")
        form.focus_line(form.line("kind"))
        while form.answer("kind") is not CheckKind.RESISTANCE:
            await press(pilot, "right")
        assert not form.line("side").display
        await choose(pilot, form, "held", "p")
        assert form.line("side").display
        assert not form.line("verdict").display
        await enter(pilot, "ctrl+s")
        assert "Nothing is said of the check" in flat(screens)
        form.focus_line(form.line("side"))
        while form.answer("side") != "Data line rear":
            await press(pilot, "right")
        assert "resistance Data line plug, 0 ohm towards Data line rear" in flat(screens)
        await enter(pilot, "ctrl+s")
        assert isinstance(screens.screen, FaultCaseScreen), flat(screens)

    play(demo_log, steps)
    made = last_check(demo_log)
    assert (made.kind, made.place, made.verdict) == (CheckKind.RESISTANCE, "opened", CheckVerdict.BAD)
    assert made.second_node_id is not None
    assert [one.opened for one in rows(demo_log, FaultOpening) if one.put_back_at is None][-1] is Opened.UNPLUGGED


def test_the_volts_of_both_data_wires_are_one_entry_and_one_alone_is_asked_for_the_other(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        form = await check_at(screens, pilot, "Data line plug")
        form.focus_line(form.line("kind"))
        while form.answer("kind") is not CheckKind.VOLTAGE:
            await press(pilot, "right")
        # a data wire is judged by its band, not by what is lost from the battery
        assert not form.line("battery").display
        assert "high 2.7 V, low 2.3 V" in form.line("measured").hint
        form.focus_line(form.line("measured"))
        await enter(pilot, Text("2.7 V"), "ctrl+s")
        assert "A data line has two wires" in flat(screens)
        await enter(pilot, "ctrl+u", Text("2.5 / 2.5 V"), "ctrl+s")
        assert "voltage Data line plug, 2.5 / 2.5 V, bad" in flat(screens)

    play(demo_log, steps)
    assert (last_check(demo_log).reading_micros, last_check(demo_log).verdict) == (2_500_000, CheckVerdict.BAD)


def test_a_voltage_is_noted_with_state_and_load_and_judged_from_the_battery(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        form = await check_at(screens, pilot, "Battery")
        await choose(pilot, form, "kind", "v")
        assert not form.line("battery").display
        await choose(pilot, form, "state", "k")
        form.focus_line(form.line("measured"))
        await enter(pilot, Text("12.4 V"), "ctrl+s")
        form = await check_at(screens, pilot, "Engine plug")
        await choose(pilot, form, "kind", "v")
        assert "read it first" in form.line("battery").input.placeholder
        await choose(pilot, form, "state", "k")
        assert "noted: 12.4 V" in form.line("battery").input.placeholder
        await choose(pilot, form, "load", "l")
        form.focus_line(form.line("measured"))
        await enter(pilot, Text("8 V"))
        await kept_at_every_size(pilot, "note_voltage")
        await enter(pilot, "ctrl+s")
        assert "voltage Engine plug, 8 V, key on, load on, bad" in flat(screens)

    play(demo_log, steps)
    check = last_check(demo_log)
    assert (check.reading_micros, check.reading_unit, check.verdict) == (
        8_000_000,
        ReadingUnit.VOLT,
        CheckVerdict.BAD,
    )
    assert (check.supplied, check.load_on) == (Supplied.KEY_ON, Answer.YES)


def test_a_running_voltage_asks_for_the_battery_under_its_own_question(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        form = await check_at(screens, pilot, "Engine plug")
        await choose(pilot, form, "kind", "v")
        await choose(pilot, form, "state", "r")
        assert form.answer("state") is Supplied.RUNNING
        form.focus_line(form.line("measured"))
        await enter(pilot, Text("12.9 V"), "ctrl+s")
        assert screens.screen is form
        assert "What did the battery itself show" in form.line("battery").wrong
        await enter(pilot, Text("14.1"), "ctrl+s")
        assert "12.9 V, running, battery 14.1 V, bad" in flat(screens)

    play(demo_log, steps)
    assert last_check(demo_log).battery_micros == 14_100_000


def test_a_data_line_takes_ohms_without_end_and_says_where_the_meter_was(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        form = await check_at(screens, pilot, "First terminator")
        await choose(pilot, form, "kind", "r")
        assert form.answer("kind") is CheckKind.RESISTANCE
        await choose(pilot, form, "held", "i")
        form.line("held").choose(2)
        form.focus_line(form.line("measured"))
        await enter(pilot, Text("OL"), "ctrl+s")
        assert "resistance First terminator, OL, bad" in flat(screens)

    play(demo_log, steps)
    check = last_check(demo_log)
    assert (check.over_range, check.place, check.verdict) == (True, "socket", CheckVerdict.BAD)


def test_a_voltage_below_zero_is_asked_about_under_its_own_question(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        form = await check_at(screens, pilot, "Engine plug")
        await choose(pilot, form, "kind", "v")
        form.focus_line(form.line("measured"))
        await enter(pilot, Text("-12.3 V"), "ctrl+s")
        assert "the probes are swapped" in form.line("measured").wrong
        await press(pilot, "home", "delete")
        await enter(pilot, "ctrl+s")
        assert "voltage Engine plug, 12.3 V, good" in flat(screens)

    before = len(rows(demo_log, FaultCheck))
    play(demo_log, steps)
    assert len(rows(demo_log, FaultCheck)) == before + 1


def test_loads_are_tried_with_one_key_each_and_are_one_entry(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *STUBBLE)
        case = screens.screen
        assert isinstance(case, FaultCaseScreen)
        assert case.page is not None
        assert case.page.step is not None
        assert case.page.step.kind is CheckKind.TRY_IT
        tries = case.page.step.tries
        assert len(tries) > 1
        await press(pilot, "enter")
        assert isinstance(screens.screen, TryLoadsScreen)
        assert screens.screen.line("loads").names[: len(tries)] == tries
        await press(pilot, "w", "down", "d")
        await kept_at_every_size(pilot, "try_loads")
        await enter(pilot, "ctrl+s")
        assert f"tried for 'stubble lights dead again': {tries[0]} works" in flat(screens)
        assert case.page.is_begun
        await press(pilot, "u")
        assert not case.page.is_begun

    before = len(rows(demo_log, FaultCheck))
    play(demo_log, steps)
    assert len(rows(demo_log, FaultCheck)) == before


def test_what_is_asked_first_more_signs_and_who_takes_it_up_are_one_entry(demo_log: str) -> None:
    name = "Dora"
    store = open_log(demo_log)
    with store.writing() as connection:
        save(store, connection, "a hand", new=[Person(name=name)])
    store.close()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        assert "Still to ask (a): is it there now?" in flat(screens)
        await press(pilot, "a")
        form = screens.screen
        assert isinstance(form, TellFaultScreen)
        await press(pilot, "n")
        assert form.answer("present") is Answer.NO
        form.focus_line(form.line("others"))
        await press(pilot, "a")
        form.focus_line(form.line("seen"))
        await press(pilot, "w")
        form.focus_line(form.line("person"))
        await enter(pilot, Text(name[:3]))
        form.focus_line(form.line("note"))
        await enter(pilot, Text("front cover is off"))
        await kept_at_every_size(pilot, "tell_fault")
        await enter(pilot, "ctrl+s")
        assert f"by {name}, it was not there: front cover is off." in flat(screens)
        assert "is it there now?" not in flat(screens)

    signs = len(rows(demo_log, FaultSign))
    play(demo_log, steps)
    (visit,) = rows(demo_log, FaultVisit)
    assert (visit.present, visit.note) == (Answer.NO, "front cover is off")
    fault = next(one for one in rows(demo_log, Fault) if one.id == visit.fault_id)
    assert fault.others_tried is OthersTried.ALL_FINE
    added = [one for one in rows(demo_log, FaultSign) if one.fault_id == fault.id and one.sign is SignKind.WORKING]
    assert len(rows(demo_log, FaultSign)) == signs + 1
    assert added


def test_the_question_that_is_typed_into_stays_in_view_when_what_would_be_saved_takes_more_lines(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        await press(pilot, "a")
        form = screens.screen
        assert isinstance(form, TellFaultScreen)
        await press(pilot, "n")
        form.focus_line(form.line("note"))
        await settled(pilot)
        high = form.query_one(AnswerLine).region.height
        for word in ("front cover is off ", "and the loom lies over the feeder chain ", "where it was taped in spring"):
            await enter(pilot, Text(word))
            note = form.line("note").entry
            assert form.focused is note
            assert note.region in form.query_one("#form").region, word
        assert form.query_one(AnswerLine).region.height > high

    play(demo_log, steps)


def test_a_list_that_is_longer_than_the_screen_follows_its_cursor(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *STUBBLE)
        while not isinstance(screens.screen, TryLoadsScreen):
            await press(pilot, "enter")
        form = screens.screen
        assert "Start no drive." in flat(screens), "what is to be done first stands above the list"
        names = form.line("loads").names
        assert form.query_one("#form").max_scroll_y > 0
        for name in names[1:]:
            await press(pilot, "down")
            assert f"] {name}" in flat(screens), name
        for name in reversed(names[:-1]):
            await press(pilot, "up")
            assert f"] {name}" in flat(screens), name

    play(demo_log, steps, (46, 20))


def test_what_is_taken_out_stands_there_until_it_is_put_back(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER, "x")
        form = screens.screen
        assert isinstance(form, UndoneScreen)
        assert not form.line("back").display
        await enter(pilot, "u", "down", Text("Data line plug"), "ctrl+s")
        assert "NOT PUT BACK: unplugged at Data line plug, since" in flat(screens)
        await press(pilot, "f")
        assert "CARE Not put back: unplugged at Data line plug" in flat(screens)
        await press(pilot, "escape", "x")
        form = screens.screen
        assert isinstance(form, UndoneScreen)
        form.focus_line(form.line("back"))
        await press(pilot, "d")
        await kept_at_every_size(pilot, "put_back")
        # one of the two at a time
        form.line("opened").choose(1)
        await enter(pilot, "ctrl+s")
        assert "Put back, or undone now?" in screen_text(screens)
        form.line("opened").choose(0)
        await enter(pilot, "ctrl+s")
        assert "NOT PUT BACK" not in screen_text(screens)

    play(demo_log, steps)
    (row,) = rows(demo_log, FaultOpening)
    assert row.opened is Opened.UNPLUGGED
    assert row.put_back_at is not None


def test_nothing_found_beyond_the_drawing_is_an_answer_on_the_screen_too(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *ALDER)
        case = screens.screen
        assert isinstance(case, FaultCaseScreen)
        assert case.page is not None
        screens.push(NoteCheckScreen(case.page, ""))
        await pilot.pause()
        assert "LOOK BEYOND THE DRAWING" in screen_text(screens)
        # nothing is taken for an answer that nobody gave
        await enter(pilot, "ctrl+s")
        assert "Nothing is said of the check." in flat(screens)
        await enter(pilot, "n", "ctrl+s")
        assert "beyond, good" in flat(screens)

    play(demo_log, steps)
    check = last_check(demo_log)
    assert (check.kind, check.node_id, check.verdict) == (CheckKind.BEYOND, None, CheckVerdict.GOOD)


def test_a_load_told_dead_that_is_now_said_to_work_is_asked_about_and_enter_keeps_both(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *STUBBLE)
        case = screens.screen
        assert isinstance(case, FaultCaseScreen)
        assert case.page is not None
        (dead,) = set(case.page.loads) - set(case.page.untold)
        form = await check_at(screens, pilot, dead)
        await choose(pilot, form, "kind", "t")
        assert form.answer("kind") is CheckKind.TRY_IT
        await choose(pilot, form, "verdict", "w")
        await enter(pilot, "ctrl+s")
        assert f"Of '{dead}' it was told '{dead} dead', and now" in flat(screens)
        assert "Enter: yes. Esc: no." in flat(screens)
        assert len(rows(demo_log, FaultCheck)) == before
        await kept_at_every_size(pilot, "fault_told_otherwise")
        # no: nothing is saved, and the answers stay
        await enter(pilot, "escape")
        assert "Not saved" in flat(screens)
        assert form.answer("verdict") is CheckVerdict.GOOD
        await enter(pilot, "ctrl+s")
        await pilot.pause(LONG_ENOUGH_TO_READ)
        await enter(pilot, "ctrl+s")
        assert isinstance(screens.screen, FaultCaseScreen), flat(screens)

    before = len(rows(demo_log, FaultCheck))
    play(demo_log, steps)
    assert len(rows(demo_log, FaultCheck)) == before + 1
    assert (last_check(demo_log).kind, last_check(demo_log).verdict) == (CheckKind.TRY_IT, CheckVerdict.GOOD)


def test_a_lamp_that_stayed_dark_has_the_loads_plugged_back_and_is_noted_by_what_one_sees(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *STUBBLE)
        form = await check_at(screens, pilot, "Fuse 5 header")
        await choose(pilot, form, "kind", "l")
        form.focus_line(form.line("kind"))
        while form.answer("kind") is not CheckKind.LAMP:
            await press(pilot, "right")
        await choose(pilot, form, "verdict", "d")
        assert form.answer("verdict") is CheckVerdict.GOOD
        await enter(pilot, "ctrl+s")
        assert isinstance(screens.screen, FaultCaseScreen), flat(screens)
        assert "Lamp dark: plug the loads back one at a time." in flat(screens)
        assert "NOT PUT BACK: lamp in place of the fuse at Fuse 5 header" in flat(screens)
        await press(pilot, "u")
        assert "Lamp dark" not in flat(screens)

    play(demo_log, steps)
