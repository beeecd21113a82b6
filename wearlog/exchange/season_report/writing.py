"""Writing the season report: reads what the plan does not hold, fills the page, and writes the file whole or not at all."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from wearlog.errors import RefusedError
from wearlog.exchange.order_files import write_whole
from wearlog.exchange.season_report.charts import KindBar, SeasonBar, cost_chart, wear_chart
from wearlog.exchange.season_report.content import Sources, report_content
from wearlog.present.digits import Measures

if TYPE_CHECKING:
    from wearlog.reckoning.season_plan import SeasonPlanView
    from wearlog.store.opening import Store

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
    from wearlog.reckoning.costs import Split, cost_table
    from wearlog.reckoning.due import services_due
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.fault_list import fault_lines
    from wearlog.reckoning.own_costs import own_curves
    from wearlog.reckoning.season_plan import what_more_buys

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
