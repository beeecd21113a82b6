"""What is read out of a log: facts found, histories as arrays (equal on both databases), and the look through the whole of it."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import text, update

from tests.store.dumping import fill
from tests.strategies import families_of, one_of_each
from wearlog.errors import NotFoundError
from wearlog.facts.closed_lists import Doing, Ground, MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.wearing import Breakage, Fitting, Measurement
from wearlog.facts.work import Field, Run
from wearlog.store import finding
from wearlog.store.finding import find_all, find_by_id, find_in_order, find_many
from wearlog.store.histories import OPEN, read_histories
from wearlog.store.inspection import inspect_log
from wearlog.store.journal import deed_lines, versions_of_row
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.store.packing import packed
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.journal_tables import version

WEST = Field(name="west", area_square_metres=640_000, ground=Ground.STONY)
EAST = Field(name="east", area_square_metres=320_000, ground=Ground.CLEAN)
GONE = Field(name="gone", area_square_metres=1, ground=Ground.CLEAN, voided=True)


def enter(store: Store, *facts: Fact) -> None:
    with store.writing() as connection:
        record(connection, device="shop", said="entered", entries=[Entry(fact) for fact in facts])


def test_facts_are_found_by_field_in_the_order_they_were_made(store: Store) -> None:
    enter(store, EAST, GONE, WEST)
    with store.reading() as connection:
        assert find_all(connection, Field) == [WEST, EAST]
        assert find_all(connection, Field, ground=Ground.CLEAN) == [EAST]
        assert find_all(connection, Field, name="north") == []
        assert find_by_id(connection, Field, WEST.id) == WEST


def test_an_empty_field_is_found_by_none(store: Store) -> None:
    old = Machine(name="Kestrel", kind=MachineKind.COMBINE, model_year=2009)
    unknown = Machine(name="Merlin", kind=MachineKind.COMBINE)
    enter(store, old, unknown)
    with store.reading() as connection:
        assert find_all(connection, Machine, model_year=None) == [unknown]


def test_a_voided_fact_is_found_only_when_asked_for(store: Store) -> None:
    enter(store, EAST, GONE, WEST)
    with store.reading() as connection:
        with pytest.raises(NotFoundError, match=r"^This field is not in the log any more\.$"):
            find_by_id(connection, Field, GONE.id)
        assert find_many(connection, Field, [WEST.id, GONE.id]) == [WEST]
        assert set(find_many(connection, Field, [WEST.id, GONE.id], voided_too=True)) == {WEST, GONE}
        assert len(find_all(connection, Field)) == 2


def test_many_ids_are_looked_up_some_at_a_time(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(finding, "_IDS_AT_ONCE", 3)
    machines = [Machine(name=str(number), kind=MachineKind.CART) for number in range(10)]
    enter(store, *machines)
    with store.reading() as connection:
        assert set(find_many(connection, Machine, [one.id for one in machines])) == set(machines)


def test_facts_are_listed_by_an_instant(store: Store) -> None:
    combine = Machine(name="Kestrel", kind=MachineKind.COMBINE)
    meter = Meter(machine_id=combine.id, kind=MeterKind.ENGINE_HOURS)
    start = datetime(2024, 7, 20, 12, tzinfo=UTC)
    readings = [
        Reading(meter_id=meter.id, at=start + timedelta(hours=hour), shown_usage=hour) for hour in (3, 1, 5, 2, 4)
    ]
    enter(store, combine, meter, *readings)
    with store.reading() as connection:
        latest = find_in_order(connection, Reading, "at", latest_first=True, limit=2, meter_id=meter.id)
        everything = find_in_order(connection, Reading, "at")
    assert [reading.shown_usage for reading in latest] == [5, 4]
    assert [reading.shown_usage for reading in everything] == [1, 2, 3, 4, 5]


# --------------------------------------------------------------------------------------------------------------- histories


def plain(part: Any) -> Any:
    """Return histories as something that can be compared: rows in any order, NaN equal to NaN."""
    if not is_dataclass(part):
        return part
    columns = {field.name: getattr(part, field.name) for field in fields(part)}
    if any(is_dataclass(column) for column in columns.values()):
        return {name: plain(column) for name, column in columns.items()}
    rows = zip(*(_values(column) for column in columns.values()), strict=True)
    return Counter(rows)


def _values(column: Any) -> list[Any]:
    values = column.tolist() if isinstance(column, np.ndarray) else list(column)
    return [None if value != value else value for value in values]


KINDS = st.sampled_from([Reading, Hitch, Run, Fitting, Breakage, Measurement])


@pytest.mark.postgres
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
@given(families=st.lists(KINDS.flatmap(families_of), min_size=1, max_size=4))
def test_histories_are_the_same_on_both_databases(
    file_store: Store, server_store: Store, families: list[tuple[Fact, ...]]
) -> None:
    """Instants to the microsecond, ends that have not come, unknown ages, closed lists, voided rows left out."""
    entries = list({fact.id: Entry(fact) for family in families for fact in family}.values())
    read = []
    for store in (file_store, server_store):
        with store.engine.connect() as connection:
            record(connection, device="shop", said="all of it", entries=entries)
            read.append(plain(read_histories(connection)))
    assert read[0] == read[1]


def test_histories_of_one_row_of_each(store: Store) -> None:
    """Each row of the sample log, as numbers."""
    rows: dict[str, Any] = {TABLE_OF_FACT[type(fact)].name: fact for fact in one_of_each()}
    rows["hitch"] = replace(rows["hitch"], to_at=None)
    rows["fitting"] = replace(rows["fitting"], age_when_fitted_usage=None)
    enter(store, *rows.values())
    with store.reading() as connection:
        found = read_histories(connection)
    fitting, breakage, run = rows["fitting"], rows["breakage"], rows["run"]
    assert found.machines.ids == (rows["machine"].id,)
    assert found.hitches.end.tolist() == [OPEN]
    assert np.isnan(found.fittings.age_when_fitted).tolist() == [True]
    assert found.fittings.fitted_at.tolist() == [_microseconds(fitting.fitted_at)]
    assert found.fittings.removed_at.tolist() == [_microseconds(fitting.removed_at)]
    assert found.breakages.positions == (breakage.positions,)
    assert found.runs.start.tolist() == [_microseconds(run.started_at)]
    assert found.runs.separator_seconds.tolist() == [run.separator_seconds]
    assert list(MeterKind)[found.readings.meter_kind[0]] is rows["meter"].kind


def _microseconds(moment: datetime) -> int:
    return (moment - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(microseconds=1)


def test_histories_of_an_empty_log(store: Store) -> None:
    with store.reading() as connection:
        found = read_histories(connection)
    assert (found.machines.ids, found.breakages.positions, found.runs.start.size) == ((), (), 0)


# -------------------------------------------------------------------------------------------------------------- inspection


def test_a_sound_log_has_no_problems(store: Store) -> None:
    """A row in every table, an edit, a void and an undo."""
    fill(store)
    found = inspect_log(store)
    assert found.problems == ()
    assert (found.rows, found.deeds, found.versions) == (len(TABLE_OF_FACT), 4, len(TABLE_OF_FACT) + 3)


@pytest.mark.parametrize(
    ("change", "problems"),
    [
        ("UPDATE field SET name = 'other'", ["row {id} of field is not what its last version says"]),
        ("DELETE FROM field", ["row {id} of field is missing"]),
        ("DELETE FROM version", ["deed {deed} was altered", "row {id} of field has no history"]),
        ("UPDATE deed SET said = 'something else'", ["deed {deed} was altered"]),
        ("UPDATE deed SET device = 'cab 2'", ["deed {deed} was altered"]),
    ],
)
def test_a_change_past_the_journal_is_found(store: Store, change: str, problems: list[str]) -> None:
    enter(store, WEST)
    with store.writing() as connection:
        deed = deed_lines(connection, limit=1)[0].deed
        connection.execute(text(change))
    assert inspect_log(store).problems == tuple(one.format(id=WEST.id, deed=deed.id) for one in problems)


def test_a_version_that_was_altered_is_found(store: Store) -> None:
    enter(store, WEST)
    with store.writing() as connection:
        record(connection, device="shop", said="renamed", entries=[Entry(replace(WEST, name="far"), Doing.EDITED)])
        first = versions_of_row(connection, WEST.id)[0]
        other = packed("field", first.content.replace("west", "wild"))
        connection.execute(update(version).where(version.c.id == first.id).values(content=other))
    assert inspect_log(store).problems == (f"version {first.id} of a row of field was altered",)


@pytest.mark.parametrize("spoilt", [b"", b"\x00", b"\x01no deflate", b"\x02later form"])
def test_a_version_that_cannot_be_read_is_found(store: Store, spoilt: bytes) -> None:
    """It is named, and nothing else fails for it: the row is there as it was."""
    enter(store, WEST)
    with store.writing() as connection:
        first = versions_of_row(connection, WEST.id)[0]
        connection.execute(update(version).where(version.c.id == first.id).values(content=spoilt))
    assert inspect_log(store).problems == (
        f"version {first.id} of a row of field cannot be read",
        f"row {WEST.id} of field is not what its last version says",
    )


def test_a_row_that_points_at_nothing_is_found(file_store: Store) -> None:
    meter = Meter(machine_id=UUID(int=5), kind=MeterKind.AREA)
    with file_store.engine.connect() as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        driver.execute("PRAGMA foreign_keys=OFF").close()
        record(connection, device="shop", said="lost", entries=[Entry(meter)])
        connection.commit()
    file_store.engine.dispose()
    assert inspect_log(file_store).problems == ("a row of meter points at a row of machine that is not there",)
