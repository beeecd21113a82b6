"""What somebody says of a decision, beside the log, read for the reckoning: commands and screens read it here."""

from __future__ import annotations

from wearlog.logbook.said.measures import money
from wearlog.reckoning.plan.trade import OfferTerms


def offer_terms(
    price: str,
    allowance: str,
    list_price: str,
    *,
    hours: float = 0.0,
    age_years: float = 0.0,
    warranty_hours: float = 0.0,
) -> OfferTerms:
    """Read an offer for a combine: amounts as they are written, empty for what was not said. UsageError for what is none."""
    paid, allowed, listed = (money(text) if text else None for text in (price, allowance, list_price))
    return OfferTerms(paid, allowed, listed, hours, age_years, warranty_hours)
