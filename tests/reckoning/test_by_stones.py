"""One stone that takes neighbours counts once, however its pieces were entered; where each takes one nothing is changed."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from tests.planned_season import plan
from tests.small_farm import AUGUST, SmallFarm, harvest
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Cause, Ground
from wearlog.facts.departures import Departure
from wearlog.logbook.farm.farm_setting import change_setting, current_settings, set_aside
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.plan.demand import impact_counts
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.plan.season_plan import season_plan
from wearlog.reckoning.wear.age_groups import outlook_basis
from wearlog.reckoning.wear.kind_view import hot_windows
from wearlog.reckoning.wear.wear_outlook import KindOutlook, kind_outlook

AUTUMN = AUGUST + timedelta(days=60)
KNIFE = "knife section"


def by_stones(farm: SmallFarm, *stones: tuple[int, ...], apart: bool = False) -> None:
    """Log stones an hour apart; `apart`: each piece as an entry of its own, a minute after the one before."""
    for hour, positions in enumerate(stones, 1):
        at = AUGUST + timedelta(minutes=30 * hour)
        for minute, broken in enumerate(((one,) for one in positions) if apart else (positions,)):
            entry = BreakageEntry(
                component_id=farm.knife.id, positions=broken, at=at + timedelta(minutes=minute), cause=Cause.IMPACT
            )
            log_breakage(farm.store, entry)


def knife_outlook(farm: SmallFarm) -> KindOutlook:
    known = read_farm(farm.store, AUTUMN)
    number = [one.name for one in known.part_kinds].index(KNIFE)
    with farm.store.reading() as connection:
        return kind_outlook(outlook_basis(connection, known), number)


@pytest.fixture
def planned(file_farm: SmallFarm) -> SmallFarm:
    harvest(file_farm, acres=500)
    plan(file_farm, 2027, (2000, Ground.STONY))
    return file_farm


@pytest.mark.parametrize("apart", [False, True])
def test_a_stone_counts_once_in_one_entry_or_in_several(planned: SmallFarm, apart: bool) -> None:
    by_stones(planned, (10, 11, 12), (40,), (70, 71), (100, 130), apart=apart)
    life = knife_outlook(planned).life
    assert life.stones is not None
    assert life.impacts is not None
    assert sum(life.stones.stones) == pytest.approx(5)  # 100 and 130 are no neighbours
    assert sum(life.impacts.breakages) == pytest.approx(8)
    assert life.stones.pieces.tolist() == [9, 3, 2, 0.5, 0.5]
    assert life.beyond == {Departure.STONES}


def test_where_every_stone_took_one_piece_nothing_is_changed(planned: SmallFarm) -> None:
    by_stones(planned, (10,), (40,), (70,), (100,))
    row = knife_outlook(planned)
    assert row.life.stones is None
    assert row.life.impacts is not None
    assert row.life.broken_by_stones is row.life.impacts
    area = np.array(row.components[0].area_by_ground)
    assert row.components[0].expected_impacts == pytest.approx(
        sum(rate.mean * part for rate, part in zip(row.life.impacts.rates, area, strict=True))
    )


def test_lots_make_the_count_to_come_wider_and_setting_them_aside_gives_the_plain_count_back(
    planned: SmallFarm,
) -> None:
    by_stones(planned, (10, 11, 12, 13), (40, 41, 42), (70, 71, 72, 73), (100, 101))
    lots = knife_outlook(planned).impact_counts()
    set_aside(planned.store, KNIFE, frozenset({Departure.STONES}))
    row = knife_outlook(planned)
    plain = row.impact_counts()
    assert lots is not None
    assert plain is not None
    assert row.life.stones is None
    assert lots.high - lots.low > plain.high - plain.low
    assert ("left out for knife section", "stones") in current_settings(planned.store)
    set_aside(planned.store, KNIFE, frozenset())
    assert knife_outlook(planned).impact_counts() == lots
    assert not any(key.startswith("left out for") for key, _ in current_settings(planned.store))


def test_the_spares_of_a_part_are_reckoned_in_lots(planned: SmallFarm) -> None:
    by_stones(planned, (10, 11, 12, 13), (40, 41, 42), (70, 71, 72, 73), (100, 101))
    with planned.store.reading() as connection:
        view = season_plan(connection, read_farm(planned.store, AUTUMN))
    (rates,) = next(one for one in view.needs if one.shelf.part.number == "KS-3").impacts
    row = next(one for one in view.outlook.kinds if one.life.kind.name == KNIFE)
    counts, said = impact_counts(rates), row.impact_counts()
    assert said is not None
    assert counts @ np.arange(counts.size) == pytest.approx(said.mean, rel=1e-4)
    assert counts @ np.arange(counts.size) == pytest.approx(row.components[0].expected_impacts, rel=1e-4)
    single = impact_counts(type(rates)(rates.shape, rates.rate, rates.exposure))
    assert counts[0] == pytest.approx(single[0], rel=1e-6)  # no stone, no piece


def test_four_pieces_of_one_stone_entered_one_by_one_are_no_four_hits(planned: SmallFarm) -> None:
    by_stones(planned, (20, 21, 22, 23), (60,), (90,), (120,), apart=True)
    (place,) = hot_windows(read_farm(planned.store, AUTUMN))
    assert place.hits == 4
    assert not place.is_hot


def test_a_word_that_is_no_departure_is_refused(file_farm: SmallFarm) -> None:
    with pytest.raises(RefusedError, match="'rocks' is nothing"):
        change_setting(file_farm.store, "left out for guard", "rocks")
