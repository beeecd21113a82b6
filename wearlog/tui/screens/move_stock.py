"""Parts that came, went or were counted: how many, and what one cost."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import StockMove
from wearlog.logbook.deed_sentences import stock_sentence
from wearlog.logbook.said_measures import FarmSpeaker, money
from wearlog.present.digits import amount
from wearlog.tui.questions.forms import save_move
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import moment_reader, needed, optional, whole
from wearlog.tui.widgets.form_field import FormField
from wearlog.tui.widgets.form_line import FormLine

if TYPE_CHECKING:
    from wearlog.reckoning.stock import Shelf
    from wearlog.tui.door import Door

_HEADINGS: Final = MappingProxyType(
    {
        StockChange.RECEIVED: "PARTS RECEIVED",
        StockChange.USED: "PARTS USED",
        StockChange.RETURNED: "PARTS RETURNED",
        StockChange.COUNTED: "PARTS COUNTED",
    }
)


class MoveScreen(FormScreen):
    """The form of one move of one part."""

    ABOUT: ClassVar[str] = (
        "How many came, were used, were brought back, or how many there are by a count. A count says what is there, whatever the "
        "log thought before. What one cost goes into the costs of what it is used for; it is asked for what was received."
    )

    def __init__(self, row: Shelf, change: StockChange, settings: FarmSettings) -> None:
        super().__init__()
        self.row = row
        self.change = change
        self.speak = FarmSpeaker(settings)

    def heading(self) -> str:
        return f"{_HEADINGS[self.change]}: {self.row.part.number} {self.row.part.name}, {self.row.on_hand} on hand"

    def questions(self) -> Iterable[FormLine]:
        least = 0 if self.change is StockChange.COUNTED else 1
        pack = self.row.part.pack_size
        hint = f"packs of {pack}" if pack > 1 and self.change is StockChange.RECEIVED else "pieces"
        yield FormField(
            "quantity", "How many", needed(whole(least, 100_000), "How many?", "Write it like 25."), hint=hint
        )
        if self.change is StockChange.RECEIVED:
            price = self.row.part.price_minor
            hint = "not known" if price is None else f"{amount(price)} as last time"
            yield FormField("cost", "One cost", optional(money), hint=hint, say=amount)
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("note", "Note")

    def _move(self) -> StockMove:
        cost = None
        if self.change is StockChange.RECEIVED:
            typed = self.answer("cost")
            cost = self.row.part.price_minor if typed is None else typed
        return StockMove(
            part_id=self.row.part.id,
            at=self.answer("at"),
            change=self.change,
            quantity=self.answer("quantity"),
            unit_cost_minor=cost,
            note=self.line("note").text,
        )

    def summary(self) -> str:
        move = self._move()
        after = {
            StockChange.COUNTED: move.quantity,
            StockChange.USED: self.row.on_hand - move.quantity,
        }.get(self.change, self.row.on_hand + move.quantity)
        return f"{stock_sentence(self.speak, self.row.part, move)}; then {after} on hand"

    def saving(self) -> Callable[[Door], str]:
        return partial(save_move, move=self._move())
