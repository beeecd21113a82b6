"""Entering a moisture sample of the grain."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.quality import MoistureSample
from wearlog.logbook.deed_sentences import sample_sentence
from wearlog.logbook.said_amounts import read_percent
from wearlog.logbook.said_measures import FarmSpeaker
from wearlog.tui.questions.harvest import save_sample
from wearlog.tui.screens.work_form import WorkForm, row_name
from wearlog.tui.typed import moment_reader, needed, optional
from wearlog.tui.widgets.form_field import FormField
from wearlog.tui.widgets.form_line import FormLine

if TYPE_CHECKING:
    from wearlog.tui.door import Door


class SampleScreen(WorkForm):
    """The form of a moisture sample. The combine is asked for because its last run says crop and field."""

    TITLE: ClassVar[str] = "A MOISTURE SAMPLE"
    FIRST: ClassVar[str] = "tester"
    KINDS: ClassVar[tuple[MachineKind, ...]] = (MachineKind.COMBINE,)
    ABOUT: ClassVar[str] = (
        "What your own tester shows, in per cent, and what the elevator found, as soon as you know it: from both comes what to "
        "add to the tester. Crop and field are those of the last run of the combine until you write others. Take the grain from "
        "the falling stream or from two places off centre, and warm it sealed when it is cold (extension pages)."
    )

    def questions(self) -> Iterable[FormLine]:
        yield self.machine_question()
        yield FormField(
            "tester", "Tester, %", needed(read_percent, "What does the tester show?", "Write it like 13.5.")
        )
        yield FormField("elevator", "Elevator, %", optional(read_percent), hint="not known yet")
        yield FormField("crop", "Crop", self.read_crop, say=row_name)
        yield FormField("field", "Field", self.read_field, say=row_name)
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("note", "Note")

    def machine_changed(self) -> None:
        if self.known is None or self.chosen is None:
            return
        for name, rows, last in (
            ("crop", self.known.crops, self.chosen.crop),
            ("field", self.known.fields, self.chosen.field),
        ):
            self.line(name).offer([one.name for one in rows])
            self.line(name).fill(one_line(last), hint="which?" if name == "crop" else "nobody noted it")

    def _sample(self) -> MoistureSample:
        field = self.answer("field")
        return MoistureSample(
            field_id=field.id if field else None,
            crop_id=self.answer("crop").id,
            at=self.answer("at"),
            tester_hundredths=self.answer("tester"),
            elevator_hundredths=self.answer("elevator"),
            note=self.line("note").text,
        )

    def summary(self) -> str:
        return sample_sentence(FarmSpeaker(self.settings), self._sample(), crop=self.answer("crop").name)

    def saving(self) -> Callable[[Door], str]:
        return partial(save_sample, sample=self._sample())
