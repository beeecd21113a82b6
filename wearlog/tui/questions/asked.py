"""What somebody types of a decision, beside the log, and how it is read. It stays in the program and is in no log."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wearlog.facts.asked_bounds import OTHER_HOURS, OTHER_WARRANTY_HOURS, OTHER_YEARS, PEOPLE, PERCENT, USUAL_INTEREST

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import MeterKind
    from wearlog.reckoning.farm import Farm
    from wearlog.reckoning.plan.stop_costs import AskedStop
    from wearlog.reckoning.plan.trade import OfferTerms
    from wearlog.tui.door import Door


def figure(text: str, bounds: tuple[int, int], usual: float, named: str = "This", *, whole: bool = False) -> float:
    """Read a number between two as a command does; the usual one where nothing is typed."""
    from wearlog.logbook.said.figures import number_within

    return number_within(text, *bounds, named=named, whole=whole) if text else usual


@dataclass(frozen=True, slots=True)
class TradeTyped:
    """An offer for a combine; without a combine it stands against each of them."""

    combine: str = ""
    price: str = ""
    allowance: str = ""
    list_price: str = ""
    hours: str = ""
    age: str = ""
    warranty: str = ""
    interest: str = ""

    def terms(self) -> OfferTerms:
        """Return the offer as it is reckoned with."""
        from wearlog.present.plan.decision_asked import offer_terms

        return offer_terms(
            self.price,
            self.allowance,
            self.list_price,
            hours=figure(self.hours, OTHER_HOURS, 0.0),
            age_years=figure(self.age, OTHER_YEARS, 0.0),
            warranty_hours=figure(self.warranty, OTHER_WARRANTY_HOURS, 0.0),
        )

    def yearly_percent(self) -> float:
        """Return the interest, per cent a year."""
        return figure(self.interest, PERCENT, USUAL_INTEREST)


@dataclass(frozen=True, slots=True)
class StopTyped:
    """An evening: what is still to be cut, when it is dark, the chance of rain after that in per cent."""

    left: str = ""
    dark: str = ""
    rain: str = ""

    def asked(self, farm: Farm, meter: MeterKind) -> AskedStop:
        """Return it as it is reckoned with."""
        from wearlog.present.plan.decision_asked import stop_asked

        return stop_asked(farm, meter, left=self.left, dark=self.dark, rain=figure(self.rain, PERCENT, 0.0))


def check_evening(door: Door, typed: StopTyped) -> str:
    """Read an evening as the command does; UsageError where it cannot be."""
    from wearlog.facts.closed_lists import MeterKind

    with door.log.reading() as connection:
        typed.asked(door.farm(connection), MeterKind.AREA)
    return ""


@dataclass(frozen=True, slots=True)
class RainTyped:
    """A day without cutting: another length of time, how many work, how long the rain lasts on the mean."""

    time: str = ""
    people: str = ""
    lasts: str = ""

    def length(self) -> float | None:
        """Return the hours that were typed; None without any."""
        from wearlog.present.plan.decision_asked import rain_asked

        return rain_asked(self.time, "")[0] if self.time else None

    def mean(self) -> float | None:
        """Return how many hours it rains on the mean; None where that was not said."""
        from wearlog.present.plan.decision_asked import rain_asked

        return rain_asked("0", self.lasts)[1]

    def workers(self) -> int:
        """Return how many work."""
        return int(figure(self.people, PEOPLE, 1, whole=True))
