"""Which fact lives in which table, in an order in which rows can be written (what is pointed at comes first).

Of some facts a part lies in rows of its own (`Owned`): positions of a breakage, words of a kind. They are written and replaced with
their fact, and stand in its versions; so they have no history but the fact's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sqlalchemy import Column, Table

from wearlog.facts import bookkeeping, electrics, machines, parts, quality, wearing, work
from wearlog.facts import bookkeeping as exchanging
from wearlog.facts import bookkeeping as inspecting
from wearlog.facts import bookkeeping as people
from wearlog.facts import parts as deciding
from wearlog.facts.fact import Fact
from wearlog.store.schema import fault_tables, journal_tables, machine_tables, part_tables

TABLE_OF_FACT: Mapping[type[Fact], Table] = MappingProxyType(
    {
        bookkeeping.Setting: journal_tables.setting,
        bookkeeping.ImportBatch: journal_tables.import_batch,
        exchanging.ImportProfile: journal_tables.import_profile,
        exchanging.OutsideLine: journal_tables.outside_line,
        exchanging.SameAs: journal_tables.same_as,
        exchanging.Exchange: journal_tables.exchange,
        people.Person: journal_tables.person,
        people.CautionRead: journal_tables.caution_read,
        machines.Machine: machine_tables.machine,
        machines.Hitch: machine_tables.hitch,
        machines.Meter: machine_tables.meter,
        machines.Reading: machine_tables.reading,
        work.Field: machine_tables.field,
        work.Crop: machine_tables.crop,
        work.Season: machine_tables.season,
        work.Run: machine_tables.run,
        parts.PartKind: part_tables.part_kind,
        parts.Supplier: part_tables.supplier,
        parts.SupplierHours: part_tables.supplier_hours,
        parts.Part: part_tables.part,
        parts.PartFit: part_tables.part_fit,
        parts.Supply: part_tables.supply,
        parts.SupplyAsked: part_tables.supply_asked,
        parts.PartOrder: part_tables.part_order,
        wearing.Component: part_tables.component,
        wearing.Fitting: part_tables.fitting,
        wearing.Repair: part_tables.repair,
        wearing.Breakage: part_tables.breakage,
        parts.WarrantyClaim: part_tables.warranty_claim,
        wearing.Measurement: part_tables.measurement,
        work.Stoppage: machine_tables.stoppage,
        machines.ServiceItem: part_tables.service_item,
        machines.ServiceDone: part_tables.service_done,
        parts.StockMove: part_tables.stock_move,
        deciding.SetUp: part_tables.set_up,
        deciding.TradeOffer: part_tables.trade_offer,
        inspecting.Inspection: journal_tables.inspection,
        inspecting.InspectionFinding: journal_tables.inspection_finding,
        electrics.CircuitNode: fault_tables.circuit_node,
        electrics.CircuitEdge: fault_tables.circuit_edge,
        electrics.CircuitCut: fault_tables.circuit_cut,
        electrics.Fault: fault_tables.fault,
        electrics.FaultSign: fault_tables.fault_sign,
        electrics.FaultVisit: fault_tables.fault_visit,
        electrics.FaultCheck: fault_tables.fault_check,
        electrics.FaultFinding: fault_tables.fault_finding,
        electrics.FaultOpening: fault_tables.fault_opening,
        quality.Calibration: fault_tables.calibration,
        quality.LossCheck: fault_tables.loss_check,
        quality.MoistureSample: fault_tables.moisture_sample,
        work.SeasonPlan: fault_tables.season_plan,
        work.PlannedArea: fault_tables.planned_area,
        work.PlanChoice: fault_tables.plan_choice,
    }
)

FACT_OF_TABLE: Mapping[str, type[Fact]] = MappingProxyType({table.name: fact for fact, table in TABLE_OF_FACT.items()})


@dataclass(frozen=True, slots=True)
class Owned:
    """Rows that belong to a fact: row i holds the i-th item of each of the fields named, None where a field is shorter.

    Attributes
    ----------
    fields : mapping of str to str
        Field of the fact -> column of the table. The first field says how many rows there are.
    """

    table: Table
    fields: Mapping[str, str]

    @property
    def owner(self) -> Column[object]:
        """The column that names the fact."""
        return next(iter(self.table.columns))

    @property
    def is_numbered(self) -> bool:
        """Whether the rows keep their order by a column `place`."""
        return "place" in self.table.columns


OWNED: Mapping[type[Fact], tuple[Owned, ...]] = MappingProxyType(
    {
        exchanging.OutsideLine: (Owned(journal_tables.outside_line_row, {"row_ids": "row_id"}),),
        work.Run: (Owned(machine_tables.run_condition, {"conditions": "condition"}),),
        parts.PartKind: (Owned(part_tables.part_kind_word, {"words": "word"}),),
        wearing.Breakage: (
            Owned(
                part_tables.breakage_position,
                {
                    "positions": "position",
                    "broke_fitting_ids": "broke_fitting_id",
                    "followed_fitting_ids": "followed_fitting_id",
                },
            ),
        ),
        deciding.SetUp: (Owned(part_tables.set_up_kind, {"part_kind_ids": "part_kind_id"}),),
        electrics.Fault: (Owned(fault_tables.fault_condition, {"conditions": "condition"}),),
    }
)


def table_of(fact: Fact | type[Fact]) -> Table:
    """Return the table that holds this fact or this type of fact. KeyError for a type that is not stored."""
    return TABLE_OF_FACT[fact if isinstance(fact, type) else type(fact)]


def owned_by(fact_type: type[Fact]) -> tuple[Owned, ...]:
    """Return the tables whose rows belong to facts of this type; most have none."""
    return OWNED.get(fact_type, ())
