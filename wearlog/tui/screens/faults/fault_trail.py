"""A fault over the seasons: every time it came, what was found, gaps, conditions, cost, and whether the last fix has held."""

from __future__ import annotations

from functools import partial
from typing import ClassVar
from uuid import UUID

from rich.text import Text

from wearlog.facts.plain_text import plain
from wearlog.tui.questions.faults import trail
from wearlog.tui.screens.reading_page import ReadingPage


class FaultTrailScreen(ReadingPage):
    """The page of one trail."""

    ABOUT: ClassVar[str] = (
        "All the times this fault came, linked by their signs and by where they were suspected. 'quiet before' are the engine "
        "hours without it. 'p' is how likely so clear a picture is by chance alone: under 0.05 it is said to show something. At "
        "the end of the first part stands whether the last fix has held, and how many more quiet hours make it 95 % sure. Below: "
        "how the count grew, and every checklist, the latest first."
    )

    def __init__(self, fault_id: UUID, said: str = "") -> None:
        super().__init__()
        self.fault_id = fault_id
        #: what was saved just before
        self.said = said

    def begin(self) -> None:
        self.screens.ask(self, "trail", partial(trail, fault_id=self.fault_id), self._show)

    def _show(self, lines: tuple[str, ...]) -> None:
        page = Text(end="")
        for line in lines[1:]:
            is_title = line.isupper() or line.startswith(("COUNT", "CHECKLIST"))
            page.append(f"{plain(line) if not line.startswith(' ') else line}\n", "bold" if is_title else "")
        self.show(plain(lines[0]), page)
        if self.said:
            self.say(self.said)
