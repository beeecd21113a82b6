"""The lines of a plan while it is decided what is done: what they take off the shelf, what is bought, the sums."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from wearlog.facts.closed_lists import Choice
from wearlog.plan.budget import Limits
from wearlog.plan.demand import Demand, GroupBook, KindWear, PositionGroup, season_demand
from wearlog.plan.life_nodes import LifeNodes
from wearlog.plan.orders import Article, Need, OrderList, order_list
from wearlog.plan.spares import SpareAdvice, SparePart, advise, season_cost
from wearlog.plan.totals import PlanTotals, ReplaceLines, plan_totals
from wearlog.plan.ways import Ways, packs_to_replace
from wearlog.reckoning.plan.line import PlanLine
from wearlog.reckoning.plan.spares import PartNeed, assumed_age
from wearlog.store.histories import Ints


class DemandBook:
    """Demands that were worked out already: a toggle asks only for the parts it changes."""

    def __init__(self, lines: Sequence[PlanLine], needs: Sequence[PartNeed]) -> None:
        self._lines, self._needs = tuple(lines), tuple(needs)
        self._known: dict[tuple[object, ...], Demand] = {}
        self._groups: dict[tuple[int, tuple[int, ...]], PositionGroup] = {}
        self._assumed: dict[int, float] = {}
        self._book = GroupBook()
        #: by part and sets: a toggle moves the lines of one part, and the ways of all others stay
        self.ways: dict[tuple[int, tuple[tuple[tuple[int, tuple[int, ...]], ...], ...]], Ways] = {}

    def demand(self, need: int, replaced: Mapping[int, tuple[int, ...]]) -> Demand:
        """Return the demand of a part, given the positions replaced on each line before the season."""
        mine = self._needs[need].lines
        key = (need, *((line, replaced[line]) for line in mine if replaced.get(line)))
        if key not in self._known:
            self._known[key] = season_demand(self._wear(mine, replaced), self._needs[need].impacts, self._book)
        return self._known[key]

    def _wear(self, mine: Sequence[int], replaced: Mapping[int, tuple[int, ...]]) -> list[KindWear]:
        """The lines of a part by what is believed of their lives: those of one belief fail many together or few together."""
        by_nodes: dict[int, tuple[LifeNodes, list[PositionGroup]]] = {}
        for line in mine:
            nodes = self._lines[line].nodes
            if nodes is not None:
                group = self._group(line, nodes, replaced.get(line, ()))
                by_nodes.setdefault(id(nodes), (nodes, []))[1].append(group)
        return [KindWear(nodes, tuple(groups)) for nodes, groups in by_nodes.values()]

    def _group(self, line: int, nodes: LifeNodes, positions: tuple[int, ...]) -> PositionGroup:
        if (line, positions) not in self._groups:
            if id(nodes) not in self._assumed:
                self._assumed[id(nodes)] = assumed_age(nodes)
            self._groups[line, positions] = self._lines[line].group(positions, self._assumed[id(nodes)])
        return self._groups[line, positions]


@dataclass(frozen=True, slots=True, eq=False)
class SpareLine:
    """One part of which a season may take some.

    Attributes
    ----------
    need : int
        Its place in the needs.
    for_replacement : int
        Pieces that the planned replacements take.
    start_stock : int
        Left on the shelf after them, before any spare is bought.
    advice : SpareAdvice
    demand : Demand
    """

    need: int
    for_replacement: int
    start_stock: int
    advice: SpareAdvice
    demand: Demand


#: positions replaced before the season, by line; a line that is run is absent
Done = Mapping[int, tuple[int, ...]]


class Desk:
    """The lines at hand while a choice is made."""

    def __init__(self, lines: Sequence[PlanLine], needs: Sequence[PartNeed], book: DemandBook, limits: Limits) -> None:
        self.lines, self.needs, self.book, self.limits = tuple(lines), tuple(needs), book, limits
        place = {need.shelf.part.id: number for number, need in enumerate(needs)}
        self.need_of = [place[line.part.part.id] if line.part is not None else -1 for line in lines]
        #: what is chosen by hand to be replaced
        self.by_hand: Done = {at: line.proposed for at, line in enumerate(lines) if line.by_hand is Choice.REPLACE}
        self.reckoned = [number for number, need in enumerate(needs) if need.spare is not None]
        self.idle_cost = {
            need: float(season_cost(part, self.book.demand(need, {}), part.on_hand))
            for need in self.reckoned
            if (part := self.needs[need].spare) is not None
        }

    def gain(self, done: Done) -> int:
        """What these lines save by themselves, the waiting for parts left aside."""
        return sum(self.lines[line].saving_minor(positions) for line, positions in done.items())

    def shop_seconds(self, done: Done) -> int:
        return sum(self.lines[line].shop_seconds(positions) for line, positions in done.items())

    def taken(self, done: Done) -> Ints:
        """Pieces of each part that the lines take."""
        out = np.zeros(len(self.needs), dtype=np.int64)
        for line, positions in done.items():
            if self.need_of[line] >= 0:
                out[self.need_of[line]] += len(positions)
        return out

    def packs_for(self, need: int, pieces: int) -> int:
        """Packs to buy so that replacements can take `pieces`, those on the shelf first."""
        shelf = self.needs[need].shelf
        return packs_to_replace(pieces, shelf.on_hand, shelf.part.pack_size)

    def left_after(self, need: int, pieces: int) -> int:
        """Pieces on the shelf once replacements took `pieces` and what was bought for them came in."""
        shelf = self.needs[need].shelf
        return shelf.on_hand + self.packs_for(need, pieces) * shelf.part.pack_size - pieces

    def pack_minor(self, need: int) -> int:
        shelf = self.needs[need].shelf
        return (shelf.price_minor or 0) * shelf.part.pack_size

    def saving(self, done: Done, spares: Sequence[SpareLine]) -> int:
        """What the plan saves against replacing nothing and buying nothing, waiting for parts included.

        What a pack saves depends on what is replaced, so the sum of both is told by the plan as a whole.
        """
        saved = float(self.gain(done))
        for line in spares:
            part = self.needs[line.need].spare
            if part is not None:
                stock = line.start_stock + line.advice.buy
                saved += self.idle_cost[line.need] - float(season_cost(part, line.demand, stock))
        return round(saved)

    def shelf(self, done: Done) -> list[tuple[SparePart, Demand]]:
        """Every reckoned part as it lies after the replacements, and the demand then."""
        taken = self.taken(done)
        found = []
        for need in self.reckoned:
            spare = self.needs[need].spare
            assert spare is not None
            left = self.left_after(need, int(taken[need]))
            found.append((replace(spare, on_hand=left), self.book.demand(need, done)))
        return found

    def spare_lines(self, done: Done, shelf: Sequence[tuple[SparePart, Demand]], packs: Ints) -> tuple[SpareLine, ...]:
        taken = self.taken(done)
        return tuple(
            SpareLine(need, int(taken[need]), part.on_hand, advise(part, demand, packs=int(packs[place])), demand)
            for place, (need, (part, demand)) in enumerate(zip(self.reckoned, shelf, strict=True))
        )

    def kept_up(self, done: Done, spares: Sequence[SpareLine]) -> tuple[tuple[int, int], ...]:
        """Parts that nothing is reckoned of, up to the number the farm keeps, while the money lasts; the cheapest first."""
        taken = self.taken(done)
        wanted = []
        for need, one in enumerate(self.needs):
            keep = one.shelf.part.keep_on_hand
            if one.spare is None and keep:
                short = keep - self.left_after(need, int(taken[need]))
                packs = -(-max(short, 0) // one.shelf.part.pack_size)
                wanted += [(packs * self.pack_minor(need), need, packs)] if packs else []
        budget = self.limits.budget_minor
        left = None
        if budget is not None:
            replaced = sum(self.packs_for(at, int(taken[at])) * self.pack_minor(at) for at in range(len(self.needs)))
            left = budget - replaced - sum(line.advice.spend_minor for line in spares)
        found = []
        for cost, need, packs in sorted(wanted):
            if left is None or (cost <= left and self.needs[need].shelf.price_minor is not None):
                left = None if left is None else left - cost
                found.append((need, packs))
        return tuple(found)

    def orders(self, done: Done, spares: Sequence[SpareLine], kept_up: Sequence[tuple[int, int]]) -> OrderList:
        taken = self.taken(done)
        stock = {line.need: line.start_stock + line.advice.buy for line in spares}
        for need, packs in kept_up:
            stock[need] = self.left_after(need, int(taken[need])) + packs * self.needs[need].shelf.part.pack_size
        articles = [
            Article(need.shelf.part.supplier, need.shelf.price_minor, need.shelf.part.pack_size, need.shelf.on_hand)
            for need in self.needs
        ]
        needs = [
            Need(need, int(taken[need]), stock.get(need, self.left_after(need, int(taken[need]))))
            for need in range(len(self.needs))
            if taken[need] or need in stock
        ]
        return order_list(articles, needs)

    def totals(self, done: Done, spares: Sequence[SpareLine]) -> PlanTotals:
        """Add the plan up."""
        at = range(len(self.lines))
        positions = [done.get(line, ()) for line in at]
        prices = [0 if line.part is None else line.part.price_minor or 0 for line in self.lines]
        rows = ReplaceLines(
            np.array([price * len(one) for price, one in zip(prices, positions, strict=True)], dtype=np.int64),
            np.array([self.lines[line].saving_minor(positions[line]) for line in at], dtype=np.int64),
            np.array([self.lines[line].shop_seconds(positions[line]) for line in at], dtype=np.int64),
            np.array([line.stops(()) for line in self.lines]),
            np.array([self.lines[line].stops(positions[line]) for line in at]),
            np.array([(line.basis.habits.standing.seconds or 0.0) / 3600 for line in self.lines]),
        )
        chosen = np.array([bool(one) for one in positions], dtype=bool)
        found = plan_totals(rows, chosen, [line.advice for line in spares])
        return replace(found, saving_minor=self.saving(done, spares))
