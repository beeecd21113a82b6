"""The wiring of the demo fleet's combines, with the header's part behind its plug. Invented; no fault stands here."""

from __future__ import annotations

from typing import Final

from wearlog.facts.electrics import CircuitEdge, CircuitNode
from wearlog.faults.circuit import Mark
from wearlog.faults.diagram_text import parse_diagram

from .farm_land import COMBINES
from .records import Records

#: circuit -> its lines; a part may hang on nodes of the parts before it, so all are read as one diagram
_DIAGRAM: Final = """\
Battery: battery, at battery box, also fed by Alternator
  Battery switch: switch, at battery box, outside
    Main harness: wire run, at engine deck, near heat, passes edge
      Fuse block: splice, at cab rear wall
        Fuse 1 lights: fuse 20 A, at fuse block
          Lights relay: relay, at fuse block
            Roof harness: wire run, at cab roof, outside, passes edge
              Left work light: device, at cab roof, outside, returns by Cab ground
              Right work light: device, at cab roof, outside, returns by Cab ground
        Fuse 2 unloading: fuse 15 A, at fuse block
          Unloading switch: switch, at cab
            Tank harness: wire run, at grain tank, passes edge
              Auger swing valve: device, at unloading auger, outside, returns by Frame ground
        Fuse 3 engine: fuse 15 A, at fuse block
          Engine plug: connector, at engine deck, near heat
            Fuel pump: device, at engine deck, near heat, returns by Engine ground
        Fuse 4 monitor: fuse 10 A, at fuse block
          Monitor plug: connector, at cab
            Cab controller: controller, at cab, returns by Cab ground, bus with Data line front
            Sensor harness: wire run, at left side, outside, passes edge
              Clean grain sensor: sensor, at clean grain elevator, outside, returns by Cab ground
              Rotor speed sensor: sensor, at rotor drive, near heat, returns by Cab ground
          Engine controller: controller, at engine deck, near heat, returns by Engine ground, bus with Data line rear
        Fuse 5 header: fuse 15 A, at fuse block
          Header relay: relay, at fuse block
            Feeder harness: wire run, at feeder house, moves with header, outside
              Header plug pigtail: wire run, at feeder house, moves with header, passes edge, outside
                Header plug: connector, at feeder house, moves with header, outside
                  Header harness: wire run, at header back sheet, moves with header, outside
                    Reel lift valve: device, at header left end, moves with header, outside, returns by Header ground
                    Reel fore-aft valve: device, at header left end, moves with header, outside, returns by Header ground
                    Stubble lights: device, at header back sheet, moves with header, outside, returns by Header ground
                    Left height sensor: sensor, at header left end, moves with header, outside, returns by Header ground
                    Right height sensor: sensor, at header right end, moves with header, outside, returns by Header ground
First terminator: terminator, at cab, bus with Data line front
Data line front: wire run, at cab floor, passes edge, bus with Data line plug
Data line plug: connector, at cab rear wall, bus with Data line rear
Data line rear: wire run, at engine deck, near heat, passes edge, bus with Second terminator
Second terminator: terminator, at engine deck, near heat
Alternator: alternator, at engine deck, near heat
Cab ground: ground, at cab rear wall, returns by Battery
Frame ground: ground, at frame, outside, returns by Battery
Engine ground: ground, at engine block, near heat, returns by Battery
Header ground: ground, at header frame, moves with header, outside, returns by Frame ground
"""

#: the first node of each circuit; what follows belongs to it up to the next one
_CIRCUIT_BEGINS: Final = {
    "Battery": "supply",
    "Fuse 1 lights": "lights",
    "Fuse 2 unloading": "unloading",
    "Fuse 3 engine": "engine",
    "Fuse 4 monitor": "monitor",
    "Fuse 5 header": "header",
    "First terminator": "data line",
    "Alternator": "supply",
    "Header ground": "header",
}


def write_circuits(records: Records) -> None:
    """Enter the circuits of every combine."""
    diagram = parse_diagram(_DIAGRAM)
    for combine in COMBINES:
        circuit = ""
        for node in diagram.nodes:
            circuit = _CIRCUIT_BEGINS.get(node.name, circuit)
            records.add(
                CircuitNode(
                    id=records.id_of("circuit_node", f"{combine} {node.name}"),
                    machine_id=records.id_of("machine", combine),
                    circuit=circuit,
                    name=node.name,
                    kind=node.kind,
                    place=node.place,
                    rating_milliamperes=node.rating_milliamperes,
                    passes_edge=Mark.PASSES_EDGE in node.marks,
                    moves_with_header=Mark.MOVES_WITH_HEADER in node.marks,
                    near_heat=Mark.NEAR_HEAT in node.marks,
                    outside=Mark.OUTSIDE in node.marks,
                )
            )
        for edge in diagram.edges:
            records.add(
                CircuitEdge(
                    id=records.next_id("circuit_edge"),
                    from_node_id=records.id_of("circuit_node", f"{combine} {edge.start}"),
                    to_node_id=records.id_of("circuit_node", f"{combine} {edge.end}"),
                    kind=edge.kind,
                )
            )
