"""How a value is written into a cell of the import format. Whose row it is, and what its pointers are called, is not known here."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from wearlog.exchange.cell_text import guarded
from wearlog.exchange.cells import UNKNOWN
from wearlog.exchange.columns import Form, SheetColumn, units_of
from wearlog.exchange.instants import FarmClock
from wearlog.facts.positions import format_positions
from wearlog.units import fewest_decimals


def written_cell(column: SheetColumn, unit: str, value: object, clock: FarmClock, mark: str = ".") -> str:
    """Return a value in the unit of its heading, with as many decimals as give back exactly what is stored.

    Parameters
    ----------
    clock : FarmClock
        By which instants are written.
    mark : str
        The decimal mark.
    """
    if value is None:
        return UNKNOWN if column.form is Form.AGE else ""
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, int) and column.form is not Form.POSITIONS:
        return format(fewest_decimals(value, units_of(column)[unit]), "f").replace(".", mark)
    return _text(column, value, clock)


def _text(column: SheetColumn, value: object, clock: FarmClock) -> str:
    if isinstance(value, datetime):
        return clock.write(value)
    if isinstance(value, date):
        return value.isoformat()
    if column.form is Form.POSITIONS:
        return format_positions(value if isinstance(value, tuple) else (value,))
    if isinstance(value, Sequence) and not isinstance(value, str):
        return guarded(", ".join(str(one) for one in value))
    return guarded(str(value))
