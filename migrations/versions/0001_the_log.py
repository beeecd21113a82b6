"""Every table of the log.

Revision: 0001, after nothing.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

# written out here and not taken from the program: a migration must mean tomorrow what it meant when it was released
ID = sa.LargeBinary(16).with_variant(sa.Uuid(), "postgresql")
INSTANT = sa.Integer().with_variant(sa.TIMESTAMP(timezone=True), "postgresql")
DAY = sa.Text().with_variant(sa.Date(), "postgresql")
FLAG = sa.Integer().with_variant(sa.Boolean(), "postgresql")
WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def flag_check(text: str, name: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(text, name=name).ddl_if(dialect="sqlite")


def upgrade() -> None:
    op.create_table(
        "crop",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("bushel_grams", WHOLE, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_crop")),
        flag_check("voided IN (0, 1)", name=op.f("ck_crop_voided")),
        sa.CheckConstraint("bushel_grams >= 1", name=op.f("ck_crop_bushel_grams")),
        sqlite_strict=True,
    )
    op.create_table(
        "deed",
        sa.Column("id", ID, nullable=False),
        sa.Column("recorded_at", INSTANT, nullable=False),
        sa.Column("device", sa.Text(), nullable=False),
        sa.Column("said", sa.Text(), nullable=False),
        sa.Column("undoes_deed_id", ID, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_deed")),
        sa.ForeignKeyConstraint(["undoes_deed_id"], ["deed.id"], name=op.f("fk_deed_undoes_deed_id")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_deed_recorded_at"), "deed", ["recorded_at"])
    op.create_index(op.f("ix_deed_undoes_deed_id"), "deed", ["undoes_deed_id"])
    op.create_table(
        "field",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("area_square_metres", WHOLE, nullable=False),
        sa.Column("ground", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_field")),
        flag_check("voided IN (0, 1)", name=op.f("ck_field_voided")),
        sa.CheckConstraint("area_square_metres >= 1", name=op.f("ck_field_area_square_metres")),
        sa.CheckConstraint("ground IN ('clean', 'few_stones', 'stony', 'very_stony')", name=op.f("ck_field_ground")),
        sqlite_strict=True,
    )
    op.create_table(
        "import_batch",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("rows_added", WHOLE, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_import_batch")),
        flag_check("voided IN (0, 1)", name=op.f("ck_import_batch_voided")),
        sa.CheckConstraint("rows_added >= 0", name=op.f("ck_import_batch_rows_added")),
        sqlite_strict=True,
    )
    op.create_table(
        "machine",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("cut_width_micrometres", WHOLE, nullable=True),
        sa.Column("model_year", WHOLE, nullable=True),
        sa.Column("list_price_minor", WHOLE, nullable=True),
        sa.Column("bought_on", DAY, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_machine")),
        flag_check("voided IN (0, 1)", name=op.f("ck_machine_voided")),
        sa.CheckConstraint("kind IN ('combine', 'header', 'tractor', 'truck', 'cart')", name=op.f("ck_machine_kind")),
        sa.CheckConstraint("cut_width_micrometres >= 1", name=op.f("ck_machine_cut_width_micrometres")),
        sa.CheckConstraint("model_year >= 1900", name=op.f("ck_machine_model_year")),
        sa.CheckConstraint("list_price_minor >= 0", name=op.f("ck_machine_list_price_minor")),
        sqlite_strict=True,
    )
    op.create_table(
        "part",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("price_minor", WHOLE, nullable=True),
        sa.Column("pack_size", WHOLE, nullable=False),
        sa.Column("lead_time_days", WHOLE, nullable=True),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("keep_on_hand", WHOLE, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
        flag_check("voided IN (0, 1)", name=op.f("ck_part_voided")),
        sa.CheckConstraint("price_minor >= 0", name=op.f("ck_part_price_minor")),
        sa.CheckConstraint("pack_size >= 1", name=op.f("ck_part_pack_size")),
        sa.CheckConstraint("lead_time_days >= 0", name=op.f("ck_part_lead_time_days")),
        sa.CheckConstraint("keep_on_hand >= 0", name=op.f("ck_part_keep_on_hand")),
        sqlite_strict=True,
    )
    op.create_table(
        "part_kind",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
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
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part_kind")),
        flag_check("voided IN (0, 1)", name=op.f("ck_part_kind_voided")),
        sa.CheckConstraint(
            "subsystem IN ('header', 'feeder', 'threshing', 'separator', 'cleaning', 'grain_handling', 'unloading', 'residue', 'engine', 'fuel', 'driveline', 'ground_drive', 'running_gear', 'hydraulics', 'electrical', 'monitoring', 'cab', 'safety')",
            name=op.f("ck_part_kind_subsystem"),
        ),
        sa.CheckConstraint(
            "meter_kind IN ('area', 'separator_hours', 'engine_hours')", name=op.f("ck_part_kind_meter_kind")
        ),
        sa.CheckConstraint("life_low_usage >= 1", name=op.f("ck_part_kind_life_low_usage")),
        sa.CheckConstraint("life_high_usage >= 1", name=op.f("ck_part_kind_life_high_usage")),
        sa.CheckConstraint("shape_low_thousandths >= 1", name=op.f("ck_part_kind_shape_low_thousandths")),
        sa.CheckConstraint("shape_high_thousandths >= 1", name=op.f("ck_part_kind_shape_high_thousandths")),
        sa.CheckConstraint("impacts_clean >= 0", name=op.f("ck_part_kind_impacts_clean")),
        sa.CheckConstraint("impacts_few_stones >= 0", name=op.f("ck_part_kind_impacts_few_stones")),
        sa.CheckConstraint("impacts_stony >= 0", name=op.f("ck_part_kind_impacts_stony")),
        sa.CheckConstraint("impacts_very_stony >= 0", name=op.f("ck_part_kind_impacts_very_stony")),
        sa.CheckConstraint(
            "guess_evidence IN ('published', 'from_memory', 'computed', 'common_practice', 'machine_book', 'own_records')",
            name=op.f("ck_part_kind_guess_evidence"),
        ),
        sa.CheckConstraint(
            "dimension IN ('none', 'length_over_pitches', 'thickness', 'gap', 'depth')",
            name=op.f("ck_part_kind_dimension"),
        ),
        sa.CheckConstraint("new_micrometres >= 0", name=op.f("ck_part_kind_new_micrometres")),
        sa.CheckConstraint("limit_micrometres >= 0", name=op.f("ck_part_kind_limit_micrometres")),
        sa.CheckConstraint("pitch_micrometres >= 1", name=op.f("ck_part_kind_pitch_micrometres")),
        sa.CheckConstraint("pitches >= 1", name=op.f("ck_part_kind_pitches")),
        sa.CheckConstraint("usual_labour_seconds >= 0", name=op.f("ck_part_kind_usual_labour_seconds")),
        sa.CheckConstraint(
            "hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank')",
            name=op.f("ck_part_kind_hazard"),
        ),
        sa.CheckConstraint(
            "life_high_usage IS NULL OR life_high_usage >= life_low_usage",
            name=op.f("ck_part_kind_life_low_usage_life_high_usage"),
        ),
        sa.CheckConstraint(
            "shape_high_thousandths IS NULL OR shape_high_thousandths >= shape_low_thousandths",
            name=op.f("ck_part_kind_shape_low_thousandths_shape_high_thousandths"),
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "season",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("harvest_year", WHOLE, nullable=False),
        sa.Column("starts_on", DAY, nullable=False),
        sa.Column("ends_on", DAY, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_season")),
        flag_check("voided IN (0, 1)", name=op.f("ck_season_voided")),
        sa.CheckConstraint("harvest_year >= 1900", name=op.f("ck_season_harvest_year")),
        sa.CheckConstraint("ends_on IS NULL OR ends_on >= starts_on", name=op.f("ck_season_starts_on_ends_on")),
        sqlite_strict=True,
    )
    op.create_table(
        "setting",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_setting")),
        flag_check("voided IN (0, 1)", name=op.f("ck_setting_voided")),
        sqlite_strict=True,
    )
    op.create_table(
        "calibration",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("machine_id", ID, nullable=False),
        sa.Column("sensor", sa.Text(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("reference_amount", WHOLE, nullable=False),
        sa.Column("indicated_amount", WHOLE, nullable=False),
        sa.Column("crop_id", ID, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_calibration")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_calibration_machine_id")),
        sa.ForeignKeyConstraint(["crop_id"], ["crop.id"], name=op.f("fk_calibration_crop_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_calibration_voided")),
        sa.CheckConstraint(
            "sensor IN ('yield_load', 'moisture', 'ground_speed', 'area_count', 'header_height')",
            name=op.f("ck_calibration_sensor"),
        ),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_calibration_machine_id_at"), "calibration", ["machine_id", "at"])
    op.create_table(
        "circuit_node",
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
        sa.PrimaryKeyConstraint("id", name=op.f("pk_circuit_node")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_circuit_node_machine_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_circuit_node_voided")),
        sa.CheckConstraint(
            "kind IN ('battery', 'fuse', 'relay', 'switch', 'connector', 'wire_run', 'splice', 'device', 'sensor', 'controller', 'terminator', 'ground')",
            name=op.f("ck_circuit_node_kind"),
        ),
        sa.CheckConstraint("rating_milliamperes >= 1", name=op.f("ck_circuit_node_rating_milliamperes")),
        flag_check("passes_edge IN (0, 1)", name=op.f("ck_circuit_node_passes_edge")),
        flag_check("moves_with_header IN (0, 1)", name=op.f("ck_circuit_node_moves_with_header")),
        flag_check("near_heat IN (0, 1)", name=op.f("ck_circuit_node_near_heat")),
        flag_check("outside IN (0, 1)", name=op.f("ck_circuit_node_outside")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_circuit_node_machine_id"), "circuit_node", ["machine_id"])
    op.create_table(
        "component",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("machine_id", ID, nullable=False),
        sa.Column("part_kind_id", ID, nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("positions", WHOLE, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_component")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_component_machine_id")),
        sa.ForeignKeyConstraint(["part_kind_id"], ["part_kind.id"], name=op.f("fk_component_part_kind_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_component_voided")),
        sa.CheckConstraint("positions >= 1", name=op.f("ck_component_positions")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_component_machine_id"), "component", ["machine_id"])
    op.create_table(
        "fault",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("machine_id", ID, nullable=False),
        sa.Column("circuit", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("opened_at", INSTANT, nullable=False),
        sa.Column("closed_at", INSTANT, nullable=True),
        sa.Column("conditions", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fault")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_fault_machine_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_fault_voided")),
        sa.CheckConstraint("closed_at IS NULL OR closed_at >= opened_at", name=op.f("ck_fault_opened_at_closed_at")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_fault_machine_id_opened_at"), "fault", ["machine_id", "opened_at"])
    op.create_table(
        "hitch",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("header_id", ID, nullable=False),
        sa.Column("combine_id", ID, nullable=False),
        sa.Column("from_at", INSTANT, nullable=False),
        sa.Column("to_at", INSTANT, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hitch")),
        sa.ForeignKeyConstraint(["header_id"], ["machine.id"], name=op.f("fk_hitch_header_id")),
        sa.ForeignKeyConstraint(["combine_id"], ["machine.id"], name=op.f("fk_hitch_combine_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_hitch_voided")),
        sa.CheckConstraint("to_at IS NULL OR to_at >= from_at", name=op.f("ck_hitch_from_at_to_at")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_hitch_header_id_from_at"), "hitch", ["header_id", "from_at"])
    op.create_table(
        "loss_check",
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
        sa.PrimaryKeyConstraint("id", name=op.f("pk_loss_check")),
        sa.ForeignKeyConstraint(["combine_id"], ["machine.id"], name=op.f("fk_loss_check_combine_id")),
        sa.ForeignKeyConstraint(["field_id"], ["field.id"], name=op.f("fk_loss_check_field_id")),
        sa.ForeignKeyConstraint(["crop_id"], ["crop.id"], name=op.f("fk_loss_check_crop_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_loss_check_voided")),
        sa.CheckConstraint("behind_per_hectare >= 0", name=op.f("ck_loss_check_behind_per_hectare")),
        sa.CheckConstraint("ahead_per_hectare >= 0", name=op.f("ck_loss_check_ahead_per_hectare")),
        sa.CheckConstraint("cut_width_micrometres >= 1", name=op.f("ck_loss_check_cut_width_micrometres")),
        sa.CheckConstraint("discharge_width_micrometres >= 1", name=op.f("ck_loss_check_discharge_width_micrometres")),
        sa.CheckConstraint("yield_grams_per_hectare >= 0", name=op.f("ck_loss_check_yield_grams_per_hectare")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_loss_check_combine_id_at"), "loss_check", ["combine_id", "at"])
    op.create_table(
        "meter",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("machine_id", ID, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_meter")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_meter_machine_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_meter_voided")),
        sa.CheckConstraint("kind IN ('area', 'separator_hours', 'engine_hours')", name=op.f("ck_meter_kind")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_meter_machine_id"), "meter", ["machine_id"])
    op.create_table(
        "moisture_sample",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("field_id", ID, nullable=True),
        sa.Column("crop_id", ID, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("tester_hundredths", WHOLE, nullable=False),
        sa.Column("elevator_hundredths", WHOLE, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_moisture_sample")),
        sa.ForeignKeyConstraint(["field_id"], ["field.id"], name=op.f("fk_moisture_sample_field_id")),
        sa.ForeignKeyConstraint(["crop_id"], ["crop.id"], name=op.f("fk_moisture_sample_crop_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_moisture_sample_voided")),
        sa.CheckConstraint("tester_hundredths >= 0", name=op.f("ck_moisture_sample_tester_hundredths")),
        sa.CheckConstraint("elevator_hundredths >= 0", name=op.f("ck_moisture_sample_elevator_hundredths")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_moisture_sample_crop_id_at"), "moisture_sample", ["crop_id", "at"])
    op.create_table(
        "part_fit",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("part_id", ID, nullable=False),
        sa.Column("part_kind_id", ID, nullable=False),
        sa.Column("machine_id", ID, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part_fit")),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name=op.f("fk_part_fit_part_id")),
        sa.ForeignKeyConstraint(["part_kind_id"], ["part_kind.id"], name=op.f("fk_part_fit_part_kind_id")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_part_fit_machine_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_part_fit_voided")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_part_fit_part_kind_id"), "part_fit", ["part_kind_id"])
    op.create_table(
        "run",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("combine_id", ID, nullable=False),
        sa.Column("header_id", ID, nullable=True),
        sa.Column("field_id", ID, nullable=True),
        sa.Column("crop_id", ID, nullable=True),
        sa.Column("started_at", INSTANT, nullable=False),
        sa.Column("ended_at", INSTANT, nullable=False),
        sa.Column("area_square_metres", WHOLE, nullable=False),
        sa.Column("separator_seconds", WHOLE, nullable=True),
        sa.Column("cut_height", sa.Text(), nullable=True),
        sa.Column("crop_state", sa.Text(), nullable=True),
        sa.Column("yield_grams_per_hectare", WHOLE, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run")),
        sa.ForeignKeyConstraint(["combine_id"], ["machine.id"], name=op.f("fk_run_combine_id")),
        sa.ForeignKeyConstraint(["header_id"], ["machine.id"], name=op.f("fk_run_header_id")),
        sa.ForeignKeyConstraint(["field_id"], ["field.id"], name=op.f("fk_run_field_id")),
        sa.ForeignKeyConstraint(["crop_id"], ["crop.id"], name=op.f("fk_run_crop_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_run_voided")),
        sa.CheckConstraint("area_square_metres >= 0", name=op.f("ck_run_area_square_metres")),
        sa.CheckConstraint("separator_seconds >= 0", name=op.f("ck_run_separator_seconds")),
        sa.CheckConstraint("cut_height IN ('high', 'medium', 'low', 'on_the_ground')", name=op.f("ck_run_cut_height")),
        sa.CheckConstraint(
            "crop_state IN ('standing', 'leaning', 'lodged', 'swathed')", name=op.f("ck_run_crop_state")
        ),
        sa.CheckConstraint("yield_grams_per_hectare >= 0", name=op.f("ck_run_yield_grams_per_hectare")),
        sa.CheckConstraint("ended_at IS NULL OR ended_at >= started_at", name=op.f("ck_run_started_at_ended_at")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_run_combine_id_started_at"), "run", ["combine_id", "started_at"])
    op.create_table(
        "season_plan",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("season_id", ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("budget_minor", WHOLE, nullable=True),
        sa.Column("shop_seconds", WHOLE, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_season_plan")),
        sa.ForeignKeyConstraint(["season_id"], ["season.id"], name=op.f("fk_season_plan_season_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_season_plan_voided")),
        sa.CheckConstraint("budget_minor >= 0", name=op.f("ck_season_plan_budget_minor")),
        sa.CheckConstraint("shop_seconds >= 0", name=op.f("ck_season_plan_shop_seconds")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_season_plan_season_id"), "season_plan", ["season_id"])
    op.create_table(
        "service_item",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("machine_id", ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("meter_kind", sa.Text(), nullable=True),
        sa.Column("interval_usage", WHOLE, nullable=True),
        sa.Column("interval_months", WHOLE, nullable=True),
        sa.Column("evidence", sa.Text(), nullable=False),
        sa.Column("hazard", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_service_item")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_service_item_machine_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_service_item_voided")),
        sa.CheckConstraint(
            "meter_kind IN ('area', 'separator_hours', 'engine_hours')", name=op.f("ck_service_item_meter_kind")
        ),
        sa.CheckConstraint("interval_usage >= 1", name=op.f("ck_service_item_interval_usage")),
        sa.CheckConstraint("interval_months >= 1", name=op.f("ck_service_item_interval_months")),
        sa.CheckConstraint(
            "evidence IN ('published', 'from_memory', 'computed', 'common_practice', 'machine_book', 'own_records')",
            name=op.f("ck_service_item_evidence"),
        ),
        sa.CheckConstraint(
            "hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank')",
            name=op.f("ck_service_item_hazard"),
        ),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_service_item_machine_id"), "service_item", ["machine_id"])
    op.create_table(
        "version",
        sa.Column("id", ID, nullable=False),
        sa.Column("deed_id", ID, nullable=False),
        sa.Column("row_id", ID, nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("parents", sa.Text(), nullable=False),
        sa.Column("doing", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_version")),
        sa.ForeignKeyConstraint(["deed_id"], ["deed.id"], name=op.f("fk_version_deed_id")),
        sa.CheckConstraint("doing IN ('entered', 'edited', 'voided', 'undone')", name=op.f("ck_version_doing")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_version_deed_id"), "version", ["deed_id"])
    op.create_index(op.f("ix_version_row_id"), "version", ["row_id"])
    op.create_table(
        "circuit_edge",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("from_node_id", ID, nullable=False),
        sa.Column("to_node_id", ID, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_circuit_edge")),
        sa.ForeignKeyConstraint(["from_node_id"], ["circuit_node.id"], name=op.f("fk_circuit_edge_from_node_id")),
        sa.ForeignKeyConstraint(["to_node_id"], ["circuit_node.id"], name=op.f("fk_circuit_edge_to_node_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_circuit_edge_voided")),
        sa.CheckConstraint("kind IN ('feed', 'return', 'bus')", name=op.f("ck_circuit_edge_kind")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_circuit_edge_from_node_id"), "circuit_edge", ["from_node_id"])
    op.create_table(
        "fault_check",
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
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fault_check")),
        sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name=op.f("fk_fault_check_fault_id")),
        sa.ForeignKeyConstraint(["node_id"], ["circuit_node.id"], name=op.f("fk_fault_check_node_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_fault_check_voided")),
        sa.CheckConstraint("step >= 1", name=op.f("ck_fault_check_step")),
        sa.CheckConstraint(
            "kind IN ('look', 'voltage', 'voltage_drop', 'continuity', 'resistance', 'unplug', 'wiggle', 'swap')",
            name=op.f("ck_fault_check_kind"),
        ),
        sa.CheckConstraint("verdict IN ('good', 'bad', 'unclear', 'not_done')", name=op.f("ck_fault_check_verdict")),
        sa.CheckConstraint("duration_seconds >= 0", name=op.f("ck_fault_check_duration_seconds")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_fault_check_fault_id_step"), "fault_check", ["fault_id", "step"])
    op.create_table(
        "fault_finding",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("fault_id", ID, nullable=False),
        sa.Column("node_id", ID, nullable=True),
        sa.Column("mode", sa.Text(), nullable=False),
        sa.Column("fix", sa.Text(), nullable=False),
        sa.Column("evidence", sa.Text(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fault_finding")),
        sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name=op.f("fk_fault_finding_fault_id")),
        sa.ForeignKeyConstraint(["node_id"], ["circuit_node.id"], name=op.f("fk_fault_finding_node_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_fault_finding_voided")),
        sa.CheckConstraint(
            "mode IN ('open', 'short_to_ground', 'high_resistance', 'failed_device', 'overload', 'not_found')",
            name=op.f("ck_fault_finding_mode"),
        ),
        sa.CheckConstraint(
            "evidence IN ('seen', 'inferred', 'cleared_by_itself')", name=op.f("ck_fault_finding_evidence")
        ),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_fault_finding_fault_id"), "fault_finding", ["fault_id"])
    op.create_table(
        "fault_sign",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("fault_id", ID, nullable=False),
        sa.Column("node_id", ID, nullable=True),
        sa.Column("sign", sa.Text(), nullable=False),
        sa.Column("spn", WHOLE, nullable=True),
        sa.Column("fmi", WHOLE, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fault_sign")),
        sa.ForeignKeyConstraint(["fault_id"], ["fault.id"], name=op.f("fk_fault_sign_fault_id")),
        sa.ForeignKeyConstraint(["node_id"], ["circuit_node.id"], name=op.f("fk_fault_sign_node_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_fault_sign_voided")),
        sa.CheckConstraint(
            "sign IN ('dead', 'erratic', 'working', 'fuse_blew_at_once', 'fuse_blew_later', 'fuse_blew_on_movement', 'fuse_whole', 'code')",
            name=op.f("ck_fault_sign_sign"),
        ),
        sa.CheckConstraint("spn >= 0", name=op.f("ck_fault_sign_spn")),
        sa.CheckConstraint("fmi >= 0", name=op.f("ck_fault_sign_fmi")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_fault_sign_fault_id"), "fault_sign", ["fault_id"])
    op.create_table(
        "fitting",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("component_id", ID, nullable=False),
        sa.Column("position", WHOLE, nullable=False),
        sa.Column("fitted_at", INSTANT, nullable=False),
        sa.Column("age_when_fitted_usage", WHOLE, nullable=True),
        sa.Column("removed_at", INSTANT, nullable=True),
        sa.Column("removal", sa.Text(), nullable=True),
        sa.Column("part_id", ID, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fitting")),
        sa.ForeignKeyConstraint(["component_id"], ["component.id"], name=op.f("fk_fitting_component_id")),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name=op.f("fk_fitting_part_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_fitting_voided")),
        sa.CheckConstraint("position >= 1", name=op.f("ck_fitting_position")),
        sa.CheckConstraint("age_when_fitted_usage >= 0", name=op.f("ck_fitting_age_when_fitted_usage")),
        sa.CheckConstraint("removal IN ('broke', 'planned', 'moved', 'scrapped')", name=op.f("ck_fitting_removal")),
        sa.CheckConstraint(
            "removed_at IS NULL OR removed_at >= fitted_at", name=op.f("ck_fitting_fitted_at_removed_at")
        ),
        sqlite_strict=True,
    )
    op.create_index(
        op.f("ix_fitting_component_id_position_fitted_at"), "fitting", ["component_id", "position", "fitted_at"]
    )
    op.create_table(
        "measurement",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("component_id", ID, nullable=False),
        sa.Column("position", WHOLE, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("measured_micrometres", WHOLE, nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
        sa.ForeignKeyConstraint(["component_id"], ["component.id"], name=op.f("fk_measurement_component_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_measurement_voided")),
        sa.CheckConstraint("position >= 1", name=op.f("ck_measurement_position")),
        sa.CheckConstraint("measured_micrometres >= 0", name=op.f("ck_measurement_measured_micrometres")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_measurement_component_id_at"), "measurement", ["component_id", "at"])
    op.create_table(
        "plan_choice",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("season_plan_id", ID, nullable=False),
        sa.Column("component_id", ID, nullable=False),
        sa.Column("positions", sa.Text(), nullable=False),
        sa.Column("choice", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan_choice")),
        sa.ForeignKeyConstraint(["season_plan_id"], ["season_plan.id"], name=op.f("fk_plan_choice_season_plan_id")),
        sa.ForeignKeyConstraint(["component_id"], ["component.id"], name=op.f("fk_plan_choice_component_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_plan_choice_voided")),
        sa.CheckConstraint("choice IN ('replace', 'run')", name=op.f("ck_plan_choice_choice")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_plan_choice_season_plan_id"), "plan_choice", ["season_plan_id"])
    op.create_table(
        "planned_area",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("season_plan_id", ID, nullable=False),
        sa.Column("area_square_metres", WHOLE, nullable=False),
        sa.Column("field_id", ID, nullable=True),
        sa.Column("ground", sa.Text(), nullable=True),
        sa.Column("crop_id", ID, nullable=True),
        sa.Column("combine_id", ID, nullable=True),
        sa.Column("header_id", ID, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_planned_area")),
        sa.ForeignKeyConstraint(["season_plan_id"], ["season_plan.id"], name=op.f("fk_planned_area_season_plan_id")),
        sa.ForeignKeyConstraint(["field_id"], ["field.id"], name=op.f("fk_planned_area_field_id")),
        sa.ForeignKeyConstraint(["crop_id"], ["crop.id"], name=op.f("fk_planned_area_crop_id")),
        sa.ForeignKeyConstraint(["combine_id"], ["machine.id"], name=op.f("fk_planned_area_combine_id")),
        sa.ForeignKeyConstraint(["header_id"], ["machine.id"], name=op.f("fk_planned_area_header_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_planned_area_voided")),
        sa.CheckConstraint("area_square_metres >= 1", name=op.f("ck_planned_area_area_square_metres")),
        sa.CheckConstraint(
            "ground IN ('clean', 'few_stones', 'stony', 'very_stony')", name=op.f("ck_planned_area_ground")
        ),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_planned_area_season_plan_id"), "planned_area", ["season_plan_id"])
    op.create_table(
        "reading",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("meter_id", ID, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("shown_usage", WHOLE, nullable=False),
        sa.Column("new_leg", FLAG, nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading")),
        sa.ForeignKeyConstraint(["meter_id"], ["meter.id"], name=op.f("fk_reading_meter_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_reading_voided")),
        sa.CheckConstraint("shown_usage >= 0", name=op.f("ck_reading_shown_usage")),
        flag_check("new_leg IN (0, 1)", name=op.f("ck_reading_new_leg")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_reading_meter_id_at"), "reading", ["meter_id", "at"])
    op.create_table(
        "repair",
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
        sa.PrimaryKeyConstraint("id", name=op.f("pk_repair")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_repair_machine_id")),
        sa.ForeignKeyConstraint(["component_id"], ["component.id"], name=op.f("fk_repair_component_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_repair_voided")),
        sa.CheckConstraint("kind IN ('breakdown', 'planned', 'overhaul')", name=op.f("ck_repair_kind")),
        sa.CheckConstraint("labour_seconds >= 0", name=op.f("ck_repair_labour_seconds")),
        sa.CheckConstraint("hired_minor >= 0", name=op.f("ck_repair_hired_minor")),
        sa.CheckConstraint("ended_at IS NULL OR ended_at >= started_at", name=op.f("ck_repair_started_at_ended_at")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_repair_machine_id_started_at"), "repair", ["machine_id", "started_at"])
    op.create_table(
        "service_done",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("service_item_id", ID, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("labour_seconds", WHOLE, nullable=True),
        sa.Column("cost_minor", WHOLE, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_service_done")),
        sa.ForeignKeyConstraint(["service_item_id"], ["service_item.id"], name=op.f("fk_service_done_service_item_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_service_done_voided")),
        sa.CheckConstraint("labour_seconds >= 0", name=op.f("ck_service_done_labour_seconds")),
        sa.CheckConstraint("cost_minor >= 0", name=op.f("ck_service_done_cost_minor")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_service_done_service_item_id_at"), "service_done", ["service_item_id", "at"])
    op.create_table(
        "breakage",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("component_id", ID, nullable=False),
        sa.Column("positions", sa.Text(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("cause", sa.Text(), nullable=False),
        sa.Column("mode", sa.Text(), nullable=False),
        sa.Column("action", sa.Text(), nullable=False),
        sa.Column("repair_id", ID, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_breakage")),
        sa.ForeignKeyConstraint(["component_id"], ["component.id"], name=op.f("fk_breakage_component_id")),
        sa.ForeignKeyConstraint(["repair_id"], ["repair.id"], name=op.f("fk_breakage_repair_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_breakage_voided")),
        sa.CheckConstraint(
            "cause IN ('impact', 'wear', 'fatigue', 'loose', 'secondary', 'unknown')", name=op.f("ck_breakage_cause")
        ),
        sa.CheckConstraint(
            "mode IN ('broken', 'bent', 'cracked', 'missing', 'worn', 'stretched', 'torn', 'loose', 'seized', 'leaking', 'failed')",
            name=op.f("ck_breakage_mode"),
        ),
        sa.CheckConstraint("action IN ('replaced', 'mended', 'left')", name=op.f("ck_breakage_action")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_breakage_component_id_at"), "breakage", ["component_id", "at"])
    op.create_table(
        "stoppage",
        sa.Column("id", ID, nullable=False),
        sa.Column("voided", FLAG, nullable=False),
        sa.Column("machine_id", ID, nullable=False),
        sa.Column("started_at", INSTANT, nullable=False),
        sa.Column("ended_at", INSTANT, nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("repair_id", ID, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stoppage")),
        sa.ForeignKeyConstraint(["machine_id"], ["machine.id"], name=op.f("fk_stoppage_machine_id")),
        sa.ForeignKeyConstraint(["repair_id"], ["repair.id"], name=op.f("fk_stoppage_repair_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_stoppage_voided")),
        sa.CheckConstraint(
            "reason IN ('breakdown', 'weather', 'waiting', 'moisture', 'service', 'other')",
            name=op.f("ck_stoppage_reason"),
        ),
        sa.CheckConstraint("ended_at IS NULL OR ended_at >= started_at", name=op.f("ck_stoppage_started_at_ended_at")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_stoppage_machine_id_started_at"), "stoppage", ["machine_id", "started_at"])
    op.create_index(op.f("ix_stoppage_repair_id"), "stoppage", ["repair_id"])
    op.create_table(
        "stock_move",
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
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_move")),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name=op.f("fk_stock_move_part_id")),
        sa.ForeignKeyConstraint(["repair_id"], ["repair.id"], name=op.f("fk_stock_move_repair_id")),
        sa.ForeignKeyConstraint(["breakage_id"], ["breakage.id"], name=op.f("fk_stock_move_breakage_id")),
        flag_check("voided IN (0, 1)", name=op.f("ck_stock_move_voided")),
        sa.CheckConstraint("change IN ('received', 'used', 'returned', 'counted')", name=op.f("ck_stock_move_change")),
        sa.CheckConstraint("quantity >= 0", name=op.f("ck_stock_move_quantity")),
        sa.CheckConstraint("unit_cost_minor >= 0", name=op.f("ck_stock_move_unit_cost_minor")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_stock_move_breakage_id"), "stock_move", ["breakage_id"])
    op.create_index(op.f("ix_stock_move_part_id_at"), "stock_move", ["part_id", "at"])


def downgrade() -> None:
    op.drop_table("stock_move")
    op.drop_table("stoppage")
    op.drop_table("breakage")
    op.drop_table("service_done")
    op.drop_table("repair")
    op.drop_table("reading")
    op.drop_table("planned_area")
    op.drop_table("plan_choice")
    op.drop_table("measurement")
    op.drop_table("fitting")
    op.drop_table("fault_sign")
    op.drop_table("fault_finding")
    op.drop_table("fault_check")
    op.drop_table("circuit_edge")
    op.drop_table("version")
    op.drop_table("service_item")
    op.drop_table("season_plan")
    op.drop_table("run")
    op.drop_table("part_fit")
    op.drop_table("moisture_sample")
    op.drop_table("meter")
    op.drop_table("loss_check")
    op.drop_table("hitch")
    op.drop_table("fault")
    op.drop_table("component")
    op.drop_table("circuit_node")
    op.drop_table("calibration")
    op.drop_table("setting")
    op.drop_table("season")
    op.drop_table("part_kind")
    op.drop_table("part")
    op.drop_table("machine")
    op.drop_table("import_batch")
    op.drop_table("field")
    op.drop_table("deed")
    op.drop_table("crop")
