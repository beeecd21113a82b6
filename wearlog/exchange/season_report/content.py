"""What stands in the season report, as headings, sentences and tables of text. How it looks is in page.html.j2."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.exchange.sheet_page import PageTable, page_table
from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.present.cost_sheet import cost_sheet
from wearlog.present.digits import Measures
from wearlog.present.fault_sheet import PRINTED, fault_sheet
from wearlog.present.order_sheet import order_sheets
from wearlog.present.own_cost_sheet import curve_sheet
from wearlog.present.plan_line_sheet import plan_line_sheet, plan_rows, undecided_line_sheet
from wearlog.present.plan_page import head
from wearlog.present.plan_sum_words import sum_sentences
from wearlog.present.plan_words import (
    hazards_of,
    rests_on_lines,
)
from wearlog.present.service_sheet import service_sheet
from wearlog.present.spare_sheet import spare_sheet
from wearlog.present.wear_sheet import wear_sheet
from wearlog.present.words import capital, word
from wearlog.reckoning.costs import CostTable
from wearlog.reckoning.due import ServiceDue, is_pressing
from wearlog.reckoning.fault_list import FaultLine
from wearlog.reckoning.own_costs import FleetCurves
from wearlog.reckoning.plan_allocation import NextMoney
from wearlog.reckoning.season_plan import SeasonPlanView


@dataclass(frozen=True, slots=True)
class Warned:
    """A danger in the planned work and what to do before it."""

    title: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sources:
    """The answers the report is made of."""

    view: SeasonPlanView
    more: NextMoney | None
    faults: tuple[FaultLine, ...]
    services: tuple[ServiceDue, ...]
    cost_by_machine: CostTable
    cost_by_season: CostTable
    curves: FleetCurves


@dataclass(frozen=True, slots=True)
class ReportContent:
    """The whole report."""

    title: str
    subtitle: str
    cautions: tuple[Warned, ...]
    book_first: str
    replace: PageTable
    replace_rest: str
    spares: PageTable
    spares_rest: str
    orders: tuple[PageTable, ...]
    order_sum: str
    sums: tuple[str, ...]
    undecided: tuple[str, ...]
    wears: PageTable
    wears_said: tuple[str, ...]
    faults: PageTable
    services: PageTable
    costs: tuple[PageTable, ...]
    curve: tuple[str, ...]
    rests_on: tuple[str, ...]


def report_content(given: Sources, measures: Measures) -> ReportContent:
    """Put the report together."""
    view = given.view
    title, *subtitle = head(view, measures)
    spares = spare_sheet(view, measures).short()
    rows = plan_rows(view)
    lines, undecided = plan_line_sheet(view, measures, rows).short(), undecided_line_sheet(view, measures, rows)
    names = {machine.id: machine.name for machine in view.farm.machines}
    wears = wear_sheet(view.outlook.kinds, view.farm.machines, view.outlook.ahead, measures)
    return ReportContent(
        title=title,
        subtitle=" ".join(line.strip() for line in subtitle),
        cautions=_cautions(view),
        book_first=BOOK_COMES_FIRST,
        replace=page_table(lines),
        replace_rest=" ".join([lines.rest, *(column.meaning(measures) for column in lines.printed if column.legend)]),
        spares=page_table(spares),
        spares_rest=spares.rest or ("" if spares.rows else spares.empty),
        orders=tuple(page_table(sheet) for sheet in order_sheets(view, measures)),
        order_sum=measures.money(view.found.orders.sum_minor),
        sums=tuple(sum_sentences(view, given.more, measures)),
        undecided=tuple(undecided.about(row, measures) for row in undecided.rows),
        wears=page_table(wears),
        wears_said=(wears.headline, *wears.legends, *wears.sentences),
        faults=page_table(fault_sheet(given.faults, names, measures, only_open=True).only(*PRINTED)),
        services=page_table(service_sheet(given.services, names, measures, which=is_pressing)),
        costs=tuple(page_table(cost_sheet(table, measures)) for table in (given.cost_by_machine, given.cost_by_season)),
        curve=tuple(curve_sheet(given.curves, measures).sentences),
        rests_on=tuple(rests_on_lines(view, measures)),
    )


def _cautions(view: SeasonPlanView) -> tuple[Warned, ...]:
    return tuple(
        Warned(capital(word(hazard)), tuple(one for one in CAUTIONS[hazard] if one != BOOK_COMES_FIRST))
        for hazard in hazards_of(view)
    )
