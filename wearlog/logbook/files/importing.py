"""Bringing many facts in at once, all or none, and giving them all out again. Reading files is not done here."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from dataclasses import replace as copy
from datetime import UTC, datetime
from uuid import UUID

from wearlog.collecting import no_collecting
from wearlog.errors import ConflictError
from wearlog.facts.bookkeeping import Deed, ImportBatch
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Fitting
from wearlog.logbook.deed_sentences import import_sentence
from wearlog.logbook.names import KnownNames
from wearlog.logbook.names import known_names as _known_names
from wearlog.logbook.saving import all_cleaned, refuse_beside
from wearlog.progress import step, stretch
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_many
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, table_of

#: the shares of the time of bringing in at which the rows are compared, and held against what lies beside them
_COMPARED = 0.2
_HELD_AGAINST = 0.35
_ENDS = frozenset({"removed_at", "removal", "ended_at", "to_at", "closed_at"})


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """What an import did, or would do: rows added by table, rows changed, rows that were there already.

    `deed_id` is None when nothing was written, and `said`, the sentence of the history, is empty then.
    """

    deed_id: UUID | None
    added: tuple[tuple[str, int], ...]
    changed: tuple[Fact, ...]
    same: int
    said: str = ""

    @property
    def rows_added(self) -> int:
        return sum(count for _, count in self.added)


def known_names(store: Store) -> KnownNames:
    """Return the existing rows that names in a file can mean."""
    with store.reading() as connection:
        return _known_names(connection)


@no_collecting()
def bring_in(
    store: Store,
    facts: Sequence[Fact],
    *,
    source: str,
    digest: str,
    replace: bool = False,
    dry_run: bool = False,
    told: Mapping[str, frozenset[str]] | None = None,
    rough: Collection[UUID] = frozenset(),
) -> BroughtIn:
    """Add the facts that are not there yet, as one deed.

    Parameters
    ----------
    source, digest : str
        Where they came from and a digest of what was read, for the record.
    replace : bool
        Rows that are there with other content are changed to what the facts say; otherwise they are refused. A kind of part that
        still is at its starting guess is changed either way, and so is a row in which only an open end was filled in.
    dry_run : bool
        Say what would be done; write nothing.
    told : mapping of str to set of str, optional
        Table -> the fields that the source can say; the others of a row that is there stay as they are. None: it says all.
    rough : collection of UUID
        Fittings whose age is told by seasons: where one is there with a figure, that was reckoned when it was first told and stays.

    Raises
    ------
    ConflictError
        When a row is there with other content, or was withdrawn; nothing is written.
    RefusedError
        When what is brought in does not go with what the log holds beside it.
    """
    facts = all_cleaned(facts)
    kept = frozenset() if replace else rough
    if dry_run:
        with store.reading() as connection:
            added, changed, same = _compare(connection, facts, told, kept, replace=replace)
            refuse_beside(connection, added, changed, _known_names(connection))
        return _result(None, added, changed, same)
    with store.writing() as connection:
        added, changed, same = _compare(connection, facts, told, kept, replace=replace)
        step(_COMPARED)
        # the same sheet once more leaves nothing in the history
        if not added and not changed:
            return _result(None, added, changed, same)
        refuse_beside(connection, added, changed, _known_names(connection))
        batch = ImportBatch(source=source, digest=digest, at=datetime.now(UTC), rows_added=len(added))
        entries = [Entry(batch), *map(Entry, added), *(Entry(fact, Doing.EDITED) for fact in changed)]
        said = import_sentence(len(added), len(changed), source)
        with stretch(first=_HELD_AGAINST):
            deed = record(connection, device=store.device, person=store.person, said=said, entries=entries)
        return _result(deed, added, changed, same)


def _result(deed: Deed | None, added: list[Fact], changed: list[Fact], same: int) -> BroughtIn:
    counts = Counter(table_of(fact).name for fact in added)
    in_order = tuple((name, counts[name]) for name in FACT_OF_TABLE if counts[name])
    written = (deed.id, deed.said) if deed is not None else (None, "")
    return BroughtIn(written[0], in_order, tuple(changed), same, written[1])


def _compare(
    connection: Connection,
    facts: Sequence[Fact],
    told: Mapping[str, frozenset[str]] | None,
    rough: Collection[UUID],
    *,
    replace: bool,
) -> tuple[list[Fact], list[Fact], int]:
    present = _present(connection, facts)
    untouched = {kind.id: kind for kind in STARTING_KINDS}
    added: list[Fact] = []
    changed: list[Fact] = []
    for fact in facts:
        old = present.get(fact.id)
        if old is None:
            added.append(fact)
            continue
        if told is not None:
            fact = _with_untold(old, fact, told[table_of(fact).name])
        if fact.id in rough:
            fact = _as_first_told(old, fact)
        if old != fact:
            # a guess that nobody touched is the program's word and not the farm's: it gives way unasked
            is_guess = isinstance(old, PartKind) and untouched.get(old.id) == old
            if not (replace or is_guess or _only_ended(old, fact)):
                raise _conflict(old, fact)
            changed.append(fact)
    return added, changed, len(facts) - len(added) - len(changed)


def _as_first_told(old: Fact, new: Fact) -> Fact:
    if isinstance(old, Fitting) and isinstance(new, Fitting) and old.age_when_fitted_usage:
        return copy(new, age_when_fitted_usage=old.age_when_fitted_usage)
    return new


def _with_untold(old: Fact, new: Fact, told: frozenset[str]) -> Fact:
    untold = {one.name: getattr(old, one.name) for one in fields(old) if one.name not in told}
    return copy(new, **untold) if untold else new


def _only_ended(old: Fact, new: Fact) -> bool:
    """A notebook that grew: the row differs only in that what was still open has ended since."""
    differing = {one.name for one in fields(old) if getattr(old, one.name) != getattr(new, one.name)}
    return differing <= _ENDS and all(getattr(old, name) is None for name in differing)


def _present(connection: Connection, facts: Iterable[Fact]) -> dict[UUID, Fact]:
    ids: dict[type[Fact], list[UUID]] = defaultdict(list)
    for fact in facts:
        ids[type(fact)].append(fact.id)
    return {
        fact.id: fact
        for fact_type, some in ids.items()
        for fact in find_many(connection, fact_type, some, voided_too=True)
    }


def _conflict(old: Fact, new: Fact) -> ConflictError:
    table = table_of(old)
    what = table.name.replace("_", " ")
    called = getattr(old, "name", None) or getattr(old, "number", None) or getattr(old, "place", None)
    name = f"The {what} '{called}'" if called else f"A row of {what} (key {old.id})"
    if old.voided:
        return ConflictError(f"{name} was withdrawn in the log.", "Import with --replace to bring it back.")
    differing = [one.name for one in fields(old) if getattr(old, one.name) != getattr(new, one.name)]
    first = differing[0]
    return ConflictError(
        f"{name} is in the log with other content: {first} is {getattr(old, first)!s}, the file says {getattr(new, first)!s}.",
        "Make them agree, or import with --replace to take what the file says.",
    )


def everything(store: Store) -> dict[str, list[Fact]]:
    """Return every fact that still counts, by table, in the order in which they can be written."""
    with store.reading() as connection:
        return {name: list(find_all(connection, fact_type)) for name, fact_type in FACT_OF_TABLE.items()}
