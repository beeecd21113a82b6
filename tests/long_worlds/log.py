"""The log of a farm of a world: what a person would have entered, written past the ledger; no journal, which no reckoning reads."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Final
from uuid import UUID

import numpy as np

from tests.long_worlds.farms import ACRE, GUESS, RUNS, STONES, Farm, Kind, Told, told
from tests.long_worlds.worlds import SEASON, SEASONS, World
from wearlog.facts.closed_lists import Action, Cause, Ground, MachineKind, MeterKind, Removal, StockChange, Subsystem
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine
from wearlog.facts.parts import Part, PartFit, PartKind, StockMove
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Field, PlannedArea, Run, Season, SeasonPlan
from wearlog.store.content import row_of
from wearlog.store.finding import write_owned
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store
from wearlog.store.schema import table_of

FIRST_YEAR: Final = 2023
NOW: Final = datetime(FIRST_YEAR + SEASONS - 1, 11, 20, 12, tzinfo=UTC)
_MAY: Final = datetime(FIRST_YEAR, 5, 1, 12, tzinfo=UTC)
_HOURS: Final = timedelta(hours=12)
#: pieces of each part that lie there each spring, more where the season takes more
_IN_SPRING: Final = 20
_LABOUR: Final = 3600


@dataclass(frozen=True, slots=True)
class _Times:
    """When a part was put on, and when it was said to have been."""

    truly: datetime
    entered: datetime


def write_log(farm: Farm, file: Path, number: int) -> Store:
    """Write the log of a farm; the number draws what of its breaks is entered.

    Returns
    -------
    Store
        Open; whoever asked closes it.
    """
    store = create_store(Location(file=file))
    rows: dict[type[Fact], list[Fact]] = defaultdict(list)
    for fact in _facts(farm, np.random.default_rng([7, number])):
        rows[type(fact)].append(fact)
    with store.engine.begin() as connection:
        connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
        for fact_type, facts in rows.items():
            connection.execute(table_of(fact_type).insert(), [row_of(fact) for fact in facts])
            write_owned(connection, facts)
    return store


def run_begins(run: int) -> datetime:
    """Return when a run began, runs of all seasons counted on."""
    season, day = divmod(run, RUNS)
    return datetime(FIRST_YEAR + season, 7, 20, 8, tzinfo=UTC) + timedelta(days=3 * day)


def _facts(farm: Farm, rng: np.random.Generator) -> Iterator[Fact]:
    headers = [Machine(name=f"Header {n + 1}", kind=MachineKind.HEADER) for n in range(farm.world.machines)]
    combines = [Machine(name=f"Combine {n + 1}", kind=MachineKind.COMBINE) for n in range(farm.world.machines)]
    yield from headers
    yield from combines
    for header, combine in zip(headers, combines, strict=True):
        yield Hitch(header_id=header.id, combine_id=combine.id, from_at=_MAY)
    yield from _work(farm, headers, combines)
    for kind in farm.kinds:
        yield from _kind_facts(farm, kind, headers, rng)


def _work(farm: Farm, headers: list[Machine], combines: list[Machine]) -> Iterator[Fact]:
    fields = [
        Field(name=name, area_square_metres=round(SEASON), ground=ground)
        for name, ground in (("clean", Ground.CLEAN), ("stony", Ground.STONY))
    ]
    yield from fields
    seasons = [
        Season(harvest_year=year, starts_on=date(year, 1, 1), ends_on=date(year + 1, 1, 1))
        for year in range(FIRST_YEAR, FIRST_YEAR + SEASONS + 1)
    ]
    yield from seasons
    plan = SeasonPlan(season_id=seasons[-1].id)
    yield plan
    for place, (header, combine) in enumerate(zip(headers, combines, strict=True)):
        cut = np.diff(np.minimum(farm.land.area[place], farm.land.watched[place]))
        for run, area in enumerate(cut.tolist()):
            if area > 0:
                begun = run_begins(run)
                yield Run(
                    combine_id=combine.id,
                    header_id=header.id,
                    field_id=fields[run % 2].id,
                    started_at=begun,
                    ended_at=begun + _HOURS,
                    area_square_metres=round(area),
                )
        if is_here(farm, place):
            stony = float(farm.land.share[place, -1])
            for field, share in zip(fields, (1 - stony, stony), strict=True):
                yield PlannedArea(
                    season_plan_id=plan.id,
                    area_square_metres=round(SEASON * share),
                    field_id=field.id,
                    combine_id=combine.id,
                    header_id=header.id,
                )


def is_here(farm: Farm, header: int) -> bool:
    """Tell whether a header is still on the farm."""
    return bool(farm.land.watched[header] == farm.land.area[header, -1])


def _kind_facts(farm: Farm, kind: Kind, headers: list[Machine], rng: np.random.Generator) -> Iterator[Fact]:
    (low, high), (flat, steep) = GUESS
    guess = round(STONES * 1e12) if kind.is_row else 0
    life = {} if kind.is_row else {"life_low_usage": round(low * ACRE), "life_high_usage": round(high * ACRE)}
    shape = (
        {}
        if kind.is_row
        else {"shape_low_thousandths": round(flat * 1e3), "shape_high_thousandths": round(steep * 1e3)}
    )
    of_part = PartKind(
        name=kind.name,
        subsystem=Subsystem.HEADER,
        meter_kind=MeterKind.AREA,
        impacts_clean=guess,
        impacts_few_stones=guess,
        impacts_stony=guess,
        impacts_very_stony=guess,
        usual_labour_seconds=_LABOUR,
        **life,
        **shape,
    )
    yield of_part
    price = round(float(np.exp(rng.uniform(np.log(20_00), np.log(400_00)))))
    numbers = [Part(number=f"{kind.name}-1", name=kind.name, price_minor=price)]
    if farm.world.has_new_number and not kind.is_row:
        numbers.append(Part(number=f"{kind.name}-2", name=kind.name, price_minor=price))
    yield from numbers
    for part in numbers:
        yield PartFit(part_id=part.id, part_kind_id=of_part.id)
    components = [
        Component(machine_id=header.id, part_kind_id=of_part.id, place=kind.name, positions=kind.positions)
        for header in headers
    ]
    yield from components
    yield from _history(farm, kind, components, numbers, rng)


def _history(
    farm: Farm, kind: Kind, components: list[Component], numbers: list[Part], rng: np.random.Generator
) -> Iterator[Fact]:
    """Every fitting as the entered breakages make it, the breakages, and what the shelf saw."""
    chains: dict[tuple[int, int], list[Fitting]] = {}
    for header, component in enumerate(components):
        for position in range(1, kind.positions + 1):
            first = Fitting(component_id=component.id, position=position, fitted_at=_MAY, part_id=numbers[0].id)
            chains[header, position] = [first]
    used: list[tuple[_Times, UUID | None, UUID]] = []
    begins_new = run_begins(RUNS * SEASONS // 2)
    for times, one in sorted(_entered(farm, told(farm.world, kind, rng)), key=lambda row: row[0].entered):
        at = times.entered
        part = numbers[-1 if at >= begins_new else 0]
        if not one.entered:
            used.append((times, None, part.id))
            continue
        chain = chains[one.broke.header, one.position]
        component = components[one.broke.header]
        following = Fitting(component_id=component.id, position=one.position, fitted_at=at, part_id=part.id)
        chain[-1] = _ended(chain[-1], at, Removal.BROKE)
        breakage = Breakage(
            component_id=component.id,
            positions=(one.position,),
            at=at,
            cause=Cause.IMPACT if one.broke.by_stone else Cause.WEAR,
            action=Action.REPLACED,
            broke_fitting_ids=(chain[-1].id,),
            followed_fitting_ids=(following.id,),
        )
        chain.append(following)
        used.append((times, breakage.id, part.id))
        yield breakage
    for (header, _), chain in chains.items():
        if not is_here(farm, header):
            chain[-1] = _ended(chain[-1], run_begins(RUNS * SEASONS - RUNS // 2), Removal.MOVED)
        yield from chain
    if farm.world.shelf:
        yield from _shelf(farm.world, numbers, used, rng)


def _entered(farm: Farm, breaks: list[Told]) -> Iterator[tuple[_Times, Told]]:
    """When each break stands in the log: within its run as its area says, a week later where it was entered late."""
    last: dict[tuple[int, int], datetime] = {}
    for one in breaks:
        area = farm.land.area[one.broke.header]
        run = min(int(np.searchsorted(area, one.broke.area, "right")) - 1, area.size - 2)
        share = (one.broke.area - area[run]) / (area[run + 1] - area[run])
        at = run_begins(run) + _HOURS * float(share) + timedelta(minutes=one.broke.minute)
        truly = at
        if one.late:
            at = min(at + timedelta(days=7), NOW - timedelta(days=1))
        at = at.replace(microsecond=at.microsecond // 1000 * 1000)
        place = (one.broke.header, one.position)
        # two breaks of one position stand a second apart at least
        at = max(at, last.get(place, _MAY) + timedelta(seconds=1)) if at == last.get(place) else at
        last[place] = at
        yield _Times(truly, at), one


def _ended(fitting: Fitting, at: datetime, removal: Removal) -> Fitting:
    return Fitting(
        id=fitting.id,
        component_id=fitting.component_id,
        position=fitting.position,
        fitted_at=fitting.fitted_at,
        part_id=fitting.part_id,
        removed_at=max(at, fitting.fitted_at + timedelta(seconds=1)),
        removal=removal,
    )


def _shelf(
    world: World, numbers: list[Part], used: list[tuple[_Times, UUID | None, UUID]], rng: np.random.Generator
) -> Iterator[Fact]:
    """Bought each spring, taken when it was put on and entered when that was entered, counted once a year."""
    for part in numbers:
        mine = [(times, breakage) for times, breakage, part_id in used if part_id == part.id]
        on_hand = 0
        yield StockMove(part_id=part.id, at=_MAY, change=StockChange.COUNTED, quantity=0)
        for year in range(FIRST_YEAR, FIRST_YEAR + SEASONS):
            spring, winter = datetime(year, 5, 2, 12, tzinfo=UTC), datetime(year, 11, 10, 12, tzinfo=UTC)
            this_year = sum(times.entered.year == year for times, _ in mine)
            bought = max(_IN_SPRING, this_year - on_hand)
            on_hand += bought
            yield StockMove(part_id=part.id, at=spring, change=StockChange.RECEIVED, quantity=bought)
            count_at = datetime(year, 8, 5, 12, tzinfo=UTC) if world.counted_at_work else winter
            gone = sum(times.truly.year == year and times.truly <= count_at for times, _ in mine)
            off = int(rng.choice([-1, 1])) if rng.uniform() < world.miscounted else 0
            counted = max(on_hand - gone + off, 0)
            yield StockMove(part_id=part.id, at=count_at, change=StockChange.COUNTED, quantity=counted)
            on_hand -= sum(times.truly.year == year for times, _ in mine)
        for times, breakage_id in mine:
            if breakage_id is not None:
                yield StockMove(
                    part_id=part.id, at=times.entered, change=StockChange.USED, quantity=1, breakage_id=breakage_id
                )
