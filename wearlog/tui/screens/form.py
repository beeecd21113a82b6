"""What all forms share: moving between the questions, saving, leaving without losing what was typed, errors under their field."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar, Final

from textual import events
from textual.binding import Binding, BindingType

from wearlog.errors import DoubtError, WearlogError
from wearlog.present.caution_page import caution_groups
from wearlog.tui.screens.cautions import read_first
from wearlog.tui.screens.form_page import FormPage
from wearlog.tui.screens.over_screen import Doubts
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormLine, caught_up
from wearlog.tui.widgets.tick_field import Ticks

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard

#: what leaving with something typed asks
REALLY = "What you typed is not saved. Esc again leaves it; Enter saves."
#: seconds after which what takes longer says so
A_MOMENT: Final = 0.3
_MOVING: Final = (
    "Tab and the arrows move between the questions; Enter saves what line 2 says, or goes to what is still asked. To a doubt "
    "Enter is yes, Esc no."
)
_MOVING_IN_LINES: Final = (
    "Tab and the arrows move between the lines, Enter goes to the next one, Ctrl+S saves all of them."
)


class FormScreen(FormPage):
    """A form over the screen that was open. Subclasses give `TITLE`, `ABOUT`, `questions`, `saving` and what else they need."""

    #: what a thumb must find at every width, behind that of Enter
    FOOT: ClassVar[tuple[str, ...]] = ("save", "leave", "question(1)")
    #: a form says itself where it begins
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        # priority: a key typed right after one of these belongs to the question that it leads to
        Binding("enter", "enter", "save", tooltip="save; where an answer is still asked, go there", priority=True),
        Binding("ctrl+s", "save", "save", show=False, tooltip="save", priority=True),
        Binding("escape", "leave", "leave", tooltip="leave without saving"),
        # in a list that is ticked the arrows move from row to row; elsewhere they are Tab
        Binding("down", "go(1)", "row below", show=False, priority=True),
        Binding("up", "go(-1)", "row above", show=False, priority=True),
        Binding("tab,down", "question(1)", "next", key_display="Tab", tooltip="the next question", priority=True),
        Binding("up,shift+tab", "question(-1)", "before", show=False, tooltip="the question before", priority=True),
        Binding("f1,question_mark", "help", "keys", key_display="F1"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._asked_to_leave = False
        self._saving = False
        self._begun = False
        self.doubts = Doubts()
        #: the log refused the answers as they stood, and no question is to blame
        self._refused = False
        #: something was typed while the answers were on their way into the log
        self._typed_late = False
        #: the machine of that work; None where its cautions were read on the screen before
        self._worked_on: str | None = None

    # beginning ----------------------------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Go to the question to begin with, and ask the log."""
        self.query_one("#before").display = False
        self.prepare()
        first = self.first_question()
        self.focus_line(self.line(first) if first else self.lines[0] if self.lines else None)
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self._begun = True
        self.query_one("#will", AnswerLine).show(self.first_answer())
        self.begin()
        self.screens.has_asked(self)

    def show_hazards(self, hazards: Sequence[Hazard], machine: str | None = None) -> None:
        """Show the cautions of the work in one row under the answer.

        Where a machine is named the whole list is read first: at once while nothing is typed, else when the question is left
        whose answer brought the danger, and at the latest before it is saved.
        """
        self.hazards, self._worked_on = hazards, machine
        self.paint()
        if not any(line.is_typed for line in self.lines):
            self._read_first(lambda: None)

    def _read_first(self, then: Callable[[], None]) -> bool:
        if self._worked_on is None or not self.is_current:
            return False
        return read_first(self.screens, {self._worked_on: self.hazards}, then, self.action_leave)

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        moving = _MOVING_IN_LINES if self.OF_LINES else _MOVING
        about = f"{self.ABOUT}\n\n{moving} What is wrong stands under its question; nothing typed is lost."
        cautions = "\n".join(f"- {one}" for _, group in caution_groups(self.hazards) for one in group)
        return f"{about}\n\nBefore you touch it:\n{cautions}" if cautions else about

    # moving -------------------------------------------------------------------------------------------------------

    def focus_line(self, line: FormLine | None) -> None:
        """Put the cursor into a question."""
        if line is not None:
            # at once, and not at the next turn as Widget.focus does: the next key is on its way already
            self.set_focus(line.entry)
            self.keep_in_view()

    def _here(self) -> int:
        lines = self.lines
        return next((place for place, line in enumerate(lines) if self.focused is line.entry), 0)

    async def caught_up(self) -> None:
        """Wait until the question under the cursor has taken every key before, and the form has followed its answer."""
        if self.focused is not None:
            await caught_up(self.focused)

    async def on_key(self, event: events.Key) -> None:
        """A key that came before the first question had the cursor goes there."""
        if not self._begun and self.focused is not None and event.is_printable:
            event.stop()
            self.focused.post_message(events.Key(event.key, event.character))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Rows are where there is something to tick."""
        return action != "go" or isinstance(self.focused, Ticks)

    async def action_go(self, step: int) -> None:
        """Go to the row below or above; at the end of the list to the next question."""
        await self.caught_up()
        if not (isinstance(self.focused, Ticks) and self.focused.move(step)):
            await self.action_question(step)

    async def action_question(self, step: int) -> None:
        """Go to the next question, or to the one before."""
        await self.caught_up()
        lines = self.lines
        if lines:
            self.focus_line(lines[(self._here() + step) % len(lines)])
        self._read_first(lambda: None)

    async def action_enter(self) -> None:
        """Save, whatever question has the cursor; in a sheet of lines go on to the next one."""
        await self.caught_up()
        if self.OF_LINES:
            self._next_line()
        elif self.doubts.is_unread:
            # the doubt stands in the line; the key that saved was held down or pressed twice
            self.app.bell()
        else:
            self.save()

    def _next_line(self) -> None:
        lines, place = self.lines, self._here()
        if not lines[place].check():
            return
        if place + 1 < len(lines):
            self.focus_line(lines[place + 1])
        else:
            self.say("That was the last line: Ctrl+S saves.")

    def on_form_line_changed(self, message: FormLine.Changed) -> None:
        """Whoever types on does not want to leave, and may have removed what was doubted."""
        self._asked_to_leave = False
        self._typed_late = self._saving
        self.doubts.forget()
        if self._refused:
            # it was said of the answers as they stood before
            self._refused = False
            self.say("")
        self.changed(message.line)
        self.paint()

    def on_choice_field_list_wanted(self, message: ChoiceField.ListWanted) -> None:
        """Show all answers of a choice as a list to type in."""
        from wearlog.tui.screens.narrowing import PickScreen

        question = message.question

        def take(place: int | None) -> None:
            self.focus_line(question)
            if place is not None:
                question.choose(place)

        self.screens.push(PickScreen(question.label, [words for _, words in question.answers], question.place), take)

    def changed(self, line: FormLine) -> None:
        """Follow an answer that others depend on."""

    def action_help(self) -> None:
        """Open the help of this form."""
        self.screens.action_help()

    # saving and leaving -------------------------------------------------------------------------------------------

    async def action_save(self) -> None:
        """Save if every answer is right; else go to the first that is not."""
        await self.caught_up()
        self.save()

    def save(self) -> None:
        """Save if every answer is right; else go to the first that is not."""
        if self._saving:
            self._say_saving()
            return
        if self._read_first(self.save):
            return
        wrong = [line for line in self.lines if not line.check()]
        if wrong:
            self.focus_line(wrong[0])
            return
        if self.is_unchanged:
            self.dismiss()
            self.app.call_after_refresh(self.screens.say, "Nothing was changed.")
            return
        self._saving, self._typed_late = True, False
        # saving again is the answer to a doubt
        self.doubts.settle()
        self.set_timer(A_MOMENT, self._say_saving)
        self.screens.ask(self, "save", self.saving(), self.saved, self.refused)

    def _say_saving(self) -> None:
        if self._saving:
            self.say("Saving ...")

    def saved(self, sentence: str) -> None:
        """Close, and say what was done on the screen that was open."""
        self.dismiss()
        late = " What you typed while it was saved is not in it." if self._typed_late else ""
        self.app.call_after_refresh(self.screens.say, f"{sentence}{late}", alarm=bool(late))
        self.screens.something_entered()

    def refused(self, error: WearlogError) -> None:
        """Tell what the log has against it, under its question where that is known; everything typed stays."""
        self._saving = False
        if isinstance(error, DoubtError):
            self.say(self.doubts.tell(error), alarm=True)
            return
        line = self.blamed(error)
        sentence = f"{error.message} {error.hint}".strip()
        if line is not None:
            line.refuse(sentence)
            self.focus_line(line)
        else:
            self._refused = True
            self.say(sentence, alarm=True)

    def action_leave(self) -> None:
        """Leave; with something typed only at the second time. To a doubt it is no, while something is saved it waits."""
        if self._saving:
            self.say("One moment: it is being saved.")
            return
        if self.doubts.is_open:
            self.doubts.drop()
            self.say("Not saved: change what is not right, or Enter asks again.")
            return
        if any(line.is_typed for line in self.lines) and not self._asked_to_leave:
            self._asked_to_leave = True
            self.say(REALLY, alarm=True)
            return
        self.dismiss()
