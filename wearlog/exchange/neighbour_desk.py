"""Taking neighbours' files into the log and writing this farm's own: what command and screen both do. Fits nothing.

The file has lives without names: one CSV, a row for each sort of life, or only sums. Columns: version, farm, issue, kind, ground,
meter, then entry, exit, failed, count of equal lives; or count and the eighteen sums of one kind on one ground. Ages are hectares,
hours or days.
"""

from __future__ import annotations

import csv
import io
import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Final

import numpy as np

from wearlog.errors import NotFoundError, RefusedError
from wearlog.exchange.order_files import write_whole
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.neighbours import GROUNDS, NUMBERS, FarmSums, NeighbourLife, is_farm_number
from wearlog.facts.plain_text import one_line
from wearlog.logbook.farm.neighbouring import keep_neighbours, own_number, wrote
from wearlog.logbook.saving import Done
from wearlog.present.wear.neighbour_sheet import read_sentences
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.wear.neighbours import THOUSAND, SharedLives, ToShare, learned_from
from wearlog.store.connection import Connection
from wearlog.store.histories import Floats
from wearlog.store.location import locate
from wearlog.store.neighbour_table import sums_on_server
from wearlog.store.opening import Store
from wearlog.wear.neighbours import SHAPES, grouped_sums

VERSION: Final = "1"
_WHO: Final = ("version", "farm", "issue", "kind", "ground", "meter")
_LIFE: Final = ("entry", "exit", "failed", "count")
_SUMS: Final = ("failures", "sum_log", *(f"power_{place}" for place in range(1, SHAPES.size + 1)))
HEADINGS: Final = (*_WHO, *_LIFE, *_SUMS)
#: what the meters of a file are called, by their unit
METERS: Final[Mapping[str, MeterKind]] = {
    "hectares": MeterKind.AREA,
    "separator_hours": MeterKind.SEPARATOR_HOURS,
    "engine_hours": MeterKind.ENGINE_HOURS,
    "days": MeterKind.CALENDAR,
}
_METER_WORDS: Final = {meter: word for word, meter in METERS.items()}
#: small pieces stay in the cache: 100,000 rows at once took three times as long
_ROWS_AT_ONCE: Final = 2_000
#: so many refused rows are told, the rest is counted
TOLD: Final = 8
_LONGEST_KIND: Final = 80

Who = tuple[str, str, str, str, str]


@dataclass(slots=True)
class FileRead:
    """What files held.

    Attributes
    ----------
    sums : list of FarmSums
        Of each farm its newest issue alone.
    refused : list of str
        The first rows that could not be taken: file, line, what is wrong.
    refused_rows : int
        How many there were.
    rows : int
        Rows that were taken.
    """

    sums: list[FarmSums] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    refused_rows: int = 0
    rows: int = 0

    def refuse(self, where: str, why: str) -> None:
        """Note a row that cannot be taken."""
        self.refused_rows += 1
        if len(self.refused) < TOLD:
            self.refused.append(f"{where}: {why}")


def read_neighbour_files(paths: Sequence[Path]) -> FileRead:
    """Read files of lives or sums.

    Parameters
    ----------
    paths : sequence of Path
        Rows of one farm with one issue may be spread over them; of a farm the newest issue counts.

    Raises
    ------
    NotFoundError
        There is no such file.
    RefusedError
        A file is no such file, or of another version: it is refused whole, and nothing of any file is taken.
    """
    found = FileRead()
    gathered: dict[Who, tuple[float, Floats]] = {}
    for path in paths:
        with _opened(path) as stream:
            _read_one(path.name, csv.reader(stream), gathered, found)
    found.sums = _newest(gathered)
    return found


def read_neighbour_server(address: str) -> FileRead:
    """Let a server add up the lives that farms wrote into its table `neighbour_life`. Errors as `sums_on_server`."""
    groups, wrong = sums_on_server(locate(address), SHAPES.tolist(), THOUSAND, VERSION)
    found = FileRead()
    for _ in range(wrong):
        found.refuse(address, "a row of the table that no life can be")
    gathered: dict[Who, tuple[float, Floats]] = {}
    for one in groups:
        who = (one.farm, str(one.issue), one.kind, one.ground, one.meter)
        if why := _wrong(who):
            found.refuse(address, why)
        else:
            gathered[who] = (one.lives, np.array(one.sums))
            found.rows += 1
    found.sums = _newest(gathered)
    return found


def is_neighbour_file(path: Path) -> bool:
    """Whether a file begins like one of lives without names."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as stream:
            return [one.strip() for one in next(csv.reader(stream), [])][: len(_WHO)] == list(_WHO)
    except (OSError, UnicodeDecodeError, csv.Error):
        return False


def _opened(path: Path) -> io.TextIOWrapper:
    try:
        return path.open(encoding="utf-8-sig", newline="")
    except (FileNotFoundError, IsADirectoryError) as error:
        raise NotFoundError(f"There is no file {path}.", "Name a file of lives that a neighbour wrote.") from error
    except OSError as error:
        raise RefusedError(f"{path} cannot be read: {error.strerror}.", "Look at its permissions.") from error


def _read_one(
    name: str, reader: Iterator[list[str]], gathered: dict[Who, tuple[float, Floats]], found: FileRead
) -> None:
    try:
        headings = [one.strip().casefold() for one in next(reader, [])]
        missing = [one for one in (*_WHO, "count") if one not in headings]
        if missing or not ({"entry", "exit", "failed"} <= set(headings) or set(_SUMS) <= set(headings)):
            raise RefusedError(
                f"{name}, line 1: this is no file of neighbours' lives{f' (no column {missing[0]})' if missing else ''}.",
                "It begins with version,farm,issue,kind,ground,meter. 'wearlog neighbours --write FILE' writes one.",
            )
        places = [headings.index(one) if one in headings else None for one in HEADINGS]
        line = 2
        while rows := list(itertools.islice(reader, _ROWS_AT_ONCE)):
            _take(name, line, rows, places, gathered, found)
            line += len(rows)
    except (UnicodeDecodeError, csv.Error) as error:
        raise RefusedError(f"{name} cannot be read as text (UTF-8).", "Save it as CSV again.") from error


def _take(
    name: str,
    first: int,
    rows: list[list[str]],
    places: Sequence[int | None],
    gathered: dict[Who, tuple[float, Floats]],
    found: FileRead,
) -> None:
    """Add up some rows; what cannot be right is refused row by row."""
    columns = list(itertools.zip_longest(*rows, fillvalue="")) or [()]
    empty = ("",) * len(rows)
    cells = {
        heading: empty if place is None or place >= len(columns) else columns[place]
        for heading, place in zip(HEADINGS, places, strict=True)
    }
    other = next((place for place, one in enumerate(cells["version"]) if one.strip() not in {VERSION, ""}), None)
    if other is not None:
        raise RefusedError(
            f"{name}, line {first + other}: written in version {one_line(cells['version'][other])[:20]}; this wearlog reads "
            f"{VERSION}.",
            "Nothing of it was taken. Ask for a file of this version, or use a newer wearlog.",
        )
    who = list(zip(*(cells[one] for one in _WHO[1:]), strict=True))
    numbers: dict[Who, int] = {}
    group = np.array([numbers.setdefault(one, len(numbers)) for one in who], dtype=np.int64)
    wrong = [_wrong(one) for one in numbers]
    is_sum = np.array([bool(one) for one in cells["sum_log"]])
    reads = _Columns(cells, len(rows))
    count = reads.number("count")
    good = np.array([not one for one in wrong])[group] & (count >= 1) & (count == np.floor(count))
    is_life = good & ~is_sum
    entry, leaving, failed = (reads.number(one, where=is_life) for one in ("entry", "exit", "failed"))
    is_life &= (entry >= 0) & (leaving > entry) & ((failed == 0) | (failed == 1))
    is_sum &= good
    sums = np.array([reads.number(one, where=is_sum) for one in _SUMS]).T.reshape(len(rows), NUMBERS)
    is_sum &= np.isfinite(sums).all(axis=1) & (sums[:, 0] >= 0) & (sums[:, 0] <= count) & (sums[:, 2:] > 0).all(axis=1)
    for place in np.flatnonzero(~(is_life | is_sum)).tolist():
        if any(cell.strip() for cell in rows[place]):
            found.refuse(f"{name}, line {first + place}", wrong[group[place]] or _why(cells, place))
    taken = is_life | is_sum
    found.rows += int(taken.sum())
    mine = np.flatnonzero(is_life)
    total = grouped_sums(
        group[mine], len(numbers), entry[mine] / THOUSAND, leaving[mine] / THOUSAND, failed[mine], count[mine]
    )
    np.add.at(total, group[is_sum], sums[is_sum])
    lives = np.bincount(group[taken], count[taken], len(numbers))
    for one, place in numbers.items():
        if lives[place]:
            before = gathered.get(one, (0.0, np.zeros(NUMBERS)))
            gathered[one] = (before[0] + float(lives[place]), before[1] + total[place])


class _Columns:
    """Cells as numbers; NaN for what is none."""

    def __init__(self, cells: Mapping[str, Sequence[str]], rows: int) -> None:
        self.cells, self.rows = cells, rows

    def number(self, heading: str, *, where: np.ndarray | None = None) -> Floats:
        """Return a column, (rows,); with `where` only those rows are read, the others are NaN."""
        out = np.full(self.rows, np.nan)
        asked = np.arange(self.rows) if where is None else np.flatnonzero(where)
        column = self.cells[heading]
        texts = column if asked.size == self.rows else [column[place] for place in asked.tolist()]
        try:
            out[asked] = np.array(texts, dtype=np.float64) if asked.size else 0.0
        except ValueError:
            out[asked] = [_number(one) for one in texts]
        return np.where(np.abs(out) < 1e12, out, np.nan)


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return float("nan")


def _wrong(who: Who) -> str:
    """Return what is wrong with the farm, kind, ground or meter of a row; nothing where all is right."""
    farm, issue, kind, ground, meter = who
    if not is_farm_number(farm):
        return f"'{one_line(farm)[:40]}' is no number of a farm (32 digits 0-9 a-f)"
    if not (issue.isascii() and issue.isdigit() and len(issue) <= 9):
        return f"'{one_line(issue)[:20]}' is no issue (1, 2, 3 ...)"
    if not one_line(kind) or len(kind) > _LONGEST_KIND or one_line(kind) != kind:
        return "the kind of part has no name, or one that cannot be read"
    if ground not in GROUNDS:
        return f"'{one_line(ground)[:20]}' is no ground: {', '.join(GROUNDS)}"
    if meter not in METERS:
        return f"'{one_line(meter)[:20]}' is no meter: {', '.join(METERS)}"
    return ""


def _why(cells: Mapping[str, Sequence[str]], place: int) -> str:
    said = ", ".join(f"{one} {one_line(cells[one][place])[:16] or 'empty'}" for one in _LIFE)
    if cells["sum_log"][place]:
        return "these sums are those of no lives"
    return f"no life is like that ({said}): 0 or more at entry, more at exit, failed 0 or 1, a whole count"


def _newest(gathered: Mapping[Who, tuple[float, Floats]]) -> list[FarmSums]:
    newest: dict[str, int] = defaultdict(int)
    for farm, issue, *_ in gathered:
        newest[farm] = max(newest[farm], int(issue))
    kinds: dict[tuple[str, str, str], dict[str, tuple[int, tuple[float, ...]]]] = defaultdict(dict)
    for (farm, issue, kind, ground, meter), (lives, sums) in gathered.items():
        if int(issue) == newest[farm]:
            kinds[farm, kind, meter][ground] = (round(lives), tuple(sums.tolist()))
    return [FarmSums(farm, kind, newest[farm], METERS[meter], on) for (farm, kind, meter), on in kinds.items()]


def write_neighbour_file(path: Path, farm: str, issue: int, shared: Iterable[SharedLives], *, only_sums: bool) -> int:
    """Write this farm's lives, or only their sums, into a file; what other farms wrote there stays. Return how many rows those are.

    Raises
    ------
    RefusedError
        The file is there and is something else, or cannot be written.
    """
    others: list[list[str]] = []
    headings = list(HEADINGS)
    if path.exists():
        if not is_neighbour_file(path):
            raise RefusedError(f"{path} is there already, and no file of neighbours' lives.", "Choose another name.")
        read_neighbour_files([path])
        with _opened(path) as stream:
            reader = csv.reader(stream)
            before = [one.strip().casefold() for one in next(reader)]
            for row in reader:
                cells = dict(zip(before, row, strict=False))
                if any(row) and cells.get("farm", "").strip() != farm:
                    others.append([cells.get(one, "") for one in headings])
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(headings)
    writer.writerows(others)
    for one in shared:
        writer.writerows(_rows(farm, issue, one, only_sums=only_sums))
    write_whole(path, out.getvalue())
    return len(others)


def _rows(farm: str, issue: int, one: SharedLives, *, only_sums: bool) -> Iterator[list[str]]:
    who = [VERSION, farm, str(issue), one.kind, one.ground, _METER_WORDS[one.meter]]
    if only_sums:
        yield [*who, "", "", "", str(one.lives), *(repr(number) for number in one.sums)]
        return
    for entry, leaving, failed, count in zip(one.entry, one.leaving, one.failed, one.count, strict=True):
        yield [*who, f"{entry:g}", f"{leaving:g}", f"{failed:g}", f"{count:g}", *[""] * len(_SUMS)]


@dataclass(frozen=True, slots=True)
class NeighboursRead:
    """What was read, in sentences, and the entry it became; None where nothing was new."""

    lines: tuple[str, ...]
    done: Done | None


def read_into_log(store: Store, paths: Sequence[Path], now: datetime, *, server: str = "") -> NeighboursRead:
    """Read files of neighbours' lives and keep what is new; without a file learn the guesses anew. Errors as of the file.

    `server` names a database into which farms write, in place of files.
    """
    found = read_neighbour_files(paths) if not server else read_neighbour_server(server)

    def learn(connection: Connection, sums: Sequence[FarmSums]) -> list[NeighbourLife]:
        pools = learned_from(sums, farm_from(connection, now))
        return [pool.life for pool in pools if pool.life is not None]

    kept = keep_neighbours(store, found.sums, learn)
    if not paths and not server:
        return NeighboursRead(
            () if kept.done else ("The guesses in use are what was learned; nothing is to be done.",), kept.done
        )
    lines = read_sentences(len(kept.farms), found.rows, kept.older, found.refused, found.refused_rows, own=kept.own)
    return NeighboursRead(tuple(lines), kept.done)


def write_own_lives(store: Store, path: Path, found: ToShare, *, only_sums: bool) -> NeighboursRead:
    """Write this farm's lives under its number and the next issue. Errors as of the file; then nothing is noted either."""
    with store.reading() as connection:
        own = own_number(connection)
    others = write_neighbour_file(path, own.farm, own.issue, found.shared, only_sums=only_sums)
    done = wrote(store, own)
    beside = f", beside {others:,} rows of other farms" if others else ""
    return NeighboursRead((f"Written: {path}{beside}. Issue {own.issue} of farm {own.farm[:8]}...",), done)
