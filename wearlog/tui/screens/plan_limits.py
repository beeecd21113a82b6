"""Money and shop hours of a season plan, typed; saved as one entry."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from wearlog.facts.plain_text import one_line
from wearlog.logbook.said_measures import hours, money
from wearlog.present.digits import amount, number
from wearlog.tui.questions.planning import save_limits
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import optional
from wearlog.tui.widgets.form_field import FormField
from wearlog.tui.widgets.form_line import FormLine

if TYPE_CHECKING:
    from wearlog.tui.door import Door


class PlanLimitsScreen(FormScreen):
    """The form of the limits."""

    ABOUT: ClassVar[str] = (
        "What the parts may cost and how many hours of work the shop has before the season. Nothing typed means no limit. The plan "
        "then chooses what saves most within both; what you chose by hand stands whatever it costs."
    )

    def __init__(self, harvest_year: int, limits: tuple[int | None, int | None]) -> None:
        super().__init__()
        self.harvest_year = harvest_year
        self.limits = limits

    def heading(self) -> str:
        return f"MONEY AND SHOP HOURS OF {self.harvest_year}"

    def questions(self) -> Iterable[FormLine]:
        budget, shop = self.limits
        start = "" if budget is None else amount(budget).removesuffix(".00")
        yield FormField("budget", "Money", _none_or(money), start=start, hint="no limit", say=_money)
        start = "" if shop is None else number(shop / 3600, 1).removesuffix(".0")
        yield FormField("shop", "Shop hours", _none_or(hours), start=start, hint="no limit", say=_hours)

    def summary(self) -> str:
        budget, shop = self.answer("budget"), self.answer("shop")
        return f"{_money(budget)} for parts, {_hours(shop)} in the shop"

    def saving(self) -> Callable[[Door], str]:
        return partial(_save, year=self.harvest_year, budget=self.answer("budget"), shop=self.answer("shop"))


def _save(door: Door, year: int, budget: int | None, shop: int | None) -> str:
    from wearlog.logbook.plan_saving import PlanLimits

    return save_limits(door, year, PlanLimits(budget, shop))


def _none_or(read: Callable[[str], int]) -> Callable[[str], int | None]:
    """Read an amount, or the words for no limit."""

    def read_it(text: str) -> int | None:
        return None if one_line(text).casefold() in ("none", "no limit") else optional(read)(text)

    return read_it


def _money(minor: int | None) -> str:
    return "no limit" if minor is None else amount(minor)


def _hours(seconds: int | None) -> str:
    return "no limit" if seconds is None else f"{number(seconds / 3600, 1).removesuffix('.0')} h"
