"""Every form of a work in which a life is at risk, with every danger that it can have: the whole list once, one row after it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from textual.pilot import Pilot
from textual.screen import Screen

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, rows, screen_lines, settled
from tests.tui.test_screens_read_first import read
from tests.tui.writing import Text, enter
from wearlog.facts.cautions import CAUTIONS, RISKS_A_LIFE, hazards_of_service, hazards_said
from wearlog.facts.closed_lists import Hazard
from wearlog.facts.machines import Machine, ServiceItem
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.tui.app import Screens
from wearlog.tui.remembered import Pointed
from wearlog.tui.screens.cautions import ReadFirstPage
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.parts.breakages import BreakageScreen
from wearlog.tui.screens.parts.fit_parts import FitScreen
from wearlog.tui.screens.parts.measure_part import MeasureScreen
from wearlog.tui.screens.work.enter_run import StoppageScreen
from wearlog.tui.screens.work.services import ServiceDoneScreen
from wearlog.tui.widgets.answer_line import AnswerLine

__all__ = ["demo_file", "demo_log"]

#: a note of a stoppage that names each danger, and no other that risks a life
NOTES = {
    Hazard.UNPLUGGING: "feeder plugged",
    Hazard.LIFTING: "jacked up",
    Hazard.TIRE: "rim",
    Hazard.SPRING: "gas spring",
    Hazard.KNIFE: "cutterbar",
    Hazard.HYDRAULIC: "hose",
    Hazard.GRAIN_TANK: "grain tank",
    Hazard.BATTERY: "battery",
    Hazard.ELECTRICAL: "wiring",
    Hazard.HOT_PART: "turbo",
    Hazard.UNDER_HEADER: "skid",
}


def opened(log: str) -> Iterator[tuple[str, Hazard, Callable[[], Screen[None]]]]:
    """Return what each form is opened on, the danger of that work, and the form; one of each kind and danger."""
    kinds = {one.id: one for one in rows(log, PartKind)}
    seen = set()
    for component in rows(log, Component):
        hazard = kinds[component.part_kind_id].hazard
        if hazard not in RISKS_A_LIFE or hazard is None or hazard in seen:
            continue
        seen.add(hazard)
        pointed = Pointed(component.machine_id, component.id)
        yield f"breakage, {component.place}", hazard, lambda pointed=pointed: BreakageScreen(pointed)
        yield f"fit, {component.place}", hazard, lambda one=component: FitScreen(one.id, ())
    done = set()
    for item in rows(log, ServiceItem):
        risky = [one for one in hazards_of_service(item.hazard, item.name) if one in RISKS_A_LIFE]
        if len(risky) == 1 and risky[0] not in done:
            done.add(risky[0])
            yield f"service, {item.name}", risky[0], lambda one=item: ServiceDoneScreen(one)
    # a measurement begins with the first part of its machine that is measured: the header's are its hold-downs
    merlin = next(one for one in rows(log, Machine) if one.name == "Merlin")
    yield "measure", Hazard.KNIFE, lambda: MeasureScreen(merlin.id)


def row_of_care(screens: Screens) -> tuple[int, int]:
    """Return the line in which the row of cautions stands, and the one in which the form begins."""
    lines = screen_lines(screens)
    care = next(place for place, line in enumerate(lines) if line.startswith(" ▲ CARE"))
    answer = screens.screen.query_one(AnswerLine).region
    return care, answer.bottom


async def wrong_of(screens: Screens, pilot: Pilot[None], hazard: Hazard) -> str:
    """Look at the form that was just opened, read its page, open it again; return what is not as the rule has it."""
    page = screens.screen
    if not isinstance(page, ReadFirstPage):
        return f"begins with {type(page).__name__}"
    shown = " ".join(str(page.query_one("#text").render()).split())
    if missing := [one for one in CAUTIONS[hazard] if one not in shown]:
        return f"does not say {missing}"
    await read(pilot)
    if isinstance(screens.screen, ReadFirstPage):
        return "has two pages before the form"
    care, form_begins = row_of_care(screens)
    if not 1 < care < form_begins:
        return f"the row stands in line {care}, the form begins in {form_begins}"
    return ""


@pytest.mark.parametrize("size", [(46, 20), (80, 24)])
def test_the_whole_list_stands_once_before_every_work_and_one_row_after(demo_log: str, size: tuple[int, int]) -> None:
    found, dangers = {}, set()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for name, hazard, form in opened(demo_log):
            screens.spells.forget()
            screens.push(form())
            await settled(pilot)
            if wrong := await wrong_of(screens, pilot, hazard):
                found[name] = wrong
            dangers.add(hazard)
            while len(screens.screen_stack) > 1:
                screens.pop_screen()
            screens.push(form())
            await settled(pilot)
            if isinstance(screens.screen, ReadFirstPage):
                found[name] = "asks again for the same work"
            while len(screens.screen_stack) > 1:
                screens.pop_screen()
            await settled(pilot)

    play(demo_log, steps, size, unread=True)
    assert found == {}
    assert dangers >= {Hazard.KNIFE, Hazard.UNDER_HEADER, Hazard.GRAIN_TANK, Hazard.HOT_PART, Hazard.ELECTRICAL}


def test_each_danger_has_words_that_bring_its_list() -> None:
    assert set(NOTES) == RISKS_A_LIFE
    assert {hazard: hazards_said(note) for hazard, note in NOTES.items()} == {one: (one,) for one in NOTES}


def test_words_of_each_danger_bring_the_whole_list_before_it_is_saved_and_once(demo_log: str) -> None:
    found = {}

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for hazard, note in NOTES.items():
            screens.spells.forget()
            await enter(pilot, "d", "tab", "tab", "tab", Text(note), "tab")
            if wrong := await wrong_of(screens, pilot, hazard):
                found[hazard] = wrong
            if not isinstance(screens.screen, StoppageScreen):
                found[hazard] = f"leads to {flat(screens)[:60]}"
            # Esc asks whether what was typed may go
            await press(pilot, "escape", "escape")
            if isinstance(screens.screen, FormScreen):
                found[hazard] = "cannot be left"
            while len(screens.screen_stack) > 1:
                screens.pop_screen()

    play(demo_log, steps, unread=True)
    assert found == {}
