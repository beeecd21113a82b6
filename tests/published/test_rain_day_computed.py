"""The rain-day list against every choice and every order of small lists, and the list that was worked out by hand."""

from __future__ import annotations

from itertools import combinations, permutations

import numpy as np
import pytest

from wearlog.plan.rain_choice import RainChoices, saves_most
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
    """Of 200 lists of ten jobs, against all 1,024 choices."""
    generator = np.random.default_rng(3)
    chosen = (np.arange(1024)[:, None] >> np.arange(10)) & 1
    for _ in range(200):
        jobs, set_ups = drawn(generator, 10, 4)
        minutes, here, rate = (
            int(generator.integers(60, 500)),
            int(generator.integers(1, 12)),
            int(generator.integers(0, 60)),
        )
        needs = np.array([[one.name in job.set_ups for one in set_ups] for job in jobs])
        opening = ((chosen @ needs) > 0) @ np.array([one.minutes for one in set_ups])
        fits = opening + chosen @ np.array([job.minutes for job in jobs]) <= minutes
        fits &= chosen @ np.array([job.takes[0][1] for job in jobs]) <= here
        saved = chosen @ np.array([job.saving_minor for job in jobs]) - opening * rate / 60
        found = rain_day(jobs, set_ups, minutes, on_hand={"piece": here}, minor_per_hour=rate)
        assert found.proved
        assert found.saving_minor == pytest.approx(float(saved[fits].max()), abs=0.51)


def test_the_solver_finds_what_going_through_the_minutes_finds(monkeypatch: pytest.MonkeyPatch) -> None:
    """120 jobs, 25 openings, some jobs behind two of them: minute by minute, and as a 0/1 programme."""
    generator = np.random.default_rng(5)
    set_ups = [ShopSetUp(f"g{place}", int(generator.integers(5, 50))) for place in range(25)]
    jobs = [
        Job(f"j{place}", int(generator.integers(1, 400)), int(generator.integers(5, 150)), frozenset(needs))
        for place in range(120)
        for needs in [{f"g{generator.integers(25)}"} | ({"g0"} if place % 20 == 0 else set())]
    ]
    by_minutes = [rain_day(jobs, set_ups, minutes, minor_per_hour=40) for minutes in (90, 480)]
    monkeypatch.setattr("wearlog.plan.rain_day.saves_most", lambda *_: None)
    solved = [rain_day(jobs, set_ups, minutes, minor_per_hour=40) for minutes in (90, 480)]
    for one, other in zip(by_minutes, solved, strict=True):
        assert one.proved
        assert abs(one.saving_minor - other.saving_minor) <= 1
        assert one.saving_minor >= other.saving_minor - 1


def test_more_than_can_be_gone_through_is_left_to_the_solver() -> None:
    """Twelve openings that jobs join in pairs have thousands of unions."""
    names = [f"g{place}" for place in range(14)]
    pairs = [frozenset(pair) for pair in combinations(range(14), 2)]
    choices = RainChoices(
        saving=(1,) * len(pairs),
        minutes=(10,) * len(pairs),
        needs=tuple(pairs),
        opening_cost=(0,) * 14,
        opening_minutes=(5,) * 14,
    )
    assert saves_most(choices, 100) is None
    jobs = [Job(f"j{place}", 10, 10, frozenset(names[one] for one in pair)) for place, pair in enumerate(pairs)]
    found = rain_day(jobs, [ShopSetUp(name, 5) for name in names], 60)
    # four openings let six jobs in, but 20 + 60 minutes are too long: three with three jobs take 45, four with four 60
    assert found.saving_minor == 40


def test_the_order_is_the_best_of_all() -> None:
    """Of 150 lists of six jobs, against all 720 orders."""
    generator = np.random.default_rng(4)
    orders = np.array(list(permutations(range(6))))
    plainly = []
    for _ in range(150):
        jobs, set_ups = drawn(generator, 6, 3)
        minutes = {one.name: one.minutes for one in set_ups}
        mean = float(generator.uniform(60, 500))
        own, saving = (np.array([getattr(job, name) for job in jobs]) for name in ("minutes", "saving_minor"))
        spent = own[orders].astype(float)
        for one in set_ups:
            needs = np.array([one.name in job.set_ups for job in jobs])
            if needs.any():
                spent[np.arange(720), needs[orders].argmax(axis=1)] += one.minutes
        saved = (saving[orders] * np.exp(-spent.cumsum(axis=1) / mean)).sum(axis=1)
        assert in_order(jobs, minutes, mean)[1] == pytest.approx(float(saved.max()))
        by_hour = sorted(jobs, key=lambda job: -job.saving_minor / job.minutes)
        plainly.append(expected_saving(by_hour, minutes, mean) / float(saved.max()))
    # who goes by what a job saves an hour loses some two per cent
    assert 0.97 < float(np.mean(plainly)) < 0.99


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
