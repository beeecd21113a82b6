"""What is sent to a log. In a file most of it goes past SQLAlchemy, whose events see all of it on a server only."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import event

from wearlog.store.opening import Store


@contextmanager
def sent_sql(store: Store) -> Iterator[list[str]]:
    """The statements of a block; of a file each with its values written into it."""
    sent: list[str] = []

    def listen(raw: sqlite3.Connection, _record: object, _proxy: object) -> None:
        raw.set_trace_callback(sent.append)

    def note(_connection: object, _cursor: object, sql: str, *_: object) -> None:
        sent.append(sql)

    on_file = store.location.file is not None
    listened = ("checkout", listen) if on_file else ("before_cursor_execute", note)
    event.listen(store.engine, *listened)
    yield sent
    event.remove(store.engine, *listened)
    # the connections that are kept would go on telling
    store.engine.dispose()
