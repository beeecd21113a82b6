"""Ids and instants that `check` writes by the page are written as versions have them, and rows are found by any id."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from sqlalchemy.dialects import sqlite

from wearlog.facts.closed_lists import Cause
from wearlog.store.content import _write_instant
from wearlog.store.row_content import _column, written_ids
from wearlog.store.schema.types import Id, Instant, Listed, microseconds
from wearlog.store.version_book import VersionBook

IDS = st.binary(min_size=16, max_size=16)
MINUTE = timedelta(minutes=1)


@given(st.lists(IDS, max_size=9))
@example([bytes(16), b"\xff" * 16, bytes(range(16))])
def test_ids_are_written_as_an_id_is(ids: list[bytes]) -> None:
    assert written_ids(ids) == [str(UUID(bytes=one)) for one in ids]


@given(st.lists(st.none() | IDS, max_size=9).map(lambda some: some + some[:3]))
def test_a_column_of_ids_has_each_in_quotes_and_null_for_none(ids: list[bytes | None]) -> None:
    assert _column(Id()).told(ids) == ["null" if one is None else f'"{UUID(bytes=one)}"' for one in ids]


@pytest.mark.parametrize("value", [bytes(15), bytes(17), b""])
def test_an_id_of_another_length_is_refused(value: bytes) -> None:
    with pytest.raises(ValueError, match="an id has 16 bytes"):
        written_ids([bytes(16), value])
    with pytest.raises(ValueError, match="an id has 16 bytes"):
        _column(Id()).told([value, bytes(16)])


@given(st.datetimes(datetime(1800, 1, 1), datetime(2200, 1, 1), timezones=st.just(UTC)), st.booleans())
@example(datetime(1969, 12, 31, 23, 59, tzinfo=UTC), True)
@example(datetime(1970, 1, 1, tzinfo=UTC) - timedelta(microseconds=1), False)
@example(datetime(2024, 2, 29, 23, 59, tzinfo=UTC), True)
def test_an_instant_is_written_as_a_version_has_it(at: datetime, on_a_minute: bool) -> None:
    at = at.replace(second=0, microsecond=0) if on_a_minute else at
    times = [at, at + MINUTE, at]
    assert _column(Instant()).told([microseconds(one) for one in times]) == [
        f'"{_write_instant(one)}"' for one in times
    ]


def test_an_instant_that_no_calendar_has_is_refused() -> None:
    for count in (2**62, 2**62 // 60_000_000 * 60_000_000):
        with pytest.raises((ArithmeticError, ValueError)):
            _column(Instant()).told([count])


def test_a_value_of_a_closed_list_is_sent_as_its_text_and_no_other_is() -> None:
    way = Listed(Cause).bind_processor(sqlite.dialect())
    sent = [way(one) for one in Cause]
    assert sent == [one.value for one in Cause]
    # the driver takes plain texts without asking what they are
    assert {*map(type, sent)} == {str}
    assert way("wear") == "wear"
    assert way(None) is None
    with pytest.raises(ValueError, match="no such cause"):
        way("no such cause")


def book_of(ids: Sequence[bytes]) -> VersionBook:
    book = VersionBook()
    book.add(ids, ["machine"] * len(ids), [bytes(16)] * len(ids), map(str, ids), [bytes(32)] * len(ids))
    return book


@given(st.sets(IDS, min_size=1, max_size=30), st.sets(IDS, max_size=5), st.booleans())
def test_a_row_is_found_by_its_id_and_no_other_is(ids: set[bytes], others: set[bytes], half_alike: bool) -> None:
    # ids of one moment may share their first half: then the whole of them is compared
    written = sorted(ids | ({one[:8] + b"\x01" * 8 for one in ids} if half_alike else set()))
    told = book_of(written).by_row()
    nearly = {one[:8] + b"\x02" * 8 for one in written}
    asked = [*written, *(one for one in others | nearly if one not in written)]
    places, there = told.places(asked)
    assert there.tolist() == [one in written for one in asked]
    assert [told.row_at(place)[0].bytes for place in places[: len(written)].tolist()] == written
