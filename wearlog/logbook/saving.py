"""How every entry is saved: checked for soundness, written as one deed, and told back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import Deed
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import one_line, plain
from wearlog.logbook.checks.beside import refuse_beside
from wearlog.logbook.checks.soundness import unsound
from wearlog.logbook.names import KnownNames
from wearlog.store.connection import Connection
from wearlog.store.content import field_names
from wearlog.store.finding import settings_of
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store

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
    spoilt = {
        name: clean
        for name in field_names(kind)
        if type(value := getattr(fact, name)) is str and value and (clean := plain(value)) != value
    }
    return replace(fact, **spoilt) if spoilt else fact  # type: ignore[arg-type]
