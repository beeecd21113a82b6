"""Entering an area cut or a stop, and what the forms of readings, runs and stops share: which machine, what time, what is known."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar
from uuid import UUID

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.cautions import hazards_said
from wearlog.facts.closed_lists import MachineKind, StopReason
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.deed_sentences import again_sentence, run_sentence, stoppage_sentence
from wearlog.logbook.said.measures import FarmReader, FarmSpeaker, hours
from wearlog.present.digits import Measures, duration, number
from wearlog.present.words import word
from wearlog.tui.questions.work import runs_again, save_run, save_stoppage, work_start
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import moment_reader, name_reader, optional
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.logbook.work.entry_start import EntryStart, MachineStart
    from wearlog.tui.door import Door


class WorkForm(FormScreen):
    """A form about one machine. `KINDS` are the kinds of machine that can be meant; none means all."""

    KINDS: ClassVar[tuple[MachineKind, ...]] = ()

    def __init__(self, pointed: UUID | None = None) -> None:
        super().__init__()
        self.pointed = pointed
        self.known: EntryStart | None = None

    @property
    def settings(self) -> FarmSettings:
        """The farm's settings; the usual ones while they are not read yet."""
        return self.known.settings if self.known is not None else FarmSettings()

    @property
    def measures(self) -> Measures:
        """How the farm writes measures."""
        return Measures(self.settings)

    def machine_question(self) -> ChoiceField:
        """The question which machine."""
        return ChoiceField("machine", "Machine")

    @property
    def chosen(self) -> MachineStart | None:
        """The machine that is chosen."""
        return self.known.of(self.answer("machine")) if self.known is not None else None

    @property
    def one(self) -> MachineStart:
        """The machine that is chosen, when everything is right."""
        found = self.chosen
        assert found is not None
        return found

    def begin(self) -> None:
        self.screens.ask(self, "start", work_start, self._take_start)

    def _take_start(self, known: EntryStart) -> None:
        self.known = known
        meant = [one for one in known.machines if not self.KINDS or one.machine.kind in self.KINDS]
        if not meant:
            what = " or ".join(kind.value for kind in self.KINDS) or "machine"
            self.say(f"There is no {what} in the log yet.", alarm=True)
            return
        current = known.current(self._meant(known), *self.KINDS)
        question: ChoiceField = self.line("machine")
        question.fill(
            tuple((one.machine.id, one.machine.name) for one in meant), current.machine.id if current else None
        )
        self.machine_changed()
        self.paint()

    def _meant(self, known: EntryStart) -> UUID | None:
        """The machine that was pointed at; where it does not fit, what it is hitched to."""
        one = known.of(self.pointed)
        return self.pointed if one is None or self.fits(one) else one.hitched_to or self.pointed

    def fits(self, one: MachineStart) -> bool:
        """Whether the form can be about a machine that was pointed at."""
        return True

    def changed(self, line: FormLine) -> None:
        if line.asks == "machine":
            self.machine_changed()

    def machine_changed(self) -> None:
        """Fill in what the log knows of the machine that is chosen."""

    def save(self) -> None:
        """Save, once the log has been read."""
        if self.chosen is None:
            self.say("One moment: the log is being read.")
            return
        super().save()

    def paint(self) -> None:
        if self.chosen is not None:
            super().paint()

    def read_crop(self, text: str) -> Any:
        """Read a crop that must be named."""
        if not text.strip():
            raise UsageError("Of which crop?", "Write the beginning of its name.")
        return name_reader(self.known.crops if self.known else (), row_name, "crop")(text)

    def read_field(self, text: str) -> Any:
        """Read a field, or nothing."""
        if self.known is None or not text.strip():
            return None
        return name_reader(self.known.fields, row_name, "field")(text)


def row_name(row: Any) -> str:
    """Return what a row is called, nothing for none."""
    return one_line(row.name) if row is not None else ""


class RunScreen(WorkForm):
    """The form of a run."""

    TITLE: ClassVar[str] = "AN AREA CUT"
    FIRST: ClassVar[str] = "area"
    KINDS: ClassVar[tuple[MachineKind, ...]] = (MachineKind.COMBINE,)
    ABOUT: ClassVar[str] = (
        "How much was cut, and when: write the separator hours, or when it began; the end is now unless you say otherwise. The "
        "header is the one that was hitched then; saving says which. Field and crop are those of the last run until you write "
        "others; the beginning of a "
        "name is enough, Right takes the one that is offered, an empty field means that nobody noted it."
    )

    def questions(self) -> Iterable[FormLine]:
        yield self.machine_question()
        yield FormField("area", "Area cut", self._read_area, hint="120, or 48,5 ha", say=self._say_area)
        yield FormField("hours", "Hours", optional(hours), hint="separator hours, like 9.5", say=self._say_hours)
        yield FormField("from", "Began", self._read_begin, hint="by the hours before the end", say=self._say_begin)
        yield FormField("to", "Ended", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("field", "Field", partial(self._read_name, "field"), say=row_name)
        yield FormField("crop", "Crop", partial(self._read_name, "crop"), say=row_name)

    def machine_changed(self) -> None:
        if self.known is None or self.chosen is None:
            return
        self.line("area").fill("", hint=f"in {self.measures.area_unit}, like 120 or 48,5 ha")
        self.line("field").offer([one.name for one in self.known.fields])
        self.line("crop").offer([one.name for one in self.known.crops])
        self.line("field").fill(one_line(self.chosen.field), hint="nobody noted it")
        self.line("crop").fill(one_line(self.chosen.crop), hint="nobody noted it")

    def _read_area(self, text: str) -> int:
        if not text.strip():
            raise UsageError("How much was cut?", f"Write it like 120, in {self.measures.area_unit}.")
        found = FarmReader(self.settings).area(text)
        if found == 0:
            raise UsageError("An area of 0 is no run.", "Write what was cut.")
        return found

    def _say_area(self, area: int) -> str:
        return self.measures.area(area, 1)

    def _say_hours(self, seconds: int | None) -> str:
        return "" if seconds is None else duration(seconds)

    def _read_begin(self, text: str) -> datetime:
        end, lasted = self.line("to"), self.line("hours")
        if not end.is_right or not lasted.is_right:
            # those two tell what is wrong with themselves
            return self.now()
        ended: datetime = end.read()
        if text.strip():
            began = moment_reader(self.now)(text)
            if began >= ended:
                raise UsageError(
                    "The run begins when it has ended already.", "Look at when it began and when it ended."
                )
            return began
        seconds = lasted.read()
        if not seconds:
            raise UsageError("When did it begin?", "Write it like 9:00, or write the hours above.")
        return ended - timedelta(seconds=seconds)

    def _say_begin(self, at: datetime) -> str:
        return self.say_moment(at)

    def _read_name(self, what: str, text: str) -> Any:
        if self.known is None or not text.strip():
            return None
        rows: tuple[Any, ...] = self.known.fields if what == "field" else self.known.crops
        return name_reader(rows, row_name, what)(text)

    def _run(self) -> Run:
        field, crop = self.answer("field"), self.answer("crop")
        return Run(
            combine_id=self.one.machine.id,
            field_id=field.id if field else None,
            crop_id=crop.id if crop else None,
            started_at=self.answer("from"),
            ended_at=self.answer("to"),
            area_square_metres=self.answer("area"),
            separator_seconds=self.answer("hours"),
        )

    def summary(self) -> str:
        run, field, crop = self._run(), self.answer("field"), self.answer("crop")
        took = (run.ended_at - run.started_at).total_seconds()
        pace = number(self.measures.area_number(run.area_square_metres) / (took / 3600), 1)
        said = run_sentence(
            FarmSpeaker(self.settings),
            run,
            combine=self.one.machine.name,
            field=field.name if field else "",
            crop=crop.name if crop else "",
        )
        return f"{said} ({pace} {self.measures.area_unit} an hour)"

    def saving(self) -> Callable[[Door], str]:
        return partial(save_run, run=self._run(), sure=self.doubts.settled)

    def blamed(self, error: WearlogError) -> FormLine | None:
        message = error.message.casefold()
        for clue, name in (
            ("area", "area"),
            ("hour", "hours"),
            ("separator", "hours"),
            ("end", "to"),
            ("start", "from"),
        ):
            if clue in message:
                found: FormLine = self.line(name)
                return found
        return None


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

    def fits(self, one: MachineStart) -> bool:
        # a header on a combine does not stand by itself
        return one.machine.kind is not MachineKind.HEADER or one.stands is not None

    def prepare(self) -> None:
        self.line("again").display = False

    def machine_changed(self) -> None:
        stands = self.chosen.stands if self.chosen is not None else None
        for name in ("reason", "from", "to", "note"):
            self.line(name).display = stands is None
        self.line("again").display = stands is not None
        if stands is not None:
            since = self.measures.time_said(stands.started_at)
            self.show_before(f"{one_line(self.one.machine.name)} stands since {since}: {word(stands.reason)}.")
            self.focus_line(self.line("again"))
        else:
            self.show_before("")

    def changed(self, line: FormLine) -> None:
        super().changed(line)
        if line.asks in ("note", "machine") and self.chosen is not None:
            # plugged, a tire, up on a jack: what is dangerous in it stands before a hand goes in
            self.show_hazards(hazards_said(self.line("note").text), self.one.machine.name)

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
