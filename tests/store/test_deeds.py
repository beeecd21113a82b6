"""Deeds: recording, the history of them, and taking one back, on both databases."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from sqlalchemy import Connection, select, text

from wearlog.errors import ConflictError, NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Deed, Setting
from wearlog.facts.closed_lists import Doing, Ground, MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.work import Field
from wearlog.ids import new_id
from wearlog.store import finding, ledger
from wearlog.store.content import digest_of, fact_of
from wearlog.store.finding import read_facts
from wearlog.store.journal import deed_by_id, deed_lines, last_deed, versions_of_deed, versions_of_row
from wearlog.store.ledger import Entry, head_ids, record
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, table_of
from wearlog.store.taking_back import take_back

AT = datetime(2024, 7, 20, 18, 5, tzinfo=UTC)
COMBINE = Machine(name="north", kind=MachineKind.COMBINE)
ENGINE = Meter(machine_id=COMBINE.id, kind=MeterKind.ENGINE_HOURS)
READING = Reading(meter_id=ENGINE.id, at=AT, shown_usage=3600)
WEST = Field(name="west", area_square_metres=640_000, ground=Ground.STONY)


def do(store: Store, said: str, *entries: Entry, device: str = "shop") -> Deed:
    with store.writing() as connection:
        return record(connection, device=device, said=said, entries=entries)


def enter(store: Store, said: str, *facts: Fact) -> Deed:
    return do(store, said, *(Entry(fact) for fact in facts))


def edit(store: Store, said: str, fact: Fact) -> Deed:
    return do(store, said, Entry(fact, Doing.EDITED))


def undo(store: Store, deed: Deed) -> Deed:
    with store.writing() as connection:
        return take_back(connection, device="shop", deed=deed)


def row(store: Store, fact: Fact) -> Any:
    """Return the fact as its row stands now."""
    table = table_of(fact)
    fact_type: Any = FACT_OF_TABLE[table.name]
    with store.reading() as connection:
        (found,) = read_facts(connection, fact_type, select(table).where(table.c.id == fact.id))
        return found


def counts(connection: Connection) -> tuple[int, int]:
    """Return how many deeds and versions there are."""
    deeds = connection.execute(text("SELECT count(*) FROM deed")).scalar_one()
    return deeds, connection.execute(text("SELECT count(*) FROM version")).scalar_one()


def test_a_deed_leaves_one_version_for_each_row(store: Store) -> None:
    """Rows are written in an order that their references allow, whatever the order they are given in."""
    deed = enter(store, "new combine", READING, ENGINE, COMBINE)
    with store.reading() as connection:
        assert counts(connection) == (1, 3)
        assert deed_by_id(connection, deed.id) == deed
        versions = {version.row_id: version for version in versions_of_deed(connection, deed.id)}
    assert set(versions) == {COMBINE.id, ENGINE.id, READING.id}
    for fact in (COMBINE, ENGINE, READING):
        version = versions[fact.id]
        assert (version.parents, version.doing, version.table_name) == ((), Doing.ENTERED, table_of(fact).name)
        assert fact_of(version.table_name, version.content) == fact
        assert version.digest == digest_of(version.table_name, fact.id, (), version.content)


def test_an_edit_follows_the_version_before_it(store: Store) -> None:
    enter(store, "new field", WEST)
    first = replace(WEST, ground=Ground.VERY_STONY)
    edit(store, "stonier than thought", first)
    edit(store, "surveyed", second := replace(first, area_square_metres=648_000))
    assert row(store, WEST) == second
    with store.reading() as connection:
        old, middle, new = versions_of_row(connection, WEST.id)
        assert head_ids(connection, [WEST.id]) == {WEST.id: (new.id,)}
    assert (old.parents, middle.parents, new.parents) == ((), (old.id,), (middle.id,))
    assert [old.doing, middle.doing, new.doing] == [Doing.ENTERED, Doing.EDITED, Doing.EDITED]


def test_a_deed_without_entries_is_refused(store: Store) -> None:
    with pytest.raises(RefusedError, match=r"^There is nothing to save\.$"):
        do(store, "nothing")
    with store.reading() as connection:
        assert counts(connection) == (0, 0)


def test_a_change_of_a_row_that_is_not_there_is_refused_whole(store: Store) -> None:
    other = Field(name="east", area_square_metres=1, ground=Ground.CLEAN)
    with pytest.raises(RefusedError, match=r"^The field to change is not in the log\.$"):
        do(store, "half", Entry(other), Entry(WEST, Doing.EDITED))
    with store.reading() as connection:
        assert counts(connection) == (0, 0)
        assert connection.execute(text("SELECT count(*) FROM field")).scalar_one() == 0


@pytest.mark.promise(
    about="a kill or a crash",
    fault="the program fails in the middle of an entry",
    holds="nothing of the entry is saved",
    on="both",
)
def test_an_error_inside_a_block_saves_nothing(store: Store) -> None:
    def half(connection: Connection) -> int:
        record(connection, device="shop", said="new field", entries=[Entry(WEST)])
        return 1 // 0

    with pytest.raises(ZeroDivisionError), store.writing() as connection:
        half(connection)
    with store.reading() as connection:
        assert counts(connection) == (0, 0)


def test_what_is_written_while_reading_is_not_kept(store: Store) -> None:
    with store.reading() as connection:
        record(connection, device="shop", said="new field", entries=[Entry(WEST)])
    with store.reading() as connection:
        assert counts(connection) == (0, 0)


@pytest.mark.promise(
    about="several at once", fault="the clock is set back", holds="what comes later is recorded later", on="both"
)
def test_a_clock_set_back_does_not_reorder_the_journal(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each deed is recorded at the clock's time, or one microsecond after the latest when the clock says earlier."""
    told = [AT, AT - timedelta(days=3), AT - timedelta(days=3), AT + timedelta(seconds=1)]

    class Clock(datetime):
        @classmethod
        def now(cls, tz: Any = None) -> datetime:
            assert tz is UTC
            return told.pop(0)

    monkeypatch.setattr(ledger, "datetime", Clock)
    deeds = [enter(store, "setting", Setting(key="k", content="v")) for _ in range(4)]
    microsecond = timedelta(microseconds=1)
    assert [deed.recorded_at for deed in deeds] == [
        AT,
        AT + microsecond,
        AT + 2 * microsecond,
        AT + timedelta(seconds=1),
    ]


def test_undo_of_an_entry_voids_its_rows_and_keeps_them(store: Store) -> None:
    deed = enter(store, "new combine", COMBINE, ENGINE)
    taken = undo(store, deed)
    assert (taken.said, taken.undoes_deed_id) == ("undid: new combine", deed.id)
    assert row(store, COMBINE) == replace(COMBINE, voided=True)
    assert row(store, ENGINE) == replace(ENGINE, voided=True)
    with store.reading() as connection:
        assert [version.doing for version in versions_of_deed(connection, taken.id)] == [Doing.UNDONE, Doing.UNDONE]


def test_undo_of_an_edit_restores_what_was_there(store: Store) -> None:
    enter(store, "new field", WEST)
    deed = edit(store, "renamed", replace(WEST, name="far west", ground=Ground.CLEAN))
    undo(store, deed)
    assert row(store, WEST) == WEST


def test_undo_of_a_void_brings_the_row_back(store: Store) -> None:
    enter(store, "new field", WEST)
    deed = do(store, "sold", Entry(replace(WEST, voided=True), Doing.VOIDED))
    undo(store, deed)
    assert row(store, WEST) == WEST


def test_one_undo_takes_back_the_whole_deed(store: Store) -> None:
    """An entry, an edit and a void made by one deed all go at once."""
    other = Field(name="east", area_square_metres=5, ground=Ground.CLEAN)
    third = Field(name="south", area_square_metres=7, ground=Ground.CLEAN)
    enter(store, "fields", WEST, other)
    changed = Entry(replace(WEST, name="wide west"), Doing.EDITED)
    deed = do(store, "tidied", changed, Entry(replace(other, voided=True), Doing.VOIDED), Entry(third))
    undo(store, deed)
    assert [row(store, fact) for fact in (WEST, other, third)] == [WEST, other, replace(third, voided=True)]


def test_undo_of_an_undo_does_it_again(store: Store) -> None:
    deed = enter(store, "new field", WEST)
    taken = undo(store, deed)
    again = undo(store, taken)
    assert row(store, WEST) == WEST
    assert again.said == "undid: undid: new field"
    with pytest.raises(RefusedError, match="This brought an entry back"):
        undo(store, again)
    undo(store, deed)
    assert row(store, WEST) == replace(WEST, voided=True)


def test_a_deed_is_undone_once(store: Store) -> None:
    deed = enter(store, "new field", WEST)
    undo(store, deed)
    with pytest.raises(RefusedError) as refused:
        undo(store, deed)
    assert (refused.value.message, refused.value.exit_code) == ("'new field' was undone before.", 4)
    with store.reading() as connection:
        assert counts(connection) == (2, 2)


def test_undo_is_refused_when_a_row_was_changed_since(store: Store) -> None:
    """The later change would be lost without a word; the message names it."""
    deed = enter(store, "new field", WEST)
    later = edit(store, "renamed", changed := replace(WEST, name="far west"))
    with pytest.raises(ConflictError) as refused:
        undo(store, deed)
    assert refused.value.message == "What this entered was changed since by 'renamed'."
    assert (refused.value.hint, refused.value.exit_code) == ("Undo that first.", 5)
    assert row(store, WEST) == changed
    undo(store, later)
    # the row is again as it was entered, so the entry can go too
    undo(store, deed)
    assert row(store, WEST).voided


@pytest.mark.parametrize(("count", "sentence"), [(1, "1 later reading rests"), (3, "3 later entries of reading rest")])
def test_undo_is_refused_when_later_rows_rest_on_it(store: Store, count: int, sentence: str) -> None:
    deed = enter(store, "new combine", COMBINE, ENGINE)
    later = enter(store, "readings", *(replace(READING, id=new_id(), shown_usage=1 + n) for n in range(count)))
    with pytest.raises(RefusedError) as refused:
        undo(store, deed)
    assert (refused.value.message, refused.value.hint) == (f"{sentence} on this.", "Undo those first.")
    assert row(store, ENGINE) == ENGINE
    undo(store, later)
    undo(store, deed)
    assert row(store, ENGINE).voided


def test_rows_of_the_same_deed_do_not_hold_each_other(store: Store) -> None:
    deed = enter(store, "new combine", COMBINE, ENGINE, READING)
    undo(store, deed)
    assert all(row(store, fact).voided for fact in (COMBINE, ENGINE, READING))


def test_a_row_does_not_come_back_onto_one_that_went_away(store: Store) -> None:
    """Undo of an undo would else leave a meter that counts on a machine that does not."""
    machine = enter(store, "new combine", COMBINE)
    meter = enter(store, "new meter", ENGINE)
    taken = undo(store, meter)
    gone = undo(store, machine)
    with pytest.raises(RefusedError) as refused:
        undo(store, taken)
    assert refused.value.message == "The machine that this rests on was taken away since."
    assert (refused.value.hint, refused.value.exit_code) == ("Bring that back first.", 4)
    undo(store, gone)
    undo(store, taken)
    assert (row(store, COMBINE), row(store, ENGINE)) == (COMBINE, ENGINE)


def test_the_last_deed_is_of_this_device_and_still_stands(store: Store) -> None:
    mine = enter(store, "west", WEST)
    do(store, "from the cab", Entry(Setting(key="k", content="v")), device="cab")
    later = edit(store, "renamed", replace(WEST, name="far west"))
    with store.reading() as connection:
        assert last_deed(connection, "shop") == later
        assert last_deed(connection, "cab").said == "from the cab"
    undo(store, later)
    with store.reading() as connection:
        assert last_deed(connection, "shop") == mine
        with pytest.raises(NotFoundError, match=r"^There is nothing to undo\.$"):
            last_deed(connection, "truck")


def test_history_lists_the_latest_first_and_pages_back(store: Store) -> None:
    deeds = [enter(store, "west", WEST), enter(store, "combine", COMBINE, ENGINE), enter(store, "reading", READING)]
    taken = undo(store, deeds[2])
    with store.reading() as connection:
        lines = deed_lines(connection, limit=10)
        assert [line.deed for line in lines] == [taken, *reversed(deeds)]
        assert [(line.rows, line.undone) for line in lines] == [(1, False), (1, True), (2, False), (1, False)]
        first_page = deed_lines(connection, limit=2)
        second_page = deed_lines(connection, limit=2, before=first_page[-1])
        assert [*first_page, *second_page] == lines
        assert [line.deed for line in deed_lines(connection, limit=10, row_id=READING.id)] == [taken, deeds[2]]


def test_a_deed_that_is_not_there_is_said_so(store: Store) -> None:
    with store.reading() as connection, pytest.raises(NotFoundError, match=r"^There is no entry 0000.* in the history"):
        deed_by_id(connection, UUID(int=4))


def test_a_deed_of_more_rows_than_one_query_may_name_is_undone_whole(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An import of many years is one deed; ids are looked up some at a time."""
    monkeypatch.setattr(finding, "_IDS_AT_ONCE", 3)
    rows = [Setting(key="k", content=str(number)) for number in range(10)]
    deed = enter(store, "imported", *rows)
    undo(store, deed)
    assert all(row(store, fact) == replace(fact, voided=True) for fact in rows)
    with pytest.raises(RefusedError, match="undone before"):
        undo(store, deed)


def test_a_reading_block_sees_one_state_of_the_log(server_store: Store) -> None:
    """What another person saves meanwhile does not show half-way through a report."""
    with server_store.reading() as connection:
        before = counts(connection)
        enter(server_store, "new field", WEST)
        assert counts(connection) == before == (0, 0)
    with server_store.reading() as connection:
        assert counts(connection) == (1, 1)


def test_an_entry_whose_undo_was_undone_stands_again_and_can_be_undone_once_more(store: Store) -> None:
    with store.writing() as connection:
        entered = record(connection, device="shop", said="entered", entries=[Entry(Setting(key="units", content="us"))])
    with store.writing() as connection:
        undone = take_back(connection, device="shop", deed=entered)
    with store.writing() as connection:
        take_back(connection, device="shop", deed=undone)
    with store.reading() as connection:
        states = {line.deed.id: line.undone for line in deed_lines(connection, limit=9)}
    assert (states[entered.id], states[undone.id]) == (False, True)


def test_undo_after_undo_goes_back_deed_by_deed(store: Store) -> None:
    entered = enter(store, "entered", WEST)
    edit(store, "enlarged", replace(WEST, area_square_metres=650_000))
    for said in ("enlarged", "entered"):
        with store.writing() as connection:
            assert take_back(connection, device="shop", deed=last_deed(connection, "shop")).said == f"undid: {said}"
    with store.reading() as connection:
        assert [line.undone for line in deed_lines(connection, limit=9) if line.deed.id == entered.id] == [True]
        with pytest.raises(NotFoundError, match="nothing to undo"):
            last_deed(connection, "shop")
