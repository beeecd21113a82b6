"""A diagram that machines of one type share: read, edited for all or for one, taken back; faults of the past keep their places."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.small_farm import AUGUST, MAY, SmallFarm
from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, MachineKind
from wearlog.facts.electrics import CircuitCut, CircuitNode, Fault, FaultSign
from wearlog.facts.machines import Machine
from wearlog.faults.circuit import Circuit
from wearlog.faults.diagram_text import write_diagram
from wearlog.faults.type_diagram import differences
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.faults.checking import note_check
from wearlog.logbook.faults.circuits import (
    bring_in_diagram,
    circuit_on,
    put_starting_diagram,
    share_diagram,
    take_back_differences,
    unshare_diagram,
)
from wearlog.logbook.faults.fault_sentences import CheckEntry
from wearlog.logbook.faults.faulting import open_fault
from wearlog.logbook.faults.type_circuits import read_type
from wearlog.logbook.files.undo import undo
from wearlog.reckoning.faults.fault_log import read_fault_log
from wearlog.store.finding import find_all

LIGHTS = """\
Battery: battery
  Light fuse: fuse 15 A
    Light plug: connector, outside
      Left light: device, returns by Frame ground
      Right light: device, returns by Frame ground
Frame ground: ground, outside, returns by Battery
"""
HORN = "  Horn fuse: fuse 10 A\n    Horn: device, returns by Frame ground\n"
WITH_HORN = LIGHTS.replace("Frame ground:", HORN + "Frame ground:")


@pytest.fixture
def two(farm: SmallFarm) -> tuple[SmallFarm, Machine, Machine]:
    """Kestrel, whose lights are drawn, and Merlin, of which nothing is; both of one type, the diagram shared."""
    other = Machine(name="Merlin", kind=MachineKind.COMBINE, type_name="CLASS  eight")
    add_machine(farm.store, other, at=MAY)
    bring_in_diagram(farm.store, farm.combine, LIGHTS)
    share_diagram(farm.store, farm.combine, type_name="class eight")
    return farm, replace(farm.combine, type_name="class eight"), other


def drawn(farm: SmallFarm, machine: Machine) -> Circuit:
    with farm.store.reading() as connection:
        return circuit_on(connection, machine.id)


def text_of(farm: SmallFarm, machine: Machine) -> str:
    return write_diagram(drawn(farm, machine))


def lines_of(farm: SmallFarm, machine: Machine) -> set[str]:
    """The lines of the text: a copy of a place is a newer row, and stands further down."""
    return {line.strip() for line in text_of(farm, machine).splitlines()}


def differs(farm: SmallFarm, machine: Machine) -> tuple[str, ...]:
    with farm.store.reading() as connection:
        return differences(read_type(connection, machine).on())


def test_what_one_machine_gives_to_its_type_is_drawn_of_the_others(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    assert text_of(farm, merlin) == text_of(farm, kestrel) == LIGHTS
    with farm.store.reading() as connection:
        log = read_fault_log(connection)
    assert write_diagram(log.circuit(merlin.id)) == LIGHTS
    assert differs(farm, merlin) == differs(farm, kestrel) == ()
    undo(farm.store)
    assert drawn(farm, merlin).nodes == ()
    assert text_of(farm, kestrel) == LIGHTS


def test_a_machine_without_a_type_shares_nothing(farm: SmallFarm) -> None:
    bring_in_diagram(farm.store, farm.combine, LIGHTS)
    with pytest.raises(UsageError, match="of which type Kestrel is"):
        share_diagram(farm.store, farm.combine)
    with pytest.raises(UsageError, match="Kestrel shares no diagram"):
        bring_in_diagram(farm.store, farm.combine, WITH_HORN, only_here=False)


def test_an_edit_counts_for_all_of_the_type(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    edited = WITH_HORN.replace("Light plug: connector", "Light plug: connector, at cab roof")
    done = bring_in_diagram(farm.store, merlin, edited)
    whose = "drew the diagram of the type 'CLASS eight' (Merlin, Kestrel)"
    assert done.said == f"{whose}: added 2 places and 3 connections; changed 1 place"
    assert lines_of(farm, kestrel) == lines_of(farm, merlin) == {line.strip() for line in edited.splitlines()}
    # all rows of the type are kept with one machine, so that sheets can name them
    with farm.store.reading() as connection:
        assert {row.machine_id for row in find_all(connection, CircuitNode)} == {kestrel.id}


def test_what_differs_on_one_machine_leaves_the_others_alone(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    edited = LIGHTS.replace("fuse 15 A", "fuse 20 A").replace(
        "      Right light: device, returns by Frame ground\n", ""
    )
    edited = edited.replace("Frame ground:", HORN + "Frame ground:")
    bring_in_diagram(farm.store, merlin, edited, only_here=True)
    assert text_of(farm, kestrel) == LIGHTS
    assert lines_of(farm, merlin) == {line.strip() for line in edited.splitlines()}
    assert differs(farm, merlin) == (
        "Light fuse: rating otherwise here",
        "Horn fuse: only here",
        "Horn: only here",
        "Right light: not here",
    )
    with pytest.raises(UsageError, match="Merlin differs from the diagram of its type"):
        bring_in_diagram(farm.store, merlin, LIGHTS, only_here=False)


def test_what_is_changed_for_all_later_reaches_a_machine_that_differs_elsewhere(
    two: tuple[SmallFarm, Machine, Machine],
) -> None:
    farm, kestrel, merlin = two
    # the horn hangs on the battery and the frame ground, which so have rows of their own on Merlin, though they look the same
    bring_in_diagram(farm.store, merlin, WITH_HORN, only_here=True)
    moved = LIGHTS.replace("Battery: battery", "Battery: battery, at box").replace(
        ": connector", ": connector, at roof"
    )
    bring_in_diagram(farm.store, kestrel, moved)
    found = drawn(farm, merlin)
    assert (found.node("Battery").place, found.node("Light plug").place) == ("box", "roof")
    assert differs(farm, merlin) == ("Horn fuse: only here", "Horn: only here")
    assert found.upstream("Left light") == {"Battery", "Light fuse", "Light plug"}


def test_what_hangs_on_a_place_that_is_not_here_is_not_here(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    bring_in_diagram(
        farm.store, merlin, "Battery: battery\nFrame ground: ground, outside, returns by Battery\n", only_here=True
    )
    more = LIGHTS.replace("      Right light", "      Middle light: device, returns by Frame ground\n      Right light")
    bring_in_diagram(farm.store, kestrel, more)
    assert {node.name for node in drawn(farm, merlin).nodes} == {"Battery", "Frame ground"}
    assert "Middle light" in {node.name for node in drawn(farm, kestrel).nodes}


def test_how_places_hang_together_can_differ(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    edited = LIGHTS.replace("      Right light: device", "    Right light: device")
    bring_in_diagram(farm.store, merlin, edited, only_here=True)
    assert drawn(farm, merlin).fed_by("Right light") == ("Light fuse",)
    assert drawn(farm, merlin).fed_by("Left light") == ("Light plug",)
    assert drawn(farm, kestrel).fed_by("Right light") == ("Light plug",)
    assert differs(farm, merlin) == ("connected otherwise here",)


def test_the_machine_that_keeps_the_shared_rows_may_differ_too(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    edited = LIGHTS.replace("fuse 15 A", "fuse 20 A")
    bring_in_diagram(farm.store, kestrel, edited, only_here=True)
    assert text_of(farm, merlin) == LIGHTS
    assert lines_of(farm, kestrel) == {line.strip() for line in edited.splitlines()}
    with pytest.raises(RefusedError, match="has all of this already"):
        bring_in_diagram(farm.store, kestrel, edited, only_here=True)
    undo(farm.store)
    assert text_of(farm, kestrel) == LIGHTS


def test_what_differs_is_taken_back_at_one_place_or_everywhere(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, _, merlin = two
    edited = LIGHTS.replace("fuse 15 A", "fuse 20 A").replace(
        "      Right light: device, returns by Frame ground\n", ""
    )
    bring_in_diagram(farm.store, merlin, edited, only_here=True)
    take_back_differences(farm.store, merlin, "right light")
    assert differs(farm, merlin) == ("Light fuse: rating otherwise here",)
    take_back_differences(farm.store, merlin)
    assert text_of(farm, merlin) == LIGHTS
    with farm.store.reading() as connection:
        assert find_all(connection, CircuitCut) == []
    with pytest.raises(NotFoundError, match="Merlin is like its type"):
        take_back_differences(farm.store, merlin)


def test_a_fault_told_of_a_shared_place_keeps_it_through_all_of_this(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    done = open_fault(farm.store, merlin, "left light out", at=AUGUST, signs=("left light dead",))
    fault = next(fact for fact in done.facts if isinstance(fact, Fault))
    entry = CheckEntry(kind=CheckKind.LOOK, node="light plug", verdict=CheckVerdict.GOOD)
    note_check(farm.store, fault, entry, at=AUGUST)

    def named() -> set[str]:
        with farm.store.reading() as connection:
            log = read_fault_log(connection)
        here = {node.name for node in log.circuit(merlin.id).nodes}
        said = {log.node_name(row.node_id) for row in (*log.signs(fault), *log.checks(fault))}
        assert said <= here
        return said

    assert named() == {"Left light", "Light plug"}
    bring_in_diagram(farm.store, merlin, LIGHTS.replace("plug: connector", "plug: connector, at roof"), only_here=True)
    assert named() == {"Left light", "Light plug"}
    more = CheckEntry(kind=CheckKind.WIGGLE, node="light plug", verdict=CheckVerdict.BAD)
    note_check(farm.store, fault, more, at=AUGUST)
    take_back_differences(farm.store, merlin)
    assert named() == {"Left light", "Light plug"}
    # and nobody takes the diagram from under it
    with pytest.raises(RefusedError, match="Faults of Merlin rest on this diagram"):
        unshare_diagram(farm.store, kestrel)
    with farm.store.reading() as connection:
        assert len(find_all(connection, FaultSign)) == 1


def test_a_machine_with_a_diagram_of_its_own_keeps_it_when_another_shares(farm: SmallFarm) -> None:
    other = Machine(name="Merlin", kind=MachineKind.COMBINE, type_name="class eight")
    add_machine(farm.store, other, at=MAY)
    bring_in_diagram(farm.store, farm.combine, LIGHTS)
    own = LIGHTS.replace("fuse 15 A", "fuse 10 A")
    bring_in_diagram(farm.store, other, own)
    share_diagram(farm.store, farm.combine, type_name="class eight")
    assert text_of(farm, other) == own
    assert differs(farm, other) == ("Light fuse: rating otherwise here",)


def test_a_starting_diagram_goes_onto_all_of_the_type(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    put_starting_diagram(farm.store, merlin, "header")
    assert "Reel lift valve" in {node.name for node in drawn(farm, kestrel).nodes}
    assert lines_of(farm, kestrel) == lines_of(farm, merlin)


def test_a_diagram_is_one_machines_own_again(two: tuple[SmallFarm, Machine, Machine]) -> None:
    farm, kestrel, merlin = two
    with pytest.raises(RefusedError, match="Merlin shares no diagram"):
        unshare_diagram(farm.store, merlin)
    unshare_diagram(farm.store, kestrel)
    assert (text_of(farm, kestrel), drawn(farm, merlin).nodes) == (LIGHTS, ())
