"""The circuits of a machine as indented text, edited; what is wrong is told by its line; the drawing beside. Saved as one entry."""

from __future__ import annotations

from functools import partial
from typing import ClassVar
from uuid import UUID

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static, TextArea

from wearlog.errors import WearlogError
from wearlog.facts.plain_text import one_line
from wearlog.present.drawing.branches import folded_branch
from wearlog.present.drawing.drawn import WANTS_A_HAND
from wearlog.tui.questions.faults import (
    DiagramRead,
    DiagramStart,
    circuits_as_type,
    diagram_start,
    read_diagram,
    save_diagram,
    share_circuits,
)
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.widgets.form_line import caught_up, take_own_key
from wearlog.tui.widgets.lines import BottomLines

#: from so many columns on the drawing stands beside the text
_BESIDE = 110


class CircuitArea(TextArea):
    """A text whose keys keep their order, however fast they come."""

    async def on_key(self, event: events.Key) -> None:
        """Keys that move or rub out come between the letters where they were pressed."""
        await take_own_key(self, event)


class CircuitTextScreen(OverScreen[None]):
    """The text of one machine."""

    AUTO_FOCUS = "TextArea"
    ABOUT: ClassVar[str] = (
        "One place a line, indented under what feeds it: 'Light fuse: fuse 15 A, at fuse block'. Kinds: battery, fuse, relay, "
        "switch, connector, wire run, splice, device, sensor, controller, terminator, ground. After the kind may stand: at PLACE, "
        "passes edge, moves with header, near heat, outside, returns by NAME, also fed by NAME, bus with NAME. The line at the "
        "bottom says what is wrong and in which line. F2 shows the drawing; F3 puts a starting diagram in, to be changed to what "
        "the machine has. Ctrl+S saves: what changed is changed, what is gone is taken out unless a past fault rests on it; one "
        "entry, one undo. A rating is what the fuse panel says, never a larger one. Machines of one type ('type' in the sheet of "
        "the machine) can share a diagram: F5 gives this one to them; once they share it, F5 says whether Ctrl+S saves for all of "
        "them or for this machine alone, and F6 takes back what differs here. The first line says for whom it is saved."
    )
    DEFAULT_CSS = """
    CircuitTextScreen {
        background: $paper;
        color: $ink;
        #title { dock: top; height: 1; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        TextArea {
            width: 1fr; height: 1fr; border: none; padding: 0 1; background: $paper; color: $ink;
            scrollbar-size-horizontal: 0;
            & .text-area--cursor { color: $chosen-ink; background: $chosen-paper; }
            & .text-area--cursor-line { background: $band; }
            & .text-area--cursor-gutter { color: $mark; background: $band; text-style: bold; }
            & .text-area--gutter { color: $quiet; background: $paper; }
            & .text-area--selection { background: $chosen-paper; color: $chosen-ink; }
            & .text-area--matching-bracket { background: $band; color: $ink; }
        }
        TextArea:focus { border: none; }
        #drawing { display: none; width: 1fr; height: 1fr; background: $paper; color: $ink; padding: 0 1; }
        #tree { background: $paper; color: $ink; text-wrap: nowrap; }
        #drawing.-there { display: block; }
        TextArea.-away { display: none; }
        #read { height: auto; max-height: 3; padding: 0 1; background: $band; color: $ink; }
        #read.-wrong { color: $alarm; text-style: bold; }
    }
    """
    #: keys are kept until its text is there
    ASKS_FIRST: ClassVar[bool] = True
    AT_ONCE: ClassVar[frozenset[str]] = frozenset({"f1"})
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "save", "save", tooltip="save the circuits as one entry", priority=True),
        Binding("f2", "draw", "drawing", tooltip="show the drawing, or the text again", priority=True),
        Binding("f3", "start", "starting diagram", tooltip="put the next starting diagram in", priority=True),
        Binding("f5", "whose", "whose", tooltip="share it with the type; save for all, or here alone", priority=True),
        Binding("f6", "as_type", "as the type", tooltip="take back what differs on this machine", priority=True),
        Binding("f4", "go_wrong", "to what is wrong", tooltip="go to the line that is wrong", priority=True),
        Binding("escape", "leave", "leave", tooltip="leave without saving", priority=True),
        Binding("f1", "help", "keys", priority=True),
    ]

    def __init__(self, machine_id: UUID) -> None:
        super().__init__()
        self.machine_id = machine_id
        self.start: DiagramStart | None = None
        self.saved_text = ""
        self.was_read = DiagramRead()
        self._next_start = 0
        self._asked_to_leave = False
        #: of a shared diagram: save for this machine alone; None where nothing is shared
        self.only_here: bool | None = None
        self._asked = ""

    def compose(self) -> ComposeResult:
        yield Static("CIRCUITS ...", id="title", markup=False)
        with Horizontal():
            yield CircuitArea("", theme="css", show_line_numbers=True, tab_behavior="indent")
            with VerticalScroll(id="drawing"):
                yield Static("", id="tree", markup=False)
        yield Static("", id="read", markup=False)
        yield BottomLines()

    @property
    def text(self) -> str:
        """The text as it stands."""
        return self.query_one(TextArea).text

    def on_mount(self) -> None:
        """Ask for the text after the first paint."""
        self.query_one(TextArea).indent_width = 2
        question = partial(diagram_start, machine_id=self.machine_id)
        self.call_after_refresh(self.screens.ask, self, "start", question, self._begin)

    def _begin(self, start: DiagramStart) -> None:
        self.start = start
        self.only_here = bool(start.differs) if start.is_shared else None
        self._entitle()
        self.saved_text = start.text
        self.query_one(TextArea).text = start.text
        if not start.text:
            self.say("Nothing is drawn of this machine yet. F3 puts a starting diagram in: change it to what is there.")

    def _entitle(self) -> None:
        assert self.start is not None
        name = one_line(self.start.machine.name)
        for_whom = "" if self.only_here is None else " · here alone" if self.only_here else " · for its type"
        self.query_one("#title", Static).update(Text(f"CIRCUITS OF {name.upper()}{for_whom}", end=""))

    def on_resize(self) -> None:
        """On a wide screen the drawing stands beside the text."""
        self._place_drawing(there=self.size.width >= _BESIDE or self.query_one(TextArea).has_class("-away"))
        self._paint_tree()

    def _place_drawing(self, *, there: bool) -> None:
        beside = self.size.width >= _BESIDE
        self.query_one("#drawing").set_class(there, "-there")
        self.query_one(TextArea).set_class(there and not beside, "-away")

    # reading it as it is written ----------------------------------------------------------------------------------

    @on(TextArea.Changed)
    def _typed(self) -> None:
        self._asked_to_leave, self._asked = False, ""
        if self.text.strip():
            self.screens.ask(self, "read", partial(read_diagram, text=self.text), self._read)
        else:
            self._read(DiagramRead())

    def _read(self, found: DiagramRead) -> None:
        self.was_read = found
        read = self.query_one("#read", Static)
        read.set_class(bool(found.wrong), "-wrong")
        if found.wrong:
            read.update(Text(f"{WANTS_A_HAND} {one_line(found.wrong)}", end=""))
            return
        words = f"{len(found.drawing)} places. " if found.drawing else ""
        read.update(Text(f"{words}{' '.join(one_line(gap) for gap in found.gaps)}".strip(), end=""))
        self._paint_tree()

    def _paint_tree(self) -> None:
        # one column for the scrollbar, whether or not it is there, and one on either side
        room = (self.size.width // 2 if self.size.width >= _BESIDE else self.size.width) - 3
        lines = (line for one in self.was_read.drawing for line in folded_branch(one.line, room))
        self.query_one("#tree", Static).update(Text("\n".join(lines), no_wrap=True, end=""))

    def action_go_wrong(self) -> None:
        """Put the cursor on the line that is wrong."""
        line = self.was_read.wrong_line
        area = self.query_one(TextArea)
        if line is None:
            self.say(self.was_read.wrong or "Nothing is wrong.")
            return
        self._place_drawing(there=self.size.width >= _BESIDE)
        area.move_cursor((min(line, area.document.line_count) - 1, 0))
        area.focus()

    # keys ---------------------------------------------------------------------------------------------------------

    def action_draw(self) -> None:
        """Show the drawing, or the text again."""
        if self.size.width >= _BESIDE:
            self.say("The drawing stands beside the text.")
            return
        away = not self.query_one(TextArea).has_class("-away")
        self._place_drawing(there=away)
        (self.query_one("#drawing") if away else self.query_one(TextArea)).focus()

    def action_start(self) -> None:
        """Put the next starting diagram into an empty text, or over one that was put in unchanged."""
        if self.start is None or not self.start.starts:
            return
        known = {"", *(text.strip() for _, text in self.start.starts)}
        if self.text.strip() not in known:
            self.say("There is a text already: a starting diagram goes into an empty one only.", alarm=True)
            return
        name, text = self.start.starts[self._next_start % len(self.start.starts)]
        self._next_start += 1
        self.query_one(TextArea).text = text
        self.say(f"Starting diagram '{name}': common practice, no source. Change it to what this machine has.")

    def action_whose(self) -> None:
        """Save for all of the type or for this machine alone; where nothing is shared, share what is drawn."""
        if self.start is None:
            return
        machine, others = one_line(self.start.machine.name), one_line(", ".join(self.start.others))
        if self.only_here is not None:
            self.only_here = not self.only_here
            self._entitle()
            self.say(f"Ctrl+S saves for {machine} alone." if self.only_here else f"Ctrl+S saves for {others} too.")
        elif not self.start.machine.type_name:
            self.say(
                f"It is not said of which type {machine} is: 'type' in its sheet, and in that of the others.",
                alarm=True,
            )
        elif self.text != self.saved_text or not self.text.strip():
            self.say("Save it first (Ctrl+S), then share it.", alarm=True)
        elif self._once_more(
            "share", f"F5 again gives this diagram to {others or 'every machine of the type to come'}."
        ):
            self.screens.ask(
                self, "share", partial(share_circuits, machine=self.start.machine), self._saved, self._refused
            )

    def action_as_type(self) -> None:
        """Take back what differs here."""
        if self.start is None:
            return
        if not self.start.differs:
            self.say("Nothing differs here from other machines of its type.")
        elif self._once_more("as type", f"{one_line('; '.join(self.start.differs))}. F6 again draws it as the type."):
            question = partial(circuits_as_type, machine=self.start.machine)
            self.screens.ask(self, "as type", question, self._saved, self._refused)

    def _once_more(self, what: str, sentence: str) -> bool:
        """Whether a key was pressed a second time; the first time it says what it will do."""
        again, self._asked = self._asked == what, what
        if not again:
            self.say(sentence, alarm=True)
        return again

    async def action_save(self) -> None:
        """Save; a text that is wrong is refused with its line."""
        await caught_up(self.query_one(TextArea))
        if self.start is not None:
            question = partial(save_diagram, machine=self.start.machine, text=self.text, only_here=self.only_here)
            self.screens.ask(self, "save", question, self._saved, self._refused)

    def _refused(self, error: WearlogError) -> None:
        self.say(f"{error.message} {error.hint}".strip(), alarm=True)
        if self.was_read.wrong_line is not None:
            self.action_go_wrong()

    def _saved(self, sentence: str) -> None:
        self.dismiss()
        self.app.call_after_refresh(self.screens.say, sentence)
        self.screens.something_entered()

    def action_leave(self) -> None:
        """From the drawing back to the text; else leave, with something typed only at the second time."""
        if self.query_one(TextArea).has_class("-away"):
            self.action_draw()
        elif self.text != self.saved_text and not self._asked_to_leave:
            self._asked_to_leave = True
            self.say("What you typed is not saved. Esc again leaves it; Ctrl+S saves.", alarm=True)
        else:
            self.dismiss()
