"""Changing a row of any sheet by hand and taking one back: one deed each, with whatever hangs on the row."""

from __future__ import annotations

from dataclasses import dataclass, replace
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Deed
from wearlog.facts.fact import Fact
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.files.undo import undo
from wearlog.logbook.names import known_names
from wearlog.logbook.rows.following import following, going_too
from wearlog.logbook.rows.found import entering_deed, head_of
from wearlog.logbook.rows.hanging import Hanging
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_many
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
            findings = unsound([*hanging.new, *changed], known_names(connection))
        if findings:
            raise RefusedError(findings[0].message, findings[0].hint)
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
    if not stands or stands[0] != old:
        raise RefusedError("It was changed meanwhile.", "Look at it again.")
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
        if latest[0].id != deed.id:
            return None
    return deed.id
