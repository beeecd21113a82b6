"""From a path to the log: read, refuse or bring in. What a file means is settled in source.py, what is written in the logbook."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from wearlog.collecting import no_collecting
from wearlog.errors import RefusedError
from wearlog.exchange.source import SheetReading, read_source
from wearlog.exchange.told_ages import ToldAges
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.farm_settings import farm_settings
from wearlog.logbook.names import KnownNames
from wearlog.logbook.saving import BesideError
from wearlog.present.digits import Measures
from wearlog.progress import stretch

if TYPE_CHECKING:
    from wearlog.logbook.files.importing import BroughtIn
    from wearlog.store.opening import Store

#: the share of an import's time that reading the sheets takes
_READ: Final = 0.4


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What an import did. `brought` is None when there were problems, and then nothing was written."""

    reading: SheetReading
    brought: BroughtIn | None
    dry_run: bool


@no_collecting()
def import_source(
    store: Store,
    path: Path,
    *,
    dry_run: bool = False,
    replace: bool = False,
    time_zone: str | None = None,
    now: datetime | None = None,
) -> ImportReport:
    """Bring a folder of CSV files, a CSV file or a workbook into the log: all of it, or nothing when there is a problem.

    Parameters
    ----------
    dry_run : bool
        Read, check and compare; write nothing.
    replace : bool
        Let the files change rows of the log that differ from them.
    time_zone : str, optional
        Zone of the times without an offset; else what the files' own setting says, else the farm's, else this machine's.

    Raises
    ------
    NotFoundError, UsageError
        When there is nothing to read at `path`.
    ConflictError
        When rows differ from those of the log and `replace` is False.
    RefusedError
        When a row does not go with what the log holds beside it; file and line of the row stand first.
    """
    from wearlog.logbook.files import importing

    known = importing.known_names(store)
    moment = now or datetime.now(UTC)
    with stretch(last=_READ):
        reading = _read(path, known, time_zone, moment, ToldAges(store, moment, Measures(known.farm)))
    if reading.problems:
        return ImportReport(reading, None, dry_run)
    try:
        with stretch(first=_READ):
            brought = importing.bring_in(
                store,
                reading.facts,
                source=Path(path).name,
                digest=reading.digest,
                replace=replace,
                dry_run=dry_run,
                told=reading.told,
                rough=reading.rough,
            )
    except BesideError as error:
        where = reading.place_of(error.fact_id)
        raise RefusedError(f"{where}: {error.message}" if where else error.message, error.hint) from error
    return ImportReport(reading, brought, dry_run)


def _read(path: Path, known: KnownNames, time_zone: str | None, now: datetime, ages: ToldAges) -> SheetReading:
    farms_own = known.farm.time_zone
    reading = read_source(path, known, time_zone=time_zone or farms_own, now=now, ages=ages)
    if time_zone or not reading.clock_asked:
        return reading
    said = farm_settings(fact for fact in reading.facts if isinstance(fact, Setting)).time_zone
    if said and said != farms_own:
        return read_source(path, known, time_zone=said, now=now, ages=ages)
    if farms_own or said:
        return reading
    notice = "The farm has no setting time_zone: times without an offset were read by this machine's clock."
    return dataclasses.replace(reading, notices=(*reading.notices, notice))
