"""Every answer of the program on the demo fleet: how it is made, which command prints it, what the screen asks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from tests.cli.running import Wearlog
from wearlog.exchange.row_book import row_book, sheet_rows
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.neighbours import MIXED, FarmSums
from wearlog.logbook.plan.planned_areas import planned_areas
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.costs.cost_sheet import cost_sheet
from wearlog.present.costs.hour_sheet import hour_sheet, published_sheet
from wearlog.present.costs.life_cost_sheet import life_sheet, years_kept_sheet
from wearlog.present.costs.own_cost_sheet import curve_sheet, season_cost_sheet
from wearlog.present.digits import Measures
from wearlog.present.faults.drawing_sheet import drawing_sheet, drawn_nodes
from wearlog.present.faults.fault_sheet import fault_sheet
from wearlog.present.faults.fault_trail_sheet import trail_sheet
from wearlog.present.faults.meter_sheet import meter_sheet, mode_sheet
from wearlog.present.faults.suspect_sheet import checklist_sheet, every_suspect, step_sheet, suspect_sheet
from wearlog.present.files.deed_sheet import deed_sheet
from wearlog.present.files.row_sheet import deed_row, deed_row_sheet, row_sheet
from wearlog.present.harvest.capacity_sheet import capacity_sheet
from wearlog.present.harvest.finish_sheet import finish_sheet
from wearlog.present.harvest.grain_sheet import grain_sheet
from wearlog.present.harvest.loss_sheet import loss_sheet, loss_trend_sheet
from wearlog.present.harvest.sensor_sheet import sensor_sheet, tester_sheet
from wearlog.present.parts.claim_sheet import claim_sheet, early_sheet
from wearlog.present.parts.stock_sheet import stock_sheet
from wearlog.present.plan.custom_offer import offer_of
from wearlog.present.plan.custom_sheet import custom_sheet
from wearlog.present.plan.fetch_sheet import fetch_sheet
from wearlog.present.plan.grain_lost_sheet import grain_lost_sheet
from wearlog.present.plan.money_sheet import buys_sheet, ends_sheet
from wearlog.present.plan.plan_line_sheet import plan_line_sheet, undecided_line_sheet
from wearlog.present.plan.plan_shown import PlanPage
from wearlog.present.plan.planned_area_sheet import planned_area_sheet
from wearlog.present.plan.rain_list_sheet import rain_list_sheet
from wearlog.present.plan.spare_sheet import order_sheets, spare_sheet
from wearlog.present.plan.stop_or_run_sheet import stop_or_run_sheet
from wearlog.present.plan.trade_sheet import trade_sheet
from wearlog.present.wear.kind_page import KindPage, kind_page
from wearlog.present.wear.neighbour_sheet import pool_sheet, share_sheet
from wearlog.present.wear.parts_compared_sheet import parts_compared_sheet
from wearlog.present.wear.repair_sheet import repair_sheet
from wearlog.present.wear.wear_sheet import wear_sheet
from wearlog.present.wear.wear_tables import mean_count_sheet, reading_sheet, survival_sheet
from wearlog.present.work.daybook_sheet import breakage_sheet, run_sheet, short_word
from wearlog.present.work.service_sheet import service_round_sheet, service_sheet
from wearlog.present.work.stop_sheet import stop_sheet
from wearlog.present.work.tonight_sheet import tonight_sheet
from wearlog.present.yard.inspection_sheet import inspection_sheet
from wearlog.present.yard.machine_page import component_sheet
from wearlog.present.yard.machine_sheet import machine_rows, machine_sheet
from wearlog.reckoning.costs.costs import Split, cost_table
from wearlog.reckoning.costs.own_costs import FleetCurves, MachineLife, economic_lives, own_curves
from wearlog.reckoning.costs.published_beside import published_beside
from wearlog.reckoning.farm import Farm, farm_from
from wearlog.reckoning.faults.fault_case import Advice, FaultCase, advise, fault_case
from wearlog.reckoning.faults.fault_list import fault_lines
from wearlog.reckoning.faults.fault_log import read_fault_log
from wearlog.reckoning.faults.fault_trail import FaultTrail, trail_of
from wearlog.reckoning.files import (
    breakage_query,
    latest_rows,
    recent_deeds,
    run_query,
    said_of,
    whole_deed,
)
from wearlog.reckoning.harvest.crop_grain import crop_grain
from wearlog.reckoning.harvest.harvest_quality import HarvestQuality, harvest_quality
from wearlog.reckoning.harvest.harvest_view import Given, HarvestView, harvest_view
from wearlog.reckoning.harvest.hour_value import hour_worth
from wearlog.reckoning.parts.claims import claim_list
from wearlog.reckoning.parts.stock import shelf_view
from wearlog.reckoning.plan.custom_work import custom_work
from wearlog.reckoning.plan.fetch_part import fetch_part
from wearlog.reckoning.plan.grain_lost import grain_lost
from wearlog.reckoning.plan.rain_list import rain_jobs, rain_list
from wearlog.reckoning.plan.season_plan import SeasonPlanView, season_plan
from wearlog.reckoning.plan.stop_or_run import stop_or_run
from wearlog.reckoning.plan.trade import OfferTerms, trade
from wearlog.reckoning.wear.early_failures import early_failures
from wearlog.reckoning.wear.kind_view import kind_view
from wearlog.reckoning.wear.neighbours import Pools, learned_from, lives_to_share
from wearlog.reckoning.wear.parts_compared import parts_compared
from wearlog.reckoning.wear.repairs_again import repairs_again
from wearlog.reckoning.wear.replacement_age import replacement_age
from wearlog.reckoning.wear.wear_outlook import wear_outlook
from wearlog.reckoning.work.services_due import round_lines, services_due
from wearlog.reckoning.work.stops import stop_lines
from wearlog.reckoning.work.tonight import tonight
from wearlog.reckoning.yard.brief_view import brief
from wearlog.reckoning.yard.inspection import LookOver, inspection
from wearlog.reckoning.yard.machine_view import machine_view
from wearlog.store.opening import Store
from wearlog.tui.door import Door
from wearlog.tui.questions.deciding import claims_now, keep_or_trade, lost_grain
from wearlog.tui.questions.farm import yard
from wearlog.tui.questions.faults import case
from wearlog.tui.questions.plan import areas_now
from wearlog.tui.questions.services import services_shown

#: a kind of the demo that is measured
_CHAIN = "clean grain elevator chain"
#: a component of the demo that may be changed now or later
_WEIGHED = "Merlin knife head"


@dataclass(frozen=True, slots=True)
class DemoFarm:
    """The demo fleet's log as the makers of answers want it."""

    store: Store
    ran: Wearlog
    door: Door

    @property
    def farm(self) -> Farm:
        with self.store.reading() as connection:
            return farm_from(connection, self.door.now())

    @property
    def measures(self) -> Measures:
        return Measures(self.farm.settings)

    @property
    def machine_names(self) -> dict[Any, str]:
        return {machine.id: machine.name for machine in self.farm.machines}


class Case(NamedTuple):
    """`maker` is the function that makes the answer; `wide` the columns that its command has, `indent` how far in."""

    maker: str
    sheet: Callable[[DemoFarm], AnswerSheet[Any]]
    command: tuple[str, ...] = ()
    question: Callable[[DemoFarm], AnswerSheet[Any]] | None = None
    wide: int | None = None
    indent: int = 0


def _services(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return service_sheet(services_due(connection, demo.farm), demo.machine_names, demo.measures, numbered=True)


def _tonight(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return tonight_sheet(tonight(connection, demo.farm), demo.measures)


def _deeds(demo: DemoFarm) -> AnswerSheet[Any]:
    rows, _ = recent_deeds(demo.store, 20)
    return deed_sheet(rows, demo.measures)


def _deed_rows(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        # the one that began the log: that of the import has ten thousand rows
        first = recent_deeds(demo.store, 1_000)[0][-1]
        deed_id, said = said_of(connection, first.id)
        rows = [
            deed_row(change, names, demo.measures)
            for changes, names in whole_deed(connection, deed_id)
            for change in changes
        ]
    return deed_row_sheet(rows, demo.measures, said)


def _runs(demo: DemoFarm) -> AnswerSheet[Any]:
    rows, count, _ = latest_rows(demo.store, run_query(None, "merlin wheat", "when", backwards=True), 20)
    return run_sheet(rows, count, demo.measures, words="merlin wheat")


def _breakages(demo: DemoFarm) -> AnswerSheet[Any]:
    query = breakage_query("rock", "when", backwards=True, spoken=short_word)
    rows, count, _ = latest_rows(demo.store, query, 50)
    return breakage_sheet(rows, count, demo.measures, words="rock")


def _reading_rows(demo: DemoFarm) -> AnswerSheet[Any]:
    found = sheet_rows(row_book(demo.store, demo.door.now()), "reading", (), 5)
    return row_sheet(found.sheet, found.headings, found.rows, demo.measures, in_all=found.in_all)


def _stock(demo: DemoFarm) -> AnswerSheet[Any]:
    view = shelf_view(demo.store)
    return stock_sheet(view.shelves, view.kind_names, demo.measures)


def _pool(demo: DemoFarm) -> AnswerSheet[Any]:
    """What five farms like this one would say of its kinds, and of one that it does not know."""
    told = [
        FarmSums(f"{farm:032x}", kind, 1, one.meter, {one.ground: (one.lives, one.sums)})
        for farm in range(5)
        for one in lives_to_share(demo.farm).shared
        if one.ground == MIXED
        for kind in (one.kind, *(("moon plate",) if one.kind == "guard" else ()))
    ]
    return pool_sheet(Pools(learned_from(told, demo.farm), 5, is_new=False), demo.measures)


def _cut_for_others(demo: DemoFarm) -> AnswerSheet[Any]:
    asked = offer_of(demo.farm.settings, area="300", ground="stony", rate="32")
    with demo.store.reading() as connection:
        return custom_sheet(custom_work(connection, demo.farm, asked), demo.measures)


def _claims(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return claim_sheet(claim_list(connection, demo.farm), demo.measures)


def _early(demo: DemoFarm) -> AnswerSheet[Any]:
    farm = demo.farm
    with demo.store.reading() as connection:
        return early_sheet(early_failures(connection, farm), farm, demo.measures)


#: it changes with every minute, so it is asked for one evening
_LEAVES = "2026-08-05T18:00:00+00:00"


def _fetch(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        farm = farm_from(connection, datetime.fromisoformat(_LEAVES))
        component = next(
            one for one in farm.components if f"{demo.machine_names[one.machine_id]} {one.place}" == _WEIGHED
        )
        return fetch_sheet(fetch_part(connection, farm, component), demo.measures)


def _stop_or_run(demo: DemoFarm) -> AnswerSheet[Any]:
    farm = demo.farm
    component = next(one for one in farm.components if f"{demo.machine_names[one.machine_id]} {one.place}" == _WEIGHED)
    with demo.store.reading() as connection:
        return stop_or_run_sheet(stop_or_run(connection, farm, component), demo.measures)


def _rain_day(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return rain_list_sheet(rain_list(rain_jobs(connection, demo.farm), 6), demo.measures)


def _grain_lost(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return grain_lost_sheet(grain_lost(connection, demo.farm), demo.measures)


def _parts_compared(demo: DemoFarm) -> AnswerSheet[Any]:
    farm = demo.farm
    number = next(place for place, one in enumerate(farm.part_kinds) if one.name == "guard")
    with demo.store.reading() as connection:
        return parts_compared_sheet(parts_compared(connection, farm, number), "guard", demo.measures)


def _trade(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return trade_sheet(trade(connection, demo.farm, OfferTerms(), yearly_rate=0.06), demo.measures, 6.0)


def _stops(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return stop_sheet(stop_lines(connection, demo.farm), demo.measures)


def _stops_question(demo: DemoFarm) -> AnswerSheet[Any]:
    from wearlog.tui.questions.work import stops

    return stops(demo.door)


def _shelf_question(demo: DemoFarm) -> AnswerSheet[Any]:
    from wearlog.tui.questions.parts import shelf

    return shelf(demo.door).sheet


def _plan(demo: DemoFarm) -> SeasonPlanView:
    with demo.store.reading() as connection:
        return season_plan(connection, demo.farm)


def _plan_shown(demo: DemoFarm) -> PlanPage:
    from wearlog.tui.questions.plan import plan_now

    return plan_now(demo.door).page


def _costs(by: Split, year: int | None = None) -> Callable[[DemoFarm], AnswerSheet[Any]]:
    def made(demo: DemoFarm) -> AnswerSheet[Any]:
        season = next((one for one in demo.farm.seasons if one.harvest_year == year), None)
        with demo.store.reading() as connection:
            return cost_sheet(cost_table(connection, demo.farm, by, season), demo.measures, year)

    return made


def _own_curves(demo: DemoFarm) -> FleetCurves:
    with demo.store.reading() as connection:
        return own_curves(connection, demo.farm)


def _lives(demo: DemoFarm) -> list[MachineLife]:
    return list(economic_lives(demo.farm, _own_curves(demo), yearly_rate=0.06))


def _hour(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return hour_sheet(hour_worth(connection, demo.farm), demo.measures)


def _published(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        table, curves = cost_table(connection, demo.farm, Split.MACHINE), own_curves(connection, demo.farm)
    return published_sheet(published_beside(demo.farm.settings, table, curves.fleet), demo.measures)


def _costs_question(place: int, year: int | None = None) -> Callable[[DemoFarm], AnswerSheet[Any]]:
    from wearlog.tui.questions.costs import costs

    return lambda demo: costs(demo.door, year, 6.0).sheets[place]


def _faults(demo: DemoFarm, *, only_open: bool = False) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        lines = fault_lines(connection, demo.farm)
    return fault_sheet(lines, demo.machine_names, demo.measures, only_open=only_open)


def _past_case(demo: DemoFarm) -> FaultCase:
    """The ninth fault of the demo, of a trail of four."""
    with demo.store.reading() as connection:
        log = read_fault_log(connection)
        return fault_case(log, demo.farm, log.faults[8])


def _drawing(demo: DemoFarm) -> AnswerSheet[Any]:
    found = _past_case(demo)
    return drawing_sheet(drawn_nodes(found.circuit, found.suspects), demo.measures)


def _open_advice(demo: DemoFarm) -> Advice:
    with demo.store.reading() as connection:
        log = read_fault_log(connection)
        return advise(fault_case(log, demo.farm, next(one for one in log.faults if one.closed_at is None)))


def _trail(demo: DemoFarm) -> FaultTrail:
    with demo.store.reading() as connection:
        log = read_fault_log(connection)
        return trail_of(connection, log, demo.farm, log.faults[8])


def _faults_question(demo: DemoFarm) -> AnswerSheet[Any]:
    from wearlog.tui.questions.faults import faults

    return faults(demo.door)


def _wear(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        found = wear_outlook(connection, demo.farm)
    return wear_sheet(found.kinds, found.farm.machines, found.ahead, demo.measures)


def _wear_question(demo: DemoFarm) -> AnswerSheet[Any]:
    from wearlog.tui.questions.wear import wear

    return wear(demo.door).sheet


def _components(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        return component_sheet(machine_view(connection, demo.farm, _machine_id(demo)), demo.measures)


def _components_question(demo: DemoFarm) -> AnswerSheet[Any]:
    from wearlog.tui.questions.farm import machine

    page = machine(demo.door, _machine_id(demo))
    assert page is not None
    return page.components


def _service_round(demo: DemoFarm) -> AnswerSheet[Any]:
    with demo.store.reading() as connection:
        lines, mark = round_lines(connection, demo.farm)
    return service_round_sheet(lines, mark, demo.measures)


def _inspection(demo: DemoFarm) -> AnswerSheet[Any]:
    farm = demo.farm
    with demo.store.reading() as connection:
        outlook = wear_outlook(connection, farm)
        found = inspection(connection, farm, outlook, _machine_id(demo), LookOver.BEFORE_SEASON)
    return inspection_sheet(found, demo.measures)


def _machines(demo: DemoFarm) -> AnswerSheet[Any]:
    found = brief(demo.store, demo.door.now())
    return machine_sheet(machine_rows(found.standing, found.left, found.faults, found.services), demo.measures)


def _machine_id(demo: DemoFarm) -> Any:
    return next(one.id for one in demo.farm.machines if one.name == "Merlin")


def _kind(demo: DemoFarm, name: str = "knife section") -> KindPage:
    farm = demo.farm
    number = [one.name for one in farm.part_kinds].index(name)
    with demo.store.reading() as connection:
        view = kind_view(connection, farm, number)
        return kind_page(view, replacement_age(connection, farm, view.row), farm, demo.measures)


def _kind_question(demo: DemoFarm, name: str = "knife section") -> KindPage:
    from wearlog.tui.questions.wear import kind

    (kind_id,) = (one.id for one in demo.farm.part_kinds if one.name == name)
    return kind(demo.door, kind_id).page


def _repairs(demo: DemoFarm) -> AnswerSheet[Any]:
    every = (repairs_again(demo.farm, kind) for kind in (MachineKind.COMBINE, MachineKind.HEADER))
    return repair_sheet([one for one in every if one is not None], demo.measures)


def _harvest(demo: DemoFarm, given: Given | None = None) -> HarvestView:
    with demo.store.reading() as connection:
        return harvest_view(connection, demo.farm, given)


def _grain(demo: DemoFarm) -> AnswerSheet[Any]:
    bands = _quality(demo).moisture
    with demo.store.reading() as connection:
        return grain_sheet(crop_grain(connection, demo.farm, bands), demo.measures)


def _chances(demo: DemoFarm) -> AnswerSheet[Any]:
    finish = _harvest(demo).finish
    assert finish is not None
    return finish_sheet(finish, demo.measures)


def _quality(demo: DemoFarm) -> HarvestQuality:
    with demo.store.reading() as connection:
        return harvest_quality(connection, demo.farm)


def _harvest_question(place: int) -> Callable[[DemoFarm], AnswerSheet[Any]]:
    from wearlog.tui.questions.harvest import harvest

    return lambda demo: harvest(demo.door).sheets[place]


CASES = {
    "harvest": Case(
        "wearlog.present.harvest.capacity_sheet.capacity_sheet",
        lambda demo: capacity_sheet(_harvest(demo), demo.measures),
        ("harvest",),
        _harvest_question(0),
    ),
    "field efficiency": Case(
        "wearlog.present.harvest.capacity_sheet.capacity_sheet",
        lambda demo: capacity_sheet(_harvest(demo, Given(speed=2.012)), demo.measures),
        ("harvest", "--speed", "4.5 mph"),
    ),
    "grain": Case(
        "wearlog.present.harvest.grain_sheet.grain_sheet", _grain, ("harvest", "--grain"), _harvest_question(3)
    ),
    "days to finish": Case("wearlog.present.harvest.finish_sheet.finish_sheet", _chances, ("harvest",)),
    "sensors": Case(
        "wearlog.present.harvest.sensor_sheet.sensor_sheet",
        lambda demo: sensor_sheet(_quality(demo), demo.measures),
        ("calibrate",),
        _harvest_question(1),
    ),
    "moisture tester": Case(
        "wearlog.present.harvest.sensor_sheet.tester_sheet",
        lambda demo: tester_sheet(_quality(demo), demo.measures),
        ("calibrate",),
        _harvest_question(2),
    ),
    "losses": Case(
        "wearlog.present.harvest.loss_sheet.loss_sheet",
        lambda demo: loss_sheet(_quality(demo), demo.measures),
        ("loss", "--all"),
        _harvest_question(4),
    ),
    "loss and wear": Case(
        "wearlog.present.harvest.loss_sheet.loss_trend_sheet",
        lambda demo: loss_trend_sheet(_quality(demo), demo.measures),
        ("loss", "--wear"),
    ),
    "suspects": Case(
        "wearlog.present.faults.suspect_sheet.every_suspect",
        lambda demo: every_suspect(_past_case(demo), demo.measures),
        ("faults", "suspects", "9", "--most", "500"),
    ),
    "first suspects": Case(
        "wearlog.present.faults.suspect_sheet.suspect_sheet",
        lambda demo: suspect_sheet(_past_case(demo), demo.measures),
    ),
    "next checks": Case(
        "wearlog.present.faults.suspect_sheet.step_sheet",
        lambda demo: step_sheet(_open_advice(demo), demo.measures),
    ),
    "a checklist": Case(
        "wearlog.present.faults.suspect_sheet.checklist_sheet",
        lambda demo: checklist_sheet(_past_case(demo).this_time, demo.measures),
    ),
    "inspection": Case(
        "wearlog.present.yard.inspection_sheet.inspection_sheet", _inspection, ("sheet", "before-season", "merlin")
    ),
    "service round": Case(
        "wearlog.present.work.service_sheet.service_round_sheet", _service_round, ("sheet", "service")
    ),
    "failure modes": Case("wearlog.present.faults.meter_sheet.mode_sheet", lambda demo: mode_sheet()),
    "a trail": Case(
        "wearlog.present.faults.fault_trail_sheet.trail_sheet",
        lambda demo: trail_sheet(_trail(demo), demo.measures),
        ("faults", "trail", "9"),
    ),
    "faults": Case("wearlog.present.faults.fault_sheet.fault_sheet", _faults, ("faults",), _faults_question),
    "open faults": Case(
        "wearlog.present.faults.fault_sheet.fault_sheet",
        lambda demo: _faults(demo, only_open=True),
        ("faults", "--open"),
    ),
    "costs by machine": Case(
        "wearlog.present.costs.cost_sheet.cost_sheet", _costs(Split.MACHINE), ("cost",), _costs_question(0)
    ),
    "costs by field": Case(
        "wearlog.present.costs.cost_sheet.cost_sheet",
        _costs(Split.FIELD),
        ("cost", "--by", "field"),
        _costs_question(5),
    ),
    "costs of a season": Case(
        "wearlog.present.costs.cost_sheet.cost_sheet",
        _costs(Split.PART, 2025),
        ("cost", "--by", "part", "--season", "2025"),
        _costs_question(2, 2025),
    ),
    "rows of a sheet": Case(
        "wearlog.present.files.row_sheet.row_sheet", _reading_rows, ("entries", "reading", "--last", "5")
    ),
    "history": Case("wearlog.present.files.deed_sheet.deed_sheet", _deeds, ("history",)),
    "rows of an entry": Case("wearlog.present.files.row_sheet.deed_row_sheet", _deed_rows),
    "runs": Case("wearlog.present.work.daybook_sheet.run_sheet", _runs, ("runs", "merlin", "wheat"), wide=100),
    "breakages": Case(
        "wearlog.present.work.daybook_sheet.breakage_sheet",
        _breakages,
        ("breakages", "rock", "--last", "50"),
        wide=100,
    ),
    "repair curves": Case(
        "wearlog.present.costs.own_cost_sheet.curve_sheet",
        lambda demo: curve_sheet(_own_curves(demo), demo.measures),
        ("cost", "--curve"),
        _costs_question(6),
    ),
    "repairs by season": Case(
        "wearlog.present.costs.own_cost_sheet.season_cost_sheet",
        lambda demo: season_cost_sheet(_own_curves(demo).machines[0], demo.measures),
    ),
    "economic lives": Case(
        "wearlog.present.costs.life_cost_sheet.life_sheet",
        lambda demo: life_sheet(_lives(demo), demo.measures, 6.0),
        ("cost", "--economic-life", "--interest", "6"),
        _costs_question(7),
    ),
    "an hour": Case("wearlog.present.costs.hour_sheet.hour_sheet", _hour, ("cost", "--hour"), _costs_question(8)),
    "published": Case(
        "wearlog.present.costs.hour_sheet.published_sheet", _published, ("cost", "--published"), _costs_question(9)
    ),
    "what a meter shows": Case(
        "wearlog.present.faults.meter_sheet.meter_sheet", lambda demo: meter_sheet(demo.measures)
    ),
    "years kept": Case(
        "wearlog.present.costs.life_cost_sheet.years_kept_sheet",
        lambda demo: years_kept_sheet(_lives(demo)[0], demo.measures),
    ),
    "order": Case(
        "wearlog.present.plan.spare_sheet.order_sheet",
        lambda demo: order_sheets(_plan(demo), demo.measures)[0],
        ("plan",),
        lambda demo: _plan_shown(demo).orders[0],
        wide=96,
        indent=4,
    ),
    "plan_lines": Case(
        "wearlog.present.plan.plan_line_sheet.plan_line_sheet",
        lambda demo: plan_line_sheet(_plan(demo), demo.measures),
        ("plan", "--all"),
        lambda demo: _plan_shown(demo).lines,
        wide=102,
        indent=2,
    ),
    "money buys": Case(
        "wearlog.present.plan.money_sheet.buys_sheet",
        lambda demo: buys_sheet(_plan(demo), demo.measures),
        ("plan",),
        lambda demo: _plan_shown(demo).money[0],
        wide=98,
        indent=2,
    ),
    "money ends before": Case(
        "wearlog.present.plan.money_sheet.ends_sheet",
        lambda demo: ends_sheet(_plan(demo), demo.measures),
        ("plan",),
        lambda demo: _plan_shown(demo).money[1],
        wide=98,
        indent=2,
    ),
    "planned_areas": Case(
        "wearlog.present.plan.planned_area_sheet.planned_area_sheet",
        lambda demo: planned_area_sheet(planned_areas(demo.store, demo.door.now().date())),
        ("plan", "area", "--list"),
        lambda demo: areas_now(demo.door).sheet,
    ),
    "tonight": Case(
        "wearlog.present.work.tonight_sheet.tonight_sheet",
        _tonight,
        ("due", "--tonight"),
        lambda demo: tonight_sheet(services_shown(demo.door).round, demo.measures),
    ),
    "services": Case("wearlog.present.work.service_sheet.service_sheet", _services, ("due", "--all")),
    "spares": Case(
        "wearlog.present.plan.spare_sheet.spare_sheet",
        lambda demo: spare_sheet(_plan(demo), demo.measures),
        ("plan", "--all"),
        lambda demo: _plan_shown(demo).spares,
        wide=98,
        indent=2,
    ),
    "machines": Case(
        "wearlog.present.yard.machine_sheet.machine_sheet",
        _machines,
        ("brief",),
        lambda demo: yard(demo.door).machines,
        wide=98,
        indent=2,
    ),
    "drawing of a fault": Case(
        "wearlog.present.faults.drawing_sheet.drawing_sheet",
        _drawing,
        ("faults", "suspects", "9", "--draw"),
        lambda demo: case(demo.door, _past_case(demo).fault.id).whole,
        wide=100,
    ),
    "undecided_lines": Case(
        "wearlog.present.plan.plan_line_sheet.undecided_line_sheet",
        lambda demo: undecided_line_sheet(_plan(demo), demo.measures),
        question=lambda demo: _plan_shown(demo).undecided,
    ),
    "stops": Case("wearlog.present.work.stop_sheet.stop_sheet", _stops, ("stop", "--all"), _stops_question),
    "stop or run": Case(
        "wearlog.present.plan.stop_or_run_sheet.stop_or_run_sheet", _stop_or_run, ("stop-or-run", _WEIGHED)
    ),
    "neighbours' pool": Case("wearlog.present.wear.neighbour_sheet.pool_sheet", _pool),
    "lives for neighbours": Case(
        "wearlog.present.wear.neighbour_sheet.share_sheet",
        lambda demo: share_sheet(lives_to_share(demo.farm), demo.measures, only_sums=False),
    ),
    "cut for others": Case(
        "wearlog.present.plan.custom_sheet.custom_sheet",
        _cut_for_others,
        ("custom-work", "--acres", "300", "--ground", "stony", "--rate", "32"),
    ),
    "claims": Case(
        "wearlog.present.parts.claim_sheet.claim_sheet", _claims, ("claims",), lambda demo: claims_now(demo.door).sheet
    ),
    "far too early": Case(
        "wearlog.present.parts.claim_sheet.early_sheet", _early, ("claims",), lambda demo: claims_now(demo.door).more[0]
    ),
    "ways to a part": Case(
        "wearlog.present.plan.fetch_sheet.fetch_sheet", _fetch, ("fetch", _WEIGHED, "--at", _LEAVES)
    ),
    "grain lost by wear": Case(
        "wearlog.present.plan.grain_lost_sheet.grain_lost_sheet",
        _grain_lost,
        ("loss", "--money"),
        lambda demo: lost_grain(demo.door).sheet,
    ),
    "part numbers compared": Case(
        "wearlog.present.wear.parts_compared_sheet.parts_compared_sheet", _parts_compared, ("compare-parts", "guard")
    ),
    "keep or trade": Case(
        "wearlog.present.plan.trade_sheet.trade_sheet",
        _trade,
        ("trade",),
        lambda demo: keep_or_trade(demo.door).sheet,
    ),
    "rain day": Case("wearlog.present.plan.rain_list_sheet.rain_list_sheet", _rain_day, ("rain-day",)),
    "stock": Case("wearlog.present.parts.stock_sheet.stock_sheet", _stock, ("stock",), _shelf_question),
    "components of a machine": Case(
        "wearlog.present.yard.machine_page.component_sheet",
        _components,
        ("wear", "--machine", "Merlin", "--components"),
        _components_question,
        wide=100,
    ),
    "parts of a kind": Case(
        "wearlog.present.wear.kind_part_sheet.part_sheet",
        lambda demo: _kind(demo).parts,
        ("wear", "knife section", "--all"),
        lambda demo: _kind_question(demo).parts,
        wide=100,
    ),
    "where a kind is hit": Case(
        "wearlog.present.wear.measured_sheet.hot_place_sheet",
        lambda demo: _kind(demo).where,
        ("wear", "knife section"),
        lambda demo: _kind_question(demo).where,
        wide=100,
    ),
    "measured wear": Case(
        "wearlog.present.wear.measured_sheet.measured_sheet",
        lambda demo: _kind(demo, _CHAIN).measured,
        ("wear", _CHAIN),
        lambda demo: _kind_question(demo, _CHAIN).measured,
        wide=100,
    ),
    "survival": Case(
        "wearlog.present.wear.wear_tables.survival_sheet",
        lambda demo: survival_sheet(_kind(demo).view.row, demo.machine_names, demo.measures),
    ),
    "readings of a part": Case(
        "wearlog.present.wear.wear_tables.reading_sheet",
        lambda demo: reading_sheet(_kind(demo, _CHAIN).view.measured[0], demo.measures),
    ),
    "breakages counted up": Case(
        "wearlog.present.wear.wear_tables.mean_count_sheet",
        lambda demo: mean_count_sheet(repairs_again(demo.farm, MachineKind.HEADER), demo.measures),  # type: ignore[arg-type]
    ),
    "repairs": Case("wearlog.present.wear.repair_sheet.repair_sheet", _repairs, ("wear", "--repairs"), wide=100),
    "wear": Case("wearlog.present.wear.wear_sheet.wear_sheet", _wear, ("wear",), _wear_question, wide=100),
}
