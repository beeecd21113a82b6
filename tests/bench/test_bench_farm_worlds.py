"""Farms that are not as the model says, the long form: what chances and sums are worth on 300 kinds of each world."""

from __future__ import annotations

import pytest

from tests.wear.farm_worlds import GUESS, World
from tests.wear.ground_worlds import came_and_held, farms_by_years
from wearlog.wear import starting_guess

pytestmark = pytest.mark.bench

KINDS = 300
WORLDS = (
    World("as the model"),
    World("machines differ, sd .3", machines_apart=0.3),
    World("machines differ, sd .6", machines_apart=0.6),
    World("an acre on stones counts 1.67", stony=0.51),
    World("the same, 45 failures a kind", stony=0.51, positions=12),
    World("stones, and machines that differ, sd .3", stony=0.51, machines_apart=0.3),
    World("stones, and a machine sold in mid-season", stony=0.51, sold_half_way=True),
)


@pytest.mark.parametrize("world", WORLDS, ids=lambda one: one.name)
def test_what_chances_are_worth(world: World, capsys: pytest.CaptureFixture[str]) -> None:
    found = came_and_held(world, KINDS, 2026, starting_guess(*GUESS))
    with capsys.disabled():
        print(
            f"\n{world.name}: 90 % chances hold {found.held:.3f} (plain model {found.plain_held:.3f}), came by said "
            f"{found.came_by_said:.2f} ({found.plain_came_by_said:.2f}), speeds of ground at work in {found.used:.2f}",
            end="",
        )
    assert found.held > 0.78
    assert 1 / 1.1 < found.came_by_said < 1.1


YEARS = (
    World("as the model"),
    World("lives 8 % shorter each year", per_year=0.083),
    World("8 % shorter, and machines that differ, sd .3", per_year=0.083, machines_apart=0.3),
    World("8 % shorter, and stones that nothing is said of", per_year=0.083, stony=0.51),
    World("8 % shorter, and a machine sold in mid-season", per_year=0.083, sold_half_way=True),
)


@pytest.mark.parametrize("world", YEARS, ids=lambda one: one.name)
def test_what_chances_are_worth_over_years(world: World, capsys: pytest.CaptureFixture[str]) -> None:
    found = farms_by_years(world, 10, 30, 2026, starting_guess(*GUESS))
    with capsys.disabled():
        print(
            f"\n{world.name}: 90 % chances hold {found.held:.3f} (plain model {found.plain_held:.3f}), came by said "
            f"{found.came_by_said:.2f} ({found.plain_came_by_said:.2f}), a slope at work in {found.used:.2f} of 10 farms",
            end="",
        )
    assert found.held > 0.7
    assert 1 / 1.1 < found.came_by_said < 1.1
