"""The fixed lines of every screen: where one is (top), what was said last, and the keys (bottom)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import ClassVar, Final

from rich.text import Text
from textual import events
from textual.app import App, ComposeResult, RenderResult
from textual.binding import ActiveBinding, Binding
from textual.containers import Vertical
from textual.keys import key_to_character
from textual.reactive import reactive
from textual.timer import Timer
from textual.widget import Widget

from wearlog.facts.plain_text import one_line
from wearlog.present.drawing.marks import WANTS_A_HAND
from wearlog.present.tables import width
from wearlog.tui.host import AreaTab, host_of


class TopLine(Widget):
    """The areas with their digits, the open one in brackets; where they find no room, the open one and the key that lists all.

    The name of the farm or machine stands at the right where there is room.
    """

    COMPONENT_CLASSES: ClassVar[set[str]] = {"top-line--here", "top-line--name"}
    DEFAULT_CSS = """
    TopLine {
        dock: top;
        height: 1;
        background: $band;
        color: $ink;
        & .top-line--here { color: $mark; background: $band; text-style: bold underline; }
        & .top-line--name { color: $ink; background: $band; text-style: bold; }
    }
    """

    name_shown: reactive[str] = reactive("")
    """What stands at the right end."""

    def __init__(self, tabs: Sequence[AreaTab], here: str) -> None:
        super().__init__()
        self.tabs = tuple(tabs)
        self.here = here
        #: first cell, one behind the last, and the action of a click
        self._spans: list[tuple[int, int, str]] = []

    def render(self) -> RenderResult:
        line = Text(no_wrap=True, end="")
        self._spans = []
        room = self.size.width
        name = one_line(self.name_shown)
        if sum(len(tab.title) + 3 for tab in self.tabs) + 2 <= room:
            self._name_all(line)
        else:
            self._name_here(line, room - width(name) - 2)
        # a cell stays free at the end, unless the whole name needs it
        left = room - line.cell_len - (1 if width(name) == room - line.cell_len - 1 else 2)
        # whole words of it, as many as find room: a name is not cut
        shown = next(iter(wrap(name, left, break_long_words=False)), "") if left > 4 else ""
        if shown and width(shown) <= left:
            line.append(" " * max(left - width(shown) + 1, 1))
            line.append(shown, self.get_component_rich_style("top-line--name"))
        return line

    def _name_all(self, line: Text) -> None:
        here = self.get_component_rich_style("top-line--here")
        line.append("" if self._is_open(0) else " ")
        for place, tab in enumerate(self.tabs):
            start = line.cell_len
            words = f"{tab.key} {tab.title}"
            line.append(f"[{words}]" if self._is_open(place) else words, here if self._is_open(place) else "")
            self._spans.append((start, line.cell_len, f"open_area('{tab.mode}')"))
            line.append(" ")

    def _name_here(self, line: Text, room: int) -> None:
        for tab in self.tabs:
            if tab.mode == self.here:
                line.append(f"[{tab.key} {tab.title}]", self.get_component_rich_style("top-line--here"))
                line.append(" ")
        start = line.cell_len
        # beside a long name in few words: half a name is another one
        line.append("0 opens menu" if start + len("0 opens menu") <= room else "0 menu")
        self._spans.append((start, line.cell_len, "list_areas"))

    def _is_open(self, place: int) -> bool:
        return place < len(self.tabs) and self.tabs[place].mode == self.here

    def on_click(self, event: events.Click) -> None:
        """Open the area that was clicked, or the list of all."""
        for start, end, action in self._spans:
            if start <= event.x < end:
                self.app.call_later(self.app.run_action, action, self.app)


#: seconds for which a sentence stands that is no alarm
SAID_FOR: Final = 20.0


class SayLine(Widget):
    """One line with what was done or went wrong last: a person must not have to hunt for it. A click takes it away.

    What was done goes after a while; what went wrong stays on its screen.
    """

    DEFAULT_CSS = """
    SayLine {
        height: auto;
        max-height: 3;
        background: $paper;
        color: $mark;
        text-style: bold;
        padding: 0 1;
        &.-alarm { color: $alarm; max-height: 6; }
        &.-silent { display: none; }
    }
    """

    def __init__(self) -> None:
        super().__init__(classes="-silent")
        self._said = ""
        self._until: Timer | None = None

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence; an empty one clears the line. An alarm begins with a mark, not only with another colour."""
        clean = one_line(sentence)
        self._said = f"{WANTS_A_HAND} {clean}" if alarm and clean else clean
        if self._until is not None:
            self._until.stop()
        self._until = None if alarm or not clean else self.set_timer(SAID_FOR, self.clear)
        self.set_class(alarm, "-alarm")
        self.set_class(not clean, "-silent")
        self.refresh(layout=True)

    def clear(self) -> None:
        """Take the sentence away."""
        self.say("")

    def on_click(self) -> None:
        """It has been read."""
        self.clear()

    @property
    def said(self) -> str:
        """The line as it is shown."""
        return self._said

    def render(self) -> RenderResult:
        return Text(self._said, end="")


#: keys in the last line, and on a phone
MOST_KEYS, MOST_ON_A_PHONE, _PHONE = 7, 4, 60


class FootLine(Widget):
    """The keys of the moment: what Enter does first, `? keys` last, at most seven; all the others are on the help page."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"foot-line--key"}
    DEFAULT_CSS = """
    FootLine {
        height: 1;
        background: $band;
        color: $ink;
        & .foot-line--key { color: $mark; background: $band; text-style: bold; }
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self._spans: list[tuple[int, int, ActiveBinding]] = []

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self.refresh())

    def render(self) -> RenderResult:
        line = Text(no_wrap=True, end="")
        self._spans = []
        key_style = self.get_component_rich_style("foot-line--key")
        for active in self._shown():
            start = line.cell_len
            line.append(f" {shown_key(active.binding)}", key_style)
            line.append(f" {active.binding.description} ")
            self._spans.append((start, line.cell_len, active))
        return line

    def _shown(self) -> list[ActiveBinding]:
        """The keys that find room, in their order; the one that goes back and the one that lists all of them always do."""
        every = foot_order(self.screen.active_bindings.values(), getattr(self.screen, "FOOT", ()))
        most = MOST_ON_A_PHONE if self.size.width < _PHONE else MOST_KEYS
        last = every[-1:] if every and every[-1].binding.action == HELP_ACTION else []
        kept = [*[one for one in every if one.binding.key == "escape"][:1], *last]
        room = self.size.width - sum(_cells(one) for one in kept)
        left = most - len(kept)
        shown: list[ActiveBinding] = []
        for one in every:
            if one in kept:
                shown.append(one)
            elif left and _cells(one) <= room:
                shown.append(one)
                room -= _cells(one)
                left -= 1
        return shown

    def on_click(self, event: events.Click) -> None:
        """Do what the key does that was clicked."""
        for start, end, active in self._spans:
            if start <= event.x < end and not host_of(self).is_clicked_early(active.binding.key):
                self.app.call_later(self.app.run_action, active.binding.action, active.node)


HELP_ACTION: Final = "help"


def foot_order(active: Iterable[ActiveBinding], wanted: Sequence[str] = ()) -> list[ActiveBinding]:
    """Return the keys worth a place in the last line: those of Enter and Space, the screen's, what works everywhere, help.

    Parameters
    ----------
    active : iterable of ActiveBinding
    wanted : sequence of str
        Actions that a screen wants first, in this order; Enter still comes before them.
    """
    own = [one for one in own_bindings(active) if one.binding.show]
    everywhere = [one for one in own if isinstance(one.node, App)]
    here = [one for one in own if not isinstance(one.node, App)]

    def place(one: ActiveBinding) -> tuple[int, int]:
        action = one.binding.action
        if action == HELP_ACTION:
            return 9, 0
        if "enter" in one.binding.key.split(","):
            return 0, 0
        if action in wanted:
            return 1, wanted.index(action)
        return (2, 0) if "space" in one.binding.key.split(",") else (3, 0) if one in here else (4, 0)

    # sorted keeps the order in which a class lists its keys
    return sorted([*here, *everywhere], key=place)


def _cells(one: ActiveBinding) -> int:
    return width(shown_key(one.binding)) + width(one.binding.description) + 3


class BottomLines(Vertical):
    """What was said last, and the keys, at the bottom of a screen."""

    DEFAULT_CSS = """
    BottomLines { dock: bottom; height: auto; }
    """

    def compose(self) -> ComposeResult:
        yield SayLine()
        yield FootLine()


def own_bindings(active: Iterable[ActiveBinding]) -> list[ActiveBinding]:
    """Return the bindings that are wearlog's own and work now, each action once.

    What works everywhere comes first, then the screen's, then the focused widget's; within each as its class lists them.
    """
    by_node: dict[int, list[ActiveBinding]] = {}
    for one in active:
        binding = one.binding
        if one.enabled and binding.description and not binding.system and not binding.action.startswith(_FRAMEWORK):
            by_node.setdefault(id(one.node), []).append(one)
    found: dict[str, ActiveBinding] = {}
    for group in reversed(by_node.values()):
        listed = [binding.action for binding in Binding.make_bindings(type(group[0].node).BINDINGS)]
        for one in sorted(
            group, key=lambda one: listed.index(one.binding.action) if one.binding.action in listed else 99
        ):
            found.setdefault(one.binding.action, one)
    return list(found.values())


#: bindings of the framework that are not worth a line: focus, copying, scrolling sideways
_FRAMEWORK = (
    "app.",
    "screen.",
    "scroll_",
    "page_",
    "cursor_",
    "delete_",
    "cut",
    "copy",
    "paste",
    "select_all",
    "help_quit",
)


_KEY_NAMES = {
    "enter": "Enter",
    "escape": "Esc",
    "space": "Space",
    "slash": "/",
    "tab": "Tab",
    "up": "up",
    "down": "down",
    "left": "left",
    "right": "right",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "home": "Home",
    "end": "End",
    "delete": "Del",
}


def shown_key(binding: Binding) -> str:
    """Return how a key is called on the screen: ?, Enter, Ctrl+P, or the letter itself."""
    if binding.key_display:
        return binding.key_display
    key = binding.key.split(",")[0]
    if key in _KEY_NAMES:
        return _KEY_NAMES[key]
    if "+" in key:
        return "+".join(_KEY_NAMES.get(part, part.capitalize()) for part in key.split("+"))
    if key.startswith("f") and key[1:].isdigit():
        return key.upper()
    return key_to_character(key) or key
