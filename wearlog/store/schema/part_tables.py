"""Tables of part kinds, stock, suppliers, components, fittings, breakages, repairs, measurements, services and offers."""

from __future__ import annotations

from sqlalchemy import CheckConstraint

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
    WarrantyCover,
    WarrantyFrom,
)
from wearlog.store.schema.columns import flag, index, instant, listed, owned, ref, span, table, text, whole

part_kind = table(
    "part_kind",
    text("name"),
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
    flag("endangers_people"),
    span("life_low_usage", "life_high_usage"),
    span("shape_low_thousandths", "shape_high_thousandths"),
)

part_kind_word = owned("part_kind_word", "part_kind", text("word"))

part = table(
    "part",
    text("number"),
    text("name"),
    whole("price_minor", optional=True),
    whole("pack_size", least=1),
    whole("lead_time_days", optional=True),
    text("supplier"),
    whole("keep_on_hand"),
    whole("warranty_months", least=1, optional=True),
    whole("warranty_usage", least=1, optional=True),
    listed("warranty_covers", WarrantyCover, optional=True),
    listed("warranty_from", WarrantyFrom, optional=True),
    flag("warranty_pro_rata"),
)

part_fit = table(
    "part_fit",
    ref("part_id", "part"),
    ref("part_kind_id", "part_kind"),
    ref("machine_id", "machine", optional=True),
    index("part_kind_id"),
    index("part_id"),
    index("machine_id"),
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
    ref("part_order_id", "part_order", optional=True),
    ref("service_done_id", "service_done", optional=True),
    index("part_id", "at"),
    index("breakage_id"),
    index("repair_id"),
    index("part_order_id"),
    index("service_done_id"),
)

component = table(
    "component",
    ref("machine_id", "machine"),
    ref("part_kind_id", "part_kind"),
    text("place"),
    whole("positions", least=1),
    index("machine_id"),
    index("part_kind_id"),
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
    index("part_id"),
)

breakage = table(
    "breakage",
    ref("component_id", "component"),
    instant("at"),
    listed("cause", Cause),
    listed("mode", Mode),
    listed("action", Action),
    ref("repair_id", "repair", optional=True),
    text("note"),
    instant("seen_whole_at", optional=True),
    ref("caused_by_id", "breakage", optional=True),
    span("seen_whole_at", "at"),
    index("component_id", "at"),
    index("at"),
    index("repair_id"),
    index("caused_by_id"),
)

breakage_position = owned(
    "breakage_position",
    "breakage",
    whole("position", least=1),
    ref("broke_fitting_id", "fitting", optional=True),
    ref("followed_fitting_id", "fitting", optional=True),
    index("broke_fitting_id"),
    index("followed_fitting_id"),
    numbered=False,
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
    text("invoice"),
    ref("person_id", "person", optional=True),
    span("started_at", "ended_at"),
    index("machine_id", "started_at"),
    index("component_id"),
    index("person_id"),
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
    ref("component_id", "component", optional=True),
    whole("first_usage", least=1, optional=True),
    whole("times", least=1, optional=True),
    flag("halved"),
    instant("ended_at", optional=True),
    index("machine_id"),
    index("component_id"),
)

service_done = table(
    "service_done",
    ref("service_item_id", "service_item"),
    instant("at"),
    whole("labour_seconds", optional=True),
    whole("cost_minor", optional=True),
    text("note"),
    ref("person_id", "person", optional=True),
    index("service_item_id", "at"),
    index("person_id"),
)


supplier = table(
    "supplier",
    text("name"),
    whole("distance_metres", optional=True),
    text("phone"),
    text("after_hours_phone"),
    whole("after_hours_fee_minor", optional=True),
    text("note"),
)

supplier_hours = table(
    "supplier_hours",
    ref("supplier_id", "supplier"),
    whole("weekday"),
    whole("opens_seconds"),
    whole("closes_seconds"),
    CheckConstraint("weekday <= 6", name="weekday_most"),
    span("opens_seconds", "closes_seconds"),
    index("supplier_id"),
)

supply = table(
    "supply",
    ref("part_id", "part"),
    ref("supplier_id", "supplier"),
    whole("price_minor", optional=True),
    whole("quoted_lead_days", optional=True),
    text("their_number"),
    index("part_id"),
    index("supplier_id"),
)

part_order = table(
    "part_order",
    ref("part_id", "part"),
    ref("supplier_id", "supplier", optional=True),
    whole("quantity", least=1),
    instant("ordered_at"),
    whole("unit_price_minor", optional=True),
    instant("cancelled_at", optional=True),
    text("note"),
    span("ordered_at", "cancelled_at"),
    index("part_id", "ordered_at"),
    index("supplier_id"),
)

supply_asked = table(
    "supply_asked",
    ref("supplier_id", "supplier"),
    ref("part_id", "part"),
    instant("at"),
    flag("had_it"),
    index("supplier_id"),
    index("part_id"),
)

warranty_claim = table(
    "warranty_claim",
    ref("breakage_id", "breakage"),
    instant("sent_at"),
    instant("settled_at", optional=True),
    whole("paid_minor", optional=True),
    text("note"),
    span("sent_at", "settled_at"),
    index("breakage_id"),
)

set_up = table(
    "set_up",
    ref("machine_id", "machine"),
    text("name"),
    whole("labour_seconds"),
    flag("one_person"),
    index("machine_id"),
)

set_up_kind = owned("set_up_kind", "set_up", ref("part_kind_id", "part_kind"), index("part_kind_id"))

trade_offer = table(
    "trade_offer",
    ref("machine_id", "machine"),
    text("title"),
    whole("price_minor"),
    whole("allowance_minor", optional=True),
    whole("separator_seconds", optional=True),
    whole("engine_seconds", optional=True),
    whole("model_year", least=1900, optional=True),
    whole("list_price_minor", optional=True),
    whole("warranty_seconds", optional=True),
    whole("warranty_months", optional=True),
    instant("offered_at"),
    text("note"),
    index("machine_id"),
)
