"""Whether facts can be believed: the one question that imports and forms ask before anything is written. Pure; writes nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, tzinfo

from wearlog.facts.fact import Fact
from wearlog.logbook.cross_rules import cross_findings
from wearlog.logbook.known_names import KnownNames
from wearlog.logbook.row_checks import numbers_and_instants, without_zone
from wearlog.logbook.unsound import Around, Unsound, around
from wearlog.logbook.wear_rules import WEAR_RULES
from wearlog.logbook.work_rules import WORK_RULES

__all__ = ["Unsound", "unsound"]


def unsound(
    facts: Iterable[Fact], known: KnownNames, *, now: datetime | None = None, time_zone: tzinfo = UTC
) -> tuple[Unsound, ...]:
    """Return everything that cannot be believed about these facts, in their order, rules between rows last.

    Parameters
    ----------
    facts : iterable of Fact
        What is to be written. Voided facts count for nothing and are passed over. Rules between rows (readings that never fall,
        one part at a position, one combine for a header) hold within these facts: pass the stored neighbours along.
    known : KnownNames
        The rows that are there already; a fact of the same id stands in for its known row.
    now : datetime, optional
        An instant more than a day after it is still to come, and so not believed. None: the future is not looked at.
    time_zone : tzinfo
        The farm's clock, in which the sentences write their times.

    Notes
    -----
    A row that is pointed at and is neither among the facts nor known is left alone: that it exists is the store's affair.
    """
    rows = [fact for fact in facts if not fact.voided]
    at_hand = around(rows, known, now=now, time_zone=time_zone)
    found: list[Unsound] = []
    comparable: list[Fact] = []
    for fact in rows:
        zoneless = list(without_zone(fact))
        found += zoneless
        if not zoneless:
            comparable.append(fact)
            found += _row_findings(fact, at_hand)
    return (*found, *cross_findings(comparable, known, at_hand))


def _row_findings(fact: Fact, at_hand: Around) -> Iterator[Unsound]:
    yield from numbers_and_instants(fact, at_hand)
    rule = WORK_RULES.get(type(fact)) or WEAR_RULES.get(type(fact))
    if rule is not None:
        yield from rule(fact, at_hand)
