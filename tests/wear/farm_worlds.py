"""Invented farms that are not as the model says: machines that differ, ground that grinds, years that change. Seeded; no real farm.

A machine cuts the same area each season, on its own mix of clean and stony ground. Its parts wear on a clock of their own, which
runs faster on stony ground and in later years; what is recorded is plain area.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wearlog.wear.lives import Lives
from wearlog.wear.speed_evidence import SplitLives

SPREAD = 1.2815515655446004
GUESS = ((1500.0, 6000.0), (1.5, 4.0))


@dataclass(frozen=True)
class World:
    """How a farm departs from the model: sd of machines' ln(life), ln(speed) of wear on stony ground, ln(speed) more each year."""

    name: str
    machines_apart: float = 0.0
    stony: float = 0.0
    per_year: float = 0.0
    machines: int = 4
    positions: int = 4
    seasons: int = 4
    season: float = 1200.0
    sold_half_way: bool = False


@dataclass(frozen=True)
class Machine:
    """One machine: its lives as they are recorded, and what is true of it.

    Attributes
    ----------
    median : float
        Its own median life on clean ground in the first year.
    ages, ran : arrays of shape (positions,)
        Recorded age of each part now on, and what its wear clock shows.
    chance : array of shape (positions,)
        True chance of each to last the season to come.
    by_season, stony_share : arrays
        Area cut in each season, and the share of it that was stony; one more for the season to come.
    stony, on_stones : arrays of shape (lives,)
        How much of each life was run on stony ground, and whether it ended there.
    stony_now : array of shape (positions,)
        The same of the parts now on.
    by_year : array of shape (lives, seasons)
        How much of each life was run in each season.
    ended_in : array of shape (lives,)
        In which season it ended.
    """

    lives: Lives
    median: float
    ages: np.ndarray
    ran: np.ndarray
    chance: np.ndarray
    by_season: np.ndarray
    stony_share: np.ndarray
    fitted_at: np.ndarray
    stony: np.ndarray
    on_stones: np.ndarray
    stony_now: np.ndarray
    by_year: np.ndarray
    ended_in: np.ndarray


def law_of_kind(rng: np.random.Generator) -> tuple[float, float]:
    """Draw shape and median life from the guess itself."""
    (low, high), (flat, steep) = GUESS
    median = math.exp(math.log(low * high) / 2 + rng.standard_normal() * math.log(high / low) / (2 * SPREAD))
    shape = math.exp(math.log(flat * steep) / 2 + rng.standard_normal() * math.log(steep / flat) / (2 * SPREAD))
    return shape, median


def farm(world: World, rng: np.random.Generator) -> list[Machine]:
    """Run one kind of part on the machines of a farm."""
    shape, median = law_of_kind(rng)
    apart = rng.standard_normal(world.machines) * world.machines_apart
    return [_machine(world, rng, shape, median * math.exp(u), n) for n, u in enumerate(apart)]


def _machine(world: World, rng: np.random.Generator, shape: float, median: float, number: int) -> Machine:
    scale = median / math.log(2) ** (1 / shape)
    share = rng.uniform(0, 1, world.seasons + 1)
    # fields of both grounds follow each other all through a season: an acre on stones counts exp(stony) acres
    ground = 1 + math.expm1(world.stony) * share
    speed = ground * np.exp(world.per_year * np.arange(world.seasons + 1))
    watched = world.seasons - (1.5 if world.sold_half_way and number == 0 else 0.0)
    edges = np.minimum(np.arange(world.seasons + 1), watched) * world.season
    clock = np.concatenate([[0.0], np.cumsum(np.diff(edges) * speed[:-1])])
    exits, failed, fitted, ages, ran = [], [], [], [], []
    for _ in range(world.positions):
        begun = 0.0
        while (ends := begun + scale * rng.weibull(shape)) < clock[-1]:
            exits.append(float(np.interp(ends, clock, edges) - np.interp(begun, clock, edges)))
            failed.append(True)
            fitted.append(float(np.interp(begun, clock, edges)))
            begun = ends
        fitted.append(float(np.interp(begun, clock, edges)))
        exits.append(float(edges[-1]) - fitted[-1])
        failed.append(False)
        ages.append(exits[-1])
        ran.append(float(clock[-1]) - begun)
    now = np.array(ran)
    chance = np.exp((now / scale) ** shape - ((now + world.season * speed[-1]) / scale) ** shape)
    by_season = np.append(np.diff(edges), world.season)
    lives = Lives.of(exits, failed)
    begun_at, ended_at = np.array(fitted), np.array(fitted) + np.array(exits)
    stones = np.concatenate([[0.0], np.cumsum(np.diff(edges) * share[:-1])])
    stony = np.interp(ended_at, edges, stones) - np.interp(begun_at, edges, stones)
    season = np.clip(np.searchsorted(edges, ended_at) - 1, 0, world.seasons - 1)
    on_stones = np.zeros(len(exits), dtype=bool)
    if world.stony:
        # what ends a life is met where wear runs
        on_stones = rng.uniform(size=len(exits)) < share[season] * math.exp(world.stony) / ground[season]
    else:
        # a stream of its own, so that worlds without stones stay draw for draw what they were
        on_stones = np.random.default_rng([number, len(exits)]).uniform(size=len(exits)) < share[season]
    on_stones &= np.array(failed)
    inside = np.minimum(ended_at[:, None], edges[1:]) - np.maximum(begun_at[:, None], edges[:-1])
    return Machine(
        lives,
        median,
        np.array(ages),
        now,
        chance,
        by_season,
        share,
        begun_at,
        stony,
        on_stones,
        stony[~lives.event],
        np.maximum(inside, 0.0),
        season,
    )


def split(machines: list[Machine]) -> SplitLives:
    """Lay the lives of all machines together, their usage split by ground."""
    lives = Lives.joined([one.lives for one in machines])
    stony = np.concatenate([one.stony for one in machines])[:, None]
    number = np.repeat(np.arange(len(machines)), [len(one.lives) for one in machines])
    ended = np.concatenate([one.on_stones for one in machines])[:, None].astype(float)
    return SplitLives(lives, number, np.zeros_like(stony), stony, stony, ended)


def split_by_years(machines: list[Machine]) -> SplitLives:
    """Lay the lives of all machines together, their usage split by season."""
    lives = Lives.joined([one.lives for one in machines])
    parts = np.concatenate([one.by_year for one in machines])
    number = np.repeat(np.arange(len(machines)), [len(one.lives) for one in machines])
    ended_in = np.concatenate([one.ended_in for one in machines])
    ended = (ended_in[:, None] == np.arange(parts.shape[1])) & lives.event[:, None]
    return SplitLives(lives, number, np.zeros_like(parts), parts, parts, ended.astype(float))


def together(lives: list[Lives]) -> Lives:
    """Lay the lives of all machines together, as if machines were alike."""
    return Lives.of(np.concatenate([one.exit for one in lives]), np.concatenate([one.event for one in lives]))
