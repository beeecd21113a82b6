"""fetch and supplier: the ways to a part, in which order suppliers are rung, what calls and hours change."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import Wearlog
from tests.small_farm import SmallFarm, harvest
from wearlog.facts.machines import Machine
from wearlog.facts.parts import SupplierHours
from wearlog.facts.work import Run
from wearlog.logbook.saving import save
from wearlog.store.finding import find_all

NOON = "2026-08-05 12:00"


def ways(own: Wearlog, *more: str) -> dict[str, Any]:
    found: dict[str, Any] = own("fetch", "north knife", *more, "--json").json
    return found


def way(found: dict[str, Any], source: str, name: str | None = None) -> dict[str, Any]:
    return next(one for one in found["ways"] if one["source"] == source and name in (None, one["from"]))


def cost(one: dict[str, Any]) -> float:
    return float(one["cost"]["amount"])


@pytest.fixture
def short(own: Wearlog, file_farm: SmallFarm) -> Wearlog:
    """The small farm with no section left, two suppliers and their prices."""
    harvest(file_farm)
    number = file_farm.section_part.number
    for line in (
        ("stock", "count", number, "0"),
        ("supplier", "Crossing Supply", "--distance", "12mi"),
        ("supplier", "Far Barn", "--distance", "90 mi", "--phone", "555-0137"),
        ("enter", "supply", f"part={number}", "supplier=Crossing Supply", "price=12", "quoted_lead_days=2"),
        ("enter", "supply", f"part={number}", "supplier=Far Barn"),
    ):
        done = own(*line)
        assert done.code == 0, (line, done.err)
    return own


def test_what_lies_on_the_shelf_is_said_first(own: Wearlog, file_farm: SmallFarm) -> None:
    assert own("stock", "receive", file_farm.section_part.number, "4").code == 0
    assert own("fetch", "north knife").out.count("It lies on the shelf: ") == 1
    assert cost(way(ways(own), "shelf")) == 0.0


def test_the_nearer_supplier_is_rung_first_and_calls_move_that(short: Wearlog) -> None:
    found = ways(short)
    near, far = (way(found, "supplier", name) for name in ("Crossing Supply", "Far Barn"))
    assert cost(near) < cost(far)
    assert (near["chance"], near["answers"]) == (0.5, 0)
    assert found["ring_order"][0] == "Crossing Supply"
    assert "Ring Crossing Supply first (12 mi, " in short("fetch", "north knife").out
    for _ in range(3):
        assert short("fetch", "north knife", "--lacks", "crossing").code == 0
    after = way(ways(short), "supplier", "Crossing Supply")
    # three answers, each about this part: they count double
    assert (after["chance"], after["answers"]) == (pytest.approx(1 / 8), 3)
    assert short("undo").code == 0
    assert way(ways(short), "supplier", "Crossing Supply")["answers"] == 2


def test_deliveries_move_how_long_an_order_takes(short: Wearlog, file_farm: SmallFarm) -> None:
    number = file_farm.section_part.number
    before = way(ways(short), "delivery")["days_9_in_10"]
    for month in (3, 4, 5):
        assert short("enter", "part_order", f"part={number}", "quantity=5", f"ordered=2026-0{month}-01 9:00").code == 0
        came = ("change=received", "quantity=5", f"at=2026-0{month}-15 9:00")
        assert short("enter", "stock_move", f"part={number}", *came).code == 0
    assert short("stock", "count", number, "0").code == 0
    after = ways(short)
    assert way(after, "delivery")["days_9_in_10"] > before
    assert "3 deliveries on record" in short("fetch", "north knife").out


def test_a_supplier_is_entered_once_and_what_is_said_later_changes_it(own: Wearlog, file_farm: SmallFarm) -> None:
    assert own("supplier", "Crossing Supply", "--distance", "12mi", "--open", "Mon-Fri 8-17, Sat 8-12").code == 0
    assert own("supplier", "crossing supply", "--open", "Mon-Fri 7:30-17:30").code == 0
    row = own("entries", "supplier", "--json").json["rows"]
    assert [one["distance_mi"] for one in row] == ["12"]
    with file_farm.store.reading() as connection:
        hours = sorted((one.weekday, one.opens_seconds) for one in find_all(connection, SupplierHours))
    assert hours == [(day, 27_000) for day in range(5)]
    assert own("undo").code == 0
    with file_farm.store.reading() as connection:
        assert len(find_all(connection, SupplierHours)) == 6
    assert own("supplier", "Crossing Supply", "--distance", "twelve").code == 2
    assert "no day with its hours" in own("supplier", "Crossing Supply", "--open", "always").err


def test_a_metric_farm_reads_and_says_kilometres(short: Wearlog) -> None:
    assert short("set", "units", "metric").code == 0
    assert short("supplier", "Crossing Supply", "--distance", "30").code == 0
    assert way(ways(short), "supplier", "Crossing Supply")["distance_metres"] == 30_000
    assert "Crossing Supply" in short("fetch", "north knife").out
    assert "30 km" in short("fetch", "north knife").out


def test_without_any_supplier_the_answer_says_what_to_enter(own: Wearlog, file_farm: SmallFarm, tmp_path: Path) -> None:
    assert own("stock", "count", file_farm.section_part.number, "0").code == 0
    said = own("fetch", "north knife")
    assert said.code == 0
    assert "wearlog supplier " in said.out
    assert own("fetch", "nothing there").code != 0


def test_who_leaves_later_is_told_from_then_and_has_rung_now(short: Wearlog, monkeypatch: pytest.MonkeyPatch) -> None:
    noon = datetime(2026, 8, 5, 12, tzinfo=UTC)
    monkeypatch.setattr("wearlog.cli.fetch_commands.local_now", lambda: noon)
    assert short("set", "time_zone", "UTC").code == 0
    found = ways(short, "--at", "15:30", "--had", "Crossing Supply")
    near = way(found, "supplier", "Crossing Supply")
    assert near["answers"] == 1
    # 12 miles each way and the counter
    assert near["here_at"].startswith("2026-08-05T16:1")
    (asked,) = short("entries", "supply_asked", "--json").json["rows"]
    assert asked["at"].startswith("2026-08-05 12:00")


def test_what_suppliers_hand_over_the_counter_is_told_though_no_way_is_sure(
    short: Wearlog, file_farm: SmallFarm
) -> None:
    rows = short("entries", "part", "--json").json["rows"]
    number = next(one["entry_number"] for one in rows if one["number"] == file_farm.section_part.number)
    assert short("change", number, "lead_time_days=0").code == 0
    found = ways(short, "--at", NOON)
    assert {one["source"] for one in found["ways"]} == {"supplier"}
    assert found["ring_order"][0] == "Crossing Supply"
    assert found["expected_cost"] is None
    out = short("fetch", "north knife", "--at", NOON).out
    assert "Ring Crossing Supply first (12 mi, " in out
    assert "Nobody knows a way" not in out
    assert "On the mean" not in out


def test_whom_to_ring_is_told_with_the_number_and_the_one_after_hours(short: Wearlog) -> None:
    rows = short("entries", "supplier", "--json").json["rows"]
    near = next(one["entry_number"] for one in rows if one["name"] == "Crossing Supply")
    assert short("change", near, "phone=555-0101", "late_phone=555-0102", "late_fee=50").code == 0
    said = " ".join(short("fetch", "north knife").out.split())
    assert "By phone: Crossing Supply 555-0101, after hours 555-0102 for 50 USD; Far Barn 555-0137." in said
    found = ways(short)
    assert (way(found, "supplier", "Far Barn")["phone"], way(found, "delivery")["phone"]) == ("555-0137", None)
    assert way(found, "supplier", "Crossing Supply")["late_phone"] == "555-0102"


def test_what_driving_costs_and_how_fast_is_a_setting_in_the_farms_units(short: Wearlog) -> None:
    def near() -> dict[str, Any]:
        return way(ways(short, "--at", NOON), "supplier", "Crossing Supply")

    usual = near()
    said = " ".join(short("fetch", "north knife").out.split())
    assert "45 mph and 0.70 USD a mile (usual figures, no source; yours: wearlog set driving_speed ...)" in said
    assert short("set", "driving_cost", "1,70").code == 0
    # a dollar more for each of 24 miles
    assert cost(near()) - cost(usual) == pytest.approx(24.0, abs=0.01)
    assert short("set", "driving_speed", "90 km/h").code == 0
    assert near()["here_at"] < usual["here_at"]
    said = " ".join(short("fetch", "north knife").out.split())
    assert "56 mph and 1.70 USD a mile; a supplier" in said
    assert short("set", "units", "metric").code == 0
    assert "90 km/h and 1.06 USD a km; a supplier" in " ".join(short("fetch", "north knife").out.split())
    assert "driving_cost             1.06 a km" in short("set").out
    for key, content in (("driving_cost", "much"), ("driving_speed", "0"), ("driving_speed", "1000 km/h")):
        refused = short("set", key, content)
        assert (refused.code, "Write it like" in refused.err) == (4, True), refused.err
    for _ in range(3):
        assert short("undo").code == 0
    assert near() == usual


def test_opening_after_hours_is_weighed_against_waiting(short: Wearlog) -> None:
    def near() -> dict[str, Any]:
        found: dict[str, Any] = way(ways(short, "--at", "2026-08-04 18:30"), "supplier", "Crossing Supply")
        return found

    assert short("set", "time_zone", "UTC").code == 0
    waits = near()
    assert (waits["opened_after_hours"], waits["here_at"][:13]) == (False, "2026-08-05T08")
    assert short("supplier", "Crossing Supply", "--late-phone", "555-0102", "--late-fee", "50").code == 0
    late = near()
    assert (late["opened_after_hours"], late["here_at"][:13]) == (True, "2026-08-04T19")
    assert cost(late) < cost(waits)
    said = " ".join(short("fetch", "north knife", "--at", "2026-08-04 18:30").out.split())
    assert "Crossing Supply is closed when you come there: opened for 50 USD it costs less than waiting." in said
    # each dollar of the fee is one in the cost, until waiting costs less
    assert short("supplier", "Crossing Supply", "--late-fee", "60").code == 0
    assert cost(near()) - cost(late) == pytest.approx(10.0, abs=0.01)
    assert short("supplier", "Crossing Supply", "--late-fee", "9000").code == 0
    assert near() == {**waits, "late_phone": "555-0102"}


def test_mending_is_a_way_where_it_was_done_or_somebody_says_how_long_it_takes(short: Wearlog) -> None:
    assert not [one for one in ways(short)["ways"] if one["source"] == "mend"]
    quick, slow = (way(ways(short, "--mend", time), "mend") for time in ("20 min", "80 min"))
    # an hour more of standing and of work
    assert cost(slow) - cost(quick) == pytest.approx(112.50 + 18.53, abs=0.02)
    said = " ".join(short("fetch", "north knife", "--mend", "20 min").out.split())
    assert "Mending takes 20 min (as you said); how long it holds is reckoned from a guess for mended parts" in said
    done = short("log", "section 43 bent, mended, 1 man 20 min, 2026-08-03 16:00", "--yes")
    assert done.code == 0, done.err
    assert way(ways(short), "mend")["cost"] is not None
    assert "(as 1 record says)" in " ".join(short("fetch", "north knife").out.split())
    assert short("undo").code == 0
    assert not [one for one in ways(short)["ways"] if one["source"] == "mend"]


def test_the_operator_who_stands_idle_drives_while_another_combine_cuts(short: Wearlog, file_farm: SmallFarm) -> None:
    assert short("set", "time_zone", "UTC").code == 0
    at = ("--at", "2026-08-06 15:00")
    harvest(file_farm, at=datetime(2026, 8, 6, 10, tzinfo=UTC), hours=4.0)
    alone = ways(short, *at)
    assert alone["idle_operator_drives"] is False
    assert short("add", "combine", "South").code == 0
    with file_farm.store.reading() as connection:
        south = next(one for one in find_all(connection, Machine) if one.name == "South")
    began = datetime(2026, 8, 6, 10, tzinfo=UTC)
    run = Run(combine_id=south.id, started_at=began, ended_at=began + timedelta(hours=6), area_square_metres=160_000)
    with file_farm.store.writing() as connection:
        save(file_farm.store, connection, "cut by the other", new=[run])
    both = ways(short, *at)
    assert both["idle_operator_drives"] is True
    # there and back at 45 mph, and the counter
    for name, miles in (("Crossing Supply", 12), ("Far Barn", 90)):
        hours = 2 * miles / 45 + 0.25
        less = cost(way(alone, "supplier", name)) - cost(way(both, "supplier", name))
        assert less == pytest.approx(hours * 18.53, abs=0.02)
    assert "the operator of this one drives: his hours cost nothing" in " ".join(
        short("fetch", "north knife", *at).out.split()
    )
