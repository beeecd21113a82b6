"""Places where parts failed far earlier than their kind lives, and what explains that best."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.errors import DataError
from wearlog.facts.parts import Part, PartKind
from wearlog.facts.positions import place_said
from wearlog.facts.wearing import Component, Fitting
from wearlog.plan.life_nodes import median_life
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.age_groups import condensed
from wearlog.reckoning.wear.guessed_kinds import guess_of
from wearlog.reckoning.wear.kind_life import FleetLives, fleet_lives, kind_life
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import Floats
from wearlog.store.schema.types import microseconds
from wearlog.wear.early import EarlyLaw, early_causes, fails_within, of_all_places, too_early
from wearlog.wear.lives import Lives
from wearlog.wear.posterior import fit_posterior
from wearlog.wear.prior import Prior

#: a failure by which so many of its kind have failed is no early one
_EARLY: Final = 0.1
#: a place this rare by itself is weighed; told is what is rare among all places, or has a cause that is likely
_WEIGHED: Final = 0.05
_RARE, _LIKELY, _SURE = 0.25, 0.5, 0.8
_WEAR: Final = 1


@dataclass(frozen=True, slots=True)
class EarlyPlace:
    """One place whose parts failed early.

    Attributes
    ----------
    ages : tuple of float
        At failure, in the order of time, on the kind's meter.
    median : float
        The usual life of the kind without these failures.
    chance, of_all : float
        That parts of this law fail so soon one after the other here, and at one at least of all places of the kind.
    upstream, last_bad : float
        That something at the place eats them; that the last one was bad.
    batch : tuple of str
        Other places at which a part of the same number was likely bad.
    """

    component: Component
    kind: PartKind
    position: int
    ages: tuple[float, ...]
    median: float
    chance: float
    of_all: float
    upstream: float
    last_bad: float
    part: Part | None
    batch: tuple[str, ...] = ()

    @property
    def is_told(self) -> bool:
        """Whether it is more than the earliest of many: at 160 places two fail so soon by chance."""
        return self.of_all < _RARE or self.upstream >= _SURE


def early_failures(connection: Connection, farm: Farm) -> tuple[EarlyPlace, ...]:
    """Return the places whose parts failed far too early, the rarest first.

    A kind's life is taken without the failures of the place that is looked at, so that they do not excuse themselves.
    """
    lives = fleet_lives(farm)
    parts = {one.id: one for one in find_all(connection, Part)}
    noted = {
        (one.component_id, one.position, microseconds(one.fitted_at)): parts[one.part_id]
        for one in find_all(connection, Fitting)
        if one.part_id in parts
    }
    found: list[EarlyPlace] = []
    for number in lives.kinds():
        found += _of_kind(farm, lives, number, noted)
    return tuple(sorted(_with_batches(farm, [one for one in found if one.is_told]), key=lambda one: one.chance))


def _of_kind(farm: Farm, lives: FleetLives, number: int, noted: dict[tuple[UUID, int, int], Part]) -> list[EarlyPlace]:
    records, fittings = lives.records, farm.histories.fittings
    kind = farm.part_kinds[number]
    pace = _pace(lives, number)
    own = pace[records.machine]
    # a machine that wears all of its parts out sooner has no early ones: ages are taken as on a machine in the middle
    records = replace(records, entry=records.entry / own, exit=records.exit / own, last_seen=records.last_seen / own)
    mine = records.part_kind == number
    failed = np.flatnonzero(mine & (records.ended_by == _WEAR) & (records.exit > records.entry))
    if not failed.size:
        return []
    guess = guess_of(kind)
    places: dict[tuple[int, int], list[int]] = defaultdict(list)
    for row in failed.tolist():
        fitting = int(records.fitting[row])
        places[int(fittings.component[fitting]), int(fittings.position[fitting])].append(row)
    looked_at = np.unique(
        fittings.component[records.fitting[mine]] * 100_000 + fittings.position[records.fitting[mine]]
    )
    # what the life of all calls early by far is looked at again without its own place
    usual = _law_of(records.of_wear(mine), guess)
    found = []
    for (component, position), rows in places.items():
        if usual is not None and min(fails_within(usual, float(age)) for age in records.exit[rows]) >= 2 * _EARLY:
            continue
        rows.sort(key=lambda row: int(fittings.fitted_at[records.fitting[row]]))
        others = mine.copy()
        others[rows] = False
        seen = records.of_wear(others)
        law = _law_of(seen, guess)
        if law is None:
            continue
        ages = records.exit[rows]
        if min(fails_within(law, float(age)) for age in ages) >= _EARLY:
            continue
        chance = too_early(law, ages)
        if chance >= _WEIGHED:
            continue
        causes = early_causes(law, ages)
        last = int(records.fitting[rows[-1]])
        where = farm.components[component]
        found.append(
            EarlyPlace(
                component=where,
                kind=kind,
                position=position,
                ages=tuple(float(age) for age in lives.records.exit[rows]),
                median=float(np.exp(law.weight @ np.log(law.median)) * own[rows[0]]),
                chance=chance,
                of_all=of_all_places(chance, int(looked_at.size)),
                upstream=causes.upstream,
                last_bad=causes.last_bad,
                part=noted.get((where.id, position, int(fittings.fitted_at[last]))),
            )
        )
    return found


def _pace(lives: FleetLives, number: int) -> Floats:
    """Return the life on each machine as so many times that in the middle, and 1 behind them for no machine."""
    pace = np.ones(len(lives.farm.machines) + 1)
    machines = kind_life(lives, number).machines
    if machines is not None:
        for place, law in zip(machines.numbers, machines.fitted.laws, strict=True):
            pace[place] = law.ratio.median
    return pace


def _law_of(lives: Lives, guess: Prior) -> EarlyLaw | None:
    if not guess.knows_life and not lives.failures:
        return None
    try:
        nodes = condensed(fit_posterior(lives, guess))
    except DataError:
        return None
    return EarlyLaw(median_life(nodes), nodes.shape, nodes.weight)


def _with_batches(farm: Farm, found: list[EarlyPlace]) -> list[EarlyPlace]:
    names = {one.id: one.name for one in farm.machines}
    out = []
    for one in found:
        others = [
            place_said(
                names[other.component.machine_id], other.component.place, other.component.positions, [other.position]
            )
            for other in found
            if one.part is not None
            and min(one.last_bad, other.last_bad) >= _LIKELY
            and other.part is not None
            and other.part.id == one.part.id
            and (other.component.id, other.position) != (one.component.id, one.position)
        ]
        out.append(replace(one, batch=tuple(others)))
    return out
