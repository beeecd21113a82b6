"""Column types that mean the same on SQLite (STRICT) and PostgreSQL: ids, instants, days, flags, whole numbers, lists."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from functools import partial
from itertools import repeat
from operator import is_
from typing import Any
from uuid import UUID

from sqlalchemy import TIMESTAMP, BigInteger, Boolean, Date, Dialect, Integer, LargeBinary, Text, TypeDecorator, Uuid
from sqlalchemy.types import TypeEngine

from wearlog.ids import id_of
from wearlog.many_instants import EPOCH, counts_of, in_utc

_MICROSECOND = timedelta(microseconds=1)

#: 64-bit whole number; STRICT tables know it as INTEGER
WHOLE = BigInteger().with_variant(Integer(), "sqlite")


def microseconds(instant: datetime) -> int:
    """Return whole microseconds since 1970-01-01 UTC. ValueError for a datetime without a time zone."""
    if instant.tzinfo is None:
        raise ValueError(f"{instant.isoformat()} has no time zone; an instant needs one")
    return (instant - EPOCH) // _MICROSECOND


def instant(count: int) -> datetime:
    """Return the UTC instant that lies `count` microseconds after 1970-01-01."""
    return EPOCH + timedelta(microseconds=count)


class _PerDialect(TypeDecorator[Any]):
    """One Python value, a different column type on PostgreSQL."""

    cache_ok = True
    postgres: TypeEngine[Any]

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        return dialect.type_descriptor(self.postgres if dialect.name == "postgresql" else self.impl_instance)

    def bind_processor(self, dialect: Dialect) -> Callable[[Any], Any] | None:
        """Return what makes of a value what the driver takes: in a file directly, without the way through the column type there."""
        if dialect.name == "postgresql":
            return super().bind_processor(dialect)
        return partial(self.process_bind_param, dialect=dialect)

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any] | None:
        """Return what makes a value of what a row holds: in a file directly, every column of every row passes through it."""
        if dialect.name == "postgresql":
            return super().result_processor(dialect, coltype)
        return partial(self.process_result_value, dialect=dialect)


class Id(_PerDialect):
    """UUID: 16 bytes in SQLite, uuid in PostgreSQL."""

    impl = LargeBinary(16)
    cache_ok = True
    postgres = Uuid()

    def bind_processor(self, dialect: Dialect) -> Callable[[Any], Any] | None:
        """Return what makes 16 bytes of an id: in a file nearly every column of the journal passes through it."""
        return super().bind_processor(dialect) if dialect.name == "postgresql" else _bytes_of_id

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any] | None:
        """Return what makes an id of 16 bytes: half of all columns that are read are ids."""
        return super().result_processor(dialect, coltype) if dialect.name == "postgresql" else _id_of_bytes

    def process_bind_param(self, value: UUID | None, dialect: Dialect) -> object:
        return value if value is None or dialect.name == "postgresql" else value.bytes

    def process_result_value(self, value: Any, dialect: Dialect) -> UUID | None:
        return value if value is None or isinstance(value, UUID) else UUID(bytes=value)


def _bytes_of_id(value: UUID | None) -> bytes | None:
    return None if value is None else value.int.to_bytes(16)


def _id_of_bytes(value: bytes | None) -> UUID | None:
    if value is None:
        return None
    if len(value) != 16:
        raise ValueError(f"an id has 16 bytes, and {len(value)} lie here")
    # half of all columns that are read are ids
    return id_of(int.from_bytes(value))


def _instant_of_count(value: int | None) -> datetime | None:
    return None if value is None else instant(value)


def _flag_of_number(value: int | None) -> bool | None:
    return None if value is None else bool(value)


def _count_of_instant(value: datetime | None) -> int | None:
    return None if value is None else microseconds(value)


class Instant(_PerDialect):
    """Aware datetime: whole microseconds since 1970 UTC in SQLite, timestamptz in PostgreSQL."""

    impl = Integer()
    cache_ok = True
    postgres = TIMESTAMP(timezone=True)

    def bind_processor(self, dialect: Dialect) -> Callable[[Any], Any] | None:
        """Return what makes a count of an instant, in a file without a way through other calls."""
        return super().bind_processor(dialect) if dialect.name == "postgresql" else _count_of_instant

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any] | None:
        """Return what makes an instant of a count."""
        return super().result_processor(dialect, coltype) if dialect.name == "postgresql" else _instant_of_count

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> object:
        if value is None:
            return None
        count = microseconds(value)
        return instant(count) if dialect.name == "postgresql" else count

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.astimezone(UTC) if isinstance(value, datetime) else instant(value)


class Day(_PerDialect):
    """Calendar day: ISO text in SQLite, date in PostgreSQL."""

    impl = Text()
    cache_ok = True
    postgres = Date()

    def process_bind_param(self, value: date | None, dialect: Dialect) -> object:
        return value if value is None or dialect.name == "postgresql" else value.isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:
        return value if value is None or isinstance(value, date) else date.fromisoformat(value)


def taken_at_once(way: Callable[[Any], Any], values: Sequence[Any]) -> Iterable[Any]:
    """Return what `way`, that of a column of a file, makes of each of these values, at least one."""
    first = values[0]
    if way is _bytes_of_id and None not in values:
        return [value.int.to_bytes(16) for value in values]
    if way is _count_of_instant and in_utc(values):
        return counts_of(values)
    # nearly all rows leave nearly all of their columns as they usually are
    if type(first) in (bool, type(None)) and all(map(is_, values, repeat(first))):
        return repeat(None if first is None else way(first), len(values))
    return map(way, values)


class Flag(_PerDialect):
    """True or false: 0 or 1 in SQLite, boolean in PostgreSQL."""

    impl = Integer()
    cache_ok = True
    postgres = Boolean()

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any] | None:
        """Return what makes a flag of a number."""
        return super().result_processor(dialect, coltype) if dialect.name == "postgresql" else _flag_of_number

    def process_bind_param(self, value: Any, dialect: Dialect) -> object:
        return value if value is None or dialect.name == "postgresql" else int(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> bool | None:
        return None if value is None else bool(value)


class Digest(TypeDecorator[Any]):
    """A SHA-256, in hexadecimal for the program, as 32 bytes in the database."""

    impl = LargeBinary(32)
    cache_ok = True

    def bind_processor(self, dialect: Dialect) -> Callable[[Any], Any] | None:
        """Return what makes 32 bytes of a digest."""
        return super().bind_processor(dialect) if dialect.name == "postgresql" else bytes.fromhex

    def process_bind_param(self, value: str | None, dialect: Dialect) -> object:
        return None if value is None else bytes.fromhex(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> str | None:
        return None if value is None else bytes(value).hex()


class Listed(TypeDecorator[Any]):
    """A value of one closed list, stored as its text."""

    impl = Text()
    cache_ok = True

    def __init__(self, closed_list: type[StrEnum]) -> None:
        super().__init__()
        self.closed_list = closed_list
        known: dict[str | None, StrEnum | None] = {one.value: one for one in closed_list}
        known[None] = None
        self._known = known
        self._said = {one: text for text, one in known.items()}

    def bind_processor(self, dialect: Dialect) -> Callable[[Any], Any]:
        """Return what makes the text of a value; the list is asked only for what it does not hold, which it refuses."""
        said, closed_list = self._said, self.closed_list
        return lambda value: said[value] if value in said else closed_list(value).value

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any]:
        """Return what makes a value of its text; the list is asked only for what it does not hold, which it refuses."""
        known, closed_list = self._known, self.closed_list
        return lambda text: known[text] if text in known else closed_list(text)

    def process_bind_param(self, value: StrEnum | None, dialect: Dialect) -> object:
        return None if value is None else self.closed_list(value).value

    def process_result_value(self, value: Any, dialect: Dialect) -> StrEnum | None:
        return None if value is None else self.closed_list(value)


class Several(TypeDecorator[Any]):
    """A short tuple stored as one text, written and read by the two functions given."""

    impl = Text()
    cache_ok = True

    def __init__(self, write: Callable[[Any], str], read: Callable[[str], tuple[Any, ...]]) -> None:
        super().__init__()
        self.write = write
        self.read = read

    def process_bind_param(self, value: tuple[Any, ...] | None, dialect: Dialect) -> object:
        return None if value is None else self.write(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> tuple[Any, ...] | None:
        return None if value is None else self.read(value)
