"""The whole story of one invented farm as facts: beginning, six seasons with the winters between, and the plan for the next."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final
from uuid import UUID

from wearlog.exchange.headings import FACT_OF_SHEET
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.facts.work import Crop, Season

from .circuits import write_circuits
from .draws import Draws
from .farm_kinds import FARM_KINDS
from .farm_land import COMBINES, FIRST_YEAR, HEADERS, LAST_YEAR, LOG_BEGINS, WREN_BOUGHT, write_land
from .fitted_sets import FittedSet
from .fleet_parts import spots_of
from .harvest_seasons import HarvestSeasons
from .known_lives import life_of
from .machine_states import Counters, MachineState
from .records import Records, farm_time
from .season_to_come import write_plan
from .service_rounds import ServiceRounds
from .shop_bills import write_bills
from .stock_shelf import FIRST_DELIVERY, Shelf
from .tines_on_trial import try_tines
from .wear_measurements import measure
from .workshop import Workshop

SEED: Final = 20261120
#: one seed names the rows; of the farms that chance could make of them this one shows what the demo is to show (its hot window)
TELLING: Final = 70
_KINDS: Final = {kind.name: kind for kind in FARM_KINDS}
#: what farms in one file share
_SHARED: Final = (PartKind, Crop, Season, Setting)
_ORDER: Final = {fact: place for place, fact in enumerate(FACT_OF_SHEET.values())}
_METER_REPLACED: Final = ("Alder", date(2023, 2, 15))


def farm_facts(seed: int = SEED, label: str = "") -> list[Fact]:
    """Return every fact of one farm, rows that are pointed at before the rows that point at them.

    Parameters
    ----------
    seed : int
        Decides every draw and every id.
    label : str
        Put behind the names of machines, fields and parts, so that many farms can lie in one file.
    """
    return _Farm(seed, label).played()


def many_farms(count: int, seed: int = SEED) -> Iterator[list[Fact]]:
    """Yield the facts of `count` farms that can lie in one file: what they share comes with the first one only."""
    given: set[UUID] = set()
    for number in range(count):
        facts = farm_facts(seed + number, label=f"{number + 1:03d}")
        yield [fact for fact in facts if fact.id not in given]
        given.update(fact.id for fact in facts if isinstance(fact, _SHARED))


class _Farm:
    """One farm while its story is told."""

    def __init__(self, seed: int, label: str) -> None:
        self.records = Records(seed, label)
        self.draws = Draws(seed + TELLING)
        for kind in FARM_KINDS:
            self.records.add(kind)
        write_land(self.records)
        write_circuits(self.records)
        self.shelf = Shelf(self.records, self.draws)
        self.states = {name: MachineState(name, self.records.id_of("machine", name)) for name in (*COMBINES, *HEADERS)}
        self.present = {name for name in self.states if name != "Wren"}
        for name in sorted(self.present):
            self._furnish(name, LOG_BEGINS)
        self.counters = {name: Counters(self.records, self.states[name]) for name in COMBINES}
        self.workshop = Workshop(self.records, self.draws, self.shelf)
        self.services = ServiceRounds(self.records, self.draws, self.states)

    def played(self) -> list[Fact]:
        """Play all years and return the facts in the order of the sheets."""
        seasons = HarvestSeasons(self.records, self.draws, self.states, self.workshop, self.counters, self.services)
        self.shelf.stock_up(FIRST_DELIVERY)
        for year in range(FIRST_YEAR, LAST_YEAR + 1):
            self._winter_and_spring(year)
            write_bills(self.records, self.states, year)
            seasons.play(year)
            self._autumn(year)
        for name in self.states:
            for fitted in self.states[name].sets:
                fitted.write_open(self.records)
        try_tines(self.records)
        write_plan(self.records, self.states)
        return _in_sheet_order(self.records.facts)

    def _furnish(self, name: str, day: date) -> None:
        state = self.states[name]
        for spot in spots_of(name):
            kind = _KINDS[spot.kind]
            component = Component(
                id=self.records.id_of("component", f"{name} {spot.place}"),
                machine_id=state.id,
                part_kind_id=kind.id,
                place=spot.place,
                positions=spot.positions,
            )
            self.records.add(component)
            part_id = self.shelf.part_id(spot.kind)
            fitted = FittedSet(component, kind.meter_kind, spot.kind, part_id, life_of(spot.kind), self.draws)
            used = state.used(kind.meter_kind)
            fitted.begin(farm_time(day, 12), spot.age, used, age_known=spot.age_known)
            state.sets.append(fitted)

    def _winter_and_spring(self, year: int) -> None:
        if year == WREN_BOUGHT.year:
            self._furnish("Wren", WREN_BOUGHT)
            self.present.add("Wren")
        if year == FIRST_YEAR:
            self._read_all(LOG_BEGINS, 12)
        else:
            old = [
                name
                for name in self.states
                if name in self.present and not (name == "Wren" and year == WREN_BOUGHT.year)
            ]
            self.workshop.winter_work([self.states[name] for name in old], year)
            self.shelf.stock_up(date(year, 6, 4))
            for name in COMBINES:
                # moving about the yard and the shop
                self.states[name].engine_seconds += round(self.draws.uniform(2, 6) * 10) * 360
            self._replace_counter(year)
            self._read_all(date(year, 3, 2), 12)
        self.services.before_season(self.states, year, self.present)
        for name in sorted(self.present):
            measure(self.records, self.draws, self.states[name], date(year, 6, 22))

    def _replace_counter(self, year: int) -> None:
        name, day = _METER_REPLACED
        if day.year == year:
            self.counters[name].replace(MeterKind.SEPARATOR_HOURS, farm_time(day, 11), farm_time(day, 9))

    def _autumn(self, year: int) -> None:
        self._read_all(date(year, 11, 9), 14)
        self.shelf.count(date(year, 11, 12))
        for name in sorted(self.present):
            measure(self.records, self.draws, self.states[name], date(year, 11, 16) + timedelta(days=1))

    def _read_all(self, day: date, hour: float) -> None:
        for name in COMBINES:
            for kind in (MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS):
                self.counters[name].read(kind, farm_time(day, hour))


def _in_sheet_order(facts: list[Fact]) -> list[Fact]:
    return sorted(facts, key=lambda fact: _ORDER[type(fact)])
