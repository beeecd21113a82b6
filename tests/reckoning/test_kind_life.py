"""The life of a kind: guess and records together, fleet and one machine, and the demo fleet's known lives recovered."""

from __future__ import annotations

import csv
import math
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from tests.small_farm import ACRE, AUGUST, HOUR, SmallFarm, harvest, land, unguessed_kind
from wearlog.facts.closed_lists import Cause, Ground, MeterKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.work import Field, Run
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.work.working import cut
from wearlog.reckoning.farm import Farm, read_farm
from wearlog.reckoning.wear.guessed_kinds import guess_of
from wearlog.reckoning.wear.kind_life import (
    FleetLives,
    KindLife,
    fleet_lives,
    kind_life,
    kind_lives,
)
from wearlog.reckoning.wear.kind_view import machines_differ
from wearlog.reckoning.wear.stone_records import NO_GUESS_IMPACTS
from wearlog.reckoning.work.ground import area_by_ground, area_since, run_at
from wearlog.store.finding import find_all
from wearlog.store.histories import NONE, code_of
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.wear.impact import impact_prior
from wearlog.wear.intervals import Interval
from wearlog.wear.lives import Lives
from wearlog.wear.posterior import fit_posterior
from wearlog.wear.prior import starting_guess
from wearlog.wear.rates import constant_rate_interval

TRUTH = Path(__file__).parents[2] / "demo_fleet" / "truth" / "truth.csv"
AUTUMN = AUGUST + timedelta(days=60)


def number_of(farm: Farm, name: str) -> int:
    return [one.name for one in farm.part_kinds].index(name)


def life_of(farm: SmallFarm, name: str, machine: int = NONE) -> KindLife:
    lives = fleet_lives(read_farm(farm.store, AUTUMN))
    return kind_life(lives, number_of(lives.farm, name), machine)


@pytest.fixture
def demo_lives(demo_store) -> FleetLives:  # type: ignore[no-untyped-def]
    return fleet_lives(read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z")))


def truth() -> dict[str, dict[str, str]]:
    with TRUTH.open(encoding="utf-8", newline="") as file:
        return {row["kind"]: row for row in csv.DictReader(file)}


def test_with_no_life_seen_the_starting_guess_speaks(file_farm: SmallFarm) -> None:
    """The knife has not moved an acre: the median of the posterior is that of the guess, 1,500 to 8,000 acres."""
    found = life_of(file_farm, "knife section")
    assert found.lives.count == 0
    median = found.median_life
    assert median is not None
    assert median.median == pytest.approx(math.sqrt(1500 * 8000) * ACRE, rel=1e-3)


def test_the_guess_is_held_against_the_records_once(file_farm: SmallFarm) -> None:
    """Sentences and JSON ask several times; each pass over the laws of the guess would be one too many."""
    life = life_of(file_farm, "knife section")
    assert life.guess_check is not None
    assert life.guess_check is life.guess_check
    assert life.median_life is life.median_life
    assert life.impact_conflict is life.impact_conflict


def test_lives_that_last_move_the_guess_up(file_farm: SmallFarm) -> None:
    before = life_of(file_farm, "knife section").median_life
    harvest(file_farm, acres=2500, hours=100)
    after = life_of(file_farm, "knife section").median_life
    assert before is not None
    assert after is not None
    assert after.low > before.low
    assert after.median > before.median


def test_a_kind_without_guess_and_failure_has_no_life(file_farm: SmallFarm) -> None:
    unguessed_kind(file_farm.store)
    found = life_of(file_farm, "crop divider")
    assert (found.posterior, found.median_life, found.b10, found.fit) == (None, None, None, None)


@pytest.mark.parametrize(
    ("life", "shape", "median"),
    [((3600, 3600), (2000, 2000), 3600.0), ((900, 3600), (1, 900_000), 1800.0), ((900, 3600), (None, None), 1800.0)],
)
def test_a_guess_without_room_or_beyond_reason_is_still_a_guess(
    life: tuple[int, int], shape: tuple[int | None, int | None], median: float
) -> None:
    odd = replace(
        STARTING_KINDS[0],
        life_low_usage=life[0],
        life_high_usage=life[1],
        shape_low_thousandths=shape[0],
        shape_high_thousandths=shape[1],
    )
    found = fit_posterior(Lives.of([], []), guess_of(odd)).median_life()
    assert found.low < found.high
    assert found.median == pytest.approx(median, rel=1e-3)


def test_stones_count_on_the_ground_they_lay_on(file_farm: SmallFarm) -> None:
    land(file_farm)
    with file_farm.store.reading() as connection:
        stony = find_all(connection, Field)[0]
    run = Run(
        combine_id=file_farm.combine.id,
        field_id=stony.id,
        started_at=AUGUST,
        ended_at=AUGUST + timedelta(hours=10),
        area_square_metres=round(100 * ACRE),
    )
    cut(file_farm.store, run)
    log_breakage(
        file_farm.store,
        BreakageEntry(
            component_id=file_farm.knife.id, positions=(5, 6), at=AUGUST + timedelta(hours=5), cause=Cause.IMPACT
        ),
    )
    impacts = life_of(file_farm, "knife section").impacts
    assert impacts is not None
    assert impacts.breakages == (0, 0, 2, 0)
    assert impacts.exposure == pytest.approx((0, 0, 100 * ACRE, 0), abs=1)


def test_stones_on_ground_nobody_noted_are_shared_over_the_classes(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    log_breakage(
        file_farm.store,
        BreakageEntry(
            component_id=file_farm.knife.id, positions=(5, 6), at=AUGUST + timedelta(hours=5), cause=Cause.IMPACT
        ),
    )
    impacts = life_of(file_farm, "knife section").impacts
    assert impacts is not None
    # nothing was ever noted: all of it is taken as few stones, breakages and acres alike
    assert impacts.breakages == pytest.approx((0, 2, 0, 0))
    assert impacts.exposure == pytest.approx((0, 100 * ACRE, 0, 0), abs=1)


def test_a_farm_that_notes_no_ground_expects_what_it_has_seen(file_farm: SmallFarm) -> None:
    """12 stones in 3,000 acres: 4 in 1,000, less with the smaller guess behind it; not the 1.1 that a quarter of them would be."""
    for number in range(12):
        harvest(file_farm, acres=250, at=AUGUST + timedelta(days=number))
        at = AUGUST + timedelta(days=number, hours=5)
        log_breakage(
            file_farm.store,
            BreakageEntry(component_id=file_farm.knife.id, positions=(5,), at=at, cause=Cause.IMPACT),
        )
    found = life_of(file_farm, "knife section")
    assert found.impacts is not None
    assert found.impacts.breakages == pytest.approx((0, 12, 0, 0))
    rates = found.impact_rates
    assert rates is not None
    few = rates[code_of(Ground.FEW_STONES)]
    assert 4 in Interval(few.low * 1000 * ACRE, few.high * 1000 * ACRE, few.level)
    assert few.mean == found.impacts.rates[1].mean
    guess = impact_prior(found.impact_guesses)
    assert few.mean == pytest.approx((guess[1].shape + 12) / (guess[1].exposure + 3000 * ACRE), rel=1e-6)
    # of the other ground nothing was seen: the guess stands as it is
    assert [found.impacts.rates[place] for place in (0, 2, 3)] == [guess[0], guess[2], guess[3]]


def test_what_stood_behind_the_rates_of_stones_is_told(file_farm: SmallFarm) -> None:
    knife = life_of(file_farm, "knife section")
    assert knife.has_impact_guess
    per_thousand = [guess * 1000 * ACRE for guess in knife.impact_guesses]
    assert per_thousand == pytest.approx(
        [getattr(knife.kind, f"impacts_{ground.value}") * ACRE / 1e9 for ground in Ground]
    )
    joint = life_of(file_farm, "universal joint")
    assert (joint.has_impact_guess, joint.impact_rates) == (False, None)
    assert 1000 * ACRE * NO_GUESS_IMPACTS.mean == pytest.approx(0.5)


def test_before_anything_is_fitted_only_who_asks_for_every_kind_gets_the_guessed_ones(file_store: Store) -> None:
    with file_store.writing() as connection:
        record(connection, device=file_store.device, said="began", entries=[Entry(one) for one in STARTING_KINDS])
    lives = fleet_lives(read_farm(file_store, AUTUMN))
    assert lives.kinds() == []
    guessed = {lives.farm.part_kinds[number].name for number in lives.kinds(every=True)}
    assert guessed == {one.name for one in STARTING_KINDS if one.life_low_usage is not None}
    assert all(kind_life(lives, number).median_life is not None for number in lives.kinds(every=True))


def test_one_machine_alone_rests_on_its_own_records(demo_lives: FleetLives) -> None:
    farm = demo_lives.farm
    number = number_of(farm, "knife section")
    headers = [place for place, one in enumerate(farm.machines) if one.name in ("Kestrel", "Merlin", "Plover", "Wren")]
    alone = [kind_life(demo_lives, number, place) for place in headers]
    whole = kind_life(demo_lives, number)
    assert sum(one.lives.failures for one in alone) == whole.lives.failures == 75
    assert sum(one.area for one in alone) == pytest.approx(whole.area)


def test_the_posterior_is_that_of_the_lives_and_the_library_guess(demo_lives: FleetLives) -> None:
    number = number_of(demo_lives.farm, "guard")
    found, guess = kind_life(demo_lives, number), demo_lives.farm.part_kinds[number]
    assert guess.life_low_usage is not None
    assert guess.life_high_usage is not None
    wanted = fit_posterior(found.lives, starting_guess((guess.life_low_usage, guess.life_high_usage), (1.5, 4.0)))
    assert found.median_life == wanted.median_life()


def test_known_lives_are_recovered_within_their_intervals(
    demo_lives: FleetLives, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of the 26 kinds of the fleet: at 90 % most, at 99 % all; medians and shapes alike."""
    known = truth()
    inside = {0.9: [0, 0], 0.99: [0, 0]}
    reckoned = 0
    for number in demo_lives.kinds():
        life = kind_life(demo_lives, number)
        row = known.get(life.kind.name)
        if row is None or life.posterior is None:
            continue
        reckoned += 1
        shape = float(row["shape"])
        median = float(row["scale"]) * math.log(2) ** (1 / shape) * (ACRE if row["unit"] == "ac" else HOUR)
        for level, count in inside.items():
            count[0] += median in life.posterior.median_life(level).interval
            count[1] += shape in life.posterior.shape(level).interval
    with capsys.disabled():
        print(f"\nof {reckoned} kinds (medians, shapes) recovered: {inside}")
    assert reckoned == 26
    assert min(inside[0.9]) >= 21
    assert inside[0.99] == [26, 26]


def test_known_rates_of_stones_are_recovered_by_ground(
    demo_lives: FleetLives, capsys: pytest.CaptureFixture[str]
) -> None:
    """Events by ground over the acres cut there, with exact intervals; Merlin's hot knife is left out."""
    farm, breakages = demo_lives.farm, demo_lives.farm.histories.breakages
    components = farm.histories.components
    run = run_at(farm, components.machine[breakages.component], breakages.at)
    ground = np.where(run == NONE, len(Ground), farm.histories.runs.ground[run])
    by_stone = breakages.cause == code_of(Cause.IMPACT)
    merlin = next(place for place, one in enumerate(farm.machines) if one.name == "Merlin")
    asked, inside = 0, {0.9: 0, 0.99: 0}
    for kind, row in truth().items():
        on = components.part_kind == number_of(farm, kind)
        if kind in ("knife section", "guard"):
            on &= components.machine != merlin
        area = demo_lives.area[on].sum(axis=0)
        for place, one in enumerate(Ground):
            rate = float(row[f"impacts_{one.value}_per_1000_ac"]) / 1000 / ACRE
            if rate > 0:
                asked += 1
                events = int((by_stone & on[breakages.component] & (ground == place)).sum())
                for level in inside:
                    inside[level] += 1 / rate in constant_rate_interval(events, float(area[place]), level)
    with capsys.disabled():
        print(f"\nof {asked} rates by ground recovered: {inside}")
    assert asked == 28
    assert inside[0.9] >= 22
    assert inside[0.99] >= 27


def test_what_the_program_says_of_stones_holds_their_known_rates(
    demo_lives: FleetLives, capsys: pytest.CaptureFixture[str]
) -> None:
    """The posterior by ground, guess and records together, of every kind; of knife sections on the headers without the hot window.

    One stone breaks one, two or three neighbouring sections or guards with chances 0.7, 0.2 and 0.1: 1.4 positions.
    """
    farm = demo_lives.farm
    cool = [place for place, one in enumerate(farm.machines) if one.name in ("Kestrel", "Plover", "Wren")]
    asked, inside = 0, {0.9: 0, 0.99: 0}
    for kind, row in truth().items():
        machines = cool if kind == "knife section" else [NONE]
        known = [float(row[f"impacts_{one.value}_per_1000_ac"]) / 1000 / ACRE for one in Ground]
        positions = 1.4 if kind in ("knife section", "guard") else 1.0
        for machine in machines if any(known) else []:
            impacts = kind_life(demo_lives, number_of(farm, kind), machine).impacts
            for rate, law in zip(known, impacts.rates if impacts else (), strict=impacts is not None):
                asked += rate > 0
                for level in inside:
                    inside[level] += rate > 0 and rate * positions in law.estimate(level).interval
    with capsys.disabled():
        print(f"\nof {asked} rates as the program gives them: {inside}")
    assert asked == 36
    assert inside[0.9] >= 30
    assert inside[0.99] >= 35


def test_machines_that_wear_alike_are_not_called_different(demo_lives: FleetLives) -> None:
    """On the demo fleet all machines share one law: of the kinds that can be tested hardly any is called different."""
    found = [machines_differ(demo_lives, number) for number in demo_lives.kinds()]
    values = [one.p_value for one in found if one is not None]
    assert len(values) >= 8
    assert sum(value < 0.05 for value in values) <= 2


def test_too_few_failures_are_not_compared(demo_lives: FleetLives) -> None:
    """Concave: three failures on three machines; each could have a law of its own that fits it exactly."""
    assert machines_differ(demo_lives, number_of(demo_lives.farm, "concave")) is None


def test_area_since_an_instant_agrees_with_adding_up_run_by_run(demo_lives: FleetLives) -> None:
    farm = demo_lives.farm
    runs, stretches = farm.histories.runs, farm.lines.stretches
    rng = np.random.default_rng(3)
    first, last = int(runs.start.min()), farm.now_microseconds
    machine = rng.integers(0, len(farm.machines), 40)
    since = rng.integers(first - 10**12, last, 40)
    until = (first + last) // 2
    wanted = np.zeros((40, len(Ground) + 1))
    for row in range(40):
        pieces = [(run, runs.start[run], runs.end[run]) for run in np.flatnonzero(runs.combine == machine[row])]
        for piece in np.flatnonzero(stretches.header == machine[row]):
            pieces.append((stretches.run[piece], stretches.start[piece], stretches.end[piece]))
        for run, start, end in pieces:
            inside = max(min(end, until) - max(start, since[row]), 0)
            ground = runs.ground[run]
            wanted[row, len(Ground) if ground == NONE else ground] += (
                runs.area[run] * inside / (runs.end[run] - runs.start[run])
            )
    assert area_since(farm, machine, since, until) == pytest.approx(wanted, abs=1)
    assert (area_since(farm, np.array([NONE]), np.array([first]), last) == 0).all()
    whole = area_by_ground(farm, np.full(len(farm.machines), first), last)
    assert whole.sum(axis=1) == pytest.approx(
        farm.lines.usage(MeterKind.AREA, range(len(farm.machines)), first, last), abs=1
    )


def test_all_kinds_in_one_go_are_those_one_by_one(demo_store: Store) -> None:
    lives = fleet_lives(read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z")))
    numbers = lives.kinds(every=True)
    together = list(kind_lives(lives, numbers))
    assert len(together) == len(numbers) > 27
    for number, found in zip(numbers, together, strict=True):
        alone = kind_life(lives, number)
        assert (found.kind, found.beyond) == (alone.kind, alone.beyond)
        assert (found.median_life, found.b10) == (alone.median_life, alone.b10)
        assert found.lives.exit.tolist() == alone.lives.exit.tolist()
