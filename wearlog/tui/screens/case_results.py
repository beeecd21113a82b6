"""Noting the result of the next check of a fault: a key, or a measured value that is typed. What is shown is the screen's."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from textual import on
from textual.screen import Screen
from textual.widgets import Input

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict
from wearlog.facts.plain_text import one_line
from wearlog.tui.host import Host, host_of
from wearlog.tui.questions.electrics import checked

if TYPE_CHECKING:
    from wearlog.present.fault_page import CasePage

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
        from wearlog.logbook.faulting import CheckEntry

        page, line = self.page, self.query_one("#measured", Input)
        if page is None or page.step is None or not page.step.node or self._saving:
            return
        self._saving = True
        entry = CheckEntry(
            kind=kind or page.step.kind or CheckKind.LOOK,
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
