"""One fault: cautions first, then the next check, whose form Enter opens, the suspects on the drawing, and its seasons."""

from __future__ import annotations

from functools import partial
from math import inf
from time import monotonic
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import CheckKind, Hazard
from wearlog.facts.plain_text import plain
from wearlog.present.tables import whole_sentences
from wearlog.tui.questions.faults import case, trail
from wearlog.tui.screens.faults.case_results import answer_words, cautions_text, checklists_text, step_text, works_now
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.screens.reading_page import ReadingPage
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.lines import BottomLines
from wearlog.tui.widgets.list_rows import FixedSource, sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.present.faults.fault_page import CasePage


class FaultCaseScreen(OverScreen[None]):
    """A fault on its machine's drawing."""

    AUTO_FOCUS = ""
    METHODS: ClassVar[str] = "Electrical faults"
    #: keys are kept until the fault is there
    ASKS_FIRST: ClassVar[bool] = True
    AT_ONCE: ClassVar[frozenset[str]] = frozenset({"f1", "question_mark"})
    ABOUT: ClassVar[str] = (
        "First what to read before you touch it; Enter says that it is read. 'here' is the chance that the fault sits at a place, "
        "whatever is wrong there; 'reads bad' that of the check, which may find only some of it. Then the check or repair that "
        "takes the least time to a found and fixed fault, with what a sound circuit shows there. Do it, and press Enter: a form "
        "asks what it "
        "showed, and judges it by itself where a published rule says what is right. The chances change at once and the next "
        "check follows; what is cleared goes off the drawing, m draws all of it. n passes over this kind of check (no meter, "
        "nobody to help). After a repair: f if it is cured; else Enter, a swap that is good. On another line of the drawing "
        "Enter notes a check of your own there. a tells what is asked first, more signs, and who takes it up on another day; x "
        "keeps what is unplugged or taken out, and puts it back. A data line is the pair of wires on which the controllers talk to "
        "each other, with a terminator at each end. Tab shows the checklists of this time and of the last. f closes "
        "with what it was; h is the trail over the seasons."
    )
    DEFAULT_CSS = """
    FaultCaseScreen {
        background: $paper;
        color: $ink;
        #title { dock: top; height: auto; max-height: 2; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #about { height: auto; max-height: 2; padding: 0 1; background: $band; color: $ink; }
        #read { display: none; height: 1fr; padding: 0 1; background: $paper; color: $ink; }
        #read > Static { background: $paper; color: $ink; }
        #step { height: auto; max-height: 10; padding: 0 1; background: $paper; color: $ink; }
        #about { background: $paper; }
        #suspects { height: auto; max-height: 3; padding: 0 1; background: $paper; color: $ink; }
        #drawing { height: 1fr; min-height: 3; }
        #lists { display: none; height: 1fr; padding: 0 1; background: $paper; color: $ink; }
        #lists > Static { background: $paper; color: $ink; }
        &.-reading #read { display: block; }
        &.-reading #step { display: none; }
        &.-reading #suspects, &.-reading #drawing, &.-reading #about { display: none; }
        &.-low #suspects { display: none; }
        &.-low #about { max-height: 1; }
        &.-lowest #about { display: none; }
        &.-lists #lists { display: block; }
        &.-lists #drawing, &.-lists #suspects { display: none; }
        &.-reading #lists { display: none; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "understood", "I have read it", tooltip="go on to the checks"),
        Binding("n", "other", "other check", tooltip="this kind of check cannot be made now: the next that can"),
        Binding(
            "a", "add", "tell more", tooltip="what is asked first, more signs, who takes it up, what is left to say"
        ),
        Binding("f", "found", "found it", tooltip="note what it was and close the fault"),
        Binding("tab", "lists", "checklists", tooltip="the checklists of this time and of the last, or the drawing"),
        Binding(
            "x", "take_out", "taken out", show=False, tooltip="what is unplugged or taken out, and what is put back"
        ),
        Binding("m", "whole", "all of it", show=False, tooltip="draw all of the machine, or what is in question alone"),
        Binding("h", "trail", "trail", show=False, tooltip="over the seasons"),
        Binding(
            "exclamation_mark",
            "cautions",
            "cautions",
            show=False,
            key_display="!",
            tooltip="what to read before you touch it",
        ),
        Binding("p", "draw", "edit the circuits", show=False, tooltip="edit the circuits of this machine"),
        Binding("u", "undo", "undo", show=False, tooltip="take back the last entry of this device"),
        Binding("escape", "close", "back"),
        Binding("f1,question_mark", "help", "keys", key_display="?"),
    ]

    def __init__(self, fault_id: UUID) -> None:
        super().__init__()
        self.fault_id = fault_id
        self.whole = False
        self.page: CasePage | None = None
        #: the step before which all cautions were shown
        self._read_for: tuple[CheckKind | None, str] | None = None
        self._reading_since = 0.0
        #: kinds of check that cannot be made now
        self.passed_over: frozenset[CheckKind] = frozenset()

    def compose(self) -> ComposeResult:
        yield Static("...", id="title", markup=False)
        yield AnswerLine("Reading the log ...", id="answer")
        with VerticalScroll(id="read"):
            yield Static("", id="cautions", markup=False)
        yield Static("", id="about", markup=False)
        yield Static("", id="step", markup=False)
        yield Static("", id="suspects", markup=False)
        drawing = WindowedList(FixedSource((), ()), id="drawing")
        drawing.row_cursor_always = True
        yield drawing
        with VerticalScroll(id="lists"):
            yield Static("", id="lists-text", markup=False)
        yield BottomLines()

    def about_now(self) -> str:
        """Return the help, with every caution of the next step."""
        cautions = "\n".join(f"- {one}" for one in self.page.cautions) if self.page is not None else ""
        return f"{self.ABOUT}\n\nBefore you touch it:\n{cautions}" if cautions else self.ABOUT

    # what is shown ------------------------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Ask after the first paint, and again whenever something was entered."""
        self.screens.log_changed.subscribe(self, lambda _: self._ask())
        self.call_after_refresh(self._ask)

    def holds_key(self, event: events.Key) -> bool:
        """What was pressed before anybody could see the cautions is meant for the checks behind them."""
        return self.is_reading and event.time < self._reading_since

    @property
    def why_not(self) -> str:
        """Why a key of the fault does nothing now."""
        return "read this first; Enter says that you have." if self.is_reading else ""

    def _ask(self) -> None:
        question = partial(case, fault_id=self.fault_id, without=self.passed_over)
        self.screens.ask(self, "case", question, self.show, self._failed)

    def _failed(self, error: WearlogError) -> None:
        self.query_one("#title", Static).update("This fault cannot be told.")
        self.query_one("#answer", AnswerLine).show(error.message, error.hint)
        self.refresh_bindings()

    def show(self, page: CasePage) -> None:
        first = self.page is None
        self.page = page
        self.query_one("#title", Static).update(Text(page.title, end=""))
        self._show_about()
        self.query_one("#cautions", Static).update(cautions_text(page))
        self.query_one("#step", Static).update(step_text(page))
        self.query_one("#suspects", Static).update(Text("; ".join(page.suspects), end=""))
        self.query_one("#lists-text", Static).update(checklists_text(page))
        self._show_drawing()
        # all cautions stand before the first check, and before a step that takes the lead off the battery; once in a spell
        step = (page.step.kind, page.step.node) if page.step is not None else None
        unread = self.screens.spells.unread((self.fault_id, step), (Hazard.ELECTRICAL,), self.screens.now())
        if page.reads_all and unread and (first if not page.is_begun else step != self._read_for):
            self._reading_since = inf
            self.add_class("-reading")
            self._read_for = step
            self.call_after_refresh(self._is_shown)
        self._answer()
        self.take_focus()

    def _is_shown(self) -> None:
        self._reading_since = monotonic()

    def _answer(self) -> None:
        """What is to be done next, with the cautions in one row; while they are read, that they are."""
        line, page = self.query_one("#answer", AnswerLine), self.page
        if page is None:
            return
        if self.is_reading:
            line.show("BEFORE YOU TOUCH IT: read all of this. Enter says that you have.")
            return
        line.count = len(page.cautions)
        line.from_seat = page.step is not None and page.step.kind is CheckKind.TRY_IT
        line.show(*answer_words(page), hazards=page.hazards if page.step is not None else ())

    def _show_drawing(self) -> None:
        page = self.page
        if page is None:
            return
        drawing = page.whole if self.whole else page.drawing
        self.query_one("#drawing", WindowedList).show(sheet_source(drawing))
        wanted = page.step.node if page.step is not None and page.step.node else page.guess_node
        # how much of it is seen is known when the lines above have found their height
        self.call_after_refresh(self._go_to, wanted)

    def _go_to(self, node: str) -> None:
        """Put the cursor on a node, with what it feeds in view below it."""
        drawing = self.query_one("#drawing", WindowedList)
        rows = (self.page.whole if self.whole else self.page.drawing).rows if self.page is not None else ()
        place = next((place for place, one in enumerate(rows) if one.node == node), None)
        if place is not None:
            drawing.move_to_key(rows[min(place + drawing.size.height // 2, len(rows) - 1)].node)
            drawing.move_to_key(node)

    def on_resize(self) -> None:
        """A low screen goes without the list of suspects: their chances stand on the drawing."""
        self.set_class(self.size.height < 30, "-low")
        self.set_class(self.size.height < 24, "-lowest")
        self._show_about()

    def _show_about(self) -> None:
        """Since when and what was seen: as much as stands whole, the rest is on the trail."""
        if self.page is not None:
            about = whole_sentences(self.page.about, self.size.width - 2, 1 if self.has_class("-low") else 2)
            self.query_one("#about", Static).update(Text(about, end=""))

    @property
    def is_reading(self) -> bool:
        """The cautions are shown and not read yet."""
        return self.has_class("-reading")

    def take_focus(self) -> None:
        self.set_focus(
            self.query_one("#read" if self.is_reading else "#lists" if self.has_class("-lists") else "#drawing")
        )
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing is checked before the cautions are read."""
        return works_now(action, self.page, reading=self.is_reading)

    # keys ---------------------------------------------------------------------------------------------------------

    def action_understood(self) -> None:
        """The cautions are read, once the last of them has been on the screen; before that, show what follows."""
        read = self.query_one("#read", VerticalScroll)
        if read.scroll_offset.y < read.max_scroll_y:
            read.scroll_page_down(animate=False)
            return
        self.screens.spells.read((self.fault_id, self._read_for), (Hazard.ELECTRICAL,), self.screens.now())
        self.remove_class("-reading")
        self._answer()
        self.take_focus()
        self.screens.keys_go_on()

    def action_cautions(self) -> None:
        """Show the cautions again."""
        self.add_class("-reading")
        self.query_one("#read", VerticalScroll).scroll_home(animate=False)
        self._answer()
        self.take_focus()

    def action_lists(self) -> None:
        """Show the checklists, or the drawing again."""
        self.remove_class("-reading")
        self.toggle_class("-lists")
        self._answer()
        self.take_focus()

    def action_whole(self) -> None:
        """Draw all of the machine, or only what is in question with what feeds it."""
        self.whole = not self.whole
        self._show_drawing()

    def action_other(self) -> None:
        """Pass over this kind of check; when none is left, all are asked for again."""
        page = self.page
        if page is None or page.step is None or page.step.kind is None:
            return
        self.passed_over |= {page.step.kind}
        self.say(f"Without: {', '.join(sorted(one.value.replace('_', ' ') for one in self.passed_over))}.")
        self._ask()

    def action_add(self) -> None:
        """Tell what is asked first, more signs, who takes it up."""
        from wearlog.tui.screens.faults.tell_fault import TellFaultScreen

        if self.page is not None:
            self.screens.push(TellFaultScreen(self.page))

    def action_take_out(self) -> None:
        """Keep what is unplugged or taken out, or note that it is put back."""
        from wearlog.tui.screens.faults.tell_fault import UndoneScreen

        if self.page is not None:
            self.screens.push(UndoneScreen(self.page))

    def action_found(self) -> None:
        """Open the form that closes the fault; after it comes the trail."""
        from wearlog.tui.screens.faults.close_fault import CloseFaultScreen

        if self.page is not None:
            self.screens.push(CloseFaultScreen(self.page, self._show_trail))

    def _show_trail(self, fault_id: UUID, said: str = "") -> None:

        self.screens.push(FaultTrailScreen(fault_id, said))

    def action_trail(self) -> None:
        """Show the trail over the seasons."""
        if self.page is not None:
            self._show_trail(self.page.fault_id)

    def action_draw(self) -> None:
        """Edit the circuits of this machine."""
        from wearlog.tui.screens.faults.circuit_text import CircuitTextScreen

        if self.page is not None:
            self.screens.push(CircuitTextScreen(self.page.machine_id))

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Note the next check, or one of one's own choice at another place."""
        from wearlog.tui.screens.faults.note_check import NoteCheckScreen
        from wearlog.tui.screens.faults.tell_fault import TryLoadsScreen

        page, node = self.page, message.row.key
        if page is None or page.step is None or not isinstance(node, str):
            return
        if page.step.tries and node == page.step.node:
            self.screens.push(TryLoadsScreen(page))
            return
        # a look beyond the drawing has no line on it: it is asked for where the cursor was put
        is_nowhere = not page.step.node and node == page.guess_node
        self.screens.push(NoteCheckScreen(page, "" if is_nowhere else node))

    def action_undo(self) -> None:
        """Take back the last entry of this device."""
        self.screens.action_undo()


class FaultTrailScreen(ReadingPage):
    """The page of one trail."""

    METHODS: ClassVar[str] = "Electrical faults"
    ABOUT: ClassVar[str] = (
        "All the times this fault came, linked by their signs and by where they were suspected. 'quiet before' are the engine "
        "hours without it. 'p' is how likely so clear a picture is by chance alone: under 0.05 it is said to show something. At "
        "the end of the first part stands whether the last fix has held, and how many more quiet hours make it 95 % sure. Below: "
        "how the count grew, and every checklist, the latest first."
    )

    def __init__(self, fault_id: UUID, said: str = "") -> None:
        super().__init__()
        self.fault_id = fault_id
        #: what was saved just before
        self.said = said

    def begin(self) -> None:
        self.screens.ask(self, "trail", partial(trail, fault_id=self.fault_id), self._show)

    def _show(self, lines: tuple[str, ...]) -> None:
        page = Text(end="")
        for line in lines[1:]:
            is_title = line.isupper() or line.startswith(("COUNT", "CHECKLIST"))
            page.append(f"{plain(line) if not line.startswith(' ') else line}\n", "bold" if is_title else "")
        self.show(plain(lines[0]), page)
        if self.said:
            self.say(self.said)
