"""Tables of part kinds, stock, components, fittings, breakages, repairs, measurements and services."""

from __future__ import annotations

from wearlog.facts.closed_lists import (
    Action,
    Cause,
    Dimension,
    Evidence,
    Hazard,
    MeterKind,
    Mode,
    Removal,
    RepairKind,
    StockChange,
    Subsystem,
)
from wearlog.store.schema.columns import index, instant, listed, positions, ref, span, table, text, whole

part_kind = table(
    "part_kind",
    text("name"),
    text("words"),
    listed("subsystem", Subsystem),
    listed("meter_kind", MeterKind),
    whole("life_low_usage", least=1, optional=True),
    whole("life_high_usage", least=1, optional=True),
    whole("shape_low_thousandths", least=1, optional=True),
    whole("shape_high_thousandths", least=1, optional=True),
    whole("impacts_clean"),
    whole("impacts_few_stones"),
    whole("impacts_stony"),
    whole("impacts_very_stony"),
    listed("guess_evidence", Evidence),
    listed("dimension", Dimension),
    whole("new_micrometres", optional=True),
    whole("limit_micrometres", optional=True),
    whole("pitch_micrometres", least=1, optional=True),
    whole("pitches", least=1, optional=True),
    whole("usual_labour_seconds", optional=True),
    listed("hazard", Hazard, optional=True),
    span("life_low_usage", "life_high_usage"),
    span("shape_low_thousandths", "shape_high_thousandths"),
)

part = table(
    "part",
    text("number"),
    text("name"),
    whole("price_minor", optional=True),
    whole("pack_size", least=1),
    whole("lead_time_days", optional=True),
    text("supplier"),
    whole("keep_on_hand"),
)

part_fit = table(
    "part_fit",
    ref("part_id", "part"),
    ref("part_kind_id", "part_kind"),
    ref("machine_id", "machine", optional=True),
    index("part_kind_id"),
)

stock_move = table(
    "stock_move",
    ref("part_id", "part"),
    instant("at"),
    listed("change", StockChange),
    whole("quantity"),
    whole("unit_cost_minor", optional=True),
    ref("repair_id", "repair", optional=True),
    ref("breakage_id", "breakage", optional=True),
    text("note"),
    index("part_id", "at"),
    index("breakage_id"),
)

component = table(
    "component",
    ref("machine_id", "machine"),
    ref("part_kind_id", "part_kind"),
    text("place"),
    whole("positions", least=1),
    index("machine_id"),
)

fitting = table(
    "fitting",
    ref("component_id", "component"),
    whole("position", least=1),
    instant("fitted_at"),
    whole("age_when_fitted_usage", optional=True),
    instant("removed_at", optional=True),
    listed("removal", Removal, optional=True),
    ref("part_id", "part", optional=True),
    span("fitted_at", "removed_at"),
    index("component_id", "position", "fitted_at"),
)

breakage = table(
    "breakage",
    ref("component_id", "component"),
    positions("positions"),
    instant("at"),
    listed("cause", Cause),
    listed("mode", Mode),
    listed("action", Action),
    ref("repair_id", "repair", optional=True),
    text("note"),
    index("component_id", "at"),
)

repair = table(
    "repair",
    ref("machine_id", "machine"),
    listed("kind", RepairKind),
    instant("started_at"),
    instant("ended_at", optional=True),
    whole("labour_seconds", optional=True),
    whole("hired_minor", optional=True),
    ref("component_id", "component", optional=True),
    text("note"),
    span("started_at", "ended_at"),
    index("machine_id", "started_at"),
)

measurement = table(
    "measurement",
    ref("component_id", "component"),
    whole("position", least=1),
    instant("at"),
    whole("measured_micrometres"),
    text("note"),
    index("component_id", "at"),
)

service_item = table(
    "service_item",
    ref("machine_id", "machine"),
    text("name"),
    listed("meter_kind", MeterKind, optional=True),
    whole("interval_usage", least=1, optional=True),
    whole("interval_months", least=1, optional=True),
    listed("evidence", Evidence),
    listed("hazard", Hazard, optional=True),
    index("machine_id"),
)

service_done = table(
    "service_done",
    ref("service_item_id", "service_item"),
    instant("at"),
    whole("labour_seconds", optional=True),
    whole("cost_minor", optional=True),
    text("note"),
    index("service_item_id", "at"),
)
