"""The inspection of one machine on paper: cautions first, the numbered lines with room to write, the maps of a header."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wearlog.exchange.paper.cutterbar_map import cutterbar_map
from wearlog.exchange.paper.pages import PrintedTable, Warned, as_drawn, printed, warned
from wearlog.facts.closed_lists import MachineKind
from wearlog.present.digits import Measures
from wearlog.present.parts.strip_geometry import StripPicture
from wearlog.present.yard.inspection_sheet import HOW_TO_WRITE, inspection_sheet, inspection_title
from wearlog.present.yard.machine_page import strip_picture
from wearlog.reckoning.yard.inspection import MachineInspection

if TYPE_CHECKING:
    from markupsafe import Markup

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
