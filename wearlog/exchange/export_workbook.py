"""The log as workbooks: a worksheet for each table as import takes it, and all lists of the farm as the screens show them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from wearlog.errors import RefusedError
from wearlog.exchange.columns import System
from wearlog.exchange.export import Exported, sheet_lines
from wearlog.exchange.found_files import cell_text
from wearlog.exchange.instants import FarmClock, farm_zone
from wearlog.exchange.order_files import whole_file
from wearlog.exchange.sheet_files import fill_worksheet
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.farm_settings import farm_settings
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.costs.cost_sheet import cost_sheet
from wearlog.present.digits import Measures
from wearlog.present.faults.fault_sheet import fault_sheet
from wearlog.present.parts.stock_sheet import stock_sheet
from wearlog.present.plan.plan_line_sheet import plan_line_sheet, undecided_line_sheet
from wearlog.present.plan.spare_sheet import order_sheets, spare_sheet
from wearlog.present.wear.wear_sheet import wear_sheet
from wearlog.present.work.service_sheet import service_sheet
from wearlog.reckoning.costs.costs import CostTable
from wearlog.reckoning.faults.fault_list import FaultLine
from wearlog.reckoning.parts.stock import ShelfView
from wearlog.reckoning.plan.season_plan import SeasonPlanView
from wearlog.reckoning.work.services_due import ServiceDue

if TYPE_CHECKING:
    from datetime import tzinfo

    from wearlog.facts.fact import Fact
    from wearlog.store.opening import Store


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


ENDING: Final = ".xlsx"

#: a worksheet holds no more
_MOST_ROWS: Final = 1_048_576

_MOST_LETTERS: Final = 32_767

_NUMBER: Final = re.compile(r"-?\d+(\.\d+)?")

#: what a workbook would read as the code of a letter
_CODE: Final = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")


def export_workbook(store: Store, file: Path, *, units: System = "us") -> Exported:
    """Write every fact that counts into one workbook, a worksheet for each table that has any.

    Parameters
    ----------
    units : "us" or "metric"
        The units of the headings; the numbers give back exactly what is stored.

    Raises
    ------
    RefusedError
        When the file cannot be written, or a table has more rows than a worksheet holds.
    """
    from wearlog.logbook.files import importing

    facts = importing.everything(store)
    settings = farm_settings(fact for fact in facts.get("setting", ()) if isinstance(fact, Setting))
    return write_workbook(facts, file, units=units, time_zone=farm_zone(settings.time_zone))


def write_workbook(facts: Mapping[str, Sequence[Fact]], file: Path, *, units: System, time_zone: tzinfo) -> Exported:
    """Write facts, by table, into one workbook, whole or not at all. Errors as `export_workbook`."""
    from openpyxl import Workbook

    file = _workbook_name(file)
    book, counts = Workbook(), []
    assert book.active is not None
    book.remove(book.active)
    for sheet, lines in sheet_lines(facts, units, FarmClock(time_zone)):
        page, rows = book.create_sheet(sheet), 0
        page.freeze_panes = "A2"
        for rows, line in enumerate(lines, 0):
            if rows >= _MOST_ROWS:
                raise RefusedError(
                    f"A worksheet holds {_MOST_ROWS:,} rows, and {sheet} has more.",
                    "Write a folder of CSV files instead.",
                )
            page.append([_cell(text) for text in line])
        counts.append((sheet, rows))
    if not counts:
        book.create_sheet("empty")
    with whole_file(file) as part:
        book.save(part)
    return Exported(file, tuple(counts))


def write_answers(sheets: Iterable[AnswerSheet[Any]], file: Path) -> int:
    """Write answers into one workbook, a worksheet for each, and return how many rows there are.

    Raises
    ------
    RefusedError
        When the file cannot be written.
    """
    from openpyxl import Workbook

    file, book, rows = _workbook_name(file), Workbook(), 0
    assert book.active is not None
    book.remove(book.active)
    for sheet in sheets:
        title = re.sub(r"[\[\]:*?/\\]", " ", sheet.caption or sheet.name)[:31].strip()
        fill_worksheet(book.create_sheet(title), sheet)
        rows += len(sheet.rows)
    with whole_file(file) as part:
        book.save(part)
    return rows


def _workbook_name(file: Path) -> Path:
    if Path(file).suffix.casefold() != ENDING:
        raise RefusedError(f"{Path(file).name} is not the name of a workbook.", "Let it end in .xlsx.")
    return Path(file)


def _cell(text: str) -> float | int | str | None:
    """A number where a workbook gives back the same letters of it, else text: nothing is rounded, no code loses its zeros."""
    if not text:
        return None
    if _NUMBER.fullmatch(text):
        value = float(text)
        if cell_text(value) == text:
            return int(value) if value.is_integer() else value
    if len(text) > _MOST_LETTERS:
        raise RefusedError(
            f"A cell of a workbook holds {_MOST_LETTERS:,} letters, and a note has more.",
            "Write a folder of CSV files instead.",
        )
    return _CODE.sub("_x005F_", text)
