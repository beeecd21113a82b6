"""A notebook brought into the log: one deed, ages out of what it says, nothing twice, corrections take the place of what was."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from tests.logbook.notebook.kept_notebooks import HERE, NOW, enter_farm, expected_of
from wearlog.errors import UsageError
from wearlog.exchange.answer_sheet_files import read_answers, write_answers
from wearlog.exchange.notebook_files import read_notebook
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.machines import Machine, Reading
from wearlog.facts.papers import OutsideLine
from wearlog.facts.parts import StockMove
from wearlog.facts.service import ServiceDone
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Run
from wearlog.logbook.files.undo import undo
from wearlog.logbook.lines.notebook_answers import AskedLine, asked_lines
from wearlog.logbook.lines.notebook_desk import NotebookDesk, lay_out, take_in
from wearlog.logbook.lines.notebook_machines import machine_facts, machine_to_make
from wearlog.logbook.lines.notebook_profile import kept_words
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.note_sheet import NoteSheet
from wearlog.logbook.notebook.understanding import NotebookWords
from wearlog.store.finding import find_all
from wearlog.store.location import locate
from wearlog.store.opening import Store, create_store

_SAID = NotebookWords()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = create_store(locate(str(tmp_path / "log.db")))
    enter_farm(opened, expected_of("header_book"))
    yield opened
    opened.close()


def _book(store: Store, answers: Sequence[AskedLine] = ()) -> NotebookDesk:
    return lay_out(store, read_notebook(HERE / "header_book.xlsx"), "header_book.xlsx", NOW, _SAID, answers=answers)


def _sheet(
    store: Store, *rows: Sequence[str], said: NotebookWords = _SAID, answers: Sequence[AskedLine] = ()
) -> NotebookDesk:
    return lay_out(store, [NoteSheet("csv", rows)], "book.csv", NOW, said, answers=answers)


def _count(store: Store, kind: type) -> int:
    with store.reading() as connection:
        return len(find_all(connection, kind))


HEAD = ("Date", "Header", "Part", "Pos", "Why", "Down (min)")


def test_what_is_sure_is_one_deed_and_comes_in_once(store: Store) -> None:
    brought = take_in(store, _book(store), NOW, may_make=False)
    assert len(brought.saved) == 98
    assert brought.left == ()
    assert [_count(store, kind) for kind in (Breakage, Run, Reading, OutsideLine)] == [51, 46, 46, 98]
    again = _book(store)
    assert again.sure == []
    assert len(again.asked) == 5
    undo(store)
    assert [_count(store, kind) for kind in (Breakage, Run, Reading, OutsideLine, Fitting)] == [0, 0, 0, 0, 0]
    assert len(_book(store).sure) == 98


def test_fittings_follow_from_what_the_notebook_says(store: Store) -> None:
    take_in(store, _book(store), NOW, may_make=False)
    with store.reading() as connection:
        east = next(one for one in find_all(connection, Machine) if one.name == "East header")
        knife = next(one for one in find_all(connection, Component, machine_id=east.id) if one.place == "knife")
        at_73 = [one for one in find_all(connection, Fitting, component_id=knife.id) if one.position == 73]
    # on when the notebook began, broken by a stone in 2023, all new in March 2024, broken in September
    told = [
        (f"{one.fitted_at:%Y-%m-%d}", one.age_when_fitted_usage, one.removal and one.removal.value) for one in at_73
    ]
    assert sorted(told) == [
        ("2023-07-19", None, "broke"),
        ("2023-07-26", 0, "planned"),
        ("2024-03-04", 0, "broke"),
        ("2024-09-08", 0, None),
    ]


def test_no_two_readings_of_a_meter_are_of_one_instant(store: Store) -> None:
    take_in(store, _book(store), NOW, may_make=False)
    with store.reading() as connection:
        readings = find_all(connection, Reading)
    assert len({(one.meter_id, one.at) for one in readings}) == len(readings)
    for meter in {one.meter_id for one in readings}:
        shown = [one.shown_usage for one in sorted(readings, key=lambda one: one.at) if one.meter_id == meter]
        assert shown == sorted(shown)


def test_answers_in_a_file_are_taken_and_the_next_question_stands_in_it(store: Store, tmp_path: Path) -> None:
    given = {36: "140", 37: "East", 72: "2/29/2024", 73: "80", 109: "skip"}
    lines = [replace(one, answer=given[one.row]) for one in asked_lines(_book(store).asked)]
    write_answers(tmp_path / "open.csv", lines)
    desk = _book(store, read_answers(tmp_path / "open.csv"))
    assert desk.asked == []
    assert len(desk.sure) == 102
    by_row = {row.row: row.entries for row in desk.rows}
    assert by_row[36][0].positions == (140,)
    assert by_row[37][0].machine == "East header"
    assert str(by_row[72][0].day) == "2024-02-29"
    assert by_row[109] == ()
    brought = take_in(store, desk, NOW, may_make=False)
    assert [(row.row, why) for row, why in brought.left] == [(72, "The log has no skid plate on West header.")]


def test_yes_answers_only_what_can_be_answered_with_yes(store: Store) -> None:
    line = next(replace(one, answer="yes") for one in asked_lines(_book(store).asked) if one.row == 37)
    with pytest.raises(UsageError, match="does not answer"):
        _book(store, [line])


def test_an_answer_with_a_star_holds_for_every_row_that_asks_the_same(store: Store) -> None:
    rows = (HEAD, ("7/21/2025", "", "guard", "3", "rock", "10"), ("7/22/2025", "", "guard", "4", "rock", "10"))
    asked = asked_lines(_sheet(store, *rows).asked)
    assert len(asked) == 2
    desk = _sheet(store, *rows, answers=[replace(asked[0], answer="West *")])
    assert [row.entries[0].machine for row in desk.sure] == ["West header", "West header"]


def test_a_corrected_row_asks_and_takes_the_place_of_what_it_was(store: Store) -> None:
    head = ("Date", "Combine", "Header", "ac", "Sep h")
    before = (head, ("7/21/2025", "Ivy", "East", "85", "1216.5"))
    after = (head, ("7/21/2025", "Ivy", "East", "95", "1216.5"))
    take_in(store, _sheet(store, *before), NOW, may_make=False)
    changed = _sheet(store, *after)
    assert [row.question.ask.value for row in changed.asked if row.question] == ["row_changed"]
    agreed = _sheet(store, *after, answers=[replace(asked_lines(changed.asked)[0], answer="yes")])
    take_in(store, agreed, NOW, may_make=False)
    with store.reading() as connection:
        runs = find_all(connection, Run)
        readings = find_all(connection, Reading)
    assert [round(one.area_square_metres / 4046.8564224) for one in runs] == [95]
    assert len(readings) == 1
    undo(store)
    assert _sheet(store, *before).sure == []


def test_a_machine_that_is_not_there_is_made_with_its_rows(store: Store) -> None:
    rows = (
        HEAD,
        ("7/21/2025", "South", "section", "3", "stone", "10"),
        ("7/22/2025", "South", "section", "90", "stone", "5"),
    )
    assert [row.question.ask.value for row in _sheet(store, *rows).asked if row.question] == ["machine_open"] * 2
    new = machine_facts([machine_to_make("South=header 30 ft")])
    desk = lay_out(store, [NoteSheet("csv", rows)], "book.csv", NOW, _SAID, new=new)
    brought = take_in(store, desk, NOW, may_make=True)
    assert len(brought.saved) == 2
    assert "South: knife section was made, 90 positions as far as the notebook names them" in brought.told
    assert any("unknown age, about 2 seasons" in one for one in brought.told)
    with store.reading() as connection:
        assert [one.name for one in find_all(connection, Machine) if one.name == "South"] == ["South"]
    undo(store)
    with store.reading() as connection:
        assert all(one.name != "South" for one in find_all(connection, Machine))


def test_new_parts_of_a_year_are_put_on_before_its_harvest(store: Store) -> None:
    rows = (
        HEAD,
        ("2022", "West", "all new guards", "", "winter", ""),
        ("7/22/2025", "West", "guard", "4", "rock", "10"),
    )
    desk = _sheet(store, *rows)
    assert [row.means[0].value for row in desk.sure] == ["planned", "breakage"]
    take_in(store, desk, NOW, may_make=False)
    with store.reading() as connection:
        new = [one for one in find_all(connection, Fitting) if one.age_when_fitted_usage == 0]
    assert len([one for one in new if f"{one.fitted_at:%Y-%m}" == "2022-04"]) == 70


def test_a_ledger_fills_the_shelf_and_keeps_what_parts_cost(tmp_path: Path) -> None:
    store = create_store(locate(str(tmp_path / "ledger.db")))
    enter_farm(store, expected_of("shop_ledger"))
    sheets = read_notebook(HERE / "shop_ledger.csv")
    first = take_in(store, lay_out(store, sheets, "shop_ledger.csv", NOW, _SAID), NOW, may_make=False)
    assert len(first.saved) == 26
    assert {why for _, why in first.left} >= {"The parts list has no knife section.", "Pearl has no service 'grease'."}
    rest = take_in(store, lay_out(store, sheets, "shop_ledger.csv", NOW, _SAID), NOW, may_make=True)
    assert len(rest.saved) == 68
    with store.reading() as connection:
        moves, services = find_all(connection, StockMove), find_all(connection, ServiceDone)
    assert sum(one.change is StockChange.RECEIVED for one in moves) == 33
    assert {one.unit_cost_minor for one in moves if one.unit_cost_minor} == {510, 940, 3100, 149000}
    assert len(services) == 23
    store.close()


def test_what_was_said_of_columns_and_words_is_kept_for_the_next_time(store: Store) -> None:
    rows = (("Tag der Arbeit", "Header", "Ding", "Pos"), ("7/21/2025", "East", "zahn", "12"))
    said = NotebookWords(columns={"tag der arbeit": Holds.DAY, "ding": Holds.PART}, words={"zahn": "knife section"})
    take_in(store, _sheet(store, *rows, said=said), NOW, may_make=False)
    kept = kept_words(store, "book.csv")
    assert (kept.columns, kept.words) == (said.columns, said.words)


def test_controls_in_cells_reach_neither_the_log_nor_the_terminal(tmp_path: Path, store: Store) -> None:
    file = tmp_path / "book.csv"
    file.write_text(
        "Date,Header,Part,Pos,Why,Note\n7/21/2025,East,section,12,rock,\x1b[31mred\x07 \u202eturned\n", "utf-8"
    )
    desk = lay_out(store, read_notebook(file), "book.csv", NOW, _SAID)
    take_in(store, desk, NOW, may_make=False)
    with store.reading() as connection:
        texts = [find_all(connection, Breakage)[0].note, find_all(connection, OutsideLine)[0].said]
    assert not any(one in text for text in texts for one in "\x1b\x07\u202e")


def test_a_row_whose_day_was_answered_is_known_when_the_file_comes_again(store: Store) -> None:
    rows = (
        HEAD,
        ("2/30/2025", "East", "section", "3", "rock", "10"),
        ("7/22/2025", "East", "guard", "4", "rock", "10"),
    )
    asked = asked_lines(_sheet(store, *rows).asked)
    assert [one.ask.value for one in asked] == ["date_impossible"]
    take_in(store, _sheet(store, *rows, answers=[replace(asked[0], answer="7/20/2025")]), NOW, may_make=False)
    assert _count(store, Breakage) == 2
    again = _sheet(store, *rows)
    assert (again.sure, again.asked) == ([], [])
