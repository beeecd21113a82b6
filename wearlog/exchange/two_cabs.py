"""Two cabs, one log, for commands and screens alike: what a bundle brings, and what is to be settled, joined or mended here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from wearlog.exchange.bundles import MergeAhead
from wearlog.exchange.row_book import RowBook, row_book, sheet_of
from wearlog.facts.fact import Fact
from wearlog.ids import short_number
from wearlog.logbook.files.mending import LogFinding, log_findings
from wearlog.logbook.twins.joining import came_later
from wearlog.logbook.twins.looking import find_twins
from wearlog.present.files.apart_words import apart_headline, clock_line, entries_from, finding_lines, same_name_line
from wearlog.present.files.twin_words import TwinOffer, twins_headline
from wearlog.reckoning.files import RowsApart, rows_apart_view
from wearlog.store.opening import Store
from wearlog.store.schema import table_of

#: so many of the entries that touch the same are told before a bundle is taken
_TOUCHING_TOLD = 5


@dataclass(frozen=True, slots=True)
class TwoCabs:
    """What came of several laptops' entries in one log: changed apart, entered twice, and what does not go together."""

    device: str
    apart: RowsApart
    twins: TwinList
    findings: tuple[LogFinding, ...]


def two_cabs(store: Store, now: datetime) -> TwoCabs:
    """Return what is to be settled, joined or mended; `now` is by the farm's clock."""
    with store.reading() as connection:
        apart, findings = rows_apart_view(connection), log_findings(connection)
    return TwoCabs(store.device, apart, twin_list(row_book(store, now)), findings)


def ahead_lines(ahead: MergeAhead, device: str) -> list[str]:
    """Say what a bundle would bring: "from 'cab 2': 14 entries, 2 touch the same part", those two, and what is odd about it."""
    if not ahead.entries:
        return [f"Nothing new: all that '{ahead.packed_by}' packed is in this log already."]
    lines = entries_from(ahead.by_device, len(ahead.touching))
    lines += [f"  {said}" for said in ahead.touching[:_TOUCHING_TOLD]]
    if ahead.ahead is not None:
        lines.append(clock_line(ahead.ahead))
    if ahead.same_name:
        lines.append(same_name_line(device))
    return lines


def after_lines(after: TwoCabs) -> list[str]:
    """Say what is to be done once a bundle was taken."""
    lines = ["Taken in."]
    if after.apart.rows:
        lines += [apart_headline(after.apart), "'wearlog settle' shows them."]
    twins = twins_headline(len(after.twins.offers), after.twins.later)
    return [*lines, *finding_lines(after.findings), *([twins] if twins else [])]


@dataclass(frozen=True, slots=True)
class TwinList:
    """The pairs that are offered, their rows (the one that would be kept first), and how many joined rows were written to again."""

    offers: tuple[TwinOffer, ...]
    rows: tuple[tuple[Fact, Fact], ...]
    later: int


def twin_list(book: RowBook) -> TwinList:
    """Return what looks entered twice, and what came in for what was joined."""
    with book.store.reading() as connection:
        twins, later = find_twins(connection), len(came_later(connection))
    offers = tuple(
        TwinOffer(
            table_of(one.kept).name,
            row_called(book, one.kept),
            row_called(book, one.twin),
            (short_number(one.kept.id), short_number(one.twin.id)),
            one.devices,
            one.why,
        )
        for one in twins
    )
    return TwinList(offers, tuple((one.kept, one.twin) for one in twins), later)


def row_called(book: RowBook, fact: Fact) -> str:
    """Return what a row is called with its number; of a table without a sheet the table and its name."""
    sheet = sheet_of(fact)
    if sheet:
        return book.called(sheet, fact)
    name = getattr(fact, "name", "")
    return f"{table_of(fact).name.replace('_', ' ')} {short_number(fact.id)}{f' ({name})' if name else ''}"
