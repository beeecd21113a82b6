"""An answer is defined once: command, list, page, file and JSON show the same rows and the same figures of it."""

from __future__ import annotations

import csv
import importlib
import inspect
import json
import pkgutil
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from textwrap import indent
from typing import Any, NamedTuple, TypeAlias

import pytest
from openpyxl import load_workbook

import wearlog.present
from tests.cli.running import on_log, runner
from tests.farm_fixtures import demo_file
from tests.present.demo_answers import CASES, DemoFarm
from wearlog.exchange.sheet_files import page_table, save_sheet
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import reckoned
from wearlog.present.json_form import document
from wearlog.present.sheet_faces import sheet_json, table_lines
from wearlog.tui.door import Door
from wearlog.tui.widgets.list_rows import ListOrder, sheet_source

__all__ = ["demo_file"]
#: answers whose money is reckoned from what nobody knows to the dollar: said with three digits, the JSON exact
RECKONED = ("grain lost by wear", "keep or trade")
_FIGURE = re.compile(r"-?[\d,]+(?:\.\d+)?")
_ISO_DAY = re.compile(r"\b20\d\d-\d\d-\d\d\b")


@pytest.fixture
def demo_farm(demo_file: Path, capsys: pytest.CaptureFixture[str]) -> Iterator[DemoFarm]:
    """The demo fleet, which these tests only read."""
    door = Door(str(demo_file))
    yield DemoFarm(door.log, on_log(runner(capsys), demo_file), door)
    door.log.close()


Sheets: TypeAlias = Callable[[str], AnswerSheet[Any]]


@pytest.fixture(scope="module")
def kept() -> dict[str, AnswerSheet[Any]]:
    """The answers that were made already: nothing writes to the demo fleet's log here."""
    return {}


@pytest.fixture
def sheet_of(demo_farm: DemoFarm, kept: dict[str, AnswerSheet[Any]]) -> Sheets:
    """An answer by its name, made when it is first asked for."""

    def made(name: str) -> AnswerSheet[Any]:
        if name not in kept:
            kept[name] = CASES[name].sheet(demo_farm)
        return kept[name]

    return made


class Faces(NamedTuple):
    """The rows as each face has them, in the columns that all show."""

    table: list[list[str]]
    listed: list[list[str]]
    page: list[list[str]]
    csv: list[list[str]]


def _faces(sheet: AnswerSheet[Any], folder: Path) -> Faces:
    drawn = table_lines(sheet)
    ends = [(piece.start(), piece.end()) for piece in re.finditer("-+", drawn[1])]
    body = [line for line in drawn[2:] if set(line) - {"-", " "}]
    table = [[line[start:end].strip() for start, end in ends] for line in body]
    listed = [[*row.cells] for row in sheet_source(sheet).filtered(ListOrder())]
    shown = [place for place, column in enumerate(sheet.printed) if not column.paper]
    printed = page_table(sheet)
    page = [[row[place] for place in shown] for row in printed.rows]
    with save_sheet(sheet, folder / "answer.csv").open(encoding="utf-8", newline="") as file:
        written = [[row[place] for place in shown] for row in csv.reader(file)][1:]
    return Faces(table, listed, page, written)


@pytest.mark.parametrize("name", sorted(CASES))
def test_all_faces_show_the_same_rows_in_the_same_words(name: str, sheet_of: Sheets, tmp_path: Path) -> None:
    sheet = sheet_of(name)
    faces = _faces(sheet, tmp_path)
    assert len(sheet.rows) > 0
    assert faces.listed == faces.page
    assert [[cell.removeprefix("'") or "-" for cell in row] for row in faces.csv[: len(faces.page)]] == [
        [cell or "-" for cell in row] for row in faces.page
    ]
    for cut, row in zip(faces.table, faces.page, strict=False):
        whole = [said.strip() for said in row]
        assert [one.rstrip("…") == said[: len(one.rstrip("…"))] for one, said in zip(cut, whole, strict=True)] == [
            True
        ] * len(whole)
    assert len(faces.table) == len(faces.page) + (sheet.foot is not None)


@pytest.mark.parametrize("name", sorted(CASES))
def test_no_sentence_of_an_answer_says_a_day_as_a_file_does(name: str, sheet_of: Sheets) -> None:
    """Columns that are ordered, files and JSON have 2026-09-12; what people read in a sentence is 12 Sep 2026."""
    sheet = sheet_of(name)
    told = [sheet.about(row, sheet.measures) for row in sheet.rows[:60]]
    said = [sheet.headline, sheet.answer, *sheet.sentences, *told]
    assert [one for one in said if _ISO_DAY.search(one)] == []


@pytest.mark.parametrize("name", sorted(CASES))
def test_the_json_has_the_figures_that_the_words_have(name: str, sheet_of: Sheets, tmp_path: Path) -> None:
    """A figure in words is the value under its key, rounded; what is null is a dash or nothing."""
    sheet = sheet_of(name)
    rows = json.loads(document(sheet_json(sheet)))[sheet.name]
    assert len(rows) == len(sheet.rows)
    book = load_workbook(save_sheet(sheet, tmp_path / "answer.xlsx"))
    assert book.active.max_row == 1 + len(sheet.listed) + (sheet.foot is not None)
    plain = [one for one in sheet.shown if one.figures and one.key and not one.tells_more]
    for row, values in zip(sheet.rows, rows, strict=True):
        for column in plain:
            said, value = column.cell(row, sheet.measures), values[column.json_key(sheet.measures)]
            share = said.endswith("%") and "percent" not in column.key
            figure = value["amount"] if isinstance(value, dict) else value
            is_reckoned = name in RECKONED and isinstance(value, dict) and said == reckoned(float(figure) * 100)
            assert is_reckoned or _agree(said, figure, share=share), (column.title, said, value)


def _agree(said: str, value: Any, *, share: bool) -> bool:
    """Whether a figure in words is this value, rounded as the words are; a per cent is a share of one unless the key says it."""
    figures = _FIGURE.findall(said)
    if value is None or not figures:
        return (value is None and not figures) or (not value and not figures)
    if said.startswith(("under", "over 99")):
        return True
    shown, places = float(figures[0].replace(",", "")), len(figures[0].partition(".")[2])
    exact = float(value) * (100 if share else 1)
    return abs(abs(exact) - abs(shown)) <= 0.5 * 10.0**-places + 1e-6 * abs(exact)


@pytest.mark.parametrize("name", sorted(name for name, case in CASES.items() if case.command))
def test_the_command_shows_this_answer(name: str, demo_farm: DemoFarm, sheet_of: Sheets) -> None:
    """What the command prints is the table of the answer, and its JSON the answer's."""
    case, sheet = CASES[name], sheet_of(name)
    out = demo_farm.ran(*case.command).out
    assert indent("\n".join(table_lines(sheet, case.wide)), " " * case.indent) in out
    told = json.loads(demo_farm.ran(*case.command, "--json").out)
    assert _found(told, sheet.name) == json.loads(document(sheet_json(sheet)))[sheet.name]


@pytest.mark.parametrize("name", sorted(name for name, case in CASES.items() if case.question))
def test_the_screen_shows_this_answer(name: str, demo_farm: DemoFarm, sheet_of: Sheets) -> None:
    """The question that the screen asks gives the same sheet."""
    case = CASES[name]
    assert case.question is not None
    asked, sheet = case.question(demo_farm), sheet_of(name)
    assert [asked.cells(row) for row in asked.rows] == [sheet.cells(row) for row in sheet.rows]
    assert asked.headline == sheet.headline


def test_every_answer_is_walked() -> None:
    """No function that makes an answer is missing here; one that takes an answer only shows it otherwise."""
    makers = {
        f"{module.name}.{name}"
        for module in pkgutil.walk_packages(wearlog.present.__path__, "wearlog.present.")
        if not module.ispkg
        for name, found in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction)
        if found.__module__ == module.name
        and str(inspect.signature(found).return_annotation).startswith("AnswerSheet")
        and not name.startswith("_")
        and not any("AnswerSheet" in str(one.annotation) for one in inspect.signature(found).parameters.values())
    }
    assert makers == {case.maker for case in CASES.values()}


def _found(told: Any, name: str) -> Any:
    """The list of this name, wherever in the document it stands."""
    if isinstance(told, dict) and name in told:
        return told[name]
    within = told.values() if isinstance(told, dict) else told if isinstance(told, list) else ()
    return next((found for found in (_found(value, name) for value in within) if found is not None), None)
