"""JSON as the commands give it: one document, schema first, ISO dates, money as text, null for what is not known."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from enum import Enum
from typing import Any
from uuid import UUID

from wearlog.errors import WearlogError

SCHEMA = 1


def document(content: Mapping[str, Any]) -> str:
    """Return a JSON document of this schema."""
    return json.dumps({"schema": SCHEMA, **{key: plain_value(value) for key, value in content.items()}}, indent=2)


def error_document(error: WearlogError) -> str:
    """Return an error as JSON."""
    return json.dumps({"error": {"code": error.code, "message": error.message, "hint": error.hint}})


def money(minor: float | None, currency: str) -> dict[str, str] | None:
    """Return an amount as {"amount": "12.30", "currency": "USD"}; a part of the smallest coin is rounded."""
    return None if minor is None else {"amount": str(Decimal(round(minor)).scaleb(-2)), "currency": currency}


def rounded(value: float | None, places: int = 3) -> float | None:
    """Return a figure with few decimals; null for nothing and for what is not a number."""
    return None if value is None or not math.isfinite(value) else round(value, places)


def millimetres(micrometres: float | None) -> float | None:
    """Return a length as JSON gives it."""
    return None if micrometres is None else rounded(micrometres / 1_000, 3)


def plain_value(value: Any) -> Any:
    """Return a value that JSON knows."""
    if isinstance(value, Mapping):
        return {str(key): plain_value(one) for key, one in value.items()}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, str) or value is None:
        return value
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat().replace("+00:00", "Z")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, UUID | Decimal):
        return str(value)
    if isinstance(value, Sequence):
        return [plain_value(one) for one in value]
    return value
