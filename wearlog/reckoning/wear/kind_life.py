"""How long each kind of part lasts on this farm: the starting guess and the records together, wear and impact apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from wearlog.errors import DataError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.departures import Departure
from wearlog.facts.parts import PartKind
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.parts.fitted_now import FittingAges, fitting_ages
from wearlog.reckoning.parts.life_records import LifeRecords, life_records
from wearlog.reckoning.parts.shelf_shares import KindShare, shelf_shares
from wearlog.reckoning.wear.farm_trends import FarmTrends, farm_trends, shares_entered
from wearlog.reckoning.wear.farm_years import Ages, FarmYears, LifeRows, YearWear, life_rows, year_wear
from wearlog.reckoning.wear.guessed_kinds import guess_of
from wearlog.reckoning.wear.life_table import GuessCheck, check_guess
from wearlog.reckoning.wear.own_laws import (
    GroundWear,
    OwnMachines,
    PartWear,
    WearClock,
    ground_wear,
    own_machines,
    part_wear,
)
from wearlog.reckoning.wear.stone_records import (
    StoneRecords,
    guessed_impacts,
    impact_law,
    impacts_by_ground,
    stone_records,
)
from wearlog.reckoning.work.ground import GroundLines, area_since, ground_lines
from wearlog.store.histories import NONE, Bools, Floats, code_of
from wearlog.wear.conflict import Conflict, rate_conflict
from wearlog.wear.hidden import fit_with_hidden, likely_lives
from wearlog.wear.impact import GroundRates, impact_prior
from wearlog.wear.intervals import Estimate
from wearlog.wear.lives import Lives
from wearlog.wear.own_life import OwnLife
from wearlog.wear.posterior import Posterior, fit_posteriors
from wearlog.wear.prior import Prior
from wearlog.wear.stones import StoneRates, stone_prior
from wearlog.wear.weibull import WeibullFit, fit_weibull

#: from so many failures on the plain fit stands beside the posterior
FAILURES_FOR_FIT = 5
#: the first laws of so many kinds are fitted at once: of all kinds they would lie in memory together
_AT_ONCE = 8


@dataclass(frozen=True, eq=False)
class KindLife:
    """A kind of part on the fleet, or on one machine. What follows from its lives is reckoned when it is first asked for, once.

    Attributes
    ----------
    kind : PartKind
    machine : int
        Place of the machine in the histories, NONE for the whole fleet.
    lives : Lives
        As the wear law sees them; ages in the units of the kind's meter, acres as they count on the usual mix of ground.
    posterior : Posterior or None
        None when nothing failed and nobody guessed, or what failed leaves the life without a bound.
    fit : WeibullFit or None
        The plain maximum-likelihood fit, from 5 failures on.
    impacts : GroundRates or None
        Breakages of one component per square metre, by Ground; None for a kind that stones do not break.
    area : float
        Square metres cut by the machines it sits on, while it sat there.
    stones : StoneRates or None
        The same by stones and what each takes; None where no stone was seen to take several, and where that is set aside.
    aside : frozenset of Departure
        What the farm set aside in the reckoning of this kind.
    machines : OwnMachines or None
        The life on each machine, where the records say that machines differ and nobody set it aside.
    ground : GroundWear or None
        How fast rough ground wears it, likewise.
    years : YearWear or None
        How much faster it wears from year to year, likewise; its life is then that of the year ahead.
    missing : KindShare or None
        What of it was never entered, where the counts of the shelf are sure that something lacks and nobody set it aside.
    parts : PartWear or None
        How unlike its part numbers wear, likewise; its life is then that of the number that is fitted now.
    """

    kind: PartKind
    machine: int
    lives: Lives
    posterior: Posterior | None
    fit: WeibullFit | None
    impacts: GroundRates | None
    area: float
    stones: StoneRates | None
    aside: frozenset[Departure]
    machines: OwnMachines | None = None
    ground: GroundWear | None = None
    years: YearWear | None = None
    missing: KindShare | None = None
    parts: PartWear | None = None

    @property
    def beyond(self) -> frozenset[Departure]:
        """What is reckoned beyond the plain model."""
        found = (
            (Departure.STONES, self.stones),
            (Departure.MACHINES, self.machines),
            (Departure.GROUND, self.ground),
            (Departure.YEARS, self.years),
            (Departure.MISSING, self.missing),
            (Departure.PARTS, self.parts),
        )
        return frozenset(what for what, law in found if law is not None)

    @property
    def entered(self) -> float:
        """Which share of its breakages was entered, as far as that is carried: 1 where the log may be complete."""
        return 1.0 if self.missing is None else self.missing.share.mean

    @cached_property
    def law(self) -> Posterior | OwnLife | None:
        """What is believed of the life here: of the kind, or of the one machine that it is about."""
        return self.law_on(self.machine)

    @property
    def is_one_for_all(self) -> bool:
        """Whether every place goes by the life of the kind."""
        return self.machines is None and self.ground is None

    @cached_property
    def clock(self) -> WearClock | None:
        """What ages count; None where an acre is an acre on every ground, in every year and for every part number."""
        found = WearClock(self.ground, self.years, self.parts)
        return None if self.ground is None and self.years is None and self.parts is None else found

    def usual_law_on(self, machine: int) -> Posterior | OwnLife | None:
        """Return the same in acres of the usual mix of ground."""
        if self.machines is None or machine == NONE or self.posterior is None:
            law: Posterior | OwnLife | None = self.posterior
        else:
            law = self.machines.on(machine)
        if law is None or (self.years is None and self.parts is None):
            return law
        # the same object for the same life: places that share it fail many together or few together
        if id(law) not in self._doubted:
            known = law if self.parts is None else self.parts.doubted(law)
            self._doubted[id(law)] = known if self.years is None else self.years.doubted(known)
        return self._doubted[id(law)]

    @cached_property
    def _doubted(self) -> dict[int, Posterior | OwnLife]:
        return {}

    def law_on(self, machine: int, mix: Floats | None = None) -> Posterior | OwnLife | None:
        """Return what is believed of the life on one machine (a place in the histories): its own where machines differ.

        Where ground has a speed of its own it is in acres of a mix, shape (grounds,); without one, of the mix that the machine
        has cut.
        """
        law = self.usual_law_on(machine)
        if self.ground is None or law is None or machine == NONE:
            return law
        return self.ground.law_at(law, self.ground.mixes[machine] if mix is None else mix)

    @cached_property
    def median_life(self) -> Estimate | None:
        return None if self.law is None else self.law.median_life()

    @cached_property
    def b10(self) -> Estimate | None:
        return None if self.law is None else self.law.life_at(0.1)

    @cached_property
    def b90(self) -> Estimate | None:
        """The usage by which nine in ten have failed, with its 90 % interval."""
        return None if self.law is None else self.law.life_at(0.9)

    @property
    def has_guess(self) -> bool:
        return self.kind.life_low_usage is not None

    @cached_property
    def guess_check(self) -> GuessCheck | None:
        """The guess of the life held against the lives; None where nobody guessed one."""
        return check_guess(self.lives, self.posterior) if self.has_guess else None

    @cached_property
    def impact_conflict(self) -> Conflict | None:
        """How what stones broke lies in what the guess of it foretells; None where nobody guessed, or nothing was cut."""
        if self.impacts is None or not self.has_impact_guess or not self.area:
            return None
        guess = impact_prior(self.impact_guesses)
        if self.stones is not None:
            return rate_conflict(stone_prior(guess), self.stones.exposure, sum(self.stones.stones))
        return rate_conflict(guess, self.impacts.exposure, sum(self.impacts.breakages))

    @property
    def broken_by_stones(self) -> StoneRates | GroundRates | None:
        """The law of the pieces that stones break: stone by stone where they were seen to take several."""
        return self.impacts if self.stones is None else self.stones

    @property
    def impact_guesses(self) -> tuple[float, ...]:
        """Breakages by impact per square metre that somebody guessed, by Ground; 0 where nobody did."""
        return guessed_impacts(self.kind)

    @property
    def has_impact_guess(self) -> bool:
        """Whether anybody guessed any; if not, what stands behind the rates is `NO_GUESS_IMPACTS`."""
        return any(self.impact_guesses)

    @property
    def impact_rates(self) -> tuple[Estimate, ...] | None:
        """Breakages by impact per square metre, by Ground: median, 90 % interval, and the mean that is reckoned with."""
        return None if self.broken_by_stones is None else self.broken_by_stones.estimates()


@dataclass(frozen=True, eq=False)
class FleetLives:
    """The records out of which lives are reckoned, read once for all kinds.

    Attributes
    ----------
    area : (components, 5) float64
        Square metres that the machine of each component has cut since its first part was fitted, by Ground, last where nobody
        knows on which.
    impacts : (components, 5) float64
        Positions broken by impact, likewise.
    stones : StoneRecords
        The stones that broke them.
    ground : GroundLines or None
        What machines with parts that acres wear had cut at any time; None where nobody noted rough ground.
    """

    farm: Farm
    ages: FittingAges
    records: LifeRecords
    area: Floats
    impacts: Floats
    stones: StoneRecords
    ground: GroundLines | None = None

    @cached_property
    def years(self) -> FarmYears | None:
        """Whether years have grown harder or easier on parts, over all kinds; None where no year is unlike another."""
        return self.trends.years

    @cached_property
    def trends(self) -> FarmTrends:
        """The same, and what new part numbers have brought."""
        guesses = {number: guess_of(self.farm.part_kinds[number]) for number in self.kinds()}
        rows = {number: self.rows_of(number) for number in guesses}
        return farm_trends(self.farm, rows, guesses, shares_entered(self.farm, self.shares))

    def rows_of(self, number: int) -> LifeRows:
        """Return the lives of a kind on machines, those alike in one row; made when they are first asked for."""
        if number not in self._rows:
            self._rows[number] = life_rows(self.farm, self.records, self.records.part_kind == number)
        return self._rows[number]

    @cached_property
    def _rows(self) -> dict[int, LifeRows]:
        return {}

    @cached_property
    def shares(self) -> dict[int, KindShare]:
        """How complete the log is of each kind whose parts were counted, by its place in the histories."""
        return shelf_shares(self.farm)

    def kinds(self, *, every: bool = False) -> list[int]:
        """Return the kinds that sit somewhere on the fleet; with `every` also those that somebody guessed a life for."""
        fitted = set(self.farm.histories.components.part_kind.tolist()) - {NONE}
        guessed = {number for number, kind in enumerate(self.farm.part_kinds) if kind.life_low_usage is not None}
        return sorted(fitted | guessed if every else fitted)


def fleet_lives(farm: Farm) -> FleetLives:
    """Read the lives and impacts of a farm."""
    histories, now = farm.histories, farm.now_microseconds
    ages = fitting_ages(histories, farm.lines, now)
    records = life_records(histories, farm.lines, ages, farm.part_kinds, now)
    first = np.full(len(histories.components.ids), now, dtype=np.int64)
    np.minimum.at(first, histories.fittings.component, histories.fittings.fitted_at)
    area = area_since(farm, histories.components.machine, first, now)
    components = histories.components
    by_area = histories.part_kinds.meter_kind[components.part_kind] == code_of(MeterKind.AREA)
    worn = np.unique(components.machine[by_area & (components.machine != NONE)])
    ground = ground_lines(farm, worn)
    return FleetLives(farm, ages, records, area, impacts_by_ground(farm), stone_records(farm), ground)


def kind_lives(lives: FleetLives, numbers: Sequence[int]) -> Iterator[KindLife]:
    """Yield the lives of kinds on the whole fleet; what their records say first is reckoned for several in one go."""
    records, kinds = lives.records, lives.farm.part_kinds
    for begin in range(0, len(numbers), _AT_ONCE):
        some = numbers[begin : begin + _AT_ONCE]
        asked = [(records.of_wear(records.part_kind == one), guess_of(kinds[one])) for one in some]
        known = [place for place, (seen, guess) in enumerate(asked) if guess.knows_life or seen.failures]
        told = dict(zip(known, fit_posteriors([asked[place] for place in known]), strict=True))
        for place, number in enumerate(some):
            yield kind_life(lives, number, told=(asked[place][0], told.pop(place, None)))


def kind_life(
    lives: FleetLives, number: int, machine: int = NONE, told: tuple[Lives, Posterior | None] | None = None
) -> KindLife:
    """Return the life of a kind, of the whole fleet or of one machine alone.

    `told` are its lives as the wear law sees them and what they say by themselves, where that is known already.
    """
    farm, kind = lives.farm, lives.farm.part_kinds[number]
    rows = lives.records.part_kind == number
    on = farm.histories.components.part_kind == number
    if machine != NONE:
        rows &= lives.records.machine == machine
        on &= farm.histories.components.machine == machine
    seen = lives.records.of_wear(rows) if told is None else told[0]
    aside = farm.settings.without(kind.name)
    missing = _missing(lives, number, aside)
    entered = 1.0 if missing is None else missing.share.mean
    by_stones = Departure.STONES not in aside
    impacts, stones, area = _impact_rates(lives, kind, on, by_stones=by_stones, entered=entered)
    guess = guess_of(kind)
    posterior = _posterior(guess, seen, entered, None if told is None else told[1])
    own, ground, years, parts = None, None, None, None
    clocked: GroundWear | PartWear | YearWear | None = None
    clock: Ages | None = None
    fleet = machine == NONE and posterior is not None
    if fleet and posterior is not None and Departure.GROUND not in aside:
        ground = ground_wear(farm, lives.ground, kind, lives.rows_of(number), guess, posterior)
        if ground is not None:
            clocked, clock = ground, ground.clock
            posterior = _posterior(guess, clocked.lives(), entered)
    mine = lives.rows_of(number) if fleet else None
    if mine is not None and posterior is not None and Departure.YEARS not in aside and lives.years is not None:
        years = year_wear(lives.years, number, farm, mine, kind.meter_kind, clock)
        clocked, clock = years, years.clock
        posterior = _posterior(guess, clocked.lives(), entered)
    if mine is not None and posterior is not None and Departure.PARTS not in aside:
        parts = part_wear(mine, clock, farm.histories.parts, guess, posterior, lives.trends.step_of(number))
        if parts is not None:
            clocked = parts
            posterior = _posterior(guess, clocked.lives(), entered)
    if fleet and posterior is not None and Departure.MACHINES not in aside:
        each = lives.records.of_wear_on(rows) if clocked is None else clocked.by_machine()
        each = dict(zip(each, likely_lives(list(each.values()), posterior, entered), strict=True))
        own = own_machines(farm, each, guess, posterior)
    seen = seen if clocked is None else clocked.lives()
    return KindLife(
        kind, machine, seen, posterior, _fit(seen), impacts, area, stones, aside, own, ground, years, missing, parts
    )


def _missing(lives: FleetLives, number: int, aside: frozenset[Departure]) -> KindShare | None:
    """Return what of a kind was never entered, where that is sure and not set aside."""
    found = None if Departure.MISSING in aside else lives.shares.get(number)
    return found if found is not None and found.share.is_short else None


def life_here(lives: FleetLives, number: int, machine: int = NONE) -> KindLife:
    """Return the life of a kind on the fleet, or on one machine by the records of all: its own law where machines differ.

    Lives, failures and what stones broke are those of the fleet, which it rests on: what is said of a machine's parts is the same
    on its page and on that of the fleet.
    """
    return replace(kind_life(lives, number), machine=machine)


def _posterior(guess: Prior, lives: Lives, entered: float, told: Posterior | None = None) -> Posterior | None:
    """Return what is believed of the life; `told` is what the lives say by themselves, where that is known already."""
    if not guess.knows_life and not lives.failures:
        return None
    try:
        return fit_with_hidden(lives, guess, entered, told)
    except DataError:
        # records and no guess can leave a life without a bound; that kind has no answer, the others have theirs
        return None


def _fit(lives: Lives) -> WeibullFit | None:
    if lives.failures < FAILURES_FOR_FIT or np.unique(lives.exit[lives.event]).size < 2:
        return None
    try:
        return fit_weibull(lives)
    except DataError:  # the likelihood of some records has no peak; the posterior speaks then, the plain fit does not
        return None


def _impact_rates(
    lives: FleetLives, kind: PartKind, on: Bools, *, by_stones: bool, entered: float
) -> tuple[GroundRates | None, StoneRates | None, float]:
    area, seen = lives.area[on].sum(axis=0), lives.impacts[on].sum(axis=0)
    stones = lives.stones.of(on) if by_stones else None
    return *impact_law(guessed_impacts(kind), area, seen, stones, entered), float(area.sum())
