"""One question of a form: what all its kinds share. How each is answered is in the modules of the kinds."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Any, ClassVar, Final

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.message_pump import MessagePump
from textual.suggester import SuggestFromList
from textual.widget import Widget
from textual.widgets import Input, Static

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.present.tables import width

#: seconds a key waits at most for those before it
LONGEST_WAIT: Final = 1.0


class FormLine(Vertical):
    """A label, a widget that takes the answer, and under it what is wrong with it or how it was understood.

    Subclasses give `entry` (the widget), `read` (the answer, or UsageError) and `understood`.
    """

    DEFAULT_CSS = """
    FormLine {
        height: auto;
        background: $paper;
        color: $ink;
        & > Horizontal { height: auto; }
        & .form-line--label { width: 17; height: 1; padding-left: 1; color: $mark; background: $paper; text-style: bold; }
        & .form-line--told { display: none; height: auto; padding-left: 17; color: $ink; background: $paper; }
        & .form-line--told.-there { display: block; }
        & .form-line--told.-wrong { color: $alarm; text-style: bold; }
        &.-narrow .form-line--label { width: 14; }
        &.-narrow .form-line--told { padding-left: 2; }
        & .form-line--whole { display: none; height: auto; padding-left: 17; color: $quiet; background: $paper; }
        & .form-line--whole.-there { display: block; }
        &.-narrow .form-line--whole { padding-left: 2; }
    }
    """
    #: below so many columns the labels are narrow
    NARROW: ClassVar[int] = 60

    class Changed(Message):
        """Somebody answered otherwise."""

        def __init__(self, line: FormLine) -> None:
            super().__init__()
            self.line = line

        @property
        def control(self) -> FormLine:
            return self.line

    def __init__(self, name: str, label: str) -> None:
        super().__init__(id=f"ask-{name}")
        self.asks = name
        self.label = label
        #: a person answered it; what the form itself filled in does not count
        self.is_typed = False
        self.wrong = ""

    def compose(self) -> ComposeResult:
        with Horizontal():
            yield Static(self.label, classes="form-line--label", markup=False)
            yield self.entry
        yield Static("", classes="form-line--whole", markup=False)
        yield Static("", classes="form-line--told", markup=False)

    @property
    def entry(self) -> Widget:
        """The widget that takes the answer."""
        raise NotImplementedError

    def show_spot(self) -> None:
        """Scroll to where the answer is given, with the hint where both find room, and no further than needed."""
        self.scroll_visible(animate=False, immediate=True)
        self.entry.scroll_visible(animate=False, immediate=True)

    def read(self) -> Any:
        """Return the answer. UsageError when there is none that makes sense."""
        raise NotImplementedError

    def understood(self) -> str:
        """How the answer was understood, where that differs from what is seen already."""
        return ""

    def kept(self) -> str:
        """Return the answer as it stands, for `restore`."""
        raise NotImplementedError

    def restore(self, kept: str) -> None:
        """Put an answer back that a person gave before."""
        raise NotImplementedError

    def on_resize(self) -> None:
        """A narrow screen gets narrow labels."""
        self.set_class(self.app.size.width < self.NARROW, "-narrow")

    def show_whole(self, words: str, room: int) -> None:
        """Show under the line what finds no room in it; nothing where all of it does."""
        for whole in self.query(".form-line--whole").results(Static):
            is_cut = 0 < room < width(words)
            whole.set_class(is_cut, "-there")
            whole.update(Text(words if is_cut else "", end=""))

    def check(self) -> bool:
        """Look at the answer and tell under it what is wrong with it, or how it was understood."""
        try:
            self.read()
        except UsageError as error:
            self.refuse(f"{error.message} {error.hint}")
            return False
        self._tell(self.understood(), wrong=False)
        return True

    @property
    def is_right(self) -> bool:
        """The answer makes sense; nothing is told."""
        try:
            self.read()
        except UsageError:
            return False
        return True

    def refuse(self, sentence: str) -> None:
        """Tell what is wrong with the answer; it stays as it was typed."""
        self._tell(sentence, wrong=True)

    def _tell(self, sentence: str, *, wrong: bool) -> None:
        clean = one_line(sentence)
        self.wrong = clean if wrong else ""
        told = self.query_one(".form-line--told", Static)
        told.update(Text(f"! {clean}" if wrong else f"= {clean}" if clean else "", end=""))
        told.set_class(wrong, "-wrong")
        told.set_class(bool(clean), "-there")

    def answered(self) -> None:
        """Take note that a person changed the answer: what was told of the one before goes."""
        self.is_typed = True
        self._tell("", wrong=False)
        self.post_message(self.Changed(self))


async def take_own_key(widget: Widget, event: events.Key) -> None:
    """Let a widget do at once what a key of its own means, in the order in which its keys came.

    The framework does it a turn later, in the app: behind the letters that came after the key, and behind a save.
    """
    for binding in Binding.make_bindings(type(widget).BINDINGS):
        if binding.key == event.key and await widget.app.run_action(binding.action, widget):
            event.stop()
            return


async def caught_up(widget: Widget) -> None:
    """Wait until a widget has taken every key that was pressed in it before, and its screen knows what that changed."""
    with suppress(TimeoutError):
        async with asyncio.timeout(LONGEST_WAIT):
            for one in widget.ancestors_with_self:
                # the app is what waits here
                if not isinstance(one, Widget):
                    return
                # twice: what a key changes is told by a message that stands behind those that wait already
                for _ in range(2):
                    await passed_by(one)


async def passed_by(one: MessagePump) -> None:
    """Wait until a widget, or the app, has taken every message that waits for it now."""
    with suppress(TimeoutError):
        async with asyncio.timeout(LONGEST_WAIT):
            taken = asyncio.Event()
            if one.call_later(taken.set):
                await taken.wait()


class LineInput(Input):
    """An Input whose paste takes all lines, not the first alone, and whose keys keep their order however fast they come."""

    DEFAULT_CSS = """
    LineInput {
        background: $band;
        color: $ink;
        height: 1;
        border: none;
        padding: 0;
        width: 1fr;
        &:focus { background: $band; border: none; background-tint: $band 0%; }
        & > .input--placeholder { color: $quiet; text-style: none; }
        & > .input--suggestion { color: $quiet; text-style: italic; }
    }
    """

    async def on_key(self, event: events.Key) -> None:
        """Keys that move or rub out come between the letters where they were pressed."""
        # Enter is not for the line but for the screen around it, which is to have read the line by then
        if event.key != "enter":
            await take_own_key(self, event)

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self._put_in(event.text)

    def action_paste(self) -> None:
        """Paste what was cut or copied."""
        self._put_in(self.app.clipboard)

    def _put_in(self, text: str) -> None:
        line = one_line(text)
        if line:
            # a space before it parts it from what stands there; a line end after it is only how it was copied
            self.replace(f" {line}" if text.startswith(" ") else line, *self.selection)


class FormField(FormLine):
    """A line of text.

    Parameters
    ----------
    read : callable
        Takes the text and returns the answer; raises UsageError with the sentence for under the field.
    hint : str
        Stands in the empty field: what it means to leave it so, or an example.
    say : callable
        Says the answer in words; shown after leaving where it differs from what was typed.
    names : sequence of str
        What can be written here; the rest of a name is offered while its beginning is typed, Right takes it.
    """

    def __init__(
        self,
        name: str,
        label: str,
        read: Callable[[str], Any] = one_line,
        *,
        start: str = "",
        hint: str = "",
        say: Callable[[Any], str] | None = None,
        names: Sequence[str] = (),
    ) -> None:
        super().__init__(name, label)
        self.reader = read
        self.say = say
        suggester = SuggestFromList([one_line(one) for one in names], case_sensitive=False) if names else None
        self.hint = hint
        self.input = LineInput(start, placeholder=_in_brackets(hint), suggester=suggester)
        self._before = start

    @property
    def entry(self) -> Input:
        return self.input

    @property
    def text(self) -> str:
        """What stands in the field, exactly as it was typed."""
        return self.input.value

    def read(self) -> Any:
        return self.reader(self.text)

    def understood(self) -> str:
        if self.say is None or not self.text.strip():
            return ""
        said = self.say(self.read())
        return "" if said.casefold() == self.text.strip().casefold() else said

    def fill(self, text: str, *, hint: str | None = None) -> None:
        """Put in what the form knows, unless a person has typed something already."""
        if hint is not None:
            self.hint = hint
        if not self.is_typed:
            self._before = text
            self.input.value = text
        self._show_whole()

    def kept(self) -> str:
        return self.text

    def on_resize(self) -> None:
        super().on_resize()
        self.call_after_refresh(self._show_whole)

    def _show_whole(self) -> None:
        """What is longer than the field stands under it whole, a hint there alone; the last cell of the field is the cursor's."""
        room, hint = self.input.size.width - 1, _in_brackets(self.hint)
        self.input.placeholder = "" if 0 < room < width(one_line(hint)) else hint
        self.show_whole(one_line(self.text) or one_line(hint), room)

    def restore(self, kept: str) -> None:
        self._before = kept
        self.input.value = kept
        self.input.select_on_focus = False
        self.is_typed = True

    def offer(self, names: Sequence[str]) -> None:
        """Offer these names while their beginnings are typed."""
        self.input.suggester = SuggestFromList([one_line(one) for one in names], case_sensitive=False)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._show_whole()
        if event.value != self._before:
            self._before = event.value
            # a field that somebody wrote in is not wiped by the first letter when they come back to it
            self.input.select_on_focus = False
            self.answered()

    def on_descendant_blur(self, _: events.DescendantBlur) -> None:
        """Read it when it is left, if there is something to read."""
        if self.is_typed:
            self.check()


def _in_brackets(hint: str) -> str:
    """A hint must not be taken for an answer, in colours that show no difference either."""
    return f"({hint})" if hint else ""
