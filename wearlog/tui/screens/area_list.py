"""The list of all areas with what each answers: for a phone, where their names find no room."""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from wearlog.tui.host import Host
from wearlog.tui.widgets.lines import BottomLines
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

_COLUMNS = (ListColumn("", 1, 1), ListColumn("area", 9, 12), ListColumn("what it answers", 20, 60, weight=1))
FARM = "settings"


class AreaList(ModalScreen[None]):
    """Over the screen that was open; a digit opens an area from here as from everywhere."""

    ABOUT: ClassVar[str] = (
        "All areas with what each answers. Its digit opens an area, from here and from every other screen."
    )
    DEFAULT_CSS = """
    AreaList {
        background: $paper;
        color: $ink;
        #title { dock: top; height: 1; background: $band; color: $mark; text-style: bold; padding: 0 1; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "back"),
        *(Binding(str(digit), f"go_to({digit})", "area", show=False, tooltip="that area") for digit in range(1, 10)),
        Binding("comma", f"go('{FARM}')", "Farm", show=False),
        Binding("f1,question_mark", "help", "keys", key_display="?"),
    ]

    def __init__(self, over: Screen[Any], screens: Host) -> None:
        super().__init__()
        self.here = str(getattr(over, "AREA", ""))
        self.screens = screens

    def compose(self) -> ComposeResult:
        yield Static("Where to?", id="title", markup=False)
        yield WindowedList(FixedSource(_COLUMNS, _rows(self.screens)), id="areas")
        yield BottomLines()

    def on_mount(self) -> None:
        """Put the cursor on the area that is open."""
        areas = self.query_one(WindowedList)
        areas.focus()
        areas.move_to_key(self.here)

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the area under the cursor."""
        self.action_go(str(message.row.key))

    def action_go_to(self, digit: int) -> None:
        """Open the area of a digit."""
        self.action_go(self.screens.area_tabs[digit - 1].mode)

    def action_go(self, mode: str) -> None:
        """Open an area."""
        self.dismiss()
        action = FARM if mode == FARM else f"open_area('{mode}')"
        self.app.call_later(self.app.run_action, action, self.app)

    async def action_help(self) -> None:
        """Open the help."""
        await self.app.run_action("help", self.app)

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        return self.ABOUT

    def action_close(self) -> None:
        """Go back."""
        self.dismiss()


def _rows(screens: Host) -> tuple[ListRow, ...]:
    rows: list[ListRow] = []
    for area in screens.area_tabs:
        rows.append(ListRow(area.mode, (area.key, area.title, area.about)))
        rows += [ListRow(mode, ("", f"  {name}", "")) for mode, name in screens.sections_of(area.mode)]
    return (*rows, ListRow(FARM, (",", "Farm", "settings of the farm and of this device")))
