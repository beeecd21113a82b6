"""What an acre costs: first in, first out; every cent exactly once, however the costs are split."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tests.small_farm import AUGUST, MAY, SmallFarm, harvest, kind, land, receive
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Cause, RepairKind, StockChange, StopReason
from wearlog.facts.machines import ServiceDone, ServiceItem
from wearlog.facts.parts import Part, StockMove
from wearlog.facts.wearing import Repair
from wearlog.facts.work import Stoppage
from wearlog.logbook.farm.farm_setting import change_setting, current_settings
from wearlog.logbook.farm.machines import add_season
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.stocking import add_part, move_stock
from wearlog.logbook.parts.upkeep import add_service, do_service, log_repair
from wearlog.logbook.work.working import stop
from wearlog.reckoning.costs.cost_events import cost_events
from wearlog.reckoning.costs.costs import CostTable, Split, cost_table
from wearlog.reckoning.farm import farm_from
from wearlog.store.opening import Store

AUTUMN = AUGUST + timedelta(days=60)
DEMO_DAY = datetime(2026, 11, 20, 18, tzinfo=UTC)


def table(store: Store, by: Split, now: datetime = AUTUMN, season: int | None = None) -> CostTable:
    with store.reading() as connection:
        farm = farm_from(connection, now)
        chosen = next((one for one in farm.seasons if one.harvest_year == season), None)
        return cost_table(connection, farm, by, chosen)


def section(farm: SmallFarm, positions: tuple[int, ...], *, at: datetime = AUGUST, minutes: int | None = None) -> None:
    log_breakage(
        farm.store,
        BreakageEntry(
            component_id=farm.knife.id,
            positions=positions,
            at=at,
            cause=Cause.IMPACT,
            downtime_seconds=None if minutes is None else minutes * 60,
        ),
    )


def test_parts_cost_what_the_stock_they_came_from_cost_first_in_first_out(farm: SmallFarm) -> None:
    receive(farm, 10, 500, at=AUGUST - timedelta(days=3))
    section(farm, tuple(range(1, 54)))
    assert table(farm.store, Split.MACHINE).total.parts_minor == 50 * 460 + 3 * 500


def test_labour_downtime_and_hired_work_each_stand_in_their_column(farm: SmallFarm) -> None:
    change_setting(farm.store, "labour_rate", "30.00")
    change_setting(farm.store, "downtime_value_per_hour", "240.00")
    section(farm, (41,), minutes=20)
    log_repair(
        farm.store,
        Repair(
            machine_id=farm.combine.id,
            kind=RepairKind.PLANNED,
            started_at=AUGUST,
            labour_seconds=5400,
            hired_minor=12_345,
        ),
    )
    total = table(farm.store, Split.MACHINE).total
    assert (total.parts_minor, total.labour_minor, total.service_minor, total.downtime_minor) == (
        460,
        4500,
        12_345,
        8000,
    )


@pytest.mark.parametrize(("reason", "cost"), [(StopReason.WEATHER, 0), (StopReason.BREAKDOWN, 11_250)])
def test_only_stops_that_are_the_machine_s_own_doing_cost(farm: SmallFarm, reason: StopReason, cost: int) -> None:
    hour = timedelta(hours=1)
    stop(farm.store, Stoppage(machine_id=farm.combine.id, started_at=AUGUST, ended_at=AUGUST + hour, reason=reason))
    assert table(farm.store, Split.MACHINE).total.downtime_minor == cost


def test_nothing_is_a_value_too(farm: SmallFarm) -> None:
    """Own labour and standing at 0 are left out; the parts stay."""
    change_setting(farm.store, "labour_rate", "0.00")
    change_setting(farm.store, "downtime_value_per_hour", "0")
    section(farm, (41,), minutes=20)
    found = table(farm.store, Split.MACHINE).total
    assert (found.parts_minor, found.labour_minor, found.downtime_minor) == (460, 0, 0)
    shown = dict(current_settings(farm.store))
    assert (shown["labour_rate"], shown["downtime_value_per_hour"]) == ("0.00", "0.00")
    assert shown["downtime_value_source"] == "left out, as the farm set it"


@pytest.mark.parametrize("content", ["-1", "1000000", "nan", "inf", "much", ""])
def test_what_is_no_amount_is_refused(farm: SmallFarm, content: str) -> None:
    with pytest.raises(RefusedError, match="is not an amount for labour_rate"):
        change_setting(farm.store, "labour_rate", content)


def count(farm: SmallFarm, part: Part, quantity: int, at: datetime = AUGUST) -> None:
    move_stock(farm.store, StockMove(part_id=part.id, at=at, change=StockChange.COUNTED, quantity=quantity))


@pytest.mark.parametrize(("by", "key"), [(Split.PART, "knife section"), (Split.SUBSYSTEM, "header")])
def test_what_is_missing_at_a_count_belongs_to_the_one_kind_it_fits(farm: SmallFarm, by: Split, key: str) -> None:
    count(farm, farm.section_part, 48)
    found = table(farm.store, by)
    assert [(row.key, row.parts_minor) for row in found.rows if row.parts_minor] == [(key, 920)]
    assert found.elsewhere.parts_minor == 0


@pytest.mark.parametrize(
    ("kinds", "part_row", "subsystem_row"),
    [
        (("knife section", "guard"), None, "header"),
        (("knife section", "feeder conveyor chain"), None, None),
        (("guard",), "guard", "header"),
        ((), None, None),
    ],
)
def test_what_fits_several_kinds_belongs_to_none_and_to_a_subsystem_only_if_they_share_it(
    farm: SmallFarm, kinds: tuple[str, ...], part_row: str | None, subsystem_row: str | None
) -> None:
    bolt = Part(number="B-8", name="bolt", price_minor=55)
    add_part(farm.store, bolt, [kind(name) for name in kinds], on_hand=10, at=MAY)
    count(farm, bolt, 6)
    for by, name in ((Split.PART, part_row), (Split.SUBSYSTEM, subsystem_row)):
        found = table(farm.store, by)
        assert {row.key: row.parts_minor for row in found.rows if row.parts_minor} == ({name: 220} if name else {})
        assert found.elsewhere.parts_minor == (0 if name else 220)


@pytest.mark.parametrize("by", [Split.PART, Split.SUBSYSTEM])
def test_services_and_the_stops_for_them_have_a_row_of_their_own(farm: SmallFarm, by: Split) -> None:
    item = ServiceItem(machine_id=farm.combine.id, name="engine oil", interval_months=12)
    add_service(farm.store, item)
    do_service(farm.store, ServiceDone(service_item_id=item.id, at=AUGUST, labour_seconds=3600, cost_minor=9_900))
    hour = timedelta(hours=1)
    stoppage = Stoppage(
        machine_id=farm.combine.id, started_at=AUGUST, ended_at=AUGUST + hour, reason=StopReason.SERVICE
    )
    stop(farm.store, stoppage)
    found = table(farm.store, by)
    (row,) = found.rows
    assert (row.key, row.labour_minor, row.service_minor, row.downtime_minor) == ("services", 1853, 9_900, 11_250)
    assert found.elsewhere.total_minor == 0


def test_pieces_of_unknown_cost_are_counted_in_the_season_they_were_used_in(farm: SmallFarm) -> None:
    for year in (2025, 2026):
        add_season(farm.store, year)
    section(farm, tuple(range(1, 54)))
    section(farm, (60,), at=MAY.replace(year=2025) + timedelta(days=500))
    in_2026 = table(farm.store, Split.MACHINE, season=2026).unknown_units
    in_2025 = table(farm.store, Split.MACHINE, season=2025).unknown_units
    assert (in_2025, in_2026) == (0, 4)
    assert table(farm.store, Split.MACHINE).unknown_units == 4
    assert table(farm.store, Split.MACHINE, now=AUGUST + timedelta(days=1)).unknown_units == 3


def test_a_breakage_is_charged_to_the_header_it_happened_on(farm: SmallFarm) -> None:
    harvest(farm, acres=100)
    section(farm, (41, 42))
    rows = {row.key: row for row in table(farm.store, Split.MACHINE).rows}
    assert (rows["North"].parts_minor, rows["Kestrel"].parts_minor) == (920, 0)


def test_a_cost_in_the_field_belongs_to_the_crop_being_cut_and_one_in_winter_to_none(farm: SmallFarm) -> None:
    land(farm)
    from dataclasses import replace

    from wearlog.facts.work import Crop
    from wearlog.logbook.work.working import cut
    from wearlog.store.finding import find_all

    with farm.store.reading() as connection:
        (wheat,) = find_all(connection, Crop)
    run = harvest(farm, acres=1, at=AUGUST - timedelta(days=40))
    cut(
        farm.store,
        replace(run, id=farm.chain.id, crop_id=wheat.id, started_at=AUGUST, ended_at=AUGUST + timedelta(hours=9)),
    )
    section(farm, (1,), at=AUGUST + timedelta(hours=2))
    section(farm, (2, 3), at=AUGUST + timedelta(days=30))
    found = table(farm.store, Split.CROP)
    assert [(row.key, row.parts_minor) for row in found.rows] == [("wheat", 460)]
    assert found.elsewhere.parts_minor == 920


def test_the_published_curve_stands_beside_a_machine_with_a_list_price(farm: SmallFarm) -> None:
    harvest(farm, hours=100)
    rows = {row.key: row for row in table(farm.store, Split.MACHINE).rows}
    # D497 (factors from memory): 585,000 x 0.04 x ((h2/1000)^2.1 - (h1/1000)^2.1) over separator hours
    expected = 585_000 * 0.04 * ((1802 / 1000) ** 2.1 - (1702 / 1000) ** 2.1)
    assert rows["Kestrel"].expected_repair_minor == pytest.approx(expected * 100, rel=1e-6)
    assert rows["North"].expected_repair_minor is None


@pytest.mark.parametrize("by", list(Split))
@pytest.mark.parametrize("season", [None, 2024])
def test_on_the_demo_fleet_every_split_adds_up_to_the_same_total_to_the_cent(
    demo_store: Store, by: Split, season: int | None
) -> None:
    found = table(demo_store, by, DEMO_DAY, season)
    columns = ("parts_minor", "labour_minor", "service_minor", "downtime_minor")
    for column in columns:
        assert sum(getattr(row, column) for row in (*found.rows, found.elsewhere)) == getattr(found.total, column)
    if season is None:
        with demo_store.reading() as connection:
            events = cost_events(connection, farm_from(connection, DEMO_DAY))
        assert found.total.total_minor == int(events.costs.total_minor.sum())


def test_the_seasons_of_the_demo_fleet_add_up_to_all_of_it(demo_store: Store) -> None:
    whole = table(demo_store, Split.SEASON, DEMO_DAY)
    each = [table(demo_store, Split.MACHINE, DEMO_DAY, int(row.key)).total.total_minor for row in whole.rows]
    assert each == [row.total_minor for row in whole.rows]
    assert sum(each) + whole.elsewhere.total_minor == whole.total.total_minor
