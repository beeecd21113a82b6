"""Each way a sheet can be wrong has its own sentence, with file, line and column; nothing is imported then."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from wearlog.errors import NotFoundError, UsageError
from wearlog.exchange.raw_sheet import column_letter
from wearlog.exchange.source import SheetReading, read_source
from wearlog.logbook.names import KnownNames

NOW = datetime(2026, 6, 1, tzinfo=UTC)
FARM = {
    "machine": "name,kind\nJuniper,combine\nAlder,combine\nPlover,header\n",
    "meter": "machine,meter\nJuniper,engine_hours\nPlover,area\n",
    "field": "name,area_ac,ground\nLong Bench,846.5,stony\n",
    "crop": "name,bushel_lb\ndurum,60\nlentils,\n",
    "part_kind": "name,subsystem,meter\nknife section,header,area\nfeeder chain,feeder,separator_hours\n",
    "component": "machine,part_kind,place,positions\nPlover,knife section,knife,140\nJuniper,feeder chain,chain,1\n",
}


def read(folder: Path, **sheets: str) -> SheetReading:
    for name, content in {**FARM, **sheets}.items():
        (folder / f"{name}.csv").write_text(content, "utf-8")
    return read_source(folder, KnownNames(), time_zone="America/Chicago", now=NOW)


BREAKAGE = "machine,component,positions,at\n"
RUN = "combine,field,started,ended,area_ac\n"
READING = "machine,meter,at,shown_h\n"
FITTING = "machine,component,position,fitted,age_when_fitted_h\n"

WRONG = {
    "unknown heading": (
        *("breakage", "machine,component,positons,at\nPlover,knife,41,2025-07-28\n"),
        "breakage.csv, line 1, column C (positons): There is no heading 'positons' in the sheet breakage. "
        "Did you mean positions?",
    ),
    "heading without its unit": (
        *("run", "combine,started,ended,area\nJuniper,2025-07-28,2025-07-28,5\n"),
        "run.csv, line 1, column D (area): The heading 'area' needs its unit. Write area_ac, area_ha or area_m2.",
    ),
    "missing heading": (
        *("run", "combine,started,area_ac\nJuniper,2025-07-28,5\n"),
        "run.csv, line 1: The heading ended is missing from the sheet run. Add the column.",
    ),
    "missing heading with units": (
        *("run", "combine,started,ended\nJuniper,2025-07-28,2025-07-28\n"),
        "run.csv, line 1: The heading area_ac, area_ha or area_m2 is missing from the sheet run. Add the column.",
    ),
    "heading twice": (
        *("crop", "name,Name\ndurum,durum\n"),
        "crop.csv, line 1, column B (Name): The heading 'Name' stands twice. Remove one of them.",
    ),
    "unknown name": (
        *("breakage", f"{BREAKAGE}Plover,knive,41,2025-07-28\n"),
        "breakage.csv, line 2, column B (component): There is no component 'knive' on 'Plover'. "
        "Did you mean 'knife'? Else add it to the sheet component.",
    ),
    "unknown machine": (
        *("run", f"{RUN}Junper,,2025-07-28,2025-07-28,5\n"),
        "run.csv, line 2, column A (combine): There is no machine 'Junper'. "
        "Did you mean 'Juniper'? Else add it to the sheet machine.",
    ),
    "unknown name with nothing near": (
        *("run", f"{RUN}Juniper,Xyzzy,2025-07-28,2025-07-28,5\n"),
        "run.csv, line 2, column B (field): There is no field 'Xyzzy'. Add it to the sheet field.",
    ),
    "unknown key": (
        *("breakage", f"{BREAKAGE.strip()},repair\nPlover,knife,41,2025-07-28,R-9\n"),
        "breakage.csv, line 2, column E (repair): No row of the sheet repair has the key 'R-9'. "
        "Give it that key in repair, and have repair in the same folder.",
    ),
    "no such meter": (
        *("reading", f"{READING}Alder,engine_hours,2025-07-28,10\n"),
        "reading.csv, line 2, column B (meter): 'Alder' has no meter of engine hours. Add it to the sheet meter.",
    ),
    "no such kind of meter": (
        *("reading", f"{READING}Juniper,engine_hrs,2025-07-28,10\n"),
        "reading.csv, line 2, column B (meter): 'engine_hrs' is not in the list. Did you mean engine_hours?",
    ),
    "wrong unit for the meter": (
        *("reading", "machine,meter,at,shown_ac\nJuniper,engine_hours,2025-07-28,10\n"),
        "reading.csv, line 2, column D (shown_ac): The meter counts hours, not ac. Write it under shown_h.",
    ),
    "hours for a part that wears by area": (
        *("fitting", f"{FITTING}Plover,knife,41,2025-03-01,10\n"),
        "fitting.csv, line 2, column E (age_when_fitted_h): The meter counts area, not h. "
        "Write it under age_when_fitted_ac or _ha.",
    ),
    "age without a unit": (
        *("fitting", "machine,component,position,fitted,age_when_fitted\nPlover,knife,41,2025-03-01,10\n"),
        "fitting.csv, line 2, column E (age_when_fitted): The age '10' has no unit. "
        "Put the unit into the heading: age_when_fitted_h or _ac.",
    ),
    "two units filled": (
        *("field", "name,area_ac,area_ha,ground\nCreek,5,2,clean\n"),
        "field.csv, line 2, column C (area_ha): The same amount stands here and in another unit. "
        "Leave one of them empty.",
    ),
    "not a number": (
        *("run", f"{RUN}Juniper,,2025-07-28,2025-07-28,a lot\n"),
        "run.csv, line 2, column E (area_ac): 'a lot' is not a number. Write digits, like 2310.4.",
    ),
    "decimal comma in a file of commas": (
        *("run", f'{RUN}Juniper,,2025-07-28,2025-07-28,"12,5"\n'),
        "run.csv, line 2, column E (area_ac): '12,5' is not a number here: the decimal mark is a point. "
        "Write digits, like 2310.4.",
    ),
    "number of two meanings": (
        *("run", "combine;started;ended;area_ac\nJuniper;2025-07-28;2025-07-28;1.234\n"),
        "run.csv, line 2, column D (area_ac): '1.234' can mean 1234 or 1,234. "
        "Write the one that is meant in that form.",
    ),
    "negative": (
        *("run", f"{RUN}Juniper,,2025-07-28,2025-07-28,-5\n"),
        "run.csv, line 2, column E (area_ac): '-5' is below 0. Write it without the minus sign.",
    ),
    "not whole": (
        *("season", "harvest_year,starts,ends\n2025.5,2025-01-01,2026-01-01\n"),
        "season.csv, line 2, column A (harvest_year): '2025.5' is not a whole number. Write it without decimals.",
    ),
    "not a time": (
        *("breakage", f"{BREAKAGE}Plover,knife,41,7/28/2025 16:20\n"),
        "breakage.csv, line 2, column D (at): '7/28/2025 16:20' is not a time. "
        "Write year-month-day hour:minute, like 2025-07-28 16:20.",
    ),
    "no such hour": (
        *("breakage", f"{BREAKAGE}Plover,knife,41,2025-07-28 25:20\n"),
        "breakage.csv, line 2, column D (at): '2025-07-28 25:20' is not a time. "
        "Write year-month-day hour:minute, like 2025-07-28 16:20.",
    ),
    "hour that the clock skipped": (
        *("breakage", f"{BREAKAGE}Plover,knife,41,2025-03-09 02:30\n"),
        "breakage.csv, line 2, column D (at): '2025-03-09 02:30' does not exist: the clocks went forward over it. "
        "Write the time the new clock showed.",
    ),
    "not a day": (
        *("season", "harvest_year,starts,ends\n2025,2025-01-01,2025-02-30\n"),
        "season.csv, line 2, column C (ends): '2025-02-30' is not a day. Write year-month-day, like 2025-07-28.",
    ),
    "not in a list": (
        *("field", "name,area_ac,ground\nCreek,5,ston\n"),
        "field.csv, line 2, column C (ground): 'ston' is not in the list. Did you mean stony?",
    ),
    "far from anything in a list": (
        *("field", "name,area_ac,ground\nCreek,5,mud\n"),
        "field.csv, line 2, column C (ground): 'mud' is not in the list. "
        "Write one of: clean, few_stones, stony, very_stony.",
    ),
    "neither yes nor no": (
        *("reading", "machine,meter,at,shown_h,new_leg\nJuniper,engine_hours,2025-07-28,10,maybe\n"),
        "reading.csv, line 2, column E (new_leg): 'maybe' is neither yes nor no. Write yes or no.",
    ),
    "not a position": (
        *("breakage", f"{BREAKAGE}Plover,knife,left end,2025-07-28\n"),
        "breakage.csv, line 2, column C (positions): 'left end' is not a position. "
        "Write positions like 41 or 41-43 or 41-43, 50.",
    ),
    "span backwards": (
        *("breakage", f"{BREAKAGE}Plover,knife,43-41,2025-07-28\n"),
        "breakage.csv, line 2, column C (positions): The span 43-41 runs backwards. Write 41-43.",
    ),
    "no positions where there are several": (
        *("breakage", f"{BREAKAGE}Plover,knife,,2025-07-28\n"),
        "breakage.csv, line 2, column C (positions): Which of the 140 positions of 'knife'? "
        "Write positions like 41 or 41-43, 50.",
    ),
    "position that is not there": (
        *("breakage", f"{BREAKAGE}Plover,knife,141,2025-07-28\n"),
        "breakage.csv, line 2, column C (positions): Position 141 cannot be: 'Plover, knife section' has 140 positions. "
        "Correct the position, or the number of positions of the component.",
    ),
    "fittings beyond the component": (
        *("fitting", f"{FITTING}Plover,knife,139-160,2025-03-01,\n"),
        "fitting.csv, line 2, column C (position): Positions 141-160 cannot be: 'knife' has 140. "
        "Correct the positions, or how many the component has.",
    ),
    "needed cell empty": (
        *("run", f"{RUN}Juniper,,2025-07-28,,5\n"),
        "run.csv, line 2, column D (ended): This cell is empty, but it is needed. Fill it in.",
    ),
    "needed pointer empty": (
        *("run", f"{RUN},,2025-07-28,2025-07-28,5\n"),
        "run.csv, line 2, column A (combine): This cell is empty, but it is needed. Fill it in.",
    ),
    "cell beyond the headings": (
        *("run", f"{RUN}Juniper,,2025-07-28,2025-07-28,5,wet\n"),
        "run.csv, line 2, column F: There is a cell beyond the last heading. Is a delimiter too many in this row?",
    ),
    "key twice": (
        *("breakage", f"key,{BREAKAGE}B1,Plover,knife,1,2025-07-28\nB1,Plover,knife,2,2025-07-28\n"),
        "breakage.csv, line 3: This is the row of line 2 again: it has the same key or the same name. "
        "Give each row its own, or leave one out.",
    ),
    "name twice": (
        *("crop", "name\ndurum\nDurum\n"),
        "crop.csv, line 3: This is the row of line 2 again: it has the same key or the same name. "
        "Give each row its own, or leave one out.",
    ),
    "two keys of one name": (
        *("crop", "key,name\na,durum\nb,Durum\n"),
        "crop.csv, line 3: This is the row of line 2 again: it has the same key or the same name. "
        "Give each row its own, or leave one out.",
    ),
    "unbalanced quotes": (
        *("crop", 'name\ndurum\n"lentils\nred\n'),
        "crop.csv, line 3: The quotation marks do not pair up. "
        "Put text with a quotation mark in it into quotation marks and double the ones inside.",
    ),
    "meter that runs backwards": (
        *("reading", f"{READING}Juniper,engine_hours,2025-07-28,2310.4\nJuniper,engine_hours,2025-07-29,2301\n"),
        "reading.csv, line 3, column D (shown_h): 2,301.0 h is less than 2,310.4 h on 2025-07-28 12:00: "
        "a meter does not run backwards. Correct one of the two; if the meter was replaced, say yes to new_leg.",
    ),
    "still to come": (
        *("breakage", f"{BREAKAGE}Plover,knife,41,2062-07-28 16:20\n"),
        "breakage.csv, line 2, column D (at): 2062-07-28 16:20 is still to come. Look at the year and month.",
    ),
    "header where a combine belongs": (
        *("run", f"{RUN}Plover,,2025-07-28,2025-07-28,5\n"),
        "run.csv, line 2, column A (combine): 'Plover' is a header, not a combine. Name a combine here.",
    ),
    "ends before it starts": (
        *("run", f"{RUN}Juniper,,2025-07-28 16:20,2025-07-28 10:00,5\n"),
        "run.csv, line 2, column D (ended): The end, 2025-07-28 10:00, is not after the start, 2025-07-28 16:20. "
        "Change one of the two.",
    ),
    "position taken": (
        "fitting",
        "machine,component,position,fitted,removed\nPlover,knife,40-60,2024-03-01,2025-03-01\n"
        "Plover,knife,50,2025-02-01,\n",
        "fitting.csv, line 3, column D (fitted): Position 50 of 'Plover, knife section' is still taken on 2025-02-01 00:00 "
        "by what was fitted on 2024-03-01 00:00. Say when the earlier one was removed.",
    ),
    "bushels of an unknown crop": (
        "run",
        "combine,crop,started,ended,area_ac,yield_bu_per_ac\nJuniper,lentils,2025-07-28,2025-07-28,5,30\n",
        "run.csv, line 2, column F (yield_bu_per_ac): Nobody knows what a bushel of this weighs. "
        "Give the crop, and its bushel in the sheet crop, or kg or lb.",
    ),
    "unit of another sensor": (
        "calibration",
        "machine,sensor,at,reference_amount_pct,indicated_amount\nJuniper,yield_load,2025-07-28,14,5\n",
        "calibration.csv, line 2, column D (reference_amount_pct): The sensor yield load is not measured in pct. "
        "Use reference_amount_lb.",
    ),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_one_thing_wrong_gives_one_sentence(wrong: str, tmp_path: Path) -> None:
    sheet, content, sentence = WRONG[wrong]
    reading = read(tmp_path, **{sheet: content})
    assert [str(problem) for problem in reading.problems if problem.file == f"{sheet}.csv"] == [sentence]
    assert reading.facts == ()


def test_the_farm_itself_is_sound(tmp_path: Path) -> None:
    assert read(tmp_path).problems == ()


def test_all_that_is_wrong_is_listed_at_once_in_the_order_of_the_sheets(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        run=f"{RUN}Juniper,,x,2025-07-28,y\nJuniper,,2025-07-28,2025-07-28,5\nAlder,,2025-07-28,2025-07-28,z\n",
        field="name,area_ac,ground\nCreek,5,mud\n",
    )
    assert [problem.where for problem in reading.problems] == [
        "field.csv, line 2, column C (ground)",
        "run.csv, line 2, column C (started)",
        "run.csv, line 2, column E (area_ac)",
        "run.csv, line 4, column E (area_ac)",
    ]


def test_a_row_that_points_at_a_spoilt_row_is_not_blamed(tmp_path: Path) -> None:
    """Neither for a spoilt cell, nor for a spoilt heading, nor for a sheet that cannot be read at all."""
    run = f"{RUN}Juniper,Long Bench,2025-07-28,2025-07-28,5\n"
    for field in ("name,area_ac,ground\nLong Bench,5,mud\n", "name,area,ground\nLong Bench,5,clean\n", '"name\n'):
        reading = read(tmp_path, field=field, run=run)
        assert {problem.file for problem in reading.problems} == {"field.csv"}
        assert len(reading.problems) == 1


def test_a_spoilt_repair_is_still_there_for_its_breakages(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        repair="key,machine,kind,started\nR1,Plover,breakdown,yesterday\n",
        breakage=f"{BREAKAGE.strip()},repair\nPlover,knife,41,2025-07-28,R1\n",
    )
    assert [problem.where for problem in reading.problems] == ["repair.csv, line 2, column D (started)"]


def test_two_hundred_problems_are_shown_and_the_others_counted(tmp_path: Path) -> None:
    reading = read(tmp_path, run=RUN + "Juniper,,2025-07-28,2025-07-28,x\n" * 250)
    assert (len(reading.problems), reading.problems_left_out) == (200, 50)


def test_a_row_of_many_fittings_says_the_same_only_once(tmp_path: Path) -> None:
    reading = read(tmp_path, fitting=f"{FITTING}Plover,knife,1-140,1925-03-01,\n")
    assert [problem.message for problem in reading.problems] == ["The year 1925 is before 1950."]


def test_lines_are_those_that_an_editor_shows(tmp_path: Path) -> None:
    """Blank lines and line ends inside quotation marks count."""
    note = '"bent\n\nand cracked"'
    content = f"\n{BREAKAGE.strip()},note\n\nPlover,knife,41,2025-07-28,{note}\nPlover,knife,x,2025-07-28,\n"
    assert [problem.line for problem in read(tmp_path, breakage=content).problems] == [7]


def test_a_component_on_two_machines_needs_its_machine(tmp_path: Path) -> None:
    component = "machine,part_kind,place\nJuniper,feeder chain,chain\nAlder,feeder chain,chain\n"
    reading = read(tmp_path, component=component, breakage="component,positions,at\nchain,1,2025-07-28\n")
    assert [str(problem) for problem in reading.problems] == [
        "breakage.csv, line 2, column A (component): There are 2 components called 'chain'. Fill in the column machine."
    ]


def test_there_must_be_something_to_read(tmp_path: Path) -> None:
    def refusal(path: Path, kind: type[Exception]) -> str:
        with pytest.raises(kind) as refused:
            read_source(path, KnownNames(), time_zone="UTC", now=NOW)
        return str(refused.value)

    (tmp_path / "readme.txt").write_text("x")
    (tmp_path / "notes.csv").write_text("x")
    assert refusal(tmp_path, NotFoundError) == f"There is no sheet in {tmp_path.name}."
    assert refusal(tmp_path / "gone", NotFoundError) == f"There is nothing at {tmp_path / 'gone'}."
    assert refusal(tmp_path / "readme.txt", UsageError) == "readme.txt is not a sheet."
    assert refusal(tmp_path / "notes.csv", UsageError) == "notes.csv is not called like a sheet."


def test_a_time_zone_must_exist(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="There is no time zone 'Prairie/Nowhere'"):
        read_source(tmp_path, KnownNames(), time_zone="Prairie/Nowhere", now=NOW)


def test_letters_of_columns_go_on_after_z() -> None:
    assert [column_letter(index) for index in (0, 25, 26, 51, 52, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]
