"""The rows of the small tables that a name can mean. Plain facts; who fetched them from where is not known here."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.bookkeeping import Person, Setting
from wearlog.facts.electrics import CircuitNode
from wearlog.facts.farm_settings import FarmSettings, farm_settings
from wearlog.facts.machines import Machine, Meter, ServiceItem
from wearlog.facts.parts import Part, PartKind, Supplier
from wearlog.facts.wearing import Component
from wearlog.facts.work import Crop, Field, Season, SeasonPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownNames:
    """Existing rows that still count (none is voided), one tuple for each table whose rows are named."""

    machines: tuple[Machine, ...] = ()
    meters: tuple[Meter, ...] = ()
    fields: tuple[Field, ...] = ()
    crops: tuple[Crop, ...] = ()
    seasons: tuple[Season, ...] = ()
    part_kinds: tuple[PartKind, ...] = ()
    parts: tuple[Part, ...] = ()
    components: tuple[Component, ...] = ()
    service_items: tuple[ServiceItem, ...] = ()
    suppliers: tuple[Supplier, ...] = ()
    circuit_nodes: tuple[CircuitNode, ...] = ()
    people: tuple[Person, ...] = ()
    season_plans: tuple[SeasonPlan, ...] = ()
    settings: tuple[Setting, ...] = ()

    @property
    def farm(self) -> FarmSettings:
        """What the rows of settings say."""
        return farm_settings(self.settings)
