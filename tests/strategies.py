"""Hypothesis strategies that build any fact from the types of its fields and the checks of its table, and rows for every table.

Whole numbers stay below 10**15, the most that a person can enter; instants carry a time zone of any offset.
"""

from __future__ import annotations

import re
from dataclasses import fields
from datetime import UTC, date, datetime, timedelta, timezone
from enum import StrEnum
from functools import cache
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints
from uuid import UUID

from hypothesis import strategies as st
from sqlalchemy import CheckConstraint, Table

from wearlog.facts.fact import Fact
from wearlog.facts.positions import MOST_POSITIONS
from wearlog.ids import derived_id
from wearlog.store.schema import FACT_OF_TABLE, TABLE_OF_FACT, owned_by, table_of

MOST = 10**15 - 1
#: PostgreSQL keeps no NUL in text; what is entered is stripped of control codes long before
TEXTS = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=30)
OFFSETS = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
INSTANTS = st.datetimes(datetime(1950, 1, 1), datetime(2150, 1, 1), timezones=OFFSETS)
POSITIONS = st.sets(st.integers(1, MOST_POSITIONS), min_size=1, max_size=6).map(lambda found: tuple(sorted(found)))

_LEAST = re.compile(r"(\w+) >= (-?\d+)")
_MOST = re.compile(r"(\w+) <= (\d+)")
_SPAN = re.compile(r"(\w+) IS NULL OR \1 >= (\w+)")


@cache
def least_of(table: Table) -> dict[str, int]:
    """Return the least value that the checks of a table allow, by column."""
    found = (_LEAST.fullmatch(text) for text in _check_texts(table))
    return {match[1]: int(match[2]) for match in found if match}


@cache
def most_of(table: Table) -> dict[str, int]:
    """Return the most that the checks of a table allow, by column."""
    found = (_MOST.fullmatch(text) for text in _check_texts(table))
    return {match[1]: int(match[2]) for match in found if match}


@cache
def spans_of(table: Table) -> list[tuple[str, str]]:
    """Return the pairs of columns (first, last) where the last must not come before the first."""
    found = (_SPAN.fullmatch(text) for text in _check_texts(table))
    return [(match[2], match[1]) for match in found if match]


def _check_texts(table: Table) -> list[str]:
    every = set(table.constraints).union(*(column.constraints for column in table.columns))
    return [str(one.sqltext) for one in every if isinstance(one, CheckConstraint)]


@cache
def references_of(fact_type: type[Fact]) -> dict[str, type[Fact]]:
    """Return the fields of a fact that name another fact, with the type of that."""
    columns = table_of(fact_type).columns
    return {column.name: FACT_OF_TABLE[key.column.table.name] for column in columns for key in column.foreign_keys}


@cache
def owned_references_of(fact_type: type[Fact]) -> dict[str, type[Fact]]:
    """Return the fields of a fact that name several others, with the type of those."""
    return {
        field: FACT_OF_TABLE[key.column.table.name]
        for owned in owned_by(fact_type)
        for field, column in owned.fields.items()
        for key in owned.table.columns[column].foreign_keys
    }


@cache
def value_types(fact_type: type[Any]) -> dict[str, tuple[Any, bool]]:
    """Return for each field its type without None, and whether it may be None."""
    hints = get_type_hints(fact_type)
    return {field.name: _without_none(hints[field.name]) for field in fields(fact_type)}


def _without_none(hint: Any) -> tuple[Any, bool]:
    if get_origin(hint) is UnionType:
        (kept,) = [one for one in get_args(hint) if one is not NoneType]
        return kept, True
    return hint, False


def values_of(kind: Any, least: int | None, most: int = MOST) -> st.SearchStrategy[Any]:
    """Return a strategy for the values of one field."""
    if get_origin(kind) is tuple:
        item = _without_none(get_args(kind)[0])[0]
        return POSITIONS if item is int else st.lists(values_of(item, None), unique=True, max_size=4).map(tuple)
    if issubclass(kind, StrEnum):
        return st.sampled_from(kind)
    if kind is int:
        return st.integers(-MOST if least is None else least, most)
    simple = {
        str: TEXTS,
        bool: st.booleans(),
        UUID: st.uuids(),
        datetime: INSTANTS,
        date: st.dates(date(1900, 1, 1), date(2200, 1, 1)),
    }
    return simple[kind]


@st.composite
def facts_of(draw: st.DrawFn, fact_type: type[Fact], **fixed: Any) -> Fact:
    """Build one fact of a type; `fixed` gives fields their values. Ids it names are of nothing."""
    table = table_of(fact_type)
    drawn = dict(fixed)
    for name, (kind, optional) in value_types(fact_type).items():
        if name in owned_references_of(fact_type):
            drawn.setdefault(name, ())
        elif name not in fixed:
            values = values_of(kind, least_of(table).get(name), most_of(table).get(name, MOST))
            drawn[name] = draw(st.none() | values if optional else values)
    for first, last in spans_of(table):
        if drawn[first] is not None and drawn[last] is not None and drawn[last] < drawn[first]:
            drawn[first], drawn[last] = drawn[last], drawn[first]
    return fact_type(**drawn)


@st.composite
def families_of(draw: st.DrawFn, fact_type: type[Fact]) -> tuple[Fact, ...]:
    """Build one fact of a type after every fact it rests on, in an order in which they can be written."""
    family: list[Fact] = []

    def build(kind: type[Fact]) -> Fact:
        named: dict[str, UUID | None] = {}
        for name, target in references_of(kind).items():
            # a row that points at its own table points at nothing here: there is no end to such a family
            left_out = target is kind or (value_types(kind)[name][1] and draw(st.booleans()))
            known = next((fact for fact in family if type(fact) is target), None)
            named[name] = None if left_out else (known or build(target)).id
        several: dict[str, tuple[UUID | None, ...]] = {
            name: (build(target).id,) if draw(st.booleans()) else ()
            for name, target in owned_references_of(kind).items()
        }
        fact = draw(facts_of(kind, **named, **several))
        family.append(fact)
        return fact

    build(fact_type)
    return tuple(family)


def any_fact() -> st.SearchStrategy[Fact]:
    """Build one fact of any type."""
    return st.sampled_from(list(TABLE_OF_FACT)).flatmap(facts_of)


def any_family() -> st.SearchStrategy[tuple[Fact, ...]]:
    """Build a fact of any type after every fact it rests on."""
    return st.sampled_from(list(TABLE_OF_FACT)).flatmap(families_of)


def one_of_each() -> list[Fact]:
    """Return one fixed row for every table, every field filled and every reference met, in an order to write them."""
    return [_sample(fact_type) for fact_type in TABLE_OF_FACT]


def _sample(fact_type: type[Fact]) -> Fact:
    table = table_of(fact_type)
    chosen: dict[str, Any] = {"id": derived_id(table.name), "voided": False}
    for number, (name, (kind, _optional)) in enumerate(value_types(fact_type).items()):
        if name in references_of(fact_type):
            chosen[name] = derived_id(table_of(references_of(fact_type)[name]).name)
        elif name in owned_references_of(fact_type):
            chosen[name] = (derived_id(table_of(owned_references_of(fact_type)[name]).name),)
        elif name not in chosen:
            # later fields get later values, so that no interval runs backwards
            chosen[name] = _sample_value(kind, f"{table.name} {name}", max(least_of(table).get(name, 0), 1) + number)
    for first, last in spans_of(table):
        chosen[first], chosen[last] = sorted((chosen[first], chosen[last]))
    return fact_type(**chosen)


def _sample_value(kind: Any, said: str, number: int) -> Any:
    if get_origin(kind) is tuple:
        item = get_args(kind)[0]
        if item is int:
            return (2, 3, 7)
        return tuple(item)[:2] if issubclass(item, StrEnum) else tuple(_sample_value(item, said, n) for n in (1, 2))
    if issubclass(kind, StrEnum):
        return list(kind)[-1]
    by_kind: dict[Any, Any] = {
        str: f"{said}, señal 3/8″",
        bool: True,
        UUID: derived_id(said, str(number)),
        int: number,
        datetime: datetime(2024, 7, 20, 23, 30, 0, 250_001, tzinfo=UTC) + timedelta(hours=number),
        date: date(2024, 1, 1) + timedelta(days=number),
    }
    return by_kind[kind]
