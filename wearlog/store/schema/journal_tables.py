"""Tables of the log itself: settings, imports, and the journal (deeds and the versions they left)."""

from __future__ import annotations

from sqlalchemy import Table

from wearlog.facts.closed_lists import Doing
from wearlog.store.schema.columns import (
    digest,
    index,
    instant,
    listed,
    metadata,
    packed,
    plain_table,
    ref,
    ref_key,
    row_ref,
    table,
    text,
    whole,
)

setting = table("setting", text("key"), text("content"))

import_batch = table("import_batch", text("source"), text("digest"), instant("at"), whole("rows_added"))

deed = plain_table(
    "deed",
    instant("recorded_at"),
    text("device"),
    text("said"),
    ref("undoes_deed_id", "deed", optional=True),
    text("person"),
    digest("digest"),
    index("recorded_at"),
    index("undoes_deed_id"),
)

version = plain_table(
    "version",
    ref("deed_id", "deed"),
    row_ref("row_id"),
    text("table_name"),
    listed("doing", Doing),
    text("revision"),
    packed("content"),
    digest("digest"),
    index("row_id"),
    index("deed_id"),
)

#: which versions a version follows: none for a row's first, several after a merge
version_parent = Table(
    "version_parent",
    metadata,
    ref_key("version_id", "version"),
    ref_key("parent_id", "version"),
    index("parent_id"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
