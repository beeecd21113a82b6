"""The headings of a sheet in any order and case, every unknown one reported, and what a row of each sheet becomes.

The list of the sheets' own headings is in sheets.py.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from types import MappingProxyType
from typing import Final

from wearlog.exchange.columns import By, SheetColumn, heading_with, units_of
from wearlog.exchange.raw_sheet import ProblemList, RawSheet, SheetProblem, column_letter
from wearlog.exchange.sheets import SHEETS
from wearlog.facts import bookkeeping, electrics, machines, parts, quality, wearing, work
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import folded
from wearlog.facts.unit_words import UNIT_WORDS

KEY: Final = "key"

#: headings that help a pointer to name its row, besides the pointer's own
_HELPERS: Final = {
    By.METER: ("machine",),
    By.COMPONENT: ("machine",),
    By.SERVICE: ("machine",),
    By.NODE: ("machine",),
    By.SHARED_NODE: ("machine",),
    By.PLAN: ("season",),
}

#: months and days stand in headings for themselves (interval_months); a per cent is written out
_UNIT_WORDS: Final = {
    **{word: unit for word, unit in UNIT_WORDS.items() if unit not in ("d", "wk", "mo", "y", "%", "km/h")},
    "percent": "pct",
}


@dataclass(frozen=True, slots=True)
class BoundColumn:
    """A column of the format found at `index` of a sheet, in `unit`, under `heading` as it is written there."""

    index: int
    heading: str
    column: SheetColumn
    unit: str


@dataclass(frozen=True, slots=True)
class Bindings:
    """All columns of a sheet that were found. `helpers` are (heading, index) of what helps pointers, and of the key."""

    bound: tuple[BoundColumn, ...]
    helpers: tuple[tuple[str, int], ...]
    width: int

    def index_of(self, heading: str) -> int | None:
        """Return where a helping heading or the key stands; None when the sheet has none."""
        return dict(self.helpers).get(heading)


def helpers_of(columns: tuple[SheetColumn, ...]) -> tuple[str, ...]:
    """Return the headings that the pointers of a sheet need and that fill no field themselves."""
    return tuple(dict.fromkeys(one for column in columns if column.by for one in _HELPERS.get(column.by, ())))


def normal_heading(text: str) -> str:
    """Return a heading in the format's own spelling: "Area (acres)" is area_ac."""
    words = folded(text.replace("\ufeff", "")).replace("\u00b2", "2").replace("/", " per ").replace("%", " pct ")
    pieces = re.sub(r"[^0-9a-z]+", " ", words).split()
    return "_".join(_UNIT_WORDS.get(piece, piece) if place else piece for place, piece in enumerate(pieces))


def bind(raw: RawSheet, problems: ProblemList) -> Bindings:
    """Find the columns of a sheet; what is unknown, doubled or missing goes to `problems`."""
    columns = SHEETS[raw.name]
    wanted = {heading: (column, unit) for column in columns for heading, unit in _spellings(column)}
    helping = {KEY, *helpers_of(columns)}
    bound: list[BoundColumn] = []
    helpers: dict[str, int] = {}
    seen: dict[str, int] = {}
    width = max((index + 1 for index, text in enumerate(raw.headings) if text.strip()), default=0)
    for index, text in enumerate(raw.headings[:width]):
        heading = normal_heading(text)
        if not heading:
            continue
        if heading in seen:
            _report(raw, problems, index, text, f"The heading '{text.strip()}' stands twice.", "Remove one of them.")
            continue
        seen[heading] = index
        if heading in helping:
            helpers[heading] = index
        if heading in wanted:
            bound.append(BoundColumn(index, text.strip(), *wanted[heading]))
        elif heading not in helping:
            _unknown(raw, problems, index, text.strip(), heading, [*wanted, *helping])
    _missing(raw, problems, bound, set(seen))
    return Bindings(tuple(bound), tuple(helpers.items()), width)


def _spellings(column: SheetColumn) -> Iterator[tuple[str, str]]:
    for unit in units_of(column):
        yield heading_with(column, unit), unit
    if column.also:
        yield column.also, ""


def _unknown(raw: RawSheet, problems: ProblemList, index: int, text: str, heading: str, headings: list[str]) -> None:
    with_units = [one for one in headings if one.startswith(f"{heading}_")]
    if with_units and any(heading == column.heading for column in SHEETS[raw.name]):
        said, hint = f"The heading '{text}' needs its unit.", f"Write {_listing(with_units)}."
    else:
        close = get_close_matches(heading, headings, n=1, cutoff=0.6)
        said = f"There is no heading '{text}' in the sheet {raw.name}."
        hint = f"Did you mean {close[0]}?" if close else f"It can have: {', '.join(dict.fromkeys(headings))}."
    _report(raw, problems, index, text, said, hint)


def _missing(raw: RawSheet, problems: ProblemList, bound: list[BoundColumn], seen: set[str]) -> None:
    found = {one.column.field for one in bound}
    for column in SHEETS[raw.name]:
        spellings = [heading for heading, _ in _spellings(column)]
        if not column.needed or column.field in found or column.heading in seen:
            continue
        said = f"The heading {_listing(spellings[:3])} is missing from the sheet {raw.name}."
        problems.add(SheetProblem(said, "Add the column.", raw.file, raw.heading_line))


def _listing(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _report(raw: RawSheet, problems: ProblemList, index: int, text: str, said: str, hint: str) -> None:
    problems.add(SheetProblem(said, hint, raw.file, raw.heading_line, column_letter(index), text.strip()))


#: sheet -> the fact each of its rows becomes
FACT_OF_SHEET: MappingProxyType[str, type[Fact]] = MappingProxyType(
    {
        "setting": bookkeeping.Setting,
        "person": bookkeeping.Person,
        "machine": machines.Machine,
        "hitch": machines.Hitch,
        "meter": machines.Meter,
        "reading": machines.Reading,
        "field": work.Field,
        "crop": work.Crop,
        "season": work.Season,
        "run": work.Run,
        "part_kind": parts.PartKind,
        "part": parts.Part,
        "part_fit": parts.PartFit,
        "component": wearing.Component,
        "fitting": wearing.Fitting,
        "repair": wearing.Repair,
        "breakage": wearing.Breakage,
        "measurement": wearing.Measurement,
        "stoppage": work.Stoppage,
        "service_item": machines.ServiceItem,
        "service_done": machines.ServiceDone,
        "supplier": parts.Supplier,
        "supplier_hours": parts.SupplierHours,
        "supply": parts.Supply,
        "supply_asked": parts.SupplyAsked,
        "part_order": parts.PartOrder,
        "warranty_claim": parts.WarrantyClaim,
        "stock_move": parts.StockMove,
        "circuit_node": electrics.CircuitNode,
        "circuit_edge": electrics.CircuitEdge,
        "circuit_cut": electrics.CircuitCut,
        "fault": electrics.Fault,
        "fault_visit": electrics.FaultVisit,
        "fault_sign": electrics.FaultSign,
        "fault_check": electrics.FaultCheck,
        "fault_finding": electrics.FaultFinding,
        "fault_opening": electrics.FaultOpening,
        "calibration": quality.Calibration,
        "loss_check": quality.LossCheck,
        "moisture_sample": quality.MoistureSample,
        "season_plan": work.SeasonPlan,
        "planned_area": work.PlannedArea,
        "plan_choice": work.PlanChoice,
    }
)

#: sheets whose rows have a name of their own -> the fields that make it; a row of an existing name is that row
NAME_FIELDS: MappingProxyType[str, tuple[str, ...]] = MappingProxyType(
    {
        "setting": ("key",),
        "person": ("name",),
        "machine": ("name",),
        "meter": ("machine_id", "kind"),
        "field": ("name",),
        "crop": ("name",),
        "season": ("harvest_year",),
        "part_kind": ("name",),
        "part": ("number",),
        "component": ("machine_id", "place"),
        "service_item": ("machine_id", "name"),
        "supplier": ("name",),
        "circuit_node": ("machine_id", "name"),
        "season_plan": ("season_id", "name"),
    }
)

#: sheet -> the fields of its fact that its columns can say; what only hands or the program enter stays as it is in the log
FIELDS_OF_SHEET: MappingProxyType[str, frozenset[str]] = MappingProxyType(
    {sheet: frozenset({"id", "voided", *(column.field for column in columns)}) for sheet, columns in SHEETS.items()}
)

#: sheets that others point at by key: their rows are kept at hand too
KEYED_SHEETS: Final = ("repair", "breakage", "service_done", "part_order", "fault", "fault_visit")

#: other sheets -> the fields by which a row without a key is known again when the sheet is imported once more
OWN_FIELDS: MappingProxyType[str, tuple[str, ...]] = MappingProxyType(
    {
        "hitch": ("header_id", "combine_id", "from_at"),
        "reading": ("meter_id", "at", "new_leg"),
        "run": ("combine_id", "started_at", "field_id"),
        "part_fit": ("part_id", "part_kind_id", "machine_id"),
        "fitting": ("component_id", "position", "fitted_at"),
        "repair": ("machine_id", "kind", "started_at", "component_id"),
        "breakage": ("component_id", "positions", "at"),
        "measurement": ("component_id", "position", "at"),
        "supplier_hours": ("supplier_id", "weekday", "opens_seconds"),
        "supply": ("part_id", "supplier_id"),
        "supply_asked": ("supplier_id", "part_id", "at"),
        "part_order": ("part_id", "supplier_id", "ordered_at"),
        "warranty_claim": ("breakage_id", "sent_at"),
        "stock_move": ("part_id", "at", "change", "repair_id", "breakage_id"),
        "stoppage": ("machine_id", "started_at"),
        "service_done": ("service_item_id", "at"),
        "circuit_edge": ("from_node_id", "to_node_id"),
        "circuit_cut": ("machine_id", "node_id"),
        "fault": ("machine_id", "opened_at", "title"),
        "fault_visit": ("fault_id", "started_at"),
        "fault_sign": ("fault_id", "node_id", "sign", "spn", "fmi"),
        "fault_check": ("fault_id", "step"),
        "fault_finding": ("fault_id", "node_id", "at"),
        "fault_opening": ("fault_id", "node_id", "opened", "at"),
        "calibration": ("machine_id", "sensor", "at"),
        "loss_check": ("combine_id", "field_id", "crop_id", "at"),
        "moisture_sample": ("field_id", "crop_id", "at"),
        "planned_area": ("season_plan_id", "field_id", "ground", "crop_id", "combine_id", "header_id"),
        "plan_choice": ("season_plan_id", "component_id", "positions"),
    }
)
