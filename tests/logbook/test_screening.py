"""What the database lets through to the rules between rows: what they find is what they find when every row is asked."""

from __future__ import annotations

import random
from collections.abc import Collection
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest

from tests.small_farm import MAY, SmallFarm
from wearlog.facts.closed_lists import MeterKind, StockChange, StopReason
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Meter, Reading, ServiceDone, ServiceItem
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.checks import doubts
from wearlog.logbook.checks.doubts import standing_doubts
from wearlog.logbook.files import mending
from wearlog.logbook.files.mending import log_findings
from wearlog.logbook.twins import looking
from wearlog.logbook.twins.looking import find_twins
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.ledger import Entry, record

KINDS = (MeterKind.ENGINE_HOURS, MeterKind.AREA)


def odd_rows(farm: SmallFarm, dice: random.Random) -> list[Fact]:
    """Rows as two careless laptops may leave them: near each other, before, behind and across one another."""
    items = [ServiceItem(machine_id=farm.combine.id, name=f"item {one}", interval_usage=1) for one in range(2)]
    meters = [Meter(machine_id=farm.header.id, kind=one) for one in KINDS]
    rows: list[Fact] = [*items, *meters]

    def moment() -> Any:
        return MAY + timedelta(hours=dice.choice((0, 1, 2, 30, 90, 300, 301)), minutes=dice.choice((0, 0, 1, 2, 40)))

    for _ in range(dice.choice((2, 6, 14))):
        at, voided = moment(), dice.random() < 0.15
        component = dice.choice((farm.knife, farm.chain))
        rows += [
            Breakage(component_id=component.id, positions=(dice.choice((1, 2)),), at=at, voided=voided),
            Fitting(
                component_id=component.id,
                position=dice.choice((1, 2)),
                fitted_at=at,
                removed_at=dice.choice((None, at, at + timedelta(hours=3))),
                voided=voided,
            ),
            Reading(
                meter_id=dice.choice(meters).id,
                at=at,
                shown_usage=dice.choice((10, 500_000, 40_000_000)),
                new_leg=dice.random() < 0.2,
                voided=voided,
            ),
            Run(
                combine_id=farm.combine.id,
                started_at=at,
                ended_at=at + timedelta(hours=dice.choice((1, 200))),
                area_square_metres=9,
                voided=voided,
            ),
            Stoppage(
                machine_id=farm.combine.id,
                started_at=at,
                ended_at=dice.choice((None, at + timedelta(hours=2))),
                reason=dice.choice((StopReason.WEATHER, StopReason.BREAKDOWN)),
                voided=voided,
            ),
            StockMove(
                part_id=farm.section_part.id,
                at=at,
                change=dice.choice((StockChange.RECEIVED, StockChange.COUNTED)),
                quantity=dice.choice((3, 4)),
                voided=voided,
            ),
            ServiceDone(service_item_id=dice.choice(items).id, at=at, voided=voided),
        ]
    broken = [one for one in rows if isinstance(one, Breakage)]
    rows += [
        StockMove(
            part_id=farm.section_part.id,
            at=MAY,
            change=StockChange.USED,
            quantity=1,
            breakage_id=dice.choice(broken).id,
        )
        for _ in range(len(broken) // 2)
    ]
    return rows


def everything(connection: Connection, fact_type: Any, _field: str, _ids: Collection[UUID], **equal: Any) -> list[Any]:
    return find_all(connection, fact_type, **equal)


def found(farm: SmallFarm) -> tuple[object, ...]:
    with farm.store.reading() as connection:
        return log_findings(connection), find_twins(connection), standing_doubts(farm.store)


@pytest.mark.parametrize("seed", range(12))
def test_what_is_found_is_what_is_found_when_every_row_is_asked(
    seed: int, farm: SmallFarm, monkeypatch: pytest.MonkeyPatch
) -> None:
    dice = random.Random(seed)
    rows = odd_rows(farm, dice)
    with farm.store.writing() as connection:
        # half of it was told on the other laptop
        for device, some in (("shop", rows[: len(rows) // 2]), ("cab", rows[len(rows) // 2 :])):
            record(connection, device=device, said="odd", entries=[Entry(one) for one in some])
    screened = found(farm)
    for module in (mending, looking, doubts):
        monkeypatch.setattr(module, "find_among", everything)
    assert found(farm) == screened
    assert any(screened)


def test_on_a_farm_in_order_no_long_list_is_read(farm: SmallFarm, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Collection[UUID]] = []

    def kept(_connection: Connection, _type: Any, _field: str, ids: Collection[UUID], **_equal: Any) -> list[Any]:
        asked.append(ids)
        return []

    for module in (mending, looking, doubts):
        monkeypatch.setattr(module, "find_among", kept)
    found(farm)
    assert len(asked) >= 8
    assert not any(asked)
