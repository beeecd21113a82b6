"""Workbooks that would fill the memory are refused with a sentence before a reader makes room for them."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from wearlog.exchange import found_files
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


@pytest.mark.parametrize("last", ["AA1", "ZZ9", "A500000", "Z500000", "B1000000", "ABC123456789"])
@pytest.mark.parametrize("cut", [7, 1 << 20])
def test_whatever_may_be_far_out_is_looked_at_cell_by_cell(last: str, cut: int) -> None:
    near = b'<row r="1"><c r="A1" t="s"/><c r="Z499999"/></row>' * 3
    content = near + b'<c r="' + last.encode() + b'"/>' + near
    pieces = [content[at : at + cut] for at in range(0, len(content), cut)]
    assert not found_files._is_near(iter(pieces))
    near_pieces = [near[at : at + cut] for at in range(0, len(near), cut)]
    assert found_files._is_near(iter(near_pieces))


def test_what_is_near_is_allowed_with_room_to_spare(monkeypatch: pytest.MonkeyPatch) -> None:
    rows, columns = found_files._NEAR
    assert (rows <= found_files.MOST_ROWS, columns <= found_files.MOST_COLUMNS) == (True, True)
    assert rows * columns <= found_files.MOST_CELLS
    monkeypatch.setattr(found_files, "MOST_CELLS", 1_000)
    assert not found_files._is_near(iter([b'<c r="A1"/>']))


def test_a_cell_as_far_out_as_people_write_is_read(tmp_path: Path) -> None:
    sheets, _ = open_workbook(workbook(tmp_path, "ALL400"))
    rows = list(sheets[0].rows)
    assert (len(rows), rows[-1][0], rows[-1][1][-1]) == (399, 400, "x")


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_a_workbook_that_unpacks_to_too_much_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    monkeypatch.setattr(found_files, "MOST_UNPACKED", 1_000_000)
    bomb = workbook(tmp_path, "B2") if kind == "xlsx" else open_document(tmp_path, row(cell("name")))
    with zipfile.ZipFile(bomb, "a", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/media/nothing.bin", bytes(2_000_000))
    with pytest.raises(SpoiltSheetError, match="unpacks to far more than any workbook"):
        open_workbook(bomb)


def test_a_workbook_that_takes_too_long_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(found_files, "MOST_SECONDS", 0.0)
    with pytest.raises(SpoiltSheetError, match=r"^farm\.xlsx was not read after 0 s\.$"):
        open_workbook(workbook(tmp_path, "B2"))


def test_a_sheet_of_a_million_columns_is_refused() -> None:
    headings = b",".join([b"name"] * 1_000_000)
    with pytest.raises(SpoiltSheetError, match=r"^It has 1,000,000 columns: too many to be read\.$"):
        open_csv("field", "field.csv", headings + b"\n")


def open_document(tmp_path: Path, rows: str) -> Path:
    """Write an OpenDocument sheet of these rows, as ODF 1.3 has it."""
    spaces = "".join(
        f' xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{short}:1.0"' for short in ("office", "table", "text")
    )
    table = f'<table:table table:name="field">{rows}</table:table>'
    body = f"<office:body><office:spreadsheet>{table}</office:spreadsheet></office:body>"
    content = f'<?xml version="1.0"?><office:document-content{spaces}>{body}</office:document-content>'
    manifest = "urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"
    with zipfile.ZipFile(tmp_path / "farm.ods", "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("META-INF/manifest.xml", f'<manifest:manifest xmlns:manifest="{manifest}"/>')
        packed.writestr("content.xml", content)
    return tmp_path / "farm.ods"


def row(cells: str, repeated: int = 1) -> str:
    return f'<table:table-row table:number-rows-repeated="{repeated}">{cells}</table:table-row>'


def cell(text: str, repeated: int = 1) -> str:
    said = f' table:number-columns-repeated="{repeated}"' if repeated > 1 else ""
    if not text:
        return f"<table:table-cell{said}/>"
    return f'<table:table-cell table:formula="1>0"{said} office:value-type="string"><text:p>{text}</text:p></table:table-cell>'


@pytest.mark.parametrize(
    ("rows", "last"),
    [
        (row(cell("name")) + row(cell("", 16_383) + cell("x")), "XFD2"),
        (row(cell("name")) + row(cell(""), 1_048_574) + row(cell("x")), "A1048576"),
        (row(cell("name")) + row(cell(""), 1_048_574) + row(cell("", 16_383) + cell("x")), "XFD1048576"),
        (row(cell("x", 1_000_000_000)), "CFDGSXL1"),
        (row(cell("x"), 900_000_000), "A900000000"),
        (row(cell("x", 900), 30_000), "AHP30000"),
    ],
    ids=["far right", "far down", "last cell there is", "repeated right", "repeated down", "both"],
)
def test_an_open_document_that_reaches_far_out_is_refused(rows: str, last: str, tmp_path: Path) -> None:
    with pytest.raises(SpoiltSheetError, match=rf"^A sheet of farm\.ods reaches to {last}: too far out to be read\.$"):
        open_workbook(open_document(tmp_path, rows))


def test_an_open_document_with_empty_cells_to_the_edge_is_read(tmp_path: Path) -> None:
    edge = (
        row(cell("name") + cell("", 16_383)) + row(cell("west") + cell("", 16_383)) + row(cell("", 16_384), 1_048_574)
    )
    sheets, _ = open_workbook(open_document(tmp_path, edge))
    assert (sheets[0].headings, [cells[0] for _, cells in sheets[0].rows]) == (("name",), ["west"])
