"""The four lists of the season plan: their names, their columns, their rows out of the page. Draws nothing."""

from __future__ import annotations

from collections.abc import Hashable
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from wearlog.tui.widgets.list_rows import FixedSource
from wearlog.tui.widgets.sheet_rows import blocks_source

if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.plan_shown import PlanPage

TABS: Final = (("lines", "1 Replace or run"), ("spares", "2 Spares"), ("orders", "3 Orders"), ("areas", "4 To cut"))
#: action -> the lists on which it does something
ONLY_ON: Final = MappingProxyType(
    {
        "choose": ("lines",),
        "figures": ("lines",),
        "all": ("lines", "spares"),
        "receive": ("orders",),
        "order": ("orders",),
        "add_area": ("areas",),
        "take_out": ("areas",),
    }
)


def empty_words(tab: str, page: PlanPage | None) -> str:
    """Return what stands in a list without a row: what to do first, where nothing can be reckoned yet."""
    if page is None:
        return ""
    if page.hint or tab == "orders":
        return page.hint or "Nothing to order."
    sheet = page.lines if tab == "lines" else page.spares
    return f"{sheet.short().empty.removesuffix('.')}; a shows all." if sheet.rows else sheet.empty


def plan_source(tab: str, page: PlanPage | None, *, show_all: bool) -> FixedSource:
    """Return the rows of a list: all of them, or those worth a look."""
    if page is None:
        return FixedSource((), ())
    if tab == "orders":
        return blocks_source(page.orders)
    if tab == "spares":
        return _source(page.spares) if show_all else _source(page.spares.short())
    lines = page.lines if show_all else page.lines.short()
    return _source(lines, page.undecided if show_all else page.undecided.short())


def _source(*sheets: AnswerSheet[Any]) -> FixedSource:
    below = [f"{sheet.rest.removesuffix('.')}; a shows them." for sheet in sheets if sheet.rest]
    return blocks_source(sheets, below if any(sheet.rows for sheet in sheets) else ())


def row_about(tab: str, page: PlanPage | None, key: Hashable) -> str:
    """Return what is known of a row of the lines or the spares."""
    if page is None or tab not in ("lines", "spares"):
        return ""
    sheets: tuple[AnswerSheet[Any], ...] = (page.lines, page.undecided) if tab == "lines" else (page.spares,)
    found = ((sheet, row) for sheet in sheets for row in sheet.rows if sheet.key_of(row) == key)
    return next((sheet.about(row, sheet.measures) for sheet, row in found), "")
