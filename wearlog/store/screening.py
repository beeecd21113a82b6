"""Which rows a rule between rows may have something against, found by the database: only these are read as facts and asked.

A screen may let through what is in order; it never holds back what is not.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Final
from uuid import UUID

from wearlog.store.connection import Connection
from wearlog.store.plain_reader import PlainReader

_MICROSECOND: Final = timedelta(microseconds=1)


def near_in_time(
    connection: Connection,
    table: str,
    of: str,
    at: str,
    *,
    until: str = "",
    within: timedelta = timedelta(0),
    place: str = "",
    where: str = "",
) -> set[UUID]:
    """Return which machines, parts, components have two rows that follow each other closely.

    Of rows that overlap two neighbours do: whoever is over something later is over what begins before that.

    Parameters
    ----------
    of : str
        The column that names the machine, part or component.
    at, until : str
        The columns of a row's begin and end; without an end it is over when it begins, an empty end is no end.
    within : timedelta
        How long after the earlier one's end the later one may begin.
    place : str
        A column that tells places of one component apart.
    where : str
        What a row must be as well.
    """
    close = within // _MICROSECOND + (0 if until else 1)
    found = PlainReader(connection).rows(
        f"SELECT DISTINCT named FROM (SELECT {{id:{of}}} AS named, {{us:{at}}} AS begins, "  # noqa: S608 - names of ours
        f"LAG({{us:{until or at}}}) OVER (PARTITION BY {of}{f', {place}' if place else ''} ORDER BY {at}, id) AS before "
        f"FROM {table} WHERE {{stands}}{f' AND {where}' if where else ''}) AS pairs WHERE before > begins - {close}"
    )
    return _ids(found)


def odd_meters(connection: Connection, most_area_a_second: float, slack: timedelta) -> set[UUID]:
    """Return the meters of which a reading is less than the one before, or more than any machine works in that time.

    Parameters
    ----------
    most_area_a_second : float
        Square metres; a meter of hours gains a second in a second.
    slack : timedelta
        How much longer than the time between two readings it may have been.
    """
    found = PlainReader(connection).rows(
        "SELECT DISTINCT meter FROM (SELECT {id:r.meter_id} AS meter, m.kind AS kind, r.new_leg AS anew, {us:r.at} AS at, "  # noqa: S608 - figures
        "r.shown_usage AS shown, LAG(r.shown_usage) OVER in_turn AS was, LAG({us:r.at}) OVER in_turn AS was_at "
        "FROM reading r LEFT JOIN meter m ON m.id = r.meter_id WHERE {stands} "
        "WINDOW in_turn AS (PARTITION BY r.meter_id ORDER BY r.at, r.new_leg, r.shown_usage)) AS pairs "
        "WHERE NOT anew AND (shown < was OR (shown - was) * 1000001.0 > "
        f"(at - was_at + {slack // _MICROSECOND}) * CASE kind WHEN 'area' THEN {most_area_a_second!r} ELSE 1.0 END)",
        "r",
    )
    return _ids(found)


def broken_before_fitted(connection: Connection) -> set[UUID]:
    """Return the components of which a position broke before the first part was noted there."""
    first = "SELECT component_id, position, MIN(fitted_at) AS at FROM fitting WHERE {stands} GROUP BY component_id, position"
    found = PlainReader(connection).rows(
        "SELECT DISTINCT {id:b.component_id} FROM breakage b JOIN breakage_position p ON p.breakage_id = b.id "  # noqa: S608 - names of ours
        f"JOIN ({first.replace('{stands}', _stands_plainly(connection))}) f "
        "ON f.component_id = b.component_id AND f.position = p.position WHERE {stands} AND f.at > b.at",
        "b",
    )
    return _ids(found)


def used_twice(connection: Connection) -> set[UUID]:
    """Return the breakages for which a part was taken off the shelf more than once."""
    found = PlainReader(connection).rows(
        "SELECT {id:breakage_id} FROM stock_move WHERE {stands} AND change = 'used' AND breakage_id IS NOT NULL "
        "GROUP BY breakage_id, part_id HAVING COUNT(*) > 1"
    )
    return _ids(found)


def _stands_plainly(connection: Connection) -> str:
    return "NOT voided" if connection.dialect.name == "postgresql" else "voided = 0"


def _ids(rows: object) -> set[UUID]:
    return {UUID(bytes=bytes(row[0])) for row in rows}  # type: ignore[attr-defined]
