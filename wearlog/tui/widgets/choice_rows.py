"""Rows of words of which one each is chosen, its key beside it: a click on a word does what its key does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, TypeAlias

from rich.text import Text
from textual import events
from textual.app import RenderResult
from textual.geometry import Size
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

#: its key, its words, whether it is the chosen one, and the action that chooses it
Word: TypeAlias = "tuple[str, str, bool, str]"
#: the label and its words
ChoiceRow: TypeAlias = "tuple[str, Sequence[Word]]"


class PartLine(Static):
    """What the entry is about; a click lists all that it could be about."""

    class Clicked(Message):
        """Another one is looked for."""

    def on_click(self) -> None:
        """Tell the page."""
        self.post_message(self.Clicked())


class ChoiceRows(Widget):
    """The rows. A word that finds no room stands in the next line; where all have none, the page gives fewer words."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"choice-rows--key", "choice-rows--chosen"}
    DEFAULT_CSS = """
    ChoiceRows {
        & .choice-rows--key { color: $ink; background: $paper; text-style: bold; }
        & .choice-rows--chosen { color: $chosen-ink; background: $chosen-paper; text-style: bold; }
    }
    """

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self.rows: Sequence[ChoiceRow] = ()
        #: line, first cell, one behind the last, action
        self._spans: list[tuple[int, int, int, str]] = []

    def show(self, rows: Sequence[ChoiceRow]) -> None:
        """Show other rows, or others of them chosen."""
        self.rows = rows
        self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as the words need."""
        return self._drawn(width).plain.count("\n") + 1

    def render(self) -> RenderResult:
        return self._drawn(self.content_size.width)

    def _drawn(self, wide: int) -> Text:
        page, self._spans = Text(end="", no_wrap=True), []
        for number, (label, words) in enumerate(self.rows):
            page.append("\n" if number else "").append(label)
            used = len(label)
            for word in words:
                cells = len(_name(word)) + 3
                if used + cells > wide and used > len(label):
                    page.append(f"\n{' ' * len(label)}")
                    used = len(label)
                self._spans.append((page.plain.count("\n"), used + 1, used + cells, word[3]))
                self._append(page, word)
                used += cells
        return page

    def _append(self, page: Text, word: Word) -> None:
        key, words, is_chosen, _ = word
        page.append(" ")
        if is_chosen:
            page.append(f"[{_name(word)}]", self.get_component_rich_style("choice-rows--chosen"))
        else:
            page.append(f" {key}", self.get_component_rich_style("choice-rows--key"))
            page.append(f" {words} " if key else f"{words} ")

    async def on_click(self, event: events.Click) -> None:
        """Choose the word that was clicked."""
        left = self.styles.padding.left
        for line, start, end, action in self._spans:
            if line == event.y and start <= event.x - left < end:
                await self.screen.run_action(action)


def _name(word: Word) -> str:
    key, words, _, _ = word
    return f"{key} {words}" if key else words
