"""Components and fittings: one call fits a whole knife, planned work changes what is named."""

from __future__ import annotations

import pytest

from tests.small_farm import AUGUST, MAY, SmallFarm, small_farm
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Removal, RepairKind, StockChange
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Component, Fitting, Repair
from wearlog.logbook.files.importing import everything
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.fitting import Put, add_component, refit, take_off
from wearlog.logbook.parts.stocking import on_hand
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.journal import deed_lines
from wearlog.store.opening import Store


def fittings(farm: SmallFarm) -> list[Fitting]:
    with farm.store.reading() as connection:
        return find_all(connection, Fitting, component_id=farm.knife.id)


def test_one_call_fits_all_160_positions_of_a_knife_as_one_deed(store: Store) -> None:
    farm = small_farm(store)
    found = fittings(farm)
    assert [one.position for one in found] == list(range(1, 161))
    assert {(one.fitted_at, one.age_when_fitted_usage, one.removed_at) for one in found} == {(MAY, 0, None)}
    with farm.store.reading() as connection:
        rows = {line.deed.said: line.rows for line in deed_lines(connection, limit=20)}
    assert rows["added North, knife section with 160 positions"] == 161


def test_a_second_component_of_the_same_place_is_refused(farm: SmallFarm) -> None:
    again = Component(machine_id=farm.header.id, part_kind_id=farm.knife.part_kind_id, place="knife", positions=160)
    with pytest.raises(RefusedError, match="knife"):
        add_component(farm.store, again)


def test_planned_work_ends_the_old_parts_as_planned(farm: SmallFarm) -> None:
    refit(farm.store, farm.knife, (1, 2), at=AUGUST)
    ended = [one for one in fittings(farm) if one.removed_at]
    assert [(one.position, one.removed_at, one.removal) for one in ended] == [
        (1, AUGUST, Removal.PLANNED),
        (2, AUGUST, Removal.PLANNED),
    ]
    assert len(fittings(farm)) == 162


def test_naming_no_position_means_all_of_them(farm: SmallFarm) -> None:
    done = refit(farm.store, farm.knife, at=AUGUST)
    assert done.said == "fitted North, knife sections, all 160: new parts, 1 Aug 2026 09:00"
    assert sum(one.removed_at is None for one in fittings(farm)) == 160


def test_an_unknown_age_is_kept_as_unknown(farm: SmallFarm) -> None:
    refit(farm.store, farm.chain, at=AUGUST, put=Put(age_usage=None))
    with farm.store.reading() as connection:
        new = next(one for one in find_all(connection, Fitting, component_id=farm.chain.id) if one.removed_at is None)
    assert new.age_when_fitted_usage is None


def test_taking_off_leaves_the_position_empty_and_nothing_can_be_taken_off_twice(farm: SmallFarm) -> None:
    take_off(farm.store, farm.knife, (7,), at=AUGUST, removal=Removal.SCRAPPED)
    assert [one.removal for one in fittings(farm) if one.position == 7] == [Removal.SCRAPPED]
    with pytest.raises(RefusedError, match="Nothing is fitted at North, knife section 7"):
        take_off(farm.store, farm.knife, (7,), at=AUGUST, removal=Removal.SCRAPPED)


def test_undo_of_planned_work_brings_the_old_parts_back(farm: SmallFarm) -> None:
    before = everything(farm.store)
    refit(farm.store, farm.knife, at=AUGUST)
    undo(farm.store)
    assert everything(farm.store) == before


def stock(farm: SmallFarm) -> int:
    with farm.store.reading() as connection:
        return on_hand(find_in_order(connection, StockMove, "at", part_id=farm.section_part.id))


def test_new_parts_of_planned_work_come_off_the_shelf_and_belong_to_a_planned_repair(farm: SmallFarm) -> None:
    done = refit(farm.store, farm.knife, (1, 2, 3), at=AUGUST, put=Put(labour_seconds=1800))
    assert (stock(farm), done.also) == (47, ("KS-3: 3 used, 47 left",))
    with farm.store.reading() as connection:
        (work,) = find_all(connection, Repair)
        (move,) = find_all(connection, StockMove, change=StockChange.USED)
    assert (work.kind, work.labour_seconds, work.component_id) == (RepairKind.PLANNED, 1800, farm.knife.id)
    assert (move.quantity, move.repair_id, move.breakage_id) == (3, work.id, None)
    undo(farm.store)
    assert stock(farm) == 50


def test_used_parts_and_parts_from_elsewhere_leave_the_shelf_alone(farm: SmallFarm) -> None:
    refit(farm.store, farm.knife, (1,), at=AUGUST, put=Put(age_usage=4_000_000))
    refit(farm.store, farm.knife, (2,), at=AUGUST, put=Put(off_shelf=False))
    assert stock(farm) == 50
    with farm.store.reading() as connection:
        assert find_all(connection, Repair) == []


def test_more_put_on_than_the_log_knew_of_is_told(farm: SmallFarm) -> None:
    done = refit(farm.store, farm.knife, at=AUGUST)
    assert done.also == ("KS-3: 160 used but the log knew of 50 only; count them",)
