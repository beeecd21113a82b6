"""Runs and stops as lists, the keys by which readings, runs and stops are entered from areas, and the form of a reading."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final
from uuid import UUID

from textual.binding import Binding, BindingType

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.plain_text import one_line
from wearlog.logbook.deed_sentences import reading_sentence
from wearlog.logbook.said.measures import FarmReader, FarmSpeaker
from wearlog.present.digits import number
from wearlog.present.words import word
from wearlog.tui.questions.farm import combines
from wearlog.tui.questions.history import last_run
from wearlog.tui.questions.work import runs, runs_again, save_readings, stops
from wearlog.tui.remembered import Found
from wearlog.tui.screens.daybook import DaybookSection
from wearlog.tui.screens.work.enter_run import WorkForm
from wearlog.tui.typed import moment_reader
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.list_rows import ListOrder, ListSource, sheet_source

if TYPE_CHECKING:
    from wearlog.logbook.work.entry_start import LastReading, MachineStart
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.work.stops import StopLine
    from wearlog.tui.door import Door
    from wearlog.tui.host import Host


WORK_KEYS: Final = (
    Binding("r", "enter_reading", "reading", tooltip="what the meters show"),
    Binding("c", "enter_run", "cut", tooltip="an area cut"),
    Binding("d", "enter_stoppage", "stands/runs", tooltip="the machine stands, or runs again"),
)

#: where g is free for it
MEASURE_KEY: Final = Binding("g", "enter_measurement", "gauge", tooltip="wear that was measured on a part")


class EnteringWork:
    """What those screens do on these keys; `pointed_machine` says which machine is meant."""

    screens: Host

    def pointed_machine(self) -> UUID | None:
        """Return the machine that the screen points at."""
        return None

    def stands_now(self) -> bool:
        """Whether that machine is seen to stand."""
        return False

    def action_enter_reading(self) -> None:
        """Open the form of a reading."""

        self.screens.push(ReadingScreen(self.pointed_machine()))

    def action_enter_run(self) -> None:
        """Open the form of a run."""
        from wearlog.tui.screens.work.enter_run import RunScreen

        self.screens.push(RunScreen(self.pointed_machine()))

    def action_enter_measurement(self) -> None:
        """Open the form of a measurement."""
        from wearlog.tui.screens.parts.measure_part import MeasureScreen

        self.screens.push(MeasureScreen(self.pointed_machine()))

    def action_enter_stoppage(self) -> None:
        """Say that a machine that is seen to stand runs again; of any other open the form of a stoppage."""
        from wearlog.tui.screens.work.enter_run import StoppageScreen

        machine_id = self.pointed_machine()
        if machine_id is not None and self.stands_now():
            question = partial(runs_again, machine_id=machine_id)
            self.screens.ask(self.screens.screen, "runs again", question, self._runs)
            return
        self.screens.push(StoppageScreen(machine_id))

    def _runs(self, sentence: str) -> None:
        self.screens.say(sentence)
        self.screens.something_entered()


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


class WorkScreen(EnteringWork, DaybookSection):
    """The runs of one combine; n goes to the next, after the last to the stops of all machines."""

    MODE: ClassVar[str] = "work"
    ABOUT: ClassVar[str] = (
        "The runs of one combine, the latest first: when it began, the area cut, how long it took, the field and crop. n shows the "
        "next combine, and after the last the stops of all machines: why each stood, how long, and what of it the machine could "
        "have cut. c enters an area cut, r a reading, d that it stands or runs again, g wear that was measured. / filters by any "
        "word of the row; o orders by the next column."
    )
    EMPTY: ClassVar[str] = "No run here yet. c enters an area cut."
    BINDINGS: ClassVar[list[BindingType]] = [*WORK_KEYS, MEASURE_KEY, Binding("n", "other", "next combine")]
    usual_order = ListOrder(sort="when", backwards=True)

    def __init__(self) -> None:
        super().__init__()
        self.combines: tuple[Found, ...] = ()
        self.place = 0
        self.stops: AnswerSheet[StopLine] | None = None

    @property
    def shows_stops(self) -> bool:
        """Whether the stops are shown: they come after the last combine."""
        return bool(self.combines) and self.place == len(self.combines)

    @property
    def combine_id(self) -> UUID | None:
        """The combine whose runs are shown."""
        return self.combines[self.place].row_id if self.place < len(self.combines) else None

    @property
    def stop_here(self) -> StopLine | None:
        """The stop under the cursor."""
        row = self.rows.row if self.shows_stops else None
        return next((one for one in self.stops.rows if row and one.stop.id == row.key), None) if self.stops else None

    def pointed_machine(self) -> UUID | None:
        stop = self.stop_here
        return self.combine_id if stop is None else stop.stop.machine_id

    def stands_now(self) -> bool:
        stop = self.stop_here
        return stop is not None and stop.is_open

    def answer(self) -> Callable[[Door], tuple[str, str]] | None:
        if self.shows_stops:
            sheet = self.stops
            said = ("", "") if sheet is None else sheet.halves if sheet.headline else (sheet.empty, "")
            return lambda _: said
        combine_id = self.combine_id
        if combine_id is None:
            return None
        return partial(last_run, combine_id=combine_id, combine=one_line(self.combines[self.place].name))

    def source(self) -> ListSource | None:
        if self.shows_stops:
            return sheet_source(self.stops) if self.stops is not None else None
        return runs(self.combine_id) if self.combine_id is not None else None

    def refresh_answer(self) -> None:
        self.screens.ask(self, "combines", combines, self._show_combines)

    def _show_combines(self, found: tuple[Found, ...]) -> None:
        shown, stops_shown = self.combine_id, self.shows_stops
        self.combines = found
        same = next((place for place, one in enumerate(found) if one.row_id == shown), 0)
        self.place = len(found) if stops_shown else same
        self._open()

    def _open(self) -> None:
        if self.shows_stops:
            self.screens.ask(self, "stops", stops, self._show_stops)
        elif self.combines:
            self._show(self.combines[self.place].name, self.EMPTY)
        else:
            super().refresh_answer()

    def _show_stops(self, sheet: AnswerSheet[StopLine]) -> None:
        self.stops = sheet
        if self.shows_stops:
            self._show("stops", sheet.empty)

    def _show(self, name: str, empty: str) -> None:
        self.query_one(TopLine).name_shown = name
        self.rows.empty = empty
        super().refresh_answer()

    def action_other(self) -> None:
        """Show the next combine, after the last one the stops of all machines."""
        if self.combines:
            self.place = (self.place + 1) % (len(self.combines) + 1)
            # the columns of runs and of stops are not the same
            self.rows.order = replace(self.usual_order, words=self.rows.order.words)
            self._open()
