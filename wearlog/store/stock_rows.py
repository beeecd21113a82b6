"""What came on the shelf, left it and was counted, and what each part fits, as columns of the histories."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.parts import ROUGHLY
from wearlog.harvest.by_line import Bools, Ints
from wearlog.store.plain_reader import NONE, PlainReader, pointing


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
    rows = reader.rows("SELECT {id:part_id}, {id:part_kind_id} FROM part_fit WHERE {stands}")
    parts, kinds = pointing([one[0] for one in rows], part), pointing([one[1] for one in rows], part_kind)
    kept = (parts != NONE) & (kinds != NONE)
    return PartFitRows(parts[kept], kinds[kept])
