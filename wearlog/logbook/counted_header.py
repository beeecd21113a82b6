"""Which header the area of a run is counted for, told when the run is entered. Saves nothing itself."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Hitch
from wearlog.facts.work import Run
from wearlog.logbook.doubts import Doubt, DoubtError
from wearlog.logbook.known_names import KnownNames
from wearlog.logbook.said_measures import farm_speaker


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
    speak = farm_speaker(known)
    pieces, later = _pieces(run, list(hitches))
    if pieces and pieces[0].start <= run.started_at:
        return CountedRun(run, _named(pieces, names, speak.moment))
    if len({piece.header_id for piece in pieces}) == 1:
        header = names.get(pieces[0].header_id, "it")
        also = f"{header} was hitched at {speak.moment(pieces[0].start)} only; all of this run is counted for it"
        return CountedRun(replace(run, header_id=pieces[0].header_id), f" with {header}", (also,))
    headers = [machine for machine in known.machines if machine.kind is MachineKind.HEADER]
    if later is not None and not pieces:
        return _hitched_after(run, later, names, speak.moment, sure)
    if headers and Doubt.NO_HEADER not in sure:
        raise DoubtError(
            Doubt.NO_HEADER,
            f"No header was on {combine} when this run began, so {'part of ' if pieces else ''}its area counts for no header.",
            "Save it so?",
            f"Add --header NAME, like --header {headers[0].name}, or --yes to save it without one.",
        )
    return CountedRun(run, _named(pieces, names, speak.moment) or (" with no header" if headers else ""))


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
