"""Measured wear, hot windows and repairs that come again: by hand, and the demo fleet's truths recovered."""

from __future__ import annotations

import csv
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from tests.small_farm import ACRE, AUGUST, HOUR, SmallFarm, harvest
from wearlog.facts.closed_lists import Cause, MachineKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.wearing import Measurement
from wearlog.logbook.checks.doubts import Doubt
from wearlog.logbook.farm.machines import add_season
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import Put, refit
from wearlog.logbook.parts.upkeep import measure
from wearlog.present.digits import Measures
from wearlog.present.wear.measured_sheet import crossing_text
from wearlog.reckoning.farm import Farm, read_farm
from wearlog.reckoning.wear.age_groups import outlook_basis
from wearlog.reckoning.wear.kind_view import hot_windows
from wearlog.reckoning.wear.measured_wear import MeasuredPart
from wearlog.reckoning.wear.repairs_again import RateFrom, repairs_again
from wearlog.wear.measured import WearForm, fit_wear
from wearlog.wear.power_law import fit_power_law
from wearlog.wear.recurrence import histories
from wearlog.wear.wear_path import fit_path

NOVEMBER = datetime.fromisoformat("2026-11-20T18:00Z")
TRUTH = Path(__file__).parents[2] / "demo_fleet" / "truth"
#: new length and limit of the library's feeder chain: 12 pitches of 1.630 in, 3 %
NEW, LIMIT = 496_824, 511_729


def measured(store) -> tuple[MeasuredPart, ...]:  # type: ignore[no-untyped-def]
    with store.reading() as connection:
        return outlook_basis(connection, read_farm(store, NOVEMBER)).measured


def read_chain(farm: SmallFarm, *readings: tuple[float, int]) -> None:
    """Enter chain lengths at so many separator hours into the run of `harvest(hours=100)`."""
    for hours, micrometres in readings:
        at = AUGUST + timedelta(hours=hours)
        measure(farm.store, Measurement(component_id=farm.chain.id, at=at, measured_micrometres=micrometres))


def test_the_line_runs_through_the_new_length_over_the_chains_age(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    read_chain(file_farm, (20, 501_000), (50, 501_400), (90, 502_100))
    (part,) = measured(file_farm.store)
    assert part.line is not None
    assert part.line.form is WearForm.LINE_THROUGH_NEW
    assert part.usage / HOUR == pytest.approx([320, 350, 390])
    line = fit_wear(part.usage, part.micrometres, new_value=NEW, limit=LIMIT)
    assert (part.line.slope, part.line.intercept) == (line.slope, 0.0)
    wanted = fit_path(part.usage, part.micrometres, new_value=NEW, limit=LIMIT)
    assert part.crossing() == wanted.crossing()
    assert part.chance == wanted.chance_of_crossing(part.usage_now + part.usage_ahead)
    assert part.usage_now / HOUR == pytest.approx(400)
    assert part.elongation == pytest.approx((502_100 - NEW) / NEW * 100, abs=1e-3)
    assert part.elongation_limit == pytest.approx(3.0, abs=1e-3)


def test_without_a_known_age_the_line_has_an_intercept_of_its_own(file_farm: SmallFarm) -> None:
    refit(file_farm.store, file_farm.chain, at=AUGUST - timedelta(days=1), put=Put(age_usage=None))
    harvest(file_farm, hours=100)
    read_chain(file_farm, (20, 503_000), (50, 503_500), (90, 504_100))
    (part,) = measured(file_farm.store)
    assert part.line is not None
    assert (part.line.form, part.age_known) == (WearForm.LINE, False)
    assert part.usage / HOUR == pytest.approx([20, 50, 90])
    wanted = fit_path(part.usage, part.micrometres, new_value=NEW, limit=LIMIT, through_new=False)
    crossing, whole = part.crossing(), wanted.crossing()
    assert crossing is not None
    assert whole.high is not None
    assert (crossing.usage, crossing.low) == (whole.usage, whole.low)
    # beyond four times the middle no end is known
    assert crossing.high == (whole.high if whole.high <= 4 * whole.usage else np.inf)


@pytest.mark.parametrize(("readings", "line", "chance"), [(((20, 501_000),), True, False), ((), False, False)])
def test_a_single_reading_gives_a_crossing_and_no_chance(
    file_farm: SmallFarm, readings: tuple[tuple[float, int], ...], *, line: bool, chance: bool
) -> None:
    harvest(file_farm, hours=100)
    read_chain(file_farm, *readings)
    found = measured(file_farm.store)
    assert [(part.line is not None, part.chance is not None) for part in found] == [(line, chance)] * len(readings)
    for part in found:
        crossing = part.crossing()
        assert crossing is not None
        assert (crossing.low, crossing.high) == (None, None)


def test_a_reading_past_the_limit_is_past_it(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    read_chain(file_farm, (20, 510_000), (90, 512_500))
    (part,) = measured(file_farm.store)
    assert (part.past_limit, part.chance) == (True, 1.0)
    # between the two readings, and on the straight between them: 320 + 70 x 1,729 / 2,500 h
    crossing = part.crossing()
    assert crossing is not None
    assert [end / HOUR for end in (crossing.low, crossing.usage, crossing.high) if end is not None] == pytest.approx(
        [320, 368.4, 390], abs=0.1
    )


def test_a_first_reading_past_the_limit_says_that_it_was_met_by_then(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    read_chain(file_farm, (20, 512_000), (90, 512_500))
    (part,) = measured(file_farm.store)
    crossing = part.crossing()
    assert crossing is not None
    assert crossing.low == 0
    assert crossing.high == pytest.approx(320 * HOUR)
    assert crossing_text(part, Measures(FarmSettings())) == "met by 320 h"


def test_a_part_that_is_whole_now_does_not_meet_its_limit_earlier(file_farm: SmallFarm) -> None:
    """Readings that scatter about hardly any wear, the last at 400 h: from there on, and with no known end."""
    harvest(file_farm, hours=100)
    read_chain(file_farm, (20, 497_400), (50, 496_300), (80, 498_000), (100, 497_000))
    (part,) = measured(file_farm.store)
    crossing = part.crossing()
    assert part.usage_now / HOUR == pytest.approx(400)
    assert crossing is not None
    assert crossing.low is not None
    assert crossing.low >= 400 * HOUR * (1 - 1e-9)
    assert crossing.high == np.inf
    said = crossing_text(part, Measures(FarmSettings()))
    assert "(from " in said
    assert not any(word in said for word in ("never", "inf", "no end"))
    assert not part.past_by_line


def test_two_readings_at_one_age_give_an_interval_of_their_own(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    read_chain(file_farm, (50, 502_000), (50, 502_600))
    (part,) = measured(file_farm.store)
    crossing = part.crossing()
    assert crossing is not None
    assert crossing.low is not None
    assert 350 * HOUR < crossing.low < crossing.usage
    assert part.chance is not None


def test_readings_that_fall_say_that_no_wear_is_seen_or_that_no_end_is_known(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    read_chain(file_farm, (20, 496_700))
    (part,) = measured(file_farm.store)
    assert crossing_text(part, Measures(FarmSettings())) == "no wear seen yet"
    read_chain(file_farm, (50, 496_500), (90, 496_300))
    (part,) = measured(file_farm.store)
    assert "(from " in crossing_text(part, Measures(FarmSettings()))
    assert part.chance is not None
    assert part.chance < 0.2


def test_a_reading_that_stands_apart_is_flagged_and_kept(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=100)
    read_chain(
        file_farm,
        (10, 501_000), (20, 501_180), (30, 501_290), (40, 501_410), (50, 508_000), (60, 501_700), (80, 502_000), (95, 502_240),
    )  # fmt: skip
    (part,) = measured(file_farm.store)
    assert part.outliers == (4,)
    assert part.micrometres.size == 8


def test_the_demo_fleets_growth_is_recovered_by_the_slopes(demo_store) -> None:  # type: ignore[no-untyped-def]
    """Every measured kind: the middle slope over its parts lies within a fifth of the known growth."""
    with (TRUTH / "wear.csv").open(encoding="utf-8", newline="") as file:
        known = {row["kind"]: row for row in csv.DictReader(file)}
    slopes: dict[str, list[float]] = {}
    for part in measured(demo_store):
        if part.line is not None and part.line.degrees >= 1:
            slopes.setdefault(part.kind.name, []).append(part.line.slope)
    assert set(slopes) == set(known)
    for name, row in known.items():
        per_unit = float(np.median(slopes[name])) * (ACRE if row["unit"] == "ac" else HOUR)
        assert per_unit == pytest.approx(float(row["micrometres_per_unit"]), rel=0.2), name


def test_the_hot_window_of_the_demo_fleet_is_found_and_no_other(demo_store) -> None:  # type: ignore[no-untyped-def]
    farm = read_farm(demo_store, NOVEMBER)
    found = hot_windows(farm)
    hot = [(place.component.place, place.window.first, place.window.last) for place in found if place.is_hot]
    assert hot == [("knife sections", 61, 72)]
    merlin = next(one for one in farm.machines if one.name == "Merlin")
    assert found[0].component.machine_id == merlin.id
    assert found[0].window.p_value <= 0.001
    assert found == hot_windows(farm)


def test_one_stone_over_three_positions_is_one_hit_at_the_middle(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    for place, positions in enumerate([(40, 41, 42), (41,), (42, 43), (90,), (10, 11)]):
        entry = BreakageEntry(
            component_id=file_farm.knife.id,
            positions=positions,
            at=AUGUST + timedelta(hours=2, minutes=20 * place),
            cause=Cause.IMPACT,
        )
        log_breakage(file_farm.store, entry)
    (place,) = hot_windows(read_farm(file_farm.store, NOVEMBER))
    assert place.hits == 5
    assert (place.window.first, place.window.last, place.window.breakages) == (41, 43, 3)


def again(farm: Farm, name: str):  # type: ignore[no-untyped-def]
    found = repairs_again(farm, MachineKind.HEADER)
    assert found is not None
    return next(one for one in found.machines if one.machine.name == name)


def test_breakages_are_counted_up_by_season_and_over_the_acres(file_farm: SmallFarm) -> None:
    add_season(file_farm.store, 2026)
    harvest(file_farm, acres=100)
    for hours in (2, 5, 9):
        at = AUGUST + timedelta(hours=hours)
        entry = BreakageEntry(component_id=file_farm.knife.id, positions=(1, 2), at=at)
        # the same positions three times on a day: a person says that they are others
        log_breakage(file_farm.store, entry, sure={Doubt.SAME_BREAKAGE})
    north = again(read_farm(file_farm.store, NOVEMBER), "North")
    assert north.at_usage / ACRE == pytest.approx([20, 50, 90], abs=0.01)
    assert north.usage / ACRE == pytest.approx(100, abs=0.01)
    assert north.by_season == ((2026, 3, 3),)
    # Laplace: (20 + 50 + 90 - 150) / (100 sqrt(3 / 12)) = 0.2
    assert north.tests.laplace is not None
    assert north.tests.laplace.statistic == pytest.approx(0.2, abs=0.001)


def chain_breaks(farm: SmallFarm, *hours: float) -> None:
    for one in hours:
        at = AUGUST + timedelta(hours=one)
        log_breakage(farm.store, BreakageEntry(component_id=farm.chain.id, at=at))


def test_a_combine_that_came_under_watch_old_is_not_taken_for_new(file_farm: SmallFarm) -> None:
    """Kestrel's separator meter stood at 1,702 h when records began; 200 h and five even breakages later it is no younger."""
    harvest(file_farm, acres=2000, hours=200)
    chain_breaks(file_farm, 20, 60, 100, 140, 180)
    found = repairs_again(read_farm(file_farm.store, NOVEMBER), MachineKind.COMBINE)
    assert found is not None
    (kestrel,) = found.machines
    assert kestrel.start / HOUR == pytest.approx(1702)
    assert kestrel.usage / HOUR == pytest.approx(200)
    assert kestrel.at_usage / HOUR == pytest.approx([20, 60, 100, 140, 180], abs=0.1)
    wanted = fit_power_law(histories([1702 * HOUR + kestrel.at_usage], 1902 * HOUR, start=1702 * HOUR))
    assert kestrel.law is not None
    assert (kestrel.law.shape, kestrel.law.coefficient) == pytest.approx((wanted.shape, wanted.coefficient), rel=1e-6)
    now = kestrel.now_between
    assert now is not None
    # five in 200 hours, evenly: one per 40; not less sure than the count alone could make it
    assert now.usage / HOUR == pytest.approx(40, rel=0.03)
    assert (now.exact, now.level) == (False, 0.9)
    interval = wanted.rough_usage_between_interval(1902 * HOUR)
    assert (now.low, now.high) == pytest.approx((interval.low, interval.high), rel=1e-6)
    assert now.low < now.usage / 2
    assert now.high > now.usage * 2
    assert found.now_between == now
    # the mean count stays over what was worked since records began
    assert found.mean is not None
    assert found.mean.age / HOUR == pytest.approx([20, 60, 100, 140, 180], abs=0.1)


def break_sections(farm: SmallFarm, *hours: float) -> None:
    for place, one in enumerate(hours, start=1):
        at = AUGUST + timedelta(hours=one)
        log_breakage(farm.store, BreakageEntry(component_id=farm.knife.id, positions=(place,), at=at))


def test_now_one_per_of_a_machine_watched_from_new_has_its_exact_interval(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    break_sections(file_farm, 2, 5, 6, 8, 9)
    north = again(read_farm(file_farm.store, NOVEMBER), "North")
    assert north.start == 0
    assert north.law is not None
    assert north.now_between is not None
    exact = north.law.usage_between_interval()
    assert (north.now_between.low, north.now_between.high, north.now_between.exact) == (exact.low, exact.high, True)
    assert north.now_between.usage == float(north.law.usage_between(north.usage))
    assert north.now_between.rests_on is RateFrom.POWER_LAW


@pytest.mark.parametrize("hours", [(9.9,), (0.5, 9.9), (9.7, 9.8, 9.9, 9.95)])
def test_below_five_breakages_now_one_per_is_what_was_worked_over_their_count(
    file_farm: SmallFarm, hours: tuple[float, ...]
) -> None:
    """When they came makes no difference; the interval is that of a constant rate, 2 T / chi-square."""
    harvest(file_farm, acres=100)
    break_sections(file_farm, *hours)
    farm = read_farm(file_farm.store, NOVEMBER)
    north = again(farm, "North")
    now, count = north.now_between, len(hours)
    assert now is not None
    assert (north.law, now.rests_on, now.exact, now.level) == (None, RateFrom.COUNT, True, 0.9)
    assert now.usage / ACRE == pytest.approx(100 / count, rel=1e-6)
    assert now.low / ACRE == pytest.approx(200 / stats.chi2.ppf(0.95, 2 * count + 2), rel=1e-6)
    assert now.high / ACRE == pytest.approx(200 / stats.chi2.ppf(0.05, 2 * count), rel=1e-6)
    together = repairs_again(farm, MachineKind.HEADER)
    assert together is not None
    assert (together.law, together.now_between) == (None, now)


def test_five_breakages_after_the_work_was_done_leave_the_count(file_farm: SmallFarm) -> None:
    """In the yard, with the meter at its end: no law can be fitted, so what was worked over the count stands."""
    harvest(file_farm, acres=100)
    break_sections(file_farm, 30, 40, 50, 60, 70)
    north = again(read_farm(file_farm.store, NOVEMBER), "North")
    assert north.law is None
    assert north.now_between is not None
    assert north.now_between.usage / ACRE == pytest.approx(20, rel=1e-6)
    assert north.now_between.rests_on is RateFrom.COUNT


def test_a_machine_that_never_broke_has_no_law_and_no_trend(file_farm: SmallFarm) -> None:
    assert repairs_again(read_farm(file_farm.store, NOVEMBER), MachineKind.HEADER) is None
    harvest(file_farm, acres=100)
    north = again(read_farm(file_farm.store, NOVEMBER), "North")
    assert (north.law, north.tests.laplace, north.at_usage.size, north.now_between) == (None, None, 0, None)


def test_the_header_with_the_hot_window_and_the_one_with_plastic_tines_break_ever_oftener(demo_store) -> None:  # type: ignore[no-untyped-def]
    found = repairs_again(read_farm(demo_store, NOVEMBER), MachineKind.HEADER)
    assert found is not None
    worse = [
        one.machine.name
        for one in found.machines
        if one.tests.lewis_robinson is not None and one.tests.lewis_robinson.p_value < 0.05
    ]
    assert worse == ["Plover", "Merlin"]
    assert found.mean is not None
    assert found.mean.count[-1] == pytest.approx(100.8, abs=0.1)


def test_the_breakages_of_one_kind_alone_can_be_counted_up(demo_store) -> None:  # type: ignore[no-untyped-def]
    farm = read_farm(demo_store, NOVEMBER)
    number = [one.name for one in farm.part_kinds].index("guard")
    found = repairs_again(farm, MachineKind.HEADER, number)
    assert found is not None
    everything = repairs_again(farm, MachineKind.HEADER)
    assert everything is not None
    assert 0 < sum(one.at_usage.size for one in found.machines) < sum(one.at_usage.size for one in everything.machines)
