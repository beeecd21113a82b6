"""Many new rows written at once leave what they leave one by one: rows, versions, digests, and the order of both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import any_fact, one_of_each
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Doing, Ground, MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.work import Field
from wearlog.ids import new_id, new_ids
from wearlog.store import ledger
from wearlog.store.content import content_of, contents_of, digest_of
from wearlog.store.inspection import inspect_log
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.new_rows import new_versions
from wearlog.store.opening import create_store
from wearlog.store.packing import packed, packed_each
from wearlog.store.schema import metadata, table_of

#: what is of its own in every deed and version
_OWN = {"deed": ("id", "recorded_at", "digest"), "version": ("id", "deed_id")}


def left(file: Path, deeds: Sequence[Sequence[Entry]], many: int, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """Return what stands in every table of a new log after some deeds, versions in the order of their ids."""
    monkeypatch.setattr(ledger, "MANY", many)
    store = create_store(Location(file=file))
    for entries in deeds:
        with store.writing() as connection:
            record(connection, device="shop", said="entered", entries=entries)
    assert inspect_log(store).problems == ()
    found = {}
    with store.reading() as connection:
        for name, table in metadata.tables.items():
            order = "recorded_at" if name == "deed" else ", ".join(column.name for column in table.primary_key)
            kept = [column.name for column in table.columns if column.name not in _OWN.get(name, ())]
            if name != "version_parent":
                rows = connection.exec_driver_sql(f"SELECT {', '.join(kept)} FROM {name} ORDER BY {order or 1}")
                found[name] = [tuple(row) for row in rows]
    store.close()
    # what follows another is digested with its id
    found["version"] = [row if "entered" in row else row[:-1] for row in found["version"]]
    return found


def test_a_row_of_every_table_is_written_as_by_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is new stands beside what is changed in one deed; the order in which they were given is the order of the versions."""
    facts = one_of_each()
    field = next(one for one in facts if isinstance(one, Field))
    west = Field(name="west", area_square_metres=640_000, ground=Ground.STONY)
    changed = [
        Entry(west),
        Entry(replace(field, name="far “west” \\ \x7f\n"), Doing.EDITED),
        Entry(replace(west, id=new_id(), name="%s")),
    ]
    deeds = [[Entry(fact) for fact in reversed(facts)], changed]
    by_itself = left(tmp_path / "one.db", deeds, 10**9, monkeypatch)
    assert left(tmp_path / "many.db", deeds, 1, monkeypatch) == by_itself
    assert len(by_itself["version"]) == len(facts) + 3


def test_rows_that_point_at_later_rows_of_their_table_and_of_other_zones(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    combine = Machine(name="north", kind=MachineKind.COMBINE)
    meter = Meter(machine_id=combine.id, kind=MeterKind.ENGINE_HOURS)
    at = datetime(2026, 7, 28, 16, 20, tzinfo=timezone(timedelta(hours=-5)))
    readings = [
        Reading(meter_id=meter.id, at=at + timedelta(microseconds=one), shown_usage=one * 3600, note="x" * (one % 3))
        for one in range(300)
    ]
    deeds = [[Entry(one) for one in (*readings, meter, combine)]]
    assert left(tmp_path / "one.db", deeds, 10**9, monkeypatch) == left(tmp_path / "many.db", deeds, 200, monkeypatch)


def test_a_row_that_is_there_already_or_changed_and_missing_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ledger, "MANY", 1)
    store = create_store(Location(file=tmp_path / "log.db"))
    west = Field(name="west", area_square_metres=640_000, ground=Ground.STONY)
    with store.writing() as connection, pytest.raises(RefusedError, match="to change is not in the log"):
        record(
            connection, device="shop", said="x", entries=[Entry(replace(west, id=new_id())), Entry(west, Doing.EDITED)]
        )
    store.close()


@given(st.lists(any_fact(), min_size=1, max_size=12))
def test_content_and_digest_are_those_of_each_fact_alone(facts: list[Fact]) -> None:
    groups = new_versions(dict(enumerate(facts)))
    assert sorted(place for one in groups for place in one.places) == list(range(len(facts)))
    for group in groups:
        name = group.table.name
        ids, contents = contents_of(group.facts)
        assert [facts[place] for place in group.places] == list(group.facts)
        assert contents == group.contents == [content_of(fact) for fact in group.facts]
        assert ids == [str(fact.id) for fact in group.facts]
        assert list(packed_each(name, contents)) == [packed(name, one) for one in contents]
        digests = [digest_of(name, fact.id, (), content_of(fact)) for fact in group.facts]
        assert [one.hex() for one in group.digests] == digests
        assert {table_of(fact).name for fact in group.facts} == {name}


def test_ids_made_at_once_are_such_as_are_made_one_by_one() -> None:
    before = new_id()
    found = [UUID(int=one) for one in new_ids(5_000)]
    after = new_id()
    assert [before, *found, after] == sorted({before, *found, after})
    assert {(one.version, one.variant) for one in found} == {(before.version, before.variant)}
    assert len({one.int & (1 << 62) - 1 for one in found}) == 5_000
    assert new_ids(0) == []
    assert abs((found[-1].int >> 80) / 1000 - datetime.now(UTC).timestamp()) < 60
