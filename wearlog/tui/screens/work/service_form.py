"""A service that was done, with what it took: parts off the shelf, cost, man-time, who did it. All of it may stay empty."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.widgets import Static

from wearlog.facts.cautions import hazards_of_service
from wearlog.facts.machines import ServiceDone, ServiceItem
from wearlog.facts.plain_text import folded, one_line
from wearlog.logbook.deed_sentences import service_sentence
from wearlog.logbook.said.measures import FarmSpeaker, hours, money
from wearlog.present.digits import amount, duration
from wearlog.present.words import listed
from wearlog.tui.questions.services import ServiceStart, service_done, service_start
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import moment_reader, optional, parts_reader
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.facts.parts import Part
    from wearlog.tui.door import Door


class ServiceDoneScreen(FormScreen):
    """The form of one service that was done."""

    TITLE: ClassVar[str] = "SERVICE DONE"
    ABOUT: ClassVar[str] = (
        "A service that was done, with what it took. Parts are those that came off your shelf, by their numbers: FI-2, or FI-2x3 "
        "for three; they cost what they cost there. The cost is what was paid besides: oil, a mechanic's bill. Man-time: 40min. "
        "Whatever stays empty is not known; when: nothing means now. Who did it stands in the history; empty is who enters on this "
        "device. u takes all of it back, the parts too."
    )

    def __init__(self, item: ServiceItem) -> None:
        super().__init__()
        self.item = item
        self.start: ServiceStart | None = None

    def questions(self) -> Iterable[FormLine]:
        yield FormField("parts", "Parts", self._read_parts, hint="none; like FI-2, KS-3x4", say=_said)
        yield FormField("cost", "Cost besides", optional(money), hint="not known", say=_money)
        yield FormField("labour", "Man-time", optional(hours), hint="not known; like 40min", say=_lasting)
        yield FormField("who", "Who did it", hint="nobody named")
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("note", "Note")

    def begin(self) -> None:
        self.screens.ask(self, "start", partial(service_start, item=self.item), self._take, self.refused)

    def _take(self, start: ServiceStart) -> None:
        self.start = start
        self.query_one("#title", Static).update(f"{self.TITLE}: {one_line(start.machine)}, {one_line(self.item.name)}")
        self.line("parts").offer([one.number for one in start.parts])
        self.line("who").offer([one.name for one in start.people])
        self.line("who").fill("", hint=one_line(start.person) or "nobody named")
        self.show_hazards(hazards_of_service(self.item.hazard, self.item.name), start.machine)

    def _read_parts(self, text: str) -> tuple[tuple[Part, int], ...]:
        return parts_reader(self.start.parts if self.start is not None else ())(text)

    def _done(self) -> ServiceDone:
        named = folded(self.answer("who"))
        people = self.start.people if self.start is not None else ()
        return ServiceDone(
            service_item_id=self.item.id,
            at=self.answer("at"),
            labour_seconds=self.answer("labour"),
            cost_minor=self.answer("cost"),
            note=self.line("note").text,
            # who is in the sheet of people stands in the row too; any other name in the history alone
            person_id=next((one.id for one in people if named and folded(one.name) == named), None),
        )

    def summary(self) -> str:
        if self.start is None:
            return ""
        said = service_sentence(FarmSpeaker(self.start.settings), self.start.machine, self.item, self._done())
        parts, who = self.answer("parts"), self.answer("who")
        off = f"; {_said(parts)} off the shelf" if parts else ""
        return f"{said}{off}{f'; by {who}' if who else ''}"

    def save(self) -> None:
        """Save, once the log has been read."""
        if self.start is None:
            self.say("One moment: the log is being read.")
            return
        super().save()

    def saving(self) -> Callable[[Door], str]:
        return partial(service_done, done=self._done(), parts=self.answer("parts"), person=self.answer("who"))


def _said(parts: tuple[tuple[Part, int], ...]) -> str:
    return listed([f"{count:,} x {one.number} {one.name}" for one, count in parts])


def _money(minor: int | None) -> str:
    return "not known" if minor is None else amount(minor)


def _lasting(seconds: int | None) -> str:
    return "not known" if seconds is None else duration(seconds)
