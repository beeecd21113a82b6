"""Entering a breakage: what broke, the fittings that change, the parts that come off stock, the time it stood. One deed."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Action, Cause, Mode, Removal, RepairKind, StopReason
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Meter, Reading
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.checks.doubts import (
    NO_DOUBT_SETTLED,
    TOLD_AGAIN_WITHIN,
    TWIN_WITHIN,
    Doubt,
    DoubtError,
    came_off_before,
    fitted_only_later,
    told_twice,
)
from wearlog.logbook.deed_sentences import breakage_sentence, place_of
from wearlog.logbook.made import Made
from wearlog.logbook.names import KnownNames, names_about
from wearlog.logbook.parts.fitting import (
    Change,
    breakages_of_new_parts,
    breakages_since,
    change_fittings,
    fittings_at,
    on_at,
    refuse_beyond,
)
from wearlog.logbook.parts.stocking import Taking, take_off_shelf
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_in_order
from wearlog.store.opening import Store


def ask_about(
    connection: Connection,
    known: KnownNames,
    component: Component,
    breakage: Breakage,
    sure: Collection[str],
    *,
    others: Sequence[Breakage],
) -> None:
    """Raise DoubtError for a breakage that is in the log already, or dated before its part was noted as fitted.

    Parameters
    ----------
    others : sequence of Breakage
        Those of this component from `TOLD_AGAIN_WITHIN` before it on; looked at where nobody was asked yet.
    """
    speak = FarmSpeaker(known.farm)
    if Doubt.SAME_BREAKAGE not in sure:
        twin = told_twice(breakage, others)
        if twin is not None:
            where = place_of(known, component, twin.positions)
            raise DoubtError(
                Doubt.SAME_BREAKAGE,
                f"{where}: a breakage of {speak.time_said(twin.at)} is in the log already.",
                "Is this another one?",
                "Add --yes if it is another one, or say when it was.",
            )
    if {Doubt.EARLIER_PART, Doubt.EMPTY_PLACE} <= set(sure):
        return
    there = fittings_at(connection, component, breakage.positions)
    if Doubt.EMPTY_PLACE not in sure:
        _ask_if_empty(known, component, breakage, there)
    late = fitted_only_later(breakage, there)
    if late and Doubt.EARLIER_PART not in sure:
        where = place_of(known, component, [one.position for one in late])
        noted = min(one.fitted_at for one in late)
        raise DoubtError(
            Doubt.EARLIER_PART,
            f"{where} was noted as fitted on {speak.time_said(noted)}, after it broke on {speak.time_said(breakage.at)}.",
            "Was it on since before the log?",
            "Add --yes if it was on since before the log (its age then is not known), or correct the time.",
        )


def _ask_if_empty(known: KnownNames, component: Component, breakage: Breakage, there: Sequence[Fitting]) -> None:
    """Raise DoubtError where the last part came off before this broke."""
    empty = came_off_before(breakage, there)
    since = max((one.removed_at for one in empty if one.removed_at is not None), default=None)
    if since is not None:
        where = place_of(known, component, [one.position for one in empty])
        raise DoubtError(
            Doubt.EMPTY_PLACE,
            f"{where}: nothing was on since {FarmSpeaker(known.farm).time_said(since)}.",
            "Did a part break there all the same?",
            "Add --yes if one did (its life is not counted), or enter first what was fitted there: wearlog fit.",
        )


@dataclass(frozen=True, slots=True)
class AsTheyWere:
    """The fittings of the broken positions, those among them that were on since before the log, and what to say of these."""

    fittings: tuple[Fitting, ...]
    earlier: tuple[Fitting, ...] = ()
    said: tuple[str, ...] = ()


def as_they_were(
    connection: Connection, component: Component, breakage: Breakage, fittings: Sequence[Fitting]
) -> AsTheyWere:
    """Let what was noted as fitted only after it broke have been on since the machine's first record, its age not known."""
    late = fitted_only_later(breakage, fittings)
    if not late:
        return AsTheyWere(tuple(fittings))
    begun = _first_record(connection, component.machine_id)
    # a part must be on before it can break; where nothing tells how long, a second is enough
    since = begun if begun is not None and begun < breakage.at else breakage.at - timedelta(seconds=1)
    earlier = {one.id: replace(one, fitted_at=since, age_when_fitted_usage=None) for one in late}
    return AsTheyWere(
        tuple(earlier.get(one.id, one) for one in fittings),
        tuple(earlier.values()),
        ("what broke counts as on since before the log, its age is not known",),
    )


def _first_record(connection: Connection, machine_id: UUID) -> datetime | None:
    """When the log first tells anything of a machine: a reading, a run, a hitch."""
    found = [
        reading.at
        for meter in find_all(connection, Meter, machine_id=machine_id)
        for reading in find_in_order(connection, Reading, "at", limit=1, meter_id=meter.id)
    ]
    if not found:
        # a header has no meter to read: its record begins with the first hitch or run
        found = [one.from_at for one in find_all(connection, Hitch, header_id=machine_id)]
        found += [one.started_at for one in find_in_order(connection, Run, "started_at", limit=1, header_id=machine_id)]
    return min(found, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakageEntry:
    """What a person says about a breakage.

    Attributes
    ----------
    positions : tuple of int
        1-based; a component of one position may leave them out.
    downtime_seconds, labour_seconds : int or None
        How long the machine stood, and man-time of the repair; None = nobody said.
    part_id : UUID or None
        The part put on; None = the one on the shelf that fits. Looked at only when something was replaced.
    """

    component_id: UUID
    positions: tuple[int, ...] = ()
    at: datetime
    cause: Cause = Cause.UNKNOWN
    mode: Mode = Mode.BROKEN
    action: Action = Action.REPLACED
    downtime_seconds: int | None = None
    labour_seconds: int | None = None
    part_id: UUID | None = None
    note: str = ""


def log_breakage(store: Store, entry: BreakageEntry, *, sure: Collection[str] = NO_DOUBT_SETTLED) -> Done:
    """Save a breakage with all that follows from it.

    Replaced: the fittings end and new ones begin, and the parts come off stock. Mended or left: the same fittings go on. Time and
    labour make a repair and a stoppage. A part that broke before it was noted as fitted was on since before the log: its age is
    not known then.

    Parameters
    ----------
    sure : collection of Doubt
        What a person was asked about already.

    Raises
    ------
    RefusedError
        When the positions are missing or not there, or the entry cannot be believed.
    DoubtError
        When the same breakage is there already, or it is dated before its part was noted as fitted.
    """
    with store.writing() as connection:
        known = names_about(connection, find_by_id(connection, Component, entry.component_id))
        made = breakage_made(connection, known, entry, sure)
        return save(
            store,
            connection,
            made.said,
            new=made.new,
            changed=made.changed,
            known=known,
            also=made.also,
            stored=made.beside,
        )


def breakage_made(
    connection: Connection,
    known: KnownNames,
    entry: BreakageEntry,
    sure: Collection[str] = NO_DOUBT_SETTLED,
    of_stop: Repair | None = None,
) -> Made:
    """Return what a breakage writes, and save nothing. Errors as `log_breakage`.

    Parameters
    ----------
    of_stop : Repair, optional
        The repair of another part that broke in the same stop: the breakage belongs to it, and neither time counts again.
    """
    component = next((one for one in known.components if one.id == entry.component_id), None)
    if component is None:
        component = find_by_id(connection, Component, entry.component_id)
    positions = _positions(component, entry)
    repair = of_stop or _repair(component, entry)
    breakage = _breakage(component, positions, repair, entry)
    # who was asked about a breakage told again need not be told of those that it could be
    nearest = TWIN_WITHIN if Doubt.SAME_BREAKAGE in sure else TOLD_AGAIN_WITHIN
    since = breakages_since(connection, component, entry.at - nearest)
    ask_about(connection, known, component, breakage, sure, others=since)
    there = fittings_at(connection, component, positions)
    on = as_they_were(connection, component, breakage, there)
    broke = on_at(on.fittings, positions, entry.at)
    change = Change((), on.earlier, ())
    used: StockMove | None = None
    also: tuple[str, ...] = ()
    if entry.action is Action.REPLACED:
        taking = Taking(len(positions), entry.at, breakage.repair_id, breakage.id)
        used, also = take_off_shelf(connection, component, taking, entry.part_id)
        change = change_fittings(
            on.fittings,
            component,
            positions,
            at=entry.at,
            removal=Removal.BROKE,
            part_id=used.part_id if used else None,
        )
    breakage = _with_fittings(breakage, broke, {one.position: one for one in change.new})
    new: list[Fact] = [repair] if repair and of_stop is None else []
    new += [breakage, *change.new, *([used] if used else [])]
    new += _stoppage(component, repair, entry) if of_stop is None else []
    said = breakage_sentence(
        FarmSpeaker(known.farm),
        place_of(known, component, positions),
        breakage,
        stood_seconds=None if of_stop else entry.downtime_seconds,
        labour_seconds=None if of_stop else entry.labour_seconds,
    )
    later = [one for one in since if one.at >= entry.at - TWIN_WITHIN]
    changed = (*change.ended, *breakages_of_new_parts(change.new, change.ended, later))
    return Made(said, tuple(new), changed, (*also, *on.said), repair, tuple(there))


def ask_before_logging(store: Store, entry: BreakageEntry) -> None:
    """Raise DoubtError where logging this would ask first. Saves nothing."""
    with store.reading() as connection:
        component = find_by_id(connection, Component, entry.component_id)
        breakage = _breakage(component, _positions(component, entry), None, entry)
        since = breakages_since(connection, component, entry.at - TOLD_AGAIN_WITHIN)
        known = names_about(connection, component)
        ask_about(connection, known, component, breakage, NO_DOUBT_SETTLED, others=since)


def _breakage(
    component: Component, positions: tuple[int, ...], repair: Repair | None, entry: BreakageEntry
) -> Breakage:
    return Breakage(
        component_id=component.id,
        positions=positions,
        at=entry.at,
        cause=entry.cause,
        mode=entry.mode,
        action=entry.action,
        repair_id=repair.id if repair else None,
        note=entry.note,
    )


def _with_fittings(breakage: Breakage, broke: dict[int, Fitting], followed: dict[int, Fitting]) -> Breakage:
    """The breakage with what broke at each position, and what followed it."""

    def ids(fittings: dict[int, Fitting]) -> tuple[UUID | None, ...]:
        return tuple(fittings[one].id if one in fittings else None for one in breakage.positions)

    return replace(breakage, broke_fitting_ids=ids(broke), followed_fitting_ids=ids(followed))


def _positions(component: Component, entry: BreakageEntry) -> tuple[int, ...]:
    if entry.positions:
        refuse_beyond(component, entry.positions)
        return tuple(sorted(set(entry.positions)))
    if component.positions > 1:
        raise RefusedError(
            f"Which of the {component.positions} positions of {component.place}?", "Write them like 41-43."
        )
    return (1,)


def _repair(component: Component, entry: BreakageEntry) -> Repair | None:
    if entry.downtime_seconds is None and entry.labour_seconds is None:
        return None
    # where nobody said how long it stood, the man-time is the nearest to it that was said
    took = entry.downtime_seconds if entry.downtime_seconds is not None else entry.labour_seconds or 0
    return Repair(
        machine_id=component.machine_id,
        kind=RepairKind.BREAKDOWN,
        started_at=entry.at,
        ended_at=entry.at + timedelta(seconds=took),
        labour_seconds=entry.labour_seconds,
        component_id=component.id,
        note=entry.note,
    )


def _stoppage(component: Component, repair: Repair | None, entry: BreakageEntry) -> list[Fact]:
    # standing for no time is no stop: the machine went on
    if repair is None or not entry.downtime_seconds:
        return []
    return [
        Stoppage(
            machine_id=component.machine_id,
            started_at=entry.at,
            ended_at=entry.at + timedelta(seconds=entry.downtime_seconds),
            reason=StopReason.BREAKDOWN,
            repair_id=repair.id,
        )
    ]
