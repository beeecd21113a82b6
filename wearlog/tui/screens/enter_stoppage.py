"""Entering that a machine stands, and that it runs again."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import StopReason
from wearlog.facts.plain_text import one_line
from wearlog.facts.work import Stoppage
from wearlog.logbook.deed_sentences import again_sentence, stoppage_sentence
from wearlog.logbook.said_measures import FarmSpeaker
from wearlog.present.words import word
from wearlog.tui.questions.forms import runs_again, save_stoppage
from wearlog.tui.screens.work_form import WorkForm
from wearlog.tui.typed import moment_reader, optional
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_field import FormField
from wearlog.tui.widgets.form_line import FormLine

if TYPE_CHECKING:
    from wearlog.tui.door import Door

_SHORT = {StopReason.WAITING: "waiting"}


class StoppageScreen(WorkForm):
    """The form of a stoppage. Of a machine that stands already it asks nothing but when it ran again."""

    TITLE: ClassVar[str] = "A MACHINE STANDS"
    FIRST: ClassVar[str] = "reason"
    ABOUT: ClassVar[str] = (
        "Why the machine stands: the arrows, Space or a first letter choose. Began: nothing means now; 40 min ago, 14:20 or "
        "yesterday 16:20 are understood. While Ended is empty it still stands; d on the yard then says that it runs again. Of a "
        "machine that stands this form asks only when it ran again."
    )

    def questions(self) -> Iterable[FormLine]:
        yield self.machine_question()
        yield ChoiceField("reason", "Why", tuple((reason, _SHORT.get(reason, word(reason))) for reason in StopReason))
        yield FormField("from", "Began", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("to", "Ended", self._read_end, hint="it still stands", say=self._say_end)
        yield FormField("note", "Note")
        yield FormField("again", "Runs again", moment_reader(self.now), hint="now", say=self.say_moment)

    def prepare(self) -> None:
        self.line("again").display = False

    def machine_changed(self) -> None:
        stands = self.chosen.stands if self.chosen is not None else None
        for name in ("reason", "from", "to", "note"):
            self.line(name).display = stands is None
        self.line("again").display = stands is not None
        if stands is not None:
            since = self.measures.moment(stands.started_at)
            self.show_before(f"{one_line(self.one.machine.name)} stands since {since}: {word(stands.reason)}.")
            self.focus_line(self.line("again"))
        else:
            self.show_before("")

    def _read_end(self, text: str) -> datetime | None:
        ended = optional(moment_reader(self.now))(text)
        began = self.line("from")
        if ended is not None and began.is_right and ended <= began.read():
            raise UsageError("It ended before it began.", "Look at both times; nothing means that it still stands.")
        return ended

    def _say_end(self, at: datetime | None) -> str:
        return "" if at is None else self.say_moment(at)

    def _stoppage(self) -> Stoppage:
        return Stoppage(
            machine_id=self.one.machine.id,
            started_at=self.answer("from"),
            ended_at=self.answer("to"),
            reason=self.answer("reason"),
            note=self.line("note").text,
        )

    def summary(self) -> str:
        speak, name = FarmSpeaker(self.settings), self.one.machine.name
        if self.one.stands is not None:
            return again_sentence(speak, name, self.answer("again"))
        return stoppage_sentence(speak, name, self._stoppage())

    def saving(self) -> Callable[[Door], str]:
        if self.one.stands is not None:
            return partial(runs_again, machine_id=self.one.machine.id, at=self.answer("again"))
        return partial(save_stoppage, stoppage=self._stoppage())
