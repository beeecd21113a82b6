"""An offer for a combine, as a form over keep or trade; nothing of it is kept in the log."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import ClassVar

from wearlog.facts.asked_bounds import OTHER_HOURS, OTHER_WARRANTY_HOURS, OTHER_YEARS, PERCENT, USUAL_INTEREST
from wearlog.facts.plain_text import one_line
from wearlog.logbook.said.measures import money
from wearlog.tui.questions.asked import TradeTyped, figure
from wearlog.tui.screens.asked_form import AskedForm, there
from wearlog.tui.typed import optional
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine


class TradeOfferScreen(AskedForm[TradeTyped]):
    """What is offered: for which combine, at which price, what is allowed for the old one, how used the other one is."""

    TITLE: ClassVar[str] = "AN OFFER FOR A COMBINE"
    FIRST: ClassVar[str] = "price"
    ABOUT: ClassVar[str] = (
        "What the other combine costs before the allowance, and what is allowed for yours. Price new: its list price today, else "
        "that of yours. Its field hours, its age and the hours up to which its repairs are paid (warranty) are none for a new "
        "one. Interest: a year, on what is tied up. Empty: what stands in brackets; what was typed before stays until another "
        "figure, or - to take it out. all: the offer against each of your combines. Nothing of it is entered in the log."
    )

    def __init__(
        self, before: TradeTyped, take: Callable[[TradeTyped], None], combines: Sequence[str], here: str
    ) -> None:
        """`combines` can be traded, the cursor stands on `here`."""
        super().__init__(before, take)
        self.combines = combines
        self.here = here

    def questions(self) -> Iterable[FormLine]:
        old = self.before
        every = (("", "all"),) if len(self.combines) > 1 else ()
        names = [*((name, one_line(name)) for name in self.combines), *every]
        yield ChoiceField("combine", "Trade in", names, start=self.here)
        yield FormField("price", "They ask", optional(money), hint=there(old.price, "a new one at the list price"))
        yield FormField("allowance", "Allow for it", optional(money), hint=there(old.allowance, "its published value"))
        yield FormField("list_price", "Price new", optional(money), hint=there(old.list_price, "as yours"))
        for name, label, bounds, kept, usual in (
            ("hours", "Field hours", OTHER_HOURS, old.hours, "0 h: a new one"),
            ("age", "Years old", OTHER_YEARS, old.age, "0"),
            ("warranty", "Warranty h", OTHER_WARRANTY_HOURS, old.warranty, "0: none"),
            ("interest", "Interest %", PERCENT, old.interest, f"{USUAL_INTEREST:g} a year"),
        ):
            read = partial(figure, bounds=bounds, usual=0.0, named=label)
            yield FormField(name, label, optional(read), hint=there(kept, usual))

    def typed(self) -> TradeTyped:
        old = self.before
        return TradeTyped(
            self.answer("combine"),
            self.kept("price", old.price),
            self.kept("allowance", old.allowance),
            self.kept("list_price", old.list_price),
            self.kept("hours", old.hours),
            self.kept("age", old.age),
            self.kept("warranty", old.warranty),
            self.kept("interest", old.interest),
        )

    def summary(self) -> str:
        typed = self.typed()
        return (
            f"{typed.combine or 'each combine'} against "
            f"{f'one at {typed.price}' if typed.price else 'a new one at the list price'}"
            f"{f', {typed.allowance} allowed' if typed.allowance else ''}"
        )
