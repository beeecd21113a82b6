"""Writes the facts of a farm as CSV sheets in the import format: US units, names instead of ids, short keys. Makes no facts."""

from __future__ import annotations

import csv
import io
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any, Final
from uuid import UUID

from wearlog.exchange.columns import UNITS, By, Form, Measure, SheetColumn, heading_with, written_unit
from wearlog.exchange.headings import FACT_OF_SHEET, NAME_FIELDS
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.positions import format_positions
from wearlog.facts.wearing import Fitting
from wearlog.units import fewest_decimals

from .records import FARM_ZONE

Row = dict[str, str]

SHEET_OF: Final = {fact: sheet for sheet, fact in FACT_OF_SHEET.items()}
#: sheets whose rows get a key, because others point at them -> how it begins and the time it is numbered by
_KEYED: Final = {"repair": ("rep", "started_at"), "breakage": ("brk", "at"), "fault": ("flt", "opened_at")}
_TIMES: Final = ("at", "started_at", "from_at", "fitted_at", "opened_at")
#: pointer -> the field of the row pointed at that holds its owner, and the heading of the owner
_OWNERS: Final = {
    By.METER: ("machine_id", "machine"),
    By.COMPONENT: ("machine_id", "machine"),
    By.SERVICE: ("machine_id", "machine"),
    By.NODE: ("machine_id", "machine"),
    By.PLAN: ("season_id", "season"),
}
#: what people give in minutes, and in feet
_MINUTES: Final = ("separator", "labour", "usual_labour", "duration")
_FEET: Final = ("cut_width", "discharge_width")


class SheetWriter:
    """Knows all facts of a farm, so that rows can name one another."""

    def __init__(self, facts: Sequence[Fact]) -> None:
        self._rows: dict[UUID, Any] = {fact.id: fact for fact in facts}
        self._of_sheet: dict[str, list[Fact]] = defaultdict(list)
        for fact in facts:
            self._of_sheet[SHEET_OF[type(fact)]].append(fact)
        for rows in self._of_sheet.values():
            rows.sort(key=_when)
        self._keys = {row_id: key for sheet in _KEYED for row_id, key in self._numbered(sheet)}

    def write(self, folder: Path) -> None:
        """Write every sheet that has rows into `folder` as NAME.csv."""
        folder.mkdir(parents=True, exist_ok=True)
        for sheet in SHEETS:
            if self._of_sheet[sheet]:
                (folder / f"{sheet}.csv").write_text(self.text_of(sheet), encoding="utf-8", newline="")

    def text_of(self, sheet: str) -> str:
        """Return a sheet's rows as CSV text; headings of which no row says anything are left out."""
        rows = (
            self._fitting_rows() if sheet == "fitting" else [self._row(sheet, fact) for fact in self._of_sheet[sheet]]
        )
        headings = _headings(sheet, rows)
        text = io.StringIO()
        lines = csv.writer(text, lineterminator="\n")
        lines.writerow(headings)
        lines.writerows([row.get(heading, "") for heading in headings] for row in rows)
        return text.getvalue()

    def _numbered(self, sheet: str) -> Iterable[tuple[UUID, str]]:
        prefix, field = _KEYED[sheet]
        counts: Counter[int] = Counter()
        for fact in self._of_sheet[sheet]:
            year = getattr(fact, field).astimezone(FARM_ZONE).year
            counts[year] += 1
            yield fact.id, f"{prefix}-{year}-{counts[year]:03d}"

    def _row(self, sheet: str, fact: Fact) -> Row:
        row: Row = {"key": self._keys[fact.id]} if fact.id in self._keys else {}
        for column in SHEETS[sheet]:
            value = getattr(fact, column.field)
            if column.form is Form.POINTER:
                row.update(self._pointer(column, value))
            elif value is not None or column.form is Form.AGE:
                unit = self._unit(column, fact)
                row[heading_with(column, unit)] = _written(column.form, unit, value)
        return row

    def _fitting_rows(self) -> list[Row]:
        """One row for all positions that were fitted and taken off together."""
        together: dict[tuple[object, ...], list[Fitting]] = defaultdict(list)
        for fact in self._of_sheet["fitting"]:
            assert isinstance(fact, Fitting)
            same = (fact.component_id, fact.fitted_at, fact.age_when_fitted_usage, fact.removed_at, fact.removal)
            together[same].append(fact)
        rows = []
        for fittings in together.values():
            row = self._row("fitting", fittings[0])
            row["position"] = format_positions(fitting.position for fitting in fittings)
            rows.append(row)
        return rows

    def _pointer(self, column: SheetColumn, value: UUID | None) -> Row:
        if value is None:
            return {}
        if column.by is By.KEY:
            return {column.heading: self._keys[value]}
        target = self._rows[value]
        row = {column.heading: str(getattr(target, NAME_FIELDS[column.target][-1]))}
        if column.by in _OWNERS:
            field, heading = _OWNERS[column.by]
            owner = self._rows[getattr(target, field)]
            row[heading] = str(getattr(owner, "name", getattr(owner, "harvest_year", "")))
        return row

    def _unit(self, column: SheetColumn, fact: Any) -> str:
        if column.form is Form.DURATION and column.heading in _MINUTES:
            return "min"
        if column.form is Form.LENGTH and column.heading in _FEET:
            return "ft"
        return written_unit(column, "us", Measure(meter=self._meter(fact), sensor=getattr(fact, "sensor", None)))

    def _meter(self, fact: Any) -> MeterKind | None:
        """Return the meter that an amount of this row counts on: its kind's, its meter's, or the one it names."""
        if hasattr(fact, "component_id") and fact.component_id is not None:
            fact = self._rows[self._rows[fact.component_id].part_kind_id]
        kind = self._rows[fact.meter_id].kind if hasattr(fact, "meter_id") else getattr(fact, "meter_kind", None)
        return kind if isinstance(kind, MeterKind) else None


def _when(fact: Fact) -> datetime:
    times = (getattr(fact, field, None) for field in _TIMES)
    return next((time for time in times if isinstance(time, datetime)), datetime.min.replace(tzinfo=UTC))


def _written(form: Form, unit: str, value: Any) -> str:
    if form is Form.AGE and not value:
        return "unknown" if value is None else ""
    if form is Form.INSTANT:
        return f"{value.astimezone(UTC):%Y-%m-%d %H:%M}Z"
    if form is Form.FLAG:
        return "yes" if value else ""
    if form is Form.POSITIONS:
        return format_positions([value] if isinstance(value, int) else value)
    if form in (Form.SEVERAL, Form.WORDS):
        return ", ".join(value)
    if isinstance(value, date):
        return value.isoformat()
    factor = UNITS[form][unit] if form in UNITS else Decimal(1)
    return str(value) if factor == 1 else f"{fewest_decimals(value, factor):f}"


def _headings(sheet: str, rows: Sequence[Row]) -> list[str]:
    """Return the headings that some row fills, in the order of the format, owners before what they own."""
    filled = {heading for row in rows for heading, text in row.items() if text}
    wanted = ["key"]
    for column in SHEETS[sheet]:
        if column.by in _OWNERS:
            wanted.append(_OWNERS[column.by][1])
        wanted += [heading_with(column, unit) for unit in UNITS.get(column.form, {"": Decimal(1)})]
    return [heading for heading in dict.fromkeys(wanted) if heading in filled]
