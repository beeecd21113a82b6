"""Noting the result of the next check of a fault: a key, or a measured value that is typed. What is shown is the screen's."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final

from textual import on
from textual.screen import Screen
from textual.widgets import Input

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict
from wearlog.facts.plain_text import one_line
from wearlog.logbook.faults.fault_sentences import CheckEntry, check_sentence
from wearlog.logbook.said.measures import FarmSpeaker, hours
from wearlog.present.words import word
from wearlog.tui.host import Host, host_of
from wearlog.tui.questions.faults import checked
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.present.faults.fault_page import CasePage
    from wearlog.tui.door import Door


_VERDICTS: Final = {"good": CheckVerdict.GOOD, "bad": CheckVerdict.BAD, "unclear": CheckVerdict.UNCLEAR}


class CaseResults(Screen[None]):
    """What the keys of the results do. Subclasses give `page`, `passed_over`, `show`, `say` and `take_focus`."""

    page: CasePage | None = None
    passed_over: frozenset[CheckKind] = frozenset()
    _saving = False
    #: the screen knows already what was just noted: it came back with the answer
    knows = False

    @property
    def screens(self) -> Host:
        """The app."""
        return host_of(self)

    def show(self, page: CasePage) -> None:
        """Show a fault."""

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in this screen's line."""

    def take_focus(self) -> None:
        """Put the keys where they belong now."""

    def action_result(self, verdict: str) -> None:
        """Note the result of the next check; of a repair, of the look that comes before it."""
        self._note(_VERDICTS[verdict])

    def action_still_there(self) -> None:
        """Note that what was repaired or swapped was not it."""
        self._note(CheckVerdict.GOOD, kind=CheckKind.SWAP)

    def _note(self, verdict: CheckVerdict | None, kind: CheckKind | None = None) -> None:
        from wearlog.logbook.faults.fault_sentences import CheckEntry

        page, line = self.page, self.query_one("#measured", Input)
        if page is None or page.step is None or self._saving:
            return
        self._saving = True
        without_place = CheckKind.LOOK if page.step.node else CheckKind.BEYOND
        entry = CheckEntry(
            kind=kind or page.step.kind or without_place,
            node=page.step.node,
            measured=one_line(line.value),
            verdict=verdict,
        )
        question = partial(checked, fault_id=page.fault_id, entry=entry, without=self.passed_over)
        self.screens.ask(self, "check", question, self._noted, self._refused)

    def _noted(self, answer: tuple[str, CasePage]) -> None:
        self._saving = False
        sentence, page = answer
        self.leave_line(clear=True)
        self.show(page)
        self.say(sentence)
        self.knows = True
        self.screens.something_entered()

    def _refused(self, error: WearlogError) -> None:
        self._saving = False
        self.leave_line(clear=False)
        hint = "Press g, b or n: the value goes along." if self.query_one("#measured", Input).value else error.hint
        self.say(f"{error.message} {hint}".strip(), alarm=True)

    def action_value(self) -> None:
        """Go to the line of what was measured."""
        line = self.query_one("#measured", Input)
        line.add_class("-open")
        self.set_focus(line)
        self.refresh_bindings()

    @on(Input.Submitted, "#measured")
    def _measured(self, event: Input.Submitted) -> None:
        event.stop()
        if event.value.strip():
            self._note(None)
        else:
            self.leave_line(clear=True)

    def leave_line(self, *, clear: bool) -> None:
        line = self.query_one("#measured", Input)
        if clear:
            line.value = ""
        line.set_class(bool(line.value), "-open")
        self.set_focus(None)
        self.take_focus()


_OWN_VERDICTS: Final = (
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
        yield ChoiceField("verdict", "That is", _OWN_VERDICTS)
        yield FormField("minutes", "It took", _minutes, hint="not noted; minutes, like 5")

    def begin(self) -> None:
        self.query_one("#will", AnswerLine).count = len(self.page.cautions)
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
    return checked(door, page.fault_id, entry)[0]


def _minutes(text: str) -> int | None:
    """Read how long it took; a bare number is minutes."""
    return hours(text, "min") if one_line(text) else None
