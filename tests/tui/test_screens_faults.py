"""Electrical faults on the screens: opened by ticks, cautions before checks, one key a result, closed, its trail, its circuits."""

from __future__ import annotations

import re
import subprocess
import sys

from textual.pilot import Pilot
from textual.widgets import TextArea

from tests.small_farm import MAY
from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import assert_snapshot, flat, play, press, rows, screen_lines, screen_text, settled
from tests.tui.test_screens_foundation import HEAVY
from tests.tui.writing import Text, enter
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, FaultMode, FixEvidence, SignKind
from wearlog.facts.electrics import CircuitNode, Fault, FaultCheck, FaultFinding, FaultSign
from wearlog.facts.machines import Machine
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.faults.circuits import share_diagram
from wearlog.logbook.open_log import open_log
from wearlog.store.finding import find_all
from wearlog.tui.app import Screens
from wearlog.tui.screens.faults.fault_case import FaultCaseScreen
from wearlog.tui.widgets.tick_field import TickField

__all__ = ["demo_file", "demo_log"]

SIZES = ((80, 24), (120, 40))
#: to the fault of Tamarack that came four times, the fourth row of the list
TAMARACK = ("4", "down", "down", "down")
#: a fault of Tamarack told again: title, two dead devices, one that works, the fuse blew as the header moved
OPENED = (
    *TAMARACK,
    "a",
    Text("header fuse blows again"),
    "down",
    "down",
    *("down", "down", "down", "down", "d"),
    *("down", "down", "d"),
    *("up", "up", "up", "w"),
)


async def keep(screens: Screens, pilot: Pilot[None], name: str) -> None:
    for wide, high in (*SIZES[1:], SIZES[0]):
        await pilot.resize_terminal(wide, high)
        await settled(pilot)
        assert_snapshot(screens, f"{name}_{wide}x{high}")


def test_importing_these_screens_loads_nothing_heavy() -> None:
    names = (
        "faults.faults",
        "faults.faults",
        "faults.fault_case",
        "faults.fault_case",
        "faults.close_fault",
        "faults.note_check",
        "faults.tell_fault",
        "faults.circuit_text",
    )
    modules = ", ".join(f"wearlog.tui.screens.{name}" for name in (*names, "plan.season_plan", "plan.plan_lists"))
    script = f"import sys, {modules}\nprint([name for name in {HEAVY} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_list_has_open_faults_first_and_can_be_filtered(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "4")
        assert "1 fault open: Alder: controllers drop off the data line, since 16 Aug 2026. 11 faults past." in flat(
            screens
        )
        assert screen_lines(screens)[5].startswith(">OPEN Alder    controllers drop off the data line ")
        await keep(screens, pilot, "faults")
        await press(pilot, "slash")
        await enter(pilot, Text("header fuse"))
        listed = [line for line in screen_lines(screens) if line.startswith((">past", " past"))]
        assert sum("header fuse" in line and "Tamarack" in line for line in listed) == 4
        assert not any("controllers" in line for line in listed)

    play(demo_log, steps)


def test_a_fault_is_opened_by_ticks_and_its_cautions_stand_before_the_first_check(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *OPENED)
        seen = screens.screen.query_one("#ask-seen", TickField).read()
        assert [(name, mark.word) for name, mark in seen] == [
            ("Left work light", "working"),
            ("Reel lift valve", "dead"),
            ("Stubble lights", "dead"),
        ]
        await keep(screens, pilot, "open_fault")
        await enter(pilot, "ctrl+s")
        assert isinstance(screens.screen, FaultCaseScreen)
        text = screen_text(screens)
        assert "BEFORE YOU TOUCH IT" in text
        assert "4. Never bridge a fuse and never fit a larger one" in text
        assert "NEXT" not in text
        await keep(screens, pilot, "fault_cautions")
        # no result is taken before they are read
        await press(pilot, "g")
        assert "BEFORE YOU TOUCH IT" in screen_text(screens)
        # Enter first shows those that are further down, and only then says that they are read
        await press(pilot, "enter")
        assert "BEFORE YOU TOUCH IT" in screen_text(screens)
        await press(pilot, "enter")
        assert re.search(r"NEXT .* min", flat(screens))

    play(demo_log, steps)
    fault = max(rows(demo_log, Fault), key=lambda one: one.opened_at)
    assert (fault.title, fault.circuit) == ("header fuse blows again", "lights")
    said = sorted(one.sign for one in rows(demo_log, FaultSign) if one.fault_id == fault.id)
    assert said == [SignKind.DEAD, SignKind.DEAD, SignKind.WORKING]
    assert [one for one in rows(demo_log, FaultCheck) if one.fault_id == fault.id] == []


def test_a_form_notes_a_result_and_the_suspects_change_at_once(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "4", "enter")
        case = screens.screen
        assert isinstance(case, FaultCaseScreen)
        assert case.page is not None
        assert case.page.step is not None
        # at 120 ohm the screen is asked first, then the terminator that was not measured yet
        assert (case.page.step.kind, case.page.step.tries[0]) == (CheckKind.TRY_IT, "Cab controller")
        await press(pilot, "n")
        assert (case.page.step.kind, case.page.step.node) == (CheckKind.RESISTANCE, "Second terminator")
        before = {one.node: one.percent for one in case.page.drawing.rows}
        await keep(screens, pilot, "fault_case")
        await enter(pilot, "enter", Text("120 ohm"), "ctrl+s")
        after = {one.node: one.percent for one in case.page.drawing.rows}
        assert int((after["Second terminator"].split() or ["0"])[0]) < int(before["Second terminator"].split()[0])
        assert int(after["Data line rear"].split()[0]) > int(before["Data line rear"].split()[0])
        assert (
            "check 4 of 'controllers drop off the data line': resistance Second terminator, 120 ohm, good, 20"
            in flat(screens)
        )
        # every step has its care, and undo brings the suspects back
        assert "CARE" in screen_text(screens)
        await press(pilot, "u")
        assert {one.node: one.percent for one in case.page.drawing.rows} == before

    play(demo_log, steps)


def test_a_measured_value_is_judged_or_goes_along_with_the_key(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "4", "enter", "n", "enter", Text("needle jumps"), "ctrl+s")
        # no rule judges that: the form stays, with what was typed
        assert "needle jumps" in screen_text(screens)
        assert not isinstance(screens.screen, FaultCaseScreen)
        await enter(pilot, "down", "down", "right", "right", "ctrl+s")
        assert "resistance Second terminator, needle jumps, bad" in flat(screens)

    play(demo_log, steps)
    check = next(one for one in rows(demo_log, FaultCheck) if one.measured == "needle jumps")
    assert (check.verdict, check.kind, check.step) == (CheckVerdict.BAD, CheckKind.RESISTANCE, 4)
    assert check.place == "in_hand"


def test_a_kind_of_check_is_passed_over_and_one_of_your_own_is_noted(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "4", "enter", "n")
        case = screens.screen
        assert isinstance(case, FaultCaseScreen)
        assert "Without: try it." in screen_text(screens)
        assert case.page is not None
        assert case.page.step is not None
        assert case.page.step.kind is not CheckKind.TRY_IT
        await press(pilot, "home", "down", "enter")
        assert "CHECK AT Battery" in screen_text(screens)
        # voltage, judged by the published limit
        await enter(
            pilot, "up", "up", "right", "down", Text("12.7 V"), "down", "down", "right", "down", Text("3"), "ctrl+s"
        )
        assert "check 4 of 'controllers drop off the data line': voltage Battery, 12.7 V, good, 20" in flat(screens)

    play(demo_log, steps)
    check = max(rows(demo_log, FaultCheck), key=lambda one: (one.at is not None, one.at))
    assert (check.measured, check.duration_seconds) == ("12.7 V", 180)


def test_last_time_stands_on_the_screen_of_a_fault_that_came_back(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *TAMARACK, "enter")
        assert "CLOSED" in screen_text(screens)
        await press(pilot, "tab")
        text = screen_text(screens)
        assert "THIS TIME" in text
        assert "5. look at Header plug pigtail: BAD, 8 min" in text
        assert "LAST TIME (30 Jul 2024): checked 2, not found" in text
        await keep(screens, pilot, "fault_checklists")
        # a closed fault takes no result
        await press(pilot, "enter", "n", "f")
        assert isinstance(screens.screen, FaultCaseScreen)

    before = rows(demo_log, FaultCheck)
    play(demo_log, steps)
    assert rows(demo_log, FaultCheck) == before


def test_the_trail_says_how_often_what_it_goes_with_and_whether_it_held(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *TAMARACK, "h")
        text = flat(screens)
        assert "header fuse blows when the header moves, for the 4th time" in text
        assert re.search(r"quiet 460 h; (over )?\d+ % that it has held", text)
        assert "It goes with header raised: noted 4 of 4 times, with other faults 0 of 8" in text
        assert "It came back after 329 h (3,519 ac), 196 h (2,379 ac) and 346 h (3,937 ac)." in text
        assert "2025 ████████████████ 4 (+1)" in text
        await keep(screens, pilot, "fault_trail")

    play(demo_log, steps)


def test_closing_notes_what_it_was_refuses_a_larger_fuse_and_shows_the_trail(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "4", "enter", "f")
        assert "Never bridge a fuse and never fit a larger one." in screen_text(screens)
        await keep(screens, pilot, "close_fault")
        await enter(pilot, Text("Engine controller"), "down", "down", Text("new plug"), "down", "right")
        await enter(pilot, "down", Text("25"), "ctrl+s")
        assert "▲ " in screen_text(screens)
        assert rows(demo_log, FaultFinding) == before
        await enter(pilot, "ctrl+u", Text("10"), "ctrl+s")
        assert "controllers drop off the data line, so far once" in screen_text(screens)
        assert "not run since; 95 % that it holds" in flat(screens)

    before = rows(demo_log, FaultFinding)
    play(demo_log, steps)
    finding = next(one for one in rows(demo_log, FaultFinding) if one not in before)
    assert (finding.evidence, finding.fix) == (FixEvidence.SEEN, "new plug, 10 A fuse")
    assert finding.mode is not FaultMode.NOT_FOUND
    assert all(one.closed_at is not None for one in rows(demo_log, Fault))


def test_the_circuits_are_edited_as_text_with_errors_by_line_and_one_undo(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *TAMARACK, "p")
        await keep(screens, pilot, "circuit_text")
        area = screens.screen.query_one(TextArea)
        area.text = area.text.replace("Left work light: device", "Left work lamp: devise")
        await settled(pilot)
        wrong = next(place for place, line in enumerate(area.text.splitlines(), 1) if "devise" in line)
        assert f'▲ Line {wrong} of the diagram: "devise' in screen_text(screens)
        await press(pilot, "ctrl+s")
        assert area.cursor_location == (wrong - 1, 0)
        area.text = area.text.replace("devise", "device")
        await press(pilot, "ctrl+s")
        assert "Saved: drew the diagram of Tamarack" in flat(screens)
        assert "Left work lamp" in {one.name for one in rows(demo_log, CircuitNode)}
        await press(pilot, "u")
        assert "Left work lamp" not in {one.name for one in rows(demo_log, CircuitNode)}

    play(demo_log, steps)


def test_nothing_drawn_offers_a_starting_diagram(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "4", "enter")
        assert "Nothing is drawn of Kestrel yet" in flat(screens)
        await press(pilot, "escape", "p")
        assert "F3 puts a starting diagram in" in flat(screens)
        await press(pilot, "f3", "f2")
        assert "Battery" in screen_text(screens)
        await press(pilot, "f2", "ctrl+s")
        assert "Saved: drew the diagram of Kestrel: added" in flat(screens)
        await press(pilot, "enter")
        assert "BEFORE YOU TOUCH IT" in screen_text(screens)

    play(small_farm, steps)


def test_a_diagram_is_given_to_a_type_edited_for_all_or_here_and_taken_back(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "4", "p", "f3", "ctrl+s", "p", "f5")
        assert "F5 again gives this diagram to Merlin." in flat(screens)
        await press(pilot, "f5")
        assert "Saved: Kestrel shares what is drawn of it" in flat(screens)
        assert all(one.shared for one in rows(small_farm, CircuitNode))
        await press(pilot, "p")
        assert "CIRCUITS OF KESTREL · for its type" in screen_text(screens)
        await press(pilot, "f5")
        assert "CIRCUITS OF KESTREL · here alone" in screen_text(screens)
        area = screens.screen.query_one(TextArea)
        area.text = area.text.replace("Right work light", "Roof lamp")
        await press(pilot, "ctrl+s")
        assert "Saved: drew the diagram of Kestrel alone" in flat(screens)
        await enter(pilot, "p", "f6")
        assert "Roof lamp: only here; Right work light: not here. F6 again draws it as the type." in flat(screens)
        await press(pilot, "f6")
        assert "Saved: Kestrel is drawn as its type" in flat(screens)
        assert "Roof lamp" not in {one.name for one in rows(small_farm, CircuitNode)}

    _of_one_type(small_farm)
    play(small_farm, steps)


def _of_one_type(log: str) -> None:
    store = open_log(log)
    with store.reading() as connection:
        kestrel = next(one for one in find_all(connection, Machine) if one.name == "Kestrel")
    add_machine(store, Machine(name="Merlin", kind=kestrel.kind, type_name="class eight"), at=MAY)
    share_diagram(store, kestrel, type_name="class eight", share=False)
    store.close()


def test_leaving_a_changed_text_asks_first(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *TAMARACK, "p")
        await enter(pilot, Text("# x\n"), "escape")
        assert "What you typed is not saved." in flat(screens)
        await press(pilot, "escape")
        assert "[4 Faults]" in screen_text(screens)

    play(demo_log, steps)


def test_the_palette_opens_a_fault(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "colon")
        await enter(pilot, Text("fuel pump dead"), "enter")
        assert isinstance(screens.screen, FaultCaseScreen)
        assert "10. Alder: fuel pump dead, engine stops" in screen_text(screens)

    play(demo_log, steps)
