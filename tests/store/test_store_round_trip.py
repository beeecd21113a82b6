"""What goes in comes out: every fact through the ledger and the journal on both databases, and what may not go in."""

from __future__ import annotations

import json
import pickle
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any
from uuid import UUID

import pytest
from hypothesis import HealthCheck, given, settings
from sqlalchemy import Connection, insert, select, text

from tests.strategies import any_fact, any_family, one_of_each
from wearlog.errors import RefusedError, WearlogError
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.work import Season
from wearlog.store.content import content_of, digest_of, fact_of, field_names, lifted_content, row_of
from wearlog.store.finding import read_facts
from wearlog.store.journal import versions_of_row
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, table_of
from wearlog.store.schema.types import instant, microseconds


def stored(connection: Connection, fact: Fact) -> Fact:
    """Read back the row of a fact."""
    table = table_of(fact)
    fact_type: Any = FACT_OF_TABLE[table.name]
    (found,) = read_facts(connection, fact_type, select(table).where(table.c.id == fact.id))
    return found


# the examples share the store: each is rolled back
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
@given(family=any_family())
def test_a_fact_of_any_type_comes_back_equal(store: Store, family: tuple[Fact, ...]) -> None:
    """Rows and versions both give back the facts that were recorded."""
    with store.engine.connect() as connection:
        record(connection, device="shop", said="all of it", entries=[Entry(fact) for fact in family])
        assert [stored(connection, fact) for fact in family] == list(family)
        versions = [versions_of_row(connection, fact.id)[0] for fact in family]
        assert [fact_of(version.table_name, version.content) for version in versions] == list(family)


def test_one_row_of_every_table_comes_back_equal(store: Store) -> None:
    rows = one_of_each()
    with store.writing() as connection:
        record(connection, device="shop", said="one of each", entries=[Entry(fact) for fact in rows])
    with store.reading() as connection:
        assert [stored(connection, fact) for fact in rows] == rows


@given(any_fact())
@settings(max_examples=300)
def test_content_gives_back_the_fact(fact: Fact) -> None:
    """The canonical text is JSON with sorted keys and no spaces, and loses nothing."""
    content = content_of(fact)
    assert fact_of(table_of(fact).name, content) == fact
    assert list(json.loads(content)) == sorted(field_names(type(fact)))
    assert json.dumps(json.loads(content), sort_keys=True, separators=(",", ":"), ensure_ascii=False) == content


def test_the_same_instant_in_another_zone_gives_the_same_content() -> None:
    """Two laptops in two time zones write the same text, so the same digest."""
    at = datetime(2024, 7, 20, 18, 5, tzinfo=timezone(timedelta(hours=-6)))
    one = Reading(id=UUID(int=1), meter_id=UUID(int=2), at=at, shown_usage=3)
    other = replace(one, at=at.astimezone(timezone(timedelta(hours=5, minutes=30))))
    assert content_of(one) == content_of(other)
    assert '"at":"2024-07-21T00:05:00.000000+00:00"' in content_of(one)


def test_the_canonical_text_and_digest_of_one_fact_never_change() -> None:
    """Files of years past are checked by these digests; a change of the form would make every version look forged."""
    machine = Machine(
        id=UUID(int=7), name="north ½", kind=MachineKind.COMBINE, model_year=2009, bought_on=date(2012, 3, 1)
    )
    of_0001 = (
        '{"bought_on":"2012-03-01","cut_width_micrometres":null,"id":"00000000-0000-0000-0000-000000000007",'
        '"kind":"combine","list_price_minor":null,"model_year":2009,"name":"north ½","note":"","voided":false}'
    )
    of_0002 = (
        '{"bought_on":"2012-03-01","cut_width_micrometres":null,"engine_number":"",'
        '"id":"00000000-0000-0000-0000-000000000007","kind":"combine","list_price_minor":null,"model_year":2009,'
        '"name":"north ½","note":"","serial_number":"","type_name":"","voided":false}'
    )
    assert content_of(machine) == lifted_content("machine", of_0002, "0002")
    assert fact_of("machine", of_0001, "0001") == fact_of("machine", of_0002, "0002") == machine
    # computed once with sha256sum from the lines: (from 0002 on the revision,) table, row id, parent, content
    digests = {
        "0001": "cbbe8fc0a0da41a40821c18a451025dc50ef86f28282383e51e3f577a3c7532c",
        "0002": "7733b0a397e5f5c720252a730364ac66327bc24b25d6a4207be7fa0e5d19fad2",
    }
    parents = [UUID(int=9)]
    assert digest_of("machine", machine.id, parents, of_0001, "0001") == digests["0001"]
    assert digest_of("machine", machine.id, parents, of_0002, "0002") == digests["0002"]


def test_an_instant_is_whole_microseconds_before_and_after_1970() -> None:
    moment = datetime(1969, 12, 31, 23, 59, 59, 999_999, tzinfo=UTC)
    assert microseconds(moment) == -1
    assert instant(-1) == moment
    assert microseconds(datetime(2024, 7, 20, 18, 5, tzinfo=timezone(timedelta(hours=-6)))) == 1_721_520_300_000_000


def test_an_instant_comes_back_in_utc_whatever_the_zone_of_the_server(store: Store) -> None:
    at = datetime(2024, 7, 20, 18, 5, 0, 1, tzinfo=timezone(timedelta(hours=-6)))
    machine = Machine(name="north", kind=MachineKind.COMBINE)
    meter = Meter(machine_id=machine.id, kind=MeterKind.ENGINE_HOURS)
    reading = Reading(meter_id=meter.id, at=at, shown_usage=1)
    with store.writing() as connection:
        record(connection, device="shop", said="read", entries=[Entry(machine), Entry(meter), Entry(reading)])
    with store.reading() as connection:
        back = stored(connection, reading)
    assert isinstance(back, Reading)
    assert (back.at, back.at.tzinfo) == (at, UTC)


def test_an_instant_without_a_time_zone_is_refused(store: Store) -> None:
    """Local time would mean another instant on the second laptop. Nothing of the deed is kept."""
    machine = Machine(name="north", kind=MachineKind.COMBINE)
    meter = Meter(machine_id=machine.id, kind=MeterKind.ENGINE_HOURS)
    reading = Reading(meter_id=meter.id, at=datetime(2024, 7, 20, 18, 5), shown_usage=1)
    entries = [Entry(machine), Entry(meter), Entry(reading)]
    with (
        pytest.raises(ValueError, match=r"2024-07-20T18:05:00 has no time zone; an instant needs one"),
        store.writing() as connection,
    ):
        record(connection, device="shop", said="read", entries=entries)
    with store.reading() as connection:
        for table in ("machine", "meter", "reading", "deed", "version"):
            assert connection.execute(text(f"SELECT count(*) FROM {table}")).scalar_one() == 0


def test_content_of_an_instant_without_a_time_zone_is_refused() -> None:
    reading = Reading(meter_id=UUID(int=1), at=datetime(2024, 7, 20, 18, 5), shown_usage=1)
    with pytest.raises(ValueError, match="has no time zone"):
        content_of(reading)


def test_text_in_a_column_of_whole_numbers_is_refused_by_the_file(file_store: Store) -> None:
    """STRICT: a slip in a query cannot plant a text where a number belongs."""
    with pytest.raises(RefusedError, match=r"cannot store TEXT value in INTEGER column field\.area_square_metres"):
        _insert_field(file_store, "'forty acres'")


def test_text_in_a_column_of_whole_numbers_is_refused_by_the_server(server_store: Store) -> None:
    with pytest.raises(WearlogError, match='invalid input syntax for type bigint: "forty acres"'):
        _insert_field(server_store, "'forty acres'")


def _insert_field(store: Store, area: str, ground: str = "stony") -> None:
    key = "x'00000000000000000000000000000001'" if store.location.file else "'00000000-0000-0000-0000-000000000001'"
    mark = "0" if store.location.file else "false"
    with store.writing() as connection:
        connection.execute(text(f"INSERT INTO field VALUES ({key}, {mark}, 'west', {area}, '{ground}')"))


@pytest.mark.parametrize(
    ("area", "ground", "check"), [("0", "stony", "ck_field_area_square_metres"), ("1", "muddy", "ck_field_ground")]
)
def test_a_value_against_a_check_is_refused_with_the_name_of_the_check(
    store: Store, area: str, ground: str, check: str
) -> None:
    with pytest.raises(RefusedError, match=check):
        _insert_field(store, area, ground)


def test_a_season_that_runs_backwards_is_refused(store: Store) -> None:
    season = Season(harvest_year=2024, starts_on=date(2024, 9, 1), ends_on=date(2024, 8, 31))
    with pytest.raises(RefusedError, match="ck_season_starts_on_ends_on"), store.writing() as connection:
        connection.execute(insert(table_of(season)), row_of(season))


def test_a_row_that_points_at_nothing_is_refused(store: Store) -> None:
    """Foreign keys are on in the file too, where the driver leaves them off."""
    meter = Meter(machine_id=UUID(int=5), kind=MeterKind.AREA)
    with pytest.raises(RefusedError) as refused, store.writing() as connection:
        record(connection, device="shop", said="lost", entries=[Entry(meter)])
    assert refused.value.message.startswith("That does not fit the log (")
    assert refused.value.hint == "Nothing was saved."
    assert "foreign key" in refused.value.message.lower()


def test_the_same_id_twice_is_refused(store: Store) -> None:
    machine = Machine(name="north", kind=MachineKind.COMBINE)
    with store.writing() as connection:
        record(connection, device="shop", said="new", entries=[Entry(machine)])
    with pytest.raises(RefusedError, match="That does not fit the log"), store.writing() as connection:
        record(connection, device="shop", said="again", entries=[Entry(machine)])


def test_an_id_that_was_read_is_in_nothing_less_than_one_that_was_made(store: Store) -> None:
    """It is made past the constructor of its class, so what that leaves in an id is looked at one by one."""
    made = Machine(id=UUID(int=7), kind=MachineKind.COMBINE, name="Kestrel")
    with store.writing() as connection:
        record(connection, device="shop", said="machine", entries=[Entry(made)])
    with store.reading() as connection:
        read = stored(connection, made).id
    assert (read, hash(read), str(read), read.bytes) == (made.id, hash(made.id), str(made.id), made.id.bytes)
    assert (read.is_safe, read.version, read < UUID(int=8)) == (made.id.is_safe, made.id.version, True)
    assert pickle.loads(pickle.dumps(read)) == made.id
