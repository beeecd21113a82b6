"""Tables of the log itself: settings, imports, and the journal (deeds and the versions they left)."""

from __future__ import annotations

from wearlog.facts.closed_lists import Doing
from wearlog.store.schema.columns import (
    index,
    instant,
    listed,
    plain_table,
    ref,
    row_ref,
    several_ids,
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
    index("recorded_at"),
    index("undoes_deed_id"),
)

version = plain_table(
    "version",
    ref("deed_id", "deed"),
    row_ref("row_id"),
    text("table_name"),
    several_ids("parents"),
    listed("doing", Doing),
    text("content"),
    text("digest"),
    index("row_id"),
    index("deed_id"),
)
