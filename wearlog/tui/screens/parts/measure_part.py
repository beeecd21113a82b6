"""Entering what wear was measured on a part: the cautions first, then which part, what was read, over how many pitches."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar
from uuid import UUID

from rich.text import Text
from textual.binding import Binding, BindingType

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import Dimension
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.logbook.deed_sentences import measured_sentence
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.present.digits import Measures
from wearlog.tui.questions.work import measured_places, save_measured
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.reading_page import ReadingPage
from wearlog.tui.typed import moment_reader, needed, optional, whole
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.logbook.parts.measuring import MeasuredPlace, MeasureStart, Tape
    from wearlog.logbook.parts.wear_limits import Pitch
    from wearlog.tui.door import Door


class MeasuredPage(ReadingPage):
    """The answer to a measurement; its first line is what was saved."""

    ABOUT: ClassVar[str] = (
        "What was saved, how far the part is worn on the way from new to its limit, where the limit comes from, and when the line "
        "through its readings meets it. Esc or Enter closes; u then takes the reading back if it was a slip."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "close", "back", show=False)]

    def __init__(self, answer: str) -> None:
        super().__init__()
        self.answer = answer

    def begin(self) -> None:
        saved, _, meaning = self.answer.partition("\n")
        page = Text(f"{saved}\n\n", end="")
        for line in meaning.splitlines():
            page.append(f"{line.strip()}\n", "bold" if line.startswith("PAST") else "")
        page.append("\nEsc, then u takes it back.")
        self.show("MEASURED", page)


_CHAIN_ONLY = ("pitches", "chain", "centres", "teeth")
_LABELS = {
    Dimension.LENGTH_OVER_PITCHES: "Length",
    Dimension.GAP: "Gap",
    Dimension.DEPTH: "Depth worn off",
    Dimension.THICKNESS: "Thickness",
}


def _asked_here(error: WearlogError) -> str:
    """Return an error whose hint names options of the command line, with the questions of the form instead."""
    hint = error.hint.replace("say --pitches N and --chain NUMBER", "say below over how many of which chain")
    return f"{error.message} {hint.replace('say --pitches', 'below, write')}"


class MeasureScreen(FormScreen):
    """The form of a measurement. What is not asked of a chain stays hidden."""

    TITLE: ClassVar[str] = "MEASURE WEAR"
    FIRST: ClassVar[str] = "part"
    ABOUT: ClassVar[str] = (
        "What you read off the tape, the rule or the feeler gauge: 19.9in, 505mm, 19-7/8in. A chain is measured pin centre to pin "
        "centre, taut, over 6 to 10 pitches or more without an offset link; say over how many if not over as many as stand there, "
        "and which chain if it is another than its kind. It is worn out at 3 %, on fixed centres, in parallel strands or where it "
        "must run smoothly at 1.5 %, and on a sprocket of more than 66 teeth at 200 over the teeth. F2 lists machines and parts. "
        "After saving stands what it means; 'wearlog limit' sets how a kind of part is measured."
    )

    def __init__(self, pointed: UUID | None = None) -> None:
        super().__init__()
        self.pointed = pointed
        self.known: MeasureStart | None = None

    def questions(self) -> Iterable[FormLine]:
        yield ChoiceField("machine", "Machine")
        yield ChoiceField("part", "Part")
        yield FormField("position", "Position", self._read_position)
        yield FormField("read", "Measured", self._read_length, say=self._say_length)
        yield FormField("pitches", "Pitches", optional(whole(1, 1_000)))
        yield FormField("chain", "Chain", self._read_chain)
        yield ChoiceField(
            "centres", "Runs", ((False, "on a take-up"), (True, "fixed, parallel or smooth")), start=False
        )
        yield FormField("teeth", "Sprocket", optional(whole(1, 1_000)), hint="teeth of the larger, if over 66")
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)

    def prepare(self) -> None:
        for name in ("position", *_CHAIN_ONLY):
            self.line(name).display = False

    # what the log knows -------------------------------------------------------------------------------------------

    def begin(self) -> None:
        self.screens.ask(self, "start", measured_places, self._take)

    def _take(self, known: MeasureStart) -> None:
        self.known = known
        machines = {one.machine.id: one.machine.name for one in known.places}
        if not machines:
            self.say("No part in the log is measured yet; 'wearlog limit' sets how a kind is measured.", alarm=True)
            return
        last = next((one for one in known.places if one.component.id == known.last_component_id), known.places[0])
        start = self.pointed if self.pointed in machines else last.machine.id
        self.line("machine").fill(tuple(sorted(machines.items(), key=lambda one: one[1])), start)
        self._machine_chosen()

    def changed(self, line: FormLine) -> None:
        if line.asks == "machine":
            self._machine_chosen()
        elif line.asks == "part":
            self._part_chosen()
        elif line.asks in ("pitches", "chain") and self.line("read").is_typed:
            # the same length means something else over other pitches
            self.line("read").check()

    def _machine_chosen(self) -> None:
        assert self.known is not None
        its = [one for one in self.known.places if one.machine.id == self.answer("machine")]
        parts = tuple((one.component.id, component_name(one.component.place, one.kind.name)) for one in its)
        last = self.known.last_component_id
        self.line("part").fill(parts, last if any(one == last for one, _ in parts) else parts[0][0])
        self._part_chosen()

    def _part_chosen(self) -> None:
        place = self.place
        if place is None:
            return
        kind, count = place.kind, place.component.positions
        self.line("position").display = count > 1
        self.line("position").fill("", hint=f"1-{count}")
        is_chain = kind.dimension is Dimension.LENGTH_OVER_PITCHES
        for name in _CHAIN_ONLY:
            self.line(name).display = is_chain
        unit = "505mm" if place.settings.is_metric else "19.9in"
        self.line("read").fill(
            "", hint=f"{_LABELS[kind.dimension].casefold()}, like {unit if is_chain else '0.02in or 0.5mm'}"
        )
        if is_chain:
            self.line("pitches").fill("", hint=str(kind.pitches))
            self.line("chain").fill(
                "", hint=f"pitch {self._measures.small_length(kind.pitch_micrometres)}; else like CA550"
            )
        self.show_hazards((kind.hazard,) if kind.hazard is not None else (), place.machine.name)
        self.paint()

    @property
    def place(self) -> MeasuredPlace | None:
        """The place that is chosen."""
        chosen = self.answer("part")
        return next((one for one in self.known.places if one.component.id == chosen), None) if self.known else None

    @property
    def _measures(self) -> Measures:
        from wearlog.facts.farm_settings import FarmSettings

        return Measures(self.place.settings if self.place is not None else FarmSettings())

    # reading ------------------------------------------------------------------------------------------------------

    def _read_position(self, text: str) -> int:
        place = self.place
        if place is None:
            return 1
        read = needed(whole(1, place.component.positions), "At which position?", "They count from 1 at the left.")
        return int(read(text))

    def _read_chain(self, text: str) -> Pitch | None:
        place = self.place
        if place is None or not one_line(text):
            return None
        # brings the maths along, which the question that began the form has loaded in its thread
        from wearlog.logbook.parts.wear_limits import read_chain

        return read_chain(one_line(text), place.settings)

    def _tape(self, micrometres: int) -> Tape:
        from wearlog.logbook.parts.measuring import Tape

        if not self.line("pitches").display:
            return Tape(micrometres)
        return Tape(micrometres, self._answer_or_none("pitches"), self._answer_or_none("chain"))

    def _answer_or_none(self, name: str) -> Any:
        line = self.line(name)
        return line.read() if line.is_right else None

    def _read_length(self, text: str) -> int:
        place = self.place
        if not one_line(text) or place is None:
            raise UsageError("What does it measure?", "Write it with its unit, like 19.9in or 505mm.")
        from wearlog.logbook.said.amounts import read_length

        return read_length(text, place.settings)

    def _impossible(self, micrometres: int) -> str:
        """Return why the part cannot measure that, with the pitches as they stand; nothing when it can."""
        from wearlog.logbook.parts.measuring import in_kinds_terms

        place = self.place
        assert place is not None
        try:
            in_kinds_terms(place.kind, self._tape(micrometres))
        except WearlogError as error:
            return _asked_here(error)
        return ""

    def _say_length(self, micrometres: int) -> str:
        """Said when the field is left. What cannot be is not refused here: over how many pitches it was is asked further down."""
        from wearlog.logbook.parts.measuring import elongation_of

        place = self.place
        if place is None:
            return ""
        wrong = self._impossible(micrometres)
        elongation = elongation_of(place.kind, self._tape(micrometres))
        length = self._measures.small_length(micrometres)
        return wrong or (length if elongation is None else f"{length}, elongation {elongation:.2f} %")

    # saving -------------------------------------------------------------------------------------------------------

    def _position(self) -> int:
        return int(self.answer("position")) if self.line("position").display else 1

    def summary(self) -> str:
        from wearlog.logbook.parts.measuring import read_text

        place = self.place
        if place is None or self._impossible(self.answer("read")):
            return ""
        name = component_name(place.component.place, place.kind.name)
        where = place_said(place.machine.name, name, place.component.positions, (self._position(),))
        read = read_text(place, self._tape(self.answer("read")))
        return measured_sentence(FarmSpeaker(place.settings), where, read, self.answer("at"))

    def save(self) -> None:
        """Save, once the log has been read."""
        if self.place is None:
            self.say("One moment: the log is being read.")
            return
        question: FormField = self.line("read")
        if all(line.is_right for line in self.lines) and (wrong := self._impossible(question.read())):
            question.refuse(wrong)
            self.focus_line(question)
            return
        super().save()

    def saving(self) -> Callable[[Door], str]:
        assert self.place is not None
        is_chain = self.line("teeth").display
        return partial(
            save_measured,
            place=self.place,
            position=self._position(),
            tape=self._tape(self.answer("read")),
            at=self.answer("at"),
            fixed_centres=bool(is_chain and self.answer("centres")),
            teeth=self.answer("teeth") if is_chain else None,
        )

    def saved(self, sentence: str) -> None:
        """Close, and show what the measurement means as a page over the screen that was open."""
        self.dismiss()
        self.app.call_after_refresh(self.screens.push, MeasuredPage(sentence))
        self.screens.something_entered()

    def blamed(self, error: WearlogError) -> FormLine | None:
        found: FormLine = self.line("at" if "fitted" in error.message else "read")
        return found
