"""Columns of instants, ids and facts say what each of them says alone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tests.strategies import any_fact
from wearlog.facts.fact import Fact, facts_of_columns
from wearlog.facts.machines import Reading
from wearlog.ids import derived_id, derived_ids, id_of, ids_of, written_ids
from wearlog.many_instants import counts_of, in_utc, written_instants
from wearlog.store.content import field_names
from wearlog.store.schema.types import microseconds

INSTANTS = st.lists(st.datetimes(timezones=st.just(UTC)), max_size=8)


@given(INSTANTS, st.sampled_from(["auto", "microseconds"]))
@example([datetime(1, 1, 1, tzinfo=UTC), datetime(1969, 12, 31, 23, 59, 59, 999_999, UTC)], "auto")
@example([datetime(9999, 12, 31, 23, 59, 59, 999_999, UTC), datetime(1970, 1, 1, tzinfo=UTC)], "microseconds")
def test_instants_are_counted_and_written_as_each_alone(instants: list[datetime], timespec: str) -> None:
    assert in_utc(instants)
    assert counts_of(instants) == [microseconds(one) for one in instants]
    assert written_instants(instants, timespec) == [one.isoformat(timespec=timespec) for one in instants]


@pytest.mark.parametrize(
    "value", [None, datetime(2026, 7, 28), datetime(2026, 7, 28, tzinfo=timezone(timedelta(0, 60)))]
)
def test_what_does_not_stand_in_utc_is_none_of_them(value: Any) -> None:
    assert not in_utc([datetime(2026, 7, 28, tzinfo=UTC), value])


@given(st.lists(st.text(st.characters(codec="utf-8")), max_size=8))
def test_many_derived_ids_are_those_of_each_alone(words: list[str]) -> None:
    found = derived_ids(words)
    assert found == [derived_id(*one.split("\x1f")) for one in words]
    assert written_ids(found) == [str(one) for one in found]


@given(st.lists(st.integers(0, 2**128 - 1), max_size=8))
def test_ids_of_numbers_are_those_of_each_alone(numbers: list[int]) -> None:
    found = ids_of(numbers)
    assert found == [id_of(one) for one in numbers]
    assert [(one.is_safe, hash(one), str(one)) for one in found] == [
        (one.is_safe, hash(one), str(one)) for one in map(id_of, numbers)
    ]


@given(any_fact())
def test_facts_made_of_columns_are_those_made_one_by_one(fact: Fact) -> None:
    kind: Any = type(fact)
    if hasattr(kind, "__post_init__"):
        return
    columns = {name: [getattr(fact, name)] * 3 for name in field_names(kind)}
    found = facts_of_columns(kind, columns)
    assert found == [fact] * 3
    assert {*map(hash, found)} == {hash(fact)}
    assert repr(found[2]) == repr(fact)


def test_what_has_no_column_stands_at_its_usual_value() -> None:
    like = Reading(meter_id=id_of(1), at=datetime(2026, 7, 28, tzinfo=UTC), shown_usage=7)
    columns: dict[str, list[Any]] = {"id": [like.id], "meter_id": [id_of(1)], "at": [like.at], "shown_usage": [7]}
    assert facts_of_columns(Reading, columns) == [like]
    with pytest.raises(TypeError, match="shown_usage has no usual value"):
        facts_of_columns(Reading, {name: columns[name] for name in ("id", "meter_id", "at")})
