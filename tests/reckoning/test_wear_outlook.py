"""What the season ahead threatens: groups of like parts and their chances, what has failed already, impacts by ground."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from tests.planned_season import plan
from tests.small_farm import ACRE, AUGUST, HOUR, SmallFarm, harvest
from wearlog.facts.closed_lists import Action, Cause, Ground
from wearlog.facts.wearing import Measurement
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import Put, refit
from wearlog.logbook.parts.upkeep import measure
from wearlog.plan.demand import KindWear, PositionGroup, season_demand
from wearlog.plan.season_kernel import successors
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.parts.fitted_now import left_in_service
from wearlog.reckoning.wear.age_groups import WITH_INTERVAL, chances_to_last, condensed
from wearlog.reckoning.wear.kind_view import urgency
from wearlog.reckoning.wear.wear_outlook import KindOutlook, WearOutlook, wear_outlook
from wearlog.wear.law import mean_life
from wearlog.wear.lives import Lives
from wearlog.wear.posterior import fit_posterior
from wearlog.wear.prior import starting_guess

NOVEMBER = datetime.fromisoformat("2026-11-20T18:00Z")


def outlook_of(store, now: datetime = NOVEMBER) -> WearOutlook:  # type: ignore[no-untyped-def]
    with store.reading() as connection:
        return wear_outlook(connection, read_farm(store, now))


def kind_in(found: WearOutlook, name: str) -> KindOutlook:
    return next(row for row in found.kinds if row.life.kind.name == name)


def test_like_parts_stand_together_the_oldest_first_and_the_unknown_last(file_farm: SmallFarm) -> None:
    refit(file_farm.store, file_farm.knife, (1, 2), at=AUGUST - timedelta(days=1), put=Put(age_usage=None))
    harvest(file_farm, acres=100)
    log_breakage(
        file_farm.store, BreakageEntry(component_id=file_farm.knife.id, positions=(7,), at=AUGUST + timedelta(hours=5))
    )
    plan(file_farm, 2027, (1000, Ground.CLEAN))
    (knife,) = kind_in(outlook_of(file_farm.store), "knife section").components
    shown = [(group.positions, group.age and round(group.age / ACRE)) for group in knife.groups]
    assert shown == [((*range(3, 7), *range(8, 161)), 100), ((7,), 50), ((1, 2), None)]
    assert [group.survives is None for group in knife.groups] == [False, False, True]
    assert knife.unknown == 2


def test_a_chance_to_last_is_that_of_the_posterior(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    plan(file_farm, 2027, (1000, Ground.CLEAN))
    row = kind_in(outlook_of(file_farm.store), "knife section")
    (group,) = row.components[0].groups
    assert row.life.posterior is not None
    assert row.components[0].usage == pytest.approx(1000 * ACRE, abs=2)
    exact = row.life.posterior.survival_between(round(100 * ACRE), round(100 * ACRE) + row.components[0].usage)
    assert (group.survives, group.survives_low, group.survives_high) == pytest.approx(
        (exact.mean[0], exact.low[0], exact.high[0])
    )
    assert row.components[0].expected_wear == pytest.approx(160 * (1 - exact.mean[0]))


def test_failures_are_what_the_plan_reckons_of_the_same_places(file_farm: SmallFarm) -> None:
    """What is to break counts each part once; with the successors it is the mean of the plan's own demand."""
    refit(
        file_farm.store, file_farm.knife, (1, 2), at=AUGUST - timedelta(days=1), put=Put(age_usage=round(6_000 * ACRE))
    )
    harvest(file_farm, acres=100)
    plan(file_farm, 2027, (9_000, Ground.CLEAN))
    row = kind_in(outlook_of(file_farm.store), "knife section")
    (knife,) = row.components
    assert row.life.posterior is not None
    ages = np.concatenate([np.full(len(group.positions), group.age) for group in knife.groups])
    wear = KindWear(condensed(row.life.posterior), (PositionGroup(ages, knife.usage),))
    assert knife.failures_by_wear == pytest.approx(season_demand([wear]).mean, rel=0.01)
    assert knife.expected_wear < 160 < knife.failures_by_wear
    assert row.failures_known == knife.failures == knife.failures_by_wear + knife.expected_impacts


def test_the_successor_of_what_has_failed_has_the_whole_season_before_it(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    left = BreakageEntry(
        component_id=file_farm.knife.id, positions=(7,), at=AUGUST + timedelta(hours=5), action=Action.LEFT
    )
    log_breakage(file_farm.store, left)
    plan(file_farm, 2027, (5_000, Ground.CLEAN))
    row = kind_in(outlook_of(file_farm.store), "knife section")
    assert row.life.posterior is not None
    knife = row.components[0]
    (later,) = (one for group, one in zip(knife.groups, knife.successors, strict=True) if group.failed)
    law = successors(condensed(row.life.posterior), knife.usage)
    assert later == law.of_failed > 0.3
    assert sum(knife.successors) > later


def test_stones_are_expected_over_the_planned_ground(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    plan(file_farm, 2027, (1000, Ground.VERY_STONY))
    row = kind_in(outlook_of(file_farm.store), "knife section")
    assert row.life.impacts is not None
    assert row.components[0].expected_impacts == pytest.approx(row.life.impacts.rates[3].mean * 1000 * ACRE, rel=1e-6)


def test_what_has_failed_and_still_runs_needs_its_successor(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    log_breakage(
        file_farm.store,
        BreakageEntry(
            component_id=file_farm.knife.id,
            positions=(7,),
            at=AUGUST + timedelta(hours=5),
            cause=Cause.IMPACT,
            action=Action.LEFT,
        ),
    )
    (knife,) = kind_in(outlook_of(file_farm.store), "knife section").components
    failed = [group for group in knife.groups if group.failed]
    assert [(group.positions, group.survives) for group in failed] == [((7,), 0.0)]
    assert knife.expected_wear >= 1


def test_what_was_left_in_service_and_mended_since_is_whole(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    for hours, action in ((5, Action.LEFT), (8, Action.MENDED)):
        at = AUGUST + timedelta(hours=hours)
        log_breakage(
            file_farm.store, BreakageEntry(component_id=file_farm.knife.id, positions=(7,), at=at, action=action)
        )
    plan(file_farm, 2027, (1000, Ground.CLEAN))
    (knife,) = kind_in(outlook_of(file_farm.store), "knife section").components
    assert not any(group.failed for group in knife.groups)
    assert left_in_service(read_farm(file_farm.store, NOVEMBER)) == ()


CHAIN_AT_50_HOURS = tuple((hours, 496_824 + hours * 298 + (1 if hours % 20 else -1)) for hours in (10, 20, 30, 40))


def read_new_chain(farm: SmallFarm, *readings: tuple[float, int]) -> None:
    """Fit a new chain, run it 100 hours and measure it at so many of them."""
    refit(farm.store, farm.chain, at=AUGUST - timedelta(days=1))
    harvest(farm, hours=100)
    for hours, micrometres in readings:
        at = AUGUST + timedelta(hours=hours)
        measure(farm.store, Measurement(component_id=farm.chain.id, at=at, measured_micrometres=micrometres))


@pytest.mark.parametrize(
    "readings",
    [
        CHAIN_AT_50_HOURS,
        # all on the line, as figures rounded to whole units often are
        tuple((hours, 496_824 + hours * 299) for hours in (10, 20, 30, 40)),
    ],
)
def test_a_part_whose_line_has_met_the_limit_unseen_is_threatened_and_told(
    file_farm: SmallFarm, readings: tuple[tuple[float, int], ...]
) -> None:
    """Read at 10 to 40 hours, the line crosses at 50, the chain has run 100: it is past its limit as far as the line tells."""
    read_new_chain(file_farm, *readings)
    plan(file_farm, 2027, (100, Ground.CLEAN))
    found = outlook_of(file_farm.store)
    (part,) = found.basis.measured
    crossing = part.crossing()
    assert crossing is not None
    assert crossing.usage / HOUR == pytest.approx(50, abs=0.5)
    assert (part.past_limit, part.past_by_line) == (False, True)
    assert part.chance is not None
    assert 0.99 < part.chance < 1
    (chain,) = kind_in(found, "feeder conveyor chain").components
    (group,) = chain.groups
    assert (group.failed, group.by_measurement, group.past_by_line) == (False, True, True)
    assert chain.expected_wear == pytest.approx(part.chance)


def test_one_reading_alone_tells_when_the_line_has_met_the_limit(file_farm: SmallFarm) -> None:
    read_new_chain(file_farm, (40, 496_824 + 40 * 299))
    found = outlook_of(file_farm.store)
    (part,) = found.basis.measured
    assert (part.chance, part.past_by_line) == (None, True)
    (chain,) = kind_in(found, "feeder conveyor chain").components
    assert [(group.by_measurement, group.past_by_line) for group in chain.groups] == [(False, True)]
    other = replace(part, fitting=0, line=None)
    assert sorted([other, part], key=lambda one: -urgency(one)) == [part, other]


@pytest.mark.parametrize(("acres", "low", "high"), [(5, 0.0, 0.15), (40, 0.2, 0.45), (60, 0.55, 0.8), (200, 0.95, 1.0)])
def test_four_readings_on_a_line_do_not_say_yes_or_no_near_its_crossing(
    file_farm: SmallFarm, acres: float, low: float, high: float
) -> None:
    """The chain has run 100 hours at an hour to the acre, and its line crosses at 149; read to 40, that is far ahead."""
    read_new_chain(file_farm, *((hours, 496_824 + hours * 100) for hours in (10, 20, 30, 40)))
    plan(file_farm, 2027, (acres, Ground.CLEAN))
    (part,) = outlook_of(file_farm.store).basis.measured
    assert part.usage_ahead / HOUR == pytest.approx(acres, abs=0.01)
    assert not part.past_by_line
    assert part.chance is not None
    assert low <= part.chance <= high


def test_a_misread_length_condemns_no_chain(file_farm: SmallFarm) -> None:
    """Five readings near 501 mm, one of 513 past the limit of 511.7, three near 502 again."""
    read_new_chain(
        file_farm,
        *((hours, 501_000 + 10 * hours) for hours in (10, 20, 30, 40, 50)),
        (60, 513_000),
        *((hours, 501_000 + 10 * hours) for hours in (70, 80, 90)),
    )
    plan(file_farm, 2027, (100, Ground.CLEAN))
    found = outlook_of(file_farm.store)
    (chain,) = kind_in(found, "feeder conveyor chain").components
    assert [group.failed for group in chain.groups] == [False]
    assert kind_in(found, "feeder conveyor chain").life.lives.failures == 0


def test_a_measured_part_that_will_meet_its_limit_is_threatened(file_farm: SmallFarm) -> None:
    """The chain grows 60 micrometres an hour through its new length; 18 mm of 14.9 allowed would be reached this season."""
    harvest(file_farm, acres=1000, hours=100)
    for hours, micrometres in ((2, 506_000), (50, 507_400), (99, 508_700)):
        at = AUGUST + timedelta(hours=hours)
        measure(file_farm.store, Measurement(component_id=file_farm.chain.id, at=at, measured_micrometres=micrometres))
    plan(file_farm, 2027, (4000, Ground.CLEAN))
    (chain,) = kind_in(outlook_of(file_farm.store), "feeder conveyor chain").components
    (group,) = chain.groups
    assert group.by_measurement
    assert group.survives is not None
    assert group.survives < 0.02
    assert chain.expected_wear == pytest.approx(1 - group.survives)


def test_a_part_measured_past_its_limit_comes_first(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=8)
    measure(
        file_farm.store,
        Measurement(component_id=file_farm.chain.id, at=AUGUST + timedelta(hours=5), measured_micrometres=513_000),
    )
    found = outlook_of(file_farm.store)
    (chain,) = kind_in(found, "feeder conveyor chain").components
    assert [(group.failed, group.survives) for group in chain.groups] == [(True, 0.0)]
    assert found.kinds[0].life.kind.name == "feeder conveyor chain"


@pytest.mark.parametrize("shape", [(1.5, 4.0), None])
def test_thousands_of_chances_are_exactly_those_of_a_few(shape: tuple[float, float] | None) -> None:
    rng = np.random.default_rng(8)
    lives = Lives.of(3000 * rng.weibull(2.0, 12), rng.random(12) < 0.6)
    posterior = fit_posterior(lives, starting_guess((1500, 8000), shape))
    age = np.r_[0.0, np.round(6000 * rng.random(2 * WITH_INTERVAL))]
    usage = np.r_[0.0, np.round(2000 * rng.random(2 * WITH_INTERVAL))]
    usage[1:20] = 0.0
    found = chances_to_last(posterior, age, usage)
    assert np.isnan(found[1:]).all()
    assert found[0] == pytest.approx(posterior.survival_between(age, age + usage).mean, abs=1e-7)
    few = chances_to_last(posterior, age[:50], usage[:50])
    exact = posterior.survival_between(age[:50], age[:50] + usage[:50])
    assert few == pytest.approx(np.stack([exact.mean, exact.low, exact.high]))


def test_every_fitted_position_of_the_demo_fleet_stands_in_one_group(demo_store) -> None:  # type: ignore[no-untyped-def]
    found = outlook_of(demo_store)
    fittings, now = found.farm.histories.fittings, found.farm.now_microseconds
    fitted = int(((fittings.fitted_at <= now) & (fittings.removed_at > now)).sum())
    places = [
        (component.component_id, position)
        for row in found.kinds
        for component in row.components
        for group in component.groups
        for position in group.positions
    ]
    assert len(places) == len(set(places)) == fitted
    assert [row.threat for row in found.kinds] == sorted((row.threat for row in found.kinds), reverse=True)


def test_the_demo_fleets_expected_wear_is_near_what_its_known_lives_would_bring(demo_store) -> None:  # type: ignore[no-untyped-def]
    """Knife sections: shape 3.8, scale 8,800 acres; the expected count of the log lies within a third of the known one."""
    row = kind_in(outlook_of(demo_store), "knife section")
    known = 0.0
    for component in row.components:
        for group in component.groups:
            if group.age is not None and not group.failed:
                start, end = group.age / ACRE, (group.age + component.usage) / ACRE
                known += len(group.positions) * -np.expm1((start / 8800) ** 3.8 - (end / 8800) ** 3.8)
    assert sum(one.expected_wear for one in row.components) == pytest.approx(known, rel=1 / 3)


def test_parts_of_unknown_age_have_no_number_and_are_told(file_farm: SmallFarm) -> None:
    """The chain's age is unknown and 4,000 acres are ahead: nothing is expected of it that anybody could say, and it says so."""
    refit(file_farm.store, file_farm.chain, at=AUGUST - timedelta(days=1), put=Put(age_usage=None))
    harvest(file_farm, acres=1000, hours=80)
    plan(file_farm, 2027, (4000, Ground.CLEAN))
    found = outlook_of(file_farm.store)
    row = kind_in(found, "feeder conveyor chain")
    (chain,) = row.components
    assert [(group.age, group.survives, group.expected) for group in chain.groups] == [(None, None, None)]
    assert (chain.expected_known, chain.not_reckoned, chain.unknown) == (None, 1, 1)
    assert (row.expected_known, row.not_reckoned, row.unknown, row.expected) == (None, 1, 1, 0.0)
    # 320 separator hours at the steady rate of the guessed life
    assert row.life.posterior is not None
    nodes = row.life.posterior.nodes
    wanted = float(nodes.failing_within(320 * HOUR))
    assert chain.usage / HOUR == pytest.approx(320)
    assert row.expected_steady == pytest.approx(wanted, rel=0.01)
    assert row.threat == row.expected_steady
    assert 0 < row.threat < 320 * HOUR * float((1 / mean_life(nodes.shape, nodes.scale)) @ nodes.weight)
    # it stands above what is expected to break less often
    assert all(one.threat <= row.threat for one in found.kinds[found.kinds.index(row) :])


def test_positions_of_unknown_age_stand_beside_those_that_are_reckoned(file_farm: SmallFarm) -> None:
    refit(file_farm.store, file_farm.knife, (1, 2), at=AUGUST - timedelta(days=1), put=Put(age_usage=None))
    harvest(file_farm, acres=100)
    plan(file_farm, 2027, (1000, Ground.CLEAN))
    row = kind_in(outlook_of(file_farm.store), "knife section")
    (knife,) = row.components
    assert (row.expected_known, row.not_reckoned) == (row.expected, 2)
    assert knife.expected_wear == pytest.approx(sum(group.expected or 0.0 for group in knife.groups))
    assert knife.expected_steady is not None
    assert knife.threat == knife.expected + knife.expected_steady


def test_a_fleet_of_unknown_ages_is_not_called_the_safest(file_farm: SmallFarm) -> None:
    every = tuple(range(1, 161))
    refit(file_farm.store, file_farm.knife, every, at=AUGUST - timedelta(days=1), put=Put(age_usage=None))
    harvest(file_farm, acres=100)
    at = AUGUST + timedelta(hours=5)
    measure(file_farm.store, Measurement(component_id=file_farm.chain.id, at=at, measured_micrometres=513_000))
    plan(file_farm, 2027, (1500, Ground.CLEAN))
    knife, chain = outlook_of(file_farm.store).kinds
    # by what can be reckoned the chain past its limit would come first
    assert knife.expected < chain.expected == 1.0 < knife.threat
    assert (knife.life.kind.name, knife.unknown) == ("knife section", 160)


def test_stones_to_come_have_a_range(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    plan(file_farm, 2027, (1000, Ground.VERY_STONY), (500, Ground.CLEAN))
    found = outlook_of(file_farm.store)
    row = kind_in(found, "knife section")
    counts = row.impact_counts()
    assert counts is not None
    assert row.life.impacts is not None
    clean, _, _, very_stony = row.life.impacts.rates
    law = clean.predict(500 * ACRE).plus(very_stony.predict(1000 * ACRE))
    assert counts.mean == pytest.approx(sum(one.expected_impacts for one in row.components), rel=1e-6)
    assert (counts.low, counts.high, counts.level) == (law.quantile(0.05), law.quantile(0.95), 0.9)
    assert counts.low < counts.mean < counts.high
    assert kind_in(found, "feeder conveyor chain").impact_counts() is None


def test_with_no_season_ahead_nothing_is_expected(file_farm: SmallFarm) -> None:
    found = outlook_of(file_farm.store)
    assert sum(row.expected for row in found.kinds) == 0
    assert kind_in(found, "feeder conveyor chain").components[0].oldest == 300 * HOUR
