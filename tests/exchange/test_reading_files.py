"""Files as spreadsheets and people save them are read: encodings, delimiters, headings, workbooks."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import openpyxl
import pytest

from wearlog.exchange.found_files import cell_text
from wearlog.exchange.headings import normal_heading
from wearlog.exchange.source import SheetReading, read_source
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.quality import Calibration
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.facts.work import Crop, Field, Run
from wearlog.logbook.names import KnownNames

NOW = datetime(2026, 6, 1, tzinfo=UTC)
FIELDS = "name,area_ac,ground\nCôté ouest,846.5,stony\nCreek,1234.25,clean\n"
FARM = {
    "machine": "name,kind\nJuniper,combine\nPlover,header\n",
    "crop": "name,bushel_lb\ndurum,60\n",
    "part_kind": "name,subsystem,meter\nknife section,header,area\nchain,feeder,separator_hours\n",
    "component": "machine,part_kind,place,positions\nPlover,knife section,knife,12\nJuniper,chain,chain,1\n",
}


def read(path: Path) -> SheetReading:
    reading = read_source(path, KnownNames(), time_zone="America/Chicago", now=NOW)
    assert [str(problem) for problem in reading.problems] == []
    return reading


def read_text(folder: Path, **sheets: str) -> SheetReading:
    for name, content in sheets.items():
        (folder / f"{name}.csv").write_text(content, "utf-8")
    return read(folder)


def only(reading: SheetReading, kind: type[Fact]) -> list[Fact]:
    return [fact for fact in reading.facts if type(fact) is kind]


def fields_of(reading: SheetReading) -> list[tuple[str, int]]:
    return [(fact.name, fact.area_square_metres) for fact in reading.facts if isinstance(fact, Field)]


EXPECTED = [("Côté ouest", 3_425_664), ("Creek", 4_994_833)]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_a_file_is_read_in_every_usual_encoding_and_with_every_line_end(
    encoding: str, line_end: str, tmp_path: Path
) -> None:
    mark = b"\xfe\xff" if encoding == "utf-16-be" else b""
    (tmp_path / "field.csv").write_bytes(mark + FIELDS.replace("\n", line_end).encode(encoding))
    reading = read(tmp_path)
    assert fields_of(reading) == EXPECTED
    guessed = ["field.csv is not UTF-8: it was read as Windows-1252. Look at the letters with accents."]
    assert list(reading.notices) == (guessed if encoding == "cp1252" else [])


DELIMITED = {
    "semicolons and decimal commas": "name;area_ac;ground\nCôté ouest;846,5;stony\nCreek;1.234,25;clean\n",
    "tabs and decimal commas": "name\tarea_ac\tground\nCôté ouest\t846,5\tstony\nCreek\t1234,25\tclean\n",
    "semicolons and points all through": "name;area_ac;ground\nCôté ouest;846.5;stony\nCreek;1,234.25;clean\n",
    "grouped thousands in quotes": 'name,area_ac,ground\nCôté ouest,846.5,stony\nCreek,"1,234.25",clean\n',
    "a line that names the delimiter": "sep=;\nname;area_ac;ground\nCôté ouest;846,5;stony\nCreek;1234,25;clean\n",
    "delimiters in quoted headings": '"name";"area_ac";"ground"\n"Côté ouest";"846,5";stony\nCreek;1234,25;clean\n',
    "empty columns and lines": ",,,,\nname,area_ac,ground,,\n\nCôté ouest,846.5,stony,,\n,,,,\nCreek,1234.25,clean\n\n",
    "columns in another order and case": "GROUND,Name,Area (acres)\nstony,Côté ouest,846.5\nClean,Creek,1234.25\n",
    "an empty column in between": "name,,area_ac,ground\nCôté ouest,,846.5,stony\nCreek,,1234.25,clean\n",
    "spaces around": " name , area_ac ,ground\n Côté ouest , 846.5 , stony\nCreek,1234.25,clean\n",
}


@pytest.mark.parametrize("how", DELIMITED)
def test_a_file_is_read_however_its_cells_are_set_apart(how: str, tmp_path: Path) -> None:
    assert fields_of(read_text(tmp_path, field=DELIMITED[how])) == EXPECTED


@pytest.mark.parametrize(
    ("heading", "normal"),
    [
        ("Area (acres)", "area_ac"),
        ("area_ac", "area_ac"),
        ("Area m²", "area_m2"),
        ("Yield [kg/ha]", "yield_kg_per_ha"),
        ("tester %", "tester_pct"),
        ("Labour hours", "labour_h"),
        ("\ufeffkey", "key"),
        ("hours", "hours"),
        ("lead-time days", "lead_time_days"),
    ],
)
def test_headings_are_understood_as_people_write_them(heading: str, normal: str) -> None:
    assert normal_heading(heading) == normal


def test_text_that_is_not_text_is_said_so(tmp_path: Path) -> None:
    for content, sentence in (
        (b"name\0kind\n", "machine.csv: It is not a text file. Save it as CSV (UTF-8)."),
        (b"name,kind\nA\x81\xff,header\n", "machine.csv, line 2: Its letters cannot be read. Save it as CSV (UTF-8)."),
    ):
        (tmp_path / "machine.csv").write_bytes(content)
        reading = read_source(tmp_path, KnownNames(), time_zone="UTC", now=NOW)
        assert [str(problem) for problem in reading.problems] == [sentence]


def test_sheets_may_be_called_by_the_plural_and_others_are_mentioned(tmp_path: Path) -> None:
    (tmp_path / "Machines.csv").write_text(FARM["machine"])
    (tmp_path / "filds.csv").write_text("name\n")
    (tmp_path / "README.txt").write_text("hello")
    (tmp_path / ".field.csv").write_text("nonsense")
    reading = read(tmp_path)
    assert reading.rows_by_sheet == (("machine", 2),)
    assert reading.notices == ("filds.csv was passed over. Did you mean field?",)


def test_the_same_sheet_twice_is_a_problem(tmp_path: Path) -> None:
    for name in ("machine", "machines"):
        (tmp_path / f"{name}.csv").write_text(FARM["machine"])
    reading = read_source(tmp_path, KnownNames(), time_zone="UTC", now=NOW)
    assert [str(p) for p in reading.problems] == [
        "machines.csv: machine.csv is the same sheet already. Put both into one."
    ]


def test_an_empty_file_is_mentioned_and_headings_alone_are_no_rows(tmp_path: Path) -> None:
    reading = read_text(tmp_path, machine="\n\n", crop="name\n", field=FIELDS)
    assert reading.rows_by_sheet == (("field", 2), ("crop", 0))
    assert reading.notices == ("machine.csv is empty.",)


def test_one_file_can_be_read_alone(tmp_path: Path) -> None:
    (tmp_path / "field.csv").write_text(FIELDS, "utf-8")
    assert fields_of(read(tmp_path / "field.csv")) == EXPECTED


def test_notes_keep_their_lines_and_lose_what_a_terminal_would_obey(tmp_path: Path) -> None:
    machine = 'name,kind,note\nJuniper,combine,"bent \x1b[31mred\r\nsecond\tline\u202e, ""quoted"""\n'
    (juniper,) = read_text(tmp_path, machine=machine).facts
    assert isinstance(juniper, Machine)
    assert juniper.note == 'bent [31mred\nsecond line, "quoted"'


def test_text_that_looks_like_a_formula_is_text(tmp_path: Path) -> None:
    machine = "name,kind,note\n=A1+1,combine,'=A1\n-12 V,header,''@x\n"
    notes = [(fact.name, fact.note) for fact in read_text(tmp_path, machine=machine).facts if isinstance(fact, Machine)]
    assert notes == [("=A1+1", "=A1"), ("-12 V", "'@x")]


def test_times_follow_the_farms_clock_or_their_own_offset(tmp_path: Path) -> None:
    times = [
        ("2025-07-28 16:20", datetime(2025, 7, 28, 21, 20, tzinfo=UTC)),
        ("2025-12-28T6:20:07", datetime(2025, 12, 28, 12, 20, 7, tzinfo=UTC)),
        ("2025-07-28 16:20:00.000001", datetime(2025, 7, 28, 21, 20, 0, 1, tzinfo=UTC)),
        ("2025-07-28 16:20Z", datetime(2025, 7, 28, 16, 20, tzinfo=UTC)),
        ("2025-07-28 6:20Z", datetime(2025, 7, 28, 6, 20, tzinfo=UTC)),
        ("2025-07-28 16:20 +02:00", datetime(2025, 7, 28, 14, 20, tzinfo=UTC)),
        ("2025-07-28", datetime(2025, 7, 28, 17, tzinfo=UTC)),
        ("2025-03-09 03:30", datetime(2025, 3, 9, 8, 30, tzinfo=UTC)),
        ("2025-11-02 01:30", datetime(2025, 11, 2, 6, 30, tzinfo=UTC)),
        ("2025-11-02 02:30", datetime(2025, 11, 2, 8, 30, tzinfo=UTC)),
    ]
    rows = "".join(f"Plover,knife,{n},{text}\n" for n, (text, _) in enumerate(times, 1))
    reading = read_text(tmp_path, **FARM, breakage=f"machine,component,positions,at\n{rows}")
    assert [fact.at for fact in reading.facts if isinstance(fact, Breakage)] == [instant for _, instant in times]
    assert reading.notices == (
        "breakage.csv, line 10: the clock showed 2025-11-02 01:30 twice; the first of the two was taken.",
        "breakage.csv: 10 replaced parts were fitted when the old ones broke.",
    )


def test_a_run_of_one_day_lasts_from_its_start_to_its_end(tmp_path: Path) -> None:
    """The day on which the clock goes forward has 23 hours."""
    run = "combine,started,ended,area_ac\nJuniper,2025-03-09,2025-03-09,5\n"
    (found,) = only(read_text(tmp_path, **FARM, run=run), Run)
    assert isinstance(found, Run)
    assert found.started_at == datetime(2025, 3, 9, 6, tzinfo=UTC)
    assert found.ended_at - found.started_at == timedelta(hours=23)


def test_without_a_name_of_a_zone_this_machines_clock_counts(tmp_path: Path) -> None:
    (tmp_path / "machine.csv").write_text(FARM["machine"])
    (tmp_path / "run.csv").write_text("combine,started,ended,area_ac\nJuniper,2025-03-19 10:00,2025-03-19 12:00,5\n")
    found = read_source(tmp_path, KnownNames(), time_zone="", now=NOW).facts[-1]
    assert isinstance(found, Run)
    assert found.started_at == datetime(2025, 3, 19, 10).astimezone()


def test_a_row_of_many_positions_is_many_fittings(tmp_path: Path) -> None:
    fitting = 'machine,component,position,fitted,age_when_fitted_ac\nPlover,knife,"1-3, 9",2024-03-01,unknown\n'
    found = [fact for fact in read_text(tmp_path, **FARM, fitting=fitting).facts if isinstance(fact, Fitting)]
    assert [(one.position, one.age_when_fitted_usage) for one in found] == [(n, None) for n in (1, 2, 3, 9)]
    assert len({one.id for one in found}) == 4


def test_positions_left_out_mean_the_whole_component(tmp_path: Path) -> None:
    fitting = "machine,component,fitted\nPlover,knife,2024-03-01\n"
    breakage = "component,at,action\nchain,2025-03-01,mended\n"
    facts = read_text(tmp_path, **FARM, fitting=fitting, breakage=breakage).facts
    fitted = [fact for fact in facts if isinstance(fact, Fitting)]
    assert [one.position for one in fitted] == list(range(1, 13))
    assert {one.age_when_fitted_usage for one in fitted} == {0}
    assert [fact.positions for fact in facts if isinstance(fact, Breakage)] == [(1,)]


def test_a_fitting_lasts_until_the_next_at_its_position(tmp_path: Path) -> None:
    fitting = "machine,component,position,fitted\nPlover,knife,1-3,2024-03-01\nPlover,knife,2,2025-02-01\n"
    found = [fact for fact in read_text(tmp_path, **FARM, fitting=fitting).facts if isinstance(fact, Fitting)]
    ends = [(one.position, one.removed_at, one.removal) for one in found]
    change = datetime(2025, 2, 1, 6, tzinfo=UTC)
    assert ends == [(1, None, None), (2, change, "planned"), (3, None, None), (2, None, None)]


def test_why_a_fitting_came_off_stays_as_it_was_written(tmp_path: Path) -> None:
    fitting = "component,position,fitted,removal\nknife,2,2024-03-01,broke\nknife,2,2025-02-01,\n"
    found = [fact for fact in read_text(tmp_path, **FARM, fitting=fitting).facts if isinstance(fact, Fitting)]
    assert [one.removal for one in found] == ["broke", None]


def test_amounts_in_the_units_that_farmers_use(tmp_path: Path) -> None:
    run = (
        "combine,crop,started,ended,area_ha,separator_h,yield_bu_per_ac\n"
        "Juniper,durum,2025-07-28 10:00,2025-07-28 12:00,5.5,1:30,40\n"
    )
    calibration = (
        "machine,sensor,at,reference_amount_lb,reference_amount,indicated_amount_kg,indicated_amount_mph\n"
        "Juniper,yield_load,2025-07-28,1000,,450,\nJuniper,ground_speed,2025-07-28,,1000,,5\n"
    )
    reading = read_text(tmp_path, **FARM, run=run, calibration=calibration)
    (found,) = (fact for fact in reading.facts if isinstance(fact, Run))
    assert (found.area_square_metres, found.separator_seconds) == (55_000, 5_400)
    # 40 bushels of 27,216 g (60 lb in whole grams) / 0.40468564224 ha = 2,690,087.6 g/ha (computed)
    assert found.yield_grams_per_hectare == 2_690_088
    assert [(f.reference_amount, f.indicated_amount) for f in reading.facts if isinstance(f, Calibration)] == [
        (453_592, 450_000),
        (1_000, 2_235),
    ]


def test_a_workbook_is_read_like_a_folder(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, content in FARM.items():
        sheet = book.create_sheet(name)
        for line in content.splitlines():
            sheet.append(line.split(","))
    runs = book.create_sheet("Runs")
    runs["B3"] = "combine"
    for column, heading in enumerate(("started", "ended", "area_ac", "separator_h"), 3):
        runs.cell(3, column, heading)
    runs["B4"], runs["C4"], runs["D4"] = "Juniper", datetime(2025, 7, 28, 16, 20), datetime(2025, 7, 28, 21, 5)
    runs["E4"], runs["F4"] = 131.5, timedelta(hours=3, minutes=30)
    book.create_sheet("scratch")["A1"] = "sums"
    book.save(tmp_path / "farm.xlsx")
    reading = read(tmp_path / "farm.xlsx")
    (run,) = (fact for fact in reading.facts if isinstance(fact, Run))
    assert run.started_at == datetime(2025, 7, 28, 21, 20, tzinfo=UTC)
    assert run.ended_at == datetime(2025, 7, 29, 2, 5, tzinfo=UTC)
    assert (run.area_square_metres, run.separator_seconds) == (532_162, 12_600)
    assert reading.notices == ("farm.xlsx: the sheet 'scratch' was passed over. No sheet is called so.",)
    assert reading.rows_by_sheet[:2] == (("machine", 2), ("crop", 1))


def test_a_problem_in_a_workbook_names_the_sheet_and_the_cell(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "field"
    for column, (heading, cell) in enumerate({"name": "Creek", "area_ac": "much", "ground": "clean"}.items(), 2):
        sheet.cell(2, column, heading)
        sheet.cell(3, column, cell)
    book.save(tmp_path / "farm.xlsx")
    reading = read_source(tmp_path / "farm.xlsx", KnownNames(), time_zone="UTC", now=NOW)
    assert [str(problem) for problem in reading.problems] == [
        "farm.xlsx, sheet field, line 3, column C (area_ac): 'much' is not a number. Write digits, like 2310.4."
    ]


def test_a_file_that_is_no_workbook_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "farm.xlsx").write_bytes(b"not a workbook")
    reading = read_source(tmp_path / "farm.xlsx", KnownNames(), time_zone="UTC", now=NOW)
    assert [str(problem) for problem in reading.problems] == [
        "farm.xlsx: farm.xlsx cannot be read as a workbook. Save it as .xlsx, without a password, or as CSV."
    ]


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        (123.0, "123"),
        (-0.0, "-0"),
        (2310.4, "2310.4"),
        (1e15, "1000000000000000"),
        (123456789012345678.0, "123456789012346000"),
        (1e18, "1e+18"),
        (float("inf"), "inf"),
        (float("nan"), "nan"),
        (0.1 + 0.2, "0.3"),
        (1e-7, "0.0000001"),
        (True, "yes"),
        (date(2025, 7, 28), "2025-07-28"),
        (datetime(2025, 7, 28, 16, 19, 59, 999_900), "2025-07-28 16:20"),
        (datetime(2025, 7, 28, 16, 20, 5), "2025-07-28 16:20:05"),
        (datetime(2025, 7, 28, 16, 20, 5, 250_100), "2025-07-28 16:20:05.250000"),
        (datetime(2025, 7, 28, 16, 20, 0, 400), "2025-07-28 16:20"),
        (datetime(9999, 12, 31, 23, 59), "9999-12-31 23:59"),
        (timedelta(hours=26, minutes=30), "26:30"),
        (time(3, 4), "3:04"),
        ("as it is", "as it is"),
    ],
)
def test_typed_cells_become_the_text_of_a_csv_file(cell: object, text: str) -> None:
    assert cell_text(cell) == text


def test_the_digest_tells_files_apart_and_the_same_files_alike(tmp_path: Path) -> None:
    first = read_text(tmp_path, **FARM).digest
    assert read(tmp_path).digest == first
    (tmp_path / "README.txt").write_text("no part of it")
    assert read(tmp_path).digest == first
    assert read_text(tmp_path, crop="name,bushel_lb\ndurum,61\n").digest != first


def test_an_empty_cell_takes_the_usual_value(tmp_path: Path) -> None:
    (crop,) = only(read_text(tmp_path, crop="name,bushel_lb\nlentils,\n"), Crop)
    assert isinstance(crop, Crop)
    assert crop.bushel_grams is None
