"""One question of a form: what all its kinds share. How each is answered is in the modules of the kinds."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line


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
        &.-narrow .form-line--label { width: 13; }
        &.-narrow .form-line--told { padding-left: 2; }
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
        yield Static("", classes="form-line--told", markup=False)

    @property
    def entry(self) -> Widget:
        """The widget that takes the answer."""
        raise NotImplementedError

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
