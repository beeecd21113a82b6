"""What a change of parts that is entered late means for the breakages after it: they were of the part that it put on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime
from typing import Final
from uuid import UUID

from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

#: no entry of a farm is of a later time than this
_AT_LAST: Final = datetime(9999, 1, 1, tzinfo=UTC)


def breakages_since(connection: Connection, component: Component, at: datetime) -> list[Breakage]:
    """Return the breakages of a component from an instant on."""
    return find_all(connection, Breakage, component_id=component.id, at=[at, _AT_LAST])


def breakages_of_new_parts(
    new: Iterable[Fitting], ended: Iterable[Fitting], since: Iterable[Breakage]
) -> tuple[Breakage, ...]:
    """Return those breakages that name a part which came off before them, as they shall stand: they name what was put on then.

    Parameters
    ----------
    new, ended : iterable of Fitting
        What one change of parts put on and took off, as they are to be saved.
    since : iterable of Breakage
        The breakages of the component that may come after the change.
    """
    new_at = {one.position: one for one in new}
    followed = {one.id: new_at[one.position] for one in ended if one.position in new_at}
    if not followed:
        return ()
    found = []
    for breakage in since:
        broke = tuple(_of(one, breakage.at, followed) for one in breakage.broke_fitting_ids)
        if broke != breakage.broke_fitting_ids:
            found.append(replace(breakage, broke_fitting_ids=broke))
    return tuple(found)


def _of(noted: UUID | None, at: datetime, followed: dict[UUID, Fitting]) -> UUID | None:
    new = followed.get(noted) if noted is not None else None
    if new is None or at <= new.fitted_at or (new.removed_at is not None and at > new.removed_at):
        return noted
    return new.id
