"""Every caution of the work at hand on a page of its own: grouped by danger, a sentence that two share said once on top."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, Final

from rich.text import Text
from textual.binding import Binding

from wearlog.present.caution_page import caution_groups
from wearlog.tui.screens.reading_page import ReadingPage

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.tui.host import Host

CAUTIONS_KEY: Final = Binding(
    "exclamation_mark", "cautions", "cautions", show=False, key_display="!", tooltip="every caution of this work"
)


class CautionsPage(ReadingPage):
    """The cautions of some dangers."""

    ABOUT: ClassVar[str] = (
        "What to read before the work. The machine's own book, local codes and licensed practice come before this list: where "
        "they differ, do what the book says."
    )

    def __init__(self, hazards: Sequence[Hazard]) -> None:
        super().__init__()
        self.hazards = hazards

    def begin(self) -> None:
        page, number = Text(end=""), 0
        for title, sentences in caution_groups(self.hazards):
            if title:
                page.append(f"{title}\n", "bold")
            for sentence in sentences:
                number += 1
                page.append(f"{number:>2}  {sentence}\n")
            page.append("\n")
        self.show("STOP: read before you touch it", page)


def show_cautions(screens: Host, hazards: Sequence[Hazard]) -> None:
    """Open the page over the screen that is open."""
    screens.push(CautionsPage(hazards))
