"""Parts that broke before they were noted as fitted: they are let have been on since before the log. Saves nothing itself."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from uuid import UUID

from wearlog.facts.machines import Hitch, Meter, Reading
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Run
from wearlog.logbook.deed_sentences import place_of
from wearlog.logbook.doubts import Doubt, DoubtError, fitted_only_later, twin_of
from wearlog.logbook.known_names import KnownNames
from wearlog.logbook.said_measures import farm_speaker
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order


def ask_about(
    connection: Connection, known: KnownNames, component: Component, breakage: Breakage, sure: Collection[str]
) -> None:
    """Raise DoubtError for a breakage that is in the log already, or dated before its part was noted as fitted."""
    speak = farm_speaker(known)
    if Doubt.SAME_BREAKAGE not in sure:
        twin = twin_of(breakage, find_all(connection, Breakage, component_id=component.id))
        if twin is not None:
            where = place_of(known, component, twin.positions)
            raise DoubtError(
                Doubt.SAME_BREAKAGE,
                f"{where}: a breakage of {speak.moment(twin.at)} is in the log already.",
                "Is this another one?",
                "Add --yes if it is another one, or say when it was.",
            )
    if Doubt.EARLIER_PART in sure:
        return
    late = fitted_only_later(breakage, find_all(connection, Fitting, component_id=component.id))
    if late:
        where = place_of(known, component, [one.position for one in late])
        noted = min(one.fitted_at for one in late)
        raise DoubtError(
            Doubt.EARLIER_PART,
            f"{where} was noted as fitted on {speak.moment(noted)}, after it broke on {speak.moment(breakage.at)}.",
            "Was it on since before the log?",
            "Add --yes if it was on since before the log (its age then is not known), or correct the time.",
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
