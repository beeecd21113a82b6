"""The text form of diagrams and their drawing: round trips, clear complaints, width."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wearlog.errors import NotFoundError, UsageError
from wearlog.facts.closed_lists import EdgeKind, MachineKind, NodeKind
from wearlog.faults.circuit import Circuit, Edge, Mark, Node
from wearlog.faults.diagram_drawing import Beside, columns, draw_diagram
from wearlog.faults.diagram_gaps import gaps
from wearlog.faults.diagram_text import parse_diagram, write_diagram
from wearlog.faults.starting_diagrams import LABEL, STARTING_DIAGRAMS, starting_diagram

names = st.text(alphabet="abcÖ ,:\"#&'-", min_size=1, max_size=6).map(str.strip).filter(bool)


@st.composite
def circuits(draw: st.DrawFn) -> Circuit:
    """Any circuit at all: a feed graph without rings, some returns, some data line, odd names."""
    kinds = st.sampled_from(NodeKind)
    nodes = tuple(
        Node(
            name=name,
            kind=(kind := draw(kinds)),
            place=draw(st.one_of(st.just(""), names)),
            rating_milliamperes=draw(st.sampled_from((None, 5_000, 7_500))) if kind is NodeKind.FUSE else None,
            marks=draw(st.frozensets(st.sampled_from(Mark))),
        )
        for name in draw(st.lists(names, min_size=1, max_size=8, unique=True))
    )
    pairs = [(a.name, b.name) for i, a in enumerate(nodes) for b in nodes[i + 1 :]]
    picked = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=12)) if pairs else []
    return Circuit(nodes, tuple(Edge(a, b, draw(st.sampled_from(EdgeKind))) for a, b in picked))


@given(circuits())
@settings(max_examples=150, deadline=None)
def test_what_is_written_reads_back_the_same(circuit: Circuit) -> None:
    text = write_diagram(circuit, remark="one\ntwo")
    again = parse_diagram(text)
    assert set(again.nodes) == set(circuit.nodes)
    assert set(again.edges) == set(circuit.edges)
    assert write_diagram(again, remark="one\ntwo") == text


@given(circuits(), st.integers(min_value=1, max_value=60), st.booleans())
@settings(max_examples=100, deadline=None)
def test_a_drawing_has_one_line_a_node_and_keeps_to_the_width(circuit: Circuit, width: int, ascii_only: bool) -> None:
    remarks = tuple(Beside(node.name, "12 %") for node in circuit.nodes[:2])
    lines = draw_diagram(circuit, width=width, ascii_only=ascii_only, beside=remarks).split("\n")
    assert len(lines) == len(circuit.nodes)
    assert max(columns(line) for line in lines) <= width


def test_the_text_form_is_read_as_it_is_meant() -> None:
    circuit = parse_diagram(
        "# remark\n\n"
        "Battery: battery, at battery box\n"
        "   Light fuse: FUSE 7.5 A\n"
        "\tPlug: connector, Outside, moves with header, at feeder house\n"
        '          "Light, left": device, returns by Frame, also fed by Battery, bus with Plug\n'
        "Frame: ground, returns by Battery\n"
    )
    assert circuit.node("Light fuse") == Node(name="Light fuse", kind=NodeKind.FUSE, rating_milliamperes=7_500)
    plug = circuit.node("Plug")
    assert (plug.place, plug.marks) == ("feeder house", {Mark.OUTSIDE, Mark.MOVES_WITH_HEADER})
    assert set(circuit.edges) == {
        Edge("Battery", "Light fuse"),
        Edge("Light fuse", "Plug"),
        Edge("Plug", "Light, left"),
        Edge("Battery", "Light, left"),
        Edge("Light, left", "Frame", EdgeKind.RETURN),
        Edge("Light, left", "Plug", EdgeKind.BUS),
        Edge("Frame", "Battery", EdgeKind.RETURN),
    }


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Battery battery", "Line 1 of the diagram: a line needs a name, one colon and a kind."),
        ("A: battery\n\nB: lamp", 'Line 3 of the diagram: "lamp" is no kind of node.'),
        ("A: fuse 10 V", 'Line 1 of the diagram: "fuse 10 V" is no kind of node.'),
        ("A: device, wet", 'Line 1 of the diagram: "wet" is not understood.'),
        ("A: device, returns by B", 'Line 1 of the diagram: "B" is not on the diagram.'),
        ("  A: device", "Line 1 of the diagram: the line is indented, but nothing above it feeds it."),
        (
            f"A: battery\n  {'Lamp ' * 12}2: device",
            'Line 2 of the diagram: the name "Lamp Lamp Lamp Lamp ..." has 61 letters, and 60 are the most.',
        ),
    ],
)
def test_a_line_that_does_not_fit_is_named(text: str, says: str) -> None:
    with pytest.raises(UsageError) as caught:
        parse_diagram(text)
    assert caught.value.message == says
    assert caught.value.hint


def test_a_tree_is_drawn_with_its_remarks_at_the_edge() -> None:
    circuit = parse_diagram(
        "Battery: battery\n  F: fuse 10 A\n    Plug: connector\n      Light: device, returns by Frame\n"
        "    Horn: device\nFrame: ground, returns by Battery\n"
    )
    assert draw_diagram(circuit, width=44, beside=(Beside("Plug", "61 %"),)).splitlines() == [
        "Battery",
        "└─ F (fuse 10 A)",
        "   ├─ Plug (connector)                  61 %",
        "   │  └─ Light (device); returns by Frame",
        "   └─ Horn (device)",
        "Frame (ground); returns by Battery",
    ]
    assert draw_diagram(circuit, width=20, ascii_only=True).splitlines()[3] == "   |  `- Light (dev~"


def test_wide_letters_count_twice() -> None:
    assert columns("a機e\u0301") == 4


@pytest.mark.parametrize("diagram", STARTING_DIAGRAMS, ids=lambda diagram: diagram.name)
def test_every_starting_diagram_says_that_it_must_be_adapted_and_lacks_nothing(diagram) -> None:
    assert diagram.label == LABEL == "starting diagram, adapt it"
    assert diagram.text.startswith(f"# {LABEL}")
    circuit = diagram.circuit()
    assert gaps(circuit) == ()
    kinds = {node.kind for node in circuit.nodes}
    assert {NodeKind.BATTERY, NodeKind.FUSE, NodeKind.GROUND, NodeKind.WIRE_RUN} <= kinds


def test_starting_diagrams_are_found_by_name() -> None:
    assert starting_diagram(" Header ").machine_kind is MachineKind.HEADER
    assert len(starting_diagram("combine data line").circuit().of_kind(NodeKind.TERMINATOR)) == 2
    with pytest.raises(NotFoundError, match='no starting diagram "tractor"'):
        starting_diagram("tractor")


def test_what_one_sees_of_a_wire_is_written_and_read_back() -> None:
    text = 'Battery: battery\n  Header plug: connector, outside, colour yellow/black, wire 214, pin 3, splice "20 in, behind it"\n'
    circuit = parse_diagram(text)
    wire = circuit.node("Header plug").wire
    assert (wire.colour, wire.wire, wire.pin, wire.splice) == ("yellow/black", "214", "3", "20 in, behind it")
    assert parse_diagram(write_diagram(circuit)) == circuit
    with pytest.raises(UsageError, match="the pin"):
        parse_diagram(f"Battery: battery, pin {'9' * 61}")
