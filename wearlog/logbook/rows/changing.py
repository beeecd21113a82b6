"""Changing a row of any sheet by hand and taking one back: one deed each, with every row that hangs on it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any, Final
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Deed
from wearlog.facts.closed_lists import RepairKind
from wearlog.facts.electrics import Fault, FaultSign
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter
from wearlog.facts.parts import Part, PartFit, StockMove
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.facts.work import Stoppage
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.files.undo import undo
from wearlog.logbook.names import known_names
from wearlog.logbook.rows.breakage_rows import Hanging, breakage_changed, breakage_gone
from wearlog.logbook.rows.entering import entering_deed, head_of
from wearlog.logbook.saving import Done, refuse_beside, refuse_still_to_come, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_many
from wearlog.store.journal import deed_lines, versions_of_deed
from wearlog.store.opening import Store
from wearlog.store.taking_back import refuse_if_rested_on


def change_row(store: Store, old: Fact, new: Fact, said: str, *, dry_run: bool = False) -> Done | Hanging:
    """Let a row say something else, and what hangs on it follow.

    Parameters
    ----------
    old, new : Fact
        The row as it was read and as it shall stand.
    said : str
        The sentence of the history.
    dry_run : bool
        Check all of it, write nothing, and return what would be written along.

    Raises
    ------
    RefusedError
        When nothing differs, the row was changed meanwhile, or what it shall say cannot be believed.
    """
    if old == new:
        raise RefusedError("It says so already: nothing was changed.")
    if dry_run:
        with store.reading() as connection:
            hanging = _checked(connection, old, new)
            changed = _each_once(new, hanging)
            known, gone = known_names(connection), [one.id for one in hanging.gone]
            findings = unsound([*hanging.new, *changed], known)
            if findings:
                raise RefusedError(findings[0].message, findings[0].hint)
            refuse_beside(connection, hanging.new, changed, known, gone=gone)
        return hanging
    with store.writing() as connection:
        hanging = _checked(connection, old, new)
        return save(
            store,
            connection,
            said,
            new=hanging.new,
            changed=_each_once(new, hanging),
            gone=hanging.gone,
            known=known_names(connection),
            also=hanging.also,
        )


def _checked(connection: Connection, old: Fact, new: Fact) -> Hanging:
    stands = find_many(connection, type(old), [old.id])
    # a form may have stood open for an hour: what it was filled from must still be what stands
    if not stands or stands[0] != old:
        raise RefusedError("It was changed meanwhile.", "Look at it again.")
    refuse_still_to_come([new], known_names(connection), datetime.now(UTC))
    hanging = following(connection, old, new)
    gone = [replace(one, voided=True) for one in hanging.gone]
    refuse_if_rested_on(connection, gone, [one.id for one in (new, *hanging.changed)])
    return hanging


def _each_once(new: Fact, hanging: Hanging) -> list[Fact]:
    """The row and what changes along; where that says how the row itself shall stand, that holds."""
    return list({one.id: one for one in (new, *hanging.changed)}.values())


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What was taken back, as a sentence, and the deed that did it."""

    deed: Deed
    said: str
    also: tuple[str, ...] = ()


def take_back_row(store: Store, fact: Fact, called: str) -> TakenBack:
    """Take a row back: the whole entry where the row is what the entry is about, else the row alone with what hangs on it.

    Raises
    ------
    RefusedError
        When it was taken back before, or something that still counts rests on it.
    """
    if fact.voided:
        raise RefusedError(f"The {called} was taken back before.", "'wearlog history' shows by what.")
    with store.reading() as connection:
        whole = _whole_entry(connection, fact)
    if whole is not None:
        deed = undo(store, whole)
        return TakenBack(deed, deed.said)
    with store.writing() as connection:
        hanging = going_too(connection, fact)
        gone = [*hanging.gone, fact]
        refuse_if_rested_on(connection, [replace(one, voided=True) for one in gone])
        said = f"took back the {called}"
        done = save(store, connection, said, changed=hanging.changed, gone=gone, known=known_names(connection))
    return TakenBack(done.deed, done.said, done.also)


def rows_taken_back(store: Store, fact: Fact) -> int:
    """Return how many rows `take_back_row` would take back or change, the row itself with them."""
    with store.reading() as connection:
        whole = _whole_entry(connection, fact)
        if whole is not None:
            return len(versions_of_deed(connection, whole))
        hanging = going_too(connection, fact)
    return 1 + len(hanging.gone) + len(hanging.changed)


def _whole_entry(connection: Connection, fact: Fact) -> UUID | None:
    """The deed to undo: the one that entered the row, if the row is its head and nothing of it was changed since."""
    deed = entering_deed(connection, fact)
    if deed is None or deed.undoes_deed_id is not None:
        return None
    head = head_of(connection, deed)
    if head is None or head.id != fact.id:
        return None
    for version in versions_of_deed(connection, deed.id):
        latest = deed_lines(connection, limit=1, row_id=version.row_id)
        # one of its rows says something else by now: the entry cannot be undone whole any more, the row alone can
        if latest[0].id != deed.id:
            return None
    return deed.id


def following(connection: Connection, old: Fact, new: Fact) -> Hanging:
    """Return what else is written when `old` becomes `new`, without the row itself.

    What ended because this began goes on ending when this begins; what belongs to a breakage or repair keeps its time with it.
    """
    if isinstance(old, Breakage) and isinstance(new, Breakage):
        return breakage_changed(connection, old, new)
    if isinstance(old, Fitting) and isinstance(new, Fitting) and old.fitted_at != new.fitted_at:
        return Hanging(changed=[replace(one, removed_at=new.fitted_at) for one in _before(connection, old)])
    if isinstance(old, Hitch) and isinstance(new, Hitch) and old.from_at != new.from_at:
        return Hanging(changed=[replace(one, to_at=new.from_at) for one in _hitched_before(connection, old)])
    if isinstance(old, Repair) and isinstance(new, Repair) and old.started_at != new.started_at:
        return _repair_moved(connection, old, new)
    return Hanging()


def going_too(connection: Connection, fact: Fact) -> Hanging:
    """Return what else goes or changes when a row is taken back, without the row itself."""
    find = _GOING.get(type(fact))
    return find(connection, fact) if find else Hanging()


def _before(connection: Connection, fitting: Fitting) -> list[Fitting]:
    """What came off that position when this one went on."""
    same = find_all(connection, Fitting, component_id=fitting.component_id, position=fitting.position)
    return [one for one in same if one.removed_at == fitting.fitted_at and one.id != fitting.id]


def _hitched_before(connection: Connection, hitch: Hitch) -> list[Hitch]:
    return [
        one
        for one in find_all(connection, Hitch, to_at=hitch.from_at)
        if one.id != hitch.id and (one.header_id == hitch.header_id or one.combine_id == hitch.combine_id)
    ]


def _repair_moved(connection: Connection, old: Repair, new: Repair) -> Hanging:
    by = new.started_at - old.started_at
    stops = [
        replace(one, started_at=one.started_at + by, ended_at=one.ended_at + by if one.ended_at else None)
        for one in find_all(connection, Stoppage, repair_id=old.id)
        # a stop that began at a time of its own was not entered with the repair, and stays where it was put
        if one.started_at == old.started_at
    ]
    moves = [
        replace(one, at=new.started_at)
        for one in find_all(connection, StockMove, repair_id=old.id)
        if one.at == old.started_at
    ]
    return Hanging(changed=[*stops, *moves])


def _fitting_gone(connection: Connection, fitting: Fact) -> Hanging:
    assert isinstance(fitting, Fitting)
    back = [
        replace(one, removed_at=fitting.removed_at, removal=fitting.removal) for one in _before(connection, fitting)
    ]
    return Hanging(changed=back)


def _hitch_gone(connection: Connection, hitch: Fact) -> Hanging:
    assert isinstance(hitch, Hitch)
    return Hanging(changed=[replace(one, to_at=hitch.to_at) for one in _hitched_before(connection, hitch)])


def _repair_gone(connection: Connection, repair: Fact) -> Hanging:
    stops: Iterable[Fact] = find_all(connection, Stoppage, repair_id=repair.id)
    moves: Iterable[Fact] = find_all(connection, StockMove, repair_id=repair.id)
    return Hanging(gone=[*stops, *moves])


def _owned_rows(fact_type: type[Fact], field: str) -> Callable[[Connection, Fact], Hanging]:
    def find(connection: Connection, fact: Fact) -> Hanging:
        return Hanging(gone=list(find_all(connection, fact_type, **{field: fact.id})))

    return find


def _breakage_gone(connection: Connection, breakage: Fact) -> Hanging:
    assert isinstance(breakage, Breakage)
    back = breakage_gone(connection, breakage)
    repair = _repair_alone(connection, breakage)
    if repair is None:
        return back
    return Hanging(changed=back.changed, gone=[*back.gone, repair, *_repair_gone(connection, repair).gone])


def _repair_alone(connection: Connection, breakage: Breakage) -> Repair | None:
    """The repair that was entered with this breakage and with no other."""
    if breakage.repair_id is None or len(find_all(connection, Breakage, repair_id=breakage.repair_id)) > 1:
        return None
    found = find_all(connection, Repair, id=breakage.repair_id, kind=RepairKind.BREAKDOWN)
    return found[0] if found and found[0].started_at == breakage.at else None


_GOING: Final[dict[type[Fact], Callable[[Connection, Any], Hanging]]] = {
    Breakage: _breakage_gone,
    Fitting: _fitting_gone,
    Hitch: _hitch_gone,
    Repair: _repair_gone,
    Machine: _owned_rows(Meter, "machine_id"),
    Component: _owned_rows(Fitting, "component_id"),
    Part: _owned_rows(PartFit, "part_id"),
    Fault: _owned_rows(FaultSign, "fault_id"),
}
