"""Entering a row of any sheet by hand: as its own command would, with what follows from it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import Removal
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Run
from wearlog.ids import new_id, short_number
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED, Doubt, DoubtError
from wearlog.logbook.farm.farm_setting import change_setting
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import change_fittings, fittings_at, refuse_beyond
from wearlog.logbook.saving import Done, save
from wearlog.logbook.work.working import cut, read_meter
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id
from wearlog.store.opening import Store
from wearlog.store.schema import table_of


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
    return " ".join(value.casefold().split()) if isinstance(value, str) else value


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
    return save(store, connection, said, new=new, changed=change.ended, known=known_names(connection), also=also)
