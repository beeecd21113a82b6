"""The brief on one page: how the machines stand, what wears, what to buy, open faults, what is due, what an acre costs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from wearlog.facts.closed_lists import MachineKind
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.costs.cost_sheet import SHORT, cost_sheet
from wearlog.present.digits import Measures
from wearlog.present.faults.fault_sheet import fault_sentence, fault_sheet, is_open
from wearlog.present.parts.stock_sheet import order_sentence, order_total_minor, stock_sheet
from wearlog.present.sheet_faces import sheet_json, table_lines
from wearlog.present.tables import WIDEST, folded
from wearlog.present.wear.wear_sheet import NOTHING_FITTED, wear_sheet
from wearlog.present.wear.wear_words import is_known
from wearlog.present.words import counted
from wearlog.present.work.service_sheet import due_sentence, service_sheet
from wearlog.present.yard.machine_sheet import MachineRow, machine_rows, machine_sheet
from wearlog.reckoning.work.services_due import pressing
from wearlog.reckoning.yard.brief_view import Brief

#: how many lines of a section stand on the page before "and N more"
SHOWN = 8
#: a kind of which less is expected to break is no threat
LEAST = 0.05
_INDENT = 2


def brief_lines(brief: Brief) -> list[str]:
    """Return the page, line by line."""
    measures = Measures(brief.settings)
    return [
        *_head(brief, measures),
        *_machines(brief, measures),
        *_wears(brief, measures),
        *_buy(brief, measures),
        *_faults(brief, measures),
        *_due(brief, measures),
        *_costs(brief, measures),
    ]


def _head(brief: Brief, measures: Measures) -> list[str]:
    name = brief.settings.farm_name or "The fleet"
    season = brief.progress.season
    cut = ""
    if season is not None:
        planned = brief.progress.planned
        of = f" of {measures.area(planned)} planned" if planned else ""
        cut = f"  Harvest {season.harvest_year}: {measures.area(brief.progress.cut)} cut{of}."
    kinds = [machine.kind for machine in brief.machines]
    fleet = (
        f"{counted(kinds.count(MachineKind.COMBINE), 'combine')}, {counted(kinds.count(MachineKind.HEADER), 'header')}"
    )
    return [f"{name}, {measures.date_said(brief.as_of)}", f"  {fleet[:1].upper()}{fleet[1:]}.{cut}"]


def _machines(brief: Brief, measures: Measures) -> list[str]:
    return _section("MACHINES", table_lines(_standing(brief, measures), WIDEST - _INDENT), none="")


def _standing(brief: Brief, measures: Measures) -> AnswerSheet[MachineRow]:
    return machine_sheet(machine_rows(brief.standing, brief.left, brief.faults, brief.services), measures)


def _section(title: str, lines: list[str], *, none: str) -> list[str]:
    return ["", title, *(f"  {line}" for line in lines or [none])]


def _first(rows: Iterable[Any], say: Callable[[Any], str]) -> list[str]:
    rows = list(rows)
    lines = [say(row) for row in rows[:SHOWN]]
    return [*lines, f"and {len(rows) - SHOWN} more"] if len(rows) > SHOWN else lines


def _wears(brief: Brief, measures: Measures) -> list[str]:
    rows = [row for row in brief.wear.kinds if row.threat >= LEAST][:SHOWN]
    if not rows:
        none = f"{_nothing_ahead(brief)} 'wearlog wear' shows lives and starting guesses."
        said = folded([none if brief.wear.kinds else NOTHING_FITTED], width=WIDEST - _INDENT)
        return _section("WHAT WEARS", said, none="")
    sheet = wear_sheet(rows, brief.machines, brief.wear.ahead, measures, notes=False)
    lines = table_lines(sheet.only("kind", "expected_breakages", "life_median", "rests_on"), WIDEST - _INDENT)
    title = "WHAT WEARS (break: in the season ahead, each part now on once; half last: 90 % sure)"
    return _section(title, [*lines, *sheet.said], none="")


def _nothing_ahead(brief: Brief) -> str:
    ahead = brief.wear.ahead
    if not is_known(ahead):
        return "No season is planned and none has been cut, so nothing can be expected yet."
    return "Nothing is expected to break in the season ahead."


def _buy(brief: Brief, measures: Measures) -> list[str]:
    low = [shelf for shelf in brief.shelves if shelf.is_low]
    lines = _first(low, lambda shelf: order_sentence(shelf, measures))
    if low:
        lines.append(f"together {measures.money(order_total_minor(low))} at the last prices")
    return _section("WHAT TO BUY (below what you keep)", lines, none="Nothing is low.")


def _faults(brief: Brief, measures: Measures) -> list[str]:
    names = {machine.id: machine.name for machine in brief.machines}
    lines = _first(filter(is_open, brief.faults), lambda row: fault_sentence(row, names, measures, brief.as_of))
    return _section("OPEN FAULTS", lines, none="None.")


def _due(brief: Brief, measures: Measures) -> list[str]:
    names = {machine.id: machine.name for machine in brief.machines}
    lines = _first(pressing(brief.services), lambda row: due_sentence(row, names, measures, brief.as_of))
    return _section("DUE", lines, none="Nothing is due.")


def _costs(brief: Brief, measures: Measures) -> list[str]:
    sheets = [cost_sheet(table, measures) for table in (brief.cost_by_machine, brief.cost_by_season)]
    lines = []
    for sheet in sheets:
        cut = [row for row in sheet.rows if row.area > 0]
        if cut:
            short = replace(sheet, rows=cut, elsewhere=None, foot=None).only(*SHORT)
            lines += [*table_lines(short), ""]
    title = f"COST PER {'HECTARE' if measures.settings.is_metric else 'ACRE'}"
    return _section(title, [*lines, sheets[1].headline] if lines else [], none="Nothing has been cut yet.")


def brief_json(brief: Brief) -> dict[str, Any]:
    """Return the whole page as JSON."""
    measures = Measures(brief.settings)
    names = {machine.id: machine.name for machine in brief.machines}
    season = brief.progress.season
    return {
        "farm": brief.settings.farm_name or None,
        "as_of": brief.as_of,
        "season": season.harvest_year if season else None,
        "cut": round(measures.area_number(brief.progress.cut), 1),
        "cut_unit": measures.area_unit,
        **sheet_json(_standing(brief, measures)),
        **sheet_json(wear_sheet(brief.wear.kinds, brief.machines, brief.wear.ahead, measures)),
        **sheet_json(stock_sheet(brief.shelves, {}, measures)),
        **sheet_json(fault_sheet(brief.faults, names, measures)),
        **sheet_json(service_sheet(brief.services, names, measures)),
        "cost_by_machine": sheet_json(cost_sheet(brief.cost_by_machine, measures)),
        "cost_by_season": sheet_json(cost_sheet(brief.cost_by_season, measures)),
    }
