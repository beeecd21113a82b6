"""What the program says of a farm of a world, through its whole reckoning, against what is true of it."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import numpy as np
from scipy.optimize import brentq

from tests.long_worlds.farms import Farm, Floats, Kind, draw_farm
from tests.long_worlds.log import NOW, is_here, write_log
from tests.long_worlds.worlds import NEIGHBOURS, SEASON, World
from wearlog.plan.age_table import Seasons
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.positions import decide_positions
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.season_plan import SeasonPlanView, season_plan
from wearlog.reckoning.plan.weighed_lines import DISCOUNT
from wearlog.reckoning.wear.kind_view import hot_windows
from wearlog.reckoning.wear.records_alone import break_counts
from wearlog.reckoning.wear.wear_outlook import KindOutlook
from wearlog.store.connection import Connection

#: what comes is drawn so often for each farm, so that the share of came and said scatters by the farms alone
_DRAWS: Final = 40


@dataclass(slots=True)
class Judged:
    """One kind: how often each statement held, of how many; sums of what came and was said, of what the plan gains.

    Attributes
    ----------
    held : dict of list of float
        By statement: the share of times that it held, 0 to 1, in this kind.
    came, said : float
        Failures of the season to come, successors counted.
    gain, best : float
        What the plan's choice truly saves against running all, and what the best choice saves, in minor units.
    failures : int
        Entered failures by wear.
    """

    held: dict[str, list[float]] = field(default_factory=dict)
    came: float = 0.0
    said: float = 0.0
    gain: float = 0.0
    best: float = 0.0
    failures: float = 0.0

    def note(self, what: str, share: float | np.bool_) -> None:
        """Write down whether a statement held, or at which share of the draws."""
        self.held.setdefault(what, []).append(float(share))


#: the statements in the order of the table
STATEMENTS: Final = ("median", "own median", "chance", "count of wear", "count of pieces", "false hot window")


def judge(world: World, number: int, kinds: int, rows: int) -> list[Judged]:
    """Draw a farm, write its log, reckon as the program does, and hold every answer against the truth."""
    farm = draw_farm(world, number, kinds, rows)
    with TemporaryDirectory() as folder:
        store = write_log(farm, Path(folder) / "farm.db", number)
        try:
            known = read_farm(store, NOW)
            with store.reading() as connection:
                view = season_plan(connection, known)
                return _judged(farm, view, connection, np.random.default_rng([3, number]))
        finally:
            store.close()


def _judged(farm: Farm, view: SeasonPlanView, connection: Connection, rng: np.random.Generator) -> list[Judged]:
    by_kind = {one.life.kind.name: one for one in view.outlook.kinds}
    numbers = {one.name: place for place, one in enumerate(view.farm.part_kinds)}
    lines: dict[str, list[int]] = defaultdict(list)
    for place, line in enumerate(view.lines):
        lines[line.kind.name].append(place)
    found = []
    for kind in farm.kinds:
        row, judged = by_kind[kind.name], Judged()
        singly, whole = _to_come(farm, kind, rng)
        judged.said, judged.came = row.failures, float(whole.mean())
        counts = break_counts(row)
        if counts is not None:
            what = "count of pieces" if kind.is_row else "count of wear"
            judged.note(what, float(np.mean((counts.low <= singly) & (singly <= counts.high))))
        if kind.is_row:
            hot = hot_windows(view.farm, numbers[kind.name])
            judged.note("false hot window", any(one.is_hot for one in hot))
        else:
            judged.failures = row.life.lives.failures
            _lives(farm, kind, row, view, judged)
            _plan(farm, kind, [view.lines[place] for place in lines[kind.name]], view, lines[kind.name], judged)
        found.append(judged)
    return found


def speed_now(farm: Farm, header: int) -> float:
    """Return how fast the wear clock of a header runs in the season to come, as a share of clean ground in the first year."""
    return float(farm.land.speed[header, -1])


def _true_median(farm: Farm, kind: Kind, header: int) -> float:
    """Return the median life of a part that is fitted now: on the ground that the header was on, in the year to come.

    Ground changes from season to season and is said by the plan; years go on as they went.
    """
    share = float(farm.land.share[header, :-1].mean())
    pace = (1 - share + share * math.exp(farm.world.stony)) * math.exp(
        farm.world.per_year * (farm.land.share.shape[1] - 1)
    )
    return kind.median * float(kind.apart[header]) * kind.new_life / pace


def _lives(farm: Farm, kind: Kind, row: KindOutlook, view: SeasonPlanView, judged: Judged) -> None:
    here = [header for header in range(farm.world.machines) if is_here(farm, header)]
    said = row.life.median_life
    assert said is not None
    judged.note("median", said.low <= _middle_of_all(farm, kind) <= said.high)
    names = {machine.name: machine.id for machine in view.farm.machines}
    for header in here:
        machine_id = names[f"Header {header + 1}"]
        own = row.life.law_on(view.farm.machine_number(machine_id))
        assert own is not None
        median = own.median_life()
        judged.note("own median", median.low <= _true_median(farm, kind, header) <= median.high)
        (component,) = (one for one in row.components if one.machine_id == machine_id)
        true = _true_chances(farm, kind, header)
        for group in component.groups:
            if group.survives_low is not None and group.survives_high is not None:
                for position in group.positions:
                    judged.note("chance", group.survives_low <= true[position - 1] <= group.survives_high)


def _middle_of_all(farm: Farm, kind: Kind) -> float:
    """Return the age that half of all parts reach, as many on each machine."""
    medians = np.array([_true_median(farm, kind, header) for header in range(farm.world.machines)])

    def over(age: float) -> float:
        return float(np.mean(2.0 ** -((age / medians) ** kind.shape))) - 0.5

    return float(brentq(over, medians.min() * 0.99, medians.max() * 1.01))


def _scales(farm: Farm, kind: Kind, header: int) -> Floats:
    """Scale of the part now on at each position, on the wear clock."""
    scale = kind.median * float(kind.apart[header]) / math.log(2) ** (1 / kind.shape)
    return np.asarray(scale * np.where(kind.newer[header], kind.new_life, 1.0))


def _true_chances(farm: Farm, kind: Kind, header: int) -> Floats:
    scale, ahead = _scales(farm, kind, header), SEASON * speed_now(farm, header)
    return np.asarray(
        np.exp((kind.ran[header] / scale) ** kind.shape - ((kind.ran[header] + ahead) / scale) ** kind.shape)
    )


def _to_come(farm: Farm, kind: Kind, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Draw what breaks in the season to come: each part now on at most once, and with what takes its place. (draws,) each."""
    once, whole = np.zeros(_DRAWS), np.zeros(_DRAWS)
    for header in range(farm.world.machines):
        if not is_here(farm, header):
            continue
        if kind.is_row:
            stones = rng.poisson(kind.rate * SEASON, _DRAWS)
            sizes = np.array(NEIGHBOURS if farm.world.neighbours else (1.0,))
            pieces = np.array([(rng.choice(sizes.size, n, p=sizes) + 1).sum() for n in stones])
            once, whole = once + pieces, whole + pieces
            continue
        scale, ahead = _scales(farm, kind, header), SEASON * speed_now(farm, header)
        new = kind.median * float(kind.apart[header]) / math.log(2) ** (1 / kind.shape) * kind.new_life
        for ran, own in zip(kind.ran[header], scale, strict=True):
            lasts = own * ((ran / own) ** kind.shape + rng.exponential(size=_DRAWS)) ** (1 / kind.shape) - ran
            once += lasts < ahead
            while (lasts < ahead).any():
                whole += lasts < ahead
                lasts = lasts + new * rng.weibull(kind.shape, _DRAWS)
    return once, whole


def _plan(
    farm: Farm, kind: Kind, lines: Sequence[PlanLine], view: SeasonPlanView, places: Sequence[int], judged: Judged
) -> None:
    """Hold what the plan replaces against the best, both valued by the true life."""
    if farm.world.has_new_number:
        return
    for line, place in zip(lines, places, strict=True):
        if line.decision is None or line.basis.costs is None:
            continue
        header = int(line.machine.name.split()[1]) - 1
        scale = float(_scales(farm, kind, header)[0])
        pace = speed_now(farm, header)
        truth = decide_positions(
            LifeNodes.known(kind.shape, scale),
            [float(kind.ran[header, position - 1]) for position in line.positions],
            line.basis.costs,
            Seasons(line.usage_now * pace, line.usage_later * pace, DISCOUNT),
        )
        chosen = [line.positions.index(position) for position in view.found.replaced[place]]
        judged.gain += truth.saving_of(chosen).mean_minor if chosen else 0
        judged.best += max(truth.cost_run_minor - min(truth.cost_some_minor, truth.cost_set_minor), 0)


@dataclass(frozen=True, slots=True)
class Share:
    """A figure of the table with its standard error over the farms and kinds."""

    value: float
    error: float
    count: int

    def __str__(self) -> str:
        return f"{self.value:.2f}+-{self.error:.2f}" if self.count else "-"


def figures(found: Sequence[Sequence[Judged]]) -> Mapping[str, Share]:
    """Return the row of a world; `found` are its farms. The errors are those of means over the kinds, which share a farm."""
    kinds = [one for farm in found for one in farm]
    row = {what: _mean([float(np.mean(one.held[what])) for one in kinds if what in one.held]) for what in STATEMENTS}
    wearing, stones = ([one for one in kinds if ("median" in one.held) is is_wearing] for is_wearing in (True, False))
    row["came / said"] = _ratio([one.came for one in wearing], [one.said for one in wearing])
    row["pieces came / said"] = _ratio([one.came for one in stones], [one.said for one in stones])
    row["plan's gain"] = _ratio([one.gain for one in wearing], [one.best for one in wearing])
    row["failures a kind"] = _mean([one.failures for one in wearing])
    return row


def _mean(values: Sequence[float]) -> Share:
    if not values:
        return Share(math.nan, math.nan, 0)
    error = float(np.std(values, ddof=1)) / math.sqrt(len(values)) if len(values) > 1 else math.nan
    return Share(float(np.mean(values)), error, len(values))


def _ratio(ours: Sequence[float], theirs: Sequence[float]) -> Share:
    one, other = np.array(ours), np.array(theirs)
    if not other.size or not other.sum():
        return Share(math.nan, math.nan, 0)
    ratio = float(one.sum() / other.sum())
    error = (
        float(np.std(one - ratio * other, ddof=1)) / math.sqrt(one.size) / float(other.mean())
        if one.size > 1
        else math.nan
    )
    return Share(ratio, error, one.size)


def judged_farms(world: World, farms: Sequence[int], kinds: int, rows: int) -> Iterator[list[Judged]]:
    """Judge farm after farm of a world."""
    for number in farms:
        yield judge(world, number, kinds, rows)
