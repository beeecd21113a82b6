"""The form of a reading: what the meters of a machine show."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import MeterKind
from wearlog.logbook.deed_sentences import reading_sentence
from wearlog.logbook.said.measures import FarmReader, FarmSpeaker
from wearlog.present.digits import number
from wearlog.present.words import word
from wearlog.tui.questions.work import save_readings
from wearlog.tui.screens.work.enter_run import WorkForm
from wearlog.tui.typed import moment_reader
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.logbook.work.entry_start import LastReading, MachineStart
    from wearlog.tui.door import Door


_LABELS = {
    MeterKind.ENGINE_HOURS: "Engine h",
    MeterKind.SEPARATOR_HOURS: "Separator h",
    MeterKind.AREA: "Area",
}


class ReadingScreen(WorkForm):
    """The form of a reading: one line for each meter of the machine; what is left empty was not read."""

    TITLE: ClassVar[str] = "READ THE METERS"
    FIRST: ClassVar[str] = MeterKind.ENGINE_HOURS.value
    ABOUT: ClassVar[str] = (
        "Write what the meters show, as you read it: 2310.4 or 1 234,5. A meter that you leave empty was not read. When: nothing "
        "means now, else as you say it (yesterday 16:20, jul 28 6:30). A meter that was replaced may show less than the old one: "
        "say that it is a new one. A late or corrected reading corrects every age in the log."
    )

    def questions(self) -> Iterable[FormLine]:
        yield self.machine_question()
        for kind, label in _LABELS.items():
            yield FormField(kind.value, label, partial(self._read, kind), say=partial(self._say, kind))
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)
        yield ChoiceField("meter", "Meter is", ((False, "the same"), (True, "a new one")), start=False)

    def prepare(self) -> None:
        for kind in _LABELS:
            # which meters there are is known when the log was read; engine hours are what is read most
            self.line(kind.value).display = kind is not MeterKind.AREA

    def fits(self, one: MachineStart) -> bool:
        return any(_is_read(meter) for meter in one.meters)

    def _read(self, kind: MeterKind, text: str) -> int | None:
        if not text.strip():
            meters = [self.line(one.value) for one in _LABELS if self.line(one.value).display]
            if meters and meters[0].asks == kind.value and not any(one.text.strip() for one in meters):
                # told once, under the first of them
                raise UsageError("What does a meter show?", "Write at least one figure, like 2310.4.")
            return None
        return FarmReader(self.settings).usage(kind, text)

    def _say(self, kind: MeterKind, usage: int | None) -> str:
        if usage is None:
            return ""
        said = f"{number(self.measures.usage_number(kind, usage), 1)} {self.measures.usage_unit(kind)}"
        last = self._last(kind)
        if last is None:
            return said
        apart = number(self.measures.usage_number(kind, abs(usage - last)), 1)
        if usage < last:
            return f"{said}, {apart} below the last: wrong, or a new meter"
        return f"{said}, {apart} more than the last reading"

    def _last(self, kind: MeterKind) -> int | None:
        meters = self.chosen.meters if self.chosen is not None else ()
        return next((one.shown_usage for one in meters if one.kind is kind), None)

    def machine_changed(self) -> None:
        there = {one.kind: one for one in self.chosen.meters} if self.chosen is not None else {}
        for kind in _LABELS:
            question: FormField = self.line(kind.value)
            last = there.get(kind)
            question.display = last is not None and _is_read(last)
            if last is not None and last.shown_usage is not None and last.at is not None:
                figure = number(self.measures.usage_number(kind, last.shown_usage), 1)
                question.fill("", hint=f"last {figure} on {self.measures.date_said(last.at)}")
            else:
                question.fill("", hint="never read yet")
        if not any(self.line(kind.value).display for kind in _LABELS):
            self.say(f"{self.one.machine.name} has no meter to read; its work comes from the runs.")
        self.keep_in_view()

    def _shown(self) -> dict[MeterKind, int]:
        return {
            kind: usage
            for kind in _LABELS
            if self.line(kind.value).display and (usage := self.answer(kind.value)) is not None
        }

    def summary(self) -> str:
        shown = self._shown()
        if not shown:
            return ""
        replaced = self.answer("meter")
        return reading_sentence(
            FarmSpeaker(self.settings), self.one.machine.name, shown, self.answer("at"), replaced=replaced
        )

    def saving(self) -> Callable[[Door], str]:
        return partial(
            save_readings,
            machine=self.one.machine,
            shown=self._shown(),
            at=self.answer("at"),
            replaced=self.answer("meter"),
            sure=self.doubts.settled,
        )

    def blamed(self, error: WearlogError) -> FormLine | None:
        """The sentence names the meter that it refuses."""
        found: FormLine = next(
            (self.line(kind.value) for kind in self._shown() if word(kind) in error.message), self.line("at")
        )
        return found


def _is_read(meter: LastReading) -> bool:
    # most machines have no counter of area: it is asked for only where one was ever read
    return meter.kind is not MeterKind.AREA or meter.shown_usage is not None
