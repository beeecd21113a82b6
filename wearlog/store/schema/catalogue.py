"""Which fact lives in which table, in an order in which rows can be written (what is pointed at comes first)."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sqlalchemy import Table

from wearlog.facts import bookkeeping, electrics, machines, parts, planning, quality, service, wearing, work
from wearlog.facts.fact import Fact
from wearlog.store.schema import fault_tables, journal_tables, machine_tables, part_tables

TABLE_OF_FACT: Mapping[type[Fact], Table] = MappingProxyType(
    {
        bookkeeping.Setting: journal_tables.setting,
        bookkeeping.ImportBatch: journal_tables.import_batch,
        machines.Machine: machine_tables.machine,
        machines.Hitch: machine_tables.hitch,
        machines.Meter: machine_tables.meter,
        machines.Reading: machine_tables.reading,
        work.Field: machine_tables.field,
        work.Crop: machine_tables.crop,
        work.Season: machine_tables.season,
        work.Run: machine_tables.run,
        parts.PartKind: part_tables.part_kind,
        parts.Part: part_tables.part,
        parts.PartFit: part_tables.part_fit,
        wearing.Component: part_tables.component,
        wearing.Fitting: part_tables.fitting,
        wearing.Repair: part_tables.repair,
        wearing.Breakage: part_tables.breakage,
        wearing.Measurement: part_tables.measurement,
        parts.StockMove: part_tables.stock_move,
        work.Stoppage: machine_tables.stoppage,
        service.ServiceItem: part_tables.service_item,
        service.ServiceDone: part_tables.service_done,
        electrics.CircuitNode: fault_tables.circuit_node,
        electrics.CircuitEdge: fault_tables.circuit_edge,
        electrics.Fault: fault_tables.fault,
        electrics.FaultSign: fault_tables.fault_sign,
        electrics.FaultCheck: fault_tables.fault_check,
        electrics.FaultFinding: fault_tables.fault_finding,
        quality.Calibration: fault_tables.calibration,
        quality.LossCheck: fault_tables.loss_check,
        quality.MoistureSample: fault_tables.moisture_sample,
        planning.SeasonPlan: fault_tables.season_plan,
        planning.PlannedArea: fault_tables.planned_area,
        planning.PlanChoice: fault_tables.plan_choice,
    }
)

FACT_OF_TABLE: Mapping[str, type[Fact]] = MappingProxyType({table.name: fact for fact, table in TABLE_OF_FACT.items()})


def table_of(fact: Fact | type[Fact]) -> Table:
    """Return the table that holds this fact or this type of fact. KeyError for a type that is not stored."""
    return TABLE_OF_FACT[fact if isinstance(fact, type) else type(fact)]
