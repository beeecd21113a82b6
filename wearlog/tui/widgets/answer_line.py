"""The answer of a screen: a bold sentence in its second line, its second half below, the row of cautions, an empty row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, ClassVar

from rich.text import Text
from textual import events
from textual.app import RenderResult
from textual.widget import Widget

from wearlog.facts.plain_text import one_line
from wearlog.present.drawing.caution_row import caution_row
from wearlog.present.drawing.drawn import InkRole

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.present.answer_sheet import AnswerSheet


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
        & .answer-line--answer { color: $ink; background: $paper; text-style: bold; }
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
        page = Text(end="")
        page.append(self.answer, self.get_component_rich_style("answer-line--answer"))
        if self.second:
            page.append(
                f"{chr(10) if self.answer else ''}{self.second}", self.get_component_rich_style("answer-line--second")
            )
        inks = {InkRole.ALARM: "answer-line--alarm", InkRole.TITLE: "answer-line--title"}
        pieces = caution_row(
            self.hazards, self.content_size.width or self.app.size.width - 2, key=self.key, count=self.count
        )
        for number, piece in enumerate(pieces):
            style = self.get_component_rich_style(inks.get(piece.role, "answer-line--second"))
            page.append(piece.text if number else f"\n{piece.text}", style)
        return page

    def on_click(self, event: events.Click) -> None:
        """The row of cautions is a button."""
        if self.hazards and event.y == self.size.height - 1:
            self.app.call_later(self.app.simulate_key, "f1" if self.key == "F1" else "exclamation_mark")

    def on_resize(self) -> None:
        """On a phone there is no room for an empty row."""
        self.set_class(self.app.size.height < 24, "-tight")
