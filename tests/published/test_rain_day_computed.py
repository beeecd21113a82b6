"""The rain-day list against every choice and every order of small lists, and the list that was worked out by hand."""

from __future__ import annotations

from itertools import combinations, permutations

import numpy as np
import pytest

from wearlog.plan.rain_day import Job, ShopSetUp, expected_saving, in_order, rain_day

KNIFE = frozenset({"header", "knife"})
JOBS = (
    Job("sections", 210, 30, KNIFE),
    Job("guards", 160, 60, KNIFE),
    Job("tines", 60, 40, frozenset({"header"})),
    Job("chain", 300, 150, frozenset({"feeder"})),
    Job("slats", 45, 20, frozenset({"feeder"})),
    Job("elevator", 180, 90, frozenset({"elevator"})),
)
SET_UPS = (ShopSetUp("header", 15), ShopSetUp("knife", 20), ShopSetUp("feeder", 40), ShopSetUp("elevator", 25))
MINUTES = {one.name: one.minutes for one in SET_UPS}


@pytest.mark.parametrize(
    ("minutes", "done", "saving"),
    [
        (120, {"sections", "tines"}, 270),
        (180, {"sections", "guards", "tines"}, 430),
        (240, {"sections", "guards", "elevator"}, 550),
        (300, {"sections", "guards", "elevator", "tines"}, 610),
    ],
)
def test_what_is_done_in_so_many_minutes(minutes: int, done: set[str], saving: int) -> None:
    found = rain_day(JOBS, SET_UPS, minutes)
    assert ({job.name for job in found.jobs}, found.saving_minor, found.proved) == (done, saving, True)
    assert found.minutes <= minutes


def test_the_order_for_a_rain_that_lasts_four_hours_on_the_mean() -> None:
    ordered, expected = in_order(JOBS, MINUTES, 240.0)
    assert [job.name for job in ordered] == ["sections", "guards", "tines", "elevator", "slats", "chain"]
    assert expected is not None
    assert round(expected, 2) == 391.30


def drawn(generator: np.random.Generator, jobs: int, sets: int) -> tuple[list[Job], list[ShopSetUp]]:
    set_ups = [ShopSetUp(f"g{place}", int(generator.integers(0, 50))) for place in range(sets)]
    found = []
    for place in range(jobs):
        needs = frozenset(f"g{one}" for one in generator.choice(sets, int(generator.integers(0, 3)), replace=False))
        takes = (("piece", int(generator.integers(0, 4))),)
        found.append(Job(f"j{place}", int(generator.integers(1, 400)), int(generator.integers(5, 150)), needs, takes))
    return found, set_ups


def test_the_choice_is_the_best_of_all() -> None:
    generator = np.random.default_rng(3)
    for _ in range(60):
        jobs, set_ups = drawn(generator, 8, 4)
        minutes, here, rate = (
            int(generator.integers(60, 500)),
            int(generator.integers(1, 12)),
            int(generator.integers(0, 60)),
        )
        best = 0.0
        for size in range(len(jobs) + 1):
            for some in combinations(jobs, size):
                opened = {name for job in some for name in job.set_ups}
                opening = sum(one.minutes for one in set_ups if one.name in opened)
                pieces = sum(job.takes[0][1] for job in some)
                if opening + sum(job.minutes for job in some) <= minutes and pieces <= here:
                    best = max(best, sum(job.saving_minor for job in some) - opening * rate / 60)
        found = rain_day(jobs, set_ups, minutes, on_hand={"piece": here}, minor_per_hour=rate)
        assert found.saving_minor == pytest.approx(best, abs=0.51)


def test_the_order_is_the_best_of_all() -> None:
    """Of 60 lists of five jobs, against all 120 orders."""
    generator = np.random.default_rng(4)
    for _ in range(60):
        jobs, set_ups = drawn(generator, 5, 3)
        minutes = {one.name: one.minutes for one in set_ups}
        mean = float(generator.uniform(60, 500))
        best = max(expected_saving(order, minutes, mean) for order in permutations(jobs))
        assert in_order(jobs, minutes, mean)[1] == pytest.approx(best)


def test_a_job_that_is_not_worth_opening_for_is_done_while_it_is_open() -> None:
    jobs = [Job("small", 5, 10, frozenset({"feeder"})), Job("large", 500, 60, frozenset({"feeder"}))]
    feeder = [ShopSetUp("feeder", 40)]
    assert rain_day(jobs[:1], feeder, 300, minor_per_hour=60).jobs == ()
    assert {job.name for job in rain_day(jobs, feeder, 300, minor_per_hour=60).jobs} == {"small", "large"}


def test_a_set_up_of_one_person_takes_the_time_of_both() -> None:
    job = [Job("chain", 300, 100, frozenset({"feeder"}))]
    assert rain_day(job, [ShopSetUp("feeder", 40)], 75, people=2).minutes == 140
    assert rain_day(job, [ShopSetUp("feeder", 40, alone=True)], 75, people=2).jobs == ()


def test_what_it_saves_on_the_mean_is_what_rains_of_chance_lengths_save() -> None:
    """20,000 rains of four hours on the mean: what was done before each stopped, added up."""
    ordered, expected = in_order(JOBS, MINUTES, 240.0)
    assert expected is not None
    clock, opened, ends = 0.0, set[str](), []
    for job in ordered:
        clock += job.minutes + sum(MINUTES[name] for name in job.set_ups - opened)
        opened |= job.set_ups
        ends.append(clock)
    rains = np.random.default_rng(7).exponential(240.0, 20_000)
    saved = (np.array(ends)[:, None] <= rains).T @ np.array([job.saving_minor for job in ordered])
    assert saved.mean() == pytest.approx(expected, abs=4 * saved.std() / np.sqrt(saved.size))
