"""What is said of an evening, or of a day without cutting, as forms over the decision; nothing of it is kept in the log."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from wearlog.facts.asked_bounds import PEOPLE, PERCENT
from wearlog.facts.plain_text import one_line
from wearlog.logbook.said.measures import hours
from wearlog.tui.questions.asked import RainTyped, StopTyped, check_evening, figure
from wearlog.tui.screens.asked_form import AskedForm, there
from wearlog.tui.typed import optional
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.errors import WearlogError
    from wearlog.tui.door import Door


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
