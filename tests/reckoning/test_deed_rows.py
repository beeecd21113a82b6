"""What a deed did, row by row in words; and what is guessed while a farm has no breakage."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from tests.reckoning.screen_farm import NOW
from tests.reckoning.test_screen_views import break_at
from tests.small_farm import unguessed_kind
from wearlog.facts.closed_lists import Action, Ground, MachineKind
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.parts import Part, PartFit, PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Component
from wearlog.logbook.farm.first_day import start_log
from wearlog.logbook.farm.machines import add_field, add_machine
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.fitting import add_component
from wearlog.logbook.parts.suppliers import enter_supplier
from wearlog.logbook.saving import save
from wearlog.present.digits import Measures
from wearlog.present.files.row_sheet import DeedRow, deed_row
from wearlog.present.wear.guess_words import guess_line
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.files import (
    count_rows,
    deed_query,
    deed_rows,
    page_from_end,
    page_of,
    place_of,
    version_query,
)
from wearlog.reckoning.wear.guessed_kinds import guess_view
from wearlog.store.finding import find_all
from wearlog.store.journal import journal_end
from wearlog.store.location import Location
from wearlog.store.opening import Store

US, METRIC = Measures(FarmSettings(time_zone="UTC")), Measures(FarmSettings(units="metric"))


def rows_of_last(store: Store) -> list[DeedRow]:
    with store.reading() as connection:
        _, newest = journal_end(connection)
        assert newest is not None
        changes, names = deed_rows(connection, newest, "", 0, 100)
    return [deed_row(change, names, US) for change in changes]


def test_every_row_of_a_deed_is_said_with_what_it_was_before(farm_store: Store) -> None:
    break_at(farm_store, "guards", 9, Action.REPLACED, 1)
    rows = rows_of_last(farm_store)
    assert [(row.what, row.did) for row in rows] == [
        ("breakage", "entered"),
        ("fitting", "entered"),
        ("stock move", "entered"),
        ("fitting", "edited"),
    ]
    assert "component: North header, guards" in rows[0].details
    assert "positions: 9" in rows[0].details
    assert "part: KG-7 guard, forged" in rows[2].details
    assert [line.partition(":")[0] for line in rows[3].details] == ["removed at", "removal"]
    assert rows[3].details[1] == "removal: - → broke"


def test_taken_back_rows_say_so_and_what_they_pointed_at_keeps_its_name(farm_store: Store) -> None:
    break_at(farm_store, "guards", 9, Action.REPLACED, 1)
    undo(farm_store)
    rows = rows_of_last(farm_store)
    assert [row.did for row in rows] == ["taken back"] * 3 + ["put back"]
    assert rows[0].details[0] == "counts no more"
    assert "component: North header, guards" in rows[0].details
    assert rows[3].details[1] == "removal: broke → -"


def test_figures_are_said_in_the_farms_units(farm_store: Store) -> None:
    add_field(farm_store, "Home field", 485_623, Ground.STONY)
    assert rows_of_last(farm_store)[0].about == "name: Home field, area: 120.0 ac, ground: stony"
    machine = Machine(name="Wide", kind=MachineKind.HEADER, cut_width_micrometres=12_192_000, model_year=2014)
    add_machine(farm_store, machine, at=NOW)
    assert rows_of_last(farm_store)[0].about == "name: Wide, kind: header, cut width: 40 ft, model year: 2014"


@pytest.mark.parametrize("sort", ["when", "who", "what"])
@pytest.mark.parametrize("backwards", [False, True])
def test_pages_of_deeds_tile_the_list_in_any_order(farm_store: Store, sort: str, backwards: bool) -> None:
    with farm_store.reading() as connection:
        query = deed_query("", sort, backwards=backwards)
        count = count_rows(connection, query)
        whole = [row.id for row in page_of(connection, query, 0, 1_000)]
        assert len(whole) == count > 30
        assert [row.id for first in range(0, count, 7) for row in page_of(connection, query, first, 7)] == whole
        from_end = [row.id for first in range(0, count, 7) for row in page_from_end(connection, query, first, 7, count)]
        assert from_end == whole
        assert [place_of(connection, query, one) for one in whole] == list(range(count))


def test_deeds_tell_their_rows_and_whether_they_were_taken_back(farm_store: Store) -> None:
    break_at(farm_store, "guards", 9, Action.REPLACED, 1)
    undo(farm_store)
    with farm_store.reading() as connection:
        taking, taken = page_of(connection, deed_query("guard 9", "when", backwards=True), 0, 10)
        assert (taking.undoes_deed_id, taking.undone, taking.rows) == (taken.id, False, 4)
        assert (taken.undoes_deed_id, bool(taken.undone), taken.rows) == (None, True, 4)
        assert count_rows(connection, version_query(connection, taken.id, "fitting")) == 2
        assert count_rows(connection, deed_query("100%", "when", backwards=True)) == 0


def test_guesses_are_told_only_while_nothing_has_broken(farm_store: Store) -> None:
    with farm_store.reading() as connection:
        assert guess_view(farm_from(connection, NOW)).kinds == ()


def test_a_new_farm_is_told_the_guesses_of_what_is_fitted(file_location: Location) -> None:
    store = start_log(file_location)
    header = Machine(name="North", kind=MachineKind.HEADER)
    now = datetime(2025, 7, 1, tzinfo=UTC)
    add_machine(store, header, at=now)
    kinds = {kind.name: kind for kind in STARTING_KINDS}
    for name, positions in (("guard", 80), ("knife section", 160), ("skid plate", 4)):
        component = Component(machine_id=header.id, part_kind_id=kinds[name].id, place=name, positions=positions)
        add_component(store, component, fitted_at=now)
    with store.reading() as connection:
        found = guess_view(farm_from(connection, now)).kinds
    store.close()
    # the most positions come first
    assert [(one.kind.name, one.positions) for one in found] == [
        ("knife section", 160),
        ("guard", 80),
        ("skid plate", 4),
    ]


def test_a_kind_of_the_farms_own_without_a_guess_is_not_told(file_location: Location) -> None:
    store = start_log(file_location)
    header = Machine(name="North", kind=MachineKind.HEADER)
    now = datetime(2025, 7, 1, tzinfo=UTC)
    add_machine(store, header, at=now)
    own = unguessed_kind(store)
    add_component(store, Component(machine_id=header.id, part_kind_id=own.id, place="divider"), fitted_at=now)
    with store.reading() as connection:
        assert guess_view(farm_from(connection, now)).kinds == ()
    store.close()
    assert guess_line(own, 1, US) == ""


def test_a_guess_is_said_in_the_farms_units() -> None:
    kinds = {kind.name: kind for kind in STARTING_KINDS}
    assert guess_line(kinds["knife section"], 160, US) == (
        "knife section (160): half are worn after 1,500-8,000 ac on 8 of 10 farms; "
        "in 1,000 ac stones break 1 where few, 4 on stony ground"
    )
    # 1,500 and 8,000 acres are 607 and 3,237 hectares, a guess in two figures; 1 in 1,000 acres is 2.5 in 1,000 hectares
    assert guess_line(kinds["knife section"], 160, METRIC) == (
        "knife section (160): half are worn after 610-3,200 ha on 8 of 10 farms; "
        "in 1,000 ha stones break 2.5 where few, 9.9 on stony ground"
    )
    assert guess_line(kinds["main drive belt"], 1, US) == "main drive belt: lasts about 300-2,000 h on 8 of 10 farms"


def test_the_warranty_of_a_part_is_told_on_the_meter_of_its_kind(farm_store: Store) -> None:
    with farm_store.writing() as connection:
        chain = next(one for one in find_all(connection, PartKind) if one.name == "feeder conveyor chain")
        part = Part(number="FC-9", name="feeder chain", warranty_usage=400 * 3600)
        save(farm_store, connection, "a chain", new=[part, PartFit(part_id=part.id, part_kind_id=chain.id)])
    assert "warranty: 400.0 h" in next(row.details for row in rows_of_last(farm_store) if row.what == "part")


def test_a_supplier_is_told_as_people_say_it(farm_store: Store) -> None:
    enter_supplier(farm_store, "Crossing Supply", distance_metres=19_312, opening={5: (8 * 3600, 12 * 3600)})
    supplier, hours = sorted(rows_of_last(farm_store), key=lambda row: row.what)
    assert "distance: 12 mi" in supplier.details
    assert {"supplier: Crossing Supply", "weekday: Saturday", "opens: 08:00", "closes: 12:00"} <= set(hours.details)
