"""Any row of any sheet entered by hand, with what follows from it, and found again by the number that a person types."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.facts.bookkeeping import Deed, ImportBatch, OutsideLine, Setting
from wearlog.facts.closed_lists import Removal
from wearlog.facts.electrics import Fault
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.parts import Part
from wearlog.facts.plain_text import folded
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.facts.work import Run, Stoppage
from wearlog.ids import NUMBER_DIGITS, long_number, new_id, short_number
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED, Doubt, DoubtError
from wearlog.logbook.farm.farm_setting import change_setting
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import (
    breakages_of_new_parts,
    breakages_since,
    change_fittings,
    fittings_at,
    refuse_beyond,
)
from wearlog.logbook.saving import Done, refuse_still_to_come, save
from wearlog.logbook.work.working import cut, read_meter
from wearlog.store.connection import Connection
from wearlog.store.finding import Numbered, find_all, find_by_id, find_many, numbered
from wearlog.store.journal import deed_by_id, versions_of_deed, versions_of_row
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, table_of


def enter_row(
    store: Store,
    facts: Sequence[Fact],
    said: str,
    *,
    own: Sequence[str] = (),
    named: bool = False,
    sure: Collection[str] = NO_DOUBT_SETTLED,
) -> Done:
    """Enter what one row of a sheet says.

    Parameters
    ----------
    facts : sequence of Fact
        One, or the fittings of several positions of one component.
    said : str
        The sentence of the history, where the sort of row has none of its own.
    own : sequence of str
        The fields by which a row of this sheet is known again.
    named : bool
        Whether they are its name: then a second one is refused and not asked about.
    sure : collection of Doubt
        What a person was asked about already.

    Raises
    ------
    RefusedError
        When there is a row of this name already, or the row cannot be believed.
    DoubtError
        When the same row is there already, or it is unlikely.
    """
    fact = replace(facts[0], id=new_id())
    if isinstance(fact, Setting):
        return change_setting(store, fact.key, fact.content)
    with store.reading() as connection:
        refuse_still_to_come([fact], known_names(connection), datetime.now(UTC))
    _ask_about_twin(store, fact, own, sure, named=named)
    done = _by_its_own_door(store, fact, sure)
    if done is not None:
        return done
    with store.writing() as connection:
        if isinstance(fact, Fitting):
            return _fit(store, connection, [one for one in facts if isinstance(one, Fitting)], said)
        return save(store, connection, said, new=[fact], known=known_names(connection))


def _by_its_own_door(store: Store, fact: Fact, sure: Collection[str]) -> Done | None:
    if isinstance(fact, Run):
        return cut(store, fact, sure=sure)
    if isinstance(fact, Machine):
        return add_machine(store, fact, at=datetime.now(UTC))
    if isinstance(fact, Breakage):
        entry = BreakageEntry(
            component_id=fact.component_id,
            positions=fact.positions,
            at=fact.at,
            cause=fact.cause,
            mode=fact.mode,
            action=fact.action,
            note=fact.note,
        )
        # with a repair of its own it is entered as it stands, for its time and labour are in that
        return log_breakage(store, entry, sure=sure) if fact.repair_id is None else None
    if isinstance(fact, Reading):
        with store.reading() as connection:
            meter = find_by_id(connection, Meter, fact.meter_id)
            machine = find_by_id(connection, Machine, meter.machine_id)
        return read_meter(
            store,
            machine,
            meter.kind,
            fact.shown_usage,
            at=fact.at,
            replaced=fact.new_leg,
            note=fact.note,
            sure=sure,
        )
    if isinstance(fact, Hitch) and fact.to_at is None:
        with store.reading() as connection:
            header = find_by_id(connection, Machine, fact.header_id)
            combine = find_by_id(connection, Machine, fact.combine_id)
        return hitch(store, header, combine, at=fact.from_at)
    return None


def _ask_about_twin(store: Store, fact: Fact, own: Sequence[str], sure: Collection[str], *, named: bool) -> None:
    """Refuse a second row of one name; ask about one that is like another in all by which it is known again."""
    columns = table_of(fact).columns
    equal = {field: getattr(fact, field) for field in own if field in columns}
    if not equal:
        return
    with store.reading() as connection:
        twins = [one for one in find_all(connection, type(fact)) if _alike(one, equal)] if named else []
        twins = twins or find_all(connection, type(fact), **equal)
    what = table_of(fact).name.replace("_", " ")
    if twins and named:
        number = short_number(twins[0].id)
        raise RefusedError(
            f"There is a {what} of this name already.",
            f"'wearlog change {number} ...' changes it; or give another name.",
        )
    if twins and Doubt.SAME_ROW not in sure:
        raise DoubtError(
            Doubt.SAME_ROW,
            f"The same {what} is in the log already, number {short_number(twins[0].id)}.",
            "Is this another one?",
            "Add --yes if it is another one, or change that one.",
        )


def _alike(fact: Fact, equal: dict[str, object]) -> bool:
    return all(_folded(getattr(fact, field)) == _folded(value) for field, value in equal.items())


def _folded(value: object) -> object:
    return folded(value) if isinstance(value, str) else value


def _fit(store: Store, connection: Connection, fittings: Sequence[Fitting], said: str) -> Done:
    """Put on what the row says: what was on there comes off, planned. Nothing comes off the shelf, as with an import."""
    first = fittings[0]
    component = find_by_id(connection, Component, first.component_id)
    positions = [one.position for one in fittings]
    refuse_beyond(component, positions)
    change = change_fittings(
        fittings_at(connection, component, positions),
        component,
        positions,
        at=first.fitted_at,
        removal=Removal.PLANNED,
        age_usage=first.age_when_fitted_usage,
        part_id=first.part_id,
    )
    new = change.new
    if first.removed_at is not None:
        new = tuple(replace(one, removed_at=first.removed_at, removal=first.removal) for one in new)
    also = ("nothing came off stock: 'wearlog fit' takes the parts off the shelf",)
    broke_later = breakages_of_new_parts(new, change.ended, breakages_since(connection, component, first.fitted_at))
    changed = (*change.ended, *broke_later)
    return save(store, connection, said, new=new, changed=changed, known=known_names(connection), also=also)


#: what an entry of several rows is about: the first of these that it wrote
HEADS: Final[tuple[type[Fact], ...]] = (Machine, Component, Breakage, Repair, Run, Stoppage, Fault, Part)

#: rows that an entry writes for its own sake, and nobody would name
UNNAMED: Final = frozenset({ImportBatch, OutsideLine})


@dataclass(frozen=True, slots=True)
class NamedEntry:
    """What a number names. `fact` is None for an entry of the history that wrote several rows; `deed` is None for a row."""

    fact: Fact | None
    deed: Deed | None


def find_entry(connection: Connection, number: str) -> NamedEntry:
    """Return what has this number.

    Raises
    ------
    UsageError
        When it is no number, or several have it.
    NotFoundError
        When nothing has it.
    """
    one = _the_one(connection, number)
    if one.fact_type is None:
        deed = deed_by_id(connection, one.row_id)
        return NamedEntry(head_of(connection, deed), deed)
    return NamedEntry(_row(connection, one), None)


def row_of_number(store: Store, sheet: str, number: str) -> UUID:
    """Return the id of the row of one table that has this number. Errors as `find_entry`."""
    with store.reading() as connection:
        return _the_one(connection, number, of_type=FACT_OF_TABLE[sheet]).row_id


def _the_one(connection: Connection, number: str, *, of_type: type[Fact] | None = None) -> Numbered:
    digits = number.strip()
    if not digits.isdigit() or len(digits) < NUMBER_DIGITS:
        raise UsageError(
            f"'{number}' is not the number of an entry.",
            f"It has {NUMBER_DIGITS} digits; 'wearlog history' and 'wearlog entries' show them.",
        )
    found = numbered(connection, digits, of_type=of_type)
    if not found:
        raise NotFoundError(f"Nothing has the number {digits}.", "'wearlog history' and 'wearlog entries' show them.")
    if len(found) > 1:
        longer = ", ".join(f"{long_number(one.row_id)[: len(digits) + 2]} ({_table(one)})" for one in found[:6])
        raise UsageError(f"{len(found)} entries have the number {digits}.", f"Write more of it: {longer}.")
    return found[0]


def _table(one: Numbered) -> str:
    return "history" if one.fact_type is None else table_of(one.fact_type).name.replace("_", " ")


def _row(connection: Connection, one: Numbered) -> Fact:
    assert one.fact_type is not None
    return next(iter(find_many(connection, one.fact_type, [one.row_id], voided_too=True)))


def head_of(connection: Connection, deed: Deed) -> Fact | None:
    """Return the row that an entry is about, as it stands now; None when it wrote several of which none is the head."""
    versions = versions_of_deed(connection, deed.id)
    named = [one for one in versions if FACT_OF_TABLE[one.table_name] not in UNNAMED]
    if len(named) != len(versions) and len(named) > 1:
        return None
    for fact_type in (*HEADS, *{FACT_OF_TABLE[one.table_name] for one in named}):
        mine = [one for one in named if FACT_OF_TABLE[one.table_name] is fact_type]
        if mine and (len(mine) == 1 or fact_type in HEADS):
            alone = len(mine) == 1 and (fact_type in HEADS or len(named) == 1)
            rows = find_many(connection, fact_type, [mine[0].row_id], voided_too=True) if alone else []
            return rows[0] if rows else None
    return None


def entering_deed(connection: Connection, fact: Fact) -> Deed | None:
    """Return the deed that first wrote a row; None when it came in otherwise."""
    versions = versions_of_row(connection, fact.id)
    return deed_by_id(connection, versions[0].deed_id) if versions else None


def standing(fact: Fact | None, number: str) -> Fact:
    """Return a row that can be changed. RefusedError when it was taken back, or the entry wrote several."""
    if fact is None:
        raise RefusedError(
            f"The entry {number} wrote several rows.", f"'wearlog entries {number}' lists them with their numbers."
        )
    if fact.voided:
        raise RefusedError(f"Entry {number} was taken back.", "'wearlog history' shows by what; undo that first.")
    return fact
