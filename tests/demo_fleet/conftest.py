"""The demo farm's facts, made once, with the look-ups that its tests need."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

import pytest

from demo_fleet.generator import farm_facts
from wearlog.facts.fact import Fact


class Farm:
    """Facts by their type, and names behind ids."""

    def __init__(self, facts: list[Fact]) -> None:
        self.facts = facts
        self._of_type: dict[str, list[Any]] = defaultdict(list)
        for fact in facts:
            self._of_type[type(fact).__name__].append(fact)
        self.row: dict[Any, Any] = {fact.id: fact for fact in facts}

    def of(self, name: str) -> list[Any]:
        """Return the facts of a type, such as "Run"."""
        return self._of_type[name]

    def machine(self, name: str) -> Any:
        return next(machine for machine in self.of("Machine") if machine.name == name)

    def kind_of(self, component_id: Any) -> str:
        """Return the name of the kind that sits at a component."""
        return str(self.row[self.row[component_id].part_kind_id].name)

    def components_of(self, kind: str) -> list[Any]:
        return [component for component in self.of("Component") if self.kind_of(component.id) == kind]


@pytest.fixture(scope="session")
def farm() -> Farm:
    return Farm(farm_facts())
