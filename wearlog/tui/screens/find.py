"""The palette that finds any action, area, machine, component, part or fault by some letters, and the list of areas for a phone."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.dom import DOMNode
from textual.screen import Screen
from textual.widgets import Input, Static

from wearlog.facts.plain_text import one_line
from wearlog.ids import NUMBER_DIGITS
from wearlog.present.tables import width
from wearlog.tui.host import Host
from wearlog.tui.questions.farm import entry_numbered, names
from wearlog.tui.remembered import Found
from wearlog.tui.screens.narrowing import NarrowingScreen
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.best_match import MatchSource
from wearlog.tui.widgets.lines import BottomLines, own_bindings, shown_key
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListOrder, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

#: cells for a name on a usual terminal and on a phone
_ROOM = (56, 30)


def _columns(rows: Sequence[ListRow]) -> tuple[ListColumn, ...]:
    needs = tuple(max((width(row.cell(1, form)) for row in rows), default=0) for form in range(len(_ROOM) + 1))
    return (
        ListColumn("what", 10, 10),
        ListColumn("name", 20, max(20, needs[0]), forms=needs),
        ListColumn("key", 6, 10, weight=1),
    )


@dataclass(frozen=True, slots=True)
class Doable:
    """An action and where it is done."""

    action: str
    node: DOMNode


class FindScreen(NarrowingScreen[None]):
    """The palette over the screen that was open."""

    ABOUT: ClassVar[str] = (
        "Every action, area, machine, component, part and fault, and the wear of every kind that is on. Type as you would say it: "
        "the best match stands first, words may stand in any order, people's other words for a part do too (sickle), a letter may "
        "be wrong. A number of six digits, as it stands on screens and paper, finds its entry, to look at or to change. Enter "
        "opens what is under the cursor."
    )

    def __init__(self, over: Screen[Any]) -> None:
        super().__init__("Find", "a name, an action, a number")
        self.over = over
        self._actions: tuple[ListRow, ...] = ()
        #: what has the number that was typed, if that is one
        self._numbered: tuple[Found, ...] = ()

    def on_mount(self) -> None:
        """Show the actions at once; the names come when they were read."""
        self._actions = (*_actions(self.over), *_sections(self.screens, self.app))
        self._show(self.screens.names)
        self.screens.ask(self, "names", names, self._take_names, lambda _: None)

    def _take_names(self, found: tuple[Found, ...]) -> None:
        self.screens.names = found
        self._show(found)

    @on(Input.Changed)
    def _ask_number(self, event: Input.Changed) -> None:
        """A number that stands on a screen or on paper is looked for in the log."""
        number = event.value.strip()
        if number.isdigit() and len(number) >= NUMBER_DIGITS:
            self.screens.ask(self, "numbered", partial(entry_numbered, number=number), self._take_numbered)

    def _take_numbered(self, found: Found | None) -> None:
        self._numbered = (found,) if found is not None else ()
        self._show(self.screens.names)

    def _show(self, found: tuple[Found, ...]) -> None:
        named = tuple(_row(one, one.what, _called(one), also=one.also) for one in (*self._numbered, *found))
        rows = (*self._actions, *named)
        order = ListOrder(words=self.query_one(Input).value)
        self.query_one(WindowedList).show(MatchSource(_columns(rows), rows, sort_at=0), order)

    @on(Input.Submitted)
    def _open(self) -> None:
        row = self.query_one(WindowedList).row
        if row is not None:
            self._do(row)

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open what was clicked."""
        self._do(message.row)

    def _do(self, row: ListRow) -> None:
        self.dismiss()
        if isinstance(row.key, Found):
            if row.key.machine_id is not None and row.key.what != "fault":
                component_id = row.key.row_id if row.key.what == "component" else None
                self.screens.look_at_machine(row.key.machine_id, component_id)
            else:
                self.screens.open_found(row.key)
            return
        if isinstance(row.key, Doable):
            self.app.call_later(self.app.run_action, row.key.action, row.key.node)


def _called(found: Found) -> str:
    # who types the name of a part means the one on a machine first
    return one_line(f"wear of {found.name}" if found.what == "kind" else found.name)


def _row(
    key: Hashable, what: str, name: str, shortcut: str = "", short: str = "", also: tuple[str, ...] = ()
) -> ListRow:
    """A row that says the short name where the whole one finds no room; where it does, it stays whole beside those that do not."""
    forms = (name if width(name) <= room else short or name for room in _ROOM)
    return ListRow(key, (what, name, shortcut), shorter=tuple((what, form, shortcut) for form in forms), also=also)


def _actions(over: Screen[Any]) -> tuple[ListRow, ...]:
    rows: dict[str, ListRow] = {}
    for active in own_bindings(over.active_bindings.values()):
        binding = active.binding
        words = binding.tooltip or binding.description
        what = "area" if binding.action.startswith("open_area") else "action"
        short = words.partition(":")[0] if what == "area" else binding.description
        doable, key = Doable(binding.action, active.node), shown_key(binding)
        rows[binding.action] = _row(doable, what, words, key, short, also=(binding.description,))
    for name in INKS:
        action = f"use_theme('{name}')"
        rows[action] = _row(Doable(action, over.app), "colours", name)
    return tuple(rows.values())


def _sections(screens: Host, app: DOMNode) -> tuple[ListRow, ...]:
    """The sections that are screens of their own: nobody has to know in which area one is."""
    return tuple(
        _row(Doable(f"open_area('{mode}')", app), "area", f"{name} ({area.title})", area.key)
        for area in screens.area_tabs
        for mode, name in screens.sections_of(area.mode)
    )


def _area_columns(rows: Sequence[ListRow]) -> tuple[ListColumn, ...]:
    needs = tuple(max(width(row.cell(2, form)) for row in rows) for form in (0, 1))
    return (
        ListColumn("", 1, 1),
        ListColumn("area", 9, 12),
        ListColumn("what it answers", 20, max(20, needs[0]), weight=1, forms=needs),
    )


FARM = "settings"


class AreaList(OverScreen[None]):
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

    def __init__(self, over: Screen[Any]) -> None:
        super().__init__()
        self.here = str(getattr(over, "AREA", ""))

    def compose(self) -> ComposeResult:
        yield Static("Where to?", id="title", markup=False)
        yield WindowedList(id="areas")
        yield BottomLines()

    def on_mount(self) -> None:
        """Put the cursor on the area that is open."""
        areas = self.query_one(WindowedList)
        rows = _rows(self.screens)
        areas.show(FixedSource(_area_columns(rows), rows))
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


def _rows(screens: Host) -> tuple[ListRow, ...]:
    rows: list[ListRow] = []
    for area in screens.area_tabs:
        # on a phone the first clause of what it answers
        short = area.about.partition(",")[0].partition(":")[0]
        rows.append(ListRow(area.mode, (area.key, area.title, area.about), shorter=((area.key, area.title, short),)))
        rows += [
            ListRow(mode, ("", f"  {name}", ""), shorter=(("", f"  {name}", ""),))
            for mode, name in screens.sections_of(area.mode)
        ]
    farm = (",", "Farm", "settings of the farm and of this device"), (",", "Farm", "settings")
    return (*rows, ListRow(FARM, farm[0], shorter=farm[1:]))
