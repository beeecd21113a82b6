"""A question that is answered in writing: read when it is left and when the form is saved; never reformatted, never lost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from textual import events, on
from textual.suggester import SuggestFromList
from textual.widgets import Input

from wearlog.facts.plain_text import one_line
from wearlog.tui.widgets.form_line import FormLine
from wearlog.tui.widgets.line_input import LineInput


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
            self.input.placeholder = _in_brackets(hint)
        if not self.is_typed:
            self._before = text
            self.input.value = text

    def kept(self) -> str:
        return self.text

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
