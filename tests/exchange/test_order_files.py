"""Order lists as files: read back by another library, no cell a formula, all or nothing, and received as they were written."""

from __future__ import annotations

import csv
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from wearlog.errors import NotFoundError, RefusedError
from wearlog.exchange.order_files import HEADINGS, read_delivery, write_order_folder, write_order_workbook, write_whole
from wearlog.facts.parts import Part
from wearlog.present.plan.spare_sheet import OrderRow, SupplierLines, WholeOrder

SECTIONS = OrderRow("KS-3", "knife section", 2, 25, 50, 670, 33_500)
EVIL = OrderRow("=1+1", '=HYPERLINK("x")', 1, 1, 1, None, None)
GUARD = OrderRow("-G/2", "@guard, left", 3, 5, 15, 3068, 46_020)


@pytest.fixture
def sheet() -> WholeOrder:
    return WholeOrder(
        currency="USD",
        suppliers=(
            SupplierLines("2027-aaaaaa", "Hollow/Road [Parts]", (SECTIONS, EVIL), 33_500, 1),
            SupplierLines("2027-bbbbbb", "", (GUARD,), 46_020, 0),
        ),
        sum_minor=79_520,
    )


def parts() -> list[Part]:
    return [Part(number=row.number, name=row.part) for row in (SECTIONS, EVIL, GUARD)]


def test_the_workbook_holds_every_line_and_its_sums_to_the_cent(sheet: WholeOrder, tmp_path: Path) -> None:
    book = CalamineWorkbook.from_path(str(write_order_workbook(sheet, tmp_path / "order.xlsx")))
    assert book.sheet_names == ["order", "Hollow Road  Parts", "no supplier"]
    rows = book.get_sheet_by_name("order").to_python()
    assert tuple(rows[0]) == HEADINGS
    assert rows[1] == ["2027-aaaaaa", "Hollow/Road [Parts]", "KS-3", "knife section", 2, 25, 50, 6.7, 335]
    assert rows[3][2:7] == ["-G/2", "@guard, left", 3, 5, 15]
    assert rows[4][3] == "together, in USD"
    assert Decimal(str(rows[4][8])) * 100 == sheet.sum_minor
    one = book.get_sheet_by_name("no supplier").to_python()
    assert [row[2] for row in one[1:]] == ["-G/2", ""]


def test_no_cell_is_a_formula(sheet: WholeOrder, tmp_path: Path) -> None:
    from openpyxl import load_workbook

    book = load_workbook(write_order_workbook(sheet, tmp_path / "order.xlsx"))
    cells = [cell for worksheet in book for line in worksheet.iter_rows() for cell in line]
    assert [cell for cell in cells if cell.data_type == "f"] == []
    assert [cell.value for cell in cells if cell.value == "=1+1"] == ["=1+1", "=1+1"]
    folder = tmp_path / "csv"
    text = "".join(file.read_text("utf-8") for file in write_order_folder(sheet, folder))
    assert "'=1+1" in text
    assert "'@guard" in text


def test_a_csv_file_for_each_supplier_with_its_sum_at_the_end(sheet: WholeOrder, tmp_path: Path) -> None:
    files = write_order_folder(sheet, tmp_path / "orders")
    assert [file.name for file in files] == ["order-hollow-road-parts.csv", "order-no-supplier.csv"]
    rows = list(csv.reader(files[0].read_text("utf-8").splitlines()))
    assert tuple(rows[0]) == HEADINGS
    assert rows[1][7:] == ["6.70", "335.00"]
    assert rows[2][7:] == ["", ""]
    assert rows[3][3:] == ["together", "", "", "", "", "335.00"]


def test_what_was_written_is_received_as_it_is(sheet: WholeOrder, tmp_path: Path) -> None:
    known = parts()
    by_workbook = read_delivery(write_order_workbook(sheet, tmp_path / "order.xlsx"), known)
    by_folder = [line for file in write_order_folder(sheet, tmp_path / "orders") for line in read_delivery(file, known)]
    assert list(by_workbook) == by_folder
    assert [(line.part_id, line.quantity, line.unit_cost_minor, line.order) for line in by_workbook] == [
        (known[0].id, 50, 670, "2027-aaaaaa"),
        (known[1].id, 1, None, "2027-aaaaaa"),
        (known[2].id, 15, 3068, "2027-bbbbbb"),
    ]


def test_pieces_and_prices_corrected_by_hand_count_also_with_a_decimal_comma(tmp_path: Path) -> None:
    file = tmp_path / "order.csv"
    file.write_text("number;pieces;price each\nks-3;20;7,15\n-G/2;0;\n", "utf-8")
    known = parts()
    assert [(line.quantity, line.unit_cost_minor) for line in read_delivery(file, known)] == [(20, 715), (0, None)]


@pytest.mark.parametrize(
    ("text", "error", "said"),
    [
        ("", RefusedError, "is empty"),
        ("a,b\n1,2\n", RefusedError, "no column 'number'"),
        ("number,pieces\nKS-9,1\n", NotFoundError, "line 2: there is no part KS-9"),
        ("number,pieces\nKS-3,many\n", RefusedError, "line 2, column 'pieces'"),
        ("number,pieces\nKS-3,1.5\n", RefusedError, "1.5 pieces cannot come"),
    ],
)
def test_a_spoilt_delivery_is_told_with_its_line(tmp_path: Path, text: str, error: type[Exception], said: str) -> None:
    file = tmp_path / "order.csv"
    file.write_text(text, "utf-8")
    with pytest.raises(error, match=said):
        read_delivery(file, parts())


def test_a_file_that_is_not_there_or_no_workbook(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match="no file"):
        read_delivery(tmp_path / "no.csv", parts())
    (tmp_path / "no.xlsx").write_text("text", "utf-8")
    with pytest.raises(RefusedError, match="cannot be read as a workbook"):
        read_delivery(tmp_path / "no.xlsx", parts())


def test_nothing_is_left_of_a_workbook_that_could_not_be_written(
    sheet: WholeOrder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "order.xlsx"
    file.write_bytes(b"as it was")

    def full(self: object, name: object) -> None:
        Path(str(name)).write_bytes(b"half")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("openpyxl.workbook.workbook.Workbook.save", full)
    with pytest.raises(RefusedError, match="No space left"):
        write_order_workbook(sheet, file)
    assert file.read_bytes() == b"as it was"
    assert [one.name for one in tmp_path.iterdir()] == ["order.xlsx"]


def test_a_folder_with_other_files_is_left_alone_and_one_of_orders_is_renewed(
    sheet: WholeOrder, tmp_path: Path
) -> None:
    folder = tmp_path / "orders"
    write_order_folder(sheet, folder)
    write_order_folder(replace(sheet, suppliers=sheet.suppliers[:1]), folder)
    assert [file.name for file in folder.iterdir()] == ["order-hollow-road-parts.csv"]
    (folder / "letter.txt").write_text("x", "utf-8")
    with pytest.raises(RefusedError, match=r"other files: letter\.txt"):
        write_order_folder(sheet, folder)
    assert len(list(tmp_path.iterdir())) == 1


def test_two_suppliers_of_one_spelling_get_files_and_sheets_of_their_own(sheet: WholeOrder, tmp_path: Path) -> None:
    twice = replace(
        sheet,
        suppliers=tuple(replace(one, supplier=name) for one, name in zip(sheet.suppliers, ("A.", "a "), strict=True)),
    )
    assert len({file.name for file in write_order_folder(twice, tmp_path / "orders")}) == 2
    names = CalamineWorkbook.from_path(str(write_order_workbook(twice, tmp_path / "o.xlsx"))).sheet_names
    assert len({name.casefold() for name in names}) == 3


@pytest.mark.parametrize("name", ["order.csv", "order"])
def test_a_workbook_has_the_name_of_one(sheet: WholeOrder, tmp_path: Path, name: str) -> None:
    with pytest.raises(RefusedError, match="not the name of a workbook"):
        write_order_workbook(sheet, tmp_path / name)


def test_a_text_file_in_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(RefusedError, match="cannot be written"):
        write_whole(tmp_path / "no" / "page.html", "x")
