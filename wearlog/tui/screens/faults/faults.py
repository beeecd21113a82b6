"""The list of electrical faults, the open ones first, and the form that opens one: machine, circuit, signs, fuse, codes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar, Final
from uuid import UUID

from textual.binding import Binding, BindingType
from textual.widget import Widget

from wearlog.errors import UsageError, WearlogError
from wearlog.facts.closed_lists import Condition, Hazard
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.logbook.faults.fault_sentences import opened_sentence
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.present.words import word
from wearlog.tui.questions.farm import combines
from wearlog.tui.questions.faults import FaultStart, MachineCircuits, NewFault, fault_start, faults, save_fault
from wearlog.tui.screens.area import ListArea
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import moment_reader, named
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.list_rows import ListOrder, sheet_source
from wearlog.tui.widgets.tick_field import SEEN, TickField
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.facts.electrics import Fault
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.faults.fault_list import FaultLine
    from wearlog.tui.door import Door
    from wearlog.tui.remembered import Found


class FaultsScreen(ListArea):
    """All electrical faults."""

    AREA: ClassVar[str] = "faults"
    ABOUT: ClassVar[str] = (
        "Electrical faults, the open ones first. Enter opens the one under the cursor: the cautions, then which check to do next, "
        "and who is suspected on the drawing. a opens a new fault; h shows its trail over the seasons: how often it came, what was "
        "found, what it cost, and whether the fix has held. p draws and edits the circuits of the machine under the cursor. "
        "'3 of 4' under came: it came four times by its trail, and this was the third. A data line is the pair of wires on which "
        "the controllers of a machine talk to each other. / filters."
    )
    EMPTY: ClassVar[str] = "No electrical fault yet. a opens one; p draws the circuits first."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "open a fault", tooltip="something electrical does not work: open a fault"),
        Binding("h", "trail", "trail", tooltip="over the seasons: how often, what it cost, has the fix held"),
        Binding("p", "draw", "circuits", tooltip="draw and edit the circuits of the machine"),
        # a few dozen rows stand in the one order that matters
        Binding("o", "order", "order", show=False, tooltip="open ones first, then the latest"),
    ]
    usual_order = ListOrder()

    def __init__(self) -> None:
        super().__init__()
        self.sheet: AnswerSheet[FaultLine] | None = None

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="whole")
        yield from super().body()
        yield AnswerLine(id="here")

    def refresh_answer(self) -> None:
        self.screens.ask(self, "faults", faults, self._show, self._failed)

    def _show(self, sheet: AnswerSheet[FaultLine]) -> None:
        self.sheet = sheet
        # the empty list names the keys
        self.query_one("#whole", AnswerLine).show(*(sheet.halves if sheet.rows else (sheet.answer,)))
        self.rows.show(sheet_source(sheet), self.rows.order)
        if self.focused is None:
            self.rows.focus()

    def _failed(self, error: WearlogError) -> None:
        self.query_one("#whole", AnswerLine).show(error.message, error.hint)

    def on_windowed_list_moved(self) -> None:
        """Say the fault under the cursor whole, last its entry's number where that finds no room in its row."""
        here, sheet, row = self.query_one("#here", AnswerLine), self.sheet, self.rows.row
        line = next((one for one in sheet.rows if row and one.fault.id == row.key), None) if sheet else None
        number = self.rows.unseen.get("entry", "")
        about = sheet.about(line, sheet.measures) if sheet and line else ""
        here.show("", f"{about} Entry {number}." if number and about else about)

    def on_resize(self) -> None:
        """Other columns find room."""
        self.call_after_refresh(self.on_windowed_list_moved)

    @property
    def fault_here(self) -> Fault | None:
        """The fault under the cursor."""
        row = self.rows.row
        if row is None or self.sheet is None:
            return None
        return next((one.fault for one in self.sheet.rows if one.fault.id == row.key), None)

    def open_case(self, fault_id: UUID) -> None:
        """Open a fault."""
        from wearlog.tui.screens.faults.fault_case import FaultCaseScreen

        self.screens.push(FaultCaseScreen(fault_id))

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the fault under the cursor."""
        if isinstance(message.row.key, UUID):
            self.open_case(message.row.key)

    def action_add(self) -> None:
        """Open the form of a new fault."""

        fault = self.fault_here
        self.screens.push(OpenFaultScreen(fault.machine_id if fault is not None else None))

    def action_trail(self) -> None:
        """Show the trail of the fault under the cursor."""
        from wearlog.tui.screens.faults.fault_case import FaultTrailScreen

        fault = self.fault_here
        if fault is None:
            self.say("There is no fault under the cursor.", alarm=True)
        else:
            self.screens.push(FaultTrailScreen(fault.id))

    def action_draw(self) -> None:
        """Open the circuits of the machine under the cursor, or of the machine looked at last."""
        from wearlog.tui.screens.faults.circuit_text import CircuitTextScreen

        fault, named = self.fault_here, self.screens.remembered.machine
        if fault is None and not named:
            # no machine was looked at yet: the first combine, as on the form of a new fault
            self.screens.ask(self, "combines", combines, self._draw_first)
            return
        self.screens.push(CircuitTextScreen(fault.machine_id if fault is not None else UUID(named)))

    def _draw_first(self, found: Sequence[Found]) -> None:
        from wearlog.tui.screens.faults.circuit_text import CircuitTextScreen

        if found:
            self.screens.push(CircuitTextScreen(found[0].row_id))
        else:
            self.say("There is no combine in this log yet.", alarm=True)


#: how a fuse behaved, as a sign says it; empty: nobody looked
_FUSE: Final = (
    ("", "not looked at"),
    ("whole", "whole"),
    ("blew at once", "blew at once"),
    ("blew later", "blew later"),
    ("blew on movement", "blew as it moved"),
)

_ALL: Final = "all of it"


class OpenFaultScreen(FormScreen):
    """The form of a new fault."""

    FIRST: ClassVar[str] = "title"
    ABOUT: ClassVar[str] = (
        "What does not work, in your own words, and what was seen. In the list Space goes through the marks: [x] dead, "
        "[~] erratic, [o] working; d, e and w give them at once. What works counts as much as what is dead: it clears all that "
        "feeds it. A fuse that is whole clears the shorts; one that blew as something moved points to a wire that moves. "
        "Codes as the monitor shows them: 639/9, or 639/9 at a place. After saving, the fault opens with what to check first."
    )

    def __init__(self, machine_id: UUID | None = None) -> None:
        super().__init__()
        self.machine_id = machine_id
        self.machines: tuple[MachineCircuits, ...] = ()
        self.settings = FarmSettings()
        self._opened: UUID | None = None

    def heading(self) -> str:
        return "OPEN AN ELECTRICAL FAULT"

    def questions(self) -> Iterable[FormLine]:
        yield ChoiceField("machine", "Machine")
        yield FormField("title", "What happens", named("fault"), hint="header fuse blows when the header moves")
        yield ChoiceField("circuit", "Circuit", ((_ALL, _ALL),))
        yield TickField("seen", "Seen", marks=SEEN, empty="nothing is drawn of this machine yet")
        yield ChoiceField("fuse", "Fuse", (("", "not known which"),))
        yield ChoiceField("blew", "The fuse is", _FUSE)
        yield TickField("when", "Shows when", [word(one) for one in Condition])
        yield FormField("codes", "Codes", _codes, hint="none; like 639/9, or 639/9 at engine controller")
        yield FormField("at", "Since", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("note", "Note")

    def begin(self) -> None:
        self.show_hazards((Hazard.ELECTRICAL,))
        self.screens.ask(self, "start", fault_start, self._take, self.refused)

    def _take(self, start: FaultStart) -> None:
        machines = self.machines = start.machines
        self.settings = start.settings
        answers = [(one.machine.id, one_line(one.machine.name)) for one in machines]
        there = {one for one, _ in answers}
        first = self.machine_id if self.machine_id in there else answers[0][0] if answers else None
        self.line("machine").fill(answers, first)
        self._machine_changed()

    @property
    def chosen(self) -> MachineCircuits | None:
        """The machine that is chosen."""
        machine_id = self.answer("machine")
        return next((one for one in self.machines if one.machine.id == machine_id), None)

    def changed(self, line: FormLine) -> None:
        if line.asks == "machine":
            self._machine_changed()
        elif line.asks == "circuit":
            self._circuit_changed()

    def _machine_changed(self) -> None:
        one = self.chosen
        circuits = one.circuits if one is not None else ()
        self.line("circuit").fill([(_ALL, _ALL), *((name, one_line(name)) for name in circuits)], _ALL)
        self.line("circuit").display = len(circuits) > 1
        self._circuit_changed()
        if one is not None and not one.devices:
            self.show_before(
                "Nothing is drawn of this machine yet: it can be told, but nothing can be suspected. d draws it."
            )
        else:
            self.show_before("")

    def _circuit_changed(self) -> None:
        one, circuit = self.chosen, self.answer("circuit")
        devices = sorted(d.name for d in one.devices if circuit in (_ALL, d.circuit)) if one is not None else []
        fuses = sorted(f.name for f in one.fuses if circuit in (_ALL, f.circuit)) if one is not None else []
        self.line("seen").offer(devices)
        self.line("fuse").fill([("", "not known which"), *((name, one_line(name)) for name in fuses)], "")

    def _signs(self) -> tuple[str, ...]:
        signs = [f"{name} {mark.word}" for name, mark in self.answer("seen")]
        if self.answer("blew"):
            signs.append(f"{self.answer('fuse') or 'fuse'} {self.answer('blew')}")
        return (*signs, *self.answer("codes"))

    def _conditions(self) -> list[str]:
        return [name for name, _ in self.answer("when")]

    def summary(self) -> str:
        if self.chosen is None:
            return ""
        conditions = [one for one in Condition if word(one) in self._conditions()]
        return opened_sentence(
            FarmSpeaker(self.settings),
            self.chosen.machine.name,
            self.answer("title"),
            self._signs(),
            conditions,
            self.answer("at"),
        )

    def saving(self) -> Callable[[Door], str]:
        one, circuit = self.chosen, self.answer("circuit")
        if one is None:
            raise UsageError("Which machine?", "Enter a machine first.")
        fault = NewFault(
            machine=one.machine,
            title=self.answer("title"),
            at=self.answer("at"),
            circuit="" if circuit == _ALL else circuit,
            signs=self._signs(),
            conditions=", ".join(self._conditions()),
            note=self.line("note").text,
        )

        def save(door: Door) -> str:
            self._opened, sentence = save_fault(door, fault, self.doubts.settled)
            return sentence

        return save

    def saved(self, sentence: str) -> None:
        """Go on to the fault itself: the cautions, and what to check first."""
        from wearlog.tui.screens.faults.fault_case import FaultCaseScreen

        app, screens = self.app, self.screens
        super().saved(sentence)
        if self._opened is not None:
            app.call_after_refresh(screens.push, FaultCaseScreen(self._opened))


def _codes(text: str) -> tuple[str, ...]:
    """Read codes, each like 639/9 or "639/9 at a place", with commas between them."""
    from wearlog.faults.codes import parse_code

    found = tuple(part for part in (one_line(part) for part in text.split(",")) if part)
    for one in found:
        try:
            parse_code(one.partition(" at ")[0])
        except WearlogError as error:
            raise UsageError(
                f"'{one}' is not a code.", "Write it like 639/9, or 639/9 at engine controller."
            ) from error
    return found
