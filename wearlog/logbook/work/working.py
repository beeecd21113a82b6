"""Entering what a machine did: meter readings, runs, stoppages."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED, Doubt, DoubtError, fast_pairs, same_time
from wearlog.logbook.deed_sentences import again_sentence, reading_sentence, run_sentence, stoppage_sentence
from wearlog.logbook.made import Made
from wearlog.logbook.names import KnownNames, known_names
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_in_order
from wearlog.store.opening import Store

#: a run may stand for the work of weeks
_LONGEST_RUN: Final = timedelta(days=120)


@dataclass(frozen=True, slots=True)
class CountedRun:
    """The run as it is saved, with which header it says it was cut (" with North"), and what was taken for granted."""

    run: Run
    said: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Piece:
    header_id: UUID
    start: datetime


def counted_header(run: Run, hitches: Iterable[Hitch], known: KnownNames, sure: Collection[str]) -> CountedRun:
    """Return the run with the header that gets its area.

    A combine cuts nothing without a header: where none was on when the run began, the one hitched during it is taken for all of
    it. One hitched only after its end is taken when a person says so.

    Raises
    ------
    DoubtError
        When the log knows headers, but none that was on this combine.
    """
    names = {machine.id: machine.name for machine in known.machines}
    if run.header_id is not None:
        return CountedRun(run, f" with {names.get(run.header_id, 'its header')}")
    combine = names.get(run.combine_id, "the combine")
    speak = FarmSpeaker(known.farm)
    pieces, later = _pieces(run, list(hitches))
    if pieces and pieces[0].start <= run.started_at:
        return CountedRun(run, _named(pieces, names, speak.time_said))
    if len({piece.header_id for piece in pieces}) == 1:
        header = names.get(pieces[0].header_id, "it")
        also = f"{header} was hitched at {speak.time_said(pieces[0].start)} only; all of this run is counted for it"
        return CountedRun(replace(run, header_id=pieces[0].header_id), f" with {header}", (also,))
    # a farm that keeps no headers in its log is not asked about them
    headers = [machine for machine in known.machines if machine.kind is MachineKind.HEADER]
    if later is not None and not pieces:
        return _hitched_after(run, later, names, speak.time_said, sure)
    if headers and Doubt.NO_HEADER not in sure:
        raise DoubtError(
            Doubt.NO_HEADER,
            f"No header was on {combine} when this run began, so {'part of ' if pieces else ''}its area counts for no header.",
            "Save it so?",
            f"Add --header NAME, like --header {headers[0].name}, or --yes to save it without one.",
        )
    return CountedRun(run, _named(pieces, names, speak.time_said) or (" with no header" if headers else ""))


def _hitched_after(
    run: Run, later: Hitch, names: dict[UUID, str], moment: Callable[[datetime], str], sure: Collection[str]
) -> CountedRun:
    combine, header = names.get(run.combine_id, "the combine"), names.get(later.header_id, "a header")
    if Doubt.NO_HEADER not in sure:
        raise DoubtError(
            Doubt.NO_HEADER,
            f"No header was on {combine} during this run; {header} was hitched at {moment(later.from_at)} only.",
            f"Did {header} cut it?",
            f"Add --header {header}, or --yes if {header} cut it.",
        )
    also = f"{header} was hitched after this run; it is counted for it all the same"
    return CountedRun(replace(run, header_id=later.header_id), f" with {header}", (also,))


def _named(pieces: Sequence[_Piece], names: dict[UUID, str], moment: Callable[[datetime], str]) -> str:
    """Say " with North" or " with North, from 2026-07-02 14:00 South"."""
    said = [names.get(piece.header_id, "a header") for piece in pieces]
    later = [f"from {moment(piece.start)} {name}" for piece, name in zip(pieces[1:], said[1:], strict=True)]
    return f" with {', '.join([said[0], *later])}" if said else ""


def _pieces(run: Run, hitches: list[Hitch]) -> tuple[list[_Piece], Hitch | None]:
    """Return which headers hung on the run's combine during it, in order, and the first that was hitched after it.

    A later hitch of the same header or on the same combine ends one whose end nobody entered, as everywhere.
    """
    hitches.sort(key=lambda one: (one.from_at, one.id))
    pieces: list[_Piece] = []
    for place, one in enumerate(hitches):
        if one.combine_id != run.combine_id:
            continue
        if one.from_at > run.ended_at or (pieces and one.from_at == run.ended_at):
            return pieces, one
        followed = (
            then.from_at
            for then in hitches[place + 1 :]
            if then.combine_id == one.combine_id or then.header_id == one.header_id
        )
        ends = min((end for end in (one.to_at, next(followed, None)) if end is not None), default=None)
        if ends is None or ends > max(run.started_at, one.from_at):
            pieces.append(_Piece(one.header_id, one.from_at))
    return pieces, None


def read_meter(
    store: Store,
    machine: Machine,
    kind: MeterKind,
    shown_usage: int,
    *,
    at: datetime,
    replaced: bool = False,
    note: str = "",
    sure: Collection[str] = NO_DOUBT_SETTLED,
) -> Done:
    """Enter what a meter shows, in seconds or square metres.

    Parameters
    ----------
    replaced : bool
        The meter is a new one: its count begins here and may be lower than the one before.
    sure : collection of Doubt
        What a person was asked about already.

    Raises
    ------
    RefusedError
        When a reading of the same meter before or after says otherwise.
    DoubtError
        When the meter would have gained more than a machine can work day and night.
    """
    return read_meters(store, machine, {kind: shown_usage}, at=at, replaced=replaced, note=note, sure=sure)


def read_meters(
    store: Store,
    machine: Machine,
    shown: Mapping[MeterKind, int],
    *,
    at: datetime,
    replaced: bool = False,
    note: str = "",
    sure: Collection[str] = NO_DOUBT_SETTLED,
) -> Done:
    """Enter what several meters of a machine show at the same time, as one deed. Otherwise as `read_meter`."""
    with store.writing() as connection:
        known = known_names(connection)
        made = readings_made(connection, known, machine, shown, at=at, replaced=replaced, note=note, sure=sure)
        return save(store, connection, made.said, new=made.new, known=known)


def readings_made(
    connection: Connection,
    known: KnownNames,
    machine: Machine,
    shown: Mapping[MeterKind, int],
    *,
    at: datetime,
    replaced: bool = False,
    note: str = "",
    sure: Collection[str] = NO_DOUBT_SETTLED,
) -> Made:
    """Return what readings of a machine's meters write, and save nothing. Errors as `read_meter`."""
    new: list[Fact] = []
    speak = FarmSpeaker(known.farm)
    for kind, usage in shown.items():
        meter, fresh = _meter(connection, machine, kind)
        reading = Reading(meter_id=meter.id, at=at, shown_usage=usage, new_leg=replaced, note=note)
        others = find_in_order(connection, Reading, "at", meter_id=meter.id)
        _refuse_backwards(speak, machine, kind, reading, others)
        if Doubt.FAST_METER not in sure:
            _ask_if_fast(speak, machine, kind, reading, others)
        new += [meter, reading] if fresh else [reading]
    return Made(reading_sentence(speak, machine.name, shown, at, replaced=replaced), tuple(new))


def _meter(connection: Connection, machine: Machine, kind: MeterKind) -> tuple[Meter, bool]:
    found = find_all(connection, Meter, machine_id=machine.id, kind=kind)
    return (found[0], False) if found else (Meter(machine_id=machine.id, kind=kind), True)


def _refuse_backwards(
    speak: FarmSpeaker, machine: Machine, kind: MeterKind, reading: Reading, others: list[Reading]
) -> None:
    before = [other for other in others if other.at <= reading.at]
    after = [other for other in others if other.at > reading.at]
    if before and not reading.new_leg and before[-1].shown_usage > reading.shown_usage:
        raise RefusedError(
            f"{machine.name} showed {speak.usage(kind, before[-1].shown_usage)} on {speak.date_said(before[-1].at)}; "
            f"{speak.usage(kind, reading.shown_usage)} would run backwards.",
            "Check the figure; if the meter is a new one, say so.",
        )
    if after and not after[0].new_leg and after[0].shown_usage < reading.shown_usage:
        raise RefusedError(
            f"{machine.name} showed only {speak.usage(kind, after[0].shown_usage)} later, on {speak.date_said(after[0].at)}.",
            "Check the figure and the time.",
        )


def _ask_if_fast(
    speak: FarmSpeaker, machine: Machine, kind: MeterKind, reading: Reading, others: Sequence[Reading]
) -> None:
    """Raise DoubtError where the meter would have outrun the clock since the reading before, or until the one after."""
    for earlier, later in fast_pairs(kind, [*others, reading]):
        if reading.id in (earlier.id, later.id):
            other = later if earlier.id == reading.id else earlier
            gained = speak.usage(kind, later.shown_usage - earlier.shown_usage)
            between = (later.at - earlier.at).total_seconds() / 3600
            raise DoubtError(
                Doubt.FAST_METER,
                f"{machine.name} showed {speak.usage(kind, other.shown_usage)} on {speak.time_said(other.at)}; "
                f"{speak.usage(kind, reading.shown_usage)} would be {gained} in {between:,.1f} h.",
                f"Does the meter show {speak.usage(kind, reading.shown_usage)}?",
                "Look at the figure and the time; add --yes if the meter shows it, --replaced if it is a new one.",
            )


def cut(store: Store, run: Run, *, sure: Collection[str] = NO_DOUBT_SETTLED) -> Done:
    """Enter a run: so much area cut by a combine during a time. The sentence names the header it is counted for.

    Parameters
    ----------
    sure : collection of Doubt
        What a person was asked about already.

    Raises
    ------
    DoubtError
        When the log knows headers, but none that was on this combine; or the combine cut something else at that time.
    """
    with store.writing() as connection:
        known = known_names(connection)
        made = run_made(connection, known, run, sure)
        return save(store, connection, made.said, new=made.new, known=known, also=made.also)


def run_made(connection: Connection, known: KnownNames, run: Run, sure: Collection[str] = NO_DOUBT_SETTLED) -> Made:
    """Return what a run writes, and save nothing. Errors as `cut`."""
    combine = find_by_id(connection, Machine, run.combine_id)
    if Doubt.SAME_RUN not in sure:
        _ask_if_cut_already(connection, FarmSpeaker(known.farm), combine, run)
    counted = counted_header(run, find_all(connection, Hitch), known, sure)
    names = {one.id: one.name for one in known.fields} | {one.id: one.name for one in known.crops}
    said = run_sentence(
        FarmSpeaker(known.farm),
        run,
        combine=combine.name,
        field=names.get(run.field_id, "") if run.field_id else "",
        crop=names.get(run.crop_id, "") if run.crop_id else "",
        header=counted.said,
    )
    return Made(said, (counted.run,), also=counted.also)


def _ask_if_cut_already(connection: Connection, speak: FarmSpeaker, combine: Machine, run: Run) -> None:
    """Raise DoubtError where the combine cut something else for half of the shorter of the two times."""
    near = [run.started_at - _LONGEST_RUN, run.ended_at]
    for other in find_all(connection, Run, combine_id=run.combine_id, started_at=near):
        if other.id != run.id and same_time(run.started_at, run.ended_at, other.started_at, other.ended_at):
            raise DoubtError(
                Doubt.SAME_RUN,
                f"{combine.name} cut {speak.area(other.area_square_metres)} at that time already: "
                f"{speak.time_said(other.started_at)} to {speak.time_said(other.ended_at)}.",
                "Is this another run?",
                "Add --yes if it is another one, or correct the times.",
            )


def stop(store: Store, stoppage: Stoppage) -> Done:
    """Enter a stoppage."""
    with store.writing() as connection:
        machine = find_by_id(connection, Machine, stoppage.machine_id)
        known = known_names(connection)
        said = stoppage_sentence(FarmSpeaker(known.farm), machine.name, stoppage)
        return save(store, connection, said, new=[stoppage], known=known)


def end_stop(store: Store, machine: Machine, *, at: datetime) -> Done:
    """End the open stoppage of a machine. NotFoundError when it is not standing."""
    with store.writing() as connection:
        standing = find_all(connection, Stoppage, machine_id=machine.id, ended_at=None)
        if not standing:
            raise NotFoundError(f"{machine.name} is not standing.", "Enter a whole stoppage with its minutes.")
        # all of them: two laptops may both have noted the stop, and no machine stands twice
        ended = [replace(one, ended_at=at) for one in standing]
        known = known_names(connection)
        said = again_sentence(FarmSpeaker(known.farm), machine.name, at)
        return save(store, connection, said, changed=ended, known=known)
