"""Why one component is replaced or run: age, life, chance of failing, the cost of each choice, what all of it rests on."""

from __future__ import annotations

from functools import partial
from typing import ClassVar

from rich.text import Text

from wearlog.facts.plain_text import one_line
from wearlog.tui.questions.planning import PlanOnScreen, why
from wearlog.tui.screens.reading_page import ReadingPage


class PlanWhyScreen(ReadingPage):
    """The page of one line of the plan."""

    ABOUT: ClassVar[str] = (
        "What the figures say of one component and why. Every number has what it rests on beside it: own records, a published "
        "value, or a guess that says so. Costs are those of the seasons to come, later ones counting less."
    )

    def __init__(self, shown: PlanOnScreen, line: int) -> None:
        super().__init__()
        self.shown = shown
        self.line = line

    def begin(self) -> None:
        self.screens.ask(self, "why", partial(why, shown=self.shown, line=self.line), self._show)

    def _show(self, answer: tuple[str, tuple[str, ...]]) -> None:
        heading, sentences = answer
        page = Text(end="")
        for sentence in sentences:
            page.append(f"- {one_line(sentence)}\n")
        page.append("\nTHE WHOLE PLAN RESTS ON\n", "bold")
        for sentence in self.shown.page.rests_on:
            page.append(f"- {one_line(sentence)}\n")
        self.show(one_line(heading), page)
