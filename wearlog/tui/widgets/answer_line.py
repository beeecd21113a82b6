"""The lines under the top of a screen: its answer with the row of cautions, and the names of its sections, the open one marked."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING, Any, ClassVar

from rich.text import Text
from textual import events
from textual.app import RenderResult
from textual.message import Message
from textual.widget import Widget

from wearlog.facts.plain_text import one_line
from wearlog.present.tables import fit, width

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.present.answer_sheet import AnswerSheet


#: rows that an answer has at most, as its style says
_MOST = 7


class AnswerLine(Widget):
    """Says the answer whole: a sentence that finds no room wraps. A click on the cautions shows them all."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "answer-line--answer",
        "answer-line--second",
        "answer-line--alarm",
        "answer-line--title",
    }
    DEFAULT_CSS = """
    AnswerLine {
        height: auto;
        max-height: 7;
        padding: 0 1;
        margin: 0 0 1 0;
        background: $paper;
        color: $ink;
        & .answer-line--answer { color: $chosen-ink; background: $chosen-paper; text-style: bold; }
        & .answer-line--second { color: $ink; background: $paper; }
        & .answer-line--alarm { color: $alarm; background: $paper; text-style: bold; }
        & .answer-line--title { color: $mark; background: $paper; text-style: bold; }
        &.-tight { margin: 0; }
    }
    """

    def __init__(self, answer: str = "", *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.answer = answer
        self.second = ""
        self.hazards: Sequence[Hazard] = ()
        #: the key that brings all cautions, and how many there are (0: those of the hazards)
        self.key, self.count = "!", 0
        #: what is asked is done from the seat with the key on
        self.from_seat = False
        #: the row that the cautions stand in
        self._cautions_at = 0

    def show(self, answer: str, *second: str, hazards: Sequence[Hazard] = ()) -> None:
        """Show an answer, each piece of its second half on its own line; `hazards` of the work it asks for, the worst first."""
        self.answer, self.hazards = one_line(answer), hazards
        self.second = "\n".join(one_line(one) for one in second if one)
        self.refresh(layout=True)

    def show_sheet(self, sheet: AnswerSheet[Any]) -> None:
        """Show the headline of an answer, or why it has no row."""
        if sheet.headline:
            self.show(*sheet.halves)
        else:
            self.show(sheet.empty)

    def render(self) -> RenderResult:
        page, room = Text(end=""), self.content_size.width or self.app.size.width - 2
        # the answer is the one thing that shouts: its lines are filled to the end
        lines = wrap(self.answer, room, break_on_hyphens=False)
        page.append("\n".join(fit(line, room) for line in lines), self.get_component_rich_style("answer-line--answer"))
        second = [piece for one in self.second.split("\n") if one for piece in wrap(one, room, break_on_hyphens=False)]
        # where not all of it finds room the cautions are the last to go
        cautions_first = bool(self.hazards) and len(lines) + len(second) + 1 > _MOST
        if cautions_first:
            self._append_cautions(page, room)
        self._cautions_at = len(lines) + (0 if cautions_first else len(second))
        if second:
            said = "\n".join(second)
            page.append(f"{chr(10) if page else ''}{said}", self.get_component_rich_style("answer-line--second"))
        if not cautions_first:
            self._append_cautions(page, room)
        return page

    def _append_cautions(self, page: Text, room: int) -> None:
        if not self.hazards:
            return
        from wearlog.present.drawing.drawn import InkRole, caution_row

        inks = {InkRole.ALARM: "answer-line--alarm", InkRole.TITLE: "answer-line--title"}
        pieces = caution_row(self.hazards, room, key=self.key, count=self.count, from_seat=self.from_seat)
        for number, piece in enumerate(pieces):
            style = self.get_component_rich_style(inks.get(piece.role, "answer-line--second"))
            page.append(piece.text if number else f"\n{piece.text}", style)

    def on_click(self, event: events.Click) -> None:
        """The row of cautions is a button."""
        if self.hazards and event.y == self._cautions_at:
            self.app.call_later(self.app.simulate_key, "f1" if self.key == "F1" else "exclamation_mark")

    def on_resize(self) -> None:
        """On a phone there is no room for an empty row."""
        self.set_class(self.app.size.height < 24, "-tight")


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
        self.is_whole = False
        self._spans: list[tuple[int, int, int]] = []

    def show(
        self, names: Sequence[str], place: int, beside: str | Sequence[str] = (), *, is_whole: bool = False
    ) -> None:
        """Show the names; `beside` stands at the right end, the longest of its forms that finds room.

        One form alone is cut, or with `is_whole` left out.
        """
        self.names, self.place, self.is_whole = names, place, is_whole
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
            (one for one in self.beside if width(one) <= left),
            self.beside[0] if len(self.beside) == 1 and not self.is_whole else "",
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
