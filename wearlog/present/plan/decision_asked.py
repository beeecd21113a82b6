"""What somebody says of a decision, beside the log, read for the reckoning: commands and screens read it here."""

from __future__ import annotations

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.plain_text import one_line
from wearlog.logbook.said.measures import FarmReader, hours, hours_until, money
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.plan.stop_costs import USUAL_IDLE_SECONDS, AskedStop
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


def stop_asked(
    farm: Farm,
    meter: MeterKind,
    *,
    left: str = "",
    dark: str = "",
    rain: float = 0.0,
    next_stop: str = "",
    idle: str = "",
    lasts: tuple[str, str] | None = None,
    mend: str = "",
) -> AskedStop:
    """Read what is said of an evening and of a part that `meter` wears; `rain` in per cent, empty for what was not said.

    Raises
    ------
    UsageError
        What is no area, no time of day, no duration.
    """
    reader = FarmReader(farm.settings)
    return AskedStop(
        left=float(reader.area(left)) if left else None,
        dark=hours_until(dark, farm.now) if dark else None,
        rain=rain / 100,
        next_stop=hours(next_stop) / 3600 if next_stop else None,
        idle_seconds=hours(idle, "min") if idle else USUAL_IDLE_SECONDS,
        lasts=(float(reader.usage(meter, lasts[0])), float(reader.usage(meter, lasts[1]))) if lasts else None,
        mend_seconds=hours(mend, "min") if mend else None,
    )


def rain_asked(time: str, lasts: str) -> tuple[float, float | None]:
    """Read for how long one can work and how long the rain lasts on the mean, in hours; None where that was not said."""
    long, mean = hours(time) / 3600, hours(lasts) / 3600 if lasts else None
    if mean is not None and mean <= 0:
        raise UsageError(f"'{one_line(lasts)}' is no time that rain lasts.", "Write it like '3 h'.")
    return long, mean
