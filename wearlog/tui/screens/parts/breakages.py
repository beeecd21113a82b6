"""Every breakage of the farm, latest first."""

from __future__ import annotations

from typing import ClassVar

from wearlog.tui.questions.work import breakages
from wearlog.tui.screens.daybook import DaybookSection
from wearlog.tui.widgets.list_rows import ListOrder, ListSource


class BreakagesScreen(DaybookSection):
    """The list of breakages."""

    MODE: ClassVar[str] = "breakages"
    ABOUT: ClassVar[str] = (
        "Every breakage that was logged, the latest first. / shows only rows in which all your words occur (a machine, "
        "a part, rock, left ...); o orders by the next column, O turns the order round. b logs another one."
    )
    EMPTY: ClassVar[str] = "No breakage here. b logs one."
    usual_order = ListOrder(sort="when", backwards=True)

    def source(self) -> ListSource | None:
        return breakages()
