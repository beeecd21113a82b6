"""What somebody types of a decision, beside the log, and how it is read; what an acre of work for others costs against an offer.

It stays in the program and is in no log.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from wearlog.facts.asked_bounds import OTHER_HOURS, OTHER_WARRANTY_HOURS, OTHER_YEARS, PEOPLE, PERCENT, USUAL_INTEREST
from wearlog.units import plain_number

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import MeterKind
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.logbook.open_log import Connection
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.farm import Farm
    from wearlog.reckoning.plan.custom_basis import AskedWork
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


@dataclass(frozen=True, slots=True)
class OfferTyped:
    """An offer as it was typed; what stands here at first is a usual one."""

    area: str = "300"
    ground: str = "few_stones"
    rate: str = ""
    grain: str = ""
    deal: str = "cut_for_others"
    crop: str = ""


def check_offer(door: Door, offer: OfferTyped) -> str:
    """Read an offer as the command does; UsageError where it cannot be."""
    with door.log.reading() as connection:
        _asked(connection, door.farm(connection).settings, offer)
    return ""


def custom_answer(connection: Connection, farm: Farm, offer: OfferTyped) -> AnswerSheet[Any] | None:
    """Weigh an offer; None where there is no combine."""
    from wearlog.errors import NotFoundError
    from wearlog.present.digits import Measures
    from wearlog.present.plan.custom_sheet import custom_sheet
    from wearlog.reckoning.plan.custom_work import custom_work

    try:
        return custom_sheet(
            custom_work(connection, farm, _asked(connection, farm.settings, offer)), Measures(farm.settings)
        )
    except NotFoundError:
        return None


def _asked(connection: Connection, settings: FarmSettings, offer: OfferTyped) -> AskedWork:
    from wearlog.logbook.names import crop_named
    from wearlog.present.plan.custom_offer import offer_of
    from wearlog.reckoning.harvest.hour_value import worth_of_crop
    from wearlog.reckoning.plan.custom_basis import Deal

    crop = crop_named(connection, offer.crop)
    grain = float(plain_number(offer.grain)) if offer.grain else None
    return offer_of(
        settings,
        area=offer.area,
        ground=offer.ground,
        rate=offer.rate,
        grain=grain,
        deal=Deal(offer.deal),
        crop=None if crop is None else worth_of_crop(connection, crop.id),
    )
