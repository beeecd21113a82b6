"""What a version says, read out of its text by one pattern for each table: the text as wearlog writes it, and no other.

The keys stand in one order and every value in one form, so one pattern says all that is to be asked of the form at once. Reading
the JSON, writing it anew and comparing the two takes four times as long, for every version of another laptop.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any, Final
from uuid import UUID

from wearlog.facts.plain_text import UNPRINTABLE
from wearlog.ids import read_id
from wearlog.store.content import ContentForm

#: a text of JSON that needs no escape and does nothing to a terminal; a line end would stand there escaped
PLAIN: Final = rf'[^"\\\n{UNPRINTABLE}]*'
WRITTEN_ID: Final = "[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"
_DAY: Final = "[0-9]{4}-[0-9]{2}-[0-9]{2}"
_INSTANT: Final = rf"{_DAY}T(?:[01][0-9]|2[0-3]):[0-9]{{2}}:[0-9]{{2}}\.[0-9]{{6}}\+00:00"
_WHOLE: Final = "0|-?[1-9][0-9]{0,18}"
#: what a database keeps as a whole number
LEAST, MOST = -(2**63), 2**63 - 1


@dataclass(frozen=True, slots=True)
class Kind:
    """What a field holds: its type, whether it may be empty, and whether it is a list of such."""

    type: Any
    optional: bool
    several: bool


class WrittenForm:
    """The pattern of what the rows of one table say."""

    def __init__(self, kinds: Mapping[str, Kind], forms: Mapping[str, ContentForm]) -> None:
        self._names = tuple(sorted(kinds))
        parts = [f'"{re.escape(name)}":{_pattern(kinds[name])}' for name in self._names]
        self._pattern = re.compile(r"\{" + ",".join(parts) + r"\}")
        self._ways = tuple(_way(kinds[name], forms[name]) for name in self._names)

    def read(self, content: str) -> dict[str, Any] | None:
        """Return the value of each field; None where the text is in another form. ValueError for a value that there is not."""
        found = self._pattern.fullmatch(content)
        if found is None:
            return None
        return {
            name: said if way is None or said is None else way(said)
            for name, way, said in zip(self._names, self._ways, found.groups(), strict=True)
        }


def _pattern(kind: Kind) -> str:
    if kind.several:
        one = f"(?:{_value(kind.type, caught='?:')}|null)" if kind.optional else _value(kind.type, caught="?:")
        return rf"(\[(?:{one}(?:,{one})*)?\])"
    value = _value(kind.type, caught="")
    return f"(?:null|{value})" if kind.optional else value


def _value(kind: Any, *, caught: str) -> str:
    """The pattern of one value, whose group catches what is to be read: `caught` is what such a group begins with."""
    if kind is bool:
        return f"({caught}true|false)"
    if kind is int:
        return f"({caught}{_WHOLE})"
    return f'"({caught}{_between_quotes(kind)})"'


def _between_quotes(kind: Any) -> str:
    plain = {UUID: WRITTEN_ID, datetime: _INSTANT, date: _DAY}
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return "|".join(re.escape(one.value) for one in kind)
    return plain.get(kind, PLAIN)


def _way(kind: Kind, form: ContentForm) -> Callable[[str], Any] | None:
    """What makes the value of what was caught; None where it is the value."""
    if kind.several:
        return lambda said: () if said == "[]" else _list(kind, form, said)
    plain: dict[Any, Callable[[str], Any] | None] = {str: None, int: _whole, bool: "true".__eq__, UUID: read_id}
    if kind.type in plain:
        return plain[kind.type]
    if kind.type is tuple:
        return lambda said: _list_in_text(form, said)
    if issubclass(kind.type, StrEnum):
        return {one.value: one for one in kind.type}.__getitem__
    return form.read


def _whole(said: str) -> int:
    value = int(said)
    if not LEAST <= value <= MOST:
        raise ValueError(said)
    return value


def _list(kind: Kind, form: ContentForm, said: str) -> Any:
    values = form.read(json.loads(said))
    if kind.type is int and not all(value is None or LEAST <= value <= MOST for value in values):
        raise ValueError(said)
    return values


def _list_in_text(form: ContentForm, said: str) -> Any:
    values = form.read(said)
    if type(values) is not tuple or form.write is None or form.write(values) != said:
        raise ValueError(said)
    return values
