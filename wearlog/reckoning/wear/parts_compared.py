"""Which part number of a kind is worth its money: lives by number on the same ground, what each costs, what is not known yet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Ground, MeterKind, WarrantyCover
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Fitting
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.life_records import joined_rows
from wearlog.reckoning.parts.repair_habits import RepairHabits, repair_habits
from wearlog.reckoning.parts.stock import ShelfPart, part_choices
from wearlog.reckoning.wear.guessed_kinds import guess_of
from wearlog.reckoning.wear.kind_life import fleet_lives
from wearlog.reckoning.wear.wear_outlook import wear_outlook
from wearlog.reckoning.work.ground import area_since
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import Floats, Ints
from wearlog.store.schema.types import microseconds
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives
from wearlog.wear.part_lives import PartLives, cost_rates, failures_needed, part_lives
from wearlog.wear.warranty import terms_worth

#: a life belongs to the ground on which so much of its area lay; below, it is one of mixed ground
_ONE_GROUND: Final = 0.6
_MIXED: Final = len(Ground)
_NOT_NOTED: Final = ""
#: best with such a chance is the best; the central 80 % of the difference then holds something
SURE: Final = 0.9
_YEAR_SECONDS: Final = 365.25 * 86_400


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """One part number (or supplier) of the kind; costs in minor units for each unit of usage on the kind's meter.

    `name` is empty for parts whose number nobody noted; `cost` and what follows it are None without a price. `terms_minor` is what
    its terms of warranty pay back on the mean, taken off its price; None where it has none.
    """

    name: str
    supplier: str
    lives: int
    failures: int
    life: Estimate
    price_minor: int | None
    terms_minor: float | None
    cost: Estimate | None
    chance_cheapest: float | None
    expected_loss: float | None


@dataclass(frozen=True, slots=True, eq=False)
class PartsCompared:
    """The answer for a kind.

    Attributes
    ----------
    parts : tuple of PartAnswer
        The cheapest on the mean first, those without a price last.
    failures_needed : int or None
        Of each of the two cheapest, to be sure which costs less; None where two cannot be compared or it is certain already.
    confounded : bool
        One part ran on a ground on which another never did, and the other way round.
    standing_known : bool
        Whether standing and labour are in the costs.
    """

    farm: Farm
    kind: PartKind
    by_supplier: bool
    parts: tuple[PartAnswer, ...]
    failures_needed: int | None
    confounded: bool
    standing_known: bool
    effective: float

    @property
    def compared(self) -> tuple[PartAnswer, ...]:
        """Those that have a price and a number."""
        return tuple(one for one in self.parts if one.chance_cheapest is not None)


def parts_compared(
    connection: Connection, farm: Farm, number: int, *, by_supplier: bool = False, at_least: int = 1
) -> PartsCompared | None:
    """Compare the part numbers of a kind, by its place in the farm; None where fewer than `at_least` are noted.

    Raises
    ------
    DataError
        Nobody has an idea how long the kind lasts.
    """
    kind = farm.part_kinds[number]
    mine = {one.id for one in farm.components if one.part_kind_id == kind.id}
    fittings = [one for one in find_all(connection, Fitting) if one.component_id in mine and one.part_id is not None]
    used = {one.part_id for one in fittings}
    shelves = [shelf for shelf in part_choices(connection, farm).parts if shelf.part.id in used]
    rows = _rows(farm, number, _noted(fittings, shelves, by_supplier=by_supplier))
    if rows is None or sum(name != _NOT_NOTED for name in rows[0]) < at_least:
        return None
    names, place, ground, lives = rows
    found = part_lives(lives, place, ground, guess_of(kind))
    habits = repair_habits(connection, farm).get(kind.id)
    back = _paid_back(connection, farm, kind, shelves, found, names, habits, by_supplier=by_supplier)
    costs, prices, known = _costs(farm, kind, names, found, _prices(shelves, by_supplier=by_supplier), habits, back)
    priced = [one for one in range(len(names)) if names[one] != _NOT_NOTED and prices[one] is not None]
    cheapest, lost = _against(costs, priced, found)
    suppliers = {shelf.part.number: shelf.part.supplier for shelf in shelves}
    answers = [
        PartAnswer(
            name=names[one],
            supplier="" if by_supplier else suppliers.get(names[one], ""),
            lives=int(lives.weight[place == one].sum()),
            failures=int(lives.weight[(place == one) & lives.event].sum()),
            life=_estimate(found, found.median[one]),
            price_minor=prices[one],
            terms_minor=float(found.weight @ back[one]) if one in back else None,
            cost=_estimate(found, costs[one]) if one in priced else None,
            chance_cheapest=cheapest.get(one),
            expected_loss=lost.get(one),
        )
        for one in range(len(names))
    ]
    answers.sort(key=lambda one: (one.cost is None, one.cost.mean or 0.0 if one.cost else 0.0, one.name))
    return PartsCompared(
        farm=farm,
        kind=kind,
        by_supplier=by_supplier,
        parts=tuple(answers),
        failures_needed=_needed(found, answers),
        confounded=_confounded(place, ground, priced),
        standing_known=known,
        effective=found.effective,
    )


def _rows(
    farm: Farm, number: int, said: Mapping[tuple[UUID, int, int], str]
) -> tuple[list[str], Ints, Ints, Lives] | None:
    """Lives of the kind by part and ground, joined: names of the parts, and for each row its part and its ground."""
    records = fleet_lives(farm).records
    fittings, components = farm.histories.fittings, farm.histories.components
    mine = np.flatnonzero((records.part_kind == number) & ~np.isnan(records.exit) & (records.exit > records.entry))
    places = records.fitting[mine]
    names = [
        said.get(
            (
                farm.components[int(fittings.component[row])].id,
                int(fittings.position[row]),
                int(fittings.fitted_at[row]),
            ),
            _NOT_NOTED,
        )
        for row in places
    ]
    order = sorted(set(names) - {_NOT_NOTED}) + ([_NOT_NOTED] if _NOT_NOTED in names else [])
    if not order or order == [_NOT_NOTED]:
        return None
    until = np.minimum(fittings.removed_at[places], farm.now_microseconds)
    machine = components.machine[fittings.component[places]]
    now = farm.now_microseconds
    area = area_since(farm, machine, fittings.fitted_at[places], now) - area_since(farm, machine, until, now)
    part = np.array([order.index(name) for name in names], dtype=np.int64)
    ground = _grounds(area)
    failed = records.ended_by[mine] == 1
    seen = np.minimum(records.last_seen[mine], records.exit[mine])
    columns = np.stack([part, ground, records.entry[mine], records.exit[mine], failed, seen]).astype(np.float64)
    (part_of, ground_of, entry, exit_age, event, seen), weight = joined_rows(columns)
    lives = Lives.of(exit_age, event == 1, entry=entry, weight=weight, last_seen=np.where(event == 1, seen, exit_age))
    return order, part_of.astype(np.int64), ground_of.astype(np.int64), lives


def _noted(
    fittings: Sequence[Fitting], shelves: Sequence[ShelfPart], *, by_supplier: bool
) -> dict[tuple[UUID, int, int], str]:
    """Which part each fitting is, where somebody noted it."""
    parts = {shelf.part.id: shelf.part for shelf in shelves}
    return {
        (one.component_id, one.position, microseconds(one.fitted_at)): (
            parts[one.part_id].supplier if by_supplier else parts[one.part_id].number
        )
        for one in fittings
        if one.part_id in parts
    }


def _grounds(area: Floats) -> Ints:
    """Return for each life the class of its ground, numbered from that with most lives; what is mixed is a class of its own."""
    known = area[:, : len(Ground)]
    whole = known.sum(axis=1)
    most = known.argmax(axis=1)
    share = known[np.arange(known.shape[0]), most] / np.maximum(whole, 1e-9)
    ground = np.where(share >= _ONE_GROUND, most, _MIXED)
    classes, counts = np.unique(ground, return_counts=True)
    rank = {int(one): place for place, one in enumerate(classes[np.argsort(-counts, kind="stable")])}
    return np.array([rank[int(one)] for one in ground], dtype=np.int64)


def _prices(shelves: Sequence[ShelfPart], *, by_supplier: bool) -> dict[str, int]:
    """What a piece costs, by part number, or on the mean of a supplier's."""
    found: dict[str, list[int]] = defaultdict(list)
    for shelf in shelves:
        if shelf.price_minor is not None:
            found[shelf.part.supplier if by_supplier else shelf.part.number].append(shelf.price_minor)
    return {name: round(float(np.mean(prices))) for name, prices in found.items()}


def _paid_back(
    connection: Connection,
    farm: Farm,
    kind: PartKind,
    shelves: Sequence[ShelfPart],
    found: PartLives,
    names: Sequence[str],
    habits: RepairHabits | None,
    *,
    by_supplier: bool,
) -> dict[int, Floats]:
    """Return what terms of warranty pay back on the mean by draw, for the places of the numbers that have any."""
    in_field = 0.0 if habits is None else habits.field_labour.minor(farm.settings.labour_rate_minor)
    months = any(one.part.warranty_months for one in shelves)
    yearly = _usage_a_year(connection, farm, kind) if months else 0.0
    paid: dict[int, list[Floats]] = defaultdict(list)
    for shelf in shelves:
        part, name = shelf.part, shelf.part.supplier if by_supplier else shelf.part.number
        if shelf.price_minor is None or name not in names:
            continue
        terms = [part.warranty_usage, None if not part.warranty_months else yearly * part.warranty_months / 12]
        place, term = names.index(name), min((one for one in terms if one), default=0.0)
        labour = in_field if part.warranty_covers is WarrantyCover.PART_AND_LABOUR else 0.0
        paid[place].append(
            terms_worth(
                found.shape,
                found.median[place],
                term,
                part_minor=float(shelf.price_minor),
                labour_minor=labour,
                pro_rata=part.warranty_pro_rata,
            )
            if term
            else np.zeros(found.shape.size)
        )
    return {place: np.mean(ones, axis=0) for place, ones in paid.items() if any(one.any() for one in ones)}


def _usage_a_year(connection: Connection, farm: Farm, kind: PartKind) -> float:
    """Usage that such a part runs in a season ahead, on the mean: that many months of terms are twelve of."""
    if kind.meter_kind is MeterKind.CALENDAR:
        return _YEAR_SECONDS
    rows = (row for row in wear_outlook(connection, farm).kinds if row.life.kind.id == kind.id)
    ahead = [one.usage for row in rows for one in row.components if one.usage > 0]
    return float(np.mean(ahead)) if ahead else 0.0


def _costs(
    farm: Farm,
    kind: PartKind,
    names: Sequence[str],
    found: PartLives,
    prices: Mapping[str, int],
    habits: RepairHabits | None,
    back: Mapping[int, Floats],
) -> tuple[Floats, list[int | None], bool]:
    """Cost for each unit of usage by part and draw, the price of each, and whether labour and standing are in it."""
    each = [prices.get(name) for name in names]
    rate, hour = farm.settings.labour_rate_minor, farm.settings.downtime_minor
    in_shop = in_field = 0.0
    known = habits is not None and habits.standing.seconds is not None and habits.shop_each.seconds is not None
    if habits is not None and known:
        positions = max(one.positions for one in farm.components if one.part_kind_id == kind.id)
        in_shop = habits.shop_each.minor(rate) + habits.shop_opening.minor(rate) / positions
        in_field = habits.field_labour.minor(rate) + habits.standing.minor(hour)
    costs = np.full(found.median.shape, np.nan)
    for place, price in enumerate(each):
        if price is not None and price + min(in_shop, in_field) > 0:
            costs[place] = cost_rates(
                found.shape, found.median[place], price + in_shop, price + in_field, back.get(place)
            )
    return costs, each, known


def _against(costs: Floats, priced: Sequence[int], found: PartLives) -> tuple[dict[int, float], dict[int, float]]:
    """Chance of each to cost least, and what choosing it costs on the mean though another were cheaper."""
    if len(priced) < 2:
        return {}, {}
    mine = costs[list(priced)]
    least = mine.min(axis=0)
    best = mine.argmin(axis=0)
    chance = {one: float(found.weight[best == place].sum()) for place, one in enumerate(priced)}
    return chance, {one: float(found.weight @ (mine[place] - least)) for place, one in enumerate(priced)}


def _needed(found: PartLives, answers: Sequence[PartAnswer]) -> int | None:
    compared = [one for one in answers if one.chance_cheapest is not None and one.cost is not None]
    if len(compared) < 2 or (compared[0].chance_cheapest or 0.0) >= 0.95:
        return None
    first, second = (one.cost.mean for one in compared[:2] if one.cost is not None)
    assert first is not None
    assert second is not None
    needed = failures_needed(found.quantile(found.shape, 0.5), second / first)
    return None if not np.isfinite(needed) else int(np.ceil(needed))


def _confounded(part: Ints, ground: Ints, priced: Sequence[int]) -> bool:
    """Whether two parts never ran on one ground: what differs may be the ground."""
    grounds = [set(ground[part == one].tolist()) for one in priced]
    return any(not one & other for place, one in enumerate(grounds) for other in grounds[:place])


def _estimate(found: PartLives, values: Floats) -> Estimate:
    middle, low, high = (found.quantile(values, chance) for chance in (0.5, 0.05, 0.95))
    return Estimate(middle, low, high, 0.9, float(found.weight @ values))
