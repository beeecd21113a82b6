"""Queries of the long lists: breakages of the farm, runs, deeds of the journal. Nothing is worded here."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from types import MappingProxyType
from typing import Any, TypeAlias
from uuid import UUID

from sqlalchemy import ColumnElement, Connection, Select, Text, and_, cast, func, literal, or_, select, type_coerce

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.positions import format_positions, parse_positions
from wearlog.facts.wearing import Breakage, Component
from wearlog.facts.work import Crop, Field, Run
from wearlog.store.journal import is_undone
from wearlog.store.packing import unpacked
from wearlog.store.schema import OWNED, TABLE_OF_FACT
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.types import Flag, Several

#: for columns of closed lists: which members a word means
Members: TypeAlias = Mapping[Any, Callable[[str], Sequence[StrEnum]]]


@dataclass(frozen=True, slots=True)
class ListQuery:
    """A list in a certain order.

    Attributes
    ----------
    slim : Select
        The ids alone, filtered, unordered, with no more joins than filter and order need: skipping a million rows is then cheap.
    dressed : Select
        The rows with everything that is shown, unfiltered; fetched for the ids of one page only.
    key : column
        The id, which settles ties, so that the order is total.
    order : column
        What the rows are ordered by; never null.
    backwards : bool
    """

    slim: Select[Any]
    dressed: Select[Any]
    key: ColumnElement[Any]
    order: ColumnElement[Any]
    backwards: bool = False

    def ordered(self, rows: Select[Any], *, turned: bool = False) -> Select[Any]:
        """Return rows in the list's order, or in the opposite one."""
        down = self.backwards is not turned
        return rows.order_by(*(column.desc() if down else column for column in (self.order, self.key)))


def count_rows(connection: Connection, query: ListQuery) -> int:
    """Return how many rows the list has."""
    return int(connection.execute(_counted(query)).scalar_one())


def _counted(query: ListQuery) -> Select[Any]:
    return query.slim.with_only_columns(func.count(), maintain_column_froms=True)


def page_of(connection: Connection, query: ListQuery, first: int, size: int) -> Sequence[Any]:
    """Return `size` rows from number `first` on."""
    return _dressed(connection, query, query.ordered(query.slim).limit(size).offset(first))


def page_from_end(connection: Connection, query: ListQuery, first: int, size: int, count: int) -> Sequence[Any]:
    """Return the same rows, counted from the end: near the end that skips few rows instead of nearly all."""
    size = min(size, count - first)
    if size <= 0:
        return []
    turned = query.ordered(query.slim, turned=True).limit(size).offset(count - first - size)
    return _dressed(connection, query, turned)[::-1]


def _dressed(connection: Connection, query: ListQuery, slim: Select[Any]) -> Sequence[Any]:
    ids = list(connection.execute(slim).scalars())
    place = {row_id: number for number, row_id in enumerate(ids)}
    rows = connection.execute(query.dressed.where(query.key.in_(ids))).fetchall()
    return sorted(rows, key=lambda row: place[row[0]])


def place_of(connection: Connection, query: ListQuery, row_id: UUID) -> int | None:
    """Return the number of a row in the list, from 0; None when the filter hides it or it is gone."""
    here = connection.execute(
        query.slim.with_only_columns(query.order, maintain_column_froms=True).where(query.key == row_id)
    ).first()
    if here is None:
        return None
    value = here[0]
    if query.backwards:
        before = or_(query.order > value, and_(query.order == value, query.key > row_id))
    else:
        before = or_(query.order < value, and_(query.order == value, query.key < row_id))
    return int(connection.execute(_counted(query).where(before)).scalar_one())


def words_in(
    columns: Sequence[ColumnElement[Any]],
    words: str,
    members: Members = MappingProxyType({}),
) -> list[ColumnElement[bool]]:
    """Return the condition that every word occurs in one of the columns, in any case; its % and _ mean themselves.

    Parameters
    ----------
    members : mapping of column to callable
        For columns of closed lists: which members a word means, since a person does not say them as they are stored.
    """
    return [
        or_(
            *(column.icontains(word, autoescape=True) for column in columns),
            *(column.in_(found) for column, meant in members.items() if (found := list(meant(word)))),
        )
        for word in words.split()
    ]


_STANDS = literal(value=False, type_=Flag())


def breakage_query(words: str, sort: str, *, backwards: bool, spoken: Callable[[StrEnum], str]) -> ListQuery:
    """Return the list of breakages.

    Rows are (id, at, machine, place, kind, positions, cause, mode, action, note, repair_id); `sort` is when, machine, part, cause
    or done. `spoken` says how a person calls a cause, mode or action: that is what the filter's words are looked for in.
    """
    breakage, component = TABLE_OF_FACT[Breakage], TABLE_OF_FACT[Component]
    machine, kind = TABLE_OF_FACT[Machine], TABLE_OF_FACT[PartKind]
    position = OWNED[Breakage][0].table
    joined = (
        select(breakage.c.id)
        .join_from(breakage, component, breakage.c.component_id == component.c.id)
        .join(machine, component.c.machine_id == machine.c.id)
        .join(kind, component.c.part_kind_id == kind.c.id)
        .where(breakage.c.voided == _STANDS)
    )
    where = type_coerce(
        select(func.aggregate_strings(cast(position.c.position, Text), ","))
        .where(position.c.breakage_id == breakage.c.id)
        .scalar_subquery(),
        Several(format_positions, parse_positions),
    )
    members: Members = {
        breakage.c.cause: partial(_meant, Cause, spoken),
        breakage.c.mode: partial(_meant, Mode, spoken),
        breakage.c.action: partial(_meant, Action, spoken),
    }
    texts = (machine.c.name, component.c.place, kind.c.name, breakage.c.note)
    own = (
        where.label("positions"),
        breakage.c.cause,
        breakage.c.mode,
        breakage.c.action,
        breakage.c.note,
        breakage.c.repair_id,
    )
    named = (machine.c.name.label("machine"), component.c.place, kind.c.name.label("kind"))
    order: dict[str, ColumnElement[Any]] = {
        "machine": machine.c.name,
        "part": component.c.place,
        "cause": breakage.c.cause,
        "done": breakage.c.action,
    }
    return ListQuery(
        slim=joined.where(*words_in(texts, words, members)),
        dressed=joined.with_only_columns(breakage.c.id, breakage.c.at, *named, *own, maintain_column_froms=True),
        key=breakage.c.id,
        order=order.get(sort, breakage.c.at),
        backwards=backwards,
    )


def _meant(closed_list: type[StrEnum], spoken: Callable[[StrEnum], str], word: str) -> list[StrEnum]:
    return [member for member in closed_list if word.casefold() in spoken(member).casefold()]


def run_query(combine_id: UUID | None, words: str, sort: str, *, backwards: bool) -> ListQuery:
    """Return the list of runs of one combine, or of all.

    Rows are (id, started_at, ended_at, area, separator_seconds, field, crop, header, combine); `sort` is when, area, field or crop.
    By time it goes along the index of the combine's runs, so that the first page of a million comes at once.
    """
    run, field, crop, header = TABLE_OF_FACT[Run], TABLE_OF_FACT[Field], TABLE_OF_FACT[Crop], TABLE_OF_FACT[Machine]
    combine = header.alias("combine")
    mine = (run.c.voided == _STANDS, *([run.c.combine_id == combine_id] if combine_id is not None else []))
    joined = (
        select(run.c.id)
        .join_from(run, field, run.c.field_id == field.c.id, isouter=True)
        .join(crop, run.c.crop_id == crop.c.id, isouter=True)
        .join(header, run.c.header_id == header.c.id, isouter=True)
        .join(combine, run.c.combine_id == combine.c.id, isouter=True)
    )
    pointers = ((run.c.field_id, field), (run.c.crop_id, crop), (run.c.header_id, header), (run.c.combine_id, combine))
    # in a list of one combine its name tells no run from another
    searched = pointers if combine_id is None else pointers[:3]
    # the few names are searched once, not once for each run
    filtered = [
        or_(*(pointer.in_(select(table.c.id).where(*words_in((table.c.name,), word))) for pointer, table in searched))
        for word in words.split()
    ]
    plain_names = [func.coalesce(table.c.name, "") for _, table in pointers]
    names = [name.label(said) for name, said in zip(plain_names, ("field", "crop", "header", "combine"), strict=True)]
    order: dict[str, ColumnElement[Any]] = {
        "field": plain_names[0],
        "crop": plain_names[1],
        "area": run.c.area_square_metres,
    }
    slim = joined if sort in ("field", "crop") else select(run.c.id)
    own = (run.c.started_at, run.c.ended_at, run.c.area_square_metres, run.c.separator_seconds)
    return ListQuery(
        slim=slim.where(*mine, *filtered),
        dressed=joined.with_only_columns(run.c.id, *own, *names, maintain_column_froms=True),
        key=run.c.id,
        order=order.get(sort, run.c.started_at),
        backwards=backwards,
    )


def deed_query(words: str, sort: str, *, backwards: bool) -> ListQuery:
    """Return the list of deeds.

    Rows are (id, recorded_at, device, said, undoes_deed_id, rows, undone); `sort` is when, who or what. By time it goes along the
    index of the journal; how many rows a deed touched is counted for the deeds of one page only.
    """
    deed = deed_table
    touched = select(func.count()).where(version_table.c.deed_id == deed.c.id).scalar_subquery()
    own = (deed.c.id, deed.c.recorded_at, deed.c.device, deed.c.person, deed.c.said, deed.c.undoes_deed_id)
    order: dict[str, ColumnElement[Any]] = {"who": deed.c.device, "what": deed.c.said}
    return ListQuery(
        slim=select(deed.c.id).where(*words_in((deed.c.said, deed.c.device, deed.c.person), words)),
        dressed=select(*own, touched.label("rows"), is_undone().label("undone")),
        key=deed.c.id,
        order=order.get(sort, deed.c.recorded_at),
        backwards=backwards,
    )


def version_query(connection: Connection, deed_id: UUID, words: str) -> ListQuery:
    """Return the list of the versions that one deed wrote, in the order of writing.

    Rows are (id, row_id, table_name, doing, content, revision), the content packed. What words are looked for in is packed too, so
    the versions of the deed are gone through here when there are any.
    """
    version = version_table
    own = (version.c.id, version.c.row_id, version.c.table_name, version.c.doing, version.c.content, version.c.revision)
    mine = version.c.deed_id == deed_id
    return ListQuery(
        slim=select(version.c.id).where(
            mine if not words.strip() else version.c.id.in_(_saying(connection, mine, words))
        ),
        dressed=select(*own),
        key=version.c.id,
        order=version.c.id,
    )


def _saying(connection: Connection, mine: ColumnElement[bool], words: str) -> list[UUID]:
    wanted = [word.casefold() for word in words.split()]
    found: list[UUID] = []
    query = select(version_table.c.id, version_table.c.table_name, version_table.c.content).where(mine)
    for version_id, table_name, content in connection.execute(query):
        # what was said, not the names of the fields it was said in
        values = json.loads(unpacked(table_name, content)).values()
        said = " ".join([table_name, *map(str, values)]).casefold()
        if all(word in said for word in wanted):
            found.append(version_id)
    return found
