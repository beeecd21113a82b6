"""Rows of a notebook that are left: each waits whole, and what was begun for it leaves no trace."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from tests.logbook.notebook.kept_notebooks import NOW, enter_farm, expected_of
from wearlog.facts.work import Crop, Field, Run
from wearlog.logbook.lines.notebook_answers import AskedLine
from wearlog.logbook.lines.notebook_desk import NotebookDesk, lay_out, take_in
from wearlog.logbook.lines.notebook_made import facts_to_make
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import NoteSheet
from wearlog.logbook.notebook.understanding import NotebookWords
from wearlog.present.notebook_words import brought_told
from wearlog.store.finding import find_all
from wearlog.store.location import locate
from wearlog.store.opening import Store, create_store

WORK = ("Date", "Combine", "Header", "Field", "Crop", "ac")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = create_store(locate(str(tmp_path / "log.db")))
    enter_farm(opened, expected_of("header_book"))
    yield opened
    opened.close()


def _sheet(
    store: Store,
    *rows: Sequence[str],
    make: Sequence[str] = (),
    said: NotebookWords | None = None,
    answers: Sequence[AskedLine] = (),
) -> NotebookDesk:
    new = [fact for text in make for fact in facts_to_make(text)]
    sheets = [NoteSheet("csv", rows)]
    return lay_out(store, sheets, "book.csv", NOW, said or NotebookWords(), new=new, answers=answers)


def test_a_run_waits_for_its_field_and_its_crop(store: Store) -> None:
    rows = (
        WORK,
        ("7/21/2025", "Ivy", "East", "Nowhere Hill", "", "85"),
        ("7/22/2025", "Ivy", "East", "", "teff", "60"),
        ("7/23/2025", "Ivy", "East", "", "", "40"),
    )
    desk = _sheet(store, *rows)
    brought = take_in(store, desk, NOW, may_make=False)
    assert brought_told(brought, desk.new_rows) == [
        "Saved 1 of 3 rows as one entry; 'wearlog undo' takes it back.",
        "  left: There is no field 'Nowhere Hill' yet: make it, or say which one it is, and bring it in again. (row 2)",
        "  left: There is no crop 'teff' yet: make it, or say which one it is, and bring it in again. (row 3)",
    ]
    again = _sheet(store, *rows, make=["Nowhere Hill=field 150 ac clean", "teff=crop"])
    assert len(take_in(store, again, NOW, may_make=False).saved) == 2
    with store.reading() as connection:
        runs = sorted(find_all(connection, Run), key=lambda one: one.started_at)
        hill = next(one for one in find_all(connection, Field) if one.name == "Nowhere Hill")
        teff = next(one for one in find_all(connection, Crop) if one.name == "teff")
    assert [(one.field_id, one.crop_id) for one in runs] == [(hill.id, None), (None, teff.id), (None, None)]


def test_who_keeps_no_fields_takes_their_column_for_nothing(store: Store) -> None:
    said = NotebookWords(columns={"field": Holds.NOTHING})
    desk = _sheet(store, WORK, ("7/21/2025", "Ivy", "East", "Nowhere Hill", "", "85"), said=said)
    assert desk.offers == ()
    assert len(take_in(store, desk, NOW, may_make=False).saved) == 1
