"""Tables of circuits, faults, harvest quality and season plans."""

from __future__ import annotations

from wearlog.facts.closed_lists import (
    CheckKind,
    Choice,
    Condition,
    EdgeKind,
    FaultMode,
    FixEvidence,
    Ground,
    NodeKind,
    Sensor,
    SignKind,
    Verdict,
)
from wearlog.store.schema.columns import (
    flag,
    index,
    instant,
    listed,
    positions,
    ref,
    several_listed,
    span,
    table,
    text,
    whole,
)

circuit_node = table(
    "circuit_node",
    ref("machine_id", "machine"),
    text("circuit"),
    text("name"),
    listed("kind", NodeKind),
    text("place"),
    whole("rating_milliamperes", least=1, optional=True),
    flag("passes_edge"),
    flag("moves_with_header"),
    flag("near_heat"),
    flag("outside"),
    index("machine_id"),
)

circuit_edge = table(
    "circuit_edge",
    ref("from_node_id", "circuit_node"),
    ref("to_node_id", "circuit_node"),
    listed("kind", EdgeKind),
    index("from_node_id"),
)

fault = table(
    "fault",
    ref("machine_id", "machine"),
    text("circuit"),
    text("title"),
    instant("opened_at"),
    instant("closed_at", optional=True),
    several_listed("conditions", Condition),
    text("note"),
    span("opened_at", "closed_at"),
    index("machine_id", "opened_at"),
)

fault_sign = table(
    "fault_sign",
    ref("fault_id", "fault"),
    ref("node_id", "circuit_node", optional=True),
    listed("sign", SignKind),
    whole("spn", optional=True),
    whole("fmi", optional=True),
    text("note"),
    index("fault_id"),
)

fault_check = table(
    "fault_check",
    ref("fault_id", "fault"),
    whole("step", least=1),
    ref("node_id", "circuit_node", optional=True),
    listed("kind", CheckKind),
    text("expected"),
    text("measured"),
    listed("verdict", Verdict),
    whole("duration_seconds", optional=True),
    instant("at", optional=True),
    index("fault_id", "step"),
)

fault_finding = table(
    "fault_finding",
    ref("fault_id", "fault"),
    ref("node_id", "circuit_node", optional=True),
    listed("mode", FaultMode),
    text("fix"),
    listed("evidence", FixEvidence),
    instant("at"),
    index("fault_id"),
)

calibration = table(
    "calibration",
    ref("machine_id", "machine"),
    listed("sensor", Sensor),
    instant("at"),
    whole("reference_amount", least=None),
    whole("indicated_amount", least=None),
    ref("crop_id", "crop", optional=True),
    text("note"),
    index("machine_id", "at"),
)

loss_check = table(
    "loss_check",
    ref("combine_id", "machine"),
    ref("field_id", "field", optional=True),
    ref("crop_id", "crop"),
    instant("at"),
    whole("behind_per_hectare"),
    whole("ahead_per_hectare"),
    whole("cut_width_micrometres", least=1),
    whole("discharge_width_micrometres", least=1),
    whole("yield_grams_per_hectare", optional=True),
    text("note"),
    index("combine_id", "at"),
)

moisture_sample = table(
    "moisture_sample",
    ref("field_id", "field", optional=True),
    ref("crop_id", "crop"),
    instant("at"),
    whole("tester_hundredths"),
    whole("elevator_hundredths", optional=True),
    text("note"),
    index("crop_id", "at"),
)

season_plan = table(
    "season_plan",
    ref("season_id", "season"),
    text("name"),
    whole("budget_minor", optional=True),
    whole("shop_seconds", optional=True),
    index("season_id"),
)

planned_area = table(
    "planned_area",
    ref("season_plan_id", "season_plan"),
    whole("area_square_metres", least=1),
    ref("field_id", "field", optional=True),
    listed("ground", Ground, optional=True),
    ref("crop_id", "crop", optional=True),
    ref("combine_id", "machine", optional=True),
    ref("header_id", "machine", optional=True),
    index("season_plan_id"),
)

plan_choice = table(
    "plan_choice",
    ref("season_plan_id", "season_plan"),
    ref("component_id", "component"),
    positions("positions"),
    listed("choice", Choice),
    index("season_plan_id"),
)
