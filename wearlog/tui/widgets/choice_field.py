"""A question with a few answers to choose from: arrows or a first letter move, the chosen one stands in brackets."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any, ClassVar

from rich.text import Text
from textual import events
from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.widget import Widget

from wearlog.facts.plain_text import one_line
from wearlog.present.tables import width as cells
from wearlog.present.tables import wrapped
from wearlog.tui.host import host_of
from wearlog.tui.widgets.form_line import FormLine, take_own_key

#: on so few columns the words of the answer matter more than how to list the others
_NARROW = 40


_KEYS = "←→"


class Choices(Widget, can_focus=True):
    """The answers in one row; where they find no room, the chosen one with how many there are."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"choices--chosen", "choices--chosen-here"}
    DEFAULT_CSS = """
    Choices {
        height: auto;
        width: 1fr;
        background: $band;
        color: $ink;
        & .choices--chosen { color: $ink; background: $band; text-style: bold; }
        & .choices--chosen-here { color: $chosen-ink; background: $chosen-paper; text-style: bold; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "answer before", show=False),
        Binding("right,space", "step(1)", "next answer", key_display="Space", tooltip="the next answer"),
        Binding("f2", "list", "list", show=False, tooltip="list all answers, and type a few letters of one"),
    ]

    def __init__(self, line: ChoiceField) -> None:
        super().__init__()
        self.line = line
        #: where the answers stand in the row; none where they find no room
        self._spans: list[tuple[int, int, int]] = []

    def action_step(self, step: int) -> None:
        """Choose the next answer, or the one before."""
        count = len(self.line.answers)
        if count:
            self.line.choose((self.line.place + step) % count)

    async def on_key(self, event: events.Key) -> None:
        """A letter chooses the next answer that begins with it; the arrows and Space are taken here as well, before a save."""
        if event.character is None or not event.character.isalnum():
            await take_own_key(self, event)
            return
        event.stop()
        names = [one_line(words).casefold() for _, words in self.line.answers]
        order = [*range(self.line.place + 1, len(names)), *range(self.line.place + 1)]
        found = next((place for place in order if names[place].startswith(event.character.casefold())), None)
        if found is not None:
            self.line.choose(found)
        else:
            self.app.bell()
            host_of(self).say(f"{event.character}: no answer begins so.")

    def action_list(self) -> None:
        """Ask the form to list all answers."""
        if self.line.answers:
            self.line.post_message(ChoiceField.ListWanted(self.line))

    def on_click(self, event: events.Click) -> None:
        """A click chooses the answer it meets; where not all find room it lists them."""
        place = next((number for start, end, number in self._spans if start <= event.x < end), None)
        if place is not None:
            self.line.choose(place)
        elif not self._spans:
            self.action_list()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """One row, or as many as the chosen answer needs to be read whole."""
        names = [one_line(words) for _, words in self.line.answers]
        if sum(cells(name) + 3 for name in names) <= width:
            return 1
        lines = wrapped(f"[{names[self.line.place]}]", max(4, width))
        return len(lines) + (cells(lines[-1]) + cells(f"  {self.line.place + 1} of {len(names)}") > width)

    def render(self) -> RenderResult:
        answers, place = self.line.answers, self.line.place
        style = self.get_component_rich_style("choices--chosen-here" if self.has_focus else "choices--chosen")
        if not answers:
            return Text("...", end="")
        names = [one_line(words) for _, words in answers]
        row = Text(end="")
        self._spans = []
        if sum(cells(name) + 3 for name in names) > self.size.width:
            lines = wrapped(f"[{names[place]}]", max(4, self.size.width))
            count = f"  {place + 1} of {len(names)}{', F2 lists' if self.size.width > _NARROW else ''}"
            # the keys that go through the answers, where they find room beside the answer
            if self.has_focus and cells(lines[-1]) + cells(count) + len(_KEYS) + 1 <= self.size.width:
                count = f" {_KEYS}{count}"
            row.append("\n".join(lines), style)
            return row.append(count if cells(lines[-1]) + cells(count) <= self.size.width else f"\n{count.strip()}")
        for number, name in enumerate(names):
            start = row.cell_len
            row.append(f"[{name}]" if number == place else f" {name} ", style if number == place else "").append(" ")
            self._spans.append((start, row.cell_len, number))
        if self.has_focus and len(names) > 1 and row.cell_len + 3 <= self.size.width:
            row.append(f" {_KEYS}")
        return row


class ChoiceField(FormLine):
    """A choice; `answers` are (answer, words)."""

    class ListWanted(Message):
        """All answers are to be listed."""

        def __init__(self, question: ChoiceField) -> None:
            super().__init__()
            self.question = question

        @property
        def control(self) -> ChoiceField:
            return self.question

    def __init__(
        self, name: str, label: str, answers: Sequence[tuple[Hashable, str]] = (), *, start: Hashable = None
    ) -> None:
        super().__init__(name, label)
        self.answers: Sequence[tuple[Hashable, str]] = tuple(answers)
        self.place = self._place_of(start)
        self.choices = Choices(self)

    def _place_of(self, answer: Hashable) -> int:
        return next((place for place, (one, _) in enumerate(self.answers) if one == answer), 0)

    @property
    def entry(self) -> Widget:
        return self.choices

    @property
    def chosen(self) -> Any:
        """The answer that is chosen, whether or not it is one; None without any."""
        return self.answers[self.place][0] if self.answers else None

    def read(self) -> Any:
        return self.chosen

    @property
    def words(self) -> str:
        """The chosen answer in words."""
        return self.answers[self.place][1] if self.answers else ""

    def fill(self, answers: Sequence[tuple[Hashable, str]], start: Hashable) -> None:
        """Give other answers; what a person chose stays chosen if it is among them, else it is as if nobody had chosen."""
        chosen = self.chosen
        self.answers = tuple(answers)
        self.is_typed = self.is_typed and any(one == chosen for one, _ in self.answers)
        self.place = self._place_of(chosen if self.is_typed else start)
        self.choices.refresh(layout=True)

    def kept(self) -> str:
        return str(self.place)

    def restore(self, kept: str) -> None:
        self.place = int(kept)
        self.is_typed = True
        self.choices.refresh(layout=True)

    def choose(self, place: int) -> None:
        """Choose an answer as a person does."""
        if place != self.place or not self.is_typed:
            self.place = place
            self.choices.refresh(layout=True)
            self.answered()
