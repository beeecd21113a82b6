"""The picture of the tables, docs/schema.md, drawn from the tables themselves: `python -m wearlog.store.schema_picture`."""

from __future__ import annotations

from collections.abc import Iterator
from inspect import getdoc
from textwrap import fill
from types import MappingProxyType
from typing import Final

from sqlalchemy import Column, LargeBinary, Table

from wearlog.store.revision import HEAD
from wearlog.store.schema import fault_tables, journal_tables, machine_tables, part_tables
from wearlog.store.schema.catalogue import FACT_OF_TABLE, OWNED
from wearlog.store.schema.types import WHOLE, Day, Digest, Flag, Id, Instant, Listed

#: what tables are of, the module in which they stand, the first of them: the others follow, up to the first of another subject
SUBJECTS: Final = (
    ("Machines, land and work", machine_tables, "machine"),
    ("Parts and what happens to them", part_tables, "part_kind"),
    ("Supply and decisions", part_tables, "supplier"),
    ("Electrical faults, harvest quality and plans", fault_tables, "circuit_node"),
    ("People, inspections and what comes from outside", journal_tables, "person"),
    ("The log itself", journal_tables, "setting"),
)
#: the first of these that stands in a column's name says its unit
UNITS: Final = (
    ("milligrams_per_thousand", "milligrams for 1,000 grains"),
    ("minor_per_tonne", "smallest coins for a metric ton"),
    ("per_day_millionths", "millionths of the crop lost with each day of delay"),
    ("grams_per_hectare", "grams on a hectare"),
    ("per_hectare", "kernels on a hectare"),
    ("minor", "smallest coins of the farm's money"),
    ("usage", "seconds on an hour meter, square metres on the area meter"),
    ("square_metres", "square metres"),
    ("micrometres", "micrometres"),
    ("millimetres", "millimetres"),
    ("metres", "metres"),
    ("milliamperes", "milliamperes"),
    ("micros", "millionths of the unit read"),
    ("seconds", "seconds"),
    ("grams", "grams"),
    ("amount", "the sensor's own small unit"),
    ("thousandths", "thousandths"),
    ("hundredths", "hundredths of a per cent"),
    ("months", "months"),
    ("days", "days"),
    ("year", "calendar year"),
    ("impacts", "breakages by blows on a million square kilometres"),
)
#: whole numbers that are counts, and what they count
COUNTS: Final = MappingProxyType(
    {
        "position": "the position counted from 1",
        "positions": "positions",
        "place": "which one of several, counted from 0",
        "step": "which check in the order, from 1",
        "spn": "number of the code",
        "fmi": "kind of failure in the code",
        "deeds": "deeds",
        "rows_added": "rows",
        "pitches": "pitches that are measured at once",
        "pack_size": "pieces in a pack",
        "keep_on_hand": "pieces",
        "quantity": "pieces",
        "times": "how often in all",
        "weekday": "day of the week, Monday first",
    }
)
_TYPES: Final = (
    (Id, "id"),
    (Instant, "instant"),
    (Day, "day"),
    (Flag, "yes or no"),
    (Digest, "SHA-256"),
    (LargeBinary, "bytes"),
)


def schema_page() -> str:
    """Return the page: what points at what, and each table with its columns."""
    lines = [line for title, module, first in SUBJECTS for line in _subject(title, _tables_of(module, first))]
    return "\n".join((*_head(), *lines)) + "\n"


def unit_of(column: Column[object]) -> str:
    """Return the unit of a column, as its name says it; empty where it holds no number.

    KeyError for a whole number whose name says neither a unit nor what it counts.
    """
    if not isinstance(column.type, type(WHOLE)):
        return ""
    return next((unit for words, unit in UNITS if words in column.name), "") or COUNTS[column.name]


def _tables_of(module: object, first: str) -> list[Table]:
    tables = [one for one in vars(module).values() if isinstance(one, Table)]
    begins = [place for place, one in enumerate(tables) if one.name in {name for _, _, name in SUBJECTS}]
    start = next(place for place, one in enumerate(tables) if one.name == first)
    return tables[start : min((place for place in begins if place > start), default=len(tables))]


def _head() -> Iterator[str]:
    yield f"""# The tables of the log

Made from the tables by `python -m wearlog.store.schema_picture`; their shape is revision {HEAD}.

A file is SQLite (every table STRICT), a server is PostgreSQL: the same columns. An instant is whole microseconds since 1970 UTC in
a file and a timestamp with its zone on a server, an id 16 bytes or a uuid, yes or no 1 or 0 or a boolean. Every fact has an `id`
and the mark `voided` (withdrawn: it stays stored and counts for nothing); both are left out below. Ages and hours used are in no
table: they are read off the meter readings.

## What points at what
"""
    tables = [table for _, module, first in SUBJECTS for table in _tables_of(module, first)]
    for table in tables:
        pointing = [
            other.name
            for other in tables
            if other is not table and any(key.column.table is table for key in other.foreign_keys)
        ]
        if pointing:
            yield fill(
                f"{table.name:<12} <- {', '.join(pointing)}", 120, initial_indent="    ", subsequent_indent=" " * 20
            )


def _subject(title: str, tables: list[Table]) -> Iterator[str]:
    yield f"\n## {title}"
    for table in tables:
        yield f"\n### {table.name}\n"
        yield f"{_about(table)}\n"
        yield "| column | holds | unit | points at |"
        yield "|---|---|---|---|"
        plain = table.name in FACT_OF_TABLE
        yield from (_row(column) for column in table.columns if not (plain and column.name in ("id", "voided")))


def _about(table: Table) -> str:
    """What a row is: the first sentence of the fact's own description, or of whose rows these are."""
    owner = next((fact for fact, owned in OWNED.items() if any(one.table is table for one in owned)), None)
    if owner is not None:
        said = next(name for name, fact in FACT_OF_TABLE.items() if fact is owner)
        return f"Several of one {said.replace('_', ' ')}: a row for each."
    fact = FACT_OF_TABLE.get(table.name)
    said = (getdoc(fact) or "").partition("\n\n")[0] if fact is not None else _JOURNAL[table.name]
    return " ".join(said.split())


_JOURNAL: Final = MappingProxyType(
    {
        "deed": "What a person did in one go: the sentence, the device, when. Never changed.",
        "version": "What a deed did to one row, packed. Never changed.",
        "version_parent": "Which version a version came after; two after a merge.",
    }
)


def _row(column: Column[object]) -> str:
    points = ", ".join(f"{key.column.table.name}" for key in column.foreign_keys)
    optional = ", or nothing" if column.nullable else ""
    return f"| `{column.name}` | {_holds(column)}{optional} | {unit_of(column)} | {points} |"


def _holds(column: Column[object]) -> str:
    kind = column.type
    if isinstance(kind, Listed):
        return f"one of {', '.join(kind.closed_list)}"
    if isinstance(kind, type(WHOLE)):
        return "whole number"
    return next((words for one, words in _TYPES if isinstance(kind, one)), "text")


if __name__ == "__main__":
    print(schema_page(), end="")
