"""The form of one check of a fault: the next one that is advised, or any other at a place of the drawing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict
from wearlog.facts.plain_text import one_line
from wearlog.logbook.faults.fault_sentences import CheckEntry, check_sentence
from wearlog.logbook.said.measures import FarmSpeaker, hours
from wearlog.present.words import word
from wearlog.tui.questions.faults import checked
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.present.faults.fault_page import CasePage, StepWords
    from wearlog.tui.door import Door

_VERDICTS: Final = (
    (None, "the value says it"),
    (CheckVerdict.GOOD, "good"),
    (CheckVerdict.BAD, "bad"),
    (CheckVerdict.UNCLEAR, "not clear"),
)
#: of a look before a repair, and of a look beyond the drawing, no value speaks
_LOOKED: Final = (
    (CheckVerdict.GOOD, "whole, nothing there"),
    (CheckVerdict.BAD, "damage, something there"),
    (CheckVerdict.UNCLEAR, "not clear"),
)


class NoteCheckScreen(FormScreen):
    """The form of a check at one place; without a place it is a look beyond what is drawn."""

    ABOUT: ClassVar[str] = (
        "The result of a check. A measured value alone is judged where a published rule says what is right (0.3 V across a "
        "connector, 60 ohm on a data line); else say good, bad or not clear. A swap or a repair that changed nothing is a swap "
        "that is good: what was exchanged was not it. If it is cured, leave this form and press f."
    )
    FIRST: ClassVar[str] = "measured"

    def __init__(self, page: CasePage, node: str) -> None:
        super().__init__()
        self.page = page
        self.node = node
        step = page.step
        #: the step that is advised, where this is it
        self.step: StepWords | None = step if step is not None and step.node == node else None

    def heading(self) -> str:
        return f"CHECK AT {self.node}" if self.node else "LOOK BEYOND THE DRAWING"

    def questions(self) -> Iterable[FormLine]:
        kinds = [(kind, word(kind)) for kind in CheckKind if self.node or kind is CheckKind.BEYOND]
        yield ChoiceField("kind", "Check", kinds, start=self._kind)
        yield FormField("measured", "It showed", hint=self._hint)
        is_look = self.step is not None and self.step.kind is None
        yield ChoiceField("verdict", "That is", _LOOKED if is_look else _VERDICTS)
        yield FormField("minutes", "It took", _minutes, hint="not noted; minutes, like 5")

    @property
    def _kind(self) -> CheckKind:
        if not self.node:
            return CheckKind.BEYOND
        if self.step is None:
            return next(iter(CheckKind))
        return self.step.kind or CheckKind.LOOK

    @property
    def _hint(self) -> str:
        return (
            one_line(self.step.expect) if self.step is not None and self.step.expect else "0.3 V, green pins, nothing"
        )

    def begin(self) -> None:
        self.query_one("#will", AnswerLine).count = len(self.page.cautions)
        if self.step is not None:
            self.show_before(f"{one_line(self.step.doing)}, {self.step.minutes}. {one_line(self.step.why)}.")
        self.show_hazards(self.page.hazards)

    def summary(self) -> str:
        entry, page = self._entry(), self.page
        if entry.verdict is None and not entry.measured:
            return ""
        speak = FarmSpeaker(page.settings)
        return check_sentence(speak, page.fault_title, page.next_check, entry, self.node, entry.verdict, self.now())

    def _entry(self) -> CheckEntry:
        return CheckEntry(
            kind=self.answer("kind"),
            node=self.node,
            measured=one_line(self.line("measured").text),
            verdict=self.answer("verdict"),
            duration_seconds=self.answer("minutes"),
        )

    def saving(self) -> Callable[[Door], str]:
        return partial(_save, page=self.page, entry=self._entry())

    def blamed(self, error: WearlogError) -> FormLine | None:
        """Only the reading or the verdict can be wrong here."""
        found: FormLine = self.line("measured" if "reading" in error.message else "verdict")
        return found


def _save(door: Door, page: CasePage, entry: CheckEntry) -> str:
    if entry.verdict is None and not entry.measured:
        raise UsageError("Nothing is said of the check.", "Write what it showed, or say good, bad or not clear.")
    return checked(door, page.fault_id, entry)[0]


def _minutes(text: str) -> int | None:
    """Read how long it took; a bare number is minutes."""
    return hours(text, "min") if one_line(text) else None
