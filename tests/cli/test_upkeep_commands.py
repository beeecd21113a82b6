"""Services and repairs by command: the usual ones taken or left, halved, ended, done with cost and parts; every cent once."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.cli.running import Ran, Wearlog
from tests.small_farm import AUGUST, SmallFarm, harvest
from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Hazard, RepairKind, StopReason
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, ServiceDone, ServiceItem, starting_services
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Repair
from wearlog.facts.work import Stoppage
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.work.services_due import DueStanding, services_due
from wearlog.store.finding import find_all


def done(ran: Ran) -> Ran:
    assert ran.code == 0, ran.err
    return ran


def rows(farm: SmallFarm, fact_type: type[Fact]) -> list[Any]:
    with farm.store.reading() as connection:
        return list(find_all(connection, fact_type))


def test_the_usual_services_are_offered_with_a_machine_and_taken_or_left(own: Wearlog, file_farm: SmallFarm) -> None:
    left = done(own("add", "header", "South", "--width", "40ft"))
    assert "common practice" in left.err
    assert rows(file_farm, ServiceItem) == []
    done(own("add", "header", "Plover", "--width", "40ft", "--services", "usual"))
    plover = next(one for one in rows(file_farm, Machine) if one.name == "Plover")
    assert {one.name for one in rows(file_farm, ServiceItem)} == {one.name for one in starting_services(plover)}
    done(own("add", "service", "usual", "--on", "Kestrel"))
    names = {one.name for one in rows(file_farm, ServiceItem) if one.machine_id == file_farm.combine.id}
    assert {"wheel bolts: tighten", "stone trap: empty", "water separator: drain", "brakes: try and look"} <= names
    fire = next(one for one in rows(file_farm, ServiceItem) if "blow off chaff" in one.name)
    assert fire.hazard is Hazard.FIRE
    assert own("add", "service", "usual", "--on", "Kestrel").code == 4


def test_in_heavy_dust_half_the_interval_is_due(own: Wearlog, file_farm: SmallFarm) -> None:
    done(own("enter", "service_item", "machine=Kestrel", "name=grease", "meter=separator_hours", "interval=50"))
    done(own("due", "--done", "kestrel", "grease", "--at", "2026-05-01 12:00"))
    harvest(file_farm, hours=30)
    harvest(file_farm, hours=10, at=AUGUST + timedelta(days=3))

    def standing() -> tuple[DueStanding, float | None, float | None]:
        with file_farm.store.reading() as connection:
            (row,) = services_due(connection, farm_from(connection, AUGUST + timedelta(days=5)))
        return row.standing, row.left_usage, row.days_left

    found, left, days = standing()
    assert (found, left) == (DueStanding.LATER, pytest.approx(10 * 3600))
    # 30 h of the first run lie on two days of UTC, of which the first is a day with a run: 9 h; the third had 10 h
    assert days is not None
    assert 0.5 < days < 1.5
    done(own("due", "--halve", "kestrel", "grease"))
    assert standing()[:2] == (DueStanding.OVERDUE, pytest.approx(-15 * 3600))
    assert own("due", "--halve", "kestrel", "grease").code == 4
    done(own("due", "--whole", "kestrel", "grease"))
    assert standing()[0] is DueStanding.LATER
    done(own("due", "--end", "kestrel", "grease", "--at", "2026-08-04"))
    with file_farm.store.reading() as connection:
        assert services_due(connection, farm_from(connection, AUGUST + timedelta(days=5))) == ()


def test_a_service_done_takes_its_parts_off_the_shelf_and_its_caution_stands_before(
    own: Wearlog, file_farm: SmallFarm
) -> None:
    done(own("add", "service", "usual", "--on", "Kestrel"))
    at = ("--at", "2026-08-02 12:00")
    ran = done(
        own("due", "--done", "kestrel", "engine oil", "--cost", "84.50", "--labour", "40min", "--part", "KS-3x2", *at)
    )
    assert ran.err.splitlines() == list(CAUTIONS[Hazard.HOT_PART])
    assert "KS-3: 2 used" in ran.out
    (noted,) = rows(file_farm, ServiceDone)
    assert (noted.cost_minor, noted.labour_seconds) == (8_450, 2_400)
    (used,) = [one for one in rows(file_farm, StockMove) if one.service_done_id == noted.id]
    assert used.quantity == 2
    found = own("cost", "--json").json
    kestrel = next(row for row in found["rows"] if row["key"] == "Kestrel")
    assert kestrel["parts"]["amount"] == "9.20"
    done(own("undo"))
    assert rows(file_farm, ServiceDone) == []


def test_a_repair_has_its_sort_invoice_parts_and_the_time_it_stood(own: Wearlog, file_farm: SmallFarm) -> None:
    words = ("add", "repair", "final drive rebuilt", "--on", "Kestrel", "--sort", "breakdown", "--hired", "2150")
    done(own(*words, "--used", "KS-3x4", "--invoice", "7781", "--stood", "30h", "--at", "2026-08-02 12:00"))
    (repair,), (stop,) = rows(file_farm, Repair), rows(file_farm, Stoppage)
    assert (repair.kind, repair.invoice, repair.hired_minor) == (RepairKind.BREAKDOWN, "7781", 215_000)
    assert (stop.reason, stop.repair_id, stop.ended_at - stop.started_at) == (
        StopReason.BREAKDOWN,
        repair.id,
        timedelta(hours=30),
    )
    for split in ("machine", "part", "season"):
        found = own("cost", "--by", split, "--json").json
        assert found["total"]["parts"]["amount"] == "18.40", split
        assert found["total"]["service"]["amount"] == "2150.00", split
    assert own("add", "repair", "nothing", "--on", "Kestrel").code == 2
