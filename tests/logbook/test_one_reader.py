"""What people type is read by one reader: after a command, in a field of a form and in the cell of a sheet it means the same."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from tests.cli.running import Wearlog, on_log, runner
from tests.small_farm import SmallFarm, land
from wearlog.cli.options import moment
from wearlog.errors import UsageError
from wearlog.exchange.source import SheetReading, read_source
from wearlog.facts.closed_lists import Action, Cause, MeterKind, Mode
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.parts import Part
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Field, Run
from wearlog.logbook.files.importing import known_names
from wearlog.logbook.names import kind_named, vocabulary
from wearlog.logbook.quickline import understand
from wearlog.logbook.said.measures import hours, money
from wearlog.machine_clock import machine_now
from wearlog.store.finding import find_all
from wearlog.store.opening import Store
from wearlog.tui.typed import age_reader, area_reader, moment_reader, name_reader, positions_reader, width_reader
from wearlog.units import read_number

ACRE, FOOT, HOUR = 4046.8564224, 304_800, 3_600
FITTED = "2026-06-01"


class Typed(NamedTuple):
    """What is typed, and what is stored on a farm of acres and on one of hectares."""

    what: str
    text: str
    us: object
    metric: object


def same(what: str, text: str, stored: object) -> Typed:
    """Return a row that means the same on every farm."""
    return Typed(what, text, stored, stored)


TABLE = (
    Typed("area", "120", round(120 * ACRE), 1_200_000),
    same("area", "120 ac", round(120 * ACRE)),
    same("area", "48,5 ha", 485_000),
    same("area", "48.5ha", 485_000),
    Typed("area", "1,234.5", round(1234.5 * ACRE), 12_345_000),
    same("area", "120 acres", round(120 * ACRE)),
    same("area", "40 hectares", 400_000),
    same("hours", "9.5", 34_200),
    same("hours", "9:30", 34_200),
    same("hours", "90 min", 5_400),
    same("hours", "9,5 h", 34_200),
    same("hours", "1 h 20 min", 4_800),
    same("hours", "1h20", 4_800),
    same("hours", "half an hour", 1_800),
    Typed("width", "12", 12 * FOOT, 12_000_000),
    same("width", "40 ft", 40 * FOOT),
    same("width", "40'", 40 * FOOT),
    same("width", "12.2 m", 12_200_000),
    same("width", "12,2m", 12_200_000),
    same("age", "new", 0),
    same("age", "unknown", None),
    Typed("age", "400", round(400 * ACRE), 4_000_000),
    same("age", "150 ha", 1_500_000),
    same("money", "12.50", 1_250),
    same("money", "12,5", 1_250),
    same("money", "1,234.50", 123_450),
    same("positions", "7", {7}),
    same("positions", "41-43, 50", {41, 42, 43, 50}),
    same("positions", "41 to 43 and 50", {41, 42, 43, 50}),
    same("time", "2026-07-01 20:00", datetime(2026, 7, 1, 20)),
    same("time", "jul 1 2026 8 pm", datetime(2026, 7, 1, 20)),
    same("time", "28 july 2026 16:20", datetime(2026, 7, 28, 16, 20)),
    same("time", "2026-07-01 20:00Z", datetime(2026, 7, 1, 20, tzinfo=UTC)),
    same("cause", "rock", Cause.IMPACT),
    same("cause", "loose rivet", Cause.LOOSE),
    same("mode", "snapped", Mode.BROKEN),
    same("mode", "worn out", Mode.WORN),
    same("action", "welded", Action.MENDED),
    same("action", "left in", Action.LEFT),
    same("machine", "kes", "Kestrel"),
    same("field", "quar", "north quarter"),
    same("kind", "sickle section", "knife section"),
    same("kind", "feeder conv", "feeder conveyor chain"),
)

_RUN = ("--to", "2026-07-01T20:00", "--yes")
_RUN_CELLS = {"combine": "Kestrel", "started": "2026-07-01 08:00", "ended": "2026-07-01 20:00", "area_ac": "5"}
_FITTING_CELLS = {"machine": "North", "component": "knife", "position": "7", "fitted": FITTED}
_BREAKAGE_CELLS = {"machine": "North", "component": "knife", "positions": "41", "at": FITTED}
#: what is typed -> the command, with TEXT for what is typed, and the sheet with its cells; UNIT is that of the farm
COMMANDS: dict[str, tuple[str, ...]] = {
    "area": ("add", "field", "bench", "--area", "TEXT", "--ground", "stony"),
    "hours": ("cut", "kestrel", "5", "--hours", "TEXT", *_RUN),
    "width": ("add", "header", "East", "--width", "TEXT"),
    "age": ("fit", "north", "knife", "7", "--age", "TEXT", "--at", FITTED),
    "money": ("add", "part", "P-1", "--name", "bolt", "--price", "TEXT"),
    "positions": ("fit", "north", "knife", "TEXT", "--at", FITTED),
    "time": ("cut", "kestrel", "5", "--hours", "1", "--to", "TEXT", "--yes"),
    "cause": ("log", "north section 41 TEXT", "--yes"),
    "mode": ("log", "north section 41 TEXT", "--yes"),
    "action": ("log", "north section 41 TEXT", "--yes"),
    "machine": ("cut", "TEXT", "5", "--hours", "1", *_RUN),
    "field": ("cut", "kestrel", "5", "--hours", "1", "--field", "TEXT", *_RUN),
    "kind": ("add", "component", "spare", "--on", "north", "--kind", "TEXT"),
}
SHEETS: dict[str, tuple[str, dict[str, str]]] = {
    "area": ("field", {"name": "bench", "area_UNIT": "TEXT", "ground": "stony"}),
    "hours": ("run", {**_RUN_CELLS, "separator_h": "TEXT"}),
    "width": ("machine", {"name": "East", "kind": "header", "cut_width_UNIT": "TEXT"}),
    "age": ("fitting", {**_FITTING_CELLS, "age_when_fitted_UNIT": "TEXT"}),
    "money": ("part", {"number": "P-1", "name": "bolt", "price": "TEXT"}),
    "positions": ("fitting", {**_FITTING_CELLS, "position": "TEXT"}),
    "time": ("run", {**_RUN_CELLS, "started": "2026-06-20", "ended": "TEXT"}),
    "cause": ("breakage", {**_BREAKAGE_CELLS, "cause": "TEXT"}),
    "mode": ("breakage", {**_BREAKAGE_CELLS, "mode": "TEXT"}),
    "action": ("breakage", {**_BREAKAGE_CELLS, "action": "TEXT"}),
    "machine": ("run", {**_RUN_CELLS, "combine": "TEXT"}),
    "field": ("run", {**_RUN_CELLS, "field": "TEXT"}),
    "kind": ("component", {"machine": "North", "place": "spare", "part_kind": "TEXT"}),
}


def stored(what: str, facts: list[Fact], store: Store) -> object:
    """Return what the facts that came in say of what was typed."""
    known = known_names(store)
    names = {row.id: row.name for row in (*known.machines, *known.fields, *known.part_kinds)}
    read: dict[str, tuple[type, Callable[[Any], object]]] = {
        "area": (Field, lambda field: field.area_square_metres),
        "hours": (Run, lambda run: run.separator_seconds),
        "width": (Machine, lambda machine: machine.cut_width_micrometres),
        "age": (Fitting, lambda fitting: fitting.age_when_fitted_usage),
        "money": (Part, lambda part: part.price_minor),
        "time": (Run, lambda run: run.ended_at),
        "cause": (Breakage, lambda breakage: breakage.cause),
        "mode": (Breakage, lambda breakage: breakage.mode),
        "action": (Breakage, lambda breakage: breakage.action),
        "machine": (Run, lambda run: names[run.combine_id]),
        "field": (Run, lambda run: names[run.field_id]),
        "kind": (Component, lambda component: names[component.part_kind_id]),
    }
    if what == "positions":
        return {fact.position for fact in facts if isinstance(fact, Fitting)}
    kind, value = read[what]
    (found,) = [value(fact) for fact in facts if type(fact) is kind]
    return found


def by_command(wearlog: Wearlog, farm: SmallFarm, typed: Typed) -> object:
    """Type it after a command, and return what is in the log then."""
    before = {fact.id for fact in _entered(farm.store)}
    words = [word.replace("TEXT", typed.text) for word in COMMANDS[typed.what]]
    ran = on_log(wearlog, farm.store.location.file)(*words)
    assert ran.code == 0, ran.err
    return stored(typed.what, [fact for fact in _entered(farm.store) if fact.id not in before], farm.store)


def _entered(store: Store) -> list[Fact]:
    with store.reading() as connection:
        found = [
            fact for kind in (Run, Field, Machine, Part, Breakage, Component) for fact in find_all(connection, kind)
        ]
        on = datetime.fromisoformat(FITTED).astimezone(UTC) + timedelta(hours=12)
        return [*found, *(one for one in find_all(connection, Fitting) if one.fitted_at == on)]


def by_form(farm: SmallFarm, settings: FarmSettings, typed: Typed) -> object:
    """Read it as the field of a form does."""
    known = known_names(farm.store)
    if typed.what in ("cause", "mode", "action"):
        line = f"north section 41 {typed.text}"
        return getattr(understand(line, vocabulary(farm.store), machine_now()), typed.what)
    readers: dict[str, Callable[[str], object]] = {
        "area": area_reader(settings),
        "hours": hours,
        "width": width_reader(settings),
        "age": age_reader(MeterKind.AREA, settings),
        "money": money,
        "positions": lambda text: set(positions_reader(160)(text)),
        "time": moment_reader(machine_now),
        "machine": lambda text: name_reader(known.machines, lambda row: row.name, "machine")(text).name,
        "field": lambda text: name_reader(known.fields, lambda row: row.name, "field")(text).name,
        "kind": lambda text: kind_named(known.part_kinds, text).name,
    }
    return readers[typed.what](typed.text)


def sheet(folder: Path, store: Store, settings: FarmSettings, what: str, text: str) -> SheetReading:
    """Read a sheet of one row; a comma that is decimal needs a file of semicolons, as a spreadsheet writes it."""
    name, cells = SHEETS[what]
    unit = settings.width_unit if what == "width" else settings.area_unit
    decimal_comma = what in ("area", "hours", "width", "money") and "," in text and "." not in text
    with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=";" if decimal_comma else ",")
        writer.writerow([heading.replace("UNIT", unit) for heading in cells])
        writer.writerow([cell.replace("TEXT", text) for cell in cells.values()])
    return read_source(folder, known_names(store), time_zone="", now=machine_now())


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("typed", TABLE, ids=lambda typed: f"{typed.what}: {typed.text}")
def test_command_form_and_sheet_read_the_same(
    file_farm: SmallFarm, tmp_path: Path, capsys: pytest.CaptureFixture[str], typed: Typed, units: str
) -> None:
    land(file_farm)
    settings = FarmSettings(units=units)
    wearlog = runner(capsys)
    assert on_log(wearlog, file_farm.store.location.file)("set", "units", units).code == 0
    expected = typed.metric if units == "metric" else typed.us
    if isinstance(expected, datetime):
        expected = expected.astimezone(UTC)
    folder = tmp_path / "sheets"
    folder.mkdir()
    reading = sheet(folder, file_farm.store, settings, typed.what, typed.text)
    assert reading.problems == ()
    assert stored(typed.what, list(reading.facts), file_farm.store) == expected
    assert by_form(file_farm, settings, typed) == expected
    assert by_command(wearlog, file_farm, typed) == expected


def test_a_sheet_says_which_row_a_beginning_was_read_as(file_farm: SmallFarm, tmp_path: Path) -> None:
    land(file_farm)
    reading = sheet(tmp_path, file_farm.store, FarmSettings(), "field", "quar")
    assert "run.csv, line 2: 'quar' was read as north quarter." in reading.notices


@pytest.mark.parametrize(
    ("what", "text", "sentence"),
    [
        ("time", "yesterday 16:20", "'yesterday 16:20' is another time when the sheet is read again."),
        ("time", "jul 28 16:20", "'jul 28 16:20' is another time when the sheet is read again."),
        ("time", "7/28/2026 16:20", "'7/28/2026 16:20' is not a time."),
        ("area", "12 bushels", "'bushels' in '12 bushels' is not ac or ha or m2."),
        ("hours", "40 ac", "'ac' in '40 ac' is not h or min."),
        ("action", "fixed", "'fixed' does not say what was done."),
        ("cause", "rock and wear", "'rock and wear' names two causes: 'rock' and 'wear'."),
        ("cause", "ston", "'ston' is not in the list."),
        ("machine", "x", "There is no machine 'x'."),
    ],
)
def test_a_sheet_refuses_what_nobody_is_asked_back_about(
    file_farm: SmallFarm, tmp_path: Path, what: str, text: str, sentence: str
) -> None:
    reading = sheet(tmp_path, file_farm.store, FarmSettings(), what, text)
    assert [problem.message for problem in reading.problems] == [sentence]


def test_yesterday_means_the_same_after_a_command_and_in_a_field(file_farm: SmallFarm) -> None:
    assert moment("yesterday 16:20", file_farm.store) == moment_reader(machine_now)("yesterday 16:20")


def test_a_lone_figure_that_a_sheet_refuses_is_not_read_as_spoken_words() -> None:
    with pytest.raises(UsageError, match=r"'1\.234' can mean 1234 or 1,234"):
        hours("1.234 h", "h", partial(read_number, decimal_comma=True))
