"""The whole log as one workbook and back; the lists as another; services as a calendar that a library reads."""

from __future__ import annotations

import json
import tempfile
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from icalendar import Calendar
from openpyxl import load_workbook

from tests.cli.running import Wearlog, on_log, runner
from tests.exchange.test_round_trip import CHICAGO, NOW, by_id, farms
from tests.farm_fixtures import demo_file, demo_store
from wearlog.exchange.export_workbook import export_workbook, write_workbook
from wearlog.exchange.importer import import_source
from wearlog.exchange.service_calendar import write_calendar
from wearlog.exchange.source import read_source
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import ServiceItem
from wearlog.facts.positions import one_of
from wearlog.logbook.files.importing import everything
from wearlog.logbook.names import KnownNames
from wearlog.present.digits import Measures
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store

__all__ = ["demo_file", "demo_store"]


@pytest.fixture
def wearlog(demo_file: Path, capsys: pytest.CaptureFixture[str]) -> Wearlog:
    """The program on the demo's log, which is only read."""
    return on_log(runner(capsys), demo_file)


@settings(max_examples=6, deadline=None, suppress_health_check=list(HealthCheck))
@given(farms(), st.sampled_from(["us", "metric"]))
def test_any_farm_written_as_a_workbook_reads_back_as_the_same_facts(farm: dict[str, list[Fact]], units: Any) -> None:
    given_facts = [fact for rows in farm.values() for fact in rows]
    with tempfile.TemporaryDirectory() as temporary:
        file = Path(temporary) / "farm.xlsx"
        done = write_workbook(farm, file, units=units, time_zone=CHICAGO)
        reading = read_source(file, KnownNames(), time_zone="Europe/Berlin", now=NOW)
    assert [str(problem) for problem in reading.problems] == []
    assert by_id(reading.facts) == by_id(given_facts)
    assert sum(count for _, count in done.rows_by_sheet) == len(given_facts) == len(reading.facts)
    assert reading.notices == ()


def test_the_demo_goes_out_as_a_workbook_into_a_new_log_and_out_again_the_same(
    demo_store: Store, tmp_path: Path
) -> None:
    first, second = tmp_path / "first.xlsx", tmp_path / "second.xlsx"
    done = export_workbook(demo_store, first)
    other = create_store(Location(file=tmp_path / "other.db"))
    try:
        report = import_source(other, first)
        assert report.reading.problems == ()
        assert {name: by_id(rows) for name, rows in everything(other).items() if name != "import_batch"} == {
            name: by_id(rows) for name, rows in everything(demo_store).items() if name != "import_batch"
        }
        assert export_workbook(other, second).rows_by_sheet == done.rows_by_sheet
    finally:
        other.close()
    assert _cells(first) == _cells(second)


def _cells(file: Path) -> dict[str, list[tuple[Any, ...]]]:
    book = load_workbook(file, read_only=True)
    found = {page.title: list(page.iter_rows(values_only=True)) for page in book}
    book.close()
    return found


def test_numbers_of_the_workbook_are_numbers_and_a_formula_is_text(demo_store: Store, tmp_path: Path) -> None:
    export_workbook(demo_store, tmp_path / "farm.xlsx")
    page = load_workbook(tmp_path / "farm.xlsx")["part"]
    headings = [cell.value for cell in page[1]]
    packs = [row[headings.index("pack_size")].value for row in page.iter_rows(min_row=2)]
    assert packs
    assert all(isinstance(one, int) for one in packs if one is not None)
    assert not any(cell.data_type == "f" for row in page.iter_rows() for cell in row)


def test_a_workbook_must_be_named_as_one_and_a_failed_one_leaves_nothing(demo_store: Store, tmp_path: Path) -> None:
    from wearlog.errors import RefusedError

    with pytest.raises(RefusedError, match="cannot be written"):
        export_workbook(demo_store, tmp_path / "nowhere" / "farm.xlsx")
    with pytest.raises(RefusedError, match="not the name of a workbook"):
        export_workbook(demo_store, tmp_path / "farm.txt")
    assert list(tmp_path.glob("*.xlsx")) == []


def test_the_lists_go_out_as_they_are_shown(wearlog: Wearlog, tmp_path: Path) -> None:
    file = tmp_path / "lists.xlsx"
    said = wearlog("export", str(file), "--lists")
    assert said.code == 0, said.err
    book = load_workbook(file)
    assert {"plan", "spares", "order 1", "wear", "shelf", "services", "faults", "costs by season"} <= set(
        book.sheetnames
    )
    told = json.loads(wearlog("plan", "--json").out)
    headings = [cell.value for cell in book["plan"][1]]
    names = [row[headings.index("part")] for row in book["plan"].iter_rows(min_row=2, values_only=True)]
    # one position of several is called in the singular where it is shown
    shown = [
        one_of(row["component"]) if str(row["positions"]).isdigit() and name != row["component"] else row["component"]
        for name, row in zip(names, told["replace"], strict=True)
    ]
    assert names == shown


def test_the_calendar_has_an_event_for_each_service_with_a_day(wearlog: Wearlog, tmp_path: Path) -> None:
    file = tmp_path / "services.ics"
    said = wearlog("due", "--calendar", str(file))
    assert said.code == 0, said.err
    rows = json.loads(wearlog("due", "--all", "--json").out)["services"]
    dated = [row for row in rows if row["due_on"] or row["standing"] == "overdue"]
    events = list(Calendar.from_ical(file.read_bytes()).walk("VEVENT"))
    assert len(events) == len(dated) > 0
    assert said.out.splitlines()[0] == f"Wrote {len(dated)} services into {file}."
    assert len({str(event["uid"]) for event in events}) == len(events)
    later = {(f"{row['machine']}: {row['service']}", row["due_on"]) for row in dated if row["standing"] != "overdue"}
    assert later <= {(str(event["summary"]), event["dtstart"].dt.isoformat()) for event in events}


def test_an_event_is_a_whole_day_keeps_its_name_and_is_folded_as_the_standard_says(tmp_path: Path) -> None:
    item = ServiceItem(machine_id=NOW_ID, name="oil; filter, and a very long name " * 4, interval_months=12)
    row = ServiceDue(item, NOW_ID, NOW, None, None, date(2027, 3, 20), DueStanding.LATER)
    over = ServiceDue(
        ServiceItem(machine_id=NOW_ID, name="grease", interval_months=1),
        NOW_ID,
        NOW,
        None,
        None,
        None,
        DueStanding.OVERDUE,
    )
    measures, moment = Measures(FarmSettings()), datetime(2026, 11, 20, 18, tzinfo=UTC)
    names = {NOW_ID: "Kestrel"}
    written = write_calendar([row, over], names, moment, measures, tmp_path / "a.ics")
    again = write_calendar([row, over], names, moment, measures, tmp_path / "b.ics")
    content = written.file.read_bytes()
    assert (written.events, written.without_day) == (2, 0)
    assert content == again.file.read_bytes()
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    first, second = Calendar.from_ical(content).walk("VEVENT")
    assert first["dtstart"].dt == date(2027, 3, 20)
    assert first["dtend"].dt == date(2027, 3, 21)
    assert str(first["uid"]) == f"{item.id}@wearlog"
    assert str(first["summary"]) == f"Kestrel: {item.name.strip()}"
    assert second["dtstart"].dt == date(2026, 11, 20)


NOW_ID = ServiceItem.__dataclass_fields__["id"].default_factory()  # type: ignore[misc]
