"""The form of one check of a fault: the next one that is advised, or any other at a place of the drawing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind
from wearlog.facts.plain_text import one_line
from wearlog.faults.data_line import Spot
from wearlog.faults.measured_text import measured_number
from wearlog.logbook.faults.fault_sentences import CheckEntry, check_sentence
from wearlog.logbook.said.measures import FarmSpeaker, hours
from wearlog.present.faults.check_form_words import (
    BY_FIGURE,
    METERED,
    STATES,
    WITHOUT_PLACE,
    CheckedPlace,
    ends_of,
    value_hint,
)
from wearlog.present.words import word
from wearlog.tui.questions.faults import checked
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import moment_reader
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.present.faults.fault_page import CasePage, StepWords
    from wearlog.tui.door import Door

_LOADS = ((None, "not noted"), (True, "load on"), (False, "off, unplugged"))
_HELD = (("", "all plugged in"), ("in_hand", "it in the hand"), ("socket", "its empty socket"))
_OPENED = ("opened", "plug open, both sides")


class NoteCheckScreen(FormScreen):
    """The form of a check at one place; without a place it is a look beyond what is drawn."""

    ABOUT: ClassVar[str] = (
        "The result of a check. A measured value alone is judged where a published rule says what is right (0.3 V across a "
        "connector, 60 ohm on a data line); else say how it ended. A voltage is judged by what is lost between the battery and "
        "here: read the battery first, in the same state, with the same loads on. 8.0 to 12.1 V says that it moved while it was "
        "wiggled; OL that the meter shows no end. A swap or a repair that changed nothing is a swap with no change. If it is "
        "cured, leave this form and press f."
    )

    def __init__(self, page: CasePage, node: str) -> None:
        super().__init__()
        self.page = page
        self.node = node
        step = page.step
        #: the step that is advised, where this is it
        self.step: StepWords | None = step if step is not None and step.node == node else None
        self.place: CheckedPlace | None = page.places.get(node)

    def heading(self) -> str:
        if self.node:
            return f"CHECK AT {self.node}"
        return "LOOK BEYOND THE DRAWING" if self._kind is CheckKind.BEYOND else "TRY TO MAKE IT HAPPEN"

    def questions(self) -> Iterable[FormLine]:
        kinds = self.place.kinds if self.place is not None else (CheckKind.BEYOND, CheckKind.MAKE_HAPPEN)
        start, place = self._kind, self.place
        fuses = [(name, one_line(name)) for name in (place.fuses if place is not None else ())]
        yield ChoiceField("kind", "Check", [(kind, word(kind)) for kind in kinds], start=start)
        yield FormField("measured", "It showed", hint=self._hint(start))
        yield ChoiceField("state", "Engine, key", STATES)
        yield ChoiceField("load", "The load", _LOADS)
        yield FormField("battery", "Battery V", _volts)
        yield ChoiceField("held", "Across", self._held(), start=self.step.held if self.step is not None else "")
        yield ChoiceField("side", "0 ohm to", self._sides())
        yield ChoiceField("second", "Lamp for", fuses)
        yield ChoiceField("verdict", "That is", ends_of(start, place))
        yield FormField("minutes", "It took", _minutes, hint="not noted; minutes, like 5")
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)

    def _held(self) -> list[tuple[str, str]]:
        """Where a meter may be held on a data line."""
        place = self.place
        of_end = place is not None and place.kind is NodeKind.TERMINATOR
        return [*(_HELD if of_end else _HELD[:1]), *([_OPENED] if place is not None and place.sides else [])]

    def _sides(self) -> list[tuple[str | None, str]]:
        """The sides of a plug that is opened, by the next place on each; "" for neither."""
        names = self.place.sides if self.place is not None else ()
        return [(None, "not said yet"), *((name, one_line(name)) for name in names), ("", "neither side")]

    @property
    def _kind(self) -> CheckKind:
        if self.step is not None and self.step.kind is not None:
            return self.step.kind
        if self.place is None:
            return CheckKind.BEYOND
        return CheckKind.LOOK if self.step is not None else self.place.kinds[0]

    def _hint(self, kind: CheckKind) -> str:
        if self.step is not None and self.step.expect and self.step.kind is kind:
            return one_line(self.step.expect)
        return value_hint(kind, self.place)

    # what is asked of which check ---------------------------------------------------------------------------------

    def prepare(self) -> None:
        self._ask_for(self._kind)

    def first_question(self) -> str:
        """A figure where one is read, else how it ended."""
        return "measured" if self._kind in BY_FIGURE else "verdict"

    def changed(self, line: FormLine) -> None:
        """Another check has other questions and other ends."""
        if line.asks == "kind":
            kind = self.answer("kind")
            self.line("verdict").fill(ends_of(kind, self.place), None)
            self.line("measured").fill("", hint=self._hint(kind))
            self._ask_for(kind)
        elif line.asks == "held":
            self._ask_for(self.answer("kind"))
        elif line.asks == "state":
            self._hint_battery()

    def _ask_for(self, kind: CheckKind) -> None:
        place = self.place
        on_line = kind is CheckKind.RESISTANCE and place is not None and place.on_line
        away = place is not None and place.asks_battery
        shown = {
            "state": kind in METERED,
            "load": kind is CheckKind.VOLTAGE_DROP or (kind is CheckKind.VOLTAGE and away),
            "battery": kind is CheckKind.VOLTAGE and away,
            "held": on_line and len(self._held()) > 1,
            "side": on_line and self.answer("held") == Spot.OPENED,
            "verdict": not (on_line and self.answer("held") == Spot.OPENED),
            "second": kind is CheckKind.LAMP and place is not None and len(place.fuses) > 1,
        }
        for name, is_asked in shown.items():
            self.line(name).display = is_asked
        self._hint_battery()

    def _hint_battery(self) -> None:
        """Say what the battery showed in this state, or that it is read first."""
        known = self.page.battery.get(self.answer("state"))
        hint = f"noted: {known:g} V" if known is not None else "V; read it first, same state"
        self.line("battery").fill("", hint=hint)

    def begin(self) -> None:
        will = self.query_one("#will", AnswerLine)
        will.count, will.from_seat = len(self.page.cautions), self._kind is CheckKind.TRY_IT
        lines = []
        if self.step is not None:
            lines.append(f"{one_line(self.step.doing)}, {self.step.minutes}. {one_line(self.step.why)}.")
            lines.append(one_line(self.step.how))
        elif self.place is not None and self.place.wire:
            lines.append(f"The wire: {one_line(self.place.wire)}.")
        self.show_before("\n".join(line for line in lines if line))
        self.show_hazards(self.page.hazards)

    # what is saved ------------------------------------------------------------------------------------------------

    def summary(self) -> str:
        entry, page = self._entry(), self.page
        if entry.verdict is None and not entry.measured and not entry.second:
            return ""
        speak = FarmSpeaker(page.settings)
        return check_sentence(
            speak, page.fault_title, page.next_check, entry, self.node, entry.verdict, self.answer("at")
        )

    def _entry(self) -> CheckEntry:
        kind: CheckKind = self.answer("kind")
        side = self._shown("side")
        return CheckEntry(
            kind=kind,
            node="" if kind in WITHOUT_PLACE else self.node,
            measured=one_line(self.line("measured").text),
            # on neither side is good; a side that is named is bad by itself
            verdict=CheckVerdict.GOOD if side == "" else self._shown("verdict"),
            duration_seconds=self.answer("minutes"),
            supplied=self._shown("state"),
            load_on=self._shown("load"),
            battery_volts=self._shown("battery"),
            second=side or self._shown("second") or "",
            held=self._shown("held") or "",
        )

    def _shown(self, name: str) -> Any:
        """Return an answer that this check asks for."""
        line = self.line(name)
        return line.read() if line.display else None

    def saving(self) -> Callable[[Door], str]:
        return partial(_save, page=self.page, entry=self._entry(), at=self.answer("at"), sure=self.doubts.settled)

    def blamed(self, error: WearlogError) -> FormLine | None:
        """A reading, what the battery showed, the fuse of a lamp, or how it ended."""
        words = error.message
        name = "verdict"
        if "battery" in words:
            name = "battery"
        elif "opened plug" in words or "neither side" in words:
            name = "side"
        elif "lamp" in words:
            name = "second"
        elif "reading" in words or "below zero" in words:
            name = "measured"
        found: FormLine = self.line(name)
        return found if found.display else None


def _save(door: Door, page: CasePage, entry: CheckEntry, at: datetime, sure: frozenset[str]) -> str:
    if entry.verdict is None and not entry.measured and not entry.second:
        raise UsageError("Nothing is said of the check.", "Write what it showed, or say how it ended.")
    return checked(door, page.fault_id, entry, at=at, sure=sure)[0]


def _minutes(text: str) -> int | None:
    """Read how long it took; a bare number is minutes."""
    return hours(text, "min") if one_line(text) else None


def _volts(text: str) -> float | None:
    """Read what the battery showed; nothing typed is what was noted before."""
    volts = measured_number(text, "V") if one_line(text) else None
    if one_line(text) and (volts is None or volts <= 0):
        raise UsageError(f"'{one_line(text)}' is no voltage.", "Write it like 12.4 V.")
    return volts
