"""What a measurement means, shown once it is saved: how near its limit the part is. Asks the log for nothing."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType

from wearlog.tui.screens.reading_page import ReadingPage


class MeasuredPage(ReadingPage):
    """The answer to a measurement; its first line is what was saved."""

    ABOUT: ClassVar[str] = (
        "What was saved, how far the part is worn on the way from new to its limit, where the limit comes from, and when the line "
        "through its readings meets it. Esc or Enter closes; u then takes the reading back if it was a slip."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "close", "back", show=False)]

    def __init__(self, answer: str) -> None:
        super().__init__()
        self.answer = answer

    def begin(self) -> None:
        saved, _, meaning = self.answer.partition("\n")
        page = Text(f"{saved}\n\n", end="")
        for line in meaning.splitlines():
            page.append(f"{line.strip()}\n", "bold" if line.startswith("PAST") else "")
        page.append("\nEsc, then u takes it back.")
        self.show("MEASURED", page)
