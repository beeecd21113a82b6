"""Entering where parts come from: a supplier with its road and hours, and whether it had a part when somebody asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from wearlog.facts.parts import Part, Supplier, SupplierHours, SupplyAsked
from wearlog.facts.plain_text import folded
from wearlog.logbook.names import known_names, pick
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_all
from wearlog.store.opening import Store


def enter_supplier(
    store: Store,
    name: str,
    *,
    distance_metres: int | None = None,
    phone: str = "",
    late_phone: str = "",
    late_fee_minor: int | None = None,
    opening: Mapping[int, tuple[int, int]] | None = None,
) -> Done:
    """Enter a supplier, or what is said of one that is there; what is not said stays. Hours that are said stand for all of them."""
    with store.writing() as connection:
        known = known_names(connection)
        there = next((one for one in known.suppliers if folded(one.name) == folded(name)), None)
        row = there or Supplier(name=name)
        row = replace(
            row,
            distance_metres=row.distance_metres if distance_metres is None else distance_metres,
            phone=phone or row.phone,
            after_hours_phone=late_phone or row.after_hours_phone,
            after_hours_fee_minor=row.after_hours_fee_minor if late_fee_minor is None else late_fee_minor,
        )
        gone = [] if opening is None or there is None else find_all(connection, SupplierHours, supplier_id=row.id)
        hours = [
            SupplierHours(supplier_id=row.id, weekday=day, opens_seconds=opens, closes_seconds=closes)
            for day, (opens, closes) in sorted((opening or {}).items())
        ]
        new = [*hours] if there else [row, *hours]
        said = f"{'changed' if there else 'entered'} the supplier {row.name}"
        return save(store, connection, said, new=new, changed=[row] if there else [], gone=gone, known=known)


def enter_asked(store: Store, part: Part, supplier: str, *, had_it: bool, at: datetime) -> Done:
    """Enter what a supplier said when it was asked for a part. NotFoundError, UsageError for a name that is none or several."""
    with store.writing() as connection:
        known = known_names(connection)
        found = pick(known.suppliers, lambda one: one.name, supplier, "supplier")
        said = f"{found.name} {'had' if had_it else 'did not have'} {part.number} {part.name}"
        asked = SupplyAsked(supplier_id=found.id, part_id=part.id, at=at, had_it=had_it)
        return save(store, connection, said, new=[asked], known=known)
