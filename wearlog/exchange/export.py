"""Writing the log as a folder of CSV files that reads back to the same facts, ids included. Reading is in source.py."""

from __future__ import annotations

import csv
import secrets
import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.disk import put_folder_in_place, put_in_place, take_away
from wearlog.errors import RefusedError
from wearlog.exchange.cells import written_cell
from wearlog.exchange.columns import Form, Measure, System, heading_with, units_of, written_unit
from wearlog.exchange.headings import KEY, NAME_FIELDS, helpers_of
from wearlog.exchange.instants import FarmClock, farm_zone
from wearlog.exchange.raw_sheet import sheet_name
from wearlog.exchange.rows_by_name import WrittenNames
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import farm_settings
from wearlog.facts.plain_text import folded

if TYPE_CHECKING:
    from wearlog.store.opening import Store

#: lies in every export and says that the folder may be written again
MARK: Final = "about-this-export.txt"
_ABOUT: Final = """This folder is an export of a wearlog log: one CSV file for each table, UTF-8.
`wearlog import FOLDER` reads it again. Another export into this folder replaces its files.
"""
_WHEN: Final = ("at", "started_at", "fitted_at", "from_at", "opened_at", "starts_on")


@dataclass(frozen=True, slots=True)
class Exported:
    """Where the files are (or the workbook), and how many rows went into each sheet."""

    folder: Path
    rows_by_sheet: tuple[tuple[str, int], ...]


def export_folder(store: Store, folder: Path, *, units: System = "us", overwrite: bool = False) -> Exported:
    """Write every fact that counts into a folder, one CSV file for each table that has any.

    Parameters
    ----------
    units : "us" or "metric"
        The units of the headings; the numbers have as many decimals as give back exactly what is stored.
    overwrite : bool
        Write into a folder that holds other files too; those stay.

    Raises
    ------
    RefusedError
        When the folder holds anything but an earlier export.
    """
    from wearlog.logbook.files import importing

    facts = importing.everything(store)
    settings = farm_settings(fact for fact in facts.get("setting", ()) if isinstance(fact, Setting))
    return write_folder(facts, folder, units=units, time_zone=farm_zone(settings.time_zone), overwrite=overwrite)


def write_folder(
    facts: Mapping[str, Sequence[Fact]],
    folder: Path,
    *,
    units: System,
    time_zone: tzinfo,
    delimiter: str = ",",
    overwrite: bool = False,
) -> Exported:
    """Write facts, by table, into a folder; with a delimiter other than a comma, numbers have decimal commas.

    The files are written beside the folder and moved into its place when all are there.
    """
    folder = Path(folder)
    others = _others(folder)
    if others and not overwrite:
        raise RefusedError(
            f"{folder.name} holds other files: {', '.join(others[:3])}.",
            "Name a new or empty folder, or an earlier export.",
        )
    part = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}.part")
    try:
        part.mkdir(parents=True)
        counts = _write_sheets(facts, part, units, FarmClock(time_zone), delimiter)
        (part / MARK).write_text(_ABOUT, "utf-8", newline="\n")
        _move(part, folder, keep_others=bool(others))
    except OSError as error:
        raise RefusedError(f"{folder} cannot be written: {error.strerror}.", "Name another folder.") from error
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return Exported(folder, counts)


def _write_sheets(
    facts: Mapping[str, Sequence[Fact]], part: Path, units: System, clock: FarmClock, delimiter: str
) -> tuple[tuple[str, int], ...]:
    counts: list[tuple[str, int]] = []
    for sheet, lines in sheet_lines(facts, units, clock, decimal_comma=delimiter != ","):
        with (part / f"{sheet}.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, delimiter=delimiter, lineterminator="\n").writerows(lines)
        counts.append((sheet, len(facts[sheet])))
    return tuple(counts)


def sheet_lines(
    facts: Mapping[str, Sequence[Fact]], units: System, clock: FarmClock, *, decimal_comma: bool = False
) -> Iterator[tuple[str, Iterable[list[str]]]]:
    """Give each table that has facts: its name, and its lines as cells of text, the headings first."""
    names = WrittenNames(facts)
    for sheet in SHEETS:
        if rows := facts.get(sheet, ()):
            yield sheet, _Table(sheet, rows, names, clock, units, decimal_comma=decimal_comma).lines()


def _others(folder: Path) -> list[str]:
    """Return what lies in the folder and is not of an earlier export."""
    if not folder.exists():
        return []
    if not folder.is_dir():
        return [folder.name]
    names = sorted(file.name for file in folder.iterdir())
    if MARK not in names:
        return names
    return [name for name in names if name != MARK and not _is_ours(name)]


def _is_ours(name: str) -> bool:
    return name.endswith(".csv") and sheet_name(name.removesuffix(".csv")) == name.removesuffix(".csv")


def _move(part: Path, folder: Path, *, keep_others: bool) -> None:
    """Put the finished folder in the place of an earlier one, or its files among those of others."""
    if not keep_others or not folder.exists():
        put_folder_in_place(part, folder)
        return
    written = {file.name for file in part.iterdir()}
    stale = [file for file in folder.iterdir() if _is_ours(file.name) and file.name not in written]
    for file in [*part.iterdir()]:
        put_in_place(file, folder / file.name)
    for file in stale:
        take_away(file)


class _Table:
    """The rows of one sheet as cells."""

    def __init__(
        self,
        sheet: str,
        facts: Sequence[Fact],
        names: WrittenNames,
        clock: FarmClock,
        units: System,
        *,
        decimal_comma: bool,
    ) -> None:
        self._sheet, self._names, self._clock, self._units = sheet, names, clock, units
        self._mark = "," if decimal_comma else "."
        self._facts = sorted(facts, key=lambda fact: _order(sheet, fact))
        self._measures = [names.measure_of(fact) for fact in self._facts]
        columns = SHEETS[sheet]
        own = {column.heading for column in columns}
        self._helpers = [heading for heading in helpers_of(columns) if heading not in own]
        used = set(self._measures) or {Measure()}
        #: a column stands once for each unit that some row needs
        self._columns = [
            (column, unit)
            for column in columns
            for unit in units_of(column)
            if column.form is Form.POINTER or unit in {written_unit(column, units, measure) for measure in used}
        ]

    def lines(self) -> Iterable[list[str]]:
        yield [KEY, *self._helpers, *(heading_with(column, unit) for column, unit in self._columns)]
        for fact, measure in zip(self._facts, self._measures, strict=True):
            pointing = self._names.pointing_cells(self._sheet, fact)
            cells = [str(fact.id), *(pointing[heading] for heading in self._helpers)]
            for column, unit in self._columns:
                if column.form is Form.POINTER:
                    cells.append(pointing[column.heading])
                elif unit == written_unit(column, self._units, measure):
                    cells.append(written_cell(column, unit, getattr(fact, column.field), self._clock, self._mark))
                else:
                    cells.append("")
            yield cells


def _order(sheet: str, fact: Fact) -> tuple[str, str, UUID]:
    """Rows with a name go by name, others by time."""
    when = next((getattr(fact, field) for field in _WHEN if getattr(fact, field, None) is not None), "")
    name = folded(str(getattr(fact, NAME_FIELDS[sheet][-1]))) if sheet in NAME_FIELDS else ""
    return (when.isoformat() if isinstance(when, date) else "", name, fact.id)
