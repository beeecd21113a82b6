"""Sheets for the clipboard as pages: inspections, the service round, the list at the header, one fault to hand over.

Cautions stand first, then numbered lines with room to write; a row of positions is a map with a cell to tick for each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import fill
from typing import TYPE_CHECKING, Final

from wearlog.exchange.paper.drawing import WIDE, Drawing
from wearlog.exchange.paper.pages import PrintedTable, Warned, as_drawn, html_page, printed, warned
from wearlog.facts.closed_lists import Hazard, MachineKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.plain_text import one_line
from wearlog.faults.diagram_drawing import draw_diagram
from wearlog.present.digits import Measures
from wearlog.present.faults.drawing_sheet import TOLD, node_shares
from wearlog.present.faults.fault_case_words import case_title, fuse_words, not_put_back, sign_words, taken_up_words
from wearlog.present.faults.fault_trail_sheet import trail_sheet
from wearlog.present.faults.how_to_measure import wire_words
from wearlog.present.faults.suspect_sheet import checklist_sheet, step_sheet, suspect_sheet
from wearlog.present.parts.strip_geometry import (
    NO_LIFE,
    NOTHING_FITTED,
    OLDEST,
    UNKNOWN_AGE,
    StripPicture,
    StripPosition,
)
from wearlog.present.words import listed, word
from wearlog.present.work.service_sheet import service_round_sheet
from wearlog.present.yard.inspection_sheet import HOW_TO_WRITE, inspection_sheet, inspection_title
from wearlog.present.yard.machine_page import strip_picture
from wearlog.reckoning.faults.fault_case import Advice
from wearlog.reckoning.faults.fault_trail import FaultTrail
from wearlog.reckoning.work.services_due import ServiceLine
from wearlog.reckoning.yard.inspection import MachineInspection

if TYPE_CHECKING:
    from markupsafe import Markup


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
                f"Machine: {one_line(case.machine.name)}. Open since {measures.date_said(fault.opened_at)}.",
                f"Seen: {'; '.join(signs) or 'no sign noted'}{f'. When: {listed(when)}' if when else ''}.",
                *(f"Blown: {fuse_words(fuse)}" for fuse in advice.blown),
                *(f"NOT PUT BACK: {one_line(not_put_back(one, measures))}." for one in case.undone),
                *((taken_up_words(case.taken_up, measures),) if case.taken_up else ()),
            ),
            lines=printed(steps, caption="Next checks"),
            drawn=(DrawnText("Circuit", draw_diagram(case.circuit, width=_ACROSS)), *_wires(advice)),
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


def _wires(advice: Advice) -> tuple[DrawnText, ...]:
    """Return the wire, pin and picture at each place that the sheet speaks of, where any is noted."""
    case, meant = advice.case, {name for name, share in node_shares(advice.case.suspects).items() if share >= TOLD}
    for step in advice.steps:
        meant.update(check.node for check in (step.check, *step.together) if check is not None)
        meant.add(step.repair or "")
    meant.update(one.node for one in case.undone)
    lines = [
        fill(f"{one_line(node.name)}: {wire_words(node)}", _ACROSS, subsequent_indent="  ")
        for node in case.circuit.nodes
        if node.name in meant and wire_words(node)
    ]
    return (DrawnText("Wires", "\n".join(lines)),) if lines else ()


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


#: fewer positions are no row in which one loses count
_FEWEST_OF_A_MAP = 8


@dataclass(frozen=True, slots=True)
class PositionMap:
    """A row of positions: what it is, its drawing, where it is hot and what to look for there."""

    title: str
    picture: Markup
    hot: str


@dataclass(frozen=True, slots=True)
class InspectionPage:
    """One machine's sheet; `page` is the name of its sort of page."""

    page: str
    title: str
    mark: str
    cautions: tuple[Warned, ...]
    lines: PrintedTable
    empty: str
    how: str
    maps: tuple[PositionMap, ...]


def inspection_page(found: MachineInspection, measures: Measures, page: str) -> InspectionPage:
    """Return it; `page` names the sort of page in the style."""
    sheet = inspection_sheet(found, measures)
    is_header = found.view.machine.kind is MachineKind.HEADER
    pictures = [strip_picture(one.now, measures) for one in found.lines if one.now is not None]
    return InspectionPage(
        page=page,
        title=inspection_title(found),
        mark=found.mark,
        cautions=warned(found.hazards),
        lines=printed(sheet, caption=""),
        empty=sheet.empty,
        how=HOW_TO_WRITE,
        maps=tuple(_map(one) for one in pictures if is_header and len(one.positions) >= _FEWEST_OF_A_MAP),
    )


def _map(picture: StripPicture) -> PositionMap:
    return PositionMap(picture.title, as_drawn(cutterbar_map(picture)), picture.hot_words)


#: positions in a line, so that a cell holds three figures and a tick
_IN_A_LINE: Final = 40

_HIGH: Final = 60.0

_SMALL: Final = 6.5


def cutterbar_map(picture: StripPicture) -> str:
    """Draw every position: number, how often it broke, how much of its life is behind it, a cell to tick.

    The bar in a cell is as high as its share of the high end of the life; ? age unknown, o nothing fitted. A black triangle is a
    part that is broken and still on; a bracket spans where stones hit more than chance.
    """
    count = len(picture.positions)
    in_a_line = min(_IN_A_LINE, count)
    lines = -(-count // in_a_line)
    wide = min(WIDE / in_a_line, 30.0)
    drawing = Drawing(lines * _HIGH + 2, f"{picture.title}: a cell for each position")
    for line in range(lines):
        first = line * in_a_line
        for place, position in enumerate(picture.positions[first : first + in_a_line]):
            _cell(drawing, position, first + place + 1, place * wide, line * _HIGH, wide)
        _bracket(drawing, picture, first + 1, min(first + in_a_line, count), line * _HIGH, wide)
    return drawing.svg()


def _cell(drawing: Drawing, one: StripPosition, number: int, x: float, y: float, wide: float) -> None:
    drawing.words(x + wide / 2, y + 14, str(number), size=_SMALL, at="middle", bold=number % 10 == 0)
    drawing.box(x, y + 17, wide, 14)
    if one.shade >= 0:
        share = 14 * (one.shade + 0.5) / (OLDEST + 1)
        drawing.box(x + 1, y + 31 - share, wide - 2, share, fill="#bbb", ink="none")
    else:
        mark = {UNKNOWN_AGE: "?", NOTHING_FITTED: "o", NO_LIFE: "-"}[one.shade]
        drawing.words(x + wide / 2, y + 27, mark, size=8, at="middle")
    if one.breakages:
        drawing.words(x + wide / 2, y + 27, str(one.breakages), size=8, at="middle", bold=True)
    drawing.box(x, y + 31, wide, 14)
    if one.left:
        middle = x + wide / 2
        drawing.shape([(middle - 5, y + 54), (middle + 5, y + 54), (middle, y + 46)])


def _bracket(drawing: Drawing, picture: StripPicture, first: int, last: int, y: float, wide: float) -> None:
    if picture.hot is None or picture.hot[0] > last or picture.hot[1] < first:
        return
    begins, ends = max(picture.hot[0], first), min(picture.hot[1], last)
    left, right = (begins - first) * wide + 1, (ends - first + 1) * wide - 1
    drawing.line(left, y + 4, right, y + 4, thick=1.6)
    if begins == picture.hot[0]:
        drawing.line(left, y + 4, left, y + 9, thick=1.6)
    if ends == picture.hot[1]:
        drawing.line(right, y + 4, right, y + 9, thick=1.6)
    drawing.words(right + 4, y + 7, "HOT", size=_SMALL, bold=True)
