"""What the forms of a decision share: what was typed stays until another answer, - takes it out; nothing of it is entered."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar

from wearlog.facts.plain_text import one_line
from wearlog.tui.screens.form import FormScreen

if TYPE_CHECKING:
    from wearlog.tui.door import Door

T = TypeVar("T")
#: typed where something stands already: it is taken out
_OUT = "-"


def there(kept: str, else_said: str) -> str:
    """Return what a field says while nothing is typed: what is kept there, and how it is taken out."""
    return f"{kept}; {_OUT} takes it out" if kept else else_said


def kept_or(typed: str, before: str) -> str:
    """Return what is typed, else what stood there before; the minus sign takes it out."""
    text = one_line(typed) or before
    return "" if text == _OUT else text


class AskedForm(FormScreen, Generic[T]):
    """Subclasses say in `typed` what the answers come to; `take` gets it when the form closes."""

    DOES: ClassVar[str] = "weighs"

    def __init__(self, before: T, take: Callable[[T], None]) -> None:
        super().__init__()
        self.before = before
        self.take = take

    def typed(self) -> T:
        """Return what is asked, with what was typed before."""
        raise NotImplementedError

    def kept(self, name: str, before: str) -> str:
        """Return the text of a field, or what stood there before."""
        return kept_or(str(self.line(name).text), before)

    def begin(self) -> None:
        self.paint()

    @property
    def is_unchanged(self) -> bool:
        """What stands there as it opens can be weighed."""
        return False

    def saving(self) -> Callable[[Door], str]:
        """Each field has read its answer by itself."""
        return lambda _: ""

    def saved(self, sentence: str) -> None:
        """Close, and weigh it."""
        self.dismiss()
        self.app.call_after_refresh(self.take, self.typed())
