"""Reading an import: a folder of CSV files, one CSV file or a workbook becomes facts, or a list of problems. Writes nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Final
from uuid import UUID

from wearlog.disk import why_unread
from wearlog.errors import NotFoundError, UsageError
from wearlog.exchange.found_files import ENDINGS, open_csv, open_workbook
from wearlog.exchange.headings import FACT_OF_SHEET, FIELDS_OF_SHEET
from wearlog.exchange.instants import FarmClock, farm_zone
from wearlog.exchange.raw_sheet import ProblemList, RawSheet, SheetProblem, SpoiltSheetError, column_letter, sheet_name
from wearlog.exchange.row_meaning import ended_by_the_next, replaced_parts
from wearlog.exchange.rows_by_name import NamedRows
from wearlog.exchange.sheet_reader import SheetReader
from wearlog.exchange.sheets import SHEETS
from wearlog.exchange.told_ages import ToldAges
from wearlog.facts.closed_lists import Action
from wearlog.facts.fact import Fact
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.logbook.checks.soundness import Unsound, unsound
from wearlog.logbook.names import KnownNames
from wearlog.progress import counted, step, stretch

_LEFT_ALONE: Final = (
    "{} of replaced parts on components that the log knows: their fittings were left as they are. "
    "Have the sheet fitting in the same folder to change them."
)
#: the shares of reading's time at which the sheets are found, and their rows understood
_FOUND: Final = 0.15
_UNDERSTOOD: Final = 0.8
_TWICE: Final = "the clock showed {} twice; the first of the two was taken."


@dataclass(frozen=True, slots=True)
class SheetReading:
    """What was read.

    Attributes
    ----------
    facts : tuple of Fact
        In an order in which they can be written; empty when there is any problem.
    problems : tuple of SheetProblem
        The first 200 in the order of the sheets; `problems_left_out` more were met.
    notices : tuple of str
        What was passed over or taken for granted.
    clock_asked : bool
        Whether any time did not say its offset and was read by the farm's clock.
    digest : str
        SHA-256 of the files that were read.
    rows_by_sheet : tuple of (str, int)
        Rows that were not blank.
    rough : frozenset of UUID
        Fittings whose age is told roughly, so that another day it comes to another figure.
    told : mapping of str to set of str
        Table -> the fields that the headings of its sheet can say; what is left out is left alone in the log.
    rows : tuple of (str, sequence of Fact, sequence of int)
        File, facts and the line of each, sheet by sheet.
    """

    facts: tuple[Fact, ...]
    problems: tuple[SheetProblem, ...]
    notices: tuple[str, ...]
    digest: str
    rows_by_sheet: tuple[tuple[str, int], ...]
    problems_left_out: int = 0
    clock_asked: bool = False
    rough: frozenset[UUID] = frozenset()
    told: Mapping[str, frozenset[str]] = field(default_factory=dict)
    rows: tuple[tuple[str, Sequence[Fact], Sequence[int]], ...] = ()

    def place_of(self, row_id: UUID) -> str:
        """Return where a row stands, "fitting.csv, line 2"; empty for one that no line says."""
        for file, facts, lines in self.rows:
            for fact, line in zip(facts, lines, strict=True):
                if fact.id == row_id:
                    return f"{file}, line {line}"
        return ""


def read_source(
    path: Path, known: KnownNames, *, time_zone: str, now: datetime, ages: ToldAges | None = None
) -> SheetReading:
    """Read a folder of CSV files, one CSV file or a workbook.

    Parameters
    ----------
    known : KnownNames
        The rows of the log that cells may name.
    time_zone : str
        Name of the zone whose clock the times without an offset were read from; "" = this machine's clock.
    now : datetime
        Times more than a day after it are not believed.
    ages : ToldAges, optional
        Reckons the ages that are told roughly; without it by usual seasons.

    Raises
    ------
    NotFoundError
        When there is nothing at `path`, or no sheet in it.
    UsageError
        When it is neither a folder, a CSV file nor a workbook, or the time zone does not exist.
    """
    clock = FarmClock(farm_zone(time_zone))
    found = _Found(hashlib.sha256())
    _find_sheets(Path(path), found)
    problems, notices, sheets = found.problems, found.notices, found.sheets
    if not sheets and not problems:
        raise NotFoundError(
            f"There is no sheet in {Path(path).name}.",
            f"A sheet is a CSV file or worksheet called {', '.join(SHEETS)}.",
        )
    step(_FOUND)
    with stretch(_FOUND, _UNDERSTOOD):
        readers = _read_sheets(found, NamedRows(known, ages), known, clock)
    _check(readers, known, problems, clock, now)
    return SheetReading(
        facts=() if problems else tuple(fact for reader in readers for fact in reader.facts),
        problems=tuple(problems.kept),
        notices=tuple(notices),
        digest=found.digest.hexdigest(),
        rows_by_sheet=tuple((reader.raw.name, reader.row_count) for reader in readers),
        problems_left_out=problems.left_out,
        clock_asked=clock.asked,
        told={**FIELDS_OF_SHEET, **{reader.raw.name: reader.told() for reader in readers}},
        rough=frozenset(row_id for reader in readers for row_id in reader.rough),
        rows=tuple((reader.raw.file, reader.facts, reader.lines) for reader in readers),
    )


@dataclass(slots=True)
class _Found:
    """What the files gave before any row was read."""

    digest: hashlib._Hash
    sheets: list[RawSheet] = field(default_factory=list)
    problems: ProblemList = field(default_factory=ProblemList)
    notices: list[str] = field(default_factory=list)
    unreadable: set[str] = field(default_factory=set)

    def add(self, raw: RawSheet) -> None:
        first = next((one for one in self.sheets if one.name == raw.name), None)
        if first is None:
            self.sheets.append(raw)
        else:
            self.problems.add(SheetProblem(f"{first.file} is the same sheet already.", "Put both into one.", raw.file))


def _find_sheets(path: Path, found: _Found) -> None:
    ending = path.suffix.casefold()
    if path.is_dir():
        _look_through(path, found)
    elif not path.exists():
        raise NotFoundError(f"There is nothing at {path}.", "Name a folder of CSV files, a CSV file or a workbook.")
    elif ending == ".csv":
        if sheet_name(path.stem) is None:
            raise UsageError(f"{path.name} is not called like a sheet.", _sheet_hint(path.stem))
        _take_csv(path, found)
    elif ending in ENDINGS:
        _take_workbook(path, found)
    else:
        raise UsageError(f"{path.name} is not a sheet.", "Name a folder of CSV files, a CSV file or a workbook.")


def _look_through(folder: Path, found: _Found) -> None:
    try:
        files = sorted(folder.iterdir())
    except OSError as error:
        raise NotFoundError(f"{folder} cannot be read: {error.strerror}.", "Name another folder.") from error
    for file in files:
        if not file.is_file() or file.name.startswith(".") or file.suffix.casefold() != ".csv":
            continue
        if sheet_name(file.stem) is None:
            found.notices.append(f"{file.name} was passed over. {_sheet_hint(file.stem)}")
        else:
            _take_csv(file, found)


def _take_workbook(path: Path, found: _Found) -> None:
    try:
        found.digest.update(path.read_bytes())
        sheets, others = open_workbook(path)
    except SpoiltSheetError as error:
        found.problems.add(SheetProblem(error.message, error.hint, path.name))
        return
    except OSError as error:
        found.problems.add(SheetProblem(f"It cannot be read: {why_unread(error)}.", "", path.name))
        return
    found.notices += [f"{path.name}: the sheet '{name}' was passed over. {_sheet_hint(name)}" for name in others]
    for raw in sheets:
        found.add(raw)


def _take_csv(file: Path, found: _Found) -> None:
    name = sheet_name(file.stem) or ""
    try:
        content = file.read_bytes()
    except OSError as error:
        found.problems.add(SheetProblem(f"It cannot be read: {why_unread(error)}.", "", file.name))
        found.unreadable.add(name)
        return
    found.digest.update(f"{name}\0{len(content)}\0".encode())
    found.digest.update(content)
    try:
        raw, guessed = open_csv(name, file.name, content)
    except SpoiltSheetError as error:
        found.problems.add(SheetProblem(error.message, error.hint, file.name, error.line))
        found.unreadable.add(name)
        return
    if guessed:
        found.notices.append(
            f"{file.name} is not UTF-8: it was read as Windows-1252. Look at the letters with accents."
        )
    if raw is None:
        found.notices.append(f"{file.name} is empty.")
    else:
        found.add(raw)


def _read_sheets(found: _Found, named: NamedRows, known: KnownNames, clock: FarmClock) -> list[SheetReader]:
    """Read the sheets in an order in which whatever is pointed at has been read before."""
    named.unreadable |= found.unreadable
    order = list(SHEETS)
    readers: list[SheetReader] = []
    for raw in counted(sorted(found.sheets, key=lambda raw: order.index(raw.name)), of=len(found.sheets)):
        reader = SheetReader(raw, named, clock, found.problems)
        reader.read()
        readers.append(reader)
        where = reader.raw.file
        found.notices += [f"{where}, line {line}: {_TWICE.format(text)}" for line, text in reader.twice]
        found.notices += [f"{where}, line {line}: '{text}' was read as {name}." for line, text, name in reader.begun]
        found.notices += [f"{where}, line {line}: {text}" for line, text in reader.taken]
    _complete_fittings({reader.raw.name: reader for reader in readers}, known, found.notices)
    return readers


def _complete_fittings(readers: dict[str, SheetReader], known: KnownNames, notices: list[str]) -> None:
    """Add what the rows leave unsaid: fittings that follow from breakages, and ends that follow from the next fitting."""
    fitting, breakage = readers.get("fitting"), readers.get("breakage")
    written = [fact for fact in fitting.facts if isinstance(fact, Fitting)] if fitting else []
    if breakage is not None:
        # what a component of the log carries is not known here, unless the files say it
        in_log = {component.id for component in known.components} - {one.component_id for one in written}
        told = [one for one in breakage.facts if isinstance(one, Breakage) and one.id not in breakage.literal]
        speaking = [one for one in told if one.component_id not in in_log]
        silent = sum(one.action is Action.REPLACED and one.component_id in in_log for one in told)
        if silent:
            notices.append(f"{breakage.raw.file}: {_LEFT_ALONE.format('1 row' if silent == 1 else f'{silent} rows')}")
        replaced = replaced_parts(written, speaking)
        written = replaced.fittings
        line_of = dict(zip((fact.id for fact in breakage.facts), breakage.lines, strict=True))
        breakage.facts += [made for _, made in replaced.new]
        breakage.lines += [line_of[cause.id] for cause, _ in replaced.new]
        if replaced.new:
            notices.append(
                f"{breakage.raw.file}: {len(replaced.new)} replaced parts were fitted when the old ones broke."
            )
    made_too = [fact for fact in breakage.facts if isinstance(fact, Fitting)] if breakage else []
    ended = ended_by_the_next([*written, *made_too])
    if fitting is not None:
        fitting.facts = list(ended[: len(written)])
    if breakage is not None:
        breakage.facts = [*breakage.facts[: len(breakage.facts) - len(made_too)], *ended[len(written) :]]


def _sheet_hint(name: str) -> str:
    close = get_close_matches(name.casefold(), SHEETS, n=1, cutoff=0.6)
    return f"Did you mean {close[0]}?" if close else "No sheet is called so."


def _check(
    readers: list[SheetReader], known: KnownNames, problems: ProblemList, clock: FarmClock, now: datetime
) -> None:
    """Look for rows of one id, and ask whether the facts can be believed."""
    _same_ids(readers, problems)
    findings = unsound((fact for reader in readers for fact in reader.facts), known, now=now, time_zone=clock.zone)
    if not findings:
        return
    blamed = {finding.fact_id for finding in findings}
    places = {
        fact.id: (reader, line)
        for reader in readers
        for fact, line in zip(reader.facts, reader.lines, strict=True)
        if fact.id in blamed and type(fact) is FACT_OF_SHEET[reader.raw.name]
    }
    said: set[SheetProblem] = set()
    for finding in findings:
        if finding.fact_id not in places:
            continue  # a fitting that follows from a breakage, which is blamed for it already
        problem = _as_problem(finding, *places[finding.fact_id])
        # a row of many fittings says the same of each position; once is enough
        if problem not in said:
            said.add(problem)
            problems.add(problem)


def _as_problem(finding: Unsound, reader: SheetReader, line: int) -> SheetProblem:
    bound = reader.bound_of(finding.field)
    letter, heading = (column_letter(bound.index), bound.heading) if bound else ("", "")
    return SheetProblem(finding.message, finding.hint, reader.raw.file, line, letter, heading)


def _same_ids(readers: list[SheetReader], problems: ProblemList) -> None:
    for reader in readers:
        first: dict[object, int] = {}
        for fact, line in zip(reader.facts, reader.lines, strict=True):
            earlier = first.setdefault(fact.id, line)
            if earlier != line:
                problems.add(
                    SheetProblem(
                        f"This is the row of line {earlier} again: it has the same key or the same name.",
                        "Give each row its own, or leave one out.",
                        reader.raw.file,
                        line,
                    )
                )
