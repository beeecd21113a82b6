"""Questions about work for others: what an acre of it costs against what is offered. They run in threads of the gateway."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from wearlog.units import plain_number

if TYPE_CHECKING:
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.logbook.open_log import Connection
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.farm import Farm
    from wearlog.reckoning.plan.custom_basis import AskedWork
    from wearlog.tui.door import Door


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
