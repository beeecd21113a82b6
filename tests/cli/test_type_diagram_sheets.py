"""What one machine lacks of its type's diagram, and what is undone on it, go out by export and come in again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.cli.running import Wearlog, on_log
from tests.small_farm import AUGUST, MAY, SmallFarm
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.electrics import CircuitCut, Fault, FaultOpening, Opened
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.faults.type_diagram import differences
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.faults.circuits import bring_in_diagram, share_diagram
from wearlog.logbook.faults.faulting import note_undone, open_fault
from wearlog.logbook.faults.type_circuits import read_type
from wearlog.logbook.open_log import open_log
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

LIGHTS = """\
Battery: battery
  Light fuse: fuse 15 A
    Left light: device, returns by Frame ground
    Right light: device, returns by Frame ground
Frame ground: ground, outside, returns by Battery
"""


def rows(store: Store, fact_type: type[Fact]) -> dict[Any, Fact]:
    with store.reading() as connection:
        return {fact.id: fact for fact in find_all(connection, fact_type)}


def lacks(store: Store, machine: Machine) -> tuple[str, ...]:
    with store.reading() as connection:
        return differences(read_type(connection, machine).on())


def two_of_a_type(farm: SmallFarm) -> Machine:
    """Kestrel, whose lights are drawn and shared, and Merlin of the same type."""
    merlin = Machine(name="Merlin", kind=MachineKind.COMBINE, type_name="class eight")
    add_machine(farm.store, merlin, at=MAY)
    bring_in_diagram(farm.store, farm.combine, LIGHTS)
    share_diagram(farm.store, farm.combine, type_name="Class Eight")
    return merlin


def test_what_a_machine_lacks_and_what_is_undone_on_it_come_in_again(
    wearlog: Wearlog, own: Wearlog, file_farm: SmallFarm, tmp_path: Path
) -> None:
    merlin = two_of_a_type(file_farm)
    without = LIGHTS.replace("    Right light: device, returns by Frame ground\n", "")
    bring_in_diagram(file_farm.store, merlin, without, only_here=True)
    done = open_fault(file_farm.store, merlin, "left light out", at=AUGUST, signs=("left light dead",))
    fault = next(fact for fact in done.facts if isinstance(fact, Fault))
    note_undone(file_farm.store, fault, Opened.FUSE_OUT, "light fuse", at=AUGUST)
    assert lacks(file_farm.store, merlin) == ("Right light: not here",)
    assert own("export", str(tmp_path / "out")).code == 0
    # a cut says its node by name, though the row is kept with the other machine of the type
    assert (tmp_path / "out" / "circuit_cut.csv").read_text("utf-8").splitlines()[1].endswith(",Merlin,Right light")
    again = tmp_path / "again.db"
    said = on_log(wearlog, again)("import", str(tmp_path / "out"))
    assert said.code == 0, said.err
    store = open_log(str(again))
    for fact_type in (CircuitCut, FaultOpening):
        assert rows(store, fact_type) == rows(file_farm.store, fact_type) != {}
    assert lacks(store, merlin) == ("Right light: not here",)
    store.close()


def test_a_cut_is_entered_by_the_name_that_the_type_has_and_taken_back(own: Wearlog, file_farm: SmallFarm) -> None:
    merlin = two_of_a_type(file_farm)
    said = own("enter", "circuit_cut", "machine=Merlin", "node=right light", "--json")
    assert said.code == 0, said.err
    number = said.json["entry_number"]
    assert lacks(file_farm.store, merlin) == ("Right light: not here",)
    assert own("change", number, "node=Left light").code == 0
    assert lacks(file_farm.store, merlin) == ("Left light: not here",)
    assert own("undo", number).code == 0
    assert lacks(file_farm.store, merlin) == ()


def test_what_no_type_shares_is_no_cut(own: Wearlog, file_farm: SmallFarm) -> None:
    two_of_a_type(file_farm)
    wrong = own("enter", "circuit_cut", "machine=Merlin", "node=horn")
    assert wrong.code == 2
    assert "The type of 'Merlin' shares no node 'horn'." in wrong.err
    assert "It shares Battery, Frame ground, Left light" in wrong.err
    alone = own("enter", "circuit_cut", "machine=North", "node=Left light")
    assert alone.code == 2
    assert "Share a diagram among the machines of its type first." in alone.err
    assert rows(file_farm.store, CircuitCut) == {}
