"""Runs and readings in any number, for measuring speed: many machines over many years, without a story. No breakages."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.work import Run
from wearlog.ids import derived_id

from .draws import Draws

_FIRST_DAY: Final = datetime(2001, 7, 15, 15, 0, tzinfo=UTC)
_DAYS_A_SEASON: Final = 45
_ACRE: Final = 4047


def usage_rows(rows: int, *, pairs: int = 200, seed: int = 1) -> Iterator[Fact]:
    """Yield combines with their headers, hitches and meters, then `rows` runs and readings of them, in the order of time.

    Parameters
    ----------
    rows : int
        Runs and readings together: about three runs to one reading.
    pairs : int
        How many combines, each with one header hitched for good.
    seed : int
        Decides areas, hours and the ids of runs and readings; machines, hitches and meters have new ids.
    """
    draws = Draws(seed)
    # a version 8 id (RFC 9562) with room to count in its last 62 bits
    first_id = derived_id("usage rows", str(seed)).int >> 62 << 62
    machines = [_pair(number) for number in range(1, pairs + 1)]
    shown = [0] * pairs
    for facts in machines:
        yield from facts
    for row in range(rows):
        step, pair = divmod(row, pairs)
        if pair == 0:
            start = _start_of(step)
            end, read_at = start + timedelta(minutes=175), start + timedelta(hours=1)
        row_id = UUID(int=first_id + row)
        if step % 4 == 3:
            yield Reading(id=row_id, meter_id=machines[pair][2].id, at=read_at, shown_usage=shown[pair])
            continue
        drawn = draws.uniform()
        seconds = 60 * (90 + int(80 * drawn))
        shown[pair] += seconds
        yield Run(
            id=row_id,
            combine_id=machines[pair][0].id,
            header_id=machines[pair][1].id,
            started_at=start,
            ended_at=end,
            area_square_metres=_ACRE * (15 + int(25 * drawn)),
            separator_seconds=seconds,
        )


def _pair(number: int) -> tuple[Machine, Machine, Meter, Hitch]:
    combine = Machine(name=f"Combine {number:04d}", kind=MachineKind.COMBINE)
    header = Machine(name=f"Header {number:04d}", kind=MachineKind.HEADER, cut_width_micrometres=12_192_000)
    meter = Meter(machine_id=combine.id, kind=MeterKind.SEPARATOR_HOURS)
    hitch = Hitch(header_id=header.id, combine_id=combine.id, from_at=_FIRST_DAY - timedelta(days=1))
    return combine, header, meter, hitch


def _start_of(step: int) -> datetime:
    """Return when a step begins: four steps of three hours a day, the day's reading in the last."""
    day, part = divmod(step, 4)
    season, day_of_season = divmod(day, _DAYS_A_SEASON)
    return _FIRST_DAY + timedelta(days=365 * season + day_of_season, hours=3 * part)
