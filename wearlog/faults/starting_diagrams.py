"""A few generic diagrams to start from: machine electrics, header lights and sensors, data line. To be adapted."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from wearlog.errors import NotFoundError
from wearlog.facts.closed_lists import Evidence, MachineKind
from wearlog.faults.circuit import Circuit
from wearlog.faults.diagram_text import parse_diagram

LABEL: Final = "starting diagram, adapt it"


@dataclass(frozen=True, slots=True)
class StartingDiagram:
    """A diagram to adapt. Nothing on it is measured: layout and ratings are common practice, without a source."""

    name: str
    machine_kind: MachineKind
    text: str
    label: str = LABEL
    evidence: Evidence = Evidence.COMMON_PRACTICE

    def circuit(self) -> Circuit:
        """Return the diagram as a circuit."""
        return _parsed(self.text)


@lru_cache(maxsize=8)
def _parsed(text: str) -> Circuit:
    return parse_diagram(text)


_COMBINE_MAIN: Final = """\
# starting diagram, adapt it: combine, main harness
Battery: battery, at battery box
  Main switch: switch, at battery box, outside
    Main fuse: fuse 80 A, at battery box
      Main harness: wire run, at engine deck, near heat, passes edge
        Fuse block: splice, at cab rear wall
          Lights fuse: fuse 20 A, at fuse block
            Lights relay: relay, at fuse block
              Lights harness: wire run, at cab roof, outside, passes edge
                Left work light: device, at cab roof, outside, returns by Cab ground
                Right work light: device, at cab roof, outside, returns by Cab ground
          Unloading fuse: fuse 15 A, at fuse block
            Unloading switch: switch, at cab
              Unloading harness: wire run, at grain tank, passes edge
                Auger swing valve: device, at unloading auger, outside, returns by Frame ground
                Auger drive valve: device, at unloading auger, outside, returns by Frame ground
          Monitor fuse: fuse 10 A, at fuse block
            Monitor plug: connector, at cab
              Monitor: controller, at cab, returns by Cab ground
                Sensor harness: wire run, at left side, outside, passes edge
                  Clean grain sensor: sensor, at clean grain elevator, outside, returns by Cab ground
                  Tailings sensor: sensor, at tailings elevator, outside, returns by Cab ground
                  Rotor speed sensor: sensor, at rotor drive, near heat, returns by Cab ground
          Fuel pump fuse: fuse 15 A, at fuse block
            Engine plug: connector, at engine deck, near heat
              Fuel pump: device, at engine deck, near heat, returns by Engine ground
Cab ground: ground, at cab rear wall, returns by Battery
Frame ground: ground, at frame, outside, returns by Battery
Engine ground: ground, at engine block, near heat, returns by Battery
"""

_HEADER: Final = """\
# starting diagram, adapt it: header, from the fuse block on
Battery: battery, at battery box
  Main harness: wire run, at engine deck, near heat, passes edge
    Header fuse: fuse 15 A, at fuse block
      Header relay: relay, at fuse block
        Feeder harness: wire run, at feeder house, moves with header, passes edge, outside
          Header plug: connector, at feeder house, moves with header, outside, returns by Frame ground
            Header harness: wire run, at header back sheet, moves with header, passes edge, outside
              Reel lift valve: device, at header left end, moves with header, outside, returns by Header ground
              Reel fore-aft valve: device, at header left end, moves with header, outside, returns by Header ground
              Stubble lights: device, at header back sheet, moves with header, outside, returns by Header ground
              Height sensor plug: connector, at header left end, moves with header, outside
                Left height sensor: sensor, at header left end, moves with header, outside, returns by Header ground
                Right height sensor: sensor, at header right end, moves with header, outside, returns by Header ground
              Reel speed sensor: sensor, at reel drive, moves with header, outside, returns by Header ground
Header ground: ground, at header frame, moves with header, outside, returns by Header plug
Frame ground: ground, at frame, outside, returns by Battery
"""

_DATA_LINE: Final = """\
# starting diagram, adapt it: combine, data line and its controllers
Battery: battery, at battery box
  Main harness: wire run, at engine deck, near heat, passes edge
    Controller fuse: fuse 10 A, at fuse block
      Controller feed: splice, at cab rear wall
        Cab controller: controller, at cab, returns by Cab ground, bus with Data line front
        Engine controller: controller, at engine deck, near heat, returns by Engine ground, bus with Data line rear
        Header controller: controller, at feeder house, outside, returns by Frame ground, bus with Data line front
First terminator: terminator, at cab, bus with Data line front
Data line front: wire run, at cab floor, passes edge, bus with Data line plug
Data line plug: connector, at cab rear wall, bus with Data line rear
Data line rear: wire run, at engine deck, near heat, passes edge, bus with Second terminator
Second terminator: terminator, at engine deck, near heat
Cab ground: ground, at cab rear wall, returns by Battery
Engine ground: ground, at engine block, near heat, returns by Battery
Frame ground: ground, at frame, outside, returns by Battery
"""

STARTING_DIAGRAMS: Final = (
    StartingDiagram("combine main harness", MachineKind.COMBINE, _COMBINE_MAIN),
    StartingDiagram("combine data line", MachineKind.COMBINE, _DATA_LINE),
    StartingDiagram("header", MachineKind.HEADER, _HEADER),
)


def starting_diagram(name: str) -> StartingDiagram:
    """Return the diagram of that name. NotFoundError, naming those there are, for another.

    Parameters
    ----------
    name : str
        Name of the diagram.
    """
    for diagram in STARTING_DIAGRAMS:
        if diagram.name == name.strip().lower():
            return diagram
    there = ", ".join(diagram.name for diagram in STARTING_DIAGRAMS)
    raise NotFoundError(f'There is no starting diagram "{name}".', f"There are: {there}.")
