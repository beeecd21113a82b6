"""Breakages entered out of order, and corrected: what they name, their repair and their stop go along."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from tests.small_farm import AUGUST, MAY, SmallFarm, harvest, kind
from wearlog.facts.closed_lists import Cause, Doing, MachineKind, Removal
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.facts.work import Stoppage
from wearlog.ids import short_number
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.names import known_names
from wearlog.logbook.parts.breaking import BreakageEntry, breakage_made, log_breakage
from wearlog.logbook.parts.fitting import Put, add_component, refit
from wearlog.logbook.rows.changing import change_row, take_back_row
from wearlog.logbook.saving import Done, save
from wearlog.reckoning.farm import read_farm
from wearlog.reckoning.wear.kind_life import fleet_lives
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.ledger import Entry, record

#: in the middle of two runs, three days apart
FIRST, SECOND = AUGUST + timedelta(hours=5), AUGUST + timedelta(days=3, hours=5)
AUTUMN = AUGUST + timedelta(days=60)
CENSORED, WEAR, IMPACT = range(3)


def rock(farm: SmallFarm, at: datetime, *positions: int, **more: object) -> Breakage:
    given = {"component_id": farm.knife.id, "positions": positions or (41,), "at": at, "cause": Cause.IMPACT} | more
    return the(Breakage, log_breakage(farm.store, BreakageEntry(**given)))  # type: ignore[arg-type]


def the(fact_type: type[Fact], done: Done) -> object:
    return next(one for one in done.facts if type(one) is fact_type)


def standing(farm: SmallFarm, fact_type: type[Fact], **equal: object) -> list:
    with farm.store.reading() as connection:
        return find_all(connection, fact_type, **equal)


def now_is(farm: SmallFarm, fact: Fact) -> Fact:
    return standing(farm, type(fact), id=fact.id)[0]


def at_41(farm: SmallFarm) -> list[Fitting]:
    with farm.store.reading() as connection:
        found = find_in_order(connection, Fitting, "fitted_at", component_id=farm.knife.id)
    return [one for one in found if one.position == 41]


def ends(farm: SmallFarm) -> list[int]:
    """How the lives at position 41 ended."""
    lives = fleet_lives(read_farm(farm.store, AUTUMN)).records
    rows = read_farm(farm.store, AUTUMN).histories.fittings.position[lives.fitting] == 41
    return sorted(lives.ended_by[rows].tolist())


def change(farm: SmallFarm, fact: Fact, **what: object) -> Done:
    done = change_row(farm.store, fact, replace(fact, **what), "changed it")
    assert isinstance(done, Done)
    return done


def two_days(farm: SmallFarm) -> None:
    harvest(farm, at=AUGUST)
    harvest(farm, at=AUGUST + timedelta(days=3))


def test_a_breakage_entered_late_leaves_the_later_one_its_own_part(file_farm: SmallFarm) -> None:
    farm = file_farm
    two_days(farm)
    later = rock(farm, SECOND)
    earlier = rock(farm, FIRST)
    old, between, new = at_41(farm)
    assert now_is(farm, later).broke_fitting_ids == (between.id,)  # type: ignore[attr-defined]
    assert earlier.broke_fitting_ids == (old.id,)
    assert later.followed_fitting_ids == (new.id,)
    assert ends(farm) == [CENSORED, IMPACT, IMPACT]


def test_parts_fitted_late_are_what_broke_after(file_farm: SmallFarm) -> None:
    farm = file_farm
    two_days(farm)
    later = rock(farm, SECOND)
    mended = rock(farm, SECOND + timedelta(hours=1), action="mended")
    refit(farm.store, farm.knife, (41,), at=FIRST, put=Put(off_shelf=False))
    assert now_is(farm, later).broke_fitting_ids == (at_41(farm)[1].id,)  # type: ignore[attr-defined]
    assert now_is(farm, mended) == mended
    assert ends(farm) == [CENSORED, CENSORED, IMPACT, IMPACT]


def test_what_was_mended_was_the_part_that_was_fitted_late(file_farm: SmallFarm) -> None:
    farm = file_farm
    two_days(farm)
    mended = rock(farm, SECOND, action="mended")
    refit(farm.store, farm.knife, (41,), at=FIRST, put=Put(off_shelf=False))
    assert now_is(farm, mended).broke_fitting_ids == (at_41(farm)[1].id,)  # type: ignore[attr-defined]


def test_a_log_that_names_the_part_of_before_still_counts_the_one_that_came_off_then(file_farm: SmallFarm) -> None:
    """As logs were written before: the later breakage goes on naming the part that came off at the earlier one."""
    farm = file_farm
    two_days(farm)
    later = rock(farm, SECOND)
    rock(farm, FIRST)
    with farm.store.writing() as connection:
        record(connection, device=farm.store.device, said="as it was", entries=[Entry(later, Doing.EDITED)])
    assert ends(farm) == [CENSORED, IMPACT, IMPACT]
    moved = SECOND + timedelta(hours=1)
    change(farm, later, at=moved)
    old, between, new = at_41(farm)
    assert (old.removed_at, between.removed_at, new.fitted_at) == (FIRST, moved, moved)


def test_taking_the_later_breakage_back_leaves_the_part_of_the_earlier_one_on(file_farm: SmallFarm) -> None:
    farm = file_farm
    later = rock(farm, SECOND)
    rock(farm, FIRST)
    take_back_row(farm.store, now_is(farm, later), "breakage")
    assert [(one.fitted_at, one.removed_at, one.removal) for one in at_41(farm)] == [
        (MAY, FIRST, Removal.BROKE),
        (FIRST, None, None),
    ]


def another_header(farm: SmallFarm) -> Component:
    header = Machine(name="South", kind=MachineKind.HEADER, cut_width_micrometres=12_192_000)
    add_machine(farm.store, header, at=MAY)
    knife = Component(machine_id=header.id, part_kind_id=kind("knife section").id, place="knife", positions=160)
    add_component(farm.store, knife, fitted_at=MAY)
    return knife


def test_the_repair_and_the_stop_go_to_the_machine_that_it_was(file_farm: SmallFarm) -> None:
    farm, other = file_farm, another_header(file_farm)
    breakage = rock(farm, FIRST, downtime_seconds=2400)
    change(farm, breakage, component_id=other.id)
    repair, stop = standing(farm, Repair)[0], standing(farm, Stoppage)[0]
    assert (repair.machine_id, repair.component_id, repair.started_at) == (other.machine_id, other.id, FIRST)
    assert (stop.machine_id, stop.started_at, stop.ended_at) == (
        other.machine_id,
        FIRST,
        FIRST + timedelta(seconds=2400),
    )


def test_another_position_and_time_takes_the_repair_along_and_all_goes_together(file_farm: SmallFarm) -> None:
    farm = file_farm
    breakage = rock(farm, FIRST, downtime_seconds=2400)
    done = change(farm, breakage, positions=(42,), at=SECOND)
    assert [one.started_at for one in (*standing(farm, Repair), *standing(farm, Stoppage))] == [SECOND, SECOND]
    assert standing(farm, Stoppage)[0].ended_at == SECOND + timedelta(seconds=2400)
    take_back_row(farm.store, next(one for one in done.facts if isinstance(one, Breakage)), "breakage")
    assert (standing(farm, Repair), standing(farm, Stoppage)) == ([], [])


def two_in_one_stop(farm: SmallFarm) -> tuple[Breakage, Breakage]:
    first = BreakageEntry(
        component_id=farm.knife.id, positions=(41,), at=FIRST, cause=Cause.IMPACT, downtime_seconds=2400
    )
    with farm.store.writing() as connection:
        known = known_names(connection)
        one = breakage_made(connection, known, first)
        save(farm.store, connection, one.said, new=one.new, changed=one.changed, known=known)
        second = BreakageEntry(component_id=farm.knife.id, positions=(90,), at=FIRST, cause=Cause.IMPACT)
        two = breakage_made(connection, known, second, of_stop=one.repair)
        save(farm.store, connection, two.said, new=two.new, changed=two.changed, known=known)
    section, guard = standing(farm, Breakage)
    return section, guard


def test_a_stop_of_two_parts_stays_with_the_one_that_stays(file_farm: SmallFarm) -> None:
    farm = file_farm
    section, guard = two_in_one_stop(farm)
    done = change(farm, guard, at=SECOND)
    number = short_number(section.repair_id)  # type: ignore[arg-type]
    assert done.also == (f"the repair {number} and its stop stay as they are: another part broke in the same stop",)
    assert [one.started_at for one in (*standing(farm, Repair), *standing(farm, Stoppage))] == [FIRST, FIRST]
    # when the last of them is corrected the stop follows
    assert change(farm, section, at=SECOND).also == ()
    assert [one.started_at for one in (*standing(farm, Repair), *standing(farm, Stoppage))] == [SECOND, SECOND]


def test_a_part_that_broke_elsewhere_leaves_the_shared_stop(file_farm: SmallFarm) -> None:
    farm, other = file_farm, another_header(file_farm)
    section, guard = two_in_one_stop(farm)
    done = change(farm, guard, component_id=other.id)
    assert len(done.also) == 1
    assert now_is(farm, guard).repair_id is None  # type: ignore[attr-defined]
    assert standing(farm, Repair)[0].machine_id == farm.header.id
    assert now_is(farm, section) == section
