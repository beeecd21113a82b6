"""Names of kinds of part in at most 16 letters, for lists: no name is cut, and no two kinds share one."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

#: letters that a list on a phone has for a name
MOST: Final = 16

#: the library's names that are longer -> the same as people say it
SHORT_NAMES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "header auger flighting": "header flighting",
        "header drive belt": "header belt",
        "feeder conveyor chain": "feeder chain",
        "feeder drive belt": "feeder belt",
        "variable drive belt": "variable belt",
        "walker crankshaft": "walker crank",
        "cleaning fan belt": "fan belt",
        "chopper drive belt": "chopper belt",
        "clean grain elevator chain": "elevator chain",
        "tailings elevator chain": "tailings chain",
        "elevator sprocket": "grain sprocket",
        "elevator drive belt": "elevator belt",
        "unloading shear bolt": "shear bolt",
        "unloading auger flighting": "unload flighting",
        "unloading gearbox": "unload gearbox",
        "unloading drive belt": "unload belt",
        "particulate filter": "exhaust filter",
        "exhaust fluid pump": "def pump",
        "separator drive belt": "separator belt",
        "jackshaft bearing": "shaft bearing",
        "hydrostatic motor": "wheel motor",
        "header height sensor": "height sensor",
        "air conditioning compressor": "compressor",
        "fire extinguisher": "extinguisher",
    }
)


def short_name(name: str) -> str:
    """Return the short name of a kind of the library; a name of the farm's own comes back whole, for the face to wrap.

    Examples
    --------
    >>> short_name("clean grain elevator chain"), short_name("knife section"), short_name("own very long part of ours")
    ('elevator chain', 'knife section', 'own very long part of ours')
    """
    return SHORT_NAMES.get(name, name)
