"""How a written sheet names the rows it points at: by words a person knows where they are the row's own, else by its id."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from uuid import UUID

from wearlog.exchange.cell_text import guarded
from wearlog.exchange.columns import By, Form, SheetColumn
from wearlog.exchange.heading_units import Measure
from wearlog.exchange.headings import helpers_of
from wearlog.exchange.named_rows import name_part
from wearlog.exchange.sheet_rows import NAME_FIELDS
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.closed_lists import MeterKind, Sensor
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import folded


class WrittenNames:
    """Knows every row that is written, so that cells can name them."""

    def __init__(self, facts: Mapping[str, Sequence[Fact]]) -> None:
        self._rows: dict[UUID, Fact] = {}
        self._uses: Counter[tuple[object, ...]] = Counter()
        for sheet, rows in facts.items():
            names = NAME_FIELDS.get(sheet)
            for fact in rows:
                self._rows[fact.id] = fact
                if names:
                    self._uses[sheet, *self._name(fact, names)] += 1

    def pointing_cells(self, sheet: str, fact: Fact) -> dict[str, str]:
        """Return what stands under the headings of a row's pointers and of their helpers."""
        columns = [column for column in SHEETS[sheet] if column.form is Form.POINTER]
        cells = dict.fromkeys(helpers_of(SHEETS[sheet]), "")
        # a column of the row's own (the machine of a repair) says which machine the others are on
        own = {column.heading for column in columns if column.by in (By.NAME, By.KEY)}
        for column in sorted(columns, key=lambda column: column.heading not in own):
            target = self._rows.get(getattr(fact, column.field) or fact.id)
            if getattr(fact, column.field) is None:
                cells.setdefault(column.heading, "")
            elif target is None or column.by is By.KEY:
                cells[column.heading] = str(getattr(fact, column.field))
            else:
                self._name_it(cells, column, target, own)
        return cells

    def measure_of(self, fact: Fact) -> Measure:
        """Return the meter and the sensor by which the amounts of a row count."""
        kind, sensor = getattr(fact, "meter_kind", None), getattr(fact, "sensor", None)
        meter = self._rows.get(getattr(fact, "meter_id", fact.id))
        component = self._rows.get(getattr(fact, "component_id", None) or fact.id)
        if hasattr(fact, "meter_id"):
            kind = getattr(meter, "kind", None)
        elif component is not None and hasattr(component, "part_kind_id"):
            kind = getattr(self._rows.get(component.part_kind_id), "meter_kind", None)
        return Measure(
            meter=kind if isinstance(kind, MeterKind) else None, sensor=sensor if isinstance(sensor, Sensor) else None
        )

    def _name(self, fact: Fact, names: Iterable[str]) -> tuple[object, ...]:
        return tuple(name_part(getattr(fact, name)) for name in names)

    def _is_own(self, sheet: str, fact: Fact) -> bool:
        """Tell whether the name of a row is no other row's, and no empty text that would name none."""
        name = self._name(fact, NAME_FIELDS[sheet])
        return self._uses[sheet, *name] == 1 and (bool(name[-1]) or sheet == "season_plan")

    def _name_it(self, cells: dict[str, str], column: SheetColumn, target: Fact, own: set[str]) -> None:
        sheet = column.target
        fields = NAME_FIELDS[sheet]
        written = guarded(str(getattr(target, fields[-1])))
        if not self._is_own(sheet, target):
            cells[column.heading] = str(target.id)
        elif len(fields) == 1:
            cells[column.heading] = written
        else:
            helper = "season" if column.by is By.PLAN else "machine"
            owner = self._rows.get(getattr(target, fields[0]))
            owner_cell = self._owner_cell(helper, owner)
            taken = cells.get(helper, "") if helper in own or cells.get(helper) else owner_cell
            if owner is None or not owner_cell or folded(taken) != folded(owner_cell):
                cells[column.heading] = str(target.id)
            else:
                cells[helper], cells[column.heading] = owner_cell, written

    def _owner_cell(self, sheet: str, owner: Fact | None) -> str:
        if owner is None or not self._is_own(sheet, owner):
            return ""
        return guarded(str(getattr(owner, NAME_FIELDS[sheet][0])))
