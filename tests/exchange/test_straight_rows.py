"""A line of a bundle whose row is written down straight says what a fact in between would say; nothing strange goes that way."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, create_engine
from sqlalchemy.exc import IntegrityError

from tests.store.test_strange_versions import STRANGE, version_of
from tests.strategies import any_fact, one_of_each
from wearlog.exchange.bundle_lines import read_object, read_version, version_line
from wearlog.facts.bookkeeping import Version
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Reading
from wearlog.facts.work import Run
from wearlog.ids import derived_id
from wearlog.store.content import canonical, content_of, digest_of
from wearlog.store.incoming import ToldVersion, fact_told
from wearlog.store.ledger import write_rows
from wearlog.store.schema import FACT_OF_TABLE, TABLE_OF_FACT, metadata, owned_by, table_of
from wearlog.store.straight_rows import insert_straight
from wearlog.store.telling import asked_about, straight_table_of

#: rows that point at others of their table, or that a fact brings into one form
NEVER_STRAIGHT = {"breakage", "plan_choice"}


@pytest.fixture(scope="module")
def empty() -> Iterator[Connection]:
    """A log in memory without a row, in which keys point wherever they like."""
    with create_engine("sqlite://").connect() as connection:
        metadata.create_all(connection)
        yield connection


def line_of(version: Version) -> str:
    digest = digest_of(version.table_name, version.row_id, version.parents, version.content, version.revision)
    return version_line(replace(version, digest=digest))


def straight(line: str) -> ToldVersion | None:
    """What a line says if its row goes straight."""
    with suppress(ValueError, KeyError, TypeError):
        told = read_version(line, derived_id("deed"))
        return told if told.fact is None else None
    return None


def stored(connection: Connection, table_name: str, write: Callable[[], object]) -> Any:
    """Return what stands in a table, and in those it owns, after something was written; `refused` when its checks refuse it."""
    tables = [table_name, *(owned.table.name for owned in owned_by(FACT_OF_TABLE[table_name]))]
    place = connection.begin_nested()
    try:
        write()
        return [[tuple(row) for row in connection.exec_driver_sql(f"SELECT * FROM {name}")] for name in tables]
    except IntegrityError:
        return "refused"
    finally:
        place.rollback()


def says_the_same(version: Version, connection: Connection) -> bool:
    """Whether a version's row goes straight; if so, it was to be trusted, and is written as the fact would be."""
    told = straight(line_of(version))
    if told is None:
        return False
    fact, table = asked_about(version), table_of(FACT_OF_TABLE[version.table_name])
    assert fact_told(told) == fact
    assert told._replace(caught=(), fact=fact, digest="") == ToldVersion.of(version, fact)
    way = straight_table_of(table.name)
    assert way is not None
    rows = stored(connection, table.name, lambda: insert_straight(connection, way, [told.row_id], [told.caught]))
    assert rows == stored(connection, table.name, lambda: write_rows(connection, table, [fact], []))
    return True


@given(fact=any_fact())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_row_that_goes_straight_is_written_as_its_fact_would_be(empty: Connection, fact: Fact) -> None:
    says_the_same(version_of(fact, content_of(fact)), empty)


def test_the_rows_of_which_there_are_most_go_straight(empty: Connection) -> None:
    at = datetime(2026, 7, 28, 16, 20, tzinfo=UTC)
    run = Run(combine_id=derived_id("one"), started_at=at, ended_at=at, area_square_metres=10**17)
    for fact in (run, Reading(meter_id=derived_id("one"), at=at, shown_usage=0, note="after the ½ mile, “new” meter")):
        assert says_the_same(version_of(fact, content_of(fact)), empty)
    plain = {table.name: straight_table_of(table.name) for table in TABLE_OF_FACT.values()}
    assert {name for name, way in plain.items() if way is None} == NEVER_STRAIGHT
    assert straight_table_of("sqlite_master") is None


@pytest.mark.parametrize("fact", one_of_each(), ids=lambda fact: table_of(fact).name)
def test_nothing_goes_straight_that_is_refused_otherwise(empty: Connection, fact: Fact) -> None:
    """Every field of every table with every strange value, fields left out and added, and other ways to write the same."""
    content = json.loads(content_of(fact))
    for name in content:
        for value in STRANGE:
            says_the_same(version_of(fact, canonical({**content, name: value})), empty)
        left = {key: value for key, value in content.items() if key != name}
        assert not says_the_same(version_of(fact, canonical(left)), empty)
        assert not says_the_same(version_of(fact, canonical({**left, f"{name}_": content[name]})), empty)
    assert not says_the_same(version_of(fact, canonical({**content, "more": 1})), empty)
    assert not says_the_same(version_of(fact, json.dumps(content, sort_keys=True, ensure_ascii=False)), empty)
    assert not says_the_same(version_of(fact, content_of(fact), derived_id("another")), empty)
    followed = replace(version_of(fact, content_of(fact)), parents=(derived_id("earlier"),))
    assert straight(line_of(followed)) is None
    assert straight(line_of(replace(followed, parents=(), revision="0001"))) is None


PUT = st.sampled_from(['"', '\\"', "\\", ",", "0", "-", " ", "{", "]", "\\u0041", "\x00", "\x7f", "\u202e", "e1", "\n"])


@given(fact=any_fact(), place=st.integers(0), put=PUT)
@example(fact=one_of_each()[0], place=1, put=" ")
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_character_more_in_what_is_said_makes_nothing_else_of_it(
    empty: Connection, fact: Fact, place: int, put: str
) -> None:
    written = content_of(fact)
    at = place % len(written)
    says_the_same(version_of(fact, written[:at] + put + written[at:]), empty)


@given(fact=any_fact(), place=st.integers(0), put=PUT)
def test_a_line_that_goes_straight_is_the_json_that_it_looks_like(fact: Fact, place: int, put: str) -> None:
    line = line_of(version_of(fact, content_of(fact)))
    at = place % len(line)
    for altered in (line, line[:at] + put + line[at:], line[:at] + line[at + 1 :]):
        told = straight(altered)
        if told is not None:
            said = told._asdict()
            assert read_object(altered) == {
                name: list(value) if name == "parents" else value
                for name, value in said.items()
                if name not in ("caught", "fact")
            }


def test_a_wrong_digest_is_refused_of_a_row_that_would_go_straight() -> None:
    reading = Reading(meter_id=derived_id("one"), at=datetime(2026, 7, 28, tzinfo=UTC), shown_usage=0)
    line = line_of(version_of(reading, content_of(reading)))
    assert straight(line) is not None
    altered = line.replace('\\"shown_usage\\":0', '\\"shown_usage\\":1')
    assert altered != line
    with pytest.raises(ValueError, match="digest does not fit"):
        read_version(altered, derived_id("deed"))
