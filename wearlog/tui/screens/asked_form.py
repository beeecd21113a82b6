"""Forms of what is said beside the log: an evening, a day without cutting, an offer for a combine, work for others.

What was typed stays until another answer, - takes it out; nothing of it is entered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final, Generic, TypeVar

from wearlog.facts.asked_bounds import OTHER_HOURS, OTHER_WARRANTY_HOURS, OTHER_YEARS, PEOPLE, PERCENT, USUAL_INTEREST
from wearlog.facts.closed_lists import Ground
from wearlog.facts.plain_text import one_line
from wearlog.logbook.said.measures import hours, money
from wearlog.present.words import ground_words, word
from wearlog.tui.questions.asked import OfferTyped, RainTyped, StopTyped, TradeTyped, check_evening, check_offer, figure
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import optional
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.errors import WearlogError
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


class EveningScreen(AskedForm[StopTyped]):
    """What is left to cut today, when it is dark, how likely it rains after that."""

    TITLE: ClassVar[str] = "TODAY"
    ABOUT: ClassVar[str] = (
        "What is still to be cut today (60, 24 ha), the time at which it is too dark to cut (21:10), and the chance of rain after "
        "that in per cent. Empty: not said; what was typed before stays until another answer, or - to take it out. Nothing of it "
        "is entered in the log."
    )

    def questions(self) -> Iterable[FormLine]:
        old = self.before
        rain = partial(figure, bounds=PERCENT, usual=0.0, named="Rain %")
        yield FormField("left", "Left today", one_line, hint=there(old.left, "not said; like 60, 24 ha"))
        yield FormField("dark", "Dark at", one_line, hint=there(old.dark, "not said; like 21:10"))
        yield FormField("rain", "Rain %", optional(rain), hint=there(old.rain, "0; chance of it after dark"))

    def typed(self) -> StopTyped:
        old = self.before
        return StopTyped(*(self.kept(name, str(getattr(old, name))) for name in ("left", "dark", "rain")))

    def summary(self) -> str:
        typed = self.typed()
        said = [
            f"{typed.left} left" if typed.left else "",
            f"dark at {typed.dark}" if typed.dark else "",
            f"rain {typed.rain.removesuffix('%').strip()} %" if typed.rain else "",
        ]
        return ", ".join(one for one in said if one) or "an evening of which nothing is said"

    def saving(self) -> Callable[[Door], str]:
        return partial(check_evening, typed=self.typed())

    def blamed(self, error: WearlogError) -> FormLine | None:
        found: FormLine = self.line("dark" if "time of day" in error.message else "left")
        return found


class RainAskedScreen(AskedForm[RainTyped]):
    """Another length of time, how many work, how long the rain lasts."""

    TITLE: ClassVar[str] = "A DAY WITHOUT CUTTING"
    ABOUT: ClassVar[str] = (
        "How long you can work (5 h, 90 min), beside 2, 4, 6 and 8 hours; how many work; and how long the rain lasts on the mean, "
        "where it may stop before. Empty: what stands in brackets; what was typed before stays until another answer, or - to take "
        "it out. Nothing of it is entered in the log."
    )

    def questions(self) -> Iterable[FormLine]:
        old = self.before
        people = partial(figure, bounds=PEOPLE, usual=1, named="People", whole=True)
        yield FormField("time", "How long", optional(hours), hint=there(old.time, "2, 4, 6, 8 h"))
        yield FormField("people", "People", optional(people), hint=there(old.people, "1"))
        yield FormField("lasts", "Rain lasts", optional(_mean), hint=there(old.lasts, "all day; like 3 h"))

    def typed(self) -> RainTyped:
        old = self.before
        return RainTyped(*(self.kept(name, str(getattr(old, name))) for name in ("time", "people", "lasts")))

    def summary(self) -> str:
        typed = self.typed()
        people = typed.people or "1"
        rain = f", rain of {typed.lasts} on the mean" if typed.lasts else ""
        return f"{typed.time or '2, 4, 6, 8 h'}, {people} at work{rain}"


def _mean(text: str) -> float | None:
    return RainTyped(lasts=text).mean()


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
