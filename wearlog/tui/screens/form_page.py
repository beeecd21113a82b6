"""What all forms look like: the heading, what would be saved, the cautions in one row, the questions. Keys are in form.py."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar, Final

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from wearlog.errors import WearlogError
from wearlog.facts.days import date_said
from wearlog.facts.plain_text import one_line
from wearlog.present.drawing.drawn import WANTS_A_HAND
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.form_line import FormLine
from wearlog.tui.widgets.lines import BottomLines

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard
    from wearlog.tui.door import Door

#: what line 2 says where all is right and there is nothing
NOTHING_YET: Final = "Nothing to save yet."


class _Questions(VerticalScroll, can_focus=False):
    """The questions, below what would be saved: where that takes a line more, they have one less."""

    def on_resize(self) -> None:
        """The question that is being answered stays in view."""
        if isinstance(page := self.screen, FormPage):
            page.keep_in_view()


class FormPage(OverScreen[None]):
    """The page of a form over the screen that was open. Subclasses give `TITLE`, `ABOUT`, `questions`, `saving` and more."""

    TITLE: ClassVar[str] = ""
    #: the question to begin with; empty for the first one
    FIRST: ClassVar[str] = ""
    #: keys are kept until it has what it begins with, so that none gets lost or goes into another field
    ASKS_FIRST: ClassVar[bool] = True
    AT_ONCE: ClassVar[frozenset[str]] = frozenset({"f1"})
    #: what Enter does with the answers, in a word
    DOES: ClassVar[str] = "saves"
    #: a sheet of many lines: Enter makes the next one, and Ctrl+S alone saves
    OF_LINES: ClassVar[bool] = False
    DEFAULT_CSS = """
    FormPage {
        background: $paper;
        color: $ink;
        #title { dock: top; height: auto; max-height: 3; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #form { background: $paper; }
        AnswerLine { max-height: 5; }
        #care { display: none; height: auto; padding: 0 1; color: $alarm; background: $paper; text-style: bold; }
        #care.-there { display: block; }
        #before { height: auto; padding: 0 1; color: $ink; background: $paper; }
        &.-low #form { padding-top: 0; }
    }
    """

    def __init__(self) -> None:
        super().__init__()
        #: what is dangerous in the work that is entered, the worst first
        self.hazards: Sequence[Hazard] = ()

    # what subclasses give -----------------------------------------------------------------------------------------

    def questions(self) -> Iterable[FormLine]:
        """Return the questions in their order."""
        return ()

    def saving(self) -> Callable[[Door], str]:
        """Return the question that saves the answers and returns what was done in a sentence; called when all are right."""
        raise NotImplementedError

    def summary(self) -> str:
        """Return in words what would be saved; called when all answers are right."""
        return ""

    def prepare(self) -> None:
        """Hide what is not to be asked yet, put back what was answered before; called once, before the first paint."""

    def begin(self) -> None:
        """Ask the log for what the form starts from."""

    def first_question(self) -> str:
        """Return the name of the question to begin with; empty for the first one."""
        return self.FIRST

    @property
    def is_unchanged(self) -> bool:
        """It was opened on what the log holds, and says the same still."""
        return False

    def blamed(self, error: WearlogError) -> FormLine | None:
        """Return the question whose answer the log refused, if that can be told."""
        return None

    def now(self) -> datetime:
        """The time by the farm's clock."""
        return self.screens.now()

    def say_moment(self, at: datetime) -> str:
        """Say a moment by the farm's clock."""
        local = at.astimezone(self.now().tzinfo)
        return f"{local:%A} {date_said(local.date())} {local:%H:%M}"

    def heading(self) -> str:
        """Return the line at the top."""
        return self.TITLE

    # drawing ------------------------------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        yield Static(self.heading(), id="title", markup=False)
        will = AnswerLine(id="will")
        # in a form "!" is a letter like any other: F1 has all cautions
        will.key = "F1"
        yield will
        with _Questions(id="form"):
            yield Static("", id="care", markup=False)
            yield Static("", id="before", markup=False)
            yield from self.questions()
        yield BottomLines()

    @property
    def lines(self) -> list[FormLine]:
        """The questions that are shown."""
        return [line for line in self.query(FormLine) if line.display]

    def line(self, name: str) -> Any:
        """Return a question by its name."""
        return self.query_one(f"#ask-{name}", FormLine)

    def answer(self, name: str) -> Any:
        """Return the answer of a question that is right."""
        return self.line(name).read()

    def on_resize(self) -> None:
        """A low screen goes without the empty lines."""
        self.set_class(self.size.height < 24, "-low")

    def show_care(self, sentences: Sequence[str]) -> None:
        """Show cautions above the questions, in the order in which they are to be followed."""
        care = self.query_one("#care", Static)
        care.set_class(bool(sentences), "-there")
        care.update(Text("\n".join(f"{WANTS_A_HAND} CARE  {one_line(sentence)}" for sentence in sentences), end=""))
        self.keep_in_view()

    def show_before(self, text: str) -> None:
        """Show a few words above the questions."""
        before = self.query_one("#before", Static)
        before.display = bool(text)
        before.update(Text(text, end=""))
        self.keep_in_view()

    def keep_in_view(self) -> None:
        """What stands above the questions must not push the one that is asked off a low screen, nor its hint."""

        def scroll() -> None:
            if self.focused is None and self.lines:
                # the question that had the cursor is not asked of this machine
                self.set_focus(self.lines[0].entry)
            here = next((line for line in self.lines if self.focused is line.entry), None)
            if here is not None:
                here.show_spot()

        # a hint finds its place under the field once the field knows its width
        self.call_after_refresh(self.call_after_refresh, scroll)

    def paint(self) -> None:
        """Say what would be saved, as soon as every answer makes sense; before that, what is asked."""
        self.query_one("#will", AnswerLine).show(self.saves(), hazards=self.hazards)

    def first_answer(self) -> str:
        """Return what is asked first, before anything is typed or read from the log."""
        return self._asked() or NOTHING_YET

    def saves(self) -> str:
        """Return what would be saved, or what keeps it from that."""
        if asked := self._asked():
            return asked
        words = one_line(self.summary()) if self.lines and not self.is_unchanged else ""
        return f"{'Ctrl+S' if self.OF_LINES else 'Enter'} {self.DOES}: {words}" if words else NOTHING_YET

    def _asked(self) -> str:
        wrong = next((line for line in self.lines if not line.is_right), None)
        return "" if wrong is None else f"Not ready to save: {wrong.label} is asked."
