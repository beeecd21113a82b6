"""The last day on which each part of a plan must be ordered: on its lines, in the orders and on paper it is the same."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from wearlog.facts.days import date_said
from wearlog.reckoning.plan.order_dates import OrderBy, first_acre, order_by
from wearlog.reckoning.plan.season_plan import SeasonPlanView


def order_days(view: SeasonPlanView) -> Mapping[UUID, OrderBy]:
    """Return the last day to order of every part that the plan orders; nothing where nobody knows when cutting begins."""
    first, today = first_acre(view.farm, view.season), view.farm.now.date()
    if first is None:
        return {}
    replaced = {line.need for line in view.found.spares if line.for_replacement}
    shop = view.found.totals.shop_seconds
    found = {}
    for order in view.found.orders.orders:
        for line in order.lines:
            part = view.needs[line.part].shelf.part.id
            by = order_by(first, view.times[part], today, shop_seconds=shop if line.part in replaced else None)
            if by is not None:
                found[part] = by
    return found


def day_said(by: OrderBy) -> str:
    """Return "order it by 2 May 2027", or that it is late."""
    if by.is_late:
        return "order it today: late already"
    return (
        f"order it by {date_said(by.day)} (here 9 times in 10 before {'the work' if by.for_work else 'the first acre'})"
    )
