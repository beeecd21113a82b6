"""A check of one's own choice at a place of the drawing: which, what it showed, how long it took."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict
from wearlog.facts.plain_text import one_line
from wearlog.logbook.said_measures import hours
from wearlog.present.words import word
from wearlog.tui.questions.electrics import checked
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_field import FormField
from wearlog.tui.widgets.form_line import FormLine

if TYPE_CHECKING:
    from wearlog.logbook.faulting import CheckEntry
    from wearlog.present.fault_page import CasePage
    from wearlog.tui.door import Door

_VERDICTS: Final = (
    (None, "the value says it"),
    (CheckVerdict.GOOD, "good"),
    (CheckVerdict.BAD, "bad"),
    (CheckVerdict.UNCLEAR, "unclear"),
)


class NoteCheckScreen(FormScreen):
    """The form of a check at one place."""

    ABOUT: ClassVar[str] = (
        "Any check, at the place that was under the cursor. A measured value alone is judged where a published rule says what is "
        "right (0.3 V across a connector, 60 ohm on a data line); else say good, bad or unclear. A swap or a repair that changed "
        "nothing is a swap that is good: what was exchanged was not it."
    )

    def __init__(self, page: CasePage, node: str) -> None:
        super().__init__()
        self.page = page
        self.node = node

    def heading(self) -> str:
        return f"CHECK AT {self.node}"

    def questions(self) -> Iterable[FormLine]:
        yield ChoiceField("kind", "Check", [(kind, word(kind)) for kind in CheckKind])
        yield FormField("measured", "It showed", hint="0.3 V, green pins, nothing")
        yield ChoiceField("verdict", "That is", _VERDICTS)
        yield FormField("minutes", "It took", _minutes, hint="not noted; minutes, like 5")

    def begin(self) -> None:
        self.show_care(self.page.cautions)

    def summary(self) -> str:
        verdict = self.answer("verdict")
        measured = one_line(self.line("measured").text)
        if verdict is None and not measured:
            return ""
        said = ", ".join(part for part in (measured, word(verdict)) if part)
        return f"{word(self.answer('kind'))} at {self.node}: {said}"

    def saving(self) -> Callable[[Door], str]:
        from wearlog.logbook.faulting import CheckEntry

        entry = CheckEntry(
            kind=self.answer("kind"),
            node=self.node,
            measured=one_line(self.line("measured").text),
            verdict=self.answer("verdict"),
            duration_seconds=self.answer("minutes"),
        )
        return partial(_save, page=self.page, entry=entry)

    def blamed(self, error: WearlogError) -> FormLine | None:
        """Only the reading or the verdict can be wrong here."""
        found: FormLine = self.line("measured" if "reading" in error.message else "verdict")
        return found


def _save(door: Door, page: CasePage, entry: CheckEntry) -> str:
    return checked(door, page.fault_id, entry)[0]


def _minutes(text: str) -> int | None:
    """Read how long it took; a bare number is minutes."""
    return hours(text, "min") if one_line(text) else None
