"""The season report: what stands in it as headings, sentences and tables, and how it is written as one page."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from wearlog.errors import RefusedError
from wearlog.exchange.order_files import write_whole
from wearlog.exchange.season_report.charts import KindBar, SeasonBar, cost_chart, wear_chart
from wearlog.exchange.sheet_files import PageTable, page_table
from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS
from wearlog.present.costs.cost_sheet import cost_sheet
from wearlog.present.costs.own_cost_sheet import curve_sheet
from wearlog.present.digits import Measures
from wearlog.present.faults.fault_sheet import PRINTED, fault_sheet
from wearlog.present.plan.order_sheet import order_sheets
from wearlog.present.plan.plan_line_sheet import plan_line_sheet, plan_rows, undecided_line_sheet
from wearlog.present.plan.plan_page import head
from wearlog.present.plan.plan_sum_words import sum_sentences
from wearlog.present.plan.plan_words import hazards_of, rests_on_lines
from wearlog.present.plan.spare_sheet import spare_sheet
from wearlog.present.wear.wear_sheet import wear_sheet
from wearlog.present.words import capital, word
from wearlog.present.work.service_sheet import service_sheet
from wearlog.reckoning.costs.costs import CostTable
from wearlog.reckoning.costs.own_costs import FleetCurves
from wearlog.reckoning.faults.fault_list import FaultLine
from wearlog.reckoning.plan.allocation import NextMoney
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.work.services_due import ServiceDue, is_pressing

if TYPE_CHECKING:
    from wearlog.store.opening import Store


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


_TEMPLATE: Final = "page.html.j2"
_ENDINGS: Final = (".html", ".htm")
_KINDS_DRAWN: Final = 12
_WORTH_DRAWING: Final = 0.05


def write_report(store: Store, now: datetime, file: Path, view: SeasonPlanView) -> Path:
    """Write the report of a season plan as one HTML file that needs no other.

    Parameters
    ----------
    now : datetime
        The moment that faults, services and costs are told for.

    Raises
    ------
    RefusedError
        When the name does not end in .html, or the file cannot be written.
    """
    file = Path(file)
    if file.suffix.casefold() not in _ENDINGS:
        raise RefusedError(f"{file.name} is not the name of a page.", "Let it end in .html.")
    return write_whole(file, report_page(_sources(store, now, view)))


def report_page(given: Sources) -> str:
    """Return the report as HTML; every text is escaped."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    measures = Measures(given.view.farm.settings)
    places = Environment(
        loader=PackageLoader("wearlog.exchange.season_report", "."),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    currency = measures.settings.currency
    return places.get_template(_TEMPLATE).render(
        report=report_content(given, measures),
        # drawn by us out of figures and escaped names: the only markup that goes in as it is
        cost_chart=Markup(cost_chart(_season_bars(given, measures), f"{currency} per {measures.area_unit}")),  # noqa: S704
        wear_chart=Markup(wear_chart(_kind_bars(given))),  # noqa: S704
        unit=measures.area_unit,
    )


def _sources(store: Store, now: datetime, view: SeasonPlanView) -> Sources:
    from wearlog.reckoning.costs.costs import Split, cost_table
    from wearlog.reckoning.costs.own_costs import own_curves
    from wearlog.reckoning.farm.whole_farm import farm_from
    from wearlog.reckoning.faults.fault_list import fault_lines
    from wearlog.reckoning.plan.season_plan import what_more_buys
    from wearlog.reckoning.work.services_due import services_due

    with store.reading() as connection:
        farm = farm_from(connection, now)
        return Sources(
            view=view,
            more=None if view.limits.budget_minor is None else what_more_buys(view),
            faults=fault_lines(connection, farm),
            services=services_due(connection, farm),
            cost_by_machine=cost_table(connection, farm, Split.MACHINE),
            cost_by_season=cost_table(connection, farm, Split.SEASON),
            curves=own_curves(connection, farm),
        )


def _season_bars(given: Sources, measures: Measures) -> list[SeasonBar]:
    bars = []
    for row in given.cost_by_season.rows:
        if row.area > 0:
            area = measures.area_number(row.area) * 100
            columns = (row.parts_minor, row.labour_minor, row.service_minor, row.downtime_minor)
            parts, labour, service, standing = (minor / area for minor in columns)
            bars.append(SeasonBar(row.key, (parts, labour, service, standing)))
    return bars


def _kind_bars(given: Sources) -> list[KindBar]:
    kinds = [kind for kind in given.view.outlook.kinds if kind.expected >= _WORTH_DRAWING]
    return [KindBar(kind.life.kind.name, kind.expected) for kind in kinds[:_KINDS_DRAWN]]
