"""A question with a list to tick: each row has one of a few marks; Space gives the next, a letter gives its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from rich.style import Style
from rich.text import Text
from textual import events
from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.geometry import Region
from textual.widget import Widget

from wearlog.facts.plain_text import one_line
from wearlog.present.tables import fit
from wearlog.tui.widgets.form_line import FormLine


@dataclass(frozen=True, slots=True)
class TickMark:
    """A mark in the brackets, the word beside it, and the letter that gives it; the first mark of a list is a blank."""

    sign: str
    word: str
    letter: str = ""


#: what was seen of a device
SEEN: tuple[TickMark, ...] = (
    TickMark(" ", ""),
    TickMark("x", "dead", "d"),
    TickMark("~", "erratic", "e"),
    TickMark("o", "working", "w"),
)
YES: tuple[TickMark, ...] = (TickMark(" ", ""), TickMark("x", ""))


class Ticks(Widget, can_focus=True):
    """The rows, in as many columns as find room."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"ticks--here", "ticks--marked"}
    DEFAULT_CSS = """
    Ticks {
        height: auto;
        width: 1fr;
        background: $band;
        color: $ink;
        & .ticks--here { color: $chosen-ink; background: $chosen-paper; text-style: bold; }
        & .ticks--marked { color: $ink; background: $band; text-style: bold; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "mark", "mark", tooltip="the next mark for the row under the cursor"),
        Binding("left", "step(-1)", "column before", show=False),
        Binding("right", "step(1)", "next column", show=False),
    ]

    def __init__(self, line: TickField) -> None:
        super().__init__()
        self.line = line
        self.cursor = 0

    @property
    def columns(self) -> int:
        """How many rows stand side by side."""
        return self._columns_in(self.size.width)

    def _columns_in(self, wide: int) -> int:
        widest = max((len(name) for name in self.line.names), default=10) + 6
        return max(1, min(4, wide // widest))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as the rows need in their columns."""
        rows = -(-len(self.line.names) // self._columns_in(width))
        return max(1, rows + (len(self.line.legend_in(width)) if self.line.names else 0))

    def move(self, step: int) -> bool:
        """Move up or down; False at the end, so that the next question follows."""
        target = self.cursor + step * self.columns
        if not 0 <= target < len(self.line.names):
            return False
        self._go(target)
        return True

    def _go(self, place: int) -> None:
        self.cursor = place
        self.refresh()
        self.show_cursor()

    def show_cursor(self) -> None:
        """On a low screen the list may be longer than the form: its row under the cursor is the one to see."""
        form = next((one for one in self.ancestors if isinstance(one, VerticalScroll)), None)
        if form is not None:
            row = self.cursor // self.columns
            above = len(self.line.legend_in(self.size.width)) if row else 0
            corner = self.region.offset - form.region.offset + form.scroll_offset
            seen = Region(corner.x, corner.y + above + row, 1, 1)
            form.scroll_to_region(seen, animate=False, immediate=True)

    def action_step(self, step: int) -> None:
        """Go to the row beside."""
        if self.line.names:
            self._go(min(max(self.cursor + step, 0), len(self.line.names) - 1))

    def action_mark(self) -> None:
        """Give the next mark."""
        if self.line.names:
            place = self.line.marks.index(self.line.of(self.cursor))
            self.line.give(self.cursor, self.line.marks[(place + 1) % len(self.line.marks)])

    def on_key(self, event: events.Key) -> None:
        """A letter gives its mark, and takes it away again."""
        # all its keys are taken here and none by its binding, which comes a turn later: they keep their order, however fast
        found = next((one for one in self.line.marks if one.letter and one.letter == event.character), None)
        if event.key in ("left", "right"):
            event.stop()
            self.action_step(1 if event.key == "right" else -1)
        elif event.key == "space":
            event.stop()
            self.action_mark()
        elif found is not None and self.line.names:
            event.stop()
            self.line.give(self.cursor, self.line.marks[0] if self.line.of(self.cursor) == found else found)

    def on_click(self, event: events.Click) -> None:
        """A click gives the next mark."""
        row = event.y - len(self.line.legend_in(self.size.width))
        place = row * self.columns + event.x * self.columns // max(self.size.width, 1)
        if row >= 0 and place < len(self.line.names):
            self.cursor = place
            self.action_mark()

    def render(self) -> RenderResult:
        names = self.line.names
        if not names:
            return Text(self.line.empty, end="")
        columns, page = self.columns, Text(end="", no_wrap=True)
        for legend in self.line.legend_in(self.size.width):
            page.append(f"{legend}\n")
        each = self.size.width // columns
        for place, name in enumerate(names):
            if place and place % columns == 0:
                page.append("\n")
            mark = self.line.of(place)
            style: Style | str = ""
            if self.has_focus and place == self.cursor:
                style = self.get_component_rich_style("ticks--here")
            elif mark is not self.line.marks[0]:
                style = self.get_component_rich_style("ticks--marked")
            words = f"[{mark.sign}] {one_line(name)}"
            page.append(fit(words, each - 1), style).append(" ")
        return page


class TickField(FormLine):
    """A list to tick; the answer is the (name, mark) of every row that has one."""

    def __init__(
        self, name: str, label: str, names: Sequence[str] = (), *, marks: Sequence[TickMark] = YES, empty: str = ""
    ) -> None:
        super().__init__(name, label)
        self.names = tuple(names)
        self.marks = tuple(marks)
        self.empty = empty
        self._given: dict[str, TickMark] = {}
        self.ticks = Ticks(self)

    @property
    def entry(self) -> Widget:
        return self.ticks

    def show_spot(self) -> None:
        """The row under the cursor: the whole list would push away what stands above it."""
        self.ticks.show_cursor()

    def legend_in(self, wide: int) -> list[str]:
        """Return what each letter gives, in as many lines as it needs."""
        lines: list[str] = []
        for one in self.marks:
            words = f"{one.letter} [{one.sign}] {one.word}"
            if one.letter and lines and len(lines[-1]) + len(words) + 2 <= wide:
                lines[-1] += f"  {words}"
            elif one.letter:
                lines.append(words)
        return lines

    def of(self, place: int) -> TickMark:
        """Return the mark of a row."""
        return self._given.get(self.names[place], self.marks[0])

    def give(self, place: int, mark: TickMark) -> None:
        """Mark a row as a person does."""
        self._given[self.names[place]] = mark
        self.ticks.refresh()
        self.answered()

    def offer(self, names: Sequence[str]) -> None:
        """Show other rows; a row that stays keeps its mark."""
        self.names = tuple(names)
        self.ticks.cursor = 0
        self.ticks.refresh(layout=True)

    def read(self) -> Any:
        return tuple(
            (name, mark) for place, name in enumerate(self.names) if (mark := self.of(place)) is not self.marks[0]
        )

    def kept(self) -> str:
        return "\n".join(f"{name}\t{mark.sign}" for name, mark in self.read())

    def restore(self, kept: str) -> None:
        by_sign = {mark.sign: mark for mark in self.marks}
        for line in kept.splitlines():
            name, _, sign = line.partition("\t")
            self._given[name] = by_sign[sign]
        self.is_typed = True
        self.ticks.refresh()
