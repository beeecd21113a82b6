"""The daily round: what comes due in tomorrow's hours, its cautions first, ticked off one by one or all at once."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from tests.cli.running import Ran, Wearlog
from tests.small_farm import AUGUST, HOUR, SmallFarm, harvest, kind
from wearlog.facts.cautions import CAUTIONS, sentences_of
from wearlog.facts.closed_lists import Evidence, Hazard, MachineKind, MeterKind
from wearlog.facts.machines import Machine, ServiceDone, ServiceItem
from wearlog.facts.wearing import Component
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.parts.fitting import Put, add_component, refit
from wearlog.logbook.parts.upkeep import add_service, add_usual_services, do_service
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.work.services_due import DueStanding, ServiceDue, services_due
from wearlog.reckoning.work.tonight import EveningRound, WhyTonight, tonight
from wearlog.store.finding import find_all

LATER = AUGUST + timedelta(days=3, hours=3)


def done(ran: Ran) -> Ran:
    assert ran.code == 0, ran.err
    return ran


def grease(farm: SmallFarm, name: str, hours: int, last: datetime | None, hazard: Hazard | None = None) -> ServiceItem:
    item = ServiceItem(
        machine_id=farm.combine.id,
        name=name,
        meter_kind=MeterKind.SEPARATOR_HOURS,
        interval_usage=hours * HOUR,
        hazard=hazard,
    )
    add_service(farm.store, item)
    if last is not None:
        do_service(farm.store, ServiceDone(service_item_id=item.id, at=last))
    return item


def round_of(farm: SmallFarm, at: datetime, day: float | None = None) -> EveningRound:
    with farm.store.reading() as connection:
        return tonight(connection, farm_from(connection, at), day)


def why(found: EveningRound) -> dict[str, WhyTonight]:
    return {one.due.item.name: one.why for one in found.lines}


def three_days_of_eight_hours(farm: SmallFarm) -> None:
    for day in range(3):
        harvest(farm, hours=8, at=AUGUST - timedelta(hours=8) + timedelta(days=day))


def test_what_comes_due_in_tomorrows_hours_is_in_the_round(file_farm: SmallFarm) -> None:
    three_days_of_eight_hours(file_farm)
    evening = AUGUST + timedelta(days=2, hours=4)
    grease(file_farm, "daily", 10, evening - timedelta(days=1))
    grease(file_farm, "in two days", 36, AUGUST - timedelta(days=1))
    grease(file_farm, "past", 20, AUGUST - timedelta(days=1))
    grease(file_farm, "daily, never noted", 10, None)
    grease(file_farm, "long, never noted", 250, None)
    found = round_of(file_farm, evening)
    assert found.hours == {"Kestrel": pytest.approx(8.0)}
    assert why(found) == {
        "past": WhyTonight.OVERDUE,
        "daily": WhyTonight.TOMORROW,
        "daily, never noted": WhyTonight.NEVER_NOTED,
    }
    assert found.unnoted == 1
    # a day of 13 h takes in what 8 h do not
    assert "in two days" in why(round_of(file_farm, evening, 13 * HOUR))


def test_what_was_done_tonight_does_not_come_again_before_anything_ran(file_farm: SmallFarm) -> None:
    three_days_of_eight_hours(file_farm)
    evening = AUGUST + timedelta(days=2, hours=4)
    item = grease(file_farm, "every 5 h", 5, AUGUST)
    assert why(round_of(file_farm, evening)) == {"every 5 h": WhyTonight.OVERDUE}
    do_service(file_farm.store, ServiceDone(service_item_id=item.id, at=evening))
    assert why(round_of(file_farm, evening + timedelta(minutes=5))) == {}


def test_before_the_first_acre_a_usual_day_is_taken_and_said_to_be_a_guess(file_farm: SmallFarm) -> None:
    grease(file_farm, "daily", 10, None)
    found = round_of(file_farm, AUGUST)
    assert (found.hours, found.guessed) == ({"Kestrel": 10.0}, {"Kestrel"})


def test_a_header_that_hangs_on_no_combine_has_no_round(file_farm: SmallFarm) -> None:
    spare = Machine(name="Old header", kind=MachineKind.HEADER, cut_width_micrometres=9_144_000)
    add_machine(file_farm.store, spare, at=AUGUST - timedelta(days=60))
    add_usual_services(file_farm.store, spare)
    found = round_of(file_farm, LATER)
    assert (found.lines, found.not_on) == ((), ("Old header",))


def due_of(farm: SmallFarm, at: datetime) -> dict[str, ServiceDue]:
    with farm.store.reading() as connection:
        return {one.item.name: one for one in services_due(connection, farm_from(connection, at))}


def test_a_new_belt_is_looked_at_after_8_24_and_100_hours_and_again_when_it_is_new_again(file_farm: SmallFarm) -> None:
    store, on = file_farm.store, AUGUST - timedelta(days=1)
    belt = Component(machine_id=file_farm.combine.id, part_kind_id=kind("main drive belt").id, place="main belt")
    old = Component(machine_id=file_farm.combine.id, part_kind_id=kind("cleaning fan belt").id, place="fan belt")
    add_component(store, belt, fitted_at=on)
    add_component(store, old, fitted_at=on, age_usage=None)
    add_usual_services(store, file_farm.combine)
    three_days_of_eight_hours(file_farm)
    found = due_of(file_farm, LATER)
    tension = {name: one for name, one in found.items() if "h after new" in name}
    assert {name: round((one.left_usage or 0) / HOUR) for name, one in tension.items()} == {
        "main belt: tension, 8 h after new": -16,
        "main belt: tension, 24 h after new": 0,
        "main belt: tension, 100 h after new": 76,
    }, "nothing of a belt whose age nobody knows"
    eight = tension["main belt: tension, 8 h after new"].item
    assert (eight.evidence, eight.hazard) == (Evidence.PUBLISHED, Hazard.ROTATING_DRIVE)
    do_service(store, ServiceDone(service_item_id=eight.id, at=LATER))
    assert eight.name not in due_of(file_farm, LATER + timedelta(hours=1))
    refit(store, belt, (1,), at=LATER + timedelta(hours=2), put=Put(0))
    again = due_of(file_farm, LATER + timedelta(hours=3))[eight.name]
    assert again.left_usage == pytest.approx(8 * HOUR)


def test_the_first_oil_change_of_a_new_machine_comes_sooner(file_farm: SmallFarm) -> None:
    new = Machine(name="Wren", kind=MachineKind.COMBINE)
    began = AUGUST - timedelta(days=2)
    add_machine(file_farm.store, new, at=began, shown={MeterKind.ENGINE_HOURS: 4 * HOUR})
    for machine in (new, file_farm.combine):
        add_usual_services(file_farm.store, machine)
    with file_farm.store.reading() as connection:
        rows = services_due(connection, farm_from(connection, AUGUST))
    oil = {one.machine_id: one for one in rows if one.item.name == "engine oil and filter"}
    assert (oil[new.id].interval, oil[new.id].left_usage) == (50 * HOUR, pytest.approx(46 * HOUR))
    assert oil[file_farm.combine.id].standing is DueStanding.NEVER_NOTED, "it had its first change before the log"
    do_service(file_farm.store, ServiceDone(service_item_id=oil[new.id].item.id, at=AUGUST))
    with file_farm.store.reading() as connection:
        rows = services_due(connection, farm_from(connection, AUGUST + timedelta(hours=1)))
    assert next(one.interval for one in rows if one.item.id == oil[new.id].item.id) == 250 * HOUR


def test_the_round_says_its_cautions_first_and_is_ticked_off(own: Wearlog, file_farm: SmallFarm) -> None:
    knife = grease(file_farm, "knife head: grease", 10, None, Hazard.KNIFE)
    grease(file_farm, "chaff: blow off", 10, None, Hazard.FIRE)
    grease(file_farm, "stone trap: empty", 10, None, Hazard.UNPLUGGING)
    said = " ".join(done(own("due", "--tonight")).out.split())
    cautions = sentences_of([Hazard.FIRE, Hazard.KNIFE, Hazard.UNPLUGGING])
    places = [said.index(one) for one in (*cautions, "Tonight 3 services on Kestrel", "machine service due no.")]
    assert places == sorted(places), "fire, knife and unplugging in full, then the round"
    found = own("due", "--tonight", "--json").json
    assert [one["service"] for one in found["tonight"]] == [
        "chaff: blow off",
        "knife head: grease",
        "stone trap: empty",
    ]
    assert found["hours_tomorrow"] == {"Kestrel": 10.0}
    number = found["tonight"][1]["entry_number"]
    done(own("due", "--tonight", "--tick", number))
    assert [one["service"] for one in own("due", "--tonight", "--json").json["tonight"]] == [
        "chaff: blow off",
        "stone trap: empty",
    ]
    assert own("due", "--tonight", "--tick", number).code == 3, "it is done"
    ran = done(own("due", "--tonight", "--tick", "all"))
    assert "2 services done on Kestrel" in ran.out
    assert own("due", "--tonight", "--json").json["tonight"] == []
    assert own("due", "--tonight", "--tick", "all").code == 4
    done(own("undo"))
    assert len(own("due", "--tonight", "--json").json["tonight"]) == 2, "one entry, one undo"
    with file_farm.store.reading() as connection:
        assert [one.service_item_id for one in find_all(connection, ServiceDone)] == [knife.id]
    assert own("due", "--tick", "all").code == 2
    assert own("due", "--tonight", "--all").code == 2


def test_cautions_stand_before_unplugging_jacks_and_a_service_that_can_hurt(own: Wearlog, file_farm: SmallFarm) -> None:
    for words, hazard in (
        (("stop", "kestrel", "other", "30 min", "--note", "feeder plugged"), Hazard.UNPLUGGING),
        (("add", "repair", "jacked up, axle out", "--on", "kestrel", "--labour", "3h"), Hazard.LIFTING),
    ):
        ran = done(own(*words, "--at", "2026-08-02 12:00"))
        assert ran.err.splitlines() == list(CAUTIONS[hazard])
    assert done(own("stop", "kestrel", "weather", "30 min", "--at", "2026-08-03 12:00")).err == ""
    item = grease(file_farm, "tires: press", 10, None)
    assert done(own("due", "--done", "kestrel", "tires", "--at", "2026-08-03 12:00")).err.splitlines() == list(
        CAUTIONS[Hazard.TIRE]
    )
    grease(file_farm, "knife head: grease", 10, None, Hazard.KNIFE)
    ticked = done(own("due", "--tonight", "--tick", "all")).err.splitlines()
    assert ticked == ["CARE key out, header on its stop, cut-proof gloves. All of it: wearlog due --tonight"], item.name
