"""Parts that move: one deed, their age goes along, nothing is guessed, and undo brings all back."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.small_farm import ACRE, AUGUST, MAY, SmallFarm, kind
from wearlog.errors import RefusedError, UsageError
from wearlog.facts.closed_lists import Action, Cause, MachineKind, Mode, Removal
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Component, Fitting, Measurement
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.files.importing import everything
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import add_component, refit, take_off
from wearlog.logbook.parts.moving import Move, move_parts, parts_to_move
from wearlog.logbook.parts.upkeep import measure
from wearlog.store.finding import find_all

AGE = round(400 * ACRE)


def south_knife(farm: SmallFarm, *, fitted: bool = False, positions: int = 160) -> Component:
    south = Machine(name="South", kind=MachineKind.HEADER, cut_width_micrometres=12_192_000)
    add_machine(farm.store, south, at=MAY)
    knife = Component(machine_id=south.id, part_kind_id=kind("knife section").id, place="knife", positions=positions)
    add_component(farm.store, knife, fitted_at=MAY if fitted else None)
    return knife


def fittings(farm: SmallFarm, component: Component) -> list[Fitting]:
    with farm.store.reading() as connection:
        return find_all(connection, Fitting, component_id=component.id)


def on(farm: SmallFarm, component: Component) -> dict[int, int | None]:
    """Position -> age when fitted of what is on."""
    return {one.position: one.age_when_fitted_usage for one in fittings(farm, component) if one.removed_at is None}


def test_the_old_fittings_end_as_moved_and_new_ones_begin_at_their_age(farm: SmallFarm) -> None:
    south = south_knife(farm)
    before = everything(farm.store)
    done = move_parts(farm.store, Move(farm.knife, south, AUGUST, (41, 42)), (AGE, None))
    assert done.said == "moved North, knife sections 41-42 to South, knife sections 41-42, 1 Aug 2026 09:00"
    ended = [(one.position, one.removed_at, one.removal) for one in fittings(farm, farm.knife) if one.removed_at]
    assert ended == [(41, AUGUST, Removal.MOVED), (42, AUGUST, Removal.MOVED)]
    assert [(one.position, one.fitted_at, one.age_when_fitted_usage) for one in fittings(farm, south)] == [
        (41, AUGUST, AGE),
        (42, AUGUST, None),
    ]
    undo(farm.store)
    assert everything(farm.store) == before


def test_no_positions_named_means_all_that_hold_a_part(farm: SmallFarm) -> None:
    south = south_knife(farm)
    take_off(farm.store, farm.knife, (7,), at=AUGUST - timedelta(days=1), removal=Removal.PLANNED)
    done = move_parts(farm.store, Move(farm.knife, south, AUGUST), [AGE] * 159)
    assert done.said == "moved North, knife sections 1-6, 8-160 to South, knife sections 1-6, 8-160, 1 Aug 2026 09:00"
    assert set(on(farm, south)) == {*range(1, 161)} - {7}
    assert on(farm, farm.knife) == {}


def test_a_taken_position_is_refused_unless_what_sits_there_comes_off(farm: SmallFarm) -> None:
    south = south_knife(farm, fitted=True)
    before = everything(farm.store)
    move = Move(farm.knife, south, AUGUST, (41,), (3,))
    with pytest.raises(RefusedError, match="There is a part at South, knife section 3 already"):
        move_parts(farm.store, move, (AGE,))
    assert everything(farm.store) == before
    done = move_parts(farm.store, replace(move, replace=True), (AGE,))
    assert done.also == ("off there, planned: 3",)
    off = [(one.position, one.removal) for one in fittings(farm, south) if one.removed_at]
    assert off == [(3, Removal.PLANNED)]
    assert on(farm, south)[3] == AGE
    undo(farm.store)
    assert everything(farm.store) == before


def test_parts_move_along_their_own_knife_into_places_that_become_free(farm: SmallFarm) -> None:
    take_off(farm.store, farm.knife, (43,), at=AUGUST - timedelta(days=1), removal=Removal.SCRAPPED)
    move_parts(farm.store, Move(farm.knife, farm.knife, AUGUST, (41, 42), (42, 43)), (AGE, AGE + 1))
    found = on(farm, farm.knife)
    assert (found.get(41), found[42], found[43]) == (None, AGE, AGE + 1)


def refused(farm: SmallFarm, move: Move) -> str:
    before = everything(farm.store)
    with farm.store.reading() as connection, pytest.raises((RefusedError, UsageError)) as error:
        parts_to_move(connection, move)
    assert everything(farm.store) == before
    return error.value.message


def test_what_cannot_move_is_told(farm: SmallFarm) -> None:
    south = south_knife(farm, positions=120)
    take_off(farm.store, farm.knife, (9,), at=AUGUST - timedelta(days=1), removal=Removal.PLANNED)
    assert "different kinds of part" in refused(farm, Move(farm.knife, farm.chain, AUGUST, (1,)))
    assert refused(farm, Move(farm.knife, south, AUGUST, (9, 10))) == "Nothing is fitted at North, knife section 9."
    assert refused(farm, Move(south, farm.knife, AUGUST)) == "Nothing is fitted at South, knife section."
    assert refused(farm, Move(farm.knife, south, AUGUST, (1, 2), (5,))) == "2 parts cannot go to 1 positions."
    assert refused(farm, Move(farm.knife, south, AUGUST, (121,))) == "knife has no position 121."
    assert refused(farm, Move(farm.knife, farm.knife, AUGUST, (1,))) == "They sit there already."
    assert "Nothing is fitted" in refused(farm, Move(farm.knife, south, MAY - timedelta(days=1), (1,)))


def test_a_part_that_broke_and_was_left_in_does_not_move_as_a_whole_one(farm: SmallFarm) -> None:
    south = south_knife(farm)
    entry = BreakageEntry(
        component_id=farm.knife.id,
        positions=(41,),
        at=AUGUST - timedelta(days=2),
        cause=Cause.WEAR,
        mode=Mode.CRACKED,
        action=Action.LEFT,
    )
    log_breakage(farm.store, entry)
    move = Move(farm.knife, south, AUGUST, (41, 42))
    assert refused(farm, move) == "North, knife section 41 broke and was left in."
    log_breakage(farm.store, replace(entry, at=AUGUST - timedelta(days=1), action=Action.MENDED))
    with farm.store.reading() as connection:
        assert parts_to_move(connection, move).to == (41, 42)


@pytest.mark.parametrize("what", ["breakage", "fitting", "measurement", "there"])
def test_what_was_entered_for_a_later_time_is_not_left_hanging(farm: SmallFarm, what: str) -> None:
    south, later = south_knife(farm), AUGUST + timedelta(days=1)
    if what == "breakage":
        log_breakage(
            farm.store, BreakageEntry(component_id=farm.knife.id, positions=(41,), at=later, action=Action.MENDED)
        )
    elif what == "fitting":
        refit(farm.store, farm.knife, (41,), at=later)
    elif what == "measurement":
        measure(farm.store, Measurement(component_id=farm.knife.id, position=41, at=later, measured_micrometres=2_000))
    else:
        refit(farm.store, south, (41,), at=later)
    before = everything(farm.store)
    with pytest.raises(RefusedError, match="something was entered for a later time"):
        move_parts(farm.store, Move(farm.knife, south, AUGUST, (41,)), (AGE,))
    assert everything(farm.store) == before


def test_taking_off_without_positions_takes_all_that_are_on(farm: SmallFarm) -> None:
    take_off(farm.store, farm.knife, (7,), at=AUGUST - timedelta(days=1), removal=Removal.PLANNED)
    done = take_off(farm.store, farm.knife, (), at=AUGUST, removal=Removal.PLANNED)
    assert done.said == "took off North, knife sections 1-6, 8-160, 1 Aug 2026 09:00"
    with pytest.raises(RefusedError, match=r"Nothing is fitted at North, knife section\."):
        take_off(farm.store, farm.knife, (), at=AUGUST, removal=Removal.PLANNED)
    with pytest.raises(RefusedError, match="no position 161"):
        take_off(farm.store, farm.knife, (161,), at=AUGUST, removal=Removal.PLANNED)


def merlin_chain(farm: SmallFarm) -> Component:
    merlin = Machine(name="Merlin", kind=MachineKind.COMBINE)
    add_machine(farm.store, merlin, at=MAY)
    chain = Component(machine_id=merlin.id, part_kind_id=farm.chain.part_kind_id, place="feeder chain")
    add_component(farm.store, chain)
    return chain


def read_chain(farm: SmallFarm, micrometres: int, days: int) -> None:
    measure(
        farm.store,
        Measurement(component_id=farm.chain.id, at=AUGUST + timedelta(days=days), measured_micrometres=micrometres),
    )


def test_a_part_past_its_limit_stays_where_it_is_and_one_within_it_leaves_its_readings(farm: SmallFarm) -> None:
    limit = kind("feeder conveyor chain").limit_micrometres
    assert limit is not None
    elsewhere = merlin_chain(farm)
    move = Move(farm.chain, elsewhere, AUGUST + timedelta(days=9))
    read_chain(farm, limit, 1)
    with pytest.raises(RefusedError, match="past its limit when it was last measured"):
        move_parts(farm.store, move, (AGE,))
    # the next reading takes the slip back
    read_chain(farm, limit - 1000, 2)
    done = move_parts(farm.store, move, (AGE,))
    assert done.also == ("its 2 readings stay with the old place: measure again where it is now",)
