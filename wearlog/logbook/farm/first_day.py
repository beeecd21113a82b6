"""The first day: a log begun with one combine, one header, its knife and its first readings, all in one deed or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import check_setting, farm_settings
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Component, Fitting
from wearlog.facts.work import Season
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.farm.farm_setting import new_setting, setting_rows
from wearlog.logbook.farm.first_answers import FirstDay
from wearlog.logbook.farm.machines import METERS
from wearlog.logbook.farm.starting import open_or_start
from wearlog.logbook.name_book import KnownNames
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.fitting import all_positions
from wearlog.logbook.saving import Done, cleaned, save
from wearlog.store.location import locate

#: kind -> what its place on the combine is called; those wearing parts for which the trade has a starting guess of life
USUAL_WEARING_PARTS: Final = (
    ("feeder conveyor chain", "feeder house chain"),
    ("rasp bars", "rasp bars"),
    ("concave", "concave"),
    ("clean grain elevator chain", "clean grain elevator chain"),
    ("auger flighting", "clean grain auger flighting"),
    ("chopper blades", "chopper blades"),
    ("main drive belt", "main drive belt"),
    ("wiring harness", "wiring harness"),
)


def begin_farm(location_text: str, day: FirstDay) -> Done:
    """Begin a log with all this in it, as one deed; an empty log that is there already is taken.

    Everything is checked before the file is made, so that a refusal leaves nothing behind.

    Raises
    ------
    RefusedError
        When something cannot be believed, or there are machines in the log already.
    """
    facts = [cleaned(fact) for fact in first_facts(day)]
    own = farm_settings(fact for fact in facts if isinstance(fact, Setting))
    findings = unsound(facts, KnownNames(part_kinds=STARTING_KINDS), own)
    if findings:
        raise RefusedError(findings[0].message, findings[0].hint)
    store = open_or_start(locate(location_text))
    try:
        with store.writing() as connection:
            known = known_names(connection)
            if known.machines:
                raise RefusedError("There are machines in this log already.", "Add others with 'wearlog add'.")
            there = {row.key for row in known.settings}
            # what a first day set that was taken back has its row still
            fresh, back = setting_rows(connection, {key: said for key, said in day.settings if key not in there})
            new = [*fresh, *(fact for fact in facts if not isinstance(fact, Setting))]
            said = f"first day: {day.combine} and {day.header} with a knife of {day.sections} sections"
            return save(store, connection, said, new=new, changed=back, known=known)
    finally:
        store.close()


def first_facts(day: FirstDay) -> list[Fact]:
    """Return everything that the first day enters."""
    for key, content in day.settings:
        check_setting(key, content)
    combine = Machine(name=day.combine, kind=MachineKind.COMBINE)
    header = Machine(name=day.header, kind=MachineKind.HEADER, cut_width_micrometres=day.width_micrometres)
    facts: list[Fact] = [new_setting(key, content) for key, content in day.settings]
    year = day.at.astimezone().year
    facts += [combine, header, Season(harvest_year=year, starts_on=date(year, 1, 1), ends_on=date(year + 1, 1, 1))]
    shown = {MeterKind.ENGINE_HOURS: day.engine_seconds, MeterKind.SEPARATOR_HOURS: day.separator_seconds}
    for machine in (combine, header):
        meters = [Meter(machine_id=machine.id, kind=kind) for kind in METERS[machine.kind]]
        facts += meters
        facts += [
            Reading(meter_id=meter.id, at=day.at, shown_usage=usage)
            for meter in meters
            if machine is combine and (usage := shown.get(meter.kind)) is not None
        ]
    if day.is_hitched:
        facts.append(Hitch(header_id=header.id, combine_id=combine.id, from_at=day.at))
    facts += _fitted(header, "knife section", "knife", day.sections, day.knife_age, day.at)
    if day.guards:
        facts += _fitted(header, "guard", "guards", day.guards, day.guard_age, day.at)
    if day.with_wearing_parts:
        for kind, place in USUAL_WEARING_PARTS:
            facts += _fitted(combine, kind, place, 1, None, day.at)
    return facts


def _fitted(machine: Machine, kind: str, place: str, positions: int, age: int | None, at: datetime) -> Sequence[Fact]:
    component = Component(machine_id=machine.id, part_kind_id=_kind(kind).id, place=place, positions=positions)
    fittings = [
        Fitting(component_id=component.id, position=position, fitted_at=at, age_when_fitted_usage=age)
        for position in all_positions(component)
    ]
    return [component, *fittings]


def _kind(name: str) -> PartKind:
    return next(kind for kind in STARTING_KINDS if kind.name == name)
