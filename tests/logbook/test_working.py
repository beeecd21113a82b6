"""Readings, runs, stoppages and hitches: what is refused, and what one entry changes."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.small_farm import AUGUST, HOUR, MAY, SmallFarm, harvest
from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import MachineKind, MeterKind, StopReason
from wearlog.facts.machines import Hitch, Machine, Meter, Reading
from wearlog.facts.work import Stoppage
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.work.working import end_stop, read_meter, stop
from wearlog.store.finding import find_all


def test_a_new_combine_has_three_meters_and_a_header_one(farm: SmallFarm) -> None:
    with farm.store.reading() as connection:
        combine = {meter.kind for meter in find_all(connection, Meter, machine_id=farm.combine.id)}
        header = {meter.kind for meter in find_all(connection, Meter, machine_id=farm.header.id)}
    assert combine == {MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS, MeterKind.AREA}
    assert header == {MeterKind.AREA}


def test_a_second_machine_of_one_name_is_refused(farm: SmallFarm) -> None:
    with pytest.raises(RefusedError, match="Kestrel"):
        add_machine(farm.store, Machine(name="Kestrel", kind=MachineKind.COMBINE), at=MAY)


def test_a_reading_that_runs_backwards_is_refused_with_both_figures(farm: SmallFarm) -> None:
    with pytest.raises(RefusedError) as refused:
        read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 2301 * HOUR, at=AUGUST)
    assert refused.value.message == (
        "Kestrel showed 2,310.0 engine hours on 1 May 2026; 2,301.0 engine hours would run backwards."
    )


def test_a_late_reading_above_a_later_one_is_refused(farm: SmallFarm) -> None:
    read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 2400 * HOUR, at=AUGUST)
    with pytest.raises(RefusedError, match=r"showed only 2,400\.0 engine hours later"):
        read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 2401 * HOUR, at=AUGUST - timedelta(days=9))


def test_a_replaced_meter_may_begin_lower(farm: SmallFarm) -> None:
    read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 0, at=AUGUST, replaced=True)
    read_meter(farm.store, farm.combine, MeterKind.ENGINE_HOURS, 12 * HOUR, at=AUGUST + timedelta(days=2))
    with farm.store.reading() as connection:
        shown = [reading.shown_usage // HOUR for reading in find_all(connection, Reading)]
    assert shown == [2310, 1702, 0, 12]


def test_hitching_elsewhere_ends_the_open_hitch_at_that_time(farm: SmallFarm) -> None:
    other = Machine(name="Merlin", kind=MachineKind.COMBINE)
    add_machine(farm.store, other, at=MAY)
    hitch(farm.store, farm.header, other, at=AUGUST)
    with farm.store.reading() as connection:
        first, second = find_all(connection, Hitch)
    assert (first.combine_id, first.to_at) == (farm.combine.id, AUGUST)
    assert (second.combine_id, second.from_at, second.to_at) == (other.id, AUGUST, None)


@pytest.mark.parametrize("at", [MAY, AUGUST])
def test_the_same_hitch_twice_is_refused(farm: SmallFarm, at: object) -> None:
    with pytest.raises(RefusedError, match="North is on Kestrel already"):
        hitch(farm.store, farm.header, farm.combine, at=at)  # type: ignore[arg-type]


def test_an_open_stoppage_ends_when_the_machine_runs_again(farm: SmallFarm) -> None:
    stop(farm.store, Stoppage(machine_id=farm.combine.id, started_at=AUGUST, reason=StopReason.WEATHER))
    end_stop(farm.store, farm.combine, at=AUGUST + timedelta(hours=3))
    with farm.store.reading() as connection:
        (found,) = find_all(connection, Stoppage)
    assert found.ended_at == AUGUST + timedelta(hours=3)
    with pytest.raises(NotFoundError, match="Kestrel is not standing"):
        end_stop(farm.store, farm.combine, at=AUGUST + timedelta(hours=4))


def test_a_run_that_ends_before_it_begins_is_refused(farm: SmallFarm) -> None:
    from wearlog.logbook.work.working import cut

    run = harvest(farm)
    with pytest.raises(RefusedError):
        cut(farm.store, replace(run, id=farm.chain.id, ended_at=run.started_at - timedelta(hours=1)))
