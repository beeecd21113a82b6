"""Facts and tables say the same: names and order of fields, closed lists, which may be missing, and names of constraints."""

from __future__ import annotations

from dataclasses import fields
from enum import StrEnum
from importlib import import_module
from pkgutil import iter_modules
from typing import Any, get_origin

import pytest
from sqlalchemy import Table

from tests.store.shapes import shape
from tests.strategies import owned_references_of, references_of, value_types
from wearlog import facts
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.fact import Fact
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, OWNED, TABLE_OF_FACT, Owned, metadata, owned_by, table_of
from wearlog.store.schema.journal_tables import deed, version
from wearlog.store.schema.types import WHOLE, Day, Flag, Id, Instant, Listed, Several

EVERY = [*TABLE_OF_FACT.items(), (Deed, deed), (Version, version)]
NAMES = [table.name for _, table in EVERY]


@pytest.mark.parametrize(("fact_type", "table"), EVERY, ids=NAMES)
def test_a_fact_has_the_columns_of_its_table(fact_type: type[Any], table: Table) -> None:
    """Id and mark first (a fact inherits them), then the same names in the same order; what it owns lies elsewhere."""
    elsewhere = {field for one in owned_by(fact_type) for field in one.fields}
    elsewhere |= {"parents"} if fact_type is Version else set()
    assert [one.name for one in fields(fact_type) if one.name not in elsewhere] == [one.name for one in table.columns]


@pytest.mark.parametrize(("fact_type", "owned"), [(f, one) for f, some in OWNED.items() for one in some])
def test_what_a_fact_owns_is_a_tuple_of_what_its_column_holds(fact_type: type[Any], owned: Owned) -> None:
    """Each field is a tuple, each column but the owner and the place belongs to one field, and only the first may not be empty."""
    hints = value_types(fact_type)
    assert all(get_origin(hints[field][0]) is tuple for field in owned.fields)
    own = [column for column in owned.table.columns if column is not owned.owner and column.name != "place"]
    assert [column.name for column in own] == list(owned.fields.values())
    assert [column.nullable for column in own] == [False] + [True] * (len(own) - 1)
    assert {key.column.table.name for key in owned.owner.foreign_keys} == {table_of(fact_type).name}


@pytest.mark.parametrize(("fact_type", "table"), EVERY, ids=NAMES)
def test_a_column_may_be_missing_where_the_field_may_be_none(fact_type: type[Any], table: Table) -> None:
    there = {column.name for column in table.columns}
    may_be_none = {name: optional for name, (_, optional) in value_types(fact_type).items() if name in there}
    assert {column.name: bool(column.nullable) for column in table.columns} == may_be_none


@pytest.mark.parametrize(("fact_type", "table"), EVERY, ids=NAMES)
def test_a_column_is_of_the_type_of_its_field(fact_type: type[Any], table: Table) -> None:
    """A closed list in the column is the closed list of the field; tuples are `Several`."""
    for name, (kind, _) in value_types(fact_type).items():
        if name not in table.columns:
            continue
        column_type = table.columns[name].type
        if isinstance(kind, type) and issubclass(kind, StrEnum):
            assert isinstance(column_type, Listed)
            assert column_type.closed_list is kind
        else:
            wanted = {"UUID": Id, "datetime": Instant, "date": Day, "bool": Flag, "int": type(WHOLE)}
            plain = getattr(kind, "__name__", "")
            expected = Several if plain == "tuple" else wanted.get(plain, type(table.columns[name].type))
            assert isinstance(column_type, expected)


def test_every_type_of_fact_has_a_table_and_every_table_a_type() -> None:
    """A fact that was forgotten in the catalogue would be lost without a word."""
    assert _fact_types() == set(TABLE_OF_FACT)
    owned = {one.table.name for some in OWNED.values() for one in some}
    assert set(metadata.tables) == set(FACT_OF_TABLE) | owned | {"deed", "version", "version_parent"}


def _fact_types() -> set[type[Fact]]:
    modules = [import_module(found.name) for found in iter_modules(facts.__path__, "wearlog.facts.")]
    named = [one for module in modules for one in vars(module).values() if isinstance(one, type)]
    return {one for one in named if issubclass(one, Fact) and one is not Fact}


def test_what_is_pointed_at_comes_first_in_the_catalogue() -> None:
    """The order of the catalogue is an order in which rows can be written."""
    order = list(TABLE_OF_FACT)
    for fact_type in order:
        for target in {*references_of(fact_type).values(), *owned_references_of(fact_type).values()} - {fact_type}:
            assert order.index(target) < order.index(fact_type), f"{fact_type.__name__} before {target.__name__}"


def test_a_database_checks_exactly_the_values_of_the_closed_list(store: Store) -> None:
    """The words in each check of a list, as the database has them, are the values of the list."""
    with store.reading() as connection:
        tables = shape(connection)
    for _fact_type, table in EVERY:
        for column in table.columns:
            if isinstance(column.type, Listed):
                check = tables[table.name]["checks"][f"ck_{table.name}_{column.name}"]
                assert check.split("'")[1::2] == [value.value for value in column.type.closed_list]


def test_every_constraint_has_a_name_by_the_convention(store: Store) -> None:
    """A constraint without a name cannot be dropped by a later migration."""
    with store.reading() as connection:
        tables = shape(connection)
    del tables["alembic_version"]
    assert set(tables) == set(metadata.tables)
    for name, table in tables.items():
        assert table["key"] == (f"pk_{name}", [column.name for column in metadata.tables[name].primary_key])
        assert set(table["references"]) == {
            f"fk_{name}_{key.parent.name}" for key in metadata.tables[name].foreign_keys
        }
        assert all(check is not None and check.startswith(f"ck_{name}_") for check in table["checks"])
        assert all(index.startswith(f"ix_{name}_") for index in table["indexes"])
        # one that is unique would stop two laptops from merging
        assert table["unique"] == {}
        assert not any(unique for _, unique in table["indexes"].values())


def test_every_table_of_a_file_is_strict(file_store: Store) -> None:
    with file_store.reading() as connection:
        assert {name for name, table in shape(connection).items() if not table["strict"]} == {"alembic_version"}


def test_a_table_is_found_by_a_fact_or_its_type() -> None:
    setting = FACT_OF_TABLE["setting"](key="currency", content="USD")
    assert table_of(setting) is table_of(type(setting)) is metadata.tables["setting"]
    with pytest.raises(KeyError):
        table_of(Fact)


def test_every_reference_leads_an_index() -> None:
    """Looking for what rests on a row, and taking a row away, must not read the whole of every table that points at it."""
    without = [
        f"{table.name}.{key.parent.name}"
        for table in metadata.tables.values()
        for key in table.foreign_keys
        if key.parent.name
        not in {index.columns[0].name for index in table.indexes} | {next(iter(table.primary_key)).name}
    ]
    assert without == []
