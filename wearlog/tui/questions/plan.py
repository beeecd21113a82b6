"""Questions of the season plan: in words, a choice at once and settled, saving it, its order as files, receiving it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import Choice
from wearlog.present.words import saved_line

if TYPE_CHECKING:
    from wearlog.facts.work import PlannedArea
    from wearlog.logbook.plan.areas_to_cut import AreaToCut, PlannedAreas
    from wearlog.logbook.plan.planning import LineChoice, PlanLimits
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.digits import Measures
    from wearlog.present.plan.plan_shown import PlanPage
    from wearlog.present.plan.why_shown import WhyShown
    from wearlog.reckoning.plan.season_plan import SeasonPlanView
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True, eq=False)
class PlanOnScreen:
    """A plan as it is shown: `saved` is the one in the log, `view` the same with the choices made since, `page` its words.

    While `settling` the rest of the money is not spent anew yet.
    """

    saved: SeasonPlanView
    view: SeasonPlanView
    page: PlanPage
    settling: bool = False


def plan_now(door: Door) -> PlanOnScreen:
    """Reckon the plan of the next season."""
    from wearlog.reckoning.plan.season_plan import season_plan

    with door.log.reading() as connection:
        view = season_plan(connection, door.farm(connection))
    return _shown(view, view)


def year_of(shown: PlanOnScreen) -> int:
    """Return the harvest year that is planned, or the next one there is to plan."""
    return shown.view.harvest_year


def choose_at_once(door: Door, shown: PlanOnScreen, choices: Mapping[UUID, Choice | None]) -> PlanOnScreen:
    """Return the plan with choices made: the sums at once, no other line moves."""
    from wearlog.present.plan.plan_shown import plan_page
    from wearlog.reckoning.plan.toggle import sums_at_once

    view = sums_at_once(shown.saved, shown.view, choices)
    page = plan_page(view, shown.saved, None, _measures(view), settling=True, before=shown.page)
    return PlanOnScreen(shown.saved, view, page, settling=True)


def settle(door: Door, shown: PlanOnScreen, choices: Mapping[UUID, Choice | None]) -> PlanOnScreen:
    """Return the plan with choices made and the rest of the money spent anew."""
    from wearlog.reckoning.plan.toggle import settled

    return _shown(settled(shown.saved, choices), shown.saved, shown.page)


def _shown(view: SeasonPlanView, saved: SeasonPlanView, before: PlanPage | None = None) -> PlanOnScreen:
    from wearlog.present.plan.plan_shown import plan_page
    from wearlog.reckoning.plan.season_plan import what_more_buys

    more = what_more_buys(view) if view.limits.budget_minor is not None else None
    return PlanOnScreen(saved, view, plan_page(view, saved, more, _measures(view), before=before))


def _measures(view: SeasonPlanView) -> Measures:
    from wearlog.present.digits import Measures

    return Measures(view.farm.settings)


def why(door: Door, shown: PlanOnScreen, line: int, columns: int) -> WhyShown:
    """Return why one component is replaced or run, its strips drawn for so many columns."""
    from wearlog.present.plan.why_shown import why_shown

    return why_shown(shown.view, line, _measures(shown.view), columns, settling=shown.settling)


def save_choices(door: Door, harvest_year: int, choices: Sequence[LineChoice]) -> str:
    """Save all choices made by hand as one entry."""
    from wearlog.logbook.plan.planning import save_plan

    return saved_line(save_plan(door.log, harvest_year, choices=choices))


def save_limits(door: Door, harvest_year: int, limits: PlanLimits) -> str:
    """Save money and shop hours of a plan, which begins with it if there is none."""
    from wearlog.logbook.plan.planning import save_plan

    return saved_line(save_plan(door.log, harvest_year, limits=limits))


def line_choices(shown: PlanOnScreen, choices: Mapping[UUID, Choice | None]) -> list[LineChoice]:
    """Return what is to be saved of choices made on the screen."""
    from wearlog.logbook.plan.planning import LineChoice

    rows = shown.page.rows
    found = []
    for component_id, choice in choices.items():
        line = rows[component_id].line
        positions = line.by_hand_replace if choice is Choice.REPLACE else line.by_hand_run
        found.append(LineChoice(component_id, positions, choice))
    return found


def write_order(door: Door, shown: PlanOnScreen, form: str) -> str:
    """Write the order as a workbook (xlsx), a folder of CSV files (csv), or the plan with it as a page to print (html).

    Notes
    -----
    The files go where wearlog was started. None is ever written over: pieces may have been corrected in it by hand.
    """
    from wearlog.exchange.order_files import write_order_folder, write_order_workbook
    from wearlog.present.plan.spare_sheet import whole_order
    from wearlog.present.words import counted

    view, measures = shown.view, _measures(shown.view)
    if form == "html":
        return _write_page(door, view)
    order = whole_order(view, measures)
    if not order.suppliers:
        raise RefusedError("Nothing is to be ordered.", "Space puts a line into the plan.")
    if form == "xlsx":
        file = write_order_workbook(order, _free(f"order-{view.harvest_year}", ".xlsx"))
        return (
            f"Wrote {file}: {measures.money(order.sum_minor)}. Correct the pieces in it to what came, then receive it."
        )
    folder = _free(f"order-{view.harvest_year}", "")
    files = write_order_folder(order, folder)
    return f"Wrote {counted(len(files), 'file')} into {folder}: {measures.money(order.sum_minor)}."


def _write_page(door: Door, view: SeasonPlanView) -> str:
    from wearlog.exchange.season_report.content import write_report

    return f"Wrote {write_report(door.log, door.now(), _free(f'plan-{view.harvest_year}', '.html'), view)}."


def _free(name: str, ending: str) -> Path:
    """A path in the folder where wearlog was started that nothing has yet."""
    folder = Path.cwd()
    path, number = folder / f"{name}{ending}", 2
    while path.exists():
        path, number = folder / f"{name}-{number}{ending}", number + 1
    return path


def receive(door: Door, shown: PlanOnScreen, supplier: str) -> str:
    """Put the order of one supplier into stock as it is listed, as one entry."""
    from wearlog.logbook.parts.stocking import Delivered, receive_order
    from wearlog.present.plan.spare_sheet import whole_order

    suppliers = whole_order(shown.view, _measures(shown.view)).suppliers
    order = next((one for one in suppliers if one.supplier == supplier), None)
    if order is None:
        raise NotFoundError("This order is not in the plan any more.")
    rows = [(row.part_id, row) for row in order.rows if row.part_id is not None]
    lines = [Delivered(part_id, row.pieces, row.price_minor, order.mark) for part_id, row in rows]
    # the lines of the order stand on the screen: they need not be said again
    return saved_line(replace(receive_order(door.log, lines, at=door.now()), also=()))


@dataclass(frozen=True, slots=True)
class AreasShown:
    """The areas of a season with what they are chosen from, and the same as an answer."""

    known: PlannedAreas
    sheet: AnswerSheet[PlannedArea]


def areas_now(door: Door) -> AreasShown:
    """Read the areas; nothing is reckoned, so they are there at once."""
    from wearlog.logbook.plan.planned_areas import planned_areas
    from wearlog.present.plan.planned_area_sheet import planned_area_sheet

    known = planned_areas(door.log, door.farm_now().date())
    return AreasShown(known, planned_area_sheet(known))


def save_area(door: Door, harvest_year: int, wanted: AreaToCut, area_id: UUID | None) -> str:
    """Save a new area, or another content of one that is planned."""
    from wearlog.logbook.plan.planned_areas import change_area, enter_area

    if area_id is None:
        return saved_line(enter_area(door.log, harvest_year, wanted, today=door.farm_now().date()))
    return saved_line(change_area(door.log, area_id, wanted))


def take_out(door: Door, area: PlannedArea) -> str:
    """Take an area out of the plan."""
    from wearlog.logbook.plan.planning import drop_areas

    return saved_line(drop_areas(door.log, [area]))
