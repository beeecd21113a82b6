"""Room for upkeep, supply, electrics, rounds and merging; lists in rows of their own; versions that say their revision, packed.

Revision: 0002, after 0001.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from types import MappingProxyType
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from wearlog.store.packing import packed
from wearlog.store.reshaping import reshape, usual_in

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

# written out here and not taken from the program: a migration must mean tomorrow what it meant when it was released
ID = sa.LargeBinary(16).with_variant(sa.Uuid(), "postgresql")
INSTANT = sa.Integer().with_variant(sa.TIMESTAMP(timezone=True), "postgresql")
DAY = sa.Text().with_variant(sa.Date(), "postgresql")
FLAG = sa.Integer().with_variant(sa.Boolean(), "postgresql")
WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
DIGEST = sa.LargeBinary(32)
TABLES = sa.MetaData()


def flag_check(text: str, name: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(text, name=name).ddl_if(dialect="sqlite")


# as they shall be; of those that are not here nothing changes
for _name in ("component", "field", "fitting", "measurement", "run"):
    sa.Table(_name, TABLES, sa.Column("id", ID, primary_key=True), info={"as_it_is": True})
sa.Table(
    "person",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("short", sa.Text(), nullable=False),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_person"),
    flag_check("voided IN (0, 1)", name="ck_person_voided"),
    sqlite_strict=True,
)
sa.Table(
    "caution_read",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("hazard", sa.Text(), nullable=False),
    sa.Column("task", sa.Text(), nullable=False),
    sa.Column("device", sa.Text(), nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("person_id", ID, nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_caution_read"),
    sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_caution_read_person_id"),
    flag_check("voided IN (0, 1)", name="ck_caution_read_voided"),
    sa.CheckConstraint(
        "hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank', 'battery', 'fire', 'tire', 'lifting', 'spring')",
        name="ck_caution_read_hazard",
    ),
    sa.Index("ix_caution_read_person_id", "person_id"),
    sqlite_strict=True,
)
sa.Table(
    "inspection",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("round", sa.Text(), nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("person_id", ID, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_inspection"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_inspection_machine_id"),
    sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_inspection_person_id"),
    flag_check("voided IN (0, 1)", name="ck_inspection_voided"),
    sa.CheckConstraint("round IN ('pre_season', 'end_of_season', 'daily', 'other')", name="ck_inspection_round"),
    sa.Index("ix_inspection_machine_id_at", "machine_id", "at"),
    sa.Index("ix_inspection_person_id", "person_id"),
    sqlite_strict=True,
)
sa.Table(
    "inspection_finding",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("inspection_id", ID, nullable=False),
    sa.Column("line", sa.Text(), nullable=False),
    sa.Column("component_id", ID, nullable=True),
    sa.Column("position", WHOLE, nullable=True),
    sa.Column("found", sa.Text(), nullable=False),
    sa.Column("measurement_id", ID, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_inspection_finding"),
    sa.ForeignKeyConstraint(["inspection_id"], ["inspection.id"], name="fk_inspection_finding_inspection_id"),
    sa.ForeignKeyConstraint(["component_id"], ["component.id"], name="fk_inspection_finding_component_id"),
    sa.ForeignKeyConstraint(["measurement_id"], ["measurement.id"], name="fk_inspection_finding_measurement_id"),
    flag_check("voided IN (0, 1)", name="ck_inspection_finding_voided"),
    sa.CheckConstraint("position >= 1", name="ck_inspection_finding_position"),
    sa.CheckConstraint(
        "found IN ('good', 'watch', 'order', 'failed', 'not_looked_at')", name="ck_inspection_finding_found"
    ),
    sa.Index("ix_inspection_finding_inspection_id", "inspection_id"),
    sa.Index("ix_inspection_finding_component_id", "component_id"),
    sa.Index("ix_inspection_finding_measurement_id", "measurement_id"),
    sqlite_strict=True,
)
sa.Table(
    "import_profile",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("content", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_import_profile"),
    flag_check("voided IN (0, 1)", name="ck_import_profile_voided"),
    sqlite_strict=True,
)
sa.Table(
    "outside_line",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("source", sa.Text(), nullable=False),
    sa.Column("place", sa.Text(), nullable=False),
    sa.Column("digest", sa.Text(), nullable=False),
    sa.Column("said", sa.Text(), nullable=False),
    sa.Column("state", sa.Text(), nullable=False),
    sa.Column("question", sa.Text(), nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_outside_line"),
    flag_check("voided IN (0, 1)", name="ck_outside_line_voided"),
    sa.CheckConstraint("state IN ('taken', 'asked', 'set_aside')", name="ck_outside_line_state"),
    sa.Index("ix_outside_line_digest", "digest"),
    sqlite_strict=True,
)
sa.Table(
    "outside_line_row",
    TABLES,
    sa.Column("outside_line_id", ID, nullable=False),
    sa.Column("place", WHOLE, nullable=False),
    sa.Column("row_id", ID, nullable=False),
    sa.PrimaryKeyConstraint("outside_line_id", "place", name="pk_outside_line_row"),
    sa.ForeignKeyConstraint(["outside_line_id"], ["outside_line.id"], name="fk_outside_line_row_outside_line_id"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
sa.Table(
    "same_as",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("table_name", sa.Text(), nullable=False),
    sa.Column("row_id", ID, nullable=False),
    sa.Column("kept_row_id", ID, nullable=False),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_same_as"),
    flag_check("voided IN (0, 1)", name="ck_same_as_voided"),
    sa.Index("ix_same_as_row_id", "row_id"),
    sa.Index("ix_same_as_kept_row_id", "kept_row_id"),
    sqlite_strict=True,
)
sa.Table(
    "exchange",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("device", sa.Text(), nullable=False),
    sa.Column("direction", sa.Text(), nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("digest", sa.Text(), nullable=False),
    sa.Column("deeds", WHOLE, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_exchange"),
    flag_check("voided IN (0, 1)", name="ck_exchange_voided"),
    sa.CheckConstraint("direction IN ('sent', 'taken_in')", name="ck_exchange_direction"),
    sa.CheckConstraint("deeds >= 0", name="ck_exchange_deeds"),
    sqlite_strict=True,
)
sa.Table(
    "circuit_node",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("circuit", sa.Text(), nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("kind", sa.Text(), nullable=False),
    sa.Column("place", sa.Text(), nullable=False),
    sa.Column("rating_milliamperes", WHOLE, nullable=True),
    sa.Column("passes_edge", FLAG, nullable=False),
    sa.Column("moves_with_header", FLAG, nullable=False),
    sa.Column("near_heat", FLAG, nullable=False),
    sa.Column("outside", FLAG, nullable=False),
    sa.Column("wire_colour", sa.Text(), nullable=False),
    sa.Column("wire_number", sa.Text(), nullable=False),
    sa.Column("wire_gauge", sa.Text(), nullable=False),
    sa.Column("pins", sa.Text(), nullable=False),
    sa.Column("splice_place", sa.Text(), nullable=False),
    sa.Column("length_millimetres", WHOLE, nullable=True),
    sa.Column("photo", sa.Text(), nullable=False),
    sa.Column("shared", FLAG, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_circuit_node"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_circuit_node_machine_id"),
    flag_check("voided IN (0, 1)", name="ck_circuit_node_voided"),
    sa.CheckConstraint(
        "kind IN ('battery', 'fuse', 'relay', 'switch', 'connector', 'wire_run', 'splice', 'device', 'sensor', 'controller', 'terminator', 'ground', 'alternator')",
        name="ck_circuit_node_kind",
    ),
    sa.CheckConstraint("rating_milliamperes >= 1", name="ck_circuit_node_rating_milliamperes"),
    flag_check("passes_edge IN (0, 1)", name="ck_circuit_node_passes_edge"),
    flag_check("moves_with_header IN (0, 1)", name="ck_circuit_node_moves_with_header"),
    flag_check("near_heat IN (0, 1)", name="ck_circuit_node_near_heat"),
    flag_check("outside IN (0, 1)", name="ck_circuit_node_outside"),
    sa.CheckConstraint("length_millimetres >= 0", name="ck_circuit_node_length_millimetres"),
    flag_check("shared IN (0, 1)", name="ck_circuit_node_shared"),
    sa.Index("ix_circuit_node_machine_id", "machine_id"),
    sqlite_strict=True,
)
sa.Table(
    "circuit_cut",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("node_id", ID, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_circuit_cut"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_circuit_cut_machine_id"),
    sa.ForeignKeyConstraint(["node_id"], ["circuit_node.id"], name="fk_circuit_cut_node_id"),
    flag_check("voided IN (0, 1)", name="ck_circuit_cut_voided"),
    sa.Index("ix_circuit_cut_machine_id", "machine_id"),
    sa.Index("ix_circuit_cut_node_id", "node_id"),
    sqlite_strict=True,
)
sa.Table(
    "fault",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("circuit", sa.Text(), nullable=False),
    sa.Column("title", sa.Text(), nullable=False),
    sa.Column("opened_at", INSTANT, nullable=False),
    sa.Column("closed_at", INSTANT, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.Column("conditions_asked", FLAG, nullable=False),
    sa.Column("others_tried", sa.Text(), nullable=True),
    sa.Column("worked_on", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_fault"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_fault_machine_id"),
    flag_check("voided IN (0, 1)", name="ck_fault_voided"),
    sa.CheckConstraint("closed_at IS NULL OR closed_at >= opened_at", name="ck_fault_opened_at_closed_at"),
    flag_check("conditions_asked IN (0, 1)", name="ck_fault_conditions_asked"),
    sa.CheckConstraint("others_tried IN ('all_fine', 'some_fail', 'not_tried')", name="ck_fault_others_tried"),
    sa.Index("ix_fault_machine_id_opened_at", "machine_id", "opened_at"),
    sqlite_strict=True,
)
sa.Table(
    "fault_condition",
    TABLES,
    sa.Column("fault_id", ID, nullable=False),
    sa.Column("place", WHOLE, nullable=False),
    sa.Column("condition", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("fault_id", "place", name="pk_fault_condition"),
    sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name="fk_fault_condition_fault_id"),
    sa.CheckConstraint(
        "condition IN ('rain', 'dew', 'rough_ground', 'tank_full', 'header_raised', 'turning', 'hot', 'cold', 'dust', 'after_wash')",
        name="ck_fault_condition_condition",
    ),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
sa.Table(
    "fault_sign",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("fault_id", ID, nullable=False),
    sa.Column("node_id", ID, nullable=True),
    sa.Column("sign", sa.Text(), nullable=False),
    sa.Column("spn", WHOLE, nullable=True),
    sa.Column("fmi", WHOLE, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.Column("told", sa.Text(), nullable=True),
    sa.Column("in_use", sa.Text(), nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_fault_sign"),
    sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name="fk_fault_sign_fault_id"),
    sa.ForeignKeyConstraint(["node_id"], ["circuit_node.id"], name="fk_fault_sign_node_id"),
    flag_check("voided IN (0, 1)", name="ck_fault_sign_voided"),
    sa.CheckConstraint(
        "sign IN ('dead', 'erratic', 'working', 'fuse_blew_at_once', 'fuse_blew_later', 'fuse_blew_on_movement', 'fuse_whole', 'code', 'weak', 'stays_on', 'wrong_thing')",
        name="ck_fault_sign_sign",
    ),
    sa.CheckConstraint("spn >= 0", name="ck_fault_sign_spn"),
    sa.CheckConstraint("fmi >= 0", name="ck_fault_sign_fmi"),
    sa.CheckConstraint("told IN ('first', 'said', 'tried')", name="ck_fault_sign_told"),
    sa.CheckConstraint("in_use IN ('yes', 'no', 'cannot_tell')", name="ck_fault_sign_in_use"),
    sa.Index("ix_fault_sign_fault_id", "fault_id"),
    sa.Index("ix_fault_sign_node_id", "node_id"),
    sqlite_strict=True,
)
sa.Table(
    "fault_visit",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("fault_id", ID, nullable=False),
    sa.Column("started_at", INSTANT, nullable=False),
    sa.Column("ended_at", INSTANT, nullable=True),
    sa.Column("present", sa.Text(), nullable=True),
    sa.Column("person_id", ID, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_fault_visit"),
    sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name="fk_fault_visit_fault_id"),
    sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_fault_visit_person_id"),
    flag_check("voided IN (0, 1)", name="ck_fault_visit_voided"),
    sa.CheckConstraint("ended_at IS NULL OR ended_at >= started_at", name="ck_fault_visit_started_at_ended_at"),
    sa.CheckConstraint("present IN ('yes', 'no', 'cannot_tell')", name="ck_fault_visit_present"),
    sa.Index("ix_fault_visit_fault_id_started_at", "fault_id", "started_at"),
    sa.Index("ix_fault_visit_person_id", "person_id"),
    sqlite_strict=True,
)
sa.Table(
    "fault_check",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("fault_id", ID, nullable=False),
    sa.Column("step", WHOLE, nullable=False),
    sa.Column("node_id", ID, nullable=True),
    sa.Column("kind", sa.Text(), nullable=False),
    sa.Column("expected", sa.Text(), nullable=False),
    sa.Column("measured", sa.Text(), nullable=False),
    sa.Column("verdict", sa.Text(), nullable=False),
    sa.Column("duration_seconds", WHOLE, nullable=True),
    sa.Column("at", INSTANT, nullable=True),
    sa.Column("fault_visit_id", ID, nullable=True),
    sa.Column("reading_micros", WHOLE, nullable=True),
    sa.Column("reading_unit", sa.Text(), nullable=True),
    sa.Column("lowest_micros", WHOLE, nullable=True),
    sa.Column("highest_micros", WHOLE, nullable=True),
    sa.Column("over_range", FLAG, nullable=False),
    sa.Column("load_on", sa.Text(), nullable=True),
    sa.Column("supplied", sa.Text(), nullable=True),
    sa.Column("battery_micros", WHOLE, nullable=True),
    sa.Column("second_node_id", ID, nullable=True),
    sa.Column("place", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_fault_check"),
    sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name="fk_fault_check_fault_id"),
    sa.ForeignKeyConstraint(["node_id"], ["circuit_node.id"], name="fk_fault_check_node_id"),
    sa.ForeignKeyConstraint(["fault_visit_id"], ["fault_visit.id"], name="fk_fault_check_fault_visit_id"),
    sa.ForeignKeyConstraint(["second_node_id"], ["circuit_node.id"], name="fk_fault_check_second_node_id"),
    flag_check("voided IN (0, 1)", name="ck_fault_check_voided"),
    sa.CheckConstraint("step >= 1", name="ck_fault_check_step"),
    sa.CheckConstraint(
        "kind IN ('look', 'voltage', 'voltage_drop', 'continuity', 'resistance', 'unplug', 'wiggle', 'swap', 'try_it', 'lamp', 'beyond', 'unwrap', 'make_happen')",
        name="ck_fault_check_kind",
    ),
    sa.CheckConstraint("verdict IN ('good', 'bad', 'unclear', 'not_done')", name="ck_fault_check_verdict"),
    sa.CheckConstraint("duration_seconds >= 0", name="ck_fault_check_duration_seconds"),
    sa.CheckConstraint("reading_unit IN ('volt', 'ohm', 'ampere')", name="ck_fault_check_reading_unit"),
    flag_check("over_range IN (0, 1)", name="ck_fault_check_over_range"),
    sa.CheckConstraint("load_on IN ('yes', 'no', 'cannot_tell')", name="ck_fault_check_load_on"),
    sa.CheckConstraint(
        "supplied IN ('off', 'rested', 'just_charged', 'key_on', 'cranking', 'running')", name="ck_fault_check_supplied"
    ),
    sa.Index("ix_fault_check_fault_id_step", "fault_id", "step"),
    sa.Index("ix_fault_check_node_id", "node_id"),
    sa.Index("ix_fault_check_fault_visit_id", "fault_visit_id"),
    sa.Index("ix_fault_check_second_node_id", "second_node_id"),
    sqlite_strict=True,
)
sa.Table(
    "fault_finding",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("fault_id", ID, nullable=False),
    sa.Column("node_id", ID, nullable=True),
    sa.Column("mode", sa.Text(), nullable=False),
    sa.Column("fix", sa.Text(), nullable=False),
    sa.Column("evidence", sa.Text(), nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("fix_kind", sa.Text(), nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_fault_finding"),
    sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name="fk_fault_finding_fault_id"),
    sa.ForeignKeyConstraint(["node_id"], ["circuit_node.id"], name="fk_fault_finding_node_id"),
    flag_check("voided IN (0, 1)", name="ck_fault_finding_voided"),
    sa.CheckConstraint(
        "mode IN ('open', 'short_to_ground', 'high_resistance', 'failed_device', 'overload', 'not_found', 'short_to_power', 'reversed')",
        name="ck_fault_finding_mode",
    ),
    sa.CheckConstraint("evidence IN ('seen', 'inferred', 'cleared_by_itself')", name="ck_fault_finding_evidence"),
    sa.CheckConstraint(
        "fix_kind IN ('joint_made', 'part_swapped', 'proved_under_load', 'other')", name="ck_fault_finding_fix_kind"
    ),
    sa.Index("ix_fault_finding_fault_id", "fault_id"),
    sa.Index("ix_fault_finding_node_id", "node_id"),
    sqlite_strict=True,
)
sa.Table(
    "fault_opening",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("fault_id", ID, nullable=False),
    sa.Column("node_id", ID, nullable=True),
    sa.Column("opened", sa.Text(), nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("put_back_at", INSTANT, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_fault_opening"),
    sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name="fk_fault_opening_fault_id"),
    sa.ForeignKeyConstraint(["node_id"], ["circuit_node.id"], name="fk_fault_opening_node_id"),
    flag_check("voided IN (0, 1)", name="ck_fault_opening_voided"),
    sa.CheckConstraint(
        "opened IN ('unplugged', 'fuse_out', 'lamp_in_place', 'battery_lead_off', 'header_on_stops', 'switched_off', 'other')",
        name="ck_fault_opening_opened",
    ),
    sa.CheckConstraint("put_back_at IS NULL OR put_back_at >= at", name="ck_fault_opening_at_put_back_at"),
    sa.Index("ix_fault_opening_fault_id", "fault_id"),
    sa.Index("ix_fault_opening_node_id", "node_id"),
    sqlite_strict=True,
)
sa.Table(
    "loss_check",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("combine_id", ID, nullable=False),
    sa.Column("field_id", ID, nullable=True),
    sa.Column("crop_id", ID, nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("behind_per_hectare", WHOLE, nullable=False),
    sa.Column("ahead_per_hectare", WHOLE, nullable=False),
    sa.Column("cut_width_micrometres", WHOLE, nullable=False),
    sa.Column("discharge_width_micrometres", WHOLE, nullable=False),
    sa.Column("yield_grams_per_hectare", WHOLE, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.Column("uncut_per_hectare", WHOLE, nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_loss_check"),
    sa.ForeignKeyConstraint(["combine_id"], ["machine.id"], name="fk_loss_check_combine_id"),
    sa.ForeignKeyConstraint(["field_id"], ["field.id"], name="fk_loss_check_field_id"),
    sa.ForeignKeyConstraint(["crop_id"], ["crop.id"], name="fk_loss_check_crop_id"),
    flag_check("voided IN (0, 1)", name="ck_loss_check_voided"),
    sa.CheckConstraint("behind_per_hectare >= 0", name="ck_loss_check_behind_per_hectare"),
    sa.CheckConstraint("ahead_per_hectare >= 0", name="ck_loss_check_ahead_per_hectare"),
    sa.CheckConstraint("cut_width_micrometres >= 1", name="ck_loss_check_cut_width_micrometres"),
    sa.CheckConstraint("discharge_width_micrometres >= 1", name="ck_loss_check_discharge_width_micrometres"),
    sa.CheckConstraint("yield_grams_per_hectare >= 0", name="ck_loss_check_yield_grams_per_hectare"),
    sa.CheckConstraint("uncut_per_hectare >= 0", name="ck_loss_check_uncut_per_hectare"),
    sa.Index("ix_loss_check_combine_id_at", "combine_id", "at"),
    sa.Index("ix_loss_check_field_id", "field_id"),
    sa.Index("ix_loss_check_crop_id", "crop_id"),
    sqlite_strict=True,
)
sa.Table(
    "deed",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("recorded_at", INSTANT, nullable=False),
    sa.Column("device", sa.Text(), nullable=False),
    sa.Column("said", sa.Text(), nullable=False),
    sa.Column("undoes_deed_id", ID, nullable=True),
    sa.Column("person", sa.Text(), nullable=False),
    sa.Column("digest", DIGEST, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_deed"),
    sa.ForeignKeyConstraint(["undoes_deed_id"], ["deed.id"], name="fk_deed_undoes_deed_id"),
    sa.Index("ix_deed_recorded_at", "recorded_at"),
    sa.Index("ix_deed_undoes_deed_id", "undoes_deed_id"),
    sqlite_strict=True,
)
sa.Table(
    "version",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("deed_id", ID, nullable=False),
    sa.Column("row_id", ID, nullable=False),
    sa.Column("table_name", sa.Text(), nullable=False),
    sa.Column("doing", sa.Text(), nullable=False),
    sa.Column("revision", sa.Text(), nullable=False),
    sa.Column("content", sa.LargeBinary(), nullable=False),
    sa.Column("digest", DIGEST, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_version"),
    sa.ForeignKeyConstraint(["deed_id"], ["deed.id"], name="fk_version_deed_id"),
    sa.CheckConstraint("doing IN ('entered', 'edited', 'voided', 'undone', 'settled')", name="ck_version_doing"),
    sa.Index("ix_version_deed_id", "deed_id"),
    sa.Index("ix_version_row_id", "row_id"),
    sqlite_strict=True,
)
sa.Table(
    "version_parent",
    TABLES,
    sa.Column("version_id", ID, nullable=False),
    sa.Column("parent_id", ID, nullable=False),
    sa.PrimaryKeyConstraint("version_id", "parent_id", name="pk_version_parent"),
    sa.ForeignKeyConstraint(["version_id"], ["version.id"], name="fk_version_parent_version_id"),
    sa.ForeignKeyConstraint(["parent_id"], ["version.id"], name="fk_version_parent_parent_id"),
    sa.Index("ix_version_parent_parent_id", "parent_id"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
sa.Table(
    "machine",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("kind", sa.Text(), nullable=False),
    sa.Column("cut_width_micrometres", WHOLE, nullable=True),
    sa.Column("model_year", WHOLE, nullable=True),
    sa.Column("list_price_minor", WHOLE, nullable=True),
    sa.Column("bought_on", DAY, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.Column("serial_number", sa.Text(), nullable=False),
    sa.Column("engine_number", sa.Text(), nullable=False),
    sa.Column("type_name", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_machine"),
    flag_check("voided IN (0, 1)", name="ck_machine_voided"),
    sa.CheckConstraint("kind IN ('combine', 'header', 'tractor', 'truck', 'cart')", name="ck_machine_kind"),
    sa.CheckConstraint("cut_width_micrometres >= 1", name="ck_machine_cut_width_micrometres"),
    sa.CheckConstraint("model_year >= 1900", name="ck_machine_model_year"),
    sa.CheckConstraint("list_price_minor >= 0", name="ck_machine_list_price_minor"),
    sqlite_strict=True,
)
sa.Table(
    "meter",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("kind", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_meter"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_meter_machine_id"),
    flag_check("voided IN (0, 1)", name="ck_meter_voided"),
    sa.CheckConstraint("kind IN ('area', 'separator_hours', 'engine_hours', 'calendar')", name="ck_meter_kind"),
    sa.Index("ix_meter_machine_id", "machine_id"),
    sqlite_strict=True,
)
sa.Table(
    "crop",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("bushel_grams", WHOLE, nullable=True),
    sa.Column("seed_milligrams_per_thousand", WHOLE, nullable=True),
    sa.Column("price_minor_per_tonne", WHOLE, nullable=True),
    sa.Column("loss_per_day_millionths", WHOLE, nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_crop"),
    flag_check("voided IN (0, 1)", name="ck_crop_voided"),
    sa.CheckConstraint("bushel_grams >= 1", name="ck_crop_bushel_grams"),
    sa.CheckConstraint("seed_milligrams_per_thousand >= 1", name="ck_crop_seed_milligrams_per_thousand"),
    sa.CheckConstraint("price_minor_per_tonne >= 0", name="ck_crop_price_minor_per_tonne"),
    sa.CheckConstraint("loss_per_day_millionths >= 0", name="ck_crop_loss_per_day_millionths"),
    sqlite_strict=True,
)
sa.Table(
    "run_condition",
    TABLES,
    sa.Column("run_id", ID, nullable=False),
    sa.Column("place", WHOLE, nullable=False),
    sa.Column("condition", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("run_id", "place", name="pk_run_condition"),
    sa.ForeignKeyConstraint(["run_id"], ["run.id"], name="fk_run_condition_run_id"),
    sa.CheckConstraint(
        "condition IN ('rain', 'dew', 'rough_ground', 'tank_full', 'header_raised', 'turning', 'hot', 'cold', 'dust', 'after_wash')",
        name="ck_run_condition_condition",
    ),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
sa.Table(
    "part_kind",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("subsystem", sa.Text(), nullable=False),
    sa.Column("meter_kind", sa.Text(), nullable=False),
    sa.Column("life_low_usage", WHOLE, nullable=True),
    sa.Column("life_high_usage", WHOLE, nullable=True),
    sa.Column("shape_low_thousandths", WHOLE, nullable=True),
    sa.Column("shape_high_thousandths", WHOLE, nullable=True),
    sa.Column("impacts_clean", WHOLE, nullable=False),
    sa.Column("impacts_few_stones", WHOLE, nullable=False),
    sa.Column("impacts_stony", WHOLE, nullable=False),
    sa.Column("impacts_very_stony", WHOLE, nullable=False),
    sa.Column("guess_evidence", sa.Text(), nullable=False),
    sa.Column("dimension", sa.Text(), nullable=False),
    sa.Column("new_micrometres", WHOLE, nullable=True),
    sa.Column("limit_micrometres", WHOLE, nullable=True),
    sa.Column("pitch_micrometres", WHOLE, nullable=True),
    sa.Column("pitches", WHOLE, nullable=True),
    sa.Column("usual_labour_seconds", WHOLE, nullable=True),
    sa.Column("hazard", sa.Text(), nullable=True),
    sa.Column("endangers_people", FLAG, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_part_kind"),
    flag_check("voided IN (0, 1)", name="ck_part_kind_voided"),
    sa.CheckConstraint(
        "subsystem IN ('header', 'feeder', 'threshing', 'separator', 'cleaning', 'grain_handling', 'unloading', 'residue', 'engine', 'fuel', 'driveline', 'ground_drive', 'running_gear', 'hydraulics', 'electrical', 'monitoring', 'cab', 'safety')",
        name="ck_part_kind_subsystem",
    ),
    sa.CheckConstraint(
        "meter_kind IN ('area', 'separator_hours', 'engine_hours', 'calendar')", name="ck_part_kind_meter_kind"
    ),
    sa.CheckConstraint("life_low_usage >= 1", name="ck_part_kind_life_low_usage"),
    sa.CheckConstraint(
        "life_high_usage IS NULL OR life_high_usage >= life_low_usage",
        name="ck_part_kind_life_low_usage_life_high_usage",
    ),
    sa.CheckConstraint("life_high_usage >= 1", name="ck_part_kind_life_high_usage"),
    sa.CheckConstraint("shape_low_thousandths >= 1", name="ck_part_kind_shape_low_thousandths"),
    sa.CheckConstraint(
        "shape_high_thousandths IS NULL OR shape_high_thousandths >= shape_low_thousandths",
        name="ck_part_kind_shape_low_thousandths_shape_high_thousandths",
    ),
    sa.CheckConstraint("shape_high_thousandths >= 1", name="ck_part_kind_shape_high_thousandths"),
    sa.CheckConstraint("impacts_clean >= 0", name="ck_part_kind_impacts_clean"),
    sa.CheckConstraint("impacts_few_stones >= 0", name="ck_part_kind_impacts_few_stones"),
    sa.CheckConstraint("impacts_stony >= 0", name="ck_part_kind_impacts_stony"),
    sa.CheckConstraint("impacts_very_stony >= 0", name="ck_part_kind_impacts_very_stony"),
    sa.CheckConstraint(
        "guess_evidence IN ('published', 'from_memory', 'computed', 'common_practice', 'machine_book', 'own_records', 'neighbours')",
        name="ck_part_kind_guess_evidence",
    ),
    sa.CheckConstraint(
        "dimension IN ('none', 'length_over_pitches', 'thickness', 'gap', 'depth')", name="ck_part_kind_dimension"
    ),
    sa.CheckConstraint("new_micrometres >= 0", name="ck_part_kind_new_micrometres"),
    sa.CheckConstraint("limit_micrometres >= 0", name="ck_part_kind_limit_micrometres"),
    sa.CheckConstraint("pitch_micrometres >= 1", name="ck_part_kind_pitch_micrometres"),
    sa.CheckConstraint("pitches >= 1", name="ck_part_kind_pitches"),
    sa.CheckConstraint("usual_labour_seconds >= 0", name="ck_part_kind_usual_labour_seconds"),
    sa.CheckConstraint(
        "hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank', 'battery', 'fire', 'tire', 'lifting', 'spring')",
        name="ck_part_kind_hazard",
    ),
    flag_check("endangers_people IN (0, 1)", name="ck_part_kind_endangers_people"),
    sqlite_strict=True,
)
sa.Table(
    "part_kind_word",
    TABLES,
    sa.Column("part_kind_id", ID, nullable=False),
    sa.Column("place", WHOLE, nullable=False),
    sa.Column("word", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("part_kind_id", "place", name="pk_part_kind_word"),
    sa.ForeignKeyConstraint(["part_kind_id"], ["part_kind.id"], name="fk_part_kind_word_part_kind_id"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
sa.Table(
    "part",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("number", sa.Text(), nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("price_minor", WHOLE, nullable=True),
    sa.Column("pack_size", WHOLE, nullable=False),
    sa.Column("lead_time_days", WHOLE, nullable=True),
    sa.Column("supplier", sa.Text(), nullable=False),
    sa.Column("keep_on_hand", WHOLE, nullable=False),
    sa.Column("warranty_months", WHOLE, nullable=True),
    sa.Column("warranty_usage", WHOLE, nullable=True),
    sa.Column("warranty_covers", sa.Text(), nullable=True),
    sa.Column("warranty_from", sa.Text(), nullable=True),
    sa.Column("warranty_pro_rata", FLAG, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_part"),
    flag_check("voided IN (0, 1)", name="ck_part_voided"),
    sa.CheckConstraint("price_minor >= 0", name="ck_part_price_minor"),
    sa.CheckConstraint("pack_size >= 1", name="ck_part_pack_size"),
    sa.CheckConstraint("lead_time_days >= 0", name="ck_part_lead_time_days"),
    sa.CheckConstraint("keep_on_hand >= 0", name="ck_part_keep_on_hand"),
    sa.CheckConstraint("warranty_months >= 1", name="ck_part_warranty_months"),
    sa.CheckConstraint("warranty_usage >= 1", name="ck_part_warranty_usage"),
    sa.CheckConstraint("warranty_covers IN ('part', 'part_and_labour')", name="ck_part_warranty_covers"),
    sa.CheckConstraint("warranty_from IN ('fitting', 'receipt')", name="ck_part_warranty_from"),
    flag_check("warranty_pro_rata IN (0, 1)", name="ck_part_warranty_pro_rata"),
    sqlite_strict=True,
)
sa.Table(
    "stock_move",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("part_id", ID, nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("change", sa.Text(), nullable=False),
    sa.Column("quantity", WHOLE, nullable=False),
    sa.Column("unit_cost_minor", WHOLE, nullable=True),
    sa.Column("repair_id", ID, nullable=True),
    sa.Column("breakage_id", ID, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.Column("part_order_id", ID, nullable=True),
    sa.Column("service_done_id", ID, nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_stock_move"),
    sa.ForeignKeyConstraint(["part_id"], ["part.id"], name="fk_stock_move_part_id"),
    sa.ForeignKeyConstraint(["repair_id"], ["repair.id"], name="fk_stock_move_repair_id"),
    sa.ForeignKeyConstraint(["breakage_id"], ["breakage.id"], name="fk_stock_move_breakage_id"),
    sa.ForeignKeyConstraint(["part_order_id"], ["part_order.id"], name="fk_stock_move_part_order_id"),
    sa.ForeignKeyConstraint(["service_done_id"], ["service_done.id"], name="fk_stock_move_service_done_id"),
    flag_check("voided IN (0, 1)", name="ck_stock_move_voided"),
    sa.CheckConstraint("change IN ('received', 'used', 'returned', 'counted')", name="ck_stock_move_change"),
    sa.CheckConstraint("quantity >= 0", name="ck_stock_move_quantity"),
    sa.CheckConstraint("unit_cost_minor >= 0", name="ck_stock_move_unit_cost_minor"),
    sa.Index("ix_stock_move_part_id_at", "part_id", "at"),
    sa.Index("ix_stock_move_repair_id", "repair_id"),
    sa.Index("ix_stock_move_breakage_id", "breakage_id"),
    sa.Index("ix_stock_move_part_order_id", "part_order_id"),
    sa.Index("ix_stock_move_service_done_id", "service_done_id"),
    sqlite_strict=True,
)
sa.Table(
    "breakage",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("component_id", ID, nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("cause", sa.Text(), nullable=False),
    sa.Column("mode", sa.Text(), nullable=False),
    sa.Column("action", sa.Text(), nullable=False),
    sa.Column("repair_id", ID, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.Column("seen_whole_at", INSTANT, nullable=True),
    sa.Column("caused_by_id", ID, nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_breakage"),
    sa.ForeignKeyConstraint(["component_id"], ["component.id"], name="fk_breakage_component_id"),
    sa.ForeignKeyConstraint(["repair_id"], ["repair.id"], name="fk_breakage_repair_id"),
    sa.ForeignKeyConstraint(["caused_by_id"], ["breakage.id"], name="fk_breakage_caused_by_id"),
    flag_check("voided IN (0, 1)", name="ck_breakage_voided"),
    sa.CheckConstraint(
        "cause IN ('impact', 'wear', 'fatigue', 'loose', 'secondary', 'unknown')", name="ck_breakage_cause"
    ),
    sa.CheckConstraint(
        "mode IN ('broken', 'bent', 'cracked', 'missing', 'worn', 'stretched', 'torn', 'loose', 'seized', 'leaking', 'failed')",
        name="ck_breakage_mode",
    ),
    sa.CheckConstraint("action IN ('replaced', 'mended', 'left')", name="ck_breakage_action"),
    sa.CheckConstraint("at IS NULL OR at >= seen_whole_at", name="ck_breakage_seen_whole_at_at"),
    sa.Index("ix_breakage_component_id_at", "component_id", "at"),
    sa.Index("ix_breakage_at", "at"),
    sa.Index("ix_breakage_repair_id", "repair_id"),
    sa.Index("ix_breakage_caused_by_id", "caused_by_id"),
    sqlite_strict=True,
)
sa.Table(
    "breakage_position",
    TABLES,
    sa.Column("breakage_id", ID, nullable=False),
    sa.Column("position", WHOLE, nullable=False),
    sa.Column("broke_fitting_id", ID, nullable=True),
    sa.Column("followed_fitting_id", ID, nullable=True),
    sa.PrimaryKeyConstraint("breakage_id", "position", name="pk_breakage_position"),
    sa.ForeignKeyConstraint(["breakage_id"], ["breakage.id"], name="fk_breakage_position_breakage_id"),
    sa.ForeignKeyConstraint(["broke_fitting_id"], ["fitting.id"], name="fk_breakage_position_broke_fitting_id"),
    sa.ForeignKeyConstraint(["followed_fitting_id"], ["fitting.id"], name="fk_breakage_position_followed_fitting_id"),
    sa.CheckConstraint("position >= 1", name="ck_breakage_position_position"),
    sa.Index("ix_breakage_position_broke_fitting_id", "broke_fitting_id"),
    sa.Index("ix_breakage_position_followed_fitting_id", "followed_fitting_id"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
sa.Table(
    "repair",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("kind", sa.Text(), nullable=False),
    sa.Column("started_at", INSTANT, nullable=False),
    sa.Column("ended_at", INSTANT, nullable=True),
    sa.Column("labour_seconds", WHOLE, nullable=True),
    sa.Column("hired_minor", WHOLE, nullable=True),
    sa.Column("component_id", ID, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.Column("invoice", sa.Text(), nullable=False),
    sa.Column("person_id", ID, nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_repair"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_repair_machine_id"),
    sa.ForeignKeyConstraint(["component_id"], ["component.id"], name="fk_repair_component_id"),
    sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_repair_person_id"),
    flag_check("voided IN (0, 1)", name="ck_repair_voided"),
    sa.CheckConstraint("kind IN ('breakdown', 'planned', 'overhaul')", name="ck_repair_kind"),
    sa.CheckConstraint("ended_at IS NULL OR ended_at >= started_at", name="ck_repair_started_at_ended_at"),
    sa.CheckConstraint("labour_seconds >= 0", name="ck_repair_labour_seconds"),
    sa.CheckConstraint("hired_minor >= 0", name="ck_repair_hired_minor"),
    sa.Index("ix_repair_machine_id_started_at", "machine_id", "started_at"),
    sa.Index("ix_repair_component_id", "component_id"),
    sa.Index("ix_repair_person_id", "person_id"),
    sqlite_strict=True,
)
sa.Table(
    "service_item",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("meter_kind", sa.Text(), nullable=True),
    sa.Column("interval_usage", WHOLE, nullable=True),
    sa.Column("interval_months", WHOLE, nullable=True),
    sa.Column("evidence", sa.Text(), nullable=False),
    sa.Column("hazard", sa.Text(), nullable=True),
    sa.Column("component_id", ID, nullable=True),
    sa.Column("first_usage", WHOLE, nullable=True),
    sa.Column("times", WHOLE, nullable=True),
    sa.Column("halved", FLAG, nullable=False),
    sa.Column("ended_at", INSTANT, nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_service_item"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_service_item_machine_id"),
    sa.ForeignKeyConstraint(["component_id"], ["component.id"], name="fk_service_item_component_id"),
    flag_check("voided IN (0, 1)", name="ck_service_item_voided"),
    sa.CheckConstraint(
        "meter_kind IN ('area', 'separator_hours', 'engine_hours', 'calendar')", name="ck_service_item_meter_kind"
    ),
    sa.CheckConstraint("interval_usage >= 1", name="ck_service_item_interval_usage"),
    sa.CheckConstraint("interval_months >= 1", name="ck_service_item_interval_months"),
    sa.CheckConstraint(
        "evidence IN ('published', 'from_memory', 'computed', 'common_practice', 'machine_book', 'own_records', 'neighbours')",
        name="ck_service_item_evidence",
    ),
    sa.CheckConstraint(
        "hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank', 'battery', 'fire', 'tire', 'lifting', 'spring')",
        name="ck_service_item_hazard",
    ),
    sa.CheckConstraint("first_usage >= 1", name="ck_service_item_first_usage"),
    sa.CheckConstraint("times >= 1", name="ck_service_item_times"),
    flag_check("halved IN (0, 1)", name="ck_service_item_halved"),
    sa.Index("ix_service_item_machine_id", "machine_id"),
    sa.Index("ix_service_item_component_id", "component_id"),
    sqlite_strict=True,
)
sa.Table(
    "service_done",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("service_item_id", ID, nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("labour_seconds", WHOLE, nullable=True),
    sa.Column("cost_minor", WHOLE, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.Column("person_id", ID, nullable=True),
    sa.PrimaryKeyConstraint("id", name="pk_service_done"),
    sa.ForeignKeyConstraint(["service_item_id"], ["service_item.id"], name="fk_service_done_service_item_id"),
    sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_service_done_person_id"),
    flag_check("voided IN (0, 1)", name="ck_service_done_voided"),
    sa.CheckConstraint("labour_seconds >= 0", name="ck_service_done_labour_seconds"),
    sa.CheckConstraint("cost_minor >= 0", name="ck_service_done_cost_minor"),
    sa.Index("ix_service_done_service_item_id_at", "service_item_id", "at"),
    sa.Index("ix_service_done_person_id", "person_id"),
    sqlite_strict=True,
)
sa.Table(
    "supplier",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("distance_metres", WHOLE, nullable=True),
    sa.Column("phone", sa.Text(), nullable=False),
    sa.Column("after_hours_phone", sa.Text(), nullable=False),
    sa.Column("after_hours_fee_minor", WHOLE, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_supplier"),
    flag_check("voided IN (0, 1)", name="ck_supplier_voided"),
    sa.CheckConstraint("distance_metres >= 0", name="ck_supplier_distance_metres"),
    sa.CheckConstraint("after_hours_fee_minor >= 0", name="ck_supplier_after_hours_fee_minor"),
    sqlite_strict=True,
)
sa.Table(
    "supplier_hours",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("supplier_id", ID, nullable=False),
    sa.Column("weekday", WHOLE, nullable=False),
    sa.Column("opens_seconds", WHOLE, nullable=False),
    sa.Column("closes_seconds", WHOLE, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_supplier_hours"),
    sa.ForeignKeyConstraint(["supplier_id"], ["supplier.id"], name="fk_supplier_hours_supplier_id"),
    flag_check("voided IN (0, 1)", name="ck_supplier_hours_voided"),
    sa.CheckConstraint("weekday >= 0", name="ck_supplier_hours_weekday"),
    sa.CheckConstraint("weekday <= 6", name="ck_supplier_hours_weekday_most"),
    sa.CheckConstraint("opens_seconds >= 0", name="ck_supplier_hours_opens_seconds"),
    sa.CheckConstraint(
        "closes_seconds IS NULL OR closes_seconds >= opens_seconds",
        name="ck_supplier_hours_opens_seconds_closes_seconds",
    ),
    sa.CheckConstraint("closes_seconds >= 0", name="ck_supplier_hours_closes_seconds"),
    sa.Index("ix_supplier_hours_supplier_id", "supplier_id"),
    sqlite_strict=True,
)
sa.Table(
    "supply",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("part_id", ID, nullable=False),
    sa.Column("supplier_id", ID, nullable=False),
    sa.Column("price_minor", WHOLE, nullable=True),
    sa.Column("quoted_lead_days", WHOLE, nullable=True),
    sa.Column("their_number", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_supply"),
    sa.ForeignKeyConstraint(["part_id"], ["part.id"], name="fk_supply_part_id"),
    sa.ForeignKeyConstraint(["supplier_id"], ["supplier.id"], name="fk_supply_supplier_id"),
    flag_check("voided IN (0, 1)", name="ck_supply_voided"),
    sa.CheckConstraint("price_minor >= 0", name="ck_supply_price_minor"),
    sa.CheckConstraint("quoted_lead_days >= 0", name="ck_supply_quoted_lead_days"),
    sa.Index("ix_supply_part_id", "part_id"),
    sa.Index("ix_supply_supplier_id", "supplier_id"),
    sqlite_strict=True,
)
sa.Table(
    "part_order",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("part_id", ID, nullable=False),
    sa.Column("supplier_id", ID, nullable=True),
    sa.Column("quantity", WHOLE, nullable=False),
    sa.Column("ordered_at", INSTANT, nullable=False),
    sa.Column("unit_price_minor", WHOLE, nullable=True),
    sa.Column("cancelled_at", INSTANT, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_part_order"),
    sa.ForeignKeyConstraint(["part_id"], ["part.id"], name="fk_part_order_part_id"),
    sa.ForeignKeyConstraint(["supplier_id"], ["supplier.id"], name="fk_part_order_supplier_id"),
    flag_check("voided IN (0, 1)", name="ck_part_order_voided"),
    sa.CheckConstraint("quantity >= 1", name="ck_part_order_quantity"),
    sa.CheckConstraint(
        "cancelled_at IS NULL OR cancelled_at >= ordered_at", name="ck_part_order_ordered_at_cancelled_at"
    ),
    sa.CheckConstraint("unit_price_minor >= 0", name="ck_part_order_unit_price_minor"),
    sa.Index("ix_part_order_part_id_ordered_at", "part_id", "ordered_at"),
    sa.Index("ix_part_order_supplier_id", "supplier_id"),
    sqlite_strict=True,
)
sa.Table(
    "supply_asked",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("supplier_id", ID, nullable=False),
    sa.Column("part_id", ID, nullable=False),
    sa.Column("at", INSTANT, nullable=False),
    sa.Column("had_it", FLAG, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_supply_asked"),
    sa.ForeignKeyConstraint(["supplier_id"], ["supplier.id"], name="fk_supply_asked_supplier_id"),
    sa.ForeignKeyConstraint(["part_id"], ["part.id"], name="fk_supply_asked_part_id"),
    flag_check("voided IN (0, 1)", name="ck_supply_asked_voided"),
    flag_check("had_it IN (0, 1)", name="ck_supply_asked_had_it"),
    sa.Index("ix_supply_asked_supplier_id", "supplier_id"),
    sa.Index("ix_supply_asked_part_id", "part_id"),
    sqlite_strict=True,
)
sa.Table(
    "warranty_claim",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("breakage_id", ID, nullable=False),
    sa.Column("sent_at", INSTANT, nullable=False),
    sa.Column("settled_at", INSTANT, nullable=True),
    sa.Column("paid_minor", WHOLE, nullable=True),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_warranty_claim"),
    sa.ForeignKeyConstraint(["breakage_id"], ["breakage.id"], name="fk_warranty_claim_breakage_id"),
    flag_check("voided IN (0, 1)", name="ck_warranty_claim_voided"),
    sa.CheckConstraint("settled_at IS NULL OR settled_at >= sent_at", name="ck_warranty_claim_sent_at_settled_at"),
    sa.CheckConstraint("paid_minor >= 0", name="ck_warranty_claim_paid_minor"),
    sa.Index("ix_warranty_claim_breakage_id", "breakage_id"),
    sqlite_strict=True,
)
sa.Table(
    "set_up",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("name", sa.Text(), nullable=False),
    sa.Column("labour_seconds", WHOLE, nullable=False),
    sa.Column("one_person", FLAG, nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_set_up"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_set_up_machine_id"),
    flag_check("voided IN (0, 1)", name="ck_set_up_voided"),
    sa.CheckConstraint("labour_seconds >= 0", name="ck_set_up_labour_seconds"),
    flag_check("one_person IN (0, 1)", name="ck_set_up_one_person"),
    sa.Index("ix_set_up_machine_id", "machine_id"),
    sqlite_strict=True,
)
sa.Table(
    "set_up_kind",
    TABLES,
    sa.Column("set_up_id", ID, nullable=False),
    sa.Column("place", WHOLE, nullable=False),
    sa.Column("part_kind_id", ID, nullable=False),
    sa.PrimaryKeyConstraint("set_up_id", "place", name="pk_set_up_kind"),
    sa.ForeignKeyConstraint(["set_up_id"], ["set_up.id"], name="fk_set_up_kind_set_up_id"),
    sa.ForeignKeyConstraint(["part_kind_id"], ["part_kind.id"], name="fk_set_up_kind_part_kind_id"),
    sa.Index("ix_set_up_kind_part_kind_id", "part_kind_id"),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
sa.Table(
    "trade_offer",
    TABLES,
    sa.Column("id", ID, nullable=False),
    sa.Column("voided", FLAG, nullable=False),
    sa.Column("machine_id", ID, nullable=False),
    sa.Column("title", sa.Text(), nullable=False),
    sa.Column("price_minor", WHOLE, nullable=False),
    sa.Column("allowance_minor", WHOLE, nullable=True),
    sa.Column("separator_seconds", WHOLE, nullable=True),
    sa.Column("engine_seconds", WHOLE, nullable=True),
    sa.Column("model_year", WHOLE, nullable=True),
    sa.Column("list_price_minor", WHOLE, nullable=True),
    sa.Column("warranty_seconds", WHOLE, nullable=True),
    sa.Column("warranty_months", WHOLE, nullable=True),
    sa.Column("offered_at", INSTANT, nullable=False),
    sa.Column("note", sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint("id", name="pk_trade_offer"),
    sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name="fk_trade_offer_machine_id"),
    flag_check("voided IN (0, 1)", name="ck_trade_offer_voided"),
    sa.CheckConstraint("price_minor >= 0", name="ck_trade_offer_price_minor"),
    sa.CheckConstraint("allowance_minor >= 0", name="ck_trade_offer_allowance_minor"),
    sa.CheckConstraint("separator_seconds >= 0", name="ck_trade_offer_separator_seconds"),
    sa.CheckConstraint("engine_seconds >= 0", name="ck_trade_offer_engine_seconds"),
    sa.CheckConstraint("model_year >= 1900", name="ck_trade_offer_model_year"),
    sa.CheckConstraint("list_price_minor >= 0", name="ck_trade_offer_list_price_minor"),
    sa.CheckConstraint("warranty_seconds >= 0", name="ck_trade_offer_warranty_seconds"),
    sa.CheckConstraint("warranty_months >= 0", name="ck_trade_offer_warranty_months"),
    sa.Index("ix_trade_offer_machine_id", "machine_id"),
    sqlite_strict=True,
)

#: tables that only get more indexes: (table, columns)
INDEXES = (
    ("circuit_edge", ("to_node_id",)),
    ("calibration", ("crop_id",)),
    ("moisture_sample", ("field_id",)),
    ("planned_area", ("field_id",)),
    ("planned_area", ("crop_id",)),
    ("planned_area", ("combine_id",)),
    ("planned_area", ("header_id",)),
    ("plan_choice", ("component_id",)),
    ("hitch", ("combine_id",)),
    ("run", ("header_id",)),
    ("run", ("field_id",)),
    ("run", ("crop_id",)),
    ("run", ("started_at",)),
    ("part_fit", ("part_id",)),
    ("part_fit", ("machine_id",)),
    ("component", ("part_kind_id",)),
    ("fitting", ("part_id",)),
)


#: how many versions are packed at once
_AT_ONCE = 5_000
#: what a row had several of, as 0001 wrote it in one text: (table, column, where it goes, under which name)
_LISTS = (
    ("breakage", "positions", "breakage_position", "position"),
    ("fault", "conditions", "fault_condition", "condition"),
    ("part_kind", "words", "part_kind_word", "word"),
)


_LISTS_ADDED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"run": ("conditions",), "breakage": ("broke_fitting_ids", "followed_fitting_ids")}
)
_filled = usual_in(TABLES)


def lift(table: str, content: dict[str, Any]) -> dict[str, Any]:
    """Bring what a version of 0001 says here: positions, conditions and words become lists; what is new is what nobody said."""
    new = {**_filled(table, content), **{name: [] for name in _LISTS_ADDED.get(table, ())}}
    if table == "breakage":
        new["positions"] = _positions_as_typed(content.get("positions") or "")
    elif table == "fault":
        new["conditions"] = [word for word in (content.get("conditions") or "").split(",") if word]
    elif table == "part_kind":
        new["words"] = [word.strip() for word in (content.get("words") or "").split(",") if word.strip()]
    return new


def _positions_as_typed(text: str) -> list[int]:
    """Read positions as 0001 stored them: "41-43, 50", ascending."""
    found: list[int] = []
    for piece in text.split(","):
        first, _, last = piece.strip().partition("-")
        if first:
            found += range(int(first), int(last or first) + 1)
    return found


def upgrade() -> None:
    # what only lifts old versions does not need it
    from alembic import op

    connection = op.get_bind()
    rows = [(target, list(_rows_of(connection, *names, target, into))) for *names, target, into in _LISTS]
    for name in ("deed", "version"):
        (_reshape_on_server if connection.dialect.name == "postgresql" else _reshape_in_file)(connection, name)
    # what is pointed at comes first
    for table in TABLES.sorted_tables:
        if table.name not in ("deed", "version") and not table.info.get("as_it_is"):
            reshape(connection, table)
    for name, columns in INDEXES:
        op.create_index(f"ix_{name}_{'_'.join(columns)}", name, list(columns))
    for target, some in rows:
        if some:
            connection.execute(TABLES.tables[target].insert(), some)


def downgrade() -> None:
    raise NotImplementedError(
        "A log is not taken back to an older shape: what the new one holds would be lost. The backup made before the upgrade is there."
    )


def _rows_of(connection: sa.Connection, table: str, column: str, target: str, into: str) -> Iterator[dict[str, Any]]:
    """What was one text, as rows."""
    old = sa.table(table, sa.column("id", ID), sa.column(column, sa.Text()))
    for row_id, said in connection.execute(sa.select(old.c.id, old.c[column]).order_by(old.c.id)):
        values = _positions(said) if into == "position" else [word.strip() for word in said.split(",") if word.strip()]
        for place, value in enumerate(values, 1):
            place_too = {} if into == "position" else {"place": place}
            yield {f"{table}_id": row_id, into: value, **place_too}


def _positions(said: str) -> list[int]:
    found: list[int] = []
    for piece in said.split(","):
        first, _, last = piece.strip().partition("-")
        if first:
            found += range(int(first), int(last or first) + 1)
    return found


# ------------------------------------------------------------------------------------------- the journal


def _reshape_in_file(connection: sa.Connection, name: str) -> None:
    """Make the table of deeds or of versions anew; what is packed and under digests is not copied but written."""
    reshape(connection, TABLES.tables[name], _fill_deeds if name == "deed" else _fill_versions)


def _fill_deeds(connection: sa.Connection, old: str, table: sa.Table) -> None:
    rows = [
        {**row, "person": "", "digest": b""}
        for row in connection.execute(sa.select(sa.text("*")).select_from(sa.table(old))).mappings()
    ]
    if rows:
        connection.execute(table.insert(), rows)


def _fill_versions(connection: sa.Connection, old: str, table: sa.Table) -> None:
    # what it follows lies beside it, so the place for that must be there first
    reshape(connection, TABLES.tables["version_parent"])
    for rows in _old_versions(connection, old, "content", "digest"):
        connection.execute(table.insert(), [_new_version(row) for row in rows])
        _write_parents(connection, rows)
    _seal_deeds(connection, table)


def _reshape_on_server(connection: sa.Connection, name: str) -> None:
    """The same by adding columns: a server keeps the table."""
    if name == "deed":
        connection.execute(sa.text("ALTER TABLE deed ADD COLUMN person TEXT, ADD COLUMN digest BYTEA"))
        connection.execute(sa.text("UPDATE deed SET person = '', digest = ''"))
    else:
        _server_versions(connection)
    reshape(connection, TABLES.tables[name])
    for column in ("person", "digest") if name == "deed" else ("revision", "content", "digest"):
        connection.execute(sa.text(f"ALTER TABLE {name} ALTER COLUMN {column} SET NOT NULL"))


def _server_versions(connection: sa.Connection) -> None:
    for column in ("content", "digest"):
        connection.execute(sa.text(f"ALTER TABLE version RENAME COLUMN {column} TO old_{column}"))
    added = "ADD COLUMN revision TEXT, ADD COLUMN content BYTEA, ADD COLUMN digest BYTEA"
    connection.execute(sa.text(f"ALTER TABLE version {added}"))
    reshape(connection, TABLES.tables["version_parent"])
    table = TABLES.tables["version"]
    update = sa.update(table).where(table.c.id == sa.bindparam("of"))
    filled = update.values({name: sa.bindparam(f"to_{name}") for name in ("revision", "content", "digest")})
    for rows in _old_versions(connection, "version", "old_content", "old_digest"):
        new = [_new_version(row) for row in rows]
        values = [
            {"of": one["id"], **{f"to_{name}": one[name] for name in ("revision", "content", "digest")}} for one in new
        ]
        connection.execute(filled, values)
        _write_parents(connection, rows)
    _seal_deeds(connection, table)


def _old_versions(connection: sa.Connection, old: str, content: str, digest: str) -> Iterator[list[dict[str, Any]]]:
    """The versions as they were, some at a time."""
    names = {"content": sa.column(content), "digest": sa.column(digest)}
    ids = [sa.column(name, ID) for name in ("id", "deed_id", "row_id")]
    own = [*ids, *(sa.column(name, sa.Text()) for name in ("table_name", "parents", "doing"))]
    columns = [*own, *(column.label(name) for name, column in names.items())]
    last: Any = None
    while True:
        query = sa.select(*columns).select_from(sa.table(old)).order_by(ids[0]).limit(_AT_ONCE)
        found = connection.execute(query if last is None else query.where(ids[0] > last)).mappings().all()
        if not found:
            return
        last = found[-1]["id"]
        yield [dict(row) for row in found]


def _new_version(row: dict[str, Any]) -> dict[str, Any]:
    kept = {name: row[name] for name in ("id", "deed_id", "row_id", "table_name", "doing")}
    content = packed(row["table_name"], row["content"])
    return {**kept, "revision": "0001", "content": content, "digest": bytes.fromhex(row["digest"])}


def _write_parents(connection: sa.Connection, rows: list[dict[str, Any]]) -> None:
    server = connection.dialect.name == "postgresql"
    followed = [
        {"version_id": row["id"], "parent_id": UUID(word) if server else UUID(word).bytes}
        for row in rows
        for word in row["parents"].split(",")
        if word
    ]
    if followed:
        connection.execute(TABLES.tables["version_parent"].insert(), followed)


def _seal_deeds(connection: sa.Connection, versions: sa.Table) -> None:
    """Put every deed under a digest of what was said, when and where, and of its versions."""
    deed = TABLES.tables["deed"]
    digests: dict[Any, list[str]] = {}
    for deed_id, digest in connection.execute(sa.select(versions.c.deed_id, versions.c.digest)):
        digests.setdefault(deed_id, []).append(bytes(digest).hex())
    told = sa.select(deed.c.id, deed.c.recorded_at, deed.c.device, deed.c.said, deed.c.undoes_deed_id)
    sealed = [{"of": row.id, "to": _digest_of_deed(row, digests.get(row.id, []))} for row in connection.execute(told)]
    if sealed:
        update = sa.update(deed).where(deed.c.id == sa.bindparam("of")).values(digest=sa.bindparam("to"))
        connection.execute(update, sealed)


def _digest_of_deed(row: Any, versions: list[str]) -> bytes:
    told = {
        "id": _uuid(row.id),
        "recorded_at": _moment(row.recorded_at),
        "device": row.device,
        "person": "",
        "said": row.said,
        "undoes_deed_id": None if row.undoes_deed_id is None else _uuid(row.undoes_deed_id),
        "versions": sorted(versions),
    }
    text = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).digest()


def _uuid(row_id: Any) -> str:
    return str(row_id if isinstance(row_id, UUID) else UUID(bytes=row_id))


def _moment(at: Any) -> str:
    found = at if isinstance(at, datetime) else datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=at)
    return found.astimezone(UTC).isoformat(timespec="microseconds")
