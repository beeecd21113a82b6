"""Writing the season report: the answers are read, put on pages, and written as one HTML file that needs no other."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from wearlog.errors import RefusedError
from wearlog.exchange.order_files import write_whole
from wearlog.exchange.paper.pages import html_page
from wearlog.exchange.season_report.content import Sources, report_content
from wearlog.facts.closed_lists import MachineKind
from wearlog.present.digits import Measures
from wearlog.progress import step, stretch
from wearlog.reckoning.plan.season_plan import SeasonPlanView

if TYPE_CHECKING:
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
        inspected = sorted(
            (one for one in farm.machines if one.kind in (MachineKind.COMBINE, MachineKind.HEADER)),
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
                inspection(connection, farm, view.outlook, one.id, LookOver.BEFORE_SEASON) for one in inspected
            ),
        )
