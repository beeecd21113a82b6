"""The shape of the tables as a database tells it, in a form that can be compared; no rows."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, inspect

Shape = dict[str, dict[str, Any]]


def shape(connection: Connection) -> Shape:
    """Return for every table its columns in order, its keys, its checks and its indexes, each by name."""
    inspector = inspect(connection)
    strict = _strict_tables(connection)
    found: Shape = {}
    for name in inspector.get_table_names():
        key = inspector.get_pk_constraint(name)
        found[name] = {
            "columns": [_column(connection, column) for column in inspector.get_columns(name)],
            "key": (key["name"], key["constrained_columns"]),
            "references": {
                one["name"]: (
                    one["constrained_columns"],
                    one["referred_table"],
                    one["referred_columns"],
                    one["options"],
                )
                for one in inspector.get_foreign_keys(name)
            },
            "checks": {one["name"]: one["sqltext"] for one in inspector.get_check_constraints(name)},
            "unique": {one["name"]: one["column_names"] for one in inspector.get_unique_constraints(name)},
            "indexes": {one["name"]: (one["column_names"], one["unique"]) for one in inspector.get_indexes(name)},
            "strict": name in strict,
        }
    return found


def _column(connection: Connection, column: Any) -> tuple[str, str, bool, Any]:
    return column["name"], column["type"].compile(connection.dialect), column["nullable"], column["default"]


def _strict_tables(connection: Connection) -> set[str]:
    if connection.dialect.name != "sqlite":
        return set()
    rows = connection.exec_driver_sql("PRAGMA table_list").mappings()
    return {row["name"] for row in rows if row["strict"]}
