"""The line that names the sections of a screen, the open one in brackets. What they hold is the screen's."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import RenderResult
from textual.message import Message
from textual.widget import Widget

from wearlog.facts.plain_text import one_line
from wearlog.present.tables import fit, width

#: fewer cells beside the names say nothing
_LEAST = 8


class SectionTabs(Widget):
    """Names in a row; where they find no room, the open one with how many there are."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"section-tabs--here"}
    DEFAULT_CSS = """
    SectionTabs {
        height: 1;
        padding: 0 1;
        background: $band;
        color: $ink;
        & .section-tabs--here { color: $mark; background: $band; text-style: bold; }
    }
    """

    class Chosen(Message):
        """A name was clicked."""

        def __init__(self, place: int) -> None:
            super().__init__()
            self.place = place

    def __init__(self) -> None:
        super().__init__()
        self.names: Sequence[str] = ()
        self.place = 0
        self.beside: Sequence[str] = ()
        self._spans: list[tuple[int, int, int]] = []

    def show(self, names: Sequence[str], place: int, beside: str | Sequence[str] = ()) -> None:
        """Show the names; `beside` stands at the right end, the longest of its forms that finds room; one alone is cut."""
        self.names, self.place = names, place
        self.beside = [one_line(one) for one in ([beside] if isinstance(beside, str) else beside) if one]
        self.refresh()

    def render(self) -> RenderResult:
        line = Text(no_wrap=True, end="")
        self._spans = []
        here, room = self.get_component_rich_style("section-tabs--here"), self.content_size.width
        if sum(len(name) + 2 for name in self.names) > room and self.names:
            line.append(f"[{self.names[self.place]}]", here)
            line.append(f" {self.place + 1} of {len(self.names)}")
        else:
            for number, name in enumerate(self.names):
                start = line.cell_len
                is_here = number == self.place
                line.append(f"[{name}]" if is_here else f" {name} ", here if is_here else "")
                self._spans.append((start, line.cell_len, number))
        left = room - line.cell_len - 2
        words = next(
            (one for one in self.beside if width(one) <= left), self.beside[0] if len(self.beside) == 1 else ""
        )
        if words and left >= _LEAST:
            shown = fit(words, min(width(words), left))
            line.append(" " * (left + 2 - width(shown)) + shown)
        return line

    def on_click(self, event: events.Click) -> None:
        """Open the section that was clicked; where only the open one finds room, the next."""
        if not self._spans and self.names:
            self.post_message(self.Chosen((self.place + 1) % len(self.names)))
        for start, end, number in self._spans:
            if start <= event.x - 1 < end:
                self.post_message(self.Chosen(number))
