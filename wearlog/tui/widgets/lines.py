"""The fixed lines of every screen: where one is (top), what was said last, and the keys (bottom)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult, RenderResult
from textual.binding import ActiveBinding, Binding
from textual.containers import Vertical
from textual.keys import key_to_character
from textual.reactive import reactive
from textual.widget import Widget

from wearlog.facts.plain_text import one_line
from wearlog.present.tables import fit, width
from wearlog.tui.host import AreaTab


def plain_line(text: str, *, style: str = "") -> Text:
    """Return stored text as a line that can neither be taken for markup nor act on the terminal."""
    return Text(one_line(text), style=style, no_wrap=True, overflow="ellipsis", end="")


#: letters of the open area's title where the line is crowded
_OPEN = 7


class TopLine(Widget):
    """The areas with their keys, the one that is open in brackets, and the name of the farm or machine at the right."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"top-line--here", "top-line--name"}
    DEFAULT_CSS = """
    TopLine {
        dock: top;
        height: 1;
        background: $band;
        color: $ink;
        & .top-line--here { color: $chosen-ink; background: $chosen-paper; text-style: bold; }
        & .top-line--name { color: $ink; background: $band; text-style: bold; }
    }
    """

    name_shown: reactive[str] = reactive("")
    """What stands at the right end."""

    def __init__(self, tabs: Sequence[AreaTab], here: str) -> None:
        super().__init__()
        self.tabs = tuple(tabs)
        self.here = here
        self._spans: list[tuple[int, int, str]] = []

    def render(self) -> RenderResult:
        line = Text(no_wrap=True, end="")
        self._spans = []
        room = self.size.width
        # the open one has brackets and no key, two cells less than the others
        short = sum(len(tab.title) + 4 for tab in self.tabs) - 2 > room
        letters = self._letters(room) if short else 0
        for tab in self.tabs:
            is_here = tab.mode == self.here
            title = tab.title[:letters] if short else f"{tab.title} "
            here = f" [{tab.title[:_OPEN]}]" if letters else f"[{tab.title}]"
            words = here if is_here else f" {tab.key} {title}"
            start = line.cell_len
            line.append(words, self.get_component_rich_style("top-line--here") if is_here else "")
            self._spans.append((start, line.cell_len, tab.mode))
        name = one_line(self.name_shown)
        left = room - line.cell_len - 2
        if name and left > 4:
            shown = fit(name, min(width(name), left))
            line.append(" " * (left - width(shown) + 1))
            line.append(shown, self.get_component_rich_style("top-line--name"))
        return line

    def _letters(self, room: int) -> int:
        """How many letters of each title find room; fewer than three say nothing."""
        left = room - sum(min(len(tab.title), _OPEN) + 3 for tab in self.tabs if tab.mode == self.here)
        others = [len(tab.title) for tab in self.tabs if tab.mode != self.here]
        return next((most for most in (5, 4, 3) if sum(min(one, most) + 3 for one in others) <= left), 0)

    def on_click(self, event: events.Click) -> None:
        """Open the area that was clicked."""
        for start, end, mode in self._spans:
            if start <= event.x < end:
                self.app.call_later(self.app.run_action, f"open_area('{mode}')")


class SayLine(Widget):
    """One line with what was done or went wrong last: a person must not have to hunt for it."""

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

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence; an empty one clears the line. An alarm begins with a mark, not only with another colour."""
        clean = one_line(sentence)
        self._said = f"! {clean}" if alarm and clean else clean
        self.set_class(alarm, "-alarm")
        self.set_class(not clean, "-silent")
        self.refresh(layout=True)

    @property
    def said(self) -> str:
        """The line as it is shown."""
        return self._said

    def render(self) -> RenderResult:
        return Text(self._said, end="")


class FootLine(Widget):
    """The keys of the moment, the most useful first; what finds no room is on the help page."""

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
        self._spans: list[tuple[int, int, str]] = []

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self.refresh())

    def render(self) -> RenderResult:
        line = Text(no_wrap=True, end="")
        self._spans = []
        key_style = self.get_component_rich_style("foot-line--key")
        for active in own_bindings(self.screen.active_bindings.values()):
            binding = active.binding
            key = shown_key(binding)
            if not binding.show:
                continue
            if line.cell_len + width(key) + width(binding.description) + 3 > self.size.width:
                continue
            start = line.cell_len
            line.append(f" {key}", key_style)
            line.append(f" {binding.description} ")
            self._spans.append((start, line.cell_len, binding.action))
        return line

    def on_click(self, event: events.Click) -> None:
        """Do what the key does that was clicked."""
        for start, end, action in self._spans:
            if start <= event.x < end:
                namespace = next(
                    one.node for one in self.screen.active_bindings.values() if one.binding.action == action
                )
                self.app.call_later(self.app.run_action, action, namespace)


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
