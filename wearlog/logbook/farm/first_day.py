"""Beginning a log: with the trade's part kinds alone, or on the first day with a combine, a header, its knife and first readings.

Each is one deed, or nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import Doing, MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import check_setting, farm_settings
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Component, Fitting
from wearlog.facts.work import Season
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.farm.farm_setting import new_setting, setting_rows
from wearlog.logbook.farm.first_answers import FirstDay, first_seasons
from wearlog.logbook.farm.machines import METERS
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.parts.fitting import all_positions
from wearlog.logbook.saving import Done, cleaned, save
from wearlog.store.finding import find_all, find_many
from wearlog.store.journal import rows_changed_since
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location, copies_words, locate
from wearlog.store.opening import Store, create_store, open_store

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
            # one without any may lie there of a first day that was broken off, or taken back
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


def _season(year: int) -> Season:
    return Season(harvest_year=year, starts_on=date(year, 1, 1), ends_on=date(year + 1, 1, 1))


def first_facts(day: FirstDay) -> list[Fact]:
    """Return everything that the first day enters."""
    for key, content in day.settings:
        check_setting(key, content)
    combine = Machine(name=day.combine, kind=MachineKind.COMBINE)
    header = Machine(name=day.header, kind=MachineKind.HEADER, cut_width_micrometres=day.width_micrometres)
    facts: list[Fact] = [new_setting(key, content) for key, content in day.settings]
    facts += [combine, header, *(_season(year) for year in first_seasons(day))]
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
        ages = dict(day.part_ages)
        for kind, place in USUAL_WEARING_PARTS:
            # where nobody said the age of what came with the machine it is not known: a guess would count as a record
            facts += _fitted(combine, kind, place, 1, ages.get(_kind(kind).meter_kind), day.at)
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


#: the ids of the starting kinds, which are derived from their names and so the same in every log
KINDS_BY_ID = tuple(kind.id for kind in STARTING_KINDS)

_METERS = {kind.id: kind.meter_kind for kind in STARTING_KINDS}


def start_log(location: Location) -> Store:
    """Make a new log with the starting kinds in it and return it open. RefusedError when there is one already."""
    store = create_store(location)
    with store.writing() as connection:
        record(
            connection,
            device=store.device,
            said=f"began the log with {len(STARTING_KINDS)} kinds of part and their starting guesses",
            entries=[Entry(kind) for kind in STARTING_KINDS],
        )
    return store


def bring_kinds(store: Store) -> list[str]:
    """Bring the starting kinds that the log lacks, and the guesses of those that nobody has touched, to this program's.

    One deed, undone like any other; returns what was done in words, nothing where there was nothing to do. A kind that was taken
    away stays away, one that was changed by hand stays as it is.
    """
    with store.writing() as connection:
        there = {kind.id: kind for kind in find_many(connection, PartKind, KINDS_BY_ID, voided_too=True)}
        fresh = [kind for kind in STARTING_KINDS if kind.id not in there]
        touched = rows_changed_since(connection, there)
        # the ages of parts that are on count on the meter that their kind had when they were entered
        touched |= {
            one.part_kind_id
            for one in find_all(connection, Component)
            if one.part_kind_id in there and there[one.part_kind_id].meter_kind is not _METERS[one.part_kind_id]
        }
        better = [
            kind for kind in STARTING_KINDS if kind.id in there and kind.id not in touched and there[kind.id] != kind
        ]
        if not fresh and not better:
            return []
        said = f"brought {counted(len(fresh))} of part and {len(better)} newer starting guesses"
        entries = [*map(Entry, fresh), *(Entry(kind, Doing.EDITED) for kind in better)]
        record(connection, device=store.device, said=said, entries=entries)
    return [f"{said[:1].upper()}{said[1:]}; 'wearlog undo' takes that back."]


def counted(count: int) -> str:
    return "1 new kind" if count == 1 else f"{count} new kinds"


def open_or_start(location: Location) -> Store:
    """Open the log, or begin one where there is none yet.

    Raises
    ------
    NotFoundError
        When there is none but copies of one lie there: whoever begins anew beside them would miss the old log too late.
    """
    try:
        return open_store(location)
    except NotFoundError:
        if location.file is not None and copies_words(location.file):
            raise
        return start_log(location)
