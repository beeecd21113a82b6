"""Every breakage of the farm, latest first."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from wearlog.tui.questions.daybook import last_breakage
from wearlog.tui.questions.work import breakages
from wearlog.tui.screens.daybook import DaybookSection
from wearlog.tui.widgets.list_rows import ListOrder, ListSource

if TYPE_CHECKING:
    from wearlog.tui.door import Door


class BreakagesScreen(DaybookSection):
    """The list of breakages."""

    MODE: ClassVar[str] = "breakages"
    ABOUT: ClassVar[str] = (
        "Every breakage that was logged, the latest first. / shows only rows in which all your words occur (a machine, "
        "a part, rock, left ...); o orders by the next column, O turns the order round. b logs another one."
    )
    EMPTY: ClassVar[str] = "No breakage here. b logs one."
    usual_order = ListOrder(sort="when", backwards=True)

    def answer(self) -> Callable[[Door], tuple[str, str]] | None:
        return last_breakage

    def source(self) -> ListSource | None:
        return breakages()
