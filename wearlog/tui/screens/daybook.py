"""The daybook: breakages, work and entries are sections of one area, each a list of its own; the arrows go between them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.widget import Widget

from wearlog.tui.screens.area import ListArea
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.section_tabs import SectionTabs

if TYPE_CHECKING:
    from wearlog.tui.door import Door


class DaybookSection(ListArea):
    """Subclasses give `MODE`, their name among the sections, `answer`, and what a list gives."""

    AREA: ClassVar[str] = "daybook"
    MODE: ClassVar[str] = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right", "section(1)", "section", key_display="←→", tooltip="the next section of the daybook"),
        Binding("left", "section(-1)", "section before", show=False),
        Binding("i", "bring_in", "bring in", tooltip="bring in a notebook, or what was written on a printed sheet"),
        Binding("a", "add", "a note", show=False, tooltip="bring in a note of many lines, typed or dictated elsewhere"),
    ]

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="answer")
        yield SectionTabs()
        yield from super().body()

    def on_mount(self) -> None:
        """Name the sections."""
        super().on_mount()
        self.query_one(SectionTabs).show([name for _, name in self._sections], self._place)

    def answer(self) -> Callable[[Door], tuple[str, str]] | None:
        """Return the question of what happened last: the answer and its second half. None while that is not known."""
        return None

    def refresh_answer(self) -> None:
        super().refresh_answer()
        question = self.answer()
        if question is not None:
            self.screens.ask(self, "answer", question, lambda said: self.query_one(AnswerLine).show(*said))

    @property
    def _sections(self) -> tuple[tuple[str, str], ...]:
        return self.screens.sections_of(self.AREA)

    @property
    def _place(self) -> int:
        return [mode for mode, _ in self._sections].index(self.MODE)

    def action_bring_in(self) -> None:
        """Open the list of what can be brought in."""
        self.screens.open_papers()

    def action_add(self) -> None:
        """Bring in a note."""
        self.screens.action_bring_in_a_note()

    def action_section(self, step: int) -> None:
        """Go to the next section, or to the one before."""
        self._open_section((self._place + step) % len(self._sections))

    def on_section_tabs_chosen(self, message: SectionTabs.Chosen) -> None:
        """Open the section that was clicked."""
        self._open_section(message.place)

    def _open_section(self, place: int) -> None:
        self.screens.action_open_area(self._sections[place][0])
