"""A notebook brought into the log: one deed, ages out of what it says, nothing twice, corrections take the place of what was."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from tests.logbook.notebook.kept_notebooks import HERE, NOW, enter_farm, expected_of
from wearlog.errors import UsageError
from wearlog.exchange.notebook_files import read_answers, read_notebook, write_answers
from wearlog.facts.bookkeeping import OutsideLine
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.machines import Machine, Reading, ServiceDone
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Crop, Field, Run, Stoppage
from wearlog.logbook.files.undo import undo
from wearlog.logbook.lines.notebook_answers import AskedLine, asked_lines
from wearlog.logbook.lines.notebook_desk import NotebookDesk, kept_words, lay_out, take_in
from wearlog.logbook.lines.notebook_made import facts_to_make
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.layout import NoteSheet
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


def test_an_open_row_further_up_does_not_take_the_line_of_a_corrected_row(store: Store) -> None:
    open_row = ("8/28/2025", "East", "section", "141", "rock", "30")
    before = (HEAD, open_row, ("8/30/2025", "East", "section", "10", "rock", "30"))
    after = (HEAD, open_row, ("8/30/2025", "East", "section", "11", "rock", "30"))
    take_in(store, _sheet(store, *before), NOW, may_make=False)
    changed = _sheet(store, *after)
    assert changed.sure == []
    assert [row.question.ask.value for row in changed.asked if row.question] == ["position_beyond", "row_changed"]
    agreed = _sheet(store, *after, answers=[replace(asked_lines(changed.asked)[1], answer="yes")])
    take_in(store, agreed, NOW, may_make=False)
    with store.reading() as connection:
        assert [one.positions for one in find_all(connection, Breakage)] == [(11,)]


def test_rows_that_wait_for_what_is_not_there_are_told_before_they_are_left(store: Store) -> None:
    desk = _sheet(
        store,
        HEAD,
        ("7/21/2025", "East", "section", "10", "rock", "30"),
        ("7/22/2025", "East", "reel tine", "3", "rock", "30"),
    )
    assert (len(desk.sure), desk.waiting(may_make=False), desk.waiting(may_make=True)) == (2, 1, 0)
    brought = take_in(store, desk, NOW, may_make=False)
    assert (len(brought.saved), len(brought.left)) == (1, 1)


def test_a_machine_that_is_not_there_is_made_with_its_rows(store: Store) -> None:
    rows = (
        HEAD,
        ("7/21/2025", "South", "section", "3", "stone", "10"),
        ("7/22/2025", "South", "section", "90", "stone", "5"),
    )
    assert [row.question.ask.value for row in _sheet(store, *rows).asked if row.question] == ["machine_open"] * 2
    new = facts_to_make("South=header 30 ft")
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


WORK = ("Date", "Combine", "Header", "Field", "Crop", "ac")


def test_what_is_not_there_is_offered_once_for_all_its_rows(store: Store) -> None:
    rows = (
        WORK,
        ("7/21/2025", "Ivy", "East", "Mill", "Canola", "85"),
        ("7/22/2025", "Ivy", "East", "mill", "canola", "60"),
        ("7/23/2025", "Oak", "East", "Mill", "Canola", "10"),
        ("7/24/2025", "oak", "East", "Mill", "Canola", "20"),
    )
    desk = _sheet(store, *rows)
    assert [(one.says, len(one.rows)) for one in desk.offers] == [
        ("machine 'Oak' is not there", 2),
        ("field 'Mill' is not there", 2),
        ("crop 'Canola' is not there", 2),
    ]
    assert desk.offers[0].ways[0] == "combine"
    assert desk.offers[1].ways[1] == "field 145 ac few stones"
    new = [fact for text in ("Oak=combine", "Mill=field 145 ac stony", "Canola=crop") for fact in facts_to_make(text)]
    made = lay_out(store, [NoteSheet("csv", rows)], "book.csv", NOW, _SAID, new=new)
    assert made.offers == ()
    assert len(take_in(store, made, NOW, may_make=False).saved) == 4
    with store.reading() as connection:
        runs, fields, crops = (find_all(connection, kind) for kind in (Run, Field, Crop))
        oak = next(one for one in find_all(connection, Machine) if one.name == "Oak")
    mill = next(one for one in fields if one.name == "Mill")
    assert {one.field_id for one in runs} == {mill.id}
    assert {one.crop_id for one in runs} == {next(one.id for one in crops if one.name == "Canola")}
    assert sum(one.combine_id == oak.id for one in runs) == 2


def test_a_field_of_another_name_is_said_to_be_one_that_is_there(store: Store) -> None:
    take_in(
        store,
        lay_out(
            store,
            [NoteSheet("csv", (WORK, ("7/21/2025", "Ivy", "East", "Mill", "", "85")))],
            "one.csv",
            NOW,
            _SAID,
            new=facts_to_make("Mill=field 100 ac clean"),
        ),
        NOW,
        may_make=False,
    )
    said = NotebookWords(words={"the mill one": "Mill"})
    desk = _sheet(store, WORK, ("7/22/2025", "Ivy", "East", "The mill one", "", "60"), said=said)
    assert desk.offers == ()
    take_in(store, desk, NOW, may_make=False)
    with store.reading() as connection:
        assert len({one.field_id for one in find_all(connection, Run)}) == 1


def test_a_part_that_a_machine_lacks_is_offered_and_made_alone(store: Store) -> None:
    rows = (HEAD, ("7/21/2025", "West", "skid plate", "3", "worn", "10"))
    desk = _sheet(store, *rows)
    assert [one.says for one in desk.offers] == ["West header has no skid plate in the log"]
    allowed = [desk.offers[0].key]
    agreed = lay_out(store, [NoteSheet("csv", rows)], "book.csv", NOW, _SAID, allowed=allowed)
    assert agreed.offers == ()
    assert len(take_in(store, agreed, NOW, may_make=False).saved) == 1


def test_a_kind_of_part_that_nobody_knows_is_offered_and_made(store: Store) -> None:
    rows = (HEAD, ("7/21/2025", "West", "flurbel", "3", "rock", "10"))
    desk = _sheet(store, *rows)
    assert [one.says for one in desk.offers] == ["kind of part 'flurbel' is not there"]
    assert "kind header" in desk.offers[0].ways
    new = facts_to_make("flurbel=kind header")
    made = lay_out(store, [NoteSheet("csv", rows)], "book.csv", NOW, _SAID, new=new)
    assert [row.entries[0].kind for row in made.sure] == ["flurbel"]
    take_in(store, made, NOW, may_make=True)
    assert _count(store, Breakage) == 1


@pytest.mark.parametrize("text", ["Mill=field", "Mill=field 10 ac", "=crop", "flurbel=kind moon", "Mill=lake"])
def test_what_cannot_be_made_is_refused_with_how_to_write_it(text: str) -> None:
    with pytest.raises(UsageError) as error:
        facts_to_make(text)
    assert error.value.hint


def test_a_corrected_breakage_takes_the_place_of_what_it_was(store: Store) -> None:
    before = (HEAD, ("7/21/2025", "East", "section", "12", "rock", "10"))
    after = (HEAD, ("7/21/2025", "East", "section", "13", "rock", "15"))
    take_in(store, _sheet(store, *before), NOW, may_make=False)
    changed = _sheet(store, *after)
    assert [row.question.ask.value for row in changed.asked if row.question] == ["row_changed"]
    agreed = _sheet(store, *after, answers=[replace(asked_lines(changed.asked)[0], answer="yes")])
    assert len(take_in(store, agreed, NOW, may_make=False).saved) == 1
    with store.reading() as connection:
        breakages = find_all(connection, Breakage)
        fittings = find_all(connection, Fitting, component_id=breakages[0].component_id)
        stops = find_all(connection, Stoppage)
    assert [one.positions for one in breakages] == [(13,)]
    assert [(one.removed_at, one.removal) for one in fittings if one.position == 12] == [(None, None)]
    assert sorted(one.removed_at is None for one in fittings if one.position == 13) == [False, True]
    assert [(one.ended_at - one.started_at).seconds for one in stops if one.ended_at] == [900]
    undo(store)
    with store.reading() as connection:
        assert [one.positions for one in find_all(connection, Breakage)] == [(12,)]


def test_a_breakage_is_not_corrected_where_its_new_part_was_changed_since(store: Store) -> None:
    later = ("8/21/2025", "East", "section", "12", "rock", "20")
    before = (HEAD, ("7/21/2025", "East", "section", "12", "rock", "10"), later)
    after = (HEAD, ("7/21/2025", "East", "section", "13", "rock", "10"), later)
    take_in(store, _sheet(store, *before), NOW, may_make=False)
    agreed = _sheet(store, *after, answers=[replace(asked_lines(_sheet(store, *after).asked)[0], answer="yes")])
    left = take_in(store, agreed, NOW, may_make=False).left
    assert len(left) == 1
    assert "changed since" in left[0][1]
    assert _count(store, Breakage) == 2


def test_one_stop_that_two_rows_share_is_counted_once(store: Store) -> None:
    rows = (
        (*HEAD, "Note"),
        ("7/21/2025", "East", "section", "12", "rock", "20", ""),
        ('"', '"', "guard", "6", "rock", '"', ""),
        ("7/22/2025", "East", "guard", "8", "rock", "30", ""),
        ("7/22/2025", "East", "guard", "9", "rock", "30", "same stop"),
    )
    desk = _sheet(store, *rows)
    assert [row.entries[0].shares_stop for row in desk.sure] == [False, True, False, True]
    assert "one stop with the row above" in desk.sure[1].granted
    take_in(store, desk, NOW, may_make=False)
    with store.reading() as connection:
        stops = find_all(connection, Stoppage)
    assert sorted((one.ended_at - one.started_at).seconds // 60 for one in stops if one.ended_at) == [20, 30]
