"""The sums of one decision each, in milliseconds of processor: what is measured of them in the table of speed."""

from __future__ import annotations

import shutil
import statistics
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from wearlog.facts.parts import Supplier, Supply
from wearlog.harvest.loss_growth import check_worth, loss_growth
from wearlog.logbook.open_log import opened
from wearlog.logbook.saving import save
from wearlog.plan.rain_day import Job, ShopSetUp, in_order, rain_day
from wearlog.plan.residual_life import AgedPart
from wearlog.plan.run_or_stop import FailureCost, MendFirst, Opportunity, weigh_opportunities
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.plan.fetch_part import fetch_part
from wearlog.reckoning.wear.age_groups import condensed
from wearlog.wear.left_running import LeftRunning
from wearlog.wear.lives import Lives
from wearlog.wear.part_lives import part_lives
from wearlog.wear.posterior import fit_posterior
from wearlog.wear.prior import starting_guess

_GUESS = starting_guess((1000.0, 4000.0), (1.5, 4.0))
_NOON = datetime(2026, 8, 20, 17, tzinfo=UTC)


def milliseconds(work: Callable[[], object], rounds: int = 9) -> float:
    """The median of so many rounds; one before them warms up."""
    work()
    times = []
    for _ in range(rounds):
        begun = time.process_time()
        work()
        times.append(time.process_time() - begun)
    return statistics.median(times) * 1e3


def _lives(parts: int, count: int, grounds: int) -> tuple[Lives, np.ndarray, np.ndarray]:  # type: ignore[type-arg]
    rng = np.random.default_rng(5)
    part, ground = rng.integers(0, parts, count), rng.integers(0, grounds, count)
    life = 2000.0 / np.log(2) ** (1 / 2.4) * rng.weibull(2.4, count)
    watched = rng.uniform(800, 4000, count)
    return Lives.of(np.minimum(life, watched), life < watched), part.astype(np.int64), ground.astype(np.int64)


def stopping() -> float:
    """Eight ways and mending first, of an old part."""
    lives, _, _ = _lives(1, 31, 1)
    nodes = condensed(fit_posterior(lives, _GUESS))
    ways = [Opportunity(150.0 * place, 100.0) for place in range(8)]
    failure = FailureCost(lambda usage: 200.0 + 0.01 * usage, tuple(np.linspace(0, 20, 8).tolist()))
    mend = MendFirst(25.0, LeftRunning(1.7, 900.0), ways[1:])
    return milliseconds(lambda: weigh_opportunities(AgedPart(nodes, 1500.0), ways, failure, gain=0.05, mend=mend))


def comparing(parts: int, count: int, grounds: int) -> Callable[[], float]:
    """Lives by part number and ground."""
    lives, part, ground = _lives(parts, count, grounds)
    return lambda: milliseconds(lambda: part_lives(lives, part, ground, _GUESS), 5)


def _checks(count: int, crops: int = 4) -> tuple[np.ndarray, np.ndarray, np.ndarray]:  # type: ignore[type-arg]
    rng = np.random.default_rng(3)
    age, crop = rng.uniform(0, 1.5, count), rng.integers(0, crops, count)
    return age, np.exp(0.7 * age + rng.normal(0, 0.35, count)), crop.astype(np.int64)


def growing() -> float:
    """How loss grows by 200 checks."""
    return milliseconds(lambda: loss_growth(*_checks(200), 4))


def checking(checks: int = 200, crops: int = 4) -> float:
    """What one more check is worth."""
    belief = loss_growth(*_checks(checks, crops), crops)
    return milliseconds(lambda: check_worth(belief, [0], np.array([5770.0]), 0.9, 0.2, 5000.0, 0))


def raining(minutes: int = 480) -> float:
    """120 jobs with 25 openings, chosen and put in order."""
    rng = np.random.default_rng(3)
    set_ups = [ShopSetUp(f"g{place}", int(rng.integers(5, 50))) for place in range(25)]
    jobs = [
        Job(f"j{place}", int(rng.integers(1, 400)), int(rng.integers(5, 150)), frozenset({f"g{rng.integers(25)}"}))
        for place in range(120)
    ]
    opening = {one.name: one.minutes for one in set_ups}

    def work() -> None:
        found = rain_day(jobs, set_ups, minutes)
        in_order(found.jobs, opening, 240.0)

    return milliseconds(work, 5)


def fetching(log: Path) -> float:
    """What 50 suppliers add to the ways to one part, the rows read."""
    file, without = log.with_name("fetching.db"), log.with_name("fetching_none.db")
    shutil.copyfile(log, file)
    shutil.copyfile(log, without)
    with opened(str(file)) as store, opened(str(without)) as bare:
        with bare.reading() as connection, store.reading() as same:
            farms = farm_from(connection, _NOON), farm_from(same, _NOON)
            component = next(one for one in farms[0].components if one.place == "knife head")
            part = fetch_part(connection, farms[0], component).part
        assert part is not None
        several = [Supplier(name=f"Place {number}", distance_metres=10_000 + 1000 * number) for number in range(50)]
        with store.writing() as connection:
            rows = [*several, *(Supply(supplier_id=one.id, part_id=part.part.id, price_minor=4000) for one in several)]
            save(store, connection, "fifty", new=rows)
        with bare.reading() as connection, store.reading() as many:
            asked = (connection, farm_from(connection, _NOON)), (many, farm_from(many, _NOON))
            # in turns: what else the machine does slows both
            turns = [[milliseconds(lambda: fetch_part(*one, component), 3) for one in asked] for _ in range(9)]  # noqa: B023
    return statistics.median(more - less for less, more in turns)
