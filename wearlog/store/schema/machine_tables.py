"""Tables of machines, meters, land and work."""

from __future__ import annotations

from wearlog.facts.closed_lists import Condition, CropState, CutHeight, Ground, MachineKind, MeterKind, StopReason
from wearlog.store.schema.columns import day, flag, index, instant, listed, owned, ref, span, table, text, whole

machine = table(
    "machine",
    text("name"),
    listed("kind", MachineKind),
    whole("cut_width_micrometres", least=1, optional=True),
    whole("model_year", least=1900, optional=True),
    whole("list_price_minor", optional=True),
    day("bought_on", optional=True),
    text("note"),
    text("serial_number"),
    text("engine_number"),
    text("type_name"),
)

hitch = table(
    "hitch",
    ref("header_id", "machine"),
    ref("combine_id", "machine"),
    instant("from_at"),
    instant("to_at", optional=True),
    span("from_at", "to_at"),
    index("header_id", "from_at"),
    index("combine_id"),
)

meter = table("meter", ref("machine_id", "machine"), listed("kind", MeterKind), index("machine_id"))

reading = table(
    "reading",
    ref("meter_id", "meter"),
    instant("at"),
    whole("shown_usage"),
    flag("new_leg"),
    text("note"),
    index("meter_id", "at"),
)

field = table("field", text("name"), whole("area_square_metres", least=1), listed("ground", Ground))

crop = table(
    "crop",
    text("name"),
    whole("bushel_grams", least=1, optional=True),
    whole("seed_milligrams_per_thousand", least=1, optional=True),
    whole("price_minor_per_tonne", optional=True),
    whole("loss_per_day_millionths", optional=True),
)

season = table(
    "season", whole("harvest_year", least=1900), day("starts_on"), day("ends_on"), span("starts_on", "ends_on")
)

run = table(
    "run",
    ref("combine_id", "machine"),
    ref("header_id", "machine", optional=True),
    ref("field_id", "field", optional=True),
    ref("crop_id", "crop", optional=True),
    instant("started_at"),
    instant("ended_at"),
    whole("area_square_metres"),
    whole("separator_seconds", optional=True),
    listed("cut_height", CutHeight, optional=True),
    listed("crop_state", CropState, optional=True),
    whole("yield_grams_per_hectare", optional=True),
    span("started_at", "ended_at"),
    index("combine_id", "started_at"),
    index("started_at"),
    index("header_id"),
    index("field_id"),
    index("crop_id"),
)

run_condition = owned("run_condition", "run", listed("condition", Condition))

stoppage = table(
    "stoppage",
    ref("machine_id", "machine"),
    instant("started_at"),
    instant("ended_at", optional=True),
    listed("reason", StopReason),
    ref("repair_id", "repair", optional=True),
    text("note"),
    span("started_at", "ended_at"),
    index("machine_id", "started_at"),
    index("repair_id"),
)
