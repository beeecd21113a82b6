"""The wear table in words: how often kinds break, how old what is fitted now is, and the same as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.machines import Machine
from wearlog.present.digits import NOTHING, Measures, number, significant
from wearlog.present.json_form import rounded
from wearlog.present.tables import Column, text_table
from wearlog.present.words import word
from wearlog.reckoning.wear_table import ComponentWear, KindWear, breakages_per_area

#: a unit as the end of a JSON key
_JSON_UNIT = {"ac": "acres", "ha": "hectares", "h": "hours"}


def wear_lines(rows: Sequence[KindWear], measures: Measures) -> list[str]:
    """Return the table of kinds: breakages per 1,000 acres, and what they rest on."""
    columns = (
        Column("part", widest=28),
        Column("worn by", widest=16),
        Column(f"broke per {measures.per_thousand_unit()}", figures=True),
        Column("breakages", figures=True),
        Column("by impact", figures=True),
        Column("parts fitted", figures=True),
        Column("oldest now", figures=True),
    )
    return text_table(columns, [_kind_cells(row, measures) for row in rows])


def _kind_cells(row: KindWear, measures: Measures) -> tuple[str, ...]:
    ages = [component.oldest for component in row.components if component.oldest is not None]
    return (
        row.name,
        word(row.meter_kind),
        significant(measures.per_thousand(breakages_per_area(row))) if row.area > 0 else NOTHING,
        number(row.breakages),
        number(row.impacts),
        number(row.lives),
        measures.usage(row.meter_kind, max(ages)) if ages else NOTHING,
    )


def component_lines(row: KindWear, machines: Sequence[Machine], measures: Measures) -> list[str]:
    """Return the components of one kind with their ages."""
    names = {machine.id: machine.name for machine in machines}
    columns = (
        Column("machine", widest=20),
        Column("place", widest=28),
        Column("positions", figures=True),
        Column("oldest", figures=True),
        Column("half are over", figures=True),
        Column("age unknown", figures=True),
        Column("breakages", figures=True),
        Column("last broke"),
    )
    return text_table(columns, [_component_cells(one, row.meter_kind, names, measures) for one in row.components])


def _component_cells(
    one: ComponentWear, kind: MeterKind, names: dict[UUID, str], measures: Measures
) -> tuple[str, ...]:
    return (
        names.get(one.machine_id, NOTHING),
        one.place,
        number(one.positions),
        measures.usage(kind, one.oldest),
        measures.usage(kind, one.middle) if one.positions > 1 else NOTHING,
        number(one.unknown) if one.unknown else NOTHING,
        number(one.breakages),
        measures.day(one.last_breakage),
    )


def wear_json(rows: Sequence[KindWear], machines: Sequence[Machine], measures: Measures) -> dict[str, Any]:
    """Return the wear table as JSON."""
    names = {machine.id: machine.name for machine in machines}
    return {"kinds": [_kind_json(row, names, measures) for row in rows]}


def _kind_json(row: KindWear, names: dict[UUID, str], measures: Measures) -> dict[str, Any]:
    unit = _JSON_UNIT[measures.usage_unit(row.meter_kind)]
    area = _JSON_UNIT[measures.area_unit]
    rate = measures.per_thousand(breakages_per_area(row)) if row.area > 0 else None
    return {
        "kind": row.name,
        "machine": None,
        "meter": row.meter_kind,
        "failures": row.breakages,
        "impacts": row.impacts,
        "lives": row.lives,
        f"exposure_{unit}": rounded(measures.usage_number(row.meter_kind, row.exposure), 1),
        f"breakages_per_1000_{area}": rounded(rate),
        "now": [
            {
                "component": one.place,
                "machine": names.get(one.machine_id),
                "positions": one.positions,
                f"oldest_age_{unit}": _age(one.oldest, row.meter_kind, measures),
                f"median_age_{unit}": _age(one.middle, row.meter_kind, measures),
                "age_unknown": one.unknown,
                "breakages": one.breakages,
                "last_breakage": None if one.last_breakage is None else measures.local(one.last_breakage),
            }
            for one in row.components
        ],
    }


def _age(usage: float | None, kind: MeterKind, measures: Measures) -> float | None:
    return None if usage is None else rounded(measures.usage_number(kind, usage), 1)
