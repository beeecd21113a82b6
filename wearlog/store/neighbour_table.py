"""Lives of many farms on a PostgreSQL server, in a table into which farms write: the server adds them up itself. Keeps nothing.

The table `neighbour_life` has the columns of the file: version, farm, issue, kind, ground, meter, entry, exit, failed, count.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Column, Float, Integer, MetaData, String, Table, and_, case, func, inspect, literal, select
from sqlalchemy.exc import DBAPIError

from wearlog.errors import NoAnswerError, NotFoundError, RefusedError
from wearlog.store.engine import make_engine
from wearlog.store.location import Location

TABLE: Final = "neighbour_life"
_TEXTS: Final = ("version", "farm", "kind", "ground", "meter")
_WHOLE: Final = ("issue", "failed", "count")


@dataclass(frozen=True, slots=True)
class GroupSums:
    """What one farm saw of one kind on one ground: lives and their sums, as the server added them up."""

    farm: str
    issue: int
    kind: str
    ground: str
    meter: str
    lives: float
    sums: tuple[float, ...]


def neighbour_table(metadata: MetaData) -> Table:
    """Return the table of lives that farms write into."""
    texts = [Column(name, String, nullable=False) for name in _TEXTS]
    whole = [Column(name, Integer, nullable=False) for name in _WHOLE]
    ages = [Column(name, Float(53), nullable=False) for name in ("entry", "exit")]
    return Table(TABLE, metadata, *texts, *whole, *ages)


def sums_on_server(
    location: Location, shapes: Sequence[float], thousand: float, version: str
) -> tuple[list[GroupSums], int]:
    """Let the server add up its lives.

    Parameters
    ----------
    location : Location
        The server and its database.
    shapes : sequence of float
        The powers of the ages that are added up.
    thousand : float
        What ages are divided by.
    version : str
        Of the rows that are read.

    Returns
    -------
    (list of GroupSums, int)
        Of each farm, issue, kind, ground and meter; and how many rows no life can be.

    Raises
    ------
    NotFoundError
        There is no such table.
    RefusedError
        Rows of another version: nothing is read then.
    NoAnswerError
        The server cannot be reached, or lets nobody in.
    """
    row = neighbour_table(MetaData()).c
    entry, leaving = row.entry / thousand, row.exit / thousand
    ended = row.count * row.failed
    is_life = and_(row.entry >= 0, row.exit > row.entry, row.failed.in_((0, 1)), row.count >= 1)
    # an entry of 0 is nothing at any power, whatever an engine makes of it
    powers = [
        func.sum(row.count * (func.power(leaving, shape) - case((row.entry > 0, func.power(entry, shape)), else_=0.0)))
        for shape in map(literal, map(float, shapes))
    ]
    who = (row.farm, row.issue, row.kind, row.ground, row.meter)
    asked = (
        select(*who, func.sum(row.count), func.sum(ended), func.sum(ended * func.ln(leaving)), *powers)
        .where(is_life)
        .group_by(*who)
    )
    engine = make_engine(location)
    try:
        with engine.connect() as connection:
            if not inspect(connection).has_table(TABLE):
                raise NotFoundError(f"{location.name} has no table {TABLE}.", "Farms write into it as the guide says.")
            other = connection.execute(select(row.version).where(row.version != version).limit(1)).scalar()
            if other is not None:
                raise RefusedError(
                    f"{location.name} holds rows of version {other}; this wearlog reads {version}.",
                    "Use a newer wearlog.",
                )
            wrong = connection.execute(select(func.count()).select_from(row.farm.table).where(~is_life)).scalar() or 0
            found = connection.execute(asked).all()
    except DBAPIError as error:
        raise NoAnswerError(
            f"{location.name} gave no answer.", "Look at the server, and at who may read there."
        ) from error
    finally:
        engine.dispose()
    groups = [
        GroupSums(
            str(farm), int(issue), str(kind), str(ground), str(meter), float(lives), tuple(float(cell) for cell in sums)
        )
        for farm, issue, kind, ground, meter, lives, *sums in found
    ]
    return groups, wrong
