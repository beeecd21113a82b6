"""An offer of work for others, as a form over the decision that weighs it; nothing of it is kept in the log."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final

from wearlog.facts.closed_lists import Ground
from wearlog.facts.plain_text import one_line
from wearlog.present.words import ground_words, word
from wearlog.tui.questions.custom import OfferTyped, check_offer
from wearlog.tui.screens.asked_form import AskedForm, there
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.errors import WearlogError
    from wearlog.tui.door import Door

_GROUNDS: Final = tuple((ground.value, word(ground)) for ground in Ground)
_DEALS: Final = (
    ("cut_for_others", "cut theirs"),
    ("hire", "hire one in"),
    ("rent_out", "rent it out"),
    ("rent_in", "rent one in"),
)


class CustomOfferScreen(AskedForm[OfferTyped]):
    """What is offered: how much, on which ground, at what rate, who cuts."""

    TITLE: ClassVar[str] = "AN OFFER"
    ABOUT: ClassVar[str] = (
        "How much is to be cut (300, 120 ha), on which ground, and what is paid for an acre or hectare: 32, 210/h by the hour, or "
        "20-20-20 for base, cents a bushel hauled and cents a bushel above so many, then with the yield or the crop. Empty: only "
        "what it costs; what was typed before stays until another figure, or - to take it out. hire one in: somebody else cuts "
        "yours at that rate; rent it out, rent one in: without driver and fuel. The crop says the pace and what an hour of it is "
        "worth. Nothing of it is entered in the log."
    )

    def questions(self) -> Iterable[FormLine]:
        offer = self.before
        yield FormField("area", "How much", one_line, hint=offer.area)
        yield ChoiceField("ground", "Ground", _GROUNDS, start=offer.ground)
        yield FormField("rate", "Rate", one_line, hint=there(offer.rate, "none; like 32, 210/h"))
        yield FormField("grain", "Yield", one_line, hint=there(offer.grain, "for a rate of three parts"))
        yield ChoiceField("deal", "Who", _DEALS, start=offer.deal)
        yield FormField("crop", "Crop", one_line, hint=there(offer.crop, "any"))

    def typed(self) -> OfferTyped:
        offer = self.before
        return OfferTyped(
            self.answer("area") or offer.area,
            self.answer("ground"),
            self.kept("rate", offer.rate),
            self.kept("grain", offer.grain),
            self.answer("deal"),
            self.kept("crop", offer.crop),
        )

    def summary(self) -> str:
        typed = self.typed()
        return f"{typed.area} on {ground_words(Ground(typed.ground))}{f' at {typed.rate}' if typed.rate else ''}"

    def saving(self) -> Callable[[Door], str]:
        return partial(check_offer, offer=self.typed())

    def blamed(self, error: WearlogError) -> FormLine | None:
        typed = self.typed()
        said = {"rate": typed.rate, "grain": typed.grain, "area": typed.area, "crop": typed.crop}
        quoted = [name for name, text in said.items() if text and f"'{text}'" in error.message]
        # a rate of three parts is told with its own words when only the yield is missing
        name = "grain" if "yield" in error.message else quoted[0] if quoted else "area"
        found: FormLine = self.line(name)
        return found
