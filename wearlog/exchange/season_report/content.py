"""The season report, page by page: sentences, tables and drawings, made of the answers that all faces show.

It is written as one HTML file that needs no other.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from wearlog.costs.published_curves import USUAL_VARIATION
from wearlog.errors import RefusedError
from wearlog.exchange.order_files import write_whole
from wearlog.exchange.paper.clipboard import InspectionPage, inspection_page
from wearlog.exchange.paper.pages import PrintedTable, as_drawn, html_page, printed, warned
from wearlog.exchange.season_report.pictures import (
    CostBar,
    LifeRow,
    Ratio,
    Return,
    Span,
    life_picture,
    ordered_bars,
    ratio_picture,
    saving_strip,
    season_bars,
    trail_picture,
)
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import at_positions, component_name
from wearlog.present.answer_sheet import legends
from wearlog.present.costs.cost_sheet import cost_sheet
from wearlog.present.costs.own_cost_sheet import curve_sheet
from wearlog.present.digits import Measures
from wearlog.present.faults.fault_sheet import PRINTED, fault_sheet
from wearlog.present.faults.fault_trail_sheet import quiet_before, trail_sheet
from wearlog.present.faults.suspect_sheet import checklist_sheet
from wearlog.present.plan.plan_line_sheet import PlanRow, plan_line_sheet, plan_rows, undecided_line_sheet
from wearlog.present.plan.plan_page import head, sum_sentences
from wearlog.present.plan.plan_words import hazards_of, rests_on_lines
from wearlog.present.plan.spare_sheet import order_sheet, spare_sheet, whole_order
from wearlog.present.plan.three_answers import three_answers
from wearlog.present.wear.wear_sheet import wear_sheet
from wearlog.present.wear.wear_words import ahead_text, rests_on_briefly
from wearlog.present.work.service_sheet import due_sentence, service_sheet
from wearlog.progress import step, stretch
from wearlog.reckoning.costs.costs import CostTable
from wearlog.reckoning.costs.own_costs import FleetCurves
from wearlog.reckoning.faults.fault_list import FaultLine
from wearlog.reckoning.faults.fault_trail import FaultTrail
from wearlog.reckoning.plan.allocation import NextMoney
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.wear.wear_outlook import KindOutlook
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, is_pressing
from wearlog.reckoning.yard.inspection import MachineInspection

if TYPE_CHECKING:
    from markupsafe import Markup

    from wearlog.store.opening import Store


_ENDINGS: Final = (".html", ".htm")


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
    with stretch(last=0.7):
        sources = _sources(store, now, view)
    page = report_page(sources)
    step(0.99)
    return write_whole(file, page)


def report_page(given: Sources) -> str:
    """Return the report as HTML; every text is escaped."""
    return html_page("season_report.html.j2", report_content(given, Measures(given.view.farm.settings)))


def _sources(store: Store, now: datetime, view: SeasonPlanView) -> Sources:
    from wearlog.reckoning.costs.costs import Split, cost_tables
    from wearlog.reckoning.costs.own_costs import own_curves
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.faults.fault_list import fault_lines
    from wearlog.reckoning.faults.fault_log import read_fault_log
    from wearlog.reckoning.faults.fault_trail import fault_trails
    from wearlog.reckoning.plan.season_plan import what_more_buys
    from wearlog.reckoning.work.services_due import services_due
    from wearlog.reckoning.yard.inspection import LookOver, inspection

    with store.reading() as connection:
        with stretch(last=0.4):
            farm = farm_from(connection, now)
        # where the plan looks at the same season its lives need not be reckoned again for each machine
        looked_at = view.farm if view.farm.seasons == farm.seasons else farm
        inspected = sorted(
            (one for one in looked_at.machines if one.kind in (MachineKind.COMBINE, MachineKind.HEADER)),
            key=lambda one: (one.kind is MachineKind.HEADER, one.name.casefold()),
        )
        by_machine, by_season, by_subsystem = cost_tables(
            connection, farm, (Split.MACHINE, Split.SEASON, Split.SUBSYSTEM)
        )
        return Sources(
            view=view,
            more=None if view.limits.budget_minor is None else what_more_buys(view),
            faults=fault_lines(connection, farm),
            trails=fault_trails(connection, read_fault_log(connection), farm),
            services=services_due(connection, farm),
            cost_by_machine=by_machine,
            cost_by_season=by_season,
            cost_by_subsystem=by_subsystem,
            curves=own_curves(connection, farm),
            inspections=tuple(
                inspection(connection, looked_at, view.outlook, one.id, LookOver.BEFORE_SEASON) for one in inspected
            ),
        )


#: kinds that are drawn; the table has all of them
_DRAWN = 24
#: columns of the table under the drawing, which shows what it rests on
_WEAR_PRINTED = (
    "kind",
    "expected_breakages",
    "expected_with_successors",
    "weakest_survives",
    "life_median",
    "b10",
    "fails",
)


@dataclass(frozen=True, slots=True)
class Sources:
    """The answers the report is made of."""

    view: SeasonPlanView
    more: NextMoney | None
    faults: tuple[FaultLine, ...]
    trails: tuple[FaultTrail, ...]
    services: tuple[ServiceDue, ...]
    cost_by_machine: CostTable
    cost_by_season: CostTable
    cost_by_subsystem: CostTable
    curves: FleetCurves
    inspections: tuple[MachineInspection, ...]


@dataclass(frozen=True, slots=True)
class OrderPage:
    """One supplier's page: no other supplier's lines are on it, so that it can be handed over."""

    name: str
    mark: str
    table: PrintedTable


@dataclass(frozen=True, slots=True)
class TrailPart:
    """A fault over the seasons: the answer, the times drawn, what follows, and the last checklist with fields for the next."""

    heading: str
    sentences: tuple[str, ...]
    picture: Markup
    times: PrintedTable
    checklist: PrintedTable


def report_content(given: Sources, measures: Measures) -> dict[str, Any]:
    """Return what the template asks for."""
    view = given.view
    title, *subtitle = head(view, measures)
    inspections = tuple(
        inspection_page(one, measures, f"machine-{place}") for place, one in enumerate(given.inspections)
    )
    orders = tuple(
        OrderPage(order.heading, order.mark, printed(order_sheet(order, measures)))
        for order in whole_order(view, measures).suppliers
    )
    return {
        "title": title,
        "subtitle": " ".join(line.strip() for line in subtitle),
        "top_left": f"{measures.settings.farm_name or 'The fleet'}, season {view.harvest_year}",
        "top_right": measures.date_said(view.farm.now),
        "pages": _page_names(view, orders, inspections),
        "answers": three_answers(view, given.cost_by_season, measures),
        "pressing": _pressing(given, measures),
        **_plan(given, measures),
        "orders": orders,
        "order_sum": measures.money(view.found.orders.sum_minor),
        "inspections": inspections,
        **_wear(view, measures),
        **_costs(given, measures),
        **_faults(given, measures),
        "services": printed(service_sheet(given.services, _names(view), measures, which=is_pressing)),
        "rests_on": tuple(rests_on_lines(view, measures)),
    }


def _names(view: SeasonPlanView) -> dict[Any, str]:
    return {machine.id: machine.name for machine in view.farm.machines}


def _page_names(
    view: SeasonPlanView, orders: tuple[OrderPage, ...], inspections: tuple[InspectionPage, ...]
) -> list[tuple[str, str]]:
    """What stands at the foot of each sort of page."""
    return [
        ("cover", f"Season {view.harvest_year}: the three answers"),
        ("plan", f"Plan {view.harvest_year}"),
        *((f"order-{place}", f"Order {one.mark}: {one.name}") for place, one in enumerate(orders, 1)),
        *((one.page, f"{one.title} (sheet {one.mark})") for one in inspections),
        ("wear", "What wears"),
        ("costs", "Costs"),
        ("faults", "Faults"),
        ("services", "Services, and what the report rests on"),
    ]


def _pressing(given: Sources, measures: Measures) -> list[str]:
    """What is broken and still on, overdue or open: it waits for no plan."""
    lines = []
    for one in given.inspections:
        for row in one.lines:
            broken = [] if row.now is None else [place.position for place in row.now.positions if place.left]
            if row.now is not None and broken:
                where = component_name(row.now.component.place, row.now.kind.name)
                if row.now.component.positions > 1:
                    where = at_positions(where, broken)
                lines.append(f"BROKEN and still on: {one_line(one.view.machine.name)}, {where}")
    names = _names(given.view)
    lines += [due_sentence(one, names, measures) for one in given.services if one.standing is DueStanding.OVERDUE]
    lines += [
        f"Fault open: {names.get(one.fault.machine_id, '')}, {one_line(one.fault.title)}"
        for one in given.faults
        if one.fault.closed_at is None
    ]
    return lines


def _plan(given: Sources, measures: Measures) -> dict[str, Any]:
    view = given.view
    rows = plan_rows(view)
    lines, undecided = plan_line_sheet(view, measures, rows).short(), undecided_line_sheet(view, measures, rows)
    spares = spare_sheet(view, measures).short()
    spans = [one for row in lines.rows if (one := _saving(row)) is not None]
    scale = Span(min((one.low for one in spans), default=0.0), 0.0, max((one.high for one in spans), default=1.0))
    legend = [column.meaning(measures) for column in lines.printed if column.legend]
    return {
        "cautions": warned(hazards_of(view)),
        "replace": printed(lines, strip_title="8 in 10", strip=lambda row: saving_strip(_saving(row), scale)),
        "replace_empty": lines.empty,
        "replace_rest": " ".join(one for one in (lines.rest, *legend) if one),
        "spares": printed(spares),
        "spares_rest": " ".join([spares.rest or ("" if spares.rows else spares.empty), *spares.sentences]).strip(),
        "sums": tuple(sum_sentences(view, given.more, measures)),
        "undecided": tuple(undecided.about(row, measures) for row in undecided.rows),
    }


def _saving(row: PlanRow) -> Span | None:
    saving = row.saving
    if saving is None or row.line.decision is None:
        return None
    return Span(saving.low_minor / 100, saving.mean_minor / 100, saving.high_minor / 100)


def _wear(view: SeasonPlanView, measures: Measures) -> dict[str, Any]:
    sheet = wear_sheet(view.outlook.kinds, view.farm.machines, view.outlook.ahead, measures)
    rows = [_life_row(view, row) for row in view.outlook.kinds[:_DRAWN]]
    return {
        "wear_picture": as_drawn(life_picture(rows)),
        "wears": printed(sheet.only(*_WEAR_PRINTED)),
        "wears_said": (
            sheet.headline,
            " ".join(legends([*sheet.only(*_WEAR_PRINTED).columns], measures)),
            *sheet.sentences,
        ),
    }


def _life_row(view: SeasonPlanView, row: KindOutlook) -> LifeRow:
    season, median = row.season, row.life.median_life
    ages = [one.oldest for one in row.components if one.oldest is not None]
    in_seasons = season is not None and season > 0
    return LifeRow(
        name=row.life.kind.name,
        life=Span(median.low / season, median.median / season, median.high / season)
        if median is not None and season is not None and in_seasons
        else None,
        oldest=max(ages) / season if ages and season is not None and in_seasons else None,
        ahead=ahead_text(row, view.outlook.ahead),
        rests_on=rests_on_briefly(row.life),
        is_guess=not row.life.lives.failures,
    )


def _bars(table: CostTable, area: float, measures: Measures) -> list[CostBar]:
    """Each row's cost of an acre; over its own area, or over `area` where the rows have none of their own."""
    bars = []
    for row in table.rows:
        over = measures.area_number(area or row.area) * 100
        if over > 0 and row.total_minor > 0:
            parts, labour, service, standing = (
                minor / over for minor in (row.parts_minor, row.labour_minor, row.service_minor, row.downtime_minor)
            )
            bars.append(CostBar(row.key, (parts, labour, service, standing)))
    return bars


def _costs(given: Sources, measures: Measures) -> dict[str, Any]:
    unit = f"{measures.settings.currency} per {measures.area_unit}"
    curves = curve_sheet(given.curves, measures)
    subsystems = sorted(
        _bars(given.cost_by_subsystem, given.cost_by_season.total.area, measures), key=lambda one: -sum(one.pieces)
    )
    ratios = [
        Ratio(one.name, sum(season.repair_minor for season in one.seasons) / expected)
        for one in given.curves.machines
        if one.list_price_minor and (expected := sum(season.published_minor for season in one.seasons)) > 0
    ]
    by_season = cost_sheet(given.cost_by_season, measures)
    return {
        "season_picture": as_drawn(season_bars(_bars(given.cost_by_season, 0.0, measures), unit)),
        "subsystem_picture": as_drawn(ordered_bars(subsystems, f"{unit}, all seasons")),
        "subsystem_unit": f"{unit}, all seasons together",
        "ratio_picture": as_drawn(ratio_picture(ratios, USUAL_VARIATION)),
        "by_season": printed(by_season),
        "by_subsystem": printed(cost_sheet(given.cost_by_subsystem, measures)),
        "by_machine": printed(cost_sheet(given.cost_by_machine, measures)),
        "curves": printed(curves),
        "curves_said": (*curves.sentences, " ".join(curves.legends)),
        "costs_said": tuple(by_season.sentences),
    }


def _faults(given: Sources, measures: Measures) -> dict[str, Any]:
    names = _names(given.view)
    told = [one for one in given.trails if one.is_open or len(one.times) > 1]
    return {
        "faults": printed(fault_sheet(given.faults, names, measures, only_open=True).only(*PRINTED)),
        "trails": tuple(_trail(one, measures) for one in told),
        "trails_rest": len(given.trails) - len(told),
    }


def _trail(trail: FaultTrail, measures: Measures) -> TrailPart:
    sheet, quiet = trail_sheet(trail, measures), quiet_before(trail)
    times = [
        Return(
            quiet.get(past.number),
            measures.day(past.fault.opened_at),
            past.node or ("still open" if past.fault.closed_at is None else "not found"),
        )
        for past in trail.times
    ]
    last = next((past for past in reversed(trail.times) if past.checks), trail.times[-1])
    return TrailPart(
        heading=sheet.headline,
        sentences=tuple(reversed(sheet.sentences)),
        picture=as_drawn(trail_picture(times, None if trail.held is None else trail.held.quiet_hours)),
        times=printed(sheet),
        checklist=printed(
            checklist_sheet(last, measures),
            caption=f"Checklist of {measures.date_said(last.fault.opened_at)}, with fields for the next time",
        ),
    )
