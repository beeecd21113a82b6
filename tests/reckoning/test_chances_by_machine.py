"""Machines that wear a part each in its own way go each by its own life; where they are alike nothing is changed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.reckoning.test_kind_life import number_of
from wearlog.facts.departures import Departure
from wearlog.reckoning.wear.kind_life import FleetLives, kind_life, life_here
from wearlog.store.histories import NONE
from wearlog.wear.own_life import OwnLife

from tests.reckoning.test_kind_life import demo_lives  # noqa: F401  isort: skip


def spread_apart(lives: FleetLives, number: int) -> FleetLives:
    """The same records with the ages of a kind stretched machine by machine, by a third and back."""
    records = lives.records
    machines = np.unique(records.machine[records.part_kind == number])
    factor = np.ones(records.exit.size)
    for place, machine in enumerate(machines.tolist()):
        factor[(records.machine == machine) & (records.part_kind == number)] = (0.55, 1.8)[place % 2]
    stretched = {name: getattr(records, name) * factor for name in ("entry", "exit", "last_seen")}
    return replace(lives, records=replace(records, **stretched))


def test_machines_that_are_alike_go_by_the_one_life_of_the_kind(demo_lives: FleetLives) -> None:  # noqa: F811
    number = number_of(demo_lives.farm, "guard")
    fleet = kind_life(demo_lives, number)
    assert fleet.machines is None
    assert Departure.MACHINES not in fleet.beyond
    machine = int(demo_lives.records.machine[demo_lives.records.part_kind == number][0])
    here = life_here(demo_lives, number, machine)
    assert fleet.law_on(machine) is fleet.posterior
    assert here.median_life == fleet.median_life


def test_machines_that_differ_each_have_their_own_life_and_both_pages_say_it(demo_lives: FleetLives) -> None:  # noqa: F811
    number = number_of(demo_lives.farm, "guard")
    lives = spread_apart(demo_lives, number)
    fleet = kind_life(lives, number)
    assert fleet.machines is not None
    assert fleet.machines.fitted.differ > 0.95
    assert fleet.law is fleet.posterior  # the line of the fleet stays what it is
    shorter, longer = (fleet.law_on(one) for one in fleet.machines.numbers[:2])
    assert isinstance(shorter, OwnLife)
    assert isinstance(longer, OwnLife)
    assert shorter.ratio.high < 1 < longer.ratio.low
    here = life_here(lives, number, fleet.machines.numbers[0])
    assert here.median_life is not None
    assert here.median_life.median == pytest.approx(shorter.median_life().median)
    assert fleet.law_on(NONE) is fleet.posterior


def test_a_machine_that_carries_no_record_of_a_kind_goes_by_what_machines_are_like(demo_lives: FleetLives) -> None:  # noqa: F811
    lives = spread_apart(demo_lives, number := number_of(demo_lives.farm, "guard"))
    fleet = kind_life(lives, number)
    assert fleet.machines is not None
    assert fleet.posterior is not None
    unseen, pooled = fleet.machines.on(9999).median_life(), fleet.posterior.median_life()
    assert unseen.high / unseen.low > pooled.high / pooled.low
