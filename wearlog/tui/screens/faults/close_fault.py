"""Closing an electrical fault: where it was, what was wrong there, what was done, and what that rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final
from uuid import UUID

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import FaultMode, FixEvidence
from wearlog.facts.plain_text import one_line
from wearlog.logbook.faults.fault_sentences import FindingEntry, closed_sentence
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.present.words import word
from wearlog.tui.questions.faults import closed
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import moment_reader, name_reader
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.units import milliamperes

if TYPE_CHECKING:
    from wearlog.present.faults.fault_page import CasePage
    from wearlog.tui.door import Door

_EVIDENCE: Final = (
    (None, "as the checks say"),
    (FixEvidence.SEEN, "damage seen and repaired"),
    (FixEvidence.INFERRED, "inferred, not seen"),
    (FixEvidence.CLEARED_BY_ITSELF, "cleared by itself"),
)


class CloseFaultScreen(FormScreen):
    """The form of what it was."""

    ABOUT: ClassVar[str] = (
        "Where the fault was and what was wrong there; the likeliest place is filled in. If it was not found, choose 'not found' "
        "and leave the place empty. What it rests on decides how sure the fix is from the first day: damage that was seen and "
        "repaired 95 %, inferred 60 %, cleared by itself 20 %; quiet hours then raise it. A fuse is taken at the circuit's own "
        "rating and no other: never a larger one, never a bridge."
    )

    def __init__(self, page: CasePage, then: Callable[[UUID, str], None]) -> None:
        super().__init__()
        self.page = page
        self.then = then

    def heading(self) -> str:
        return f"CLOSE {self.page.title}"

    def questions(self) -> Iterable[FormLine]:
        page = self.page
        modes = [(mode, word(mode)) for mode in FaultMode]
        yield FormField("node", "Where", self._node, start=page.guess_node, hint="not found", names=page.nodes)
        yield ChoiceField("mode", "Wrong there", modes, start=page.guess_mode)
        yield FormField("fix", "Done to it", hint="sleeved the wire, moved the clamp")
        yield ChoiceField("evidence", "Known by", _EVIDENCE)
        yield FormField("fuse", "Fuse fitted", _amperes, hint="none; like 15 A")
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)

    def begin(self) -> None:
        left = [f"Not put back: {words}." for words, _ in self.page.undone]
        self.show_care([*left, *self.page.fuses, "Never bridge a fuse and never fit a larger one."])
        # the likeliest place is filled in: what Ctrl+S would save is said before anything is typed
        self.paint()

    def _node(self, text: str) -> str:
        if not one_line(text):
            return ""
        return name_reader(self.page.nodes, str, "place")(text)

    def changed(self, line: FormLine) -> None:
        """Without a place nothing was found, and the other way round."""
        if line.asks == "node" and not one_line(self.line("node").text):
            self.line("mode").choose(list(FaultMode).index(FaultMode.NOT_FOUND))

    def summary(self) -> str:
        node, mode = self.answer("node"), self.answer("mode")
        if bool(node) is (mode is FaultMode.NOT_FOUND):
            return ""
        speak = FarmSpeaker(self.page.settings)
        return closed_sentence(speak, self.page.fault_title, self._entry(), node, self.answer("at"))

    def _entry(self) -> FindingEntry:
        return FindingEntry(
            node=self.answer("node"),
            mode=self.answer("mode"),
            fix=one_line(self.line("fix").text),
            evidence=self.answer("evidence"),
            fuse_milliamperes=self.answer("fuse"),
        )

    def saving(self) -> Callable[[Door], str]:
        return partial(
            closed, fault_id=self.page.fault_id, entry=self._entry(), at=self.answer("at"), sure=self.doubts.settled
        )

    def blamed(self, error: WearlogError) -> FormLine | None:
        """A fuse of another rating, or a place without what was wrong there, is told under its question."""
        words = error.message.casefold()
        found: FormLine | None = None
        if "finding names" in words:
            found = self.line("mode")
        elif "fuse" in words or "rating" in words:
            found = self.line("fuse")
        return found

    def saved(self, sentence: str) -> None:
        """Go on to the trail: how often it came, and how sure the fix is."""
        app = self.app
        super().saved(sentence)
        app.call_after_refresh(self.then, self.page.fault_id, sentence)


def _amperes(text: str) -> int | None:
    """Read the rating of a fuse as milliamperes; nothing typed is none fitted."""
    return milliamperes(one_line(text)) if one_line(text) else None
