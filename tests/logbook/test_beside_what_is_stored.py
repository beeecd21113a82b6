"""What is written is held against what the log holds beside it: neighbours in time, and the rows that hang on what changes."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from tests.small_farm import ACRE, AUGUST, HOUR, MAY, SmallFarm, harvest
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Doing, MachineKind, MeterKind, Removal
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Fitting, Measurement
from wearlog.facts.work import Run
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.files.importing import bring_in
from wearlog.logbook.parts.fitting import Put, refit
from wearlog.logbook.parts.upkeep import measure
from wearlog.logbook.rows.changing import change_row
from wearlog.logbook.rows.entering import enter_row
from wearlog.logbook.saving import Done
from wearlog.logbook.work.working import read_meter
from wearlog.store.finding import find_all
from wearlog.store.ledger import Entry, record

JUNE, JULY = MAY + timedelta(days=31), MAY + timedelta(days=61)


def standing(farm: SmallFarm, fact_type: type[Fact], **equal: object) -> list:
    with farm.store.reading() as connection:
        return find_all(connection, fact_type, **equal)


def change(farm: SmallFarm, fact: Fact, **what: object) -> Done:
    done = change_row(farm.store, fact, replace(fact, **what), "changed it")
    assert isinstance(done, Done)
    return done


def refused(message: str) -> pytest.RaisesExc[RefusedError]:
    return pytest.raises(RefusedError, match=re.escape(message))


def engine_hours(farm: SmallFarm) -> list[Reading]:
    """Three readings of Kestrel: 2,310 h in May, 2,330 h in June, 2,350 h in July."""
    for at, hours in ((JUNE, 2330), (JULY, 2350)):
        read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, hours * HOUR, at=at)
    (meter,) = standing(farm, Meter, machine_id=farm.combine.id, kind=MeterKind.ENGINE_HOURS)
    return sorted(standing(farm, Reading, meter_id=meter.id), key=lambda one: one.at)


def test_a_corrected_reading_does_not_run_backwards(file_farm: SmallFarm) -> None:
    _, middle, last = engine_hours(file_farm)
    with refused("Kestrel: 2,300.0 h is less than 2,310.0 h on 2026-05-01"):
        change(file_farm, middle, shown_usage=2300 * HOUR)
    with refused("Kestrel: 2,350.0 h is less than 2,360.0 h on 2026-06-01"):
        change(file_farm, middle, shown_usage=2360 * HOUR)
    assert standing(file_farm, Reading, id=middle.id) == [middle]
    change(file_farm, middle, shown_usage=2340 * HOUR)
    change(file_farm, last, shown_usage=5 * HOUR, new_leg=True)


def test_an_import_is_held_against_the_readings_of_the_log(file_farm: SmallFarm) -> None:
    first, middle, last = engine_hours(file_farm)
    between = JUNE + timedelta(days=10)
    low = Reading(meter_id=first.meter_id, at=between, shown_usage=100 * HOUR)
    for dry_run in (True, False):
        with refused("Kestrel: 100.0 h is less than 2,330.0 h on 2026-06-01"):
            bring_in(file_farm.store, [low], source="sheet", digest="", dry_run=dry_run)
    assert len(standing(file_farm, Reading, meter_id=first.meter_id)) == 3
    # out of order, a new meter, and a sheet that corrects several rows at once are sound
    bring_in(file_farm.store, [replace(low, shown_usage=2335 * HOUR)], source="sheet", digest="1")
    new_meter = Reading(meter_id=first.meter_id, at=JULY + timedelta(days=1), shown_usage=3 * HOUR, new_leg=True)
    bring_in(file_farm.store, [new_meter], source="sheet", digest="2")
    lower = [replace(one, shown_usage=one.shown_usage - 100 * HOUR) for one in (first, middle, last)]
    lower.append(replace(low, shown_usage=2235 * HOUR))
    bring_in(file_farm.store, lower, source="sheet", digest="3", replace=True)


def test_what_two_laptops_left_is_mended_step_by_step(file_farm: SmallFarm) -> None:
    first, middle, last = engine_hours(file_farm)
    spoilt = [replace(middle, shown_usage=9000 * HOUR), replace(last, shown_usage=8000 * HOUR)]
    store = file_farm.store
    with store.writing() as connection:
        record(connection, device=store.device, said="spoilt", entries=[Entry(one, Doing.EDITED) for one in spoilt])
    # still higher than the last one, and yet no worse than it was
    change(file_farm, spoilt[0], shown_usage=8500 * HOUR)
    change(file_farm, spoilt[1], shown_usage=2350 * HOUR)
    (now,) = standing(file_farm, Reading, id=middle.id)
    change(file_farm, now, shown_usage=2330 * HOUR)
    with refused("a meter does not run backwards"):
        change(file_farm, first, shown_usage=2340 * HOUR)


def test_a_fitting_entered_over_others_is_refused(file_farm: SmallFarm) -> None:
    farm = file_farm
    refit(farm.store, farm.knife, (41,), at=JUNE, put=Put(off_shelf=False))
    refit(farm.store, farm.knife, (41,), at=JULY, put=Put(off_shelf=False))
    over = Fitting(
        component_id=farm.knife.id,
        position=41,
        fitted_at=MAY + timedelta(days=1),
        removed_at=JULY + timedelta(days=1),
        removal=Removal.PLANNED,
    )
    with refused("Position 41 of 'North, knife section' is still taken on 2026-06-01"):
        enter_row(farm.store, [over], "entered a fitting")
    with refused("Position 41 of 'North, knife section' is still taken on"):
        bring_in(farm.store, [over], source="sheet", digest="")
    bring_in(
        farm.store,
        [replace(over, position=42, fitted_at=MAY - timedelta(days=9), removed_at=MAY)],
        source="sheet",
        digest="",
    )


@pytest.fixture
def tamarack(file_farm: SmallFarm) -> Machine:
    """A combine that carried South from June to July; North hangs on Kestrel since May."""
    combine = Machine(name="Tamarack", kind=MachineKind.COMBINE)
    south = Machine(name="South", kind=MachineKind.HEADER)
    for one in (combine, south):
        add_machine(file_farm.store, one, at=MAY)
    hung = Hitch(header_id=south.id, combine_id=combine.id, from_at=JUNE, to_at=JULY)
    enter_row(file_farm.store, [hung], "entered a hitch")
    return combine


def test_a_hitch_over_a_closed_one_is_refused(file_farm: SmallFarm, tamarack: Machine) -> None:
    farm = file_farm
    with refused("'Tamarack' is still hitched to 'South' on 2026-06-15"):
        hitch(farm.store, farm.header, tamarack, at=JUNE + timedelta(days=14))
    (closed,) = standing(farm, Hitch, combine_id=tamarack.id)
    longer = Hitch(header_id=closed.header_id, combine_id=farm.combine.id, from_at=MAY + timedelta(days=1), to_at=JULY)
    with refused("is still hitched to"):
        enter_row(farm.store, [longer], "entered a hitch")
    assert len(standing(farm, Hitch)) == 2
    hitch(farm.store, farm.header, tamarack, at=JULY)


def test_a_hitch_made_longer_over_the_next_is_refused(file_farm: SmallFarm, tamarack: Machine) -> None:
    hitch(file_farm.store, file_farm.header, tamarack, at=JULY + timedelta(days=1))
    (closed,) = standing(file_farm, Hitch, combine_id=tamarack.id, from_at=JUNE)
    with refused("'Tamarack' is still hitched to 'South' on 2026-07-02"):
        change(file_farm, closed, to_at=JULY + timedelta(days=9))
    change(file_farm, closed, to_at=JULY + timedelta(days=1))


def test_fewer_positions_than_are_fitted_are_refused(file_farm: SmallFarm) -> None:
    farm = file_farm
    with refused("120 rows that hang on it would not fit then. Position 41 cannot be: 'North, knife section' has 40"):
        change(farm, farm.knife, positions=40)
    change(farm, farm.knife, positions=161)
    with refused("121 rows"):
        bring_in(farm.store, [replace(farm.knife, positions=39)], source="sheet", digest="", replace=True)


def test_a_combine_with_runs_does_not_become_a_tractor(file_farm: SmallFarm) -> None:
    harvest(file_farm)
    with refused("rows that hang on it would not fit then. 'Kestrel' is a tractor, not a combine."):
        change(file_farm, file_farm.combine, kind=MachineKind.TRACTOR)
    change(file_farm, file_farm.combine, name="Harrier")


def test_what_readings_are_lengths_of_is_not_changed_by_the_row_either(file_farm: SmallFarm) -> None:
    farm = file_farm
    (of_chain,) = standing(farm, PartKind, name="feeder conveyor chain")
    ten = {"pitch_micrometres": 41_400, "pitches": 10, "new_micrometres": 414_000, "limit_micrometres": 420_000}
    change(farm, of_chain, **ten)
    measure(farm.store, Measurement(component_id=farm.chain.id, at=AUGUST, measured_micrometres=416_000))
    (now,) = standing(farm, PartKind, id=of_chain.id)
    other = {"pitches": 12, "new_micrometres": 496_800, "limit_micrometres": 505_000}
    with refused("1 reading of feeder conveyor chain would mean something else then."):
        change(farm, now, **other)
    with refused("1 reading of feeder conveyor chain would mean something else then."):
        bring_in(farm.store, [replace(now, **other)], source="sheet", digest="", replace=True)
    change(farm, now, limit_micrometres=422_000)


def test_a_time_still_to_come_is_refused_by_hand_as_in_a_sheet(file_farm: SmallFarm) -> None:
    farm = file_farm
    run = harvest(farm)
    far = (datetime.now(UTC) + timedelta(days=3650)).replace(hour=12, minute=0, second=0, microsecond=0)
    with refused("is still to come."):
        change(farm, run, started_at=far, ended_at=far + timedelta(hours=8))
    new = Run(
        combine_id=farm.combine.id,
        started_at=far,
        ended_at=far + timedelta(hours=8),
        area_square_metres=round(9 * ACRE),
    )
    with refused("is still to come."):
        enter_row(farm.store, [new], "entered a run")
    assert len(standing(farm, Run)) == 1
