"""Sheets for the clipboard as pages: inspections, the service round, the list at the header, one fault to hand over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from wearlog.exchange.paper.inspection_page import inspection_page
from wearlog.exchange.paper.pages import PrintedTable, Warned, html_page, printed, warned
from wearlog.facts.closed_lists import Hazard
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.plain_text import one_line
from wearlog.faults.diagram_drawing import draw_diagram
from wearlog.present.digits import Measures
from wearlog.present.faults.asked_words import not_put_back, taken_up_words
from wearlog.present.faults.fault_case_words import case_title, fuse_words, sign_words
from wearlog.present.faults.fault_check_sheet import checklist_sheet, step_sheet
from wearlog.present.faults.fault_trail_sheet import trail_sheet
from wearlog.present.faults.suspect_sheet import suspect_sheet
from wearlog.present.words import listed, word
from wearlog.present.work.service_round_sheet import service_round_sheet
from wearlog.present.yard.inspection_sheet import inspection_title
from wearlog.reckoning.faults.fault_case import Advice
from wearlog.reckoning.faults.fault_trail import FaultTrail
from wearlog.reckoning.work.service_round import ServiceLine
from wearlog.reckoning.yard.inspection import MachineInspection

#: the dangers of a service round
SERVICE_HAZARDS: Final = (Hazard.HYDRAULIC, Hazard.ROTATING_DRIVE, Hazard.HOT_PART)
_RULED: Final = 22
_BY_HAND: Final = 6
#: characters of a drawing that go across a page
_ACROSS: Final = 92


@dataclass(frozen=True, slots=True)
class DrawnText:
    """A drawing made of letters, under its title."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class PlainSheet:
    """A sheet of one table, with what stands around it; `writes` is the title of ruled lines to write on, `ruled` how many."""

    page: str
    title: str
    cautions: tuple[Warned, ...]
    how: tuple[str, ...]
    lines: PrintedTable
    empty: str = ""
    drawn: tuple[DrawnText, ...] = ()
    more: tuple[PrintedTable, ...] = ()
    said: tuple[str, ...] = ()
    writes: str = ""
    ruled: int = 0


def inspection_pages(found: Sequence[MachineInspection], measures: Measures, day: str) -> str:
    """Return the inspections of machines as one HTML page, each machine on sheets of its own."""
    pages = tuple(inspection_page(one, measures, f"machine-{place}") for place, one in enumerate(found))
    return html_page(
        "clipboard.html.j2",
        {
            **_heads(measures.settings, day, inspection_title(found[0]) if len(found) == 1 else "Inspections"),
            "pages": [(one.page, f"{one.title} (sheet {one.mark})") for one in pages],
            "inspections": pages,
            "plain": (),
        },
    )


def service_round(lines: Sequence[ServiceLine], mark: str, measures: Measures, day: str) -> str:
    """Return the services that are overdue, soon due or never noted as a sheet, machine by machine."""
    sheet = service_round_sheet(lines, mark, measures)
    return _page(
        PlainSheet(
            page="round",
            title=f"Service round (sheet {mark})",
            cautions=warned(SERVICE_HAZARDS),
            how=tuple(sheet.sentences),
            lines=printed(sheet),
            empty=sheet.empty,
            writes="Seen on the way",
            ruled=_BY_HAND,
        ),
        measures.settings,
        day,
    )


def header_list(headers: Sequence[Machine], settings: FarmSettings, day: str) -> str:
    """Return a sheet to log on at the header: a line for each breakage, written as the log hears it."""
    names = listed([one_line(one.name) for one in headers]) or "the header"
    return _page(
        PlainSheet(
            page="header",
            title=f"To log on at the header: {names}",
            cautions=warned([Hazard.UNDER_HEADER, Hazard.KNIFE]),
            how=(
                "A line for each: what broke, positions from the left, why, how long it took. Like: 3 sections 41-43 rock, 20 min.",
                "Write the day above its lines. 'wearlog inbox FILE' takes the lines in once they are typed.",
            ),
            lines=PrintedTable((), ()),
            writes="Day, header, and what broke",
            ruled=_RULED,
        ),
        settings,
        day,
    )


def fault_to_hand_over(advice: Advice, trail: FaultTrail, measures: Measures, day: str) -> str:
    """Return one fault to hand over: what was seen, what is undone, its circuit, next checks, suspects, trail, room to write."""
    case = advice.case
    steps, suspects = step_sheet(advice, measures), suspect_sheet(case, measures)
    times, came_before = trail_sheet(trail, measures), len(trail.times) > 1
    fault, signs = case.fault, [sign_words(sign) for sign in case.suspects.case.signs]
    when = [word(one) for one in fault.conditions]
    return _page(
        PlainSheet(
            page="fault",
            title=case_title(case),
            cautions=_electrical(advice),
            how=(
                f"Machine: {one_line(case.machine.name)}. Open since {measures.day(fault.opened_at)}.",
                f"Seen: {'; '.join(signs) or 'no sign noted'}{f'. When: {listed(when)}' if when else ''}.",
                *(f"Blown: {fuse_words(fuse)}" for fuse in advice.blown),
                *(f"NOT PUT BACK: {one_line(not_put_back(one, measures))}." for one in case.undone),
                *((taken_up_words(case.taken_up, measures),) if case.taken_up else ()),
            ),
            lines=printed(steps, caption="Next checks"),
            drawn=(DrawnText("Circuit", draw_diagram(case.circuit, width=_ACROSS)),),
            more=(
                printed(suspects, caption="What may be wrong"),
                printed(checklist_sheet(case.this_time, measures), caption="Checked so far"),
                *((printed(times, caption="Every time it came"),) if came_before else ()),
            ),
            said=(*steps.sentences, *suspects.sentences, *(times.sentences if came_before else ())),
            writes="Found, and what was done",
            ruled=_BY_HAND,
        ),
        measures.settings,
        day,
    )


def _electrical(advice: Advice) -> tuple[Warned, ...]:
    """Return all cautions of electrical work: who is handed the sheet has read none of them yet."""
    said = dict.fromkeys(sentence for one in warned([Hazard.ELECTRICAL]) for sentence in one.sentences)
    said.update(dict.fromkeys(one.sentence for one in advice.cautions))
    return (Warned("Electrical", tuple(said)),)


def _page(sheet: PlainSheet, settings: FarmSettings, day: str) -> str:
    return html_page(
        "clipboard.html.j2",
        {
            **_heads(settings, day, sheet.title),
            "pages": [(sheet.page, sheet.title)],
            "inspections": (),
            "plain": (sheet,),
        },
    )


def _heads(settings: FarmSettings, day: str, title: str) -> dict[str, str]:
    return {"title": title, "top_left": settings.farm_name or "The fleet", "top_right": day}
