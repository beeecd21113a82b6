"""What each rule does in a winter on a simulated farm: what is believed, what is replaced, what is bought. Plays no season.

Every rule gets the same sum for its stock: carrying and waiting at the demand it leaves to the season. They differ in what they
replace, and the plan weighs the two together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum, unique
from itertools import product
from typing import Final

import numpy as np

from tests.plan.simulated_farms import ARTICLES, Article, Bools, Floats, Shelf
from wearlog.facts.farm_settings import USUAL_DOWNTIME_MINOR
from wearlog.plan.age_table import Seasons
from wearlog.plan.budget import Limits, Wishes, choose
from wearlog.plan.demand import Demand, ImpactRates, KindWear, PositionGroup, season_demand
from wearlog.plan.life_nodes import LifeNodes, condense
from wearlog.plan.newsvendor import carrying_cost, shortage_cost
from wearlog.plan.positions import SetDecision, decide_positions
from wearlog.plan.spares import SparePart
from wearlog.plan.ways import Replacing, Ways, packs_to_replace, ways_of
from wearlog.wear.impact import fit_impact
from wearlog.wear.lives import Lives
from wearlog.wear.posterior import fit_posterior
from wearlog.wear.rates import GammaRate

DISCOUNT: Final = 0.95
CARRYING_RATE: Final = 0.10
#: fetched in a hurry: one field day lost, and a quarter on the price
_HURRY_HOURS: Final = 10.0
_HURRY_PREMIUM: Final = 0.25
#: fewer than a plan usually carries, for speed
_NODES: Final = 12


@unique
class Rule(Enum):
    """What a farm goes by."""

    PLAN = "the plan within a budget"
    RUN_WITHIN = "run to failure, spares within the budget"
    PLAN_FREE = "the plan without a budget"
    RUN = "run to failure"
    NEW = "fit new every year"
    RUN_ONE_PACK = "run to failure, one pack of each on the shelf"
    NEW_ONE_PACK = "fit new every year, one pack of each on the shelf"

    @property
    def plans(self) -> bool:
        return self in (Rule.PLAN, Rule.PLAN_FREE)

    @property
    def has_a_budget(self) -> bool:
        return self in (Rule.PLAN, Rule.RUN_WITHIN)

    @property
    def fits_new(self) -> bool:
        return self in (Rule.NEW, Rule.NEW_ONE_PACK)

    @property
    def keeps_one_pack(self) -> bool:
        return self in (Rule.RUN_ONE_PACK, Rule.NEW_ONE_PACK)


@dataclass(frozen=True, slots=True, eq=False)
class Winter:
    """What is known of one article before a season.

    Attributes
    ----------
    number : int
        Of the article.
    shelf : Shelf
    usage_now, usage_later : float
        On its meter: of the season to come, and what later ones are expected to ask.
    area_now : float
        Square metres of one component in the season to come.
    ground : int
    """

    number: int
    shelf: Shelf
    usage_now: float
    usage_later: float
    area_now: float
    ground: int

    @property
    def article(self) -> Article:
        return ARTICLES[self.number]

    @property
    def places(self) -> int:
        return self.shelf.ages.size

    @property
    def known(self) -> tuple[object, ...]:
        """All that beliefs and decisions hang on; farms that are alike so far decide alike."""
        shelf = self.shelf
        return (
            self.number, tuple(shelf.ended), shelf.ages.tobytes(), shelf.entry.tobytes(), shelf.impacts,
            shelf.area, self.usage_now, self.usage_later,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Done:
    """What a rule does with one article: the places it replaces, the packs it buys."""

    replaced: Bools
    packs: int


@dataclass(slots=True, eq=False)
class Belief:
    """What the records of one article say before a season, and what follows from it; worked out when first asked for."""

    winter: Winter
    nodes: LifeNodes
    stones: GammaRate | None
    _decisions: tuple[SetDecision, ...] | None = None
    _demands: dict[bytes, Demand] = field(default_factory=dict)

    @classmethod
    def of(cls, winter: Winter) -> Belief:
        """Form the belief from the starting guess and the records."""
        shelf, article = winter.shelf, winter.article
        running = shelf.ages > shelf.entry
        rows = [
            *shelf.ended,
            *zip(shelf.entry[running], shelf.ages[running], np.zeros(int(running.sum())), strict=True),
        ]
        entry, leaving, failed = (np.array([row[at] for row in rows], dtype=np.float64) for at in range(3))
        nodes = fit_posterior(Lives.of(leaving, failed, entry=entry), article.guess).nodes
        guess = article.impact_guess(winter.ground)
        stones = None if guess is None else fit_impact([shelf.impacts], [shelf.area], [guess]).rates[0]
        return cls(winter, condense(LifeNodes.of(nodes.shape, nodes.scale, nodes.weight), _NODES), stones)

    @property
    def decisions(self) -> tuple[SetDecision, ...]:
        """Replace or run, of each component."""
        if self._decisions is None:
            winter, article = self.winter, self.winter.article
            stones = 0.0 if self.stones is None else self.stones.mean * winter.area_now / article.positions
            seasons = Seasons(winter.usage_now, winter.usage_later, DISCOUNT, stones / winter.usage_now)
            self._decisions = tuple(
                decide_positions(self.nodes, ages, article.costs, seasons)
                for ages in self.by_component(winter.shelf.ages)
            )
        return self._decisions

    def by_component(self, per_place: Floats) -> Floats:
        return per_place.reshape(self.winter.article.components, -1)

    def demand(self, replaced: Bools) -> Demand:
        """What the season takes of the article once these places are replaced."""
        key = replaced.tobytes()
        if key not in self._demands:
            winter = self.winter
            ages = np.where(replaced, 0.0, winter.shelf.ages)
            stones = []
            if self.stones is not None:
                area = winter.area_now * winter.article.components
                stones = [ImpactRates(*(np.array([one]) for one in (self.stones.shape, self.stones.exposure, area)))]
            self._demands[key] = season_demand([KindWear(self.nodes, (PositionGroup(ages, winter.usage_now),))], stones)
        return self._demands[key]

    def stops(self, replaced: Bools) -> float:
        """Failures expected in the season once these places are replaced, by wear and by stones."""
        singles = [one for decision in self.decisions for one in decision.by_position]
        return sum(one.stops_replace if new else one.stops_keep for one, new in zip(singles, replaced, strict=True))

    def options(self) -> list[tuple[Bools, int]]:
        """Places that could be replaced and what that saves by itself: of each component its best, or the best few, or none."""
        size = self.winter.article.positions
        of_component = []
        for decision in self.decisions:
            sets: dict[tuple[int, ...], int] = {(): 0}
            for places in (decision.best, decision.some):
                saving = decision.saving_of(places).mean_minor
                if saving > 0:
                    sets[places] = saving
            of_component.append([(np.isin(np.arange(size), places), saving) for places, saving in sets.items()])
        return [
            (np.concatenate([places for places, _ in pick]), sum(saving for _, saving in pick))
            for pick in product(*of_component)
        ]


def spare_part(article: Article, on_hand: int) -> SparePart:
    """What carrying the article and running out of it mean."""
    wait = shortage_cost(_HURRY_HOURS, USUAL_DOWNTIME_MINOR) + _HURRY_PREMIUM * article.price_minor
    carrying = carrying_cost(article.price_minor, CARRYING_RATE)
    return SparePart(article.price_minor, on_hand, article.pack_size, carrying, wait, _HURRY_HOURS)


def settle_winter(
    rule: Rule, beliefs: Sequence[Belief], stocks: Sequence[int], budget_minor: int
) -> tuple[list[Done], bool]:
    """Decide on every article: one way of each, so that most is saved; also whether the budget kept it from something."""
    done: list[Done] = []
    found: list[tuple[int, Done]] = []
    gain: list[int] = []
    spend: list[int] = []
    for number, (belief, stock) in enumerate(zip(beliefs, stocks, strict=True)):
        options = belief.options() if rule.plans else [(np.full(belief.winter.places, rule.fits_new), 0)]
        ways = _ways(belief, stock, options)
        # the first way is what is done when none is chosen
        done.append(Done(options[0][0], int(ways.packs[0])))
        for place, packs, saved, price in zip(
            ways.replacing, ways.packs, ways.gain_minor, ways.spend_minor, strict=True
        ):
            if saved > 0:
                found.append((number, Done(options[int(place)][0], int(packs))))
                gain.append(int(saved))
                spend.append(int(price))
    wishes = Wishes.of(gain, spend, group=[number for number, _ in found])
    chosen = choose(wishes, Limits(budget_minor if rule.has_a_budget else None)).chosen
    for row in np.flatnonzero(chosen):
        number, one = found[int(row)]
        done[number] = one
    return done, bool(np.any(chosen != wishes.best))


def settle_one_pack(rule: Rule, shelf: Shelf, article: Article) -> Done:
    """What a rule without any sums does: a pack of each lies on the shelf when the season begins."""
    replaced = np.full(shelf.ages.size, rule.fits_new)
    taken = int(replaced.sum())
    return Done(replaced, packs_to_replace(taken + article.pack_size, shelf.stock, article.pack_size))


def _ways(belief: Belief, stock: int, options: Sequence[tuple[Bools, int]]) -> Ways:
    part = spare_part(belief.winter.article, stock)
    return ways_of(part, [Replacing(int(places.sum()), gain, 0, belief.demand(places)) for places, gain in options])
