"""The sheets of where parts come from: suppliers, their hours and prices, orders, answers to calls, claims. Data only."""

from __future__ import annotations

from types import MappingProxyType

from wearlog.exchange.columns import AT, NOTE, By, Form, LoneDay, SheetColumn, pointer, text, when

_PART = pointer("part", "part", needed=True)
_SUPPLIER = pointer("supplier", "supplier", needed=True)

#: in an order in which whatever is pointed at comes first
SUPPLY_SHEETS: MappingProxyType[str, tuple[SheetColumn, ...]] = MappingProxyType(
    {
        "supplier": (
            text("name", needed=True),
            SheetColumn("distance", "distance_metres", Form.DISTANCE, "how far it is by road"),
            text("phone"),
            SheetColumn("late_phone", "after_hours_phone", Form.TEXT, "who opens after hours"),
            SheetColumn("late_fee", "after_hours_fee_minor", Form.MONEY, "what opening after hours costs"),
            NOTE,
        ),
        "supplier_hours": (
            _SUPPLIER,
            SheetColumn("weekday", "weekday", Form.WEEKDAY, needed=True),
            SheetColumn("opens", "opens_seconds", Form.CLOCK, needed=True),
            SheetColumn("closes", "closes_seconds", Form.CLOCK, needed=True),
        ),
        "supply": (
            _PART,
            _SUPPLIER,
            SheetColumn("price", "price_minor", Form.MONEY, "of one piece there"),
            SheetColumn(
                "quoted_lead_days", "quoted_lead_days", Form.COUNT, "how long they say it takes; 0 = has it there"
            ),
            text("their_number", "their own number for it"),
        ),
        "supply_asked": (
            _SUPPLIER,
            _PART,
            AT,
            SheetColumn("had_it", "had_it", Form.FLAG, "whether it was there when somebody asked"),
        ),
        "part_order": (
            _PART,
            pointer("supplier", "supplier"),
            SheetColumn("quantity", "quantity", Form.COUNT, "how many were ordered", needed=True),
            when("ordered", "ordered_at", needed=True, lone_day=LoneDay.NOON),
            SheetColumn("unit_price", "unit_price_minor", Form.MONEY, "of one piece, as it was agreed"),
            when("cancelled", "cancelled_at", "empty = still to come, or it came"),
            NOTE,
        ),
        "warranty_claim": (
            pointer("breakage", "breakage", By.KEY, needed=True),
            when("sent", "sent_at", needed=True, lone_day=LoneDay.NOON),
            when("settled", "settled_at", "empty = no answer yet", lone_day=LoneDay.LAST),
            SheetColumn("paid", "paid_minor", Form.MONEY, "what they paid; 0 = refused"),
            NOTE,
        ),
    }
)
