"""Everything known of one kind of part in one answer: outlook, lives, measurements, and where it is hit most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Cause
from wearlog.facts.departures import Departure
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Component
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.age_groups import outlook_basis
from wearlog.reckoning.wear.kind_life import FleetLives
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.reckoning.wear.records_alone import RecordsAlone, break_counts, records_alone
from wearlog.reckoning.wear.season_ahead import SeasonAhead
from wearlog.reckoning.wear.stone_records import stone_records
from wearlog.reckoning.wear.wear_outlook import CountRange, KindOutlook, WearOutlook, kind_outlook, wear_outlook
from wearlog.store.connection import Connection
from wearlog.store.histories import NONE, Ints, code_of
from wearlog.wear.compare import Comparison, compare_groups
from wearlog.wear.scan import HotWindow, scan_positions, scan_stones


@dataclass(frozen=True, slots=True)
class LifeCounts:
    """Lives of one kind.

    Attributes
    ----------
    worn, impact, secondary : int
        Ended by wear (worn, fatigue, loosened, cause unknown), by a stone, by another breakage.
    removed : int
        Taken off whole.
    running : int
        Still running whole.
    unknown_age : int
        Of all these: not used for ages, because nobody knows the age.
    unmoved : int
        Worn out before their meter had moved; not used for ages either.
    entered_late : int
        Came under watch at a known age: fitted used, moved from another machine, or mended and run on.
    between : int
        Worn lives whose end is only known to lie between two measurements.
    in_service_failed : int
        Parts that broke, or were measured past their limit, and are still fitted.
    """

    worn: int
    impact: int
    secondary: int
    removed: int
    running: int
    unknown_age: int
    unmoved: int
    entered_late: int
    between: int
    in_service_failed: int

    @property
    def total(self) -> int:
        return self.worn + self.impact + self.secondary + self.removed + self.running


def life_counts(lives: FleetLives, number: int, machine: int = NONE) -> LifeCounts:
    """Count the lives of a kind, of the whole fleet or of one machine."""
    records, fittings = lives.records, lives.farm.histories.fittings
    mine = records.part_kind == number
    of_kind = lives.farm.histories.components.part_kind[fittings.component] == number
    if machine != NONE:
        mine &= records.machine == machine
        of_kind &= lives.ages.machine == machine
    ended, known = records.ended_by[mine], ~np.isnan(records.exit[mine])
    on = of_kind & lives.ages.on & (fittings.fitted_at <= lives.farm.now_microseconds)
    running = int((on & ~records.failed_fitting).sum())
    worn = ended == 1
    return LifeCounts(
        worn=int(worn.sum()),
        impact=int((ended == 2).sum()),
        secondary=int((ended == 3).sum()),
        removed=max(int((ended == 0).sum()) - running, 0),
        running=min(running, int((ended == 0).sum())),
        unknown_age=int((~known).sum()),
        unmoved=int((worn & known & (records.exit[mine] <= records.entry[mine])).sum()),
        entered_late=int((records.entry[mine] > 0).sum()),
        between=int((worn & known & (records.last_seen[mine] < records.exit[mine])).sum()),
        in_service_failed=int((on & records.failed_fitting).sum()),
    )


@dataclass(frozen=True, slots=True, eq=False)
class KindView:
    """One kind, of the whole fleet or of one machine.

    Attributes
    ----------
    machine : Machine or None
        The one machine it is about.
    differ : float or None
        p-value of the test whether machines differ in this kind; None when there is too little to test.
    measured : tuple of MeasuredPart
        The likeliest to meet its limit first.
    alone : RecordsAlone
        What the records say without the starting guess.
    to_break : CountRange or None
        How many break in the season ahead, each part now on once; None where nothing can be said of any.
    """

    row: KindOutlook
    machine: Machine | None
    ahead: SeasonAhead
    counts: LifeCounts
    differ: float | None
    hot: tuple[HotPlace, ...]
    measured: tuple[MeasuredPart, ...]
    alone: RecordsAlone
    to_break: CountRange | None


@dataclass(frozen=True, slots=True, eq=False)
class MachineWear:
    """The outlook of one machine from its own records, and for each of its kinds the p-value of the test that machines differ."""

    machine: Machine
    outlook: WearOutlook
    differ: tuple[tuple[str, float], ...]


def kind_view(connection: Connection, farm: Farm, number: int, machine: int = NONE) -> KindView:
    """Reckon one kind; `number` and `machine` are places in the histories."""
    basis = outlook_basis(connection, farm)
    comparison = machines_differ(basis.lives, number)
    measured = sorted(
        basis.measured_of(number, machine), key=lambda part: (-urgency(part), -part.usage_now, part.fitting)
    )
    row = kind_outlook(basis, number, machine)
    return KindView(
        row=row,
        machine=None if machine == NONE else farm.machines[machine],
        ahead=basis.ahead,
        counts=life_counts(basis.lives, number),
        differ=None if comparison is None else comparison.p_value,
        hot=hot_windows(farm, number, machine),
        measured=tuple(measured),
        alone=records_alone(row.life),
        to_break=break_counts(row),
    )


def urgency(part: MeasuredPart) -> float:
    """The chance to meet the limit; a single reading gives none, but its line may have met it already."""
    return float(part.past_by_line) if part.chance is None else part.chance


def machine_wear(connection: Connection, farm: Farm, machine: int) -> MachineWear:
    """Reckon the kinds on one machine from its records alone."""
    outlook = wear_outlook(connection, farm, machine)
    components = farm.histories.components
    numbers = sorted(set(components.part_kind[components.machine == machine].tolist()) - {NONE})
    differ = []
    for number in numbers:
        comparison = machines_differ(outlook.basis.lives, number)
        if comparison is not None:
            differ.append((farm.part_kinds[number].name, comparison.p_value))
    return MachineWear(farm.machines[machine], outlook, tuple(differ))


#: fewer positions are no row along which hits could bunch
FEWEST_POSITIONS = 8

#: fewer hits can bunch by chance anywhere
FEWEST_HITS = 4

#: enough even spreads to tell a chance of 1 in 2,000
SIMULATIONS = 1999

#: a window is called hot below this chance, shared among the rows looked at
HOT = 0.05


@dataclass(frozen=True, slots=True)
class HotPlace:
    """The strongest window of one component.

    Attributes
    ----------
    component : Component
    kind : str
        What its part is called.
    window : HotWindow
    hits : int
        Stones along the whole component, each once however many neighbours it took and however they were entered.
    looked_at : int
        How many components of the kinds asked for have enough hits, on whatever machine: one is hot beside all of them.
    """

    component: Component
    kind: str
    window: HotWindow
    hits: int
    looked_at: int

    @property
    def is_hot(self) -> bool:
        """Whether chance alone is unlikely to show this on any of the components looked at."""
        return self.window.p_value * self.looked_at < HOT


def hot_windows(farm: Farm, number: int = NONE, machine: int = NONE) -> tuple[HotPlace, ...]:
    """Scan the components of a kind, of a machine, or all of them.

    Parameters
    ----------
    number, machine : int
        Place of a part kind and of a machine in the histories; NONE for all.

    Returns
    -------
    tuple of HotPlace
        Every component with enough positions and hits, the surest first.
    """
    components = farm.histories.components
    asked = np.flatnonzero(
        (components.positions >= FEWEST_POSITIONS) & ((components.part_kind == number) | (number == NONE))
    )
    rows = [(place, hits) for place, hits in _hits_along(farm, asked) if len(hits[0]) >= FEWEST_HITS]
    found = [
        _scanned(farm, place, hits, len(rows))
        for place, hits in rows
        if machine in (NONE, int(components.machine[place]))
    ]
    return tuple(sorted(found, key=lambda one: (one.window.p_value, -one.window.ratio)))


def _scanned(farm: Farm, place: int, hits: tuple[Ints, Ints], looked_at: int) -> HotPlace:
    component = farm.components[place]
    # seeded by the component, so that the same log gives the same answer on every laptop
    rng, (first, last) = np.random.default_rng(component.id.int), hits
    if (first == last).all():
        counts = np.bincount(first - 1, minlength=component.positions)
        window = scan_positions(counts, rng, simulations=SIMULATIONS)
    else:
        window = scan_stones(first, last, component.positions, rng, simulations=SIMULATIONS)
    kind = farm.part_kinds[int(farm.histories.components.part_kind[place])]
    return HotPlace(component, kind.name, window, len(first), looked_at)


def _hits_along(farm: Farm, places: Ints) -> list[tuple[int, tuple[Ints, Ints]]]:
    """Return for each component the first and the last position of every stone that hit it."""
    components, stones = farm.histories.components, stone_records(farm)
    found = []
    by_entry = _hits_by_position(farm, places)
    for place in places.tolist():
        positions = int(components.positions[place])
        if Departure.STONES in farm.settings.without(farm.part_kinds[int(components.part_kind[place])].name):
            middle = np.repeat(np.arange(positions), by_entry[place]) + 1
            found.append((place, (middle, middle)))
            continue
        mine = (stones.component == place) & (stones.first <= positions)
        found.append((place, (stones.first[mine], np.minimum(stones.last[mine], positions))))
    return found


def _hits_by_position(farm: Farm, places: Ints) -> dict[int, Ints]:
    """Count the events by impact at each position, each event once, at the middle of the positions it broke."""
    breakages, positions = farm.histories.breakages, farm.histories.components.positions
    found = {int(place): np.zeros(int(positions[place]), dtype=np.int64) for place in places}
    by_impact = (breakages.cause == code_of(Cause.IMPACT)) & (breakages.at <= farm.now_microseconds)
    for row in np.flatnonzero(by_impact & np.isin(breakages.component, places)).tolist():
        counts = found[int(breakages.component[row])]
        broken = [position for position in breakages.positions[row] if position <= counts.size]
        if broken:
            counts[broken[len(broken) // 2] - 1] += 1
    return found


def machines_differ(lives: FleetLives, number: int) -> Comparison | None:
    """Test whether the machines wear a kind differently.

    Returns
    -------
    Comparison or None
        None unless two machines have each seen failures at two ages: with fewer the likelihood climbs without end.
    """
    mine = lives.records.part_kind == number
    groups = [
        lives.records.of_wear(mine & (lives.records.machine == one)) for one in np.unique(lives.records.machine[mine])
    ]
    scattered = [group for group in groups if np.unique(group.exit[group.event]).size >= 2]
    if len(scattered) < 2:
        return None
    try:
        return compare_groups([group for group in groups if len(group)])
    except DataError:
        # records whose likelihood has no peak cannot be compared either
        return None
