"""What lies on the shelf: the parts that fit a kind on a machine, how many pieces of each there are, and all moves as columns."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final
from uuid import UUID

from sqlalchemy import Connection, Select, and_, bindparam, func, literal, or_, select

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.parts import ROUGHLY, Part, PartFit, StockMove
from wearlog.store.by_driver import plain_rows
from wearlog.store.finding import batched_ids
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.types import Flag, Id, Instant

if TYPE_CHECKING:
    # an entry counts the shelf without arrays: it need not wait until they are loaded
    from wearlog.harvest.by_line import Bools, Ints
    from wearlog.store.plain_reader import PlainReader


@dataclass(frozen=True, slots=True, eq=False)
class StockMoveRows:
    """`part` numbers the parts of the log by their ids; `is_tied` says that a breakage, a repair or a service took it.

    `is_rough`: it broke, nobody knows on which day and where.
    """

    part: Ints
    at: Ints
    change: Ints  #: index into StockChange
    quantity: Ints
    is_tied: Bools
    is_rough: Bools


@dataclass(frozen=True, slots=True, eq=False)
class PartFitRows:
    """Which kinds of part each part can be fitted as, on whatever machine."""

    part: Ints
    part_kind: Ints


def stock_moves(reader: PlainReader, part: Mapping[Any, int]) -> StockMoveRows:
    """Read the moves of the parts that stand, whose places `part` gives by their ids."""
    import numpy as np

    from wearlog.store.plain_reader import NONE

    codes = " ".join(f"WHEN '{change.value}' THEN {number}" for number, change in enumerate(StockChange))
    (parts,), (at, change, quantity, tied, rough) = reader.columns(
        "stock_move",
        ("part_id",),
        (
            "{us:at}",
            f"CASE change {codes} ELSE {NONE} END",
            "quantity",
            "CASE WHEN breakage_id IS NULL AND repair_id IS NULL AND service_done_id IS NULL THEN 0 ELSE 1 END",
            f"CASE WHEN SUBSTR(note, 1, {len(ROUGHLY)}) = '{ROUGHLY}' THEN 1 ELSE 0 END",
        ),
    )
    place = parts.pointing(part)
    rows = np.flatnonzero(place != NONE)
    return StockMoveRows(place[rows], at[rows], change[rows], quantity[rows], tied[rows] != 0, rough[rows] != 0)


def part_fits(reader: PlainReader, part: Mapping[Any, int], part_kind: Mapping[Any, int]) -> PartFitRows:
    """Read what fits what; places of parts and kinds by their ids."""
    from wearlog.store.plain_reader import NONE, pointing

    rows = reader.rows("SELECT {id:part_id}, {id:part_kind_id} FROM part_fit WHERE {stands}")
    parts, kinds = pointing([one[0] for one in rows], part), pointing([one[1] for one in rows], part_kind)
    kept = (parts != NONE) & (kinds != NONE)
    return PartFitRows(parts[kept], kinds[kept])


_STANDS: Final = literal(value=False, type_=Flag())
#: no entry of a farm is of an earlier time than this
_AT_FIRST: Final = datetime.min.replace(tzinfo=UTC)
# to look up a member of a closed list takes longer than to compare with it, and there may be hundreds of moves
_COUNTED: Final = StockChange.COUNTED
_USED: Final = StockChange.USED


def parts_fitting(connection: Connection, kind_id: UUID, machine_id: UUID) -> list[tuple[UUID, bool]]:
    """Return the parts that fit a kind on a machine, as they were entered, and of each whether it is made for that machine."""
    rows = plain_rows(connection, _fits(), {"kind_id": kind_id, "its_machine_id": machine_id})
    return [(part_id, made_for is not None) for part_id, made_for in rows]


@lru_cache(maxsize=1)
def _fits() -> Select[Any]:
    fit = TABLE_OF_FACT[PartFit]
    here = or_(fit.c.machine_id.is_(None), fit.c.machine_id == bindparam("its_machine_id", type_=Id()))
    query = select(fit.c.part_id, fit.c.machine_id).where(fit.c.voided == _STANDS, here)
    return query.where(fit.c.part_kind_id == bindparam("kind_id", type_=Id())).order_by(fit.c.id)


@dataclass(frozen=True, slots=True)
class OnShelf:
    """How many pieces of a part there are by its moves, and when somebody counted them last."""

    pieces: int
    counted_at: datetime | None


def on_shelf(connection: Connection, part_ids: Iterable[UUID]) -> dict[UUID, OnShelf]:
    """Return what lies there of each part: the last count, and what came and went since; parts without a move are left out.

    It can come out below zero, when more was used than was ever entered.
    """
    moves: dict[UUID, list[Any]] = defaultdict(list)
    for some in batched_ids(part_ids):
        for part_id, *move in plain_rows(connection, _moves_since_counted(), {"part_ids": some}):
            moves[part_id].append(move)
    return {part_id: _heaped(its) for part_id, its in moves.items()}


def _heaped(moves: Iterable[tuple[datetime, StockChange, int]]) -> OnShelf:
    pieces, counted_at = 0, None
    for at, change, quantity in moves:
        if change is _COUNTED:
            # a count says how many there are, whatever came and went before
            pieces, counted_at = quantity, at
        else:
            pieces += -quantity if change is _USED else quantity
    return OnShelf(pieces, counted_at)


@lru_cache(maxsize=1)
def _moves_since_counted() -> Select[Any]:
    """The moves of parts from the instant of the last count on, in the order of time: what was before need not be read."""
    part, move = TABLE_OF_FACT[Part], TABLE_OF_FACT[StockMove]
    count = move.alias("count")
    last_count = (
        select(count.c.at)
        .where(count.c.part_id == part.c.id, count.c.change == StockChange.COUNTED, count.c.voided == _STANDS)
        .order_by(count.c.at.desc())
        .limit(1)
        .scalar_subquery()
    )
    since = func.coalesce(last_count, literal(_AT_FIRST, type_=Instant()))
    return (
        select(move.c.part_id, move.c.at, move.c.change, move.c.quantity)
        .select_from(part.join(move, and_(move.c.part_id == part.c.id, move.c.at >= since)))
        .where(part.c.id.in_(bindparam("part_ids", expanding=True)), move.c.voided == _STANDS)
        .order_by(move.c.part_id, move.c.at, move.c.id)
    )
