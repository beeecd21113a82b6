"""All the lists of the farm one after the other, as they stand on screens and in commands: for one workbook."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.costs.cost_sheet import cost_sheet
from wearlog.present.digits import Measures
from wearlog.present.faults.fault_sheet import fault_sheet
from wearlog.present.parts.stock_sheet import stock_sheet
from wearlog.present.plan.order_sheet import order_sheets
from wearlog.present.plan.plan_line_sheet import plan_line_sheet, undecided_line_sheet
from wearlog.present.plan.spare_sheet import spare_sheet
from wearlog.present.wear.wear_sheet import wear_sheet
from wearlog.present.work.service_sheet import service_sheet
from wearlog.reckoning.costs.costs import CostTable
from wearlog.reckoning.faults.fault_list import FaultLine
from wearlog.reckoning.parts.stock import ShelfView
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.work.services_due import ServiceDue


def all_lists(
    view: SeasonPlanView,
    shelf: ShelfView,
    services: Sequence[ServiceDue],
    faults: Sequence[FaultLine],
    costs: Sequence[CostTable],
) -> list[AnswerSheet[Any]]:
    """Return each with the name of its worksheet as caption."""
    measures = Measures(view.farm.settings)
    names = {machine.id: machine.name for machine in view.farm.machines}
    orders = order_sheets(view, measures)
    named: list[tuple[str, AnswerSheet[Any]]] = [
        ("plan", plan_line_sheet(view, measures)),
        ("not decided", undecided_line_sheet(view, measures)),
        ("spares", spare_sheet(view, measures)),
        *((f"order {place}", sheet) for place, sheet in enumerate(orders, 1)),
        ("wear", wear_sheet(view.outlook.kinds, view.farm.machines, view.outlook.ahead, measures)),
        ("shelf", stock_sheet(shelf.shelves, shelf.kind_names, measures)),
        ("services", service_sheet(services, names, measures)),
        ("faults", fault_sheet(faults, names, measures)),
        *((f"costs by {table.by}", cost_sheet(table, measures)) for table in costs),
    ]
    return [replace(sheet, caption=name) for name, sheet in named]
