"""How every entry is saved: checked for soundness, held against what the log holds beside it, written as one deed, and told back.

Beside it are its neighbours, and the rows that hang on what changes. A log that holds what does not go together, as two laptops
may leave it, can be mended step by step: only what a deed makes worse is refused.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime
from functools import cache
from operator import attrgetter
from types import MappingProxyType
from typing import Any, Final, TypeVar
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Deed
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Reading
from wearlog.facts.parts import PartKind
from wearlog.facts.plain_text import one_line, plain
from wearlog.facts.wearing import Component, Fitting, Measurement
from wearlog.logbook.checks.row_checks import Around, Unsound, around
from wearlog.logbook.checks.soundness import (
    falling_readings,
    hitched_twice,
    row_findings,
    two_at_one_position,
    unsound,
)
from wearlog.logbook.names import KnownNames
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_many, settings_of
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.store.schema import TABLE_OF_FACT, table_of

F = TypeVar("F", bound=Fact)


@dataclass(frozen=True, slots=True)
class Done:
    """What was saved: the deed that one undo takes back, the sentence for the person, and the facts as they stand now.

    `also` tells what went along unasked (parts off stock), and what is amiss with the file.
    """

    deed: Deed
    said: str
    facts: tuple[Fact, ...]
    also: tuple[str, ...] = ()


def save(
    store: Store,
    connection: Connection,
    said: str,
    *,
    new: Sequence[Fact] = (),
    changed: Sequence[Fact] = (),
    gone: Sequence[Fact] = (),
    known: KnownNames | None = None,
    also: Sequence[str] = (),
    person: str = "",
    stored: Sequence[Fact] | None = None,
) -> Done:
    """Write new facts, changed ones and the withdrawing of others as one deed, so that one undo takes all of it back.

    Parameters
    ----------
    gone : sequence of Fact
        As they stand; they count no more.
    known : KnownNames
        The rows that the facts point at, for the checks.
    person : str
        Who did it, where this entry says so; else who enters on this device.
    stored : sequence of Fact, optional
        The stored readings, fittings or hitches beside the facts, where the caller has read them already.

    Raises
    ------
    RefusedError
        When a fact cannot be believed, by itself or beside what is stored; the first such finding is said and nothing is saved.
    """
    new, changed, said = [cleaned(fact) for fact in new], [cleaned(fact) for fact in changed], one_line(said)
    about = known or KnownNames()
    if unsound([*new, *changed], about):
        # what was given as known may lack the settings: they are read when there is something to be said in them
        findings = unsound([*new, *changed], about, settings_of(connection))
        raise RefusedError(findings[0].message, findings[0].hint)
    refuse_beside(connection, new, changed, about, gone=[one.id for one in gone], stored=stored)
    # not checked: what nobody would believe today must be free to go
    withdrawn = [replace(fact, voided=True) for fact in gone]
    entries = [Entry(fact) for fact in new] + [Entry(fact, Doing.EDITED) for fact in changed]
    entries += [Entry(fact, Doing.VOIDED) for fact in withdrawn]
    deed = record(connection, device=store.device, person=one_line(person) or store.person, said=said, entries=entries)
    return Done(deed, said, (*new, *changed, *withdrawn), (*also, *store.to_tell()))


def cleaned(fact: F) -> F:
    """Return the fact with its texts free of control codes: what is stored must not act on a terminal later."""
    kind: Any = type(fact)
    names, texts = _texts(kind)
    spoilt = {}
    for name, value in zip(names, texts(fact), strict=True):
        if value and type(value) is str and (clean := plain(value)) != value:
            spoilt[name] = clean
    return replace(fact, **spoilt) if spoilt else fact  # type: ignore[arg-type]


def all_cleaned(facts: Sequence[F]) -> list[F]:
    """Return what `cleaned` returns of each fact; of a text that many of them have it is asked once."""
    of_kind: dict[Any, list[F]] = defaultdict(list)
    for fact in facts:
        of_kind[type(fact)].append(fact)
    texts = {text for kind, its in of_kind.items() for told in map(_texts(kind)[1], its) for text in told}
    spoilt = any(text and type(text) is str and plain(text) != text for text in texts)
    return [cleaned(fact) for fact in facts] if spoilt else list(facts)


@cache
def _texts(kind: Any) -> tuple[tuple[str, ...], Callable[[Any], Sequence[Any]]]:
    """Return the fields of a type of fact that hold texts, and what takes their values."""
    names = tuple(one.name for one in fields(kind) if one.type in ("str", "str | None"))
    if len(names) > 1:
        return names, attrgetter(*names)
    return names, lambda fact: [getattr(fact, name) for name in names]


#: more keys than these are not listed in a query: the whole table is read
_MOST_KEYS: Final = 500

#: where one of these fields changes, the rows that point at the row may not fit it any more
_OTHERS_REST_ON: Final[Mapping[type[Fact], tuple[str, ...]]] = MappingProxyType(
    {Machine: ("kind",), Component: ("positions",), PartKind: ("meter_kind",)}
)


class BesideError(RefusedError):
    """A row does not go with what the log holds beside it; `fact_id` is that row's, as far as it is one to be written."""

    def __init__(self, message: str, hint: str, fact_id: UUID) -> None:
        super().__init__(message, hint)
        self.fact_id = fact_id


def refuse_beside(
    connection: Connection,
    new: Iterable[Fact],
    changed: Sequence[Fact],
    known: KnownNames,
    *,
    gone: Iterable[UUID] = (),
    stored: Sequence[Fact] | None = None,
) -> None:
    """Refuse what does not go with the stored rows beside it.

    Parameters
    ----------
    new, changed : iterable of Fact
        As they are to be written; changed ones stand in for the stored rows of their id.
    gone : iterable of UUID
        Rows that count no more after it.
    stored : sequence of Fact, optional
        The stored readings, fittings or hitches beside them, where they were read already.

    Raises
    ------
    RefusedError
        When a reading would fall, a position or machine would be taken twice, a row that hangs on a changed one would not fit it
        any more, or readings of a kind would mean something else.
    """
    written = [one for one in (*new, *changed) if not one.voided]
    leaving = {one.id for one in (*written, *changed)} | set(gone)
    _refuse_hanging(connection, changed, known, leaving)
    neighbours = _neighbours(connection, written) if stored is None else stored
    if not neighbours:
        return
    if any(_worse(written, neighbours, leaving, around(written, known, known.farm, now=None, time_zone=None))):
        # what was given as known may lack the settings: they are read when there is something to be said in them
        at_hand = around(written, known, settings_of(connection), now=None, time_zone=None)
        finding = next(_worse(written, neighbours, leaving, at_hand))
        raise BesideError(finding.message, finding.hint, _to_be_written(finding, written, neighbours))


def _to_be_written(finding: Unsound, written: Sequence[Fact], neighbours: Iterable[Fact]) -> UUID:
    """Return the id of the row that stands in the way; where the stored one is blamed, of one that is written beside it."""
    blamed = next((one for one in neighbours if one.id == finding.fact_id), None)
    if blamed is None or any(one.id == blamed.id for one in written):
        return finding.fact_id
    return next((one.id for one in written if _key(one) == _key(blamed)), finding.fact_id)


def refuse_still_to_come(facts: Sequence[Fact], known: KnownNames, now: datetime) -> None:
    """Refuse instants more than a day ahead of the clock: nothing of them can be known yet."""
    whenever = set(unsound(facts, known))
    for finding in unsound(facts, known, now=now):
        if finding not in whenever:
            raise RefusedError(finding.message, finding.hint)


def _neighbours(connection: Connection, written: Sequence[Fact]) -> list[Fact]:
    """The stored readings of the same meters, fittings of the same positions, and hitches where one is written."""
    found: list[Fact] = []
    meters = {one.meter_id for one in written if isinstance(one, Reading)}
    if meters:
        found += find_all(connection, Reading, **_among(meter_id=meters))
    places = [one for one in written if isinstance(one, Fitting)]
    if places:
        asked = _among(component_id={one.component_id for one in places}, position={one.position for one in places})
        found += find_all(connection, Fitting, **asked)
    if any(isinstance(one, Hitch) for one in written):
        found += find_all(connection, Hitch)
    return found


def _among(**keys: set[Any]) -> dict[str, set[Any]]:
    return {name: wanted for name, wanted in keys.items() if len(wanted) <= _MOST_KEYS}


def _worse(
    written: Sequence[Fact], neighbours: Iterable[Fact], leaving: set[UUID], at_hand: Around
) -> Iterator[Unsound]:
    before: dict[object, list[Any]] = defaultdict(list)
    after: dict[object, list[Any]] = defaultdict(list)
    for one in written:
        if type(one) in _RULES:
            after[_key(one)].append(one)
    for one in neighbours:
        if _key(one) in after:
            before[_key(one)].append(one)
    # what has nothing stored beside it was compared already, among what is written
    for key, its in before.items():
        rule = _RULES[type(its[0])]
        stay = [one for one in its if one.id not in leaving]
        if not stay:
            continue
        was = list(rule(its, at_hand))
        shall = list(rule([*stay, *after[key]], at_hand))
        if len(shall) > len(was):
            yield from (finding for finding in shall if finding not in was)


def _key(fact: Fact) -> object:
    """What rows must share for one to stand in another's way."""
    if isinstance(fact, Reading):
        return Reading, fact.meter_id
    if isinstance(fact, Fitting):
        return Fitting, fact.component_id, fact.position
    return type(fact)


def _falling(readings: Sequence[Any], at_hand: Around) -> Iterator[Unsound]:
    """As `falling_readings`, with the machine named: there is no line of a file to look at."""
    meter = at_hand.meters.get(readings[0].meter_id)
    machine = at_hand.machines.get(meter.machine_id) if meter else None
    whose = f"{machine.name}: " if machine else ""
    for one in falling_readings(readings, at_hand):
        yield Unsound(one.fact_id, one.field, whose + one.message, one.hint)


_RULES: Final[Mapping[type[Fact], Callable[[Sequence[Any], Around], Iterator[Unsound]]]] = MappingProxyType(
    {Reading: _falling, Fitting: two_at_one_position, Hitch: hitched_twice}
)


def _refuse_hanging(connection: Connection, changed: Sequence[Fact], known: KnownNames, leaving: set[UUID]) -> None:
    for kind, matters in _OTHERS_REST_ON.items():
        its = {one.id: one for one in changed if type(one) is kind and not one.voided}
        for old in find_many(connection, kind, list(its)) if its else ():
            new = its[old.id]
            if isinstance(old, PartKind) and isinstance(new, PartKind):
                refuse_other_meaning(connection, old, new)
            if any(getattr(old, name) != getattr(new, name) for name in matters):
                _refuse_misfits(connection, old, known, changed, leaving)


def _refuse_misfits(
    connection: Connection, old: Fact, known: KnownNames, changed: Sequence[Fact], leaving: set[UUID]
) -> None:
    rows = [one for one in _hanging_on(connection, old) if one.id not in leaving]
    farm = settings_of(connection)
    was, shall = (around(facts, known, farm, now=None, time_zone=None) for facts in ([old], changed))
    misfits = [finding for one in rows for finding in _fresh(one, was, shall)]
    if not misfits:
        return
    count = len({finding.fact_id for finding in misfits})
    what = "1 row that hangs on it" if count == 1 else f"{count} rows that hang on it"
    raise RefusedError(f"{what} would not fit then. {misfits[0].message}", "Correct those first, or leave it as it is.")


def _fresh(fact: Fact, was: Around, shall: Around) -> list[Unsound]:
    before = list(row_findings(fact, was))
    return [finding for finding in row_findings(fact, shall) if finding not in before]


def _hanging_on(connection: Connection, fact: Fact) -> Iterator[Fact]:
    """Every row that points at a row; of a kind of part what is fitted too, whose age is told on the kind's meter."""
    table = table_of(fact)
    for fact_type, other in TABLE_OF_FACT.items():
        for column in other.columns:
            if any(key.column.table is table for key in column.foreign_keys):
                found = find_all(connection, fact_type, **{column.name: fact.id})
                yield from found
                if isinstance(fact, PartKind) and fact_type is Component and found:
                    yield from find_all(connection, Fitting, **_among(component_id={one.id for one in found}))


def refuse_other_meaning(connection: Connection, before: PartKind, after: PartKind) -> None:
    """Readings are lengths over the kind's own pitches: changing what they are lengths of would make old ones wrong."""
    asked = [(one.dimension, one.pitch_micrometres, one.pitches) for one in (before, after)]
    if asked[0] == asked[1]:
        return
    its = {one.id for one in find_all(connection, Component, part_kind_id=before.id)}
    count = sum(one.component_id in its for one in find_all(connection, Measurement))
    if count:
        readings = f"{count} reading{'s' if count > 1 else ''} of {before.name}"
        raise RefusedError(
            f"{readings} would mean something else then.",
            "Only the limit can still be changed. Another chain or span is said with each reading: "
            "wearlog measure ... --chain --pitches.",
        )
