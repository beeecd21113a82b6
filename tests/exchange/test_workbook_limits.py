"""Workbooks that would fill the memory are refused with a sentence before a reader makes room for them."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from wearlog.exchange import bombs
from wearlog.exchange.found_files import open_csv, open_workbook
from wearlog.exchange.raw_sheet import SpoiltSheetError


def workbook(tmp_path: Path, last: str) -> Path:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "field"
    sheet["A1"], sheet["A2"] = "name", "west"
    sheet[last] = "x"
    book.save(tmp_path / "farm.xlsx")
    return tmp_path / "farm.xlsx"


@pytest.mark.parametrize("last", ["XFD1048576", "A1048576", "XFD1", "ALM3"])
def test_a_cell_far_out_is_refused_by_its_name(last: str, tmp_path: Path) -> None:
    with pytest.raises(SpoiltSheetError, match=r"^A sheet of farm\.xlsx reaches to .*: too far out to be read\.$"):
        open_workbook(workbook(tmp_path, last))


def test_a_cell_as_far_out_as_people_write_is_read(tmp_path: Path) -> None:
    sheets, _ = open_workbook(workbook(tmp_path, "ALL400"))
    rows = list(sheets[0].rows)
    assert (len(rows), rows[-1][0], rows[-1][1][-1]) == (399, 400, "x")


def test_a_workbook_that_unpacks_to_too_much_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bombs, "MOST_UNPACKED", 1_000_000)
    bomb = workbook(tmp_path, "B2")
    with zipfile.ZipFile(bomb, "a", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/media/nothing.bin", bytes(2_000_000))
    with pytest.raises(SpoiltSheetError, match="unpacks to far more than any workbook"):
        open_workbook(bomb)


def test_a_workbook_that_takes_too_long_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bombs, "MOST_SECONDS", 0.0)
    with pytest.raises(SpoiltSheetError, match=r"^farm\.xlsx was not read after 0 s\.$"):
        open_workbook(workbook(tmp_path, "B2"))


def test_a_sheet_of_a_million_columns_is_refused() -> None:
    headings = b",".join([b"name"] * 1_000_000)
    with pytest.raises(SpoiltSheetError, match=r"^It has 1,000,000 columns: too many to be read\.$"):
        open_csv("field", "field.csv", headings + b"\n")
