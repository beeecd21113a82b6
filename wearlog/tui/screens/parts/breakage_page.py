"""The page on which a breakage is entered: what stands where, how a draft is shown. What keys do is in breakages.py."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, Final

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Cause, Hazard
from wearlog.facts.farm_settings import FarmSettings, Measures
from wearlog.facts.plain_text import one_line
from wearlog.present.drawing.drawn import WANTS_A_HAND
from wearlog.tui.draft import ACTION_WORDS, CAUSE_KEYS, MODE_KEYS, Draft
from wearlog.tui.screens.cautions import read_first, show_cautions
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_rows import ChoiceRow, ChoiceRows, PartLine
from wearlog.tui.widgets.cutterbar_strip import CutterbarStrip
from wearlog.tui.widgets.form_line import LineInput
from wearlog.tui.widgets.lines import BottomLines

#: from so many columns on every way to fail has a word of its own
_WIDE_ENOUGH: Final = 70


class BreakagePage(OverScreen[None]):
    """The page with a draft on it; `wrong` is what keeps it from being saved, in words."""

    #: keys are kept until there is a part to log
    ASKS_FIRST: ClassVar[bool] = True
    AT_ONCE: ClassVar[frozenset[str]] = frozenset({"f1", "question_mark"})
    DEFAULT_CSS = """
    BreakagePage {
        background: $paper;
        color: $ink;
        #title { dock: top; height: 1; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #form { background: $paper; }
        .row { height: 1; }
        .label { width: 7; height: 1; color: $mark; text-style: bold; padding-left: 1; }
        Input { background: $band; color: $ink; height: 1; border: none; padding: 0; width: 1fr; }
        Input:focus { background: $band; border: none; }
        Input > .input--placeholder { color: $quiet; text-style: none; }
        #stood { width: 14; }
        .words { height: auto; padding: 0 1; background: $paper; color: $ink; }
        #part { text-style: bold; color: $mark; }
        AnswerLine { max-height: 5; }
        CutterbarStrip { display: none; }
        CutterbarStrip.-there { display: block; }
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self.draft = Draft()
        self.wrong = ""
        self.settings = FarmSettings()

    def compose(self) -> ComposeResult:
        yield Static("LOG A BREAKAGE", id="title", markup=False)
        yield AnswerLine("Reading the log ...", id="will")
        with VerticalScroll(id="form", can_focus=False):
            with Horizontal(classes="row"):
                yield Static("Line", classes="label", markup=False)
                yield LineInput(
                    placeholder="or write it: 3 sections 41-43 rock, 20 min", id="line", select_on_focus=False
                )
            yield PartLine("Reading the log ...", id="part", classes="words", markup=False)
            yield CutterbarStrip(id="strip")
            yield ChoiceRows(id="keys", classes="words")
            with Horizontal(classes="row"):
                yield Static("Stood", classes="label", markup=False)
                yield LineInput(placeholder="t: minutes", id="stood", select_on_focus=False)
        yield BottomLines()

    def about_now(self) -> str:
        """Return the help with every caution of the part, in the order in which they are to be followed."""
        cautions = "\n".join(f"- {sentence}" for one in self._hazards for sentence in CAUTIONS[one])
        return f"{self.ABOUT}\n\nBefore you touch it:\n{cautions}" if cautions else self.ABOUT

    @property
    def _hazards(self) -> tuple[Hazard, ...]:
        choice = self.draft.choice
        return (choice.hazard,) if choice is not None and choice.hazard is not None else ()

    def read_first(self, then: Callable[[], None]) -> bool:
        """Have the cautions of the part read, where a life is at risk and nobody has in this spell of work."""
        choice = self.draft.choice
        if choice is None or not self.is_current:
            return False
        return read_first(self.screens, {choice.machine: self._hazards}, then, self.left_unread)

    def left_unread(self) -> None:
        """Leave the part alone whose cautions were not read."""

    def show_person(self, name: str) -> None:
        """Show by whom it is entered."""
        self.query_one("#title", Static).update(f"LOG A BREAKAGE, by {one_line(name)}" if name else "LOG A BREAKAGE")

    def action_cautions(self) -> None:
        """Show every caution of the part."""
        if self._hazards:
            show_cautions(self.screens, self._hazards)

    def on_resize(self) -> None:
        """Leave out the close-up where the screen is low."""
        self.fit_screen()

    def fit_screen(self) -> None:
        """Choose what fits, and paint."""
        self.query_one(CutterbarStrip).set_class(self.size.height < 24, "-small")
        self.paint()

    def tell(self, sentence: str) -> None:
        """Show what keeps the draft from being saved, with a mark before it."""
        self._answer(f"{WANTS_A_HAND} {one_line(sentence)}")

    def _answer(self, sentence: str) -> None:
        self.query_one("#will", AnswerLine).show(sentence, hazards=self._hazards)

    def paint(self) -> None:
        """Show the draft: its part, the choices, the caution of the part, and what would be saved."""
        draft, choice = self.draft, self.draft.choice
        self.query_one("#keys", ChoiceRows).show(self._key_rows())
        if choice is None:
            return
        self.query_one("#part", Static).update(Text(f"Part   {choice.machine}, {choice.name}"))
        wrong = self.wrong or draft.problem
        if wrong:
            self.tell(wrong)
            return
        said = [draft.sentence(self.settings)]
        said += ["cause not known"] if draft.cause is Cause.UNKNOWN else []
        # the minute goes on while the form is open: the day is what may be wrong
        said += [f"today, {Measures(self.settings).date_said(self.screens.now())}"] if draft.at is None else []
        self._answer(f"Enter saves: {one_line('; '.join(said))}")

    def _key_rows(self) -> list[ChoiceRow]:
        draft = self.draft
        modes = [(key, words, one is draft.mode, f"mode('{key}')") for key, one, words in MODE_KEYS]
        if self.size.width < _WIDE_ENOUGH:
            # on a phone the way it failed stands alone, with how many there are: a click lists them
            modes = [(key, f"{words}, {len(modes)} ways", is_it, "modes") for key, words, is_it, _ in modes if is_it]
        return [
            ("Cause ", [(key, words, one is draft.cause, f"cause('{key}')") for key, one, words in CAUSE_KEYS]),
            ("Mode  ", modes),
            ("Done a", [("", words, one is draft.action, f"done('{one.value}')") for one, words in ACTION_WORDS]),
        ]
