"""Lives out of small logs entered by hand, with the lives that must come of them; and the demo fleet against the slow way."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import datetime, timedelta

import numpy as np
import pytest

from tests.small_farm import ACRE, AUGUST, HOUR, MAY, SmallFarm, harvest, kind
from wearlog.facts.closed_lists import Action, Cause, MachineKind, MeterKind, Mode, Removal
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Component, Measurement
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import Put, add_component, refit, take_off
from wearlog.logbook.parts.upkeep import measure
from wearlog.reckoning.farm import Farm, read_farm
from wearlog.reckoning.parts import life_records
from wearlog.reckoning.parts.life_records import joined_rows
from wearlog.reckoning.wear.kind_life import FleetLives, fleet_lives
from wearlog.reckoning.wear.kind_view import life_counts
from wearlog.store.histories import code_of
from wearlog.wear.lives import Lives

AUTUMN = AUGUST + timedelta(days=60)
#: in the middle of the run that `harvest` enters: 50 of its 100 acres, 4 of its 8 hours
HALF_WAY = AUGUST + timedelta(hours=5)
CENSORED, WEAR, IMPACT, SECONDARY = range(4)


def lives_at(farm: SmallFarm, now: datetime = AUTUMN) -> FleetLives:
    return fleet_lives(read_farm(farm.store, now))


def lives_of(farm: SmallFarm, component: Component, now: datetime = AUTUMN) -> Counter[tuple[float, float, int]]:
    """How often each (entry, exit, ended by) occurs, in acres or hours."""
    lives = lives_at(farm, now)
    mine = lives.records.component == lives.farm.histories.components.ids.index(component.id)
    unit = ACRE if component.id == farm.knife.id else HOUR
    rows = zip(
        lives.records.entry[mine] / unit, lives.records.exit[mine] / unit, lives.records.ended_by[mine], strict=True
    )
    return Counter((round(float(entry), 2), round(float(leaving), 2), int(by)) for entry, leaving, by in rows)


def of_wear(farm: SmallFarm, name: str, now: datetime = AUTUMN) -> Lives:
    lives = lives_at(farm, now)
    number = next(place for place, one in enumerate(lives.farm.part_kinds) if one.name == name)
    return lives.records.of_wear(lives.records.part_kind == number)


def broke(
    farm: SmallFarm,
    *positions: int,
    cause: Cause = Cause.WEAR,
    action: Action = Action.REPLACED,
    at: datetime = HALF_WAY,
) -> None:
    log_breakage(
        farm.store,
        BreakageEntry(
            component_id=farm.knife.id, positions=positions, at=at, cause=cause, action=action, mode=Mode.BROKEN
        ),
    )


def test_a_part_that_never_failed_has_lived_until_now(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    assert lives_of(file_farm, file_farm.knife) == {(0, 100, CENSORED): 160}
    seen = of_wear(file_farm, "knife section")
    assert (len(seen), seen.count, seen.failures) == (1, 160, 0)


def test_a_part_fitted_at_a_known_age_comes_under_watch_there(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=8)
    assert lives_of(file_farm, file_farm.chain) == {(300, 308, CENSORED): 1}
    assert of_wear(file_farm, "feeder conveyor chain").entry == pytest.approx([300 * HOUR])


def test_a_worn_part_that_was_replaced_has_failed_and_its_successor_begins_new(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41)
    assert lives_of(file_farm, file_farm.knife) == {(0, 50, WEAR): 1, (0, 50, CENSORED): 1, (0, 100, CENSORED): 159}


def test_three_positions_in_one_entry_are_three_failures(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41, 42, 43)
    assert of_wear(file_farm, "knife section").failures == 3


@pytest.mark.parametrize(
    ("cause", "ended_by", "failures"),
    [
        (Cause.WEAR, WEAR, 1),
        (Cause.FATIGUE, WEAR, 1),
        (Cause.LOOSE, WEAR, 1),
        (Cause.UNKNOWN, WEAR, 1),
        (Cause.IMPACT, IMPACT, 0),
        (Cause.SECONDARY, SECONDARY, 0),
    ],
)
def test_causes_compete_and_only_wear_ends_a_life_for_the_wear_law(
    file_farm: SmallFarm, cause: Cause, ended_by: int, failures: int
) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41, cause=cause)
    assert lives_of(file_farm, file_farm.knife)[0, 50, ended_by] == 1
    seen = of_wear(file_farm, "knife section")
    assert (seen.failures, seen.count) == (failures, 161)


def test_a_mended_part_goes_on_at_its_age(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41, action=Action.MENDED)
    broke(file_farm, 41, at=AUGUST + timedelta(hours=8))
    lives = lives_of(file_farm, file_farm.knife)
    assert lives == {(0, 50, WEAR): 1, (50, 80, WEAR): 1, (0, 20, CENSORED): 1, (0, 100, CENSORED): 159}


def test_a_mended_part_that_never_failed_again_is_censored_from_its_age_on(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41, action=Action.MENDED)
    assert lives_of(file_farm, file_farm.knife) == {(0, 50, WEAR): 1, (50, 100, CENSORED): 1, (0, 100, CENSORED): 159}


def test_a_part_left_in_service_has_failed_and_lives_no_further(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41, action=Action.LEFT)
    broke(file_farm, 41, at=AUGUST + timedelta(hours=8))
    assert lives_of(file_farm, file_farm.knife) == {(0, 50, WEAR): 1, (0, 20, CENSORED): 1, (0, 100, CENSORED): 159}


def test_a_part_left_in_service_and_mended_later_lives_on_from_its_mending(file_farm: SmallFarm) -> None:
    """Broken from 50 to 80 acres: neither a life nor exposure; whole again from 80 on."""
    harvest(file_farm, acres=100)
    broke(file_farm, 41, action=Action.LEFT)
    broke(file_farm, 41, action=Action.MENDED, at=AUGUST + timedelta(hours=8))
    assert lives_of(file_farm, file_farm.knife) == {(0, 50, WEAR): 1, (80, 100, CENSORED): 1, (0, 100, CENSORED): 159}
    lives = lives_at(file_farm)
    assert not lives.records.failed_fitting.any()
    counts = life_counts(lives, [one.name for one in lives.farm.part_kinds].index("knife section"))
    assert (counts.worn, counts.running, counts.in_service_failed, counts.removed) == (1, 160, 0, 0)
    broke(file_farm, 41, action=Action.LEFT, at=AUGUST + timedelta(hours=9))
    assert lives_of(file_farm, file_farm.knife) == {(0, 50, WEAR): 1, (80, 90, WEAR): 1, (0, 100, CENSORED): 159}
    assert lives_at(file_farm).records.failed_fitting.sum() == 1


def test_a_failed_part_that_is_still_on_is_counted_as_such(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41, action=Action.LEFT)
    lives = lives_at(file_farm)
    number = [one.name for one in lives.farm.part_kinds].index("knife section")
    counts = life_counts(lives, number)
    assert (counts.worn, counts.running, counts.in_service_failed, counts.removed) == (1, 159, 1, 0)


def test_a_planned_change_only_says_that_the_part_had_lasted_so_long(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    refit(file_farm.store, file_farm.knife, (1,), at=HALF_WAY)
    assert lives_of(file_farm, file_farm.knife) == {(0, 50, CENSORED): 2, (0, 100, CENSORED): 159}


def test_unknown_ages_are_left_out_of_ages_and_counted_apart(file_farm: SmallFarm) -> None:
    refit(file_farm.store, file_farm.knife, tuple(range(1, 41)), at=MAY + timedelta(days=1), put=Put(age_usage=None))
    harvest(file_farm, acres=100)
    broke(file_farm, 7)
    seen = of_wear(file_farm, "knife section")
    assert (seen.left_out, seen.count, seen.failures) == (40, 121, 0)
    lives = lives_at(file_farm)
    number = [one.name for one in lives.farm.part_kinds].index("knife section")
    assert (life_counts(lives, number).worn, life_counts(lives, number).unknown_age) == (1, 40)


def test_a_part_moved_to_another_machine_takes_its_age_along(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=8)
    moved = AUGUST + timedelta(days=1)
    take_off(file_farm.store, file_farm.chain, (1,), at=moved, removal=Removal.MOVED)
    other = Machine(name="Heron", kind=MachineKind.COMBINE)
    add_machine(file_farm.store, other, at=MAY, shown={MeterKind.SEPARATOR_HOURS: 0})
    there = Component(machine_id=other.id, part_kind_id=kind("feeder conveyor chain").id, place="feeder chain")
    add_component(file_farm.store, there, fitted_at=moved, age_usage=308 * HOUR)
    second = SmallFarm(file_farm.store, other, file_farm.header, file_farm.knife, there, file_farm.section_part)
    hitch(file_farm.store, file_farm.header, other, at=moved + timedelta(days=1))
    harvest(second, hours=6, at=moved + timedelta(days=2))
    assert lives_of(file_farm, file_farm.chain) == {(300, 308, CENSORED): 1}
    assert lives_of(second, there) == {(308, 314, CENSORED): 1}


def chain_reads(farm: SmallFarm, micrometres: int, at: datetime) -> None:
    measure(farm.store, Measurement(component_id=farm.chain.id, at=at, measured_micrometres=micrometres))


def test_a_part_measured_past_its_limit_failed_since_it_was_last_within_it(file_farm: SmallFarm) -> None:
    """Limit 20.1468 in = 511,729 micrometres; the readings lie at 302, 304 and 306 of the chain's hours."""
    harvest(file_farm, hours=8)
    for hours, micrometres in ((2.5, 505_000), (5, 512_000), (7.5, 514_000)):
        chain_reads(file_farm, micrometres, AUGUST + timedelta(hours=hours))
    assert lives_of(file_farm, file_farm.chain) == {(300, 304, WEAR): 1}
    seen = of_wear(file_farm, "feeder conveyor chain")
    assert seen.last_seen is not None
    assert seen.last_seen / HOUR == pytest.approx([302])
    assert seen.between_inspections.tolist() == [True]


def test_a_first_measurement_past_the_limit_leaves_the_whole_life_open(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=8)
    chain_reads(file_farm, 512_000, HALF_WAY)
    seen = of_wear(file_farm, "feeder conveyor chain")
    assert (seen.last_seen, seen.exit) == (pytest.approx([300 * HOUR]), pytest.approx([304 * HOUR]))


def test_one_reading_past_the_limit_that_later_ones_deny_is_no_failure(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=8)
    chain_reads(file_farm, 513_000, AUGUST + timedelta(hours=2.5))
    assert lives_of(file_farm, file_farm.chain) == {(300, 302, WEAR): 1}
    chain_reads(file_farm, 501_700, AUGUST + timedelta(hours=5))
    assert lives_of(file_farm, file_farm.chain) == {(300, 308, CENSORED): 1}
    assert not lives_at(file_farm).records.failed_fitting.any()
    # what is found past its limit for good failed after it was last found within it
    chain_reads(file_farm, 512_000, AUGUST + timedelta(hours=7.5))
    assert lives_of(file_farm, file_farm.chain) == {(300, 306, WEAR): 1}
    assert of_wear(file_farm, "feeder conveyor chain").last_seen == pytest.approx([304 * HOUR])


def chain_broke(farm: SmallFarm, action: Action, at: datetime) -> None:
    log_breakage(farm.store, BreakageEntry(component_id=farm.chain.id, at=at, cause=Cause.WEAR, action=action))


def test_mending_between_a_reading_past_the_limit_and_one_within_it_ends_a_life_and_begins_one(
    file_farm: SmallFarm,
) -> None:
    harvest(file_farm, hours=8)
    chain_reads(file_farm, 513_000, AUGUST + timedelta(hours=2.5))
    chain_broke(file_farm, Action.MENDED, HALF_WAY)
    # the mended link shortened no chain that anybody has measured
    assert lives_of(file_farm, file_farm.chain) == {(300, 302, WEAR): 1}
    assert lives_at(file_farm).records.failed_fitting.any()
    chain_reads(file_farm, 501_700, AUGUST + timedelta(hours=7.5))
    assert lives_of(file_farm, file_farm.chain) == {(300, 302, WEAR): 1, (304, 308, CENSORED): 1}
    assert not lives_at(file_farm).records.failed_fitting.any()


def test_the_next_part_is_judged_by_its_own_measurements(file_farm: SmallFarm) -> None:
    harvest(file_farm, hours=8)
    chain_reads(file_farm, 512_000, AUGUST + timedelta(hours=2.5))
    refit(file_farm.store, file_farm.chain, at=HALF_WAY)
    chain_reads(file_farm, 513_000, AUGUST + timedelta(hours=7.5))
    assert lives_of(file_farm, file_farm.chain) == {(300, 302, WEAR): 1, (0, 2, WEAR): 1}


def test_a_part_said_to_have_broken_without_a_breakage_failed_of_an_unknown_cause(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    take_off(file_farm.store, file_farm.knife, (9,), at=HALF_WAY, removal=Removal.BROKE)
    assert lives_of(file_farm, file_farm.knife) == {(0, 50, WEAR): 1, (0, 100, CENSORED): 159}


def test_what_comes_after_the_moment_asked_for_has_not_happened(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41, at=AUGUST + timedelta(hours=8))
    assert lives_of(file_farm, file_farm.knife, HALF_WAY) == {(0, 50, CENSORED): 160}
    assert of_wear(file_farm, "knife section", HALF_WAY).failures == 0


def test_what_broke_before_the_meter_moved_is_left_out_and_told(file_farm: SmallFarm) -> None:
    broke(file_farm, 41, at=MAY + timedelta(hours=1))
    seen = of_wear(file_farm, "knife section")
    assert (seen.count, seen.failures, seen.left_out) == (0, 0, 1)
    lives = lives_at(file_farm)
    number = [one.name for one in lives.farm.part_kinds].index("knife section")
    assert (life_counts(lives, number).worn, life_counts(lives, number).unmoved) == (1, 1)
    harvest(file_farm, acres=100)
    assert of_wear(file_farm, "knife section").count == 160


def test_an_entry_taken_back_never_happened(file_farm: SmallFarm) -> None:
    harvest(file_farm, acres=100)
    broke(file_farm, 41)
    undo(file_farm.store)
    assert lives_of(file_farm, file_farm.knife) == {(0, 100, CENSORED): 160}


def test_equal_rows_are_joined_with_their_number() -> None:
    rng = np.random.default_rng(4)
    columns = rng.integers(0, 3, (4, 500)).astype(float)
    distinct, weight = joined_rows(columns)
    wanted = Counter(map(tuple, columns.T.tolist()))
    assert dict(zip(map(tuple, distinct.T.tolist()), weight.tolist(), strict=True)) == wanted


def slow_lives(farm: Farm) -> Counter[tuple[int, float, float, int]]:
    """Every life of the demo fleet, fitting by fitting and event by event, without an array."""
    histories, now = farm.histories, farm.now_microseconds
    fittings, breakages = histories.fittings, histories.breakages
    happened = defaultdict(list)
    for row, positions in enumerate(breakages.positions):
        cause, action = int(breakages.cause[row]), int(breakages.action[row])
        by = {code_of(Cause.IMPACT): IMPACT, code_of(Cause.SECONDARY): SECONDARY}.get(cause, WEAR)
        for position in positions:
            happened[int(breakages.component[row]), position].append((int(breakages.at[row]), by, action))
    read: dict[tuple[int, int], list[tuple[int, int]]] = defaultdict(list)
    for row in np.argsort(histories.measurements.at):
        place = int(histories.measurements.component[row]), int(histories.measurements.position[row])
        read[place].append((int(histories.measurements.at[row]), int(histories.measurements.micrometres[row])))
    found: Counter[tuple[int, float, float, int]] = Counter()
    for row in range(fittings.component.size):
        component, start = int(fittings.component[row]), int(fittings.fitted_at[row])
        end, age = min(int(fittings.removed_at[row]), now), float(fittings.age_when_fitted[row])
        machine = int(histories.components.machine[component])
        meter = list(MeterKind)[histories.part_kinds.meter_kind[histories.components.part_kind[component]]]

        def age_at(
            time: int, start: int = start, age: float = age, machine: int = machine, meter: MeterKind = meter
        ) -> float:
            used = float(farm.lines.usage(meter, [machine], [start], [time])[0])
            return -1.0 if np.isnan(age) else round(age + used)

        begun, alive, place = start, True, (component, int(fittings.position[row]))
        limit = farm.part_kinds[histories.components.part_kind[component]].limit_micrometres
        last_run: list[int] = []
        for at, micrometres in read[place]:
            if limit is not None and start < at <= end:
                last_run = [*last_run, at] if micrometres >= limit else []
        worn = [(last_run[0], WEAR, code_of(Action.REPLACED))] if last_run else []
        for at, by, action in sorted([*happened[place], *worn]):
            if start < at <= end:
                if alive:
                    found[component, age_at(begun), age_at(at), by] += 1
                begun, alive = at, action == code_of(Action.MENDED)
        if alive and begun < end:
            found[component, age_at(begun), age_at(end), CENSORED] += 1
    return found


def test_on_the_demo_fleet_the_arrays_agree_with_the_slow_way(demo_store) -> None:  # type: ignore[no-untyped-def]
    farm = read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z"))
    records = fleet_lives(farm).records
    rows = zip(
        records.component.tolist(),
        np.nan_to_num(np.round(records.entry), nan=-1.0).tolist(),
        np.nan_to_num(np.round(records.exit), nan=-1.0).tolist(),
        records.ended_by.tolist(),
        strict=True,
    )
    assert sum(records.ended_by == WEAR) > 200
    assert Counter(rows) == slow_lives(farm)


def test_lives_machine_by_machine_are_those_of_each(demo_store) -> None:  # type: ignore[no-untyped-def]
    lives = fleet_lives(read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z")))
    records = lives.records
    for number in lives.kinds():
        rows = records.part_kind == number
        found = records.of_wear_on(rows)
        assert list(found) == np.unique(records.machine[rows & (records.machine >= 0)]).tolist()
        for machine, its in found.items():
            alone = records.of_wear(rows & (records.machine == machine))
            for name in ("entry", "exit", "event", "weight", "last_seen", "left_out"):
                np.testing.assert_array_equal(getattr(its, name), getattr(alone, name))
    assert records.of_wear_on(np.zeros(records.machine.size, dtype=bool)) == {}


def test_rows_that_meet_in_one_number_are_told_apart(demo_store, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    lives = fleet_lives(read_farm(demo_store, datetime.fromisoformat("2026-11-20T18:00Z")))
    records = lives.records
    number = max(lives.kinds(), key=lambda one: int((records.part_kind == one).sum()))
    rows = records.part_kind == number
    usual = records.of_wear_on(rows)
    monkeypatch.setattr(life_records, "row_keys", lambda columns: np.zeros(len(columns[0]), dtype=np.uint64))
    for machine, its in records.of_wear_on(rows).items():
        told = sorted(zip(its.entry, its.exit, its.event, its.weight, strict=True))
        assert told == sorted(
            zip(*(getattr(usual[machine], one) for one in ("entry", "exit", "event", "weight")), strict=True)
        )
