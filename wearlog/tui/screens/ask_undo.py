"""Undo, from any screen: small entries at once, an import or very many rows only after a question that one key answers."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar
from uuid import UUID

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.screen import Screen

from wearlog.tui.questions.history import UndoAnswer, undo_deed
from wearlog.tui.screens.reading_page import ReadingPage

if TYPE_CHECKING:
    from wearlog.tui.host import Host

_AFTER = "An undo stays in the history, and u on it there brings everything back."


def take_back(
    screens: Host,
    owner: Screen[Any],
    then: Callable[[str], None],
    deed_id: UUID | None = None,
    *,
    agreed: bool = False,
) -> None:
    """Take an entry back, the last one of this device if none is named, and hand the sentence that says so to `then`."""

    def answered(found: UndoAnswer) -> None:
        if found.question:
            again = partial(take_back, screens, owner, then, found.deed_id, agreed=True)
            screens.push(AskUndoPage(found.question, again))
        else:
            then(found.said)

    screens.ask(owner, "undo", partial(undo_deed, deed_id=deed_id, agreed=agreed), answered)


class AskUndoPage(ReadingPage):
    """The question before much is taken back; nothing happens unless y is pressed."""

    ABOUT: ClassVar[str] = (
        "One undo takes one entry back, whole; this entry is a whole import, or wrote more rows than anybody types. y takes it "
        "back, the other keys leave the log as it is. An undo stays in the history and can itself be taken back there."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "agree", "take it back", tooltip="take all of it back"),
        Binding("n,escape,q", "close", "leave it", tooltip="leave the log as it is"),
    ]

    def __init__(self, question: str, agreed: Callable[[], None]) -> None:
        super().__init__()
        self.question = question
        self.agreed = agreed

    def begin(self) -> None:
        self.show("TAKE ALL OF IT BACK?", Text(f"{self.question}\n{_AFTER}\n\ny takes it back, n leaves it.", end=""))

    def action_agree(self) -> None:
        """Take it back."""
        self.dismiss()
        self.screens.say("Taking it back ...")
        self.app.call_after_refresh(self.agreed)

    def action_close(self) -> None:
        """Leave everything as it is."""
        self.dismiss()
        self.app.call_after_refresh(self.screens.say, "Nothing was taken back.")
