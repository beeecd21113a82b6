"""Tables of circuits, faults, harvest quality and season plans."""

from __future__ import annotations

from wearlog.facts.closed_lists import (
    CheckKind,
    CheckVerdict,
    Choice,
    Condition,
    EdgeKind,
    FaultMode,
    FixEvidence,
    Ground,
    NodeKind,
    Sensor,
    SignKind,
)
from wearlog.facts.electrics import Answer, FixKind, Opened, OthersTried, ReadingUnit, Supplied, Told
from wearlog.store.schema.columns import (
    flag,
    index,
    instant,
    listed,
    owned,
    positions,
    ref,
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
    text("wire_colour"),
    text("wire_number"),
    text("wire_gauge"),
    text("pins"),
    text("splice_place"),
    whole("length_millimetres", optional=True),
    text("photo"),
    flag("shared"),
    index("machine_id"),
)

circuit_edge = table(
    "circuit_edge",
    ref("from_node_id", "circuit_node"),
    ref("to_node_id", "circuit_node"),
    listed("kind", EdgeKind),
    index("from_node_id"),
    index("to_node_id"),
)

circuit_cut = table(
    "circuit_cut", ref("machine_id", "machine"), ref("node_id", "circuit_node"), index("machine_id"), index("node_id")
)

fault = table(
    "fault",
    ref("machine_id", "machine"),
    text("circuit"),
    text("title"),
    instant("opened_at"),
    instant("closed_at", optional=True),
    text("note"),
    flag("conditions_asked"),
    listed("others_tried", OthersTried, optional=True),
    text("worked_on"),
    span("opened_at", "closed_at"),
    index("machine_id", "opened_at"),
)

fault_condition = owned("fault_condition", "fault", listed("condition", Condition))

fault_sign = table(
    "fault_sign",
    ref("fault_id", "fault"),
    ref("node_id", "circuit_node", optional=True),
    listed("sign", SignKind),
    whole("spn", optional=True),
    whole("fmi", optional=True),
    text("note"),
    listed("told", Told, optional=True),
    listed("in_use", Answer, optional=True),
    index("fault_id"),
    index("node_id"),
)

fault_visit = table(
    "fault_visit",
    ref("fault_id", "fault"),
    instant("started_at"),
    instant("ended_at", optional=True),
    listed("present", Answer, optional=True),
    ref("person_id", "person", optional=True),
    text("note"),
    span("started_at", "ended_at"),
    index("fault_id", "started_at"),
    index("person_id"),
)

fault_check = table(
    "fault_check",
    ref("fault_id", "fault"),
    whole("step", least=1),
    ref("node_id", "circuit_node", optional=True),
    listed("kind", CheckKind),
    text("expected"),
    text("measured"),
    listed("verdict", CheckVerdict),
    whole("duration_seconds", optional=True),
    instant("at", optional=True),
    ref("fault_visit_id", "fault_visit", optional=True),
    whole("reading_micros", least=None, optional=True),
    listed("reading_unit", ReadingUnit, optional=True),
    whole("lowest_micros", least=None, optional=True),
    whole("highest_micros", least=None, optional=True),
    flag("over_range"),
    listed("load_on", Answer, optional=True),
    listed("supplied", Supplied, optional=True),
    whole("battery_micros", least=None, optional=True),
    ref("second_node_id", "circuit_node", optional=True),
    text("place"),
    index("fault_id", "step"),
    index("node_id"),
    index("fault_visit_id"),
    index("second_node_id"),
)

fault_finding = table(
    "fault_finding",
    ref("fault_id", "fault"),
    ref("node_id", "circuit_node", optional=True),
    listed("mode", FaultMode),
    text("fix"),
    listed("evidence", FixEvidence),
    instant("at"),
    listed("fix_kind", FixKind, optional=True),
    index("fault_id"),
    index("node_id"),
)

fault_opening = table(
    "fault_opening",
    ref("fault_id", "fault"),
    ref("node_id", "circuit_node", optional=True),
    listed("opened", Opened),
    instant("at"),
    instant("put_back_at", optional=True),
    text("note"),
    span("at", "put_back_at"),
    index("fault_id"),
    index("node_id"),
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
    index("crop_id"),
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
    whole("uncut_per_hectare", optional=True),
    index("combine_id", "at"),
    index("field_id"),
    index("crop_id"),
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
    index("field_id"),
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
    index("field_id"),
    index("crop_id"),
    index("combine_id"),
    index("header_id"),
)

plan_choice = table(
    "plan_choice",
    ref("season_plan_id", "season_plan"),
    ref("component_id", "component"),
    positions("positions"),
    listed("choice", Choice),
    index("season_plan_id"),
    index("component_id"),
)
