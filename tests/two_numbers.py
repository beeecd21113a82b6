"""The demo fleet with two part numbers of knife sections: every second one is of a number that costs four times as much."""

from __future__ import annotations

from dataclasses import replace

from wearlog.facts.parts import Part, PartFit, PartKind
from wearlog.facts.wearing import Component, Fitting
from wearlog.logbook.open_log import opened
from wearlog.logbook.saving import save
from wearlog.store.finding import find_all


def note_two_numbers(file: str) -> None:
    """Write the second number into a log of the demo fleet."""
    with opened(file) as store, store.writing() as connection:
        kind = next(one for one in find_all(connection, PartKind) if one.name == "knife section")
        on = {one.id for one in find_all(connection, Component) if one.part_kind_id == kind.id}
        dear = Part(number="QF-1011", name="knife section, hard", price_minor=2990, supplier="Millpond Supply")
        fitted = [one for one in find_all(connection, Fitting) if one.component_id in on and one.part_id is not None]
        changed = [replace(one, part_id=dear.id) for one in fitted if one.position % 2]
        save(store, connection, "two", new=[dear, PartFit(part_id=dear.id, part_kind_id=kind.id)], changed=changed)
