"""Tables of suppliers, orders, warranty, set-ups and offers."""

from __future__ import annotations

from sqlalchemy import CheckConstraint

from wearlog.store.schema.columns import flag, index, instant, owned, ref, span, table, text, whole

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
