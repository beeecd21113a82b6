"""Rows of a notebook that are left: each waits whole, and what was begun for it leaves no trace."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from tests.logbook.notebook.kept_notebooks import NOW, enter_farm, expected_of
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Ground
from wearlog.facts.machines import Machine, ServiceDone, ServiceItem
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Crop, Field, Run
from wearlog.logbook.lines.notebook_answers import AskedLine, asked_lines
from wearlog.logbook.lines.notebook_desk import NotebookDesk, lay_out, take_in
from wearlog.logbook.lines.notebook_made import facts_to_make
from wearlog.logbook.lines.notebook_offers import Lack, made_key
from wearlog.logbook.lines.notebook_saving import NotebookBrought, bring_in
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import NoteSheet
from wearlog.logbook.notebook.note_entry import Means
from wearlog.logbook.notebook.understanding import NotebookWords
from wearlog.present.notebook_words import brought_told
from wearlog.store.finding import find_all
from wearlog.store.ledger import Entry, record
from wearlog.store.location import locate
from wearlog.store.opening import Store, create_store
from wearlog.units import to_stored

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


BROKE = ("Date", "Header", "Part", "Pos", "Why", "Down (min)")
FIRST = ("7/21/2025", "East", "section", "41", "rock", "10")
LATER = ("7/22/2025", "East", "guard", "4", "rock", "10")


def _agreed(store: Store, *rows: Sequence[str]) -> NotebookBrought:
    asked = asked_lines(_sheet(store, *rows).asked)
    return take_in(store, _sheet(store, *rows, answers=[replace(asked[0], answer="yes")]), NOW, may_make=False)


def test_a_corrected_row_that_is_left_changes_nothing(store: Store) -> None:
    take_in(store, _sheet(store, BROKE, FIRST), NOW, may_make=False)
    with store.reading() as connection:
        before = {one.id: one for one in find_all(connection, Fitting)}
    changed = ("7/21/2025", "East", "rasp bar", "1", "rock", "10")
    brought = _agreed(store, BROKE, changed, LATER)
    assert [why for _, why in brought.left] == ["The log has no rasp bars on East header."]
    assert len(brought.saved) == 1
    with store.reading() as connection:
        after = {one.id: one for one in find_all(connection, Fitting)}
        broke = find_all(connection, Breakage)
    assert [after[one] for one in before] == list(before.values())
    assert sorted(one.positions for one in broke) == [(4,), (41,)]
    knife = next(one.component_id for one in broke if one.positions == (41,))
    at_41 = [one.removed_at for one in after.values() if one.component_id == knife and one.position == 41]
    assert sorted(one is None for one in at_41) == [False, True]


def test_what_a_left_row_began_is_not_made(store: Store) -> None:
    """Its part may be made, its service may not."""
    rows = (
        BROKE,
        ("7/21/2025", "East", "section", "41", "rock", "10"),
        ("7/22/2025", "East", "skid plate", "1", "worn", "10"),
    )
    desk = _sheet(store, *rows)
    plate = next(row for row in desk.rows if "skid plate" in row.said)
    washed = replace(plate.entries[0], what=Means.SERVICE, service="wash")
    torn = replace(plate, entries=(plate.entries[0], washed))
    part = made_key(Lack.PART, "skid plate", "East header")
    brought = bring_in(store, [desk.sure[0], torn], "book.csv", NOW, allowed=[part])
    assert len(brought.saved) == 1
    with store.reading() as connection:
        assert [one.place for one in find_all(connection, Component) if one.place == "skid plate"] == []


@pytest.mark.parametrize(
    ("text", "stored"),
    [
        ("East=header 35 feet", 35 * 304_800),
        ("East=header 35 ft", 35 * 304_800),
        ("East=header 10,7 m", 10_700_000),
        ("East=header 10.7 m", 10_700_000),
        ("Ivy=combine", None),
    ],
)
def test_a_width_is_read_whole(text: str, stored: int | None) -> None:
    machine = facts_to_make(text)[0]
    assert isinstance(machine, Machine)
    assert machine.cut_width_micrometres == stored


def test_a_size_is_read_whole() -> None:
    (one,) = facts_to_make("Nowhere Hill=field 1,600 ac clean")
    assert isinstance(one, Field)
    assert (one.area_square_metres, one.ground) == (to_stored(Decimal(1600), "ac"), Ground.CLEAN)


@pytest.mark.parametrize(
    "text",
    [
        "Big=header wide",
        "Big=header 35",
        "Big=header 35 lb",
        "Big=header 3 5 ft",
        "Up=field 160 clean",
        "Rye=crop 3 ac",
    ],
)
def test_what_is_left_over_of_a_measure_is_refused(text: str) -> None:
    with pytest.raises(UsageError) as error:
        facts_to_make(text)
    assert error.value.hint.startswith("Write it like --make")


def test_a_service_beside_what_broke_is_an_entry_or_a_note(store: Store) -> None:
    head = (*BROKE, "Service")
    desk = _sheet(store, head, (*FIRST, "wash the windows"))
    assert [one.note for one in desk.sure[0].entries] == ["wash the windows"]
    assert "'wash the windows' is kept as a note" in desk.sure[0].granted
    east = desk.sure[0].entries[0].machine_id
    assert east is not None
    item = ServiceItem(machine_id=east, name="grease", interval_months=1)
    with store.writing() as connection:
        record(connection, device=store.device, said="service", entries=[Entry(item)])
    (row,) = _sheet(store, head, (*FIRST, "grease")).sure
    assert [one.what.value for one in row.entries] == ["breakage", "service"]
    assert take_in(store, _sheet(store, head, (*FIRST, "grease")), NOW, may_make=False).left == ()
    with store.reading() as connection:
        assert len(find_all(connection, ServiceDone)) == 1


def test_one_row_is_said_as_one(store: Store) -> None:
    desk = _sheet(store, BROKE, FIRST)
    brought = take_in(store, desk, NOW, may_make=False)
    assert brought_told(brought, desk.new_rows)[0] == "Saved 1 of 1 row as one entry; 'wearlog undo' takes it back."
