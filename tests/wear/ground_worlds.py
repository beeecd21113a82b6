"""What chances and sums are worth on invented farms, reckoned as the program does and by the plain model beside it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.wear.farm_worlds import World, farm, split, split_by_years, together
from wearlog.errors import DataError
from wearlog.reckoning.wear.farm_trends import ASKED_YEARS, UNLIKE_YEARS
from wearlog.reckoning.wear.own_laws import ASKED_GROUND, UNLIKE_GROUND, looks_unlike
from wearlog.wear import Lives, fit_posterior
from wearlog.wear.machines import fit_machines
from wearlog.wear.own_life import OwnLife
from wearlog.wear.posterior import Posterior
from wearlog.wear.prior import Prior
from wearlog.wear.speed_evidence import SplitLives
from wearlog.wear.speeds import Speeds, at_pace, fit_speeds, ways_alike
from wearlog.wear.years import KindYears, YearSlopes, fit_years, years_alike


@dataclass(frozen=True)
class Worth:
    """Shares of 90 % chances that held the truth, failures that came over those said, and how often speeds were used."""

    held: float
    plain_held: float
    came_by_said: float
    plain_came_by_said: float
    used: float


def laws_of(lives: list[Lives], prior: Prior, pooled: Posterior) -> list[Posterior | OwnLife]:
    """The law of each machine, as the program takes it."""
    if pooled.failures >= 2 and looks_unlike(lives, pooled):
        return list(fit_machines(lives, prior, pooled).laws)
    return [pooled] * len(lives)


def speeds_of(given: SplitLives, prior: Prior, pooled: Posterior) -> Speeds | None:
    """The speeds of wear where the program goes by them."""
    try:
        if pooled.failures < 3 or ways_alike(given, pooled) > ASKED_GROUND:
            return None
        speeds = fit_speeds(given, prior, pooled)
    except DataError:
        return None
    return speeds if speeds.unlike <= UNLIKE_GROUND else None


def came_and_held(world: World, kinds: int, seed: int, prior: Prior) -> Worth:
    """Run kinds of part through a world and ask of every part now on whether it lasts the season to come."""
    rng = np.random.default_rng(seed)
    held: list[bool] = []
    plain_held: list[bool] = []
    came, said, used = 0.0, np.zeros(2), 0
    for _ in range(kinds):
        machines = farm(world, rng)
        lives = [one.lives for one in machines]
        pooled = fit_posterior(together(lives), prior)
        plain = laws_of(lives, prior, pooled)
        given = split(machines)
        speeds = speeds_of(given, prior, pooled)
        own = plain
        if speeds is not None:
            used += 1
            read = given.on_clock(speeds.mean)
            each = [read.take(given.machine == place) for place in range(len(machines))]
            own = laws_of(each, prior, fit_posterior(read, prior))
        for place, machine in enumerate(machines):
            law, ages = own[place], machine.ages
            if speeds is not None:
                ahead = machine.stony_share[-1:]
                law = at_pace(law, float(speeds.pace(ahead)), float(speeds.doubt(ahead)))
                ages = speeds.age(ages, machine.stony_now[:, None]) / float(speeds.pace(ahead))
            for which, (one, age) in enumerate(((law, ages), (plain[place], machine.ages))):
                chance = one.survival_between(age, age + world.season)
                right = ((chance.low <= machine.chance) & (machine.chance <= chance.high)).tolist()
                (held, plain_held)[which].extend(right)
                said[which] += (1 - chance.mean).sum()
            came += float((1 - machine.chance).sum())
    return Worth(float(np.mean(held)), float(np.mean(plain_held)), came / said[0], came / said[1], used / kinds)


def farms_by_years(world: World, farms: int, kinds: int, seed: int, prior: Prior) -> Worth:
    """Run farms of so many kinds each through a world, and reckon with the slope of each farm's years."""
    rng = np.random.default_rng(seed)
    offset = np.arange(-world.seasons, 0).astype(float)
    held: list[bool] = []
    plain_held: list[bool] = []
    came, said, used = 0.0, np.zeros(2), 0
    for _ in range(farms):
        all_kinds = [farm(world, rng) for _ in range(kinds)]
        given = [KindYears(split_by_years(machines), offset, prior) for machines in all_kinds]
        slopes: YearSlopes | None = None
        if years_alike(given) <= ASKED_YEARS:
            slopes = fit_years(given)
            slopes = slopes if slopes.unlike <= UNLIKE_YEARS else None
        used += slopes is not None
        for number, machines in enumerate(all_kinds):
            lives = [one.lives for one in machines]
            plain = laws_of(lives, prior, fit_posterior(together(lives), prior))
            own, split_so = plain, given[number][0]
            slope = 0.0
            if slopes is not None:
                slope = slopes.kinds[number].mean
                read = split_so.on_clock(slope * offset, as_usual=False)
                each = [read.take(split_so.machine == place) for place in range(len(machines))]
                doubt = slopes.kinds[number].sd * abs(float(split_so.shares() @ offset))
                own = [at_pace(one, 1.0, doubt) for one in laws_of(each, prior, fit_posterior(read, prior))]
            for place, machine in enumerate(machines):
                ages = machine.ages + machine.by_year[~machine.lives.event] @ np.expm1(slope * offset)
                for which, (law, age) in enumerate(((own[place], np.maximum(ages, 0.0)), (plain[place], machine.ages))):
                    chance = law.survival_between(age, age + world.season)
                    right = ((chance.low <= machine.chance) & (machine.chance <= chance.high)).tolist()
                    (held, plain_held)[which].extend(right)
                    said[which] += (1 - chance.mean).sum()
                came += float((1 - machine.chance).sum())
    return Worth(float(np.mean(held)), float(np.mean(plain_held)), came / said[0], came / said[1], used / farms)
