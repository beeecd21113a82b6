"""What somebody types of a decision, beside the log, and how it is read. It stays in the program and is in no log."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wearlog.facts.asked_bounds import OTHER_HOURS, OTHER_WARRANTY_HOURS, OTHER_YEARS, PERCENT, USUAL_INTEREST

if TYPE_CHECKING:
    from wearlog.reckoning.plan.trade import OfferTerms


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
