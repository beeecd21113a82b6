"""A folder goes into a real log and comes out again; again changes nothing, and nothing is lost on the way."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from wearlog.errors import ConflictError, RefusedError
from wearlog.exchange.export import MARK, export_folder
from wearlog.exchange.format_words import EXAMPLE_FILES
from wearlog.exchange.importer import import_source
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.work import Run
from wearlog.logbook.farm.first_day import start_log
from wearlog.logbook.files import importing
from wearlog.store.location import Location
from wearlog.store.opening import Store

NOW = datetime(2026, 6, 1, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _own_device(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("WEARLOG_DEVICE", "test")
    monkeypatch.setenv("WEARLOG_HOME", str(tmp_path / "home"))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    log = start_log(Location(file=tmp_path / "farm.db"))
    yield log
    log.close()


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    folder = tmp_path / "notebook"
    folder.mkdir()
    for name, content in EXAMPLE_FILES.items():
        (folder / name).write_text(content, "utf-8")
    (folder / "setting.csv").write_text("setting,content\ntime_zone,America/Chicago\n")
    return folder


def everything(store: Store) -> dict[object, Fact]:
    return {
        fact.id: fact for name, rows in importing.everything(store).items() for fact in rows if name != "import_batch"
    }


def test_a_folder_is_imported_once_and_again_is_nothing_new(store: Store, farm: Path) -> None:
    report = import_source(store, farm, now=NOW)
    assert report.reading.problems == ()
    assert report.brought is not None
    assert dict(report.brought.added) == {
        "setting": 1,
        "machine": 2,
        "field": 1,
        "run": 2,
        "component": 1,
        "fitting": 144,
        "breakage": 1,
    }
    again = import_source(store, farm, now=NOW)
    assert again.brought is not None
    assert (again.brought.added, again.brought.changed, again.brought.same) == ((), (), 152)


def test_a_dry_run_says_the_same_and_writes_nothing(store: Store, farm: Path) -> None:
    before = everything(store)
    report = import_source(store, farm, dry_run=True, now=NOW)
    assert report.dry_run
    assert report.brought is not None
    assert report.brought.rows_added == 152
    assert everything(store) == before


def test_one_problem_keeps_everything_out(store: Store, farm: Path) -> None:
    before = everything(store)
    (farm / "crop.csv").write_text("name,bushel_lb\ndurum,sixty\n")
    report = import_source(store, farm, now=NOW)
    assert [str(problem) for problem in report.reading.problems] == [
        "crop.csv, line 2, column B (bushel_lb): 'sixty' is not a number. Write digits, like 2310.4."
    ]
    assert report.brought is None
    assert everything(store) == before


def test_a_row_that_says_something_else_is_refused_unless_told(store: Store, farm: Path) -> None:
    import_source(store, farm, now=NOW)
    run = farm / "run.csv"
    run.write_text(run.read_text().replace("131.5", "132.5"))
    with pytest.raises(ConflictError):
        import_source(store, farm, now=NOW)
    report = import_source(store, farm, replace=True, now=NOW)
    assert report.brought is not None
    assert [fact.area_square_metres for fact in report.brought.changed if isinstance(fact, Run)] == [536_208]


def test_the_folders_own_time_zone_counts_then_the_logs(store: Store, farm: Path) -> None:
    start = datetime(2024, 7, 22, 15, 30, tzinfo=UTC)
    assert start in [
        fact.started_at for fact in import_source(store, farm, now=NOW).reading.facts if isinstance(fact, Run)
    ]
    (farm / "setting.csv").unlink()
    again = import_source(store, farm, now=NOW)
    assert again.brought is not None
    assert again.brought.rows_added == 0


def test_a_log_without_a_clock_says_whose_was_taken(store: Store, farm: Path) -> None:
    (farm / "setting.csv").unlink()
    notice = "The farm has no setting time_zone: times without an offset were read by this machine's clock."
    assert notice in import_source(store, farm, dry_run=True, now=NOW).reading.notices
    named = import_source(store, farm, dry_run=True, now=NOW, time_zone="Europe/Berlin")
    assert notice not in named.reading.notices


@pytest.mark.parametrize("units", ["us", "metric"])
def test_what_was_exported_reads_back_into_another_log(units: str, store: Store, farm: Path, tmp_path: Path) -> None:
    import_source(store, farm, now=NOW)
    out = tmp_path / "out"
    exported = export_folder(store, out, units=units)  # type: ignore[arg-type]
    assert dict(exported.rows_by_sheet)["fitting"] == 144
    other = start_log(Location(file=tmp_path / "other.db"))
    report = import_source(other, out, now=NOW)
    assert report.reading.problems == ()
    assert everything(other) == everything(store)
    same = import_source(store, out, now=NOW).brought
    assert same is not None
    assert (same.added, same.changed) == ((), ())
    other.close()


def test_an_export_is_plain_text_a_person_can_read(store: Store, farm: Path, tmp_path: Path) -> None:
    import_source(store, farm, now=NOW)
    export_folder(store, tmp_path / "out")
    content = (tmp_path / "out" / "run.csv").read_bytes()
    lines = content.decode("utf-8").split("\n")
    heading = "key,combine,header,field,crop,started,ended,area_ac,separator_h,cut_height,crop_state"
    heading += ",yield_lb_per_ac,conditions"
    assert lines[0] == heading
    run = "Juniper,Plover,Long Bench,,2024-07-22 10:30-05:00,2024-07-22 21:15-05:00,131.5,,,,,"
    assert lines[1].split(",", 1)[1] == run
    assert b"\r" not in content
    assert not (tmp_path / "out" / "hitch.csv").exists()


def test_exporting_twice_gives_the_same_bytes(store: Store, farm: Path, tmp_path: Path) -> None:
    import_source(store, farm, now=NOW)
    for name in ("one", "two"):
        export_folder(store, tmp_path / name)
    one, two = ({file.name: file.read_bytes() for file in (tmp_path / name).iterdir()} for name in ("one", "two"))
    assert one == two


def test_an_earlier_export_is_replaced_whole(store: Store, farm: Path, tmp_path: Path) -> None:
    import_source(store, farm, now=NOW)
    out = tmp_path / "out"
    export_folder(store, out)
    (out / "crop.csv").write_text("name\nleft over\n")
    export_folder(store, out)
    assert not (out / "crop.csv").exists()
    assert sorted(file.name for file in tmp_path.iterdir() if "out" in file.name) == ["out"]


def test_a_folder_with_other_files_is_left_alone_unless_told(store: Store, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "taxes.csv").write_text("mine")
    with pytest.raises(RefusedError, match=r"out holds other files: taxes\.csv\."):
        export_folder(store, out)
    assert [file.name for file in out.iterdir()] == ["taxes.csv"]
    export_folder(store, out, overwrite=True)
    assert (out / "taxes.csv").read_text() == "mine"
    assert (out / MARK).exists()
    assert (out / "part_kind.csv").exists()


def test_a_folder_of_sheets_that_is_no_export_is_not_overwritten(store: Store, farm: Path) -> None:
    with pytest.raises(RefusedError, match="notebook holds other files"):
        export_folder(store, farm)


def test_an_export_that_cannot_be_written_leaves_nothing_behind(store: Store, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(RefusedError, match="cannot be written"):
        export_folder(store, tmp_path / "file" / "out")


def test_text_that_looks_like_a_formula_is_no_formula_in_the_export(store: Store, farm: Path, tmp_path: Path) -> None:
    name = "=HYPERLINK(1)"
    (farm / "machine.csv").write_text(f"name,kind,note\nJuniper,combine,\nPlover,header,+1\n{name},truck,'quoted'\n")
    import_source(store, farm, now=NOW)
    export_folder(store, tmp_path / "out")
    content = (tmp_path / "out" / "machine.csv").read_text("utf-8")
    assert f",'{name}," in content
    assert ",'+1," in content
    assert ",'quoted'," in content
    facts = import_source(store, tmp_path / "out", dry_run=True, now=NOW).reading.facts
    assert {fact.name for fact in facts if isinstance(fact, Machine)} == {"Juniper", "Plover", name}
