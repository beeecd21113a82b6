"""The circuit graph: what it refuses, and what lies above, below and beside a node."""

from __future__ import annotations

from uuid import UUID

import pytest

from wearlog.errors import DataError, NotFoundError
from wearlog.facts.closed_lists import CheckKind, EdgeKind, NodeKind, SignKind
from wearlog.facts.electrics import CircuitEdge, CircuitNode, Told
from wearlog.faults.circuit import Circuit, Edge, Mark, Node, circuit_from_facts
from wearlog.faults.circumstances import Circumstances
from wearlog.faults.diagram_gaps import gaps
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.signs import Sign
from wearlog.faults.sized_offers import offered_checks
from wearlog.faults.suspects import Case

HEADER = """\
Battery: battery
  Main fuse: fuse 30 A
    Harness: wire run
      Light fuse: fuse 10 A
        Plug: connector
          Left light: device, returns by Frame
          Right light: device, returns by Frame
    Controller: controller, returns by Frame, bus with Line
Frame: ground, returns by Battery
Line: wire run, bus with End one
End one: terminator
End two: terminator, bus with Line
"""


@pytest.fixture
def circuit() -> Circuit:
    return parse_diagram(HEADER)


def test_downstream_is_everything_fed_through_a_node(circuit: Circuit) -> None:
    assert circuit.downstream("Harness") == {"Light fuse", "Plug", "Left light", "Right light"}
    assert circuit.downstream("Left light") == frozenset()


def test_upstream_is_everything_that_feeds_a_node(circuit: Circuit) -> None:
    assert circuit.upstream("Plug") == {"Battery", "Main fuse", "Harness", "Light fuse"}


def test_the_first_fuse_above_is_the_nearest_one(circuit: Circuit) -> None:
    assert circuit.first_fuses_above("Left light") == ("Light fuse",)
    assert circuit.first_fuses_above("Light fuse") == ("Main fuse",)
    assert circuit.first_fuses_above("Battery") == ()


def test_a_node_with_two_feeds_has_a_first_fuse_on_each() -> None:
    two = parse_diagram("B: battery\n  F1: fuse 5 A\n    R: relay, also fed by F2\n      D: device\n  F2: fuse 10 A\n")
    assert set(two.first_fuses_above("D")) == {"F1", "F2"}


def test_nodes_share_the_grounds_on_their_way_back(circuit: Circuit) -> None:
    assert circuit.sharing_ground("Frame") == {"Left light", "Right light", "Controller"}
    assert circuit.sharing_ground("Plug") == frozenset()


def test_a_bus_is_reached_both_ways(circuit: Circuit) -> None:
    everyone = {"Controller", "Line", "End one", "End two"}
    assert circuit.on_the_bus_of("End two") == everyone == circuit.on_the_bus_of("Controller")
    assert circuit.on_the_bus_of("Plug") == frozenset()


def test_unknown_names_and_rings_are_told_together() -> None:
    nodes = (Node(name="A", kind=NodeKind.FUSE), Node(name="B", kind=NodeKind.SPLICE))
    with pytest.raises(DataError) as caught:
        Circuit(nodes, (Edge("A", "B"), Edge("B", "A"), Edge("A", "C")))
    assert 'names "C", which is not on the diagram' in caught.value.message
    assert 'run in a ring: "A" -> "B" -> "A"' in caught.value.message


@pytest.mark.parametrize(
    ("nodes", "edges", "says"),
    [
        ((Node(name="A", kind=NodeKind.FUSE),) * 2, (), 'The name "A" stands on the diagram twice.'),
        ((Node(name=" ", kind=NodeKind.FUSE),), (), "A node has no name."),
        ((Node(name="A\nB", kind=NodeKind.FUSE),), (), "does not fit on one line"),
        ((Node(name="A", kind=NodeKind.DEVICE, rating_milliamperes=5),), (), "only a fuse can have one"),
        ((Node(name="A", kind=NodeKind.DEVICE),), (Edge("A", "A"),), '"A" is connected to itself.'),
    ],
)
def test_what_cannot_be_a_circuit_is_refused(nodes: tuple[Node, ...], edges: tuple[Edge, ...], says: str) -> None:
    with pytest.raises(DataError, match=says.replace("(", r"\(")):
        Circuit(nodes, edges)


def test_a_connection_entered_twice_is_refused_even_when_a_bus_is_entered_backwards() -> None:
    nodes = (Node(name="A", kind=NodeKind.CONTROLLER), Node(name="B", kind=NodeKind.CONTROLLER))
    with pytest.raises(DataError, match='bus connection of "B" and "A" is entered twice'):
        Circuit(nodes, (Edge("A", "B", EdgeKind.BUS), Edge("B", "A", EdgeKind.BUS)))


def test_a_long_chain_is_walked_without_recursion() -> None:
    nodes = tuple(Node(name=f"N{i}", kind=NodeKind.SPLICE) for i in range(3000))
    chain = Circuit(nodes, tuple(Edge(f"N{i}", f"N{i + 1}") for i in range(2999)))
    assert len(chain.downstream("N0")) == 2999


def test_a_name_that_is_not_there_is_not_found(circuit: Circuit) -> None:
    with pytest.raises(NotFoundError, match='The diagram has no "Horn"'):
        circuit.node("Horn")


def test_stored_facts_become_a_circuit_and_voided_ones_do_not() -> None:
    machine = UUID(int=1)
    battery = CircuitNode(machine_id=machine, circuit="c", name="Battery", kind=NodeKind.BATTERY)
    light = CircuitNode(
        machine_id=machine, circuit="c", name="Light", kind=NodeKind.DEVICE, near_heat=True, outside=True
    )
    gone = CircuitNode(machine_id=machine, circuit="c", name="Horn", kind=NodeKind.DEVICE, voided=True)
    edges = [CircuitEdge(from_node_id=battery.id, to_node_id=light.id)]
    circuit = circuit_from_facts([battery, light, gone], edges)
    assert [node.name for node in circuit.nodes] == ["Battery", "Light"]
    assert circuit.node("Light").marks == {Mark.NEAR_HEAT, Mark.OUTSIDE}
    assert circuit.edges == (Edge("Battery", "Light"),)
    with pytest.raises(DataError, match='A connection of "Battery" leads to a node that is not on this diagram'):
        circuit_from_facts([battery, gone], edges)


def test_a_complete_diagram_has_no_gaps(circuit: Circuit) -> None:
    assert gaps(circuit) == ()


def test_gaps_are_told_in_sentences() -> None:
    lacking = parse_diagram(
        "F: fuse\nG: ground\nT: terminator\nOdd: fuse 12 A\n  C: controller, bus with D\nD: device, returns by Ground two\n"
        "Ground two: ground\n"
    )
    told = [gap.sentence for gap in gaps(lacking)]
    assert told == [
        "The diagram has no battery, so nothing says where the supply begins.",
        'The fuse "F" has no rating.',
        'Nothing returns by the ground "G".',
        'The terminator "T" is on no data line.',
        'The fuse "Odd" is entered as 12 A, which is no usual blade rating.',
        '"C" has no way back to ground.',
        'Nothing feeds "D".',
        'The data line at "C" has 0 terminators; it needs 2.',
    ]


def test_a_device_without_a_fuse_above_it_is_told() -> None:
    bare = parse_diagram("Battery: battery\n  Horn: device, returns by Frame\nFrame: ground, returns by Battery\n")
    assert [gap.sentence for gap in gaps(bare)] == ['No fuse stands above "Horn": a short there has nothing to blow.']


def test_an_alternator_is_drawn_as_a_source_and_never_offered_as_a_load() -> None:
    """As a device it is told to be none; as a source it is looked at and measured, not switched on, unplugged or given a lamp."""
    as_load = "B: battery\n  F: fuse 10 A\n    My Alternator: device, returns by G\n    L: device, returns by G\n"
    ground = "G: ground, returns by B\n"
    (gap,) = gaps(parse_diagram(as_load + ground))
    assert gap.sentence == '"My Alternator" is drawn as a load: the checks would ask you to switch it on.'
    circuit = parse_diagram(
        "B: battery, also fed by My Alternator\n  F: fuse 10 A\n    L: device, returns by G\n"
        f"My Alternator: alternator\n{ground}"
    )
    assert gaps(circuit) == ()
    signs = (Sign(kind=SignKind.DEAD, node="L", told=Told.FIRST), Sign(kind=SignKind.FUSE_BLEW_AT_ONCE, node="F"))
    for seen in (signs[:1], signs):
        offered = offered_checks(Case(circuit=circuit, signs=seen, circumstances=Circumstances()), 0)
        there = {check.kind for check in offered if check.node == "My Alternator"}
        assert there == {CheckKind.LOOK, CheckKind.VOLTAGE}
