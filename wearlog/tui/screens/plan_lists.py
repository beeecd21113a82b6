"""The four lists of the season plan: their names, their columns, their rows out of the page. Draws nothing."""

from __future__ import annotations

from collections.abc import Hashable
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.sheet_rows import blocks_source

if TYPE_CHECKING:
    from wearlog.present.plan_rows import PlanPage

LINES: Final = (
    ListColumn("", 3, 3),
    ListColumn("part", 18, 40),
    ListColumn("which", 10, 16, weight=3),
    ListColumn("age", 9, 10, figures=True, weight=2),
    ListColumn("limit", 9, 10, figures=True, weight=4),
    ListColumn("saves", 7, 8, figures=True),
    ListColumn("sure", 9, 9, figures=True, weight=1),
    ListColumn("says", 13, 13),
)
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
    if page is not None and page.hint:
        return page.hint
    return {
        "lines": "Nothing pays to replace before the season; a shows every component.",
        "spares": page.spares.empty if page is not None else "",
        "orders": "Nothing to order.",
    }[tab]


def plan_source(tab: str, page: PlanPage | None, *, show_all: bool) -> FixedSource:
    """Return the rows of a list: all of them, or those worth a look."""
    if page is None:
        return FixedSource(LINES, ())
    if tab == "lines":
        shown = [one for one in page.lines if show_all or one.number in page.listed or one.changed]
        return FixedSource(LINES, tuple(ListRow(one.component_id, one.cells) for one in shown))
    if tab == "orders":
        return blocks_source(page.orders)
    spares = page.spares if show_all else page.spares.short()
    return blocks_source([spares], f"{spares.rest.removesuffix('.')}; a shows them." if spares.rest else "")


def row_about(tab: str, page: PlanPage | None, key: Hashable) -> str:
    """Return what is known of a row of the lines or the spares."""
    if page is None or key is None:
        return ""
    if tab == "lines":
        return " ".join(one.about for one in page.lines if one.component_id == key)
    spares = page.spares
    return " ".join(
        spares.about(row, spares.measures) for row in spares.rows if tab == "spares" and spares.key_of(row) == key
    )
