"""Tables of the log itself: settings, people, imports, and the journal (deeds and the versions they left)."""

from __future__ import annotations

from sqlalchemy import Table

from wearlog.facts.closed_lists import Condemned, Doing, Exchanged, Hazard, LineState, Round
from wearlog.store.schema.columns import (
    digest,
    index,
    instant,
    listed,
    metadata,
    owned,
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


person = table("person", text("name"), text("short"), text("note"))

caution_read = table(
    "caution_read",
    listed("hazard", Hazard),
    text("task"),
    text("device"),
    instant("at"),
    ref("person_id", "person", optional=True),
    index("person_id"),
)

inspection = table(
    "inspection",
    ref("machine_id", "machine"),
    listed("round", Round),
    instant("at"),
    ref("person_id", "person", optional=True),
    text("note"),
    index("machine_id", "at"),
    index("person_id"),
)

inspection_finding = table(
    "inspection_finding",
    ref("inspection_id", "inspection"),
    text("line"),
    ref("component_id", "component", optional=True),
    whole("position", least=1, optional=True),
    listed("found", Condemned),
    ref("measurement_id", "measurement", optional=True),
    text("note"),
    index("inspection_id"),
    index("component_id"),
    index("measurement_id"),
)

import_profile = table("import_profile", text("name"), text("content"))

outside_line = table(
    "outside_line",
    text("source"),
    text("place"),
    text("digest"),
    text("said"),
    listed("state", LineState),
    text("question"),
    instant("at"),
    index("digest"),
)

outside_line_row = owned("outside_line_row", "outside_line", row_ref("row_id"))

same_as = table(
    "same_as",
    text("table_name"),
    row_ref("row_id"),
    row_ref("kept_row_id"),
    text("note"),
    index("row_id"),
    index("kept_row_id"),
)

exchange = table(
    "exchange", text("device"), listed("direction", Exchanged), instant("at"), text("digest"), whole("deeds")
)
