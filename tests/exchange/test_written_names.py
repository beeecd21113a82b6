"""A written row names what it points at by words, and by the id where the words would mean another row or none."""

from __future__ import annotations

from datetime import UTC, datetime

from wearlog.exchange.rows_by_name import WrittenNames
from wearlog.facts import closed_lists as lists
from wearlog.facts.electrics import CircuitEdge, CircuitNode
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.wearing import Component, Repair
from wearlog.facts.work import PlanChoice, Run, Season, SeasonPlan
from wearlog.ids import new_id

NOON = datetime(2025, 7, 28, 12, tzinfo=UTC)


def machine(name: str) -> Machine:
    return Machine(name=name, kind=lists.MachineKind.COMBINE)


def node(on: Machine, name: str) -> CircuitNode:
    return CircuitNode(machine_id=on.id, circuit="", name=name, kind=lists.NodeKind.FUSE)


def cells(sheet: str, fact: Fact, **rows: list[Fact]) -> dict[str, str]:
    return {heading: cell for heading, cell in WrittenNames(rows).pointing_cells(sheet, fact).items() if cell}


def run(combine: Machine) -> Run:
    return Run(combine_id=combine.id, started_at=NOON, ended_at=NOON, area_square_metres=1)


def test_a_machine_goes_by_its_name_unless_another_has_it_too() -> None:
    juniper, alder, second = machine("Juniper"), machine("Alder"), machine("JUNIPER")
    assert cells("run", run(juniper), machine=[juniper, alder]) == {"combine": "Juniper"}
    assert cells("run", run(juniper), machine=[juniper, second]) == {"combine": str(juniper.id)}


def test_what_is_not_written_goes_by_its_id() -> None:
    juniper = machine("Juniper")
    assert cells("run", run(juniper)) == {"combine": str(juniper.id)}


def test_a_meter_goes_by_its_machine_and_kind() -> None:
    juniper = machine("Juniper")
    meter = Meter(machine_id=juniper.id, kind=lists.MeterKind.AREA)
    reading = Reading(meter_id=meter.id, at=NOON, shown_usage=1)
    assert cells("reading", reading, machine=[juniper], meter=[meter]) == {"machine": "Juniper", "meter": "area"}


def test_two_nodes_of_one_machine_share_its_name_and_a_node_of_another_goes_by_its_id() -> None:
    juniper, alder = machine("Juniper"), machine("Alder")
    battery, fuse, other = node(juniper, "Battery"), node(juniper, "=Fuse"), node(alder, "Battery")
    rows: dict[str, list[Fact]] = {"machine": [juniper, alder], "circuit_node": [battery, fuse, other]}
    edge = CircuitEdge(from_node_id=battery.id, to_node_id=fuse.id)
    assert cells("circuit_edge", edge, **rows) == {"machine": "Juniper", "from_node": "Battery", "to_node": "'=Fuse"}
    across = CircuitEdge(from_node_id=battery.id, to_node_id=other.id)
    assert cells("circuit_edge", across, **rows)["to_node"] == str(other.id)


def test_the_machine_of_the_row_itself_is_not_overwritten() -> None:
    juniper, alder = machine("Juniper"), machine("Alder")
    chain = Component(machine_id=alder.id, part_kind_id=new_id(), place="chain")
    repair = Repair(machine_id=juniper.id, kind=lists.RepairKind.PLANNED, started_at=NOON, component_id=chain.id)
    found = cells("repair", repair, machine=[juniper, alder], component=[chain])
    assert found == {"machine": "Juniper", "component": str(chain.id)}


def test_a_plan_without_a_name_goes_by_its_season() -> None:
    juniper = machine("Juniper")
    season = Season(harvest_year=2026, starts_on=NOON.date(), ends_on=NOON.date())
    plan = SeasonPlan(season_id=season.id)
    chain = Component(machine_id=juniper.id, part_kind_id=new_id(), place="chain")
    choice = PlanChoice(season_plan_id=plan.id, component_id=chain.id, positions=(1,), choice=lists.Choice.RUN)
    rows: dict[str, list[Fact]] = {
        "machine": [juniper],
        "season": [season],
        "season_plan": [plan],
        "component": [chain],
    }
    assert cells("plan_choice", choice, **rows) == {"season": "2026", "machine": "Juniper", "component": "chain"}
