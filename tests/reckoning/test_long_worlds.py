"""The short form of the long worlds: few farms, through the whole program; the long one is `tests.bench.long_worlds`."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from tests.long_worlds.farms import POSITIONS, draw_farm
from tests.long_worlds.judged import Share, figures, judge
from tests.long_worlds.log import NOW, write_log
from tests.long_worlds.worlds import SEASON, SEASONS, WORLDS, World
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear import farm_trends
from wearlog.reckoning.wear.kind_life import fleet_lives

_BY_NAME = {world.name: world for world in WORLDS}
_WHOLE, _UNLIKE, _STONES = "as the model", "machines differ by .6", "a stone takes neighbours"
_SOLD, _TWO = "machines .6, one sold half-way", "shorter each year, new number 1.6 x"


@cache
def _row(name: str) -> Mapping[str, Share]:
    """Two farms of 20 kinds: a share has a standard error of 3 to 5 in 100."""
    return figures([judge(_BY_NAME[name], number, kinds=20, rows=6) for number in range(2)])


def test_the_log_of_a_farm_holds_every_life_as_it_was(tmp_path: Path) -> None:
    farm = draw_farm(World("plain", sold=True), 1, kinds=2, rows=0)
    store = write_log(farm, tmp_path / "farm.db", 1)
    known = read_farm(store, NOW)
    store.close()
    lives = fleet_lives(known)
    for kind in farm.kinds:
        mine = lives.records.part_kind == [one.name for one in known.part_kinds].index(kind.name)
        failed = mine & (lives.records.ended_by == 1)
        assert failed.sum() == len(kind.breaks)
        # square metres are whole, and so are the seconds of what was entered
        running = np.sort(lives.records.exit[mine & ~failed])
        np.testing.assert_allclose(running, np.sort(kind.ran.ravel()), atol=SEASON / 1000)
        assert lives.records.exit[mine].sum() == pytest.approx(farm.land.watched.sum() * POSITIONS, rel=1e-5)


def test_a_share_of_the_breaks_is_not_entered_and_the_count_of_the_shelf_knows_it(tmp_path: Path) -> None:
    world = World("lost", missing=0.5, shelf=True)
    farm = draw_farm(world, 3, kinds=3, rows=1)
    store = write_log(farm, tmp_path / "farm.db", 3)
    known = read_farm(store, NOW)
    store.close()
    entered, true = known.histories.breakages.at.size, sum(len(kind.breaks) for kind in farm.kinds)
    assert 0.3 * true < entered < 0.7 * true


def test_where_the_world_is_as_the_model_the_answers_hold_what_they_say() -> None:
    row = _row(_WHOLE)
    for what in ("median", "chance", "count of wear", "count of pieces"):
        assert row[what].value > 0.9 - 3 * max(row[what].error, 0.03), (what, row[what])
    assert row["came / said"].value == pytest.approx(1.0, abs=3 * row["came / said"].error)
    assert row["plan's gain"].value > 0.75
    assert row["false hot window"].value <= 0.25  # of twelve: at most three
    assert 8 < row["failures a kind"].value < 25


def test_where_machines_differ_chances_hold_and_the_plan_still_gains() -> None:
    row = _row(_UNLIKE)
    assert row["chance"].value > 0.85 - 3 * row["chance"].error
    assert row["came / said"].value == pytest.approx(1.0, abs=0.10 + 3 * row["came / said"].error)
    assert row["plan's gain"].value > 0.75


@pytest.mark.parametrize("name", [_SOLD, _TWO])
def test_chances_hold_where_no_cure_was_made_for_the_world(name: str) -> None:
    """A machine sold in mid-season among machines that differ, and two departures at once."""
    row = _row(name)
    assert row["chance"].value > 0.85 - 3 * row["chance"].error
    assert row["came / said"].value == pytest.approx(1.0, abs=0.10 + 3 * row["came / said"].error)
    assert row["count of wear"].value > 0.86


def test_where_a_stone_takes_neighbours_the_count_of_pieces_holds_and_no_place_is_called_hot() -> None:
    row = _row(_STONES)
    assert row["count of pieces"].value > 0.86 - 3 * row["count of pieces"].error
    assert row["false hot window"].value <= 0.25


def test_lives_that_shorten_are_foretold_too_long_only_by_the_plain_model(monkeypatch: pytest.MonkeyPatch) -> None:
    """The judge sees what nothing is done about: without the slope of the years more comes than was said."""
    world = World("shorter and shorter", per_year=0.3)
    cured = figures([judge(world, 0, kinds=12, rows=0)])
    monkeypatch.setattr(farm_trends, "ASKED_YEARS", -1.0)
    plain = figures([judge(world, 0, kinds=12, rows=0)])
    assert plain["came / said"].value > 1.2
    assert plain["chance"].value < 0.6
    assert cured["came / said"].value < 1.2
    assert cured["chance"].value > 0.75


def test_two_farms_of_one_number_are_the_same_and_worlds_have_farms_of_their_own() -> None:
    one, again = (draw_farm(_BY_NAME[_WHOLE], 5, kinds=2, rows=1) for _ in range(2))
    assert one.kinds[0].breaks == again.kinds[0].breaks
    assert draw_farm(_BY_NAME[_UNLIKE], 5, kinds=2, rows=1).kinds[0].breaks != one.kinds[0].breaks
    assert len({kind.median for kind in one.kinds}) == 3
    assert SEASONS == 4
