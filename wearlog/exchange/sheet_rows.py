"""What a row of each sheet becomes, and by what it is known again without a key. Data only; the headings are in sheets.py."""

from __future__ import annotations

from types import MappingProxyType

from wearlog.exchange.sheets import SHEETS
from wearlog.facts import bookkeeping, electrics, machines, parts, planning, quality, service, wearing, work
from wearlog.facts.fact import Fact

#: sheet -> the fact each of its rows becomes
FACT_OF_SHEET: MappingProxyType[str, type[Fact]] = MappingProxyType(
    {
        "setting": bookkeeping.Setting,
        "machine": machines.Machine,
        "hitch": machines.Hitch,
        "meter": machines.Meter,
        "reading": machines.Reading,
        "field": work.Field,
        "crop": work.Crop,
        "season": work.Season,
        "run": work.Run,
        "part_kind": parts.PartKind,
        "part": parts.Part,
        "part_fit": parts.PartFit,
        "component": wearing.Component,
        "fitting": wearing.Fitting,
        "repair": wearing.Repair,
        "breakage": wearing.Breakage,
        "measurement": wearing.Measurement,
        "stock_move": parts.StockMove,
        "stoppage": work.Stoppage,
        "service_item": service.ServiceItem,
        "service_done": service.ServiceDone,
        "circuit_node": electrics.CircuitNode,
        "circuit_edge": electrics.CircuitEdge,
        "fault": electrics.Fault,
        "fault_sign": electrics.FaultSign,
        "fault_check": electrics.FaultCheck,
        "fault_finding": electrics.FaultFinding,
        "calibration": quality.Calibration,
        "loss_check": quality.LossCheck,
        "moisture_sample": quality.MoistureSample,
        "season_plan": planning.SeasonPlan,
        "planned_area": planning.PlannedArea,
        "plan_choice": planning.PlanChoice,
    }
)

#: sheets whose rows have a name of their own -> the fields that make it; a row of an existing name is that row
NAME_FIELDS: MappingProxyType[str, tuple[str, ...]] = MappingProxyType(
    {
        "setting": ("key",),
        "machine": ("name",),
        "meter": ("machine_id", "kind"),
        "field": ("name",),
        "crop": ("name",),
        "season": ("harvest_year",),
        "part_kind": ("name",),
        "part": ("number",),
        "component": ("machine_id", "place"),
        "service_item": ("machine_id", "name"),
        "circuit_node": ("machine_id", "name"),
        "season_plan": ("season_id", "name"),
    }
)


#: sheet -> the fields of its fact that its columns can say; what only hands or the program enter stays as it is in the log
FIELDS_OF_SHEET: MappingProxyType[str, frozenset[str]] = MappingProxyType(
    {sheet: frozenset({"id", "voided", *(column.field for column in columns)}) for sheet, columns in SHEETS.items()}
)

#: other sheets -> the fields by which a row without a key is known again when the sheet is imported once more
OWN_FIELDS: MappingProxyType[str, tuple[str, ...]] = MappingProxyType(
    {
        "hitch": ("header_id", "combine_id", "from_at"),
        "reading": ("meter_id", "at", "new_leg"),
        "run": ("combine_id", "started_at", "field_id"),
        "part_fit": ("part_id", "part_kind_id", "machine_id"),
        "fitting": ("component_id", "position", "fitted_at"),
        "repair": ("machine_id", "kind", "started_at", "component_id"),
        "breakage": ("component_id", "positions", "at"),
        "measurement": ("component_id", "position", "at"),
        "stock_move": ("part_id", "at", "change", "repair_id", "breakage_id"),
        "stoppage": ("machine_id", "started_at"),
        "service_done": ("service_item_id", "at"),
        "circuit_edge": ("from_node_id", "to_node_id"),
        "fault": ("machine_id", "opened_at", "title"),
        "fault_sign": ("fault_id", "node_id", "sign", "spn", "fmi"),
        "fault_check": ("fault_id", "step"),
        "fault_finding": ("fault_id", "node_id", "at"),
        "calibration": ("machine_id", "sensor", "at"),
        "loss_check": ("combine_id", "field_id", "crop_id", "at"),
        "moisture_sample": ("field_id", "crop_id", "at"),
        "planned_area": ("season_plan_id", "field_id", "ground", "crop_id", "combine_id", "header_id"),
        "plan_choice": ("season_plan_id", "component_id", "positions"),
    }
)
