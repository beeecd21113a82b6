"""Rows that an entry reads again are not made facts anew, and what changed in between, in them or in what they own, is read."""

from __future__ import annotations

from dataclasses import replace

import pytest

from wearlog.facts.closed_lists import Doing, MachineKind, MeterKind, Subsystem
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.store import by_driver
from wearlog.store.finding import find_all, find_by_id
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store


def kind(number: int) -> PartKind:
    words = (f"blade {number}", "blade")
    return PartKind(name=f"knife {number}", words=words, subsystem=Subsystem.HEADER, meter_kind=MeterKind.AREA)


def test_a_row_read_again_is_what_it_became(file_store: Store) -> None:
    one, other = kind(1), kind(2)
    with file_store.writing() as connection:
        record(connection, device="shop", said="two kinds", entries=[Entry(one), Entry(other)])
        assert find_all(connection, PartKind) == [one, other]
        # a word more lies in another table, a name in the row itself
        longer, renamed = replace(one, words=(*one.words, "tooth")), replace(other, name="cutter")
        changes = [Entry(longer, Doing.EDITED), Entry(renamed, Doing.EDITED)]
        record(connection, device="shop", said="changed", entries=changes)
        assert find_all(connection, PartKind) == [longer, renamed]
    with file_store.reading() as connection:
        assert find_by_id(connection, PartKind, one.id) == longer
        # it stands as it stood: the very fact of the list before
        assert find_by_id(connection, PartKind, other.id) is find_all(connection, PartKind)[1]


def test_no_more_facts_are_kept_than_were_agreed(file_store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(by_driver, "_MOST_MADE", 3)
    machines = [Machine(name=f"combine {number}", kind=MachineKind.COMBINE) for number in range(9)]
    with file_store.writing() as connection:
        record(connection, device="shop", said="nine machines", entries=[Entry(one) for one in machines])
        first = [find_by_id(connection, Machine, one.id) for one in machines]
        again = [find_by_id(connection, Machine, one.id) for one in machines]
    assert first == again == machines
    assert first[0] is not again[0]


def test_many_rows_at_once_are_not_kept(file_store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(by_driver, "_READ_AGAIN", 1)
    machines = [Machine(name=f"combine {number}", kind=MachineKind.COMBINE) for number in range(2)]
    with file_store.writing() as connection:
        record(connection, device="shop", said="two machines", entries=[Entry(one) for one in machines])
        first, again = find_all(connection, Machine), find_all(connection, Machine)
    assert first == again == machines
    assert first[0] is not again[0]
