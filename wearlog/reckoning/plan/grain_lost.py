"""What worn threshing parts cost in grain: loss checks against their age, the grain ahead, when renewing them pays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.costs.repair_cost import price_of_time
from wearlog.facts.closed_lists import MachineKind
from wearlog.harvest.loss_growth import LossGrowth, LossSaved, check_worth, loss_growth, saved_by_renewing
from wearlog.plan.decide import Verdict
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.harvest.harvest_quality import harvest_quality, threshes
from wearlog.reckoning.parts.repair_habits import repair_habits
from wearlog.reckoning.parts.stock import part_choices
from wearlog.reckoning.plan.crops_ahead import CropAhead, crops_ahead
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.loss_days import LossDays, loss_days
from wearlog.reckoning.plan.weighed_lines import LineInputs, measured_lives, plan_lines
from wearlog.reckoning.wear.age_groups import outlook_basis
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook, WearOutlook, kind_outlook
from wearlog.store.connection import Connection
from wearlog.store.histories import Floats
from wearlog.wear.intervals import Estimate
from wearlog.wear.replacement import BestAge, age_replacement_over, age_replacement_with_loss

#: a loss check by one man, counted and written (common practice, no source)
CHECK_SECONDS: Final = 1200
_TENTH: Final = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class GrainRow:
    """The threshing parts of one combine.

    Attributes
    ----------
    age, ahead, life : float
        Seconds of the separator: now, to come in the season ahead, median life.
    area : float
        Square metres ahead of it in `crops`: those in which a loss was ever checked on it and whose yield is known.
    checks : int
        Days of checks on it in them.
    left_out : tuple of str
        The other crops ahead.
    saved : LossSaved
        Grams of grain that new parts would lose less in the season ahead.
    saved_minor : LossSaved or None
        What they bring; None where a crop has no price.
    renewing_minor : int or None
        What renewing costs beside the grain: the plan's saving turned round, so that the life given away and the failures spared
        are in it; None where the plan cannot say.
    gain : (mean, low, high) or None
        Of renewing now, in minor units, with its central 80 %.
    extra_now : float
        Per cent of the crop that the parts lose more than new ones now, on the mean of the crops ahead.
    with_grain, without_grain : BestAge or None
        Per position, in seconds: when renewing costs least in the long run.
    check_minor : float or None
        What one more check is worth, the time for it taken off.
    """

    line: PlanLine
    age: float
    ahead: float
    life: float
    area: float
    crops: tuple[CropAhead, ...]
    checks: int
    left_out: tuple[str, ...]
    saved: LossSaved
    saved_minor: LossSaved | None
    renewing_minor: int | None
    gain: tuple[float, float, float] | None
    extra_now: float
    with_grain: BestAge | None
    without_grain: BestAge | None
    check_minor: float | None

    @property
    def verdict(self) -> Verdict | None:
        """Renew, run on, or either way where the 80 % of the gain hold nothing; None without a price."""
        if self.gain is None:
            return None
        _, low, high = self.gain
        return Verdict.REPLACE if low > 0 else Verdict.RUN if high < 0 else Verdict.EITHER_WAY

    @property
    def pays_from(self) -> float | None:
        """Minor units a gram from which renewing pays on the mean; None where the cost is not known or nothing is saved."""
        if self.renewing_minor is None or self.saved.expected <= 0:
            return None
        return max(self.renewing_minor, 0) / self.saved.expected


@dataclass(frozen=True, slots=True, eq=False)
class GrainLost:
    """The answer for the fleet.

    Attributes
    ----------
    growth : Estimate or None
        Of ln loss in a median life; None where nobody has an idea how long the parts last.
    checked : LossDays
        The loss checks, and those that are left out.
    days : int
        Days of checks that the growth rests on.
    unknown, unchecked : tuple of str
        Combines the age of whose parts nobody knows, and those on which no loss was checked.
    """

    farm: Farm
    rows: tuple[GrainRow, ...]
    growth: Estimate | None
    checked: LossDays
    days: int
    unknown: tuple[str, ...]
    unchecked: tuple[str, ...]


def grain_lost(connection: Connection, farm: Farm, prices: Mapping[str, float] | None = None) -> GrainLost:
    """Reckon what the threshing parts of every combine cost in grain, and whether renewing them now pays.

    Parameters
    ----------
    prices : mapping, optional
        Crop -> minor units a gram, before what the log says.
    """
    losses = harvest_quality(connection, farm).losses
    checked = loss_days(connection, farm, losses)
    outlook = _outlook(connection, farm)
    # each combine's parts go by its own life where machines differ
    known = {one.component_id: one for kind in outlook.kinds for one in kind.components if one.law is not None}
    lines = {line.machine.id: line for line in _lines(connection, farm, outlook) if line.component.id in known}
    days = [day for day in checked.days if day.combine in lines]
    groups = sorted({(day.combine, day.crop) for day in days}, key=str)
    place = {group: number for number, group in enumerate(groups)}
    belief = loss_growth(
        np.array([day.seconds / _life_of(known[lines[day.combine].component.id]) for day in days]),
        np.exp(np.array([day.log_percent for day in days])),
        np.array([place[day.combine, day.crop] for day in days], dtype=np.int64),
        len(groups),
    )
    crops = crops_ahead(connection, farm, prices or {}, losses)
    with_checks = {combine for combine, _ in groups}
    rows = [
        _row(farm, line, known[line.component.id], belief, place, crops[combine])
        for combine, line in lines.items()
        if line.positions and combine in with_checks
    ]
    rows.sort(key=lambda row: (-(row.gain[0] if row.gain else -np.inf), -row.saved.expected, row.line.machine.name))
    return GrainLost(
        farm=farm,
        rows=tuple(rows),
        growth=_growth(belief) if known else None,
        checked=checked,
        days=len(days),
        unknown=tuple(sorted(line.machine.name for line in lines.values() if not line.positions)),
        unchecked=tuple(sorted(line.machine.name for combine, line in lines.items() if combine not in with_checks)),
    )


def _growth(belief: LossGrowth) -> Estimate:
    return Estimate(belief.growth_at(0.5), belief.growth_at(0.05), belief.growth_at(0.95), 0.9)


def _outlook(connection: Connection, farm: Farm) -> WearOutlook:
    """The outlook of the threshing parts alone."""
    basis = outlook_basis(connection, farm)
    numbers = [number for number in basis.lives.kinds() if threshes(farm, number)]
    return WearOutlook(basis, tuple(kind_outlook(basis, number) for number in numbers))


def _lines(connection: Connection, farm: Farm, outlook: WearOutlook) -> list[PlanLine]:
    """The plan's lines of these parts on combines, without what was chosen by hand."""
    given = LineInputs(
        farm, outlook, part_choices(connection, farm), repair_habits(connection, farm), (), {}, measured_lives(outlook)
    )
    return [line for line in plan_lines(given) if line.machine.kind is MachineKind.COMBINE]


def _row(
    farm: Farm,
    line: PlanLine,
    mine: ComponentOutlook,
    belief: LossGrowth,
    place: Mapping[tuple[UUID, str], int],
    ahead: Sequence[CropAhead],
) -> GrainRow:
    area = sum(mine.area_by_ground)
    known = [one for one in ahead if (line.machine.id, one.crop) in place and one.grams_per_area is not None]
    life = _life_of(mine)
    work = _Work(
        belief,
        tuple(place[line.machine.id, one.crop] for one in known),
        np.array([one.share * area * (one.grams_per_area or 0.0) / 100 for one in known]),
        _minor(known, area),
        float(np.mean(line.ages)) / life,
        line.usage_now / life,
    )
    saved_minor = None if work.minor is None else work.saved(work.minor)
    extra = work.lost_more()
    with_grain, without = _ages(line, mine, work)
    return GrainRow(
        line=line,
        age=float(np.mean(line.ages)),
        ahead=line.usage_now,
        life=life,
        area=sum(one.share for one in known) * area,
        crops=tuple(known),
        checks=sum(int(belief.checks[group]) for group in work.groups),
        left_out=tuple(one.crop for one in ahead if one not in known),
        saved=work.saved(work.grams),
        saved_minor=saved_minor,
        renewing_minor=_renewing(line),
        gain=None if saved_minor is None else _gain(saved_minor, line),
        extra_now=float(extra @ work.grams / work.grams.sum()) if known else 0.0,
        with_grain=with_grain,
        without_grain=without,
        check_minor=_check_minor(farm, line, work),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Work:
    """What a combine is to cut, in the terms of the belief: a hundredth of each crop in grams and money, age and work in lives."""

    belief: LossGrowth
    groups: tuple[int, ...]
    grams: Floats
    minor: Floats | None
    age: float
    ahead: float

    def saved(self, worth: Floats) -> LossSaved:
        return saved_by_renewing(self.belief, self.groups, worth, self.age, self.ahead)

    def lost_more(self) -> Floats:
        """Per cent of each crop that the parts lose more than new ones now."""
        age = np.array([self.age])
        return np.array([float(self.belief.lost_more(group, age)[0]) for group in self.groups])


def _life_of(mine: ComponentOutlook) -> float:
    assert mine.law is not None
    return mine.law.median_life().median


def _minor(known: Sequence[CropAhead], area: float) -> Floats | None:
    """What a hundredth of each crop ahead brings; None where one has no price."""
    if not known or any(one.minor_per_gram is None for one in known):
        return None
    return np.array(
        [one.share * area * (one.grams_per_area or 0.0) * (one.minor_per_gram or 0.0) / 100 for one in known]
    )


def _renewing(line: PlanLine) -> int | None:
    saving = line.saving(line.positions)
    return None if saving is None else -saving.mean_minor


def _gain(saved: LossSaved, line: PlanLine) -> tuple[float, float, float] | None:
    saving = line.saving(line.positions)
    if saving is None:
        return None
    mean = saved.expected + saving.mean_minor
    # two beliefs that know nothing of each other: their half widths add as squares
    below = np.hypot(saved.expected - saved.quantile(_TENTH), saving.mean_minor - saving.low_minor)
    above = np.hypot(saved.quantile(1 - _TENTH) - saved.expected, saving.high_minor - saving.mean_minor)
    return mean, float(mean - below), float(mean + above)


def _check_minor(farm: Farm, line: PlanLine, work: _Work) -> float | None:
    """What one more check is worth in the crop of which most is ahead, the time for it taken off."""
    renewing = _renewing(line)
    if work.minor is None or renewing is None:
        return None
    most = int(work.minor.argmax())
    worth = check_worth(work.belief, work.groups, work.minor, work.age, work.ahead, renewing, most)
    return max(worth - float(price_of_time(CHECK_SECONDS, farm.settings.labour_rate_minor)), 0.0)


def _ages(line: PlanLine, mine: ComponentOutlook, work: _Work) -> tuple[BestAge | None, BestAge | None]:
    """The age at which renewing costs least in the long run, with the grain (None without prices) and without it."""
    costs, law = line.basis.costs, mine.law
    if costs is None or law is None or line.usage_now <= 0:
        return None, None
    nodes, positions, life = law.few_nodes(), line.component.positions, law.median_life().median
    planned, failure = costs.each_minor + costs.setup_minor / positions, costs.failure_minor
    without = age_replacement_over(nodes, planned_cost=planned, failure_cost=failure)
    if work.minor is None:
        return None, without
    each = work.minor / line.usage_now / positions

    def lost(ages: Floats) -> Floats:
        by_crop = [
            one * work.belief.lost_more(group, ages / life) for group, one in zip(work.groups, each, strict=True)
        ]
        return np.asarray(np.sum(by_crop, axis=0))

    return age_replacement_with_loss(nodes, planned_cost=planned, failure_cost=failure, loss_rate=lost), without
