"""The services: tonight's round for tomorrow's hours, ticked off, all of them as they come, and the form of one that was done."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final
from uuid import UUID

from textual.binding import Binding, BindingType
from textual.widgets import Static

from wearlog.facts.cautions import hazards_of_service
from wearlog.facts.machines import ServiceDone, ServiceItem
from wearlog.facts.plain_text import folded, one_line
from wearlog.logbook.deed_sentences import service_sentence
from wearlog.logbook.said.measures import FarmSpeaker, hours, money
from wearlog.present.digits import amount, duration
from wearlog.present.words import listed
from wearlog.present.work.service_sheet import service_sheet
from wearlog.present.work.tonight_sheet import tonight_sheet
from wearlog.tui.questions.services import (
    ServicesShown,
    ServiceStart,
    service_done,
    service_ended,
    service_halved,
    service_start,
    services_done,
    services_shown,
)
from wearlog.tui.screens.cautions import read_first
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.sections import SECTION_KEYS, SectionsScreen
from wearlog.tui.screens.sheets import open_row_form
from wearlog.tui.section import CAUTIONS, Section, cautions_section, sheet_section
from wearlog.tui.typed import moment_reader, optional, parts_reader
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.facts.machines import ServiceItem
    from wearlog.facts.parts import Part
    from wearlog.tui.door import Door


TONIGHT: Final = "Tonight"
EVERY: Final = "As they come"


class ServicesScreen(SectionsScreen):
    """The round of tonight, all services, and the cautions of the round."""

    AREA: ClassVar[str] = "yard"
    FOOT: ClassVar[tuple[str, ...]] = ("done", "mark", "done_with", "section(1)", "tick_all", "add")
    ABOUT: ClassVar[str] = (
        "Tonight: what to grease, drain and look at so that nothing comes due in tomorrow's hours, which are those of the last "
        "days with cutting. Where a life is at risk its cautions stand first, once; ! brings all of them. Space ticks a line, A "
        "all of them, f notes what is ticked as done now, one entry; with nothing ticked it is the line under the cursor. As they "
        "come: every service in the order in which it comes at the present pace. Enter opens one to change it, a adds one, x lets "
        "it come no more, l halves its interval in heavy dust and makes it whole again. F notes the line under the cursor as done "
        "with what it took: parts off the shelf, cost, man-time, who did it."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "mark", "tick", tooltip="tick the line under the cursor, or not"),
        Binding("f", "done", "done", tooltip="note what is ticked, or the line under the cursor, as done now"),
        Binding("F", "done_with", "with cost", tooltip="done, with parts off the shelf, cost and who did it"),
        Binding("A", "tick_all", "tick all", tooltip="tick the whole round, or nothing"),
        *(one for one in SECTION_KEYS if one.key in ("left", "right")),
        Binding("l", "halve", "dust: halve", tooltip="heavy dust: due after half its interval; again: the whole"),
        Binding("a", "add", "new one", tooltip="add a service"),
        Binding("x", "take_out", "ends", show=False, tooltip="it comes no more"),
        Binding("exclamation_mark", "cautions", "cautions", show=False, tooltip="all cautions of the round"),
        Binding("escape", "back", "back"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.shown: ServicesShown | None = None
        self.ticked: frozenset[UUID] = frozenset()

    def refresh_answer(self) -> None:
        self.screens.ask(self, "services", services_shown, self._show)

    def _show(self, shown: ServicesShown) -> None:
        self.shown = shown
        self.ticked &= {one.due.item.id for one in shown.round.lines}
        self._paint()
        if self.is_current:
            work: dict[str, list[Hazard]] = {}
            for one in shown.round.lines:
                work.setdefault(one.machine, []).extend(hazards_of_service(one.due.item.hazard, one.due.item.name))
            read_first(self.screens, work, lambda: None, self.action_back)

    def _paint(self) -> None:
        if self.shown is None:
            return
        found, measures = self.shown.round, self.shown.measures
        evening = tonight_sheet(found, measures, ticked=self.ticked)
        every = service_sheet(found.services, self.shown.names, measures, numbered=True)
        sections = [sheet_section(TONIGHT, evening), sheet_section(EVERY, every)]
        if found.hazards:
            sections.append(cautions_section(found.hazards))
        self.show_sections(sections)

    def section_opened(self, section: Section) -> None:
        """Say the answer of the open section, the cautions of its work under it."""
        if self.shown is None:
            return
        found, measures = self.shown.round, self.shown.measures
        every = section.name == EVERY
        sheet = service_sheet(found.services, self.shown.names, measures) if every else tonight_sheet(found, measures)
        hazards: tuple[Hazard, ...] = () if every or section.name == CAUTIONS else found.hazards
        self.show_answer(*(half or sheet.empty for half in sheet.halves[:1]), sheet.halves[1], hazards=hazards)

    @property
    def item(self) -> ServiceItem | None:
        """The service under the cursor."""
        row = self.rows.row if self.section is not None and self.section.columns else None
        return self.shown.item(row.key) if row is not None and self.shown and isinstance(row.key, UUID) else None

    def action_mark(self) -> None:
        """Tick the line under the cursor, or take its tick away, and go on to the next."""
        if self.section is None or self.section.name != TONIGHT:
            self.action_further()
            return
        item = self.item
        if item is not None:
            self.ticked ^= {item.id}
            self._paint()
            self.rows.action_go("down")

    def action_tick_all(self) -> None:
        """Tick the whole round; where it is, nothing."""
        if self.shown is not None:
            whole = frozenset(one.due.item.id for one in self.shown.round.lines)
            self.ticked = frozenset() if self.ticked == whole else whole
            self._paint()

    def action_done(self) -> None:
        """Note as done what is ticked, else what is under the cursor."""
        if self.shown is None:
            return
        in_round = self.section is not None and self.section.name == TONIGHT
        ticked = [one.due.item for one in self.shown.round.lines if one.due.item.id in self.ticked] if in_round else []
        item = self.item
        items = ticked or ([item] if item is not None else [])
        if not items:
            self.say("There is no service under the cursor.", alarm=True)
            return
        self._enter(partial(services_done, items=tuple(items)))

    def action_done_with(self) -> None:
        """Open the form of what the service under the cursor took."""
        item = self.item
        if item is None:
            self.say("There is no service under the cursor.", alarm=True)
        else:
            self.screens.push(ServiceDoneScreen(item))

    def action_halve(self) -> None:
        """Let the service under the cursor be due after half its interval, or the whole again."""
        if (item := self.item) is not None:
            self._enter(partial(service_halved, item=item))

    def action_take_out(self) -> None:
        """Let the service under the cursor come no more."""
        if (item := self.item) is not None:
            self._enter(partial(service_ended, item=item))

    def action_add(self) -> None:
        """Open the form of a new service."""
        open_row_form(self.screens, self, "service_item")

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the service to change it."""
        if isinstance(message.row.key, UUID):
            open_row_form(self.screens, self, "service_item", message.row.key)

    def _enter(self, question: Callable[[Door], str]) -> None:
        self.screens.ask(self, "enter", question, self._entered)

    def _entered(self, said: str) -> None:
        self.ticked = frozenset()
        self.screens.say(said)
        self.screens.something_entered()

    def action_back(self) -> None:
        """Go back to the yard."""
        self.dismiss()


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
