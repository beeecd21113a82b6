"""Questions about the shelf."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.stock import Shelf
    from wearlog.tui.door import Door


def shelf(door: Door) -> AnswerSheet[Shelf]:
    """Return every part, the low ones first."""
    from wearlog.present.digits import Measures
    from wearlog.present.stock_sheet import stock_sheet
    from wearlog.reckoning.stock import shelf_view

    view = shelf_view(door.log)
    return stock_sheet(view.shelves, view.kind_names, Measures(view.settings))
