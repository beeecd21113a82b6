PRAGMA application_id = 1464156498;
BEGIN TRANSACTION;
CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num));
INSERT INTO "alembic_version" VALUES('0002');
CREATE TABLE breakage (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	component_id BLOB NOT NULL, 
	at INTEGER NOT NULL, 
	cause TEXT NOT NULL CONSTRAINT ck_breakage_cause CHECK (cause IN ('impact', 'wear', 'fatigue', 'loose', 'secondary', 'unknown')), 
	mode TEXT NOT NULL CONSTRAINT ck_breakage_mode CHECK (mode IN ('broken', 'bent', 'cracked', 'missing', 'worn', 'stretched', 'torn', 'loose', 'seized', 'leaking', 'failed')), 
	action TEXT NOT NULL CONSTRAINT ck_breakage_action CHECK (action IN ('replaced', 'mended', 'left')), 
	repair_id BLOB, 
	note TEXT NOT NULL, 
	seen_whole_at INTEGER, 
	caused_by_id BLOB, 
	CONSTRAINT pk_breakage PRIMARY KEY (id), 
	CONSTRAINT ck_breakage_seen_whole_at_at CHECK (at IS NULL OR at >= seen_whole_at), 
	CONSTRAINT ck_breakage_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_breakage_component_id FOREIGN KEY(component_id) REFERENCES component (id), 
	CONSTRAINT fk_breakage_repair_id FOREIGN KEY(repair_id) REFERENCES repair (id), 
	CONSTRAINT fk_breakage_caused_by_id FOREIGN KEY(caused_by_id) REFERENCES breakage (id)
)
 STRICT

;
INSERT INTO "breakage" VALUES(X'A167768924338717A5281BB03B15CB97',0,X'6985CA1F4DAA8A588A28EAE043A239CB',1721565000250001,'unknown','failed','left',X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6','breakage note, señal 3/8″',1721536200250001,X'A167768924338717A5281BB03B15CB97');
CREATE TABLE breakage_position (
	breakage_id BLOB NOT NULL, 
	position INTEGER NOT NULL CONSTRAINT ck_breakage_position_position CHECK (position >= 1), 
	broke_fitting_id BLOB, 
	followed_fitting_id BLOB, 
	CONSTRAINT pk_breakage_position PRIMARY KEY (breakage_id, position), 
	CONSTRAINT fk_breakage_position_breakage_id FOREIGN KEY(breakage_id) REFERENCES breakage (id), 
	CONSTRAINT fk_breakage_position_broke_fitting_id FOREIGN KEY(broke_fitting_id) REFERENCES fitting (id), 
	CONSTRAINT fk_breakage_position_followed_fitting_id FOREIGN KEY(followed_fitting_id) REFERENCES fitting (id)
)
 WITHOUT ROWID,
 STRICT

;
INSERT INTO "breakage_position" VALUES(X'A167768924338717A5281BB03B15CB97',2,X'14D7952A779C85189D6E62CDD6305831',X'14D7952A779C85189D6E62CDD6305831');
INSERT INTO "breakage_position" VALUES(X'A167768924338717A5281BB03B15CB97',3,NULL,NULL);
INSERT INTO "breakage_position" VALUES(X'A167768924338717A5281BB03B15CB97',7,NULL,NULL);
CREATE TABLE calibration (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	sensor TEXT NOT NULL CONSTRAINT ck_calibration_sensor CHECK (sensor IN ('yield_load', 'moisture', 'ground_speed', 'area_count', 'header_height')), 
	at INTEGER NOT NULL, 
	reference_amount INTEGER NOT NULL, 
	indicated_amount INTEGER NOT NULL, 
	crop_id BLOB, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_calibration PRIMARY KEY (id), 
	CONSTRAINT ck_calibration_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_calibration_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_calibration_crop_id FOREIGN KEY(crop_id) REFERENCES crop (id)
)
 STRICT

;
INSERT INTO "calibration" VALUES(X'E152337E4E858A3E81482F0CE329AEC7',0,X'BC020A35B7F98B1382E7B534C68E3C53','header_height',1721536200250001,6,7,X'375676BD26868505A68FCE072799A6E0','calibration note, señal 3/8″');
CREATE TABLE caution_read (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	hazard TEXT NOT NULL CONSTRAINT ck_caution_read_hazard CHECK (hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank', 'battery', 'fire', 'tire', 'lifting', 'spring')), 
	task TEXT NOT NULL, 
	device TEXT NOT NULL, 
	at INTEGER NOT NULL, 
	person_id BLOB, 
	CONSTRAINT pk_caution_read PRIMARY KEY (id), 
	CONSTRAINT ck_caution_read_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_caution_read_person_id FOREIGN KEY(person_id) REFERENCES person (id)
)
 STRICT

;
INSERT INTO "caution_read" VALUES(X'0FCABE1ACFAD83A0BEABCB70D5102E6F',0,'spring','caution_read task, señal 3/8″','caution_read device, señal 3/8″',1721539800250001,X'38A81E87E79681E682BF5FBD307CE2FC');
CREATE TABLE circuit_cut (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	node_id BLOB NOT NULL, 
	CONSTRAINT pk_circuit_cut PRIMARY KEY (id), 
	CONSTRAINT ck_circuit_cut_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_circuit_cut_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_circuit_cut_node_id FOREIGN KEY(node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "circuit_cut" VALUES(X'67848298931780A799B7EBBEC84B726B',0,X'BC020A35B7F98B1382E7B534C68E3C53',X'5AC72C8F95F8811CBA759BF68FB13202');
CREATE TABLE circuit_edge (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	from_node_id BLOB NOT NULL, 
	to_node_id BLOB NOT NULL, 
	kind TEXT NOT NULL CONSTRAINT ck_circuit_edge_kind CHECK (kind IN ('feed', 'return', 'bus')), 
	CONSTRAINT pk_circuit_edge PRIMARY KEY (id), 
	CONSTRAINT ck_circuit_edge_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_circuit_edge_from_node_id FOREIGN KEY(from_node_id) REFERENCES circuit_node (id), 
	CONSTRAINT fk_circuit_edge_to_node_id FOREIGN KEY(to_node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "circuit_edge" VALUES(X'910242D755888D869E4B3F08E515CBAF',0,X'5AC72C8F95F8811CBA759BF68FB13202',X'5AC72C8F95F8811CBA759BF68FB13202','bus');
CREATE TABLE circuit_node (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	circuit TEXT NOT NULL, 
	name TEXT NOT NULL, 
	kind TEXT NOT NULL CONSTRAINT ck_circuit_node_kind CHECK (kind IN ('battery', 'fuse', 'relay', 'switch', 'connector', 'wire_run', 'splice', 'device', 'sensor', 'controller', 'terminator', 'ground', 'alternator')), 
	place TEXT NOT NULL, 
	rating_milliamperes INTEGER CONSTRAINT ck_circuit_node_rating_milliamperes CHECK (rating_milliamperes >= 1), 
	passes_edge INTEGER NOT NULL, 
	moves_with_header INTEGER NOT NULL, 
	near_heat INTEGER NOT NULL, 
	outside INTEGER NOT NULL, 
	wire_colour TEXT NOT NULL, 
	wire_number TEXT NOT NULL, 
	wire_gauge TEXT NOT NULL, 
	pins TEXT NOT NULL, 
	splice_place TEXT NOT NULL, 
	length_millimetres INTEGER CONSTRAINT ck_circuit_node_length_millimetres CHECK (length_millimetres >= 0), 
	photo TEXT NOT NULL, 
	shared INTEGER NOT NULL, 
	CONSTRAINT pk_circuit_node PRIMARY KEY (id), 
	CONSTRAINT ck_circuit_node_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_circuit_node_passes_edge CHECK (passes_edge IN (0, 1)), 
	CONSTRAINT ck_circuit_node_moves_with_header CHECK (moves_with_header IN (0, 1)), 
	CONSTRAINT ck_circuit_node_near_heat CHECK (near_heat IN (0, 1)), 
	CONSTRAINT ck_circuit_node_outside CHECK (outside IN (0, 1)), 
	CONSTRAINT ck_circuit_node_shared CHECK (shared IN (0, 1)), 
	CONSTRAINT fk_circuit_node_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "circuit_node" VALUES(X'5AC72C8F95F8811CBA759BF68FB13202',0,X'BC020A35B7F98B1382E7B534C68E3C53','circuit_node circuit, señal 3/8″','circuit_node name, señal 3/8″','alternator','circuit_node place, señal 3/8″',8,1,1,1,1,'circuit_node wire_colour, señal 3/8″','circuit_node wire_number, señal 3/8″','circuit_node wire_gauge, señal 3/8″','circuit_node pins, señal 3/8″','circuit_node splice_place, señal 3/8″',18,'circuit_node photo, señal 3/8″',1);
CREATE TABLE component (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	part_kind_id BLOB NOT NULL, 
	place TEXT NOT NULL, 
	positions INTEGER NOT NULL CONSTRAINT ck_component_positions CHECK (positions >= 1), 
	CONSTRAINT pk_component PRIMARY KEY (id), 
	CONSTRAINT ck_component_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_component_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_component_part_kind_id FOREIGN KEY(part_kind_id) REFERENCES part_kind (id)
)
 STRICT

;
INSERT INTO "component" VALUES(X'6985CA1F4DAA8A588A28EAE043A239CB',0,X'BC020A35B7F98B1382E7B534C68E3C53',X'FA3349DC747D8F7B919452138F3A19BB','component place, señal 3/8″',6);
CREATE TABLE crop (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	bushel_grams INTEGER CONSTRAINT ck_crop_bushel_grams CHECK (bushel_grams >= 1), 
	seed_milligrams_per_thousand INTEGER CONSTRAINT ck_crop_seed_milligrams_per_thousand CHECK (seed_milligrams_per_thousand >= 1), 
	price_minor_per_tonne INTEGER CONSTRAINT ck_crop_price_minor_per_tonne CHECK (price_minor_per_tonne >= 0), 
	loss_per_day_millionths INTEGER CONSTRAINT ck_crop_loss_per_day_millionths CHECK (loss_per_day_millionths >= 0), 
	CONSTRAINT pk_crop PRIMARY KEY (id), 
	CONSTRAINT ck_crop_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "crop" VALUES(X'375676BD26868505A68FCE072799A6E0',0,'crop name, señal 3/8″',4,5,6,7);
CREATE TABLE deed (
	id BLOB NOT NULL, 
	recorded_at INTEGER NOT NULL, 
	device TEXT NOT NULL, 
	said TEXT NOT NULL, 
	undoes_deed_id BLOB, 
	person TEXT NOT NULL, 
	digest BLOB NOT NULL, 
	CONSTRAINT pk_deed PRIMARY KEY (id), 
	CONSTRAINT fk_deed_undoes_deed_id FOREIGN KEY(undoes_deed_id) REFERENCES deed (id)
)
 STRICT

;
INSERT INTO "deed" VALUES(X'01A223D244337118839CC3A9B2A22230',1795897312322996,'shop','deed 0',NULL,'',X'D6A56A31F87FAAB3973354124F3E21B4D80722091725758E49E1E09E72343BF0');
INSERT INTO "deed" VALUES(X'01A223D246B776A1905E0D0168FB456D',1795897312961907,'shop','deed 1',NULL,'',X'AFB6F228150E23294C9756497B219DC3B5F110E7998EE8D04AEFE518A05DA57A');
INSERT INTO "deed" VALUES(X'01A223D247067006ACC7C01415B6A13E',1795897313030851,'shop','deed 2',NULL,'',X'256A517B9968C65CCFB125C8F67286C6C8AB5A2AAEB8AED0A9B347C7E2B2169D');
INSERT INTO "deed" VALUES(X'01A223D24769760A87DEDA303A9F3278',1795897313142229,'shop','undid: deed 2',X'01A223D247067006ACC7C01415B6A13E','',X'905F6CA0E7547D992AEE6A23FD344258DE13E91AF4EDE2D2B1D6AAA5AE9EB344');
CREATE TABLE exchange (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	device TEXT NOT NULL, 
	direction TEXT NOT NULL CONSTRAINT ck_exchange_direction CHECK (direction IN ('sent', 'taken_in')), 
	at INTEGER NOT NULL, 
	digest TEXT NOT NULL, 
	deeds INTEGER NOT NULL CONSTRAINT ck_exchange_deeds CHECK (deeds >= 0), 
	CONSTRAINT pk_exchange PRIMARY KEY (id), 
	CONSTRAINT ck_exchange_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "exchange" VALUES(X'AB27B729D9CC8CB18009607004469241',0,'exchange device, señal 3/8″','taken_in',1721536200250001,'exchange digest, señal 3/8″',7);
CREATE TABLE fault (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	circuit TEXT NOT NULL, 
	title TEXT NOT NULL, 
	opened_at INTEGER NOT NULL, 
	closed_at INTEGER, 
	note TEXT NOT NULL, 
	conditions_asked INTEGER NOT NULL, 
	others_tried TEXT CONSTRAINT ck_fault_others_tried CHECK (others_tried IN ('all_fine', 'some_fail', 'not_tried')), 
	worked_on TEXT NOT NULL, 
	CONSTRAINT pk_fault PRIMARY KEY (id), 
	CONSTRAINT ck_fault_opened_at_closed_at CHECK (closed_at IS NULL OR closed_at >= opened_at), 
	CONSTRAINT ck_fault_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_fault_conditions_asked CHECK (conditions_asked IN (0, 1)), 
	CONSTRAINT fk_fault_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "fault" VALUES(X'F1C562EAE32F8CC2A97DC9D768B89D1B',0,X'BC020A35B7F98B1382E7B534C68E3C53','fault circuit, señal 3/8″','fault title, señal 3/8″',1721539800250001,1721543400250001,'fault note, señal 3/8″',1,'not_tried','fault worked_on, señal 3/8″');
CREATE TABLE fault_check (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	fault_id BLOB NOT NULL, 
	step INTEGER NOT NULL CONSTRAINT ck_fault_check_step CHECK (step >= 1), 
	node_id BLOB, 
	kind TEXT NOT NULL CONSTRAINT ck_fault_check_kind CHECK (kind IN ('look', 'voltage', 'voltage_drop', 'continuity', 'resistance', 'unplug', 'wiggle', 'swap', 'try_it', 'lamp', 'beyond', 'unwrap', 'make_happen')), 
	expected TEXT NOT NULL, 
	measured TEXT NOT NULL, 
	verdict TEXT NOT NULL CONSTRAINT ck_fault_check_verdict CHECK (verdict IN ('good', 'bad', 'unclear', 'not_done')), 
	duration_seconds INTEGER CONSTRAINT ck_fault_check_duration_seconds CHECK (duration_seconds >= 0), 
	at INTEGER, 
	fault_visit_id BLOB, 
	reading_micros INTEGER, 
	reading_unit TEXT CONSTRAINT ck_fault_check_reading_unit CHECK (reading_unit IN ('volt', 'ohm', 'ampere')), 
	lowest_micros INTEGER, 
	highest_micros INTEGER, 
	over_range INTEGER NOT NULL, 
	load_on TEXT CONSTRAINT ck_fault_check_load_on CHECK (load_on IN ('yes', 'no', 'cannot_tell')), 
	supplied TEXT CONSTRAINT ck_fault_check_supplied CHECK (supplied IN ('off', 'rested', 'just_charged', 'key_on', 'cranking', 'running')), 
	battery_micros INTEGER, 
	second_node_id BLOB, 
	place TEXT NOT NULL, 
	CONSTRAINT pk_fault_check PRIMARY KEY (id), 
	CONSTRAINT ck_fault_check_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_fault_check_over_range CHECK (over_range IN (0, 1)), 
	CONSTRAINT fk_fault_check_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id), 
	CONSTRAINT fk_fault_check_node_id FOREIGN KEY(node_id) REFERENCES circuit_node (id), 
	CONSTRAINT fk_fault_check_fault_visit_id FOREIGN KEY(fault_visit_id) REFERENCES fault_visit (id), 
	CONSTRAINT fk_fault_check_second_node_id FOREIGN KEY(second_node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "fault_check" VALUES(X'9C4DEE3BFF64854B9B33C9BA136C0606',0,X'F1C562EAE32F8CC2A97DC9D768B89D1B',4,X'5AC72C8F95F8811CBA759BF68FB13202','make_happen','fault_check expected, señal 3/8″','fault_check measured, señal 3/8″','not_done',10,1721557800250001,X'E9F93B1F541C81BDA4A4CCAB4B554AF1',13,'ampere',15,16,1,'cannot_tell','running',20,X'5AC72C8F95F8811CBA759BF68FB13202','fault_check place, señal 3/8″');
CREATE TABLE fault_condition (
	fault_id BLOB NOT NULL, 
	place INTEGER NOT NULL, 
	condition TEXT NOT NULL CONSTRAINT ck_fault_condition_condition CHECK (condition IN ('rain', 'dew', 'rough_ground', 'tank_full', 'header_raised', 'turning', 'hot', 'cold', 'dust', 'after_wash')), 
	CONSTRAINT pk_fault_condition PRIMARY KEY (fault_id, place), 
	CONSTRAINT fk_fault_condition_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id)
)
 WITHOUT ROWID,
 STRICT

;
INSERT INTO "fault_condition" VALUES(X'F1C562EAE32F8CC2A97DC9D768B89D1B',1,'rain');
INSERT INTO "fault_condition" VALUES(X'F1C562EAE32F8CC2A97DC9D768B89D1B',2,'dew');
CREATE TABLE fault_finding (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	fault_id BLOB NOT NULL, 
	node_id BLOB, 
	mode TEXT NOT NULL CONSTRAINT ck_fault_finding_mode CHECK (mode IN ('open', 'short_to_ground', 'high_resistance', 'failed_device', 'overload', 'not_found', 'short_to_power', 'reversed')), 
	fix TEXT NOT NULL, 
	evidence TEXT NOT NULL CONSTRAINT ck_fault_finding_evidence CHECK (evidence IN ('seen', 'inferred', 'cleared_by_itself')), 
	at INTEGER NOT NULL, 
	fix_kind TEXT CONSTRAINT ck_fault_finding_fix_kind CHECK (fix_kind IN ('joint_made', 'part_swapped', 'proved_under_load', 'other')), 
	CONSTRAINT pk_fault_finding PRIMARY KEY (id), 
	CONSTRAINT ck_fault_finding_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fault_finding_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id), 
	CONSTRAINT fk_fault_finding_node_id FOREIGN KEY(node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "fault_finding" VALUES(X'B14E900DF95B89D89470C7967E015C97',0,X'F1C562EAE32F8CC2A97DC9D768B89D1B',X'5AC72C8F95F8811CBA759BF68FB13202','reversed','fault_finding fix, señal 3/8″','cleared_by_itself',1721547000250001,'other');
CREATE TABLE fault_opening (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	fault_id BLOB NOT NULL, 
	node_id BLOB, 
	opened TEXT NOT NULL CONSTRAINT ck_fault_opening_opened CHECK (opened IN ('unplugged', 'fuse_out', 'lamp_in_place', 'battery_lead_off', 'header_on_stops', 'switched_off', 'other')), 
	at INTEGER NOT NULL, 
	put_back_at INTEGER, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_fault_opening PRIMARY KEY (id), 
	CONSTRAINT ck_fault_opening_at_put_back_at CHECK (put_back_at IS NULL OR put_back_at >= at), 
	CONSTRAINT ck_fault_opening_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fault_opening_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id), 
	CONSTRAINT fk_fault_opening_node_id FOREIGN KEY(node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "fault_opening" VALUES(X'E9A2C05E0B158B6A99CE73B64C850505',0,X'F1C562EAE32F8CC2A97DC9D768B89D1B',X'5AC72C8F95F8811CBA759BF68FB13202','other',1721539800250001,1721543400250001,'fault_opening note, señal 3/8″');
CREATE TABLE fault_sign (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	fault_id BLOB NOT NULL, 
	node_id BLOB, 
	sign TEXT NOT NULL CONSTRAINT ck_fault_sign_sign CHECK (sign IN ('dead', 'erratic', 'working', 'fuse_blew_at_once', 'fuse_blew_later', 'fuse_blew_on_movement', 'fuse_whole', 'code', 'weak', 'stays_on', 'wrong_thing')), 
	spn INTEGER CONSTRAINT ck_fault_sign_spn CHECK (spn >= 0), 
	fmi INTEGER CONSTRAINT ck_fault_sign_fmi CHECK (fmi >= 0), 
	note TEXT NOT NULL, 
	told TEXT CONSTRAINT ck_fault_sign_told CHECK (told IN ('first', 'said', 'tried')), 
	in_use TEXT CONSTRAINT ck_fault_sign_in_use CHECK (in_use IN ('yes', 'no', 'cannot_tell')), 
	CONSTRAINT pk_fault_sign PRIMARY KEY (id), 
	CONSTRAINT ck_fault_sign_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fault_sign_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id), 
	CONSTRAINT fk_fault_sign_node_id FOREIGN KEY(node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "fault_sign" VALUES(X'3B230508E3D9861BB9328CEBA4496456',0,X'F1C562EAE32F8CC2A97DC9D768B89D1B',X'5AC72C8F95F8811CBA759BF68FB13202','wrong_thing',6,7,'fault_sign note, señal 3/8″','tried','cannot_tell');
CREATE TABLE fault_visit (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	fault_id BLOB NOT NULL, 
	started_at INTEGER NOT NULL, 
	ended_at INTEGER, 
	present TEXT CONSTRAINT ck_fault_visit_present CHECK (present IN ('yes', 'no', 'cannot_tell')), 
	person_id BLOB, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_fault_visit PRIMARY KEY (id), 
	CONSTRAINT ck_fault_visit_started_at_ended_at CHECK (ended_at IS NULL OR ended_at >= started_at), 
	CONSTRAINT ck_fault_visit_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fault_visit_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id), 
	CONSTRAINT fk_fault_visit_person_id FOREIGN KEY(person_id) REFERENCES person (id)
)
 STRICT

;
INSERT INTO "fault_visit" VALUES(X'E9F93B1F541C81BDA4A4CCAB4B554AF1',0,X'F1C562EAE32F8CC2A97DC9D768B89D1B',1721532600250001,1721536200250001,'cannot_tell',X'38A81E87E79681E682BF5FBD307CE2FC','fault_visit note, señal 3/8″');
CREATE TABLE field (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	area_square_metres INTEGER NOT NULL CONSTRAINT ck_field_area_square_metres CHECK (area_square_metres >= 1), 
	ground TEXT NOT NULL CONSTRAINT ck_field_ground CHECK (ground IN ('clean', 'few_stones', 'stony', 'very_stony')), 
	CONSTRAINT pk_field PRIMARY KEY (id), 
	CONSTRAINT ck_field_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "field" VALUES(X'C0D2856B74D08F05B9D4456B17795035',0,'field name, señal 3/8″',4,'very_stony');
CREATE TABLE fitting (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	component_id BLOB NOT NULL, 
	position INTEGER NOT NULL CONSTRAINT ck_fitting_position CHECK (position >= 1), 
	fitted_at INTEGER NOT NULL, 
	age_when_fitted_usage INTEGER CONSTRAINT ck_fitting_age_when_fitted_usage CHECK (age_when_fitted_usage >= 0), 
	removed_at INTEGER, 
	removal TEXT CONSTRAINT ck_fitting_removal CHECK (removal IN ('broke', 'planned', 'moved', 'scrapped')), 
	part_id BLOB, 
	CONSTRAINT pk_fitting PRIMARY KEY (id), 
	CONSTRAINT ck_fitting_fitted_at_removed_at CHECK (removed_at IS NULL OR removed_at >= fitted_at), 
	CONSTRAINT ck_fitting_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fitting_component_id FOREIGN KEY(component_id) REFERENCES component (id), 
	CONSTRAINT fk_fitting_part_id FOREIGN KEY(part_id) REFERENCES part (id)
)
 STRICT

;
INSERT INTO "fitting" VALUES(X'14D7952A779C85189D6E62CDD6305831',0,X'6985CA1F4DAA8A588A28EAE043A239CB',4,1721536200250001,6,1721543400250001,'scrapped',X'37A680133BD08342B934AFB8DD2C7D9E');
CREATE TABLE hitch (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	header_id BLOB NOT NULL, 
	combine_id BLOB NOT NULL, 
	from_at INTEGER NOT NULL, 
	to_at INTEGER, 
	CONSTRAINT pk_hitch PRIMARY KEY (id), 
	CONSTRAINT ck_hitch_from_at_to_at CHECK (to_at IS NULL OR to_at >= from_at), 
	CONSTRAINT ck_hitch_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_hitch_header_id FOREIGN KEY(header_id) REFERENCES machine (id), 
	CONSTRAINT fk_hitch_combine_id FOREIGN KEY(combine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "hitch" VALUES(X'82E910CDDF408368BAB151E853C341EE',0,X'BC020A35B7F98B1382E7B534C68E3C53',X'BC020A35B7F98B1382E7B534C68E3C53',1721536200250001,1721539800250001);
CREATE TABLE import_batch (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	source TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	at INTEGER NOT NULL, 
	rows_added INTEGER NOT NULL CONSTRAINT ck_import_batch_rows_added CHECK (rows_added >= 0), 
	CONSTRAINT pk_import_batch PRIMARY KEY (id), 
	CONSTRAINT ck_import_batch_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "import_batch" VALUES(X'6D006A9378ED80A7B045637166A18320',0,'import_batch source, señal 3/8″','import_batch digest, señal 3/8″',1721536200250001,6);
CREATE TABLE import_profile (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	content TEXT NOT NULL, 
	CONSTRAINT pk_import_profile PRIMARY KEY (id), 
	CONSTRAINT ck_import_profile_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "import_profile" VALUES(X'4C88804962708F879D35AA63A35B18BB',0,'import_profile name, señal 3/8″','import_profile content, señal 3/8″');
CREATE TABLE inspection (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	round TEXT NOT NULL CONSTRAINT ck_inspection_round CHECK (round IN ('pre_season', 'end_of_season', 'daily', 'other')), 
	at INTEGER NOT NULL, 
	person_id BLOB, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_inspection PRIMARY KEY (id), 
	CONSTRAINT ck_inspection_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_inspection_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_inspection_person_id FOREIGN KEY(person_id) REFERENCES person (id)
)
 STRICT

;
INSERT INTO "inspection" VALUES(X'3B1957F394D1889688064464FECA7A2F',0,X'BC020A35B7F98B1382E7B534C68E3C53','other',1721536200250001,X'38A81E87E79681E682BF5FBD307CE2FC','inspection note, señal 3/8″');
CREATE TABLE inspection_finding (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	inspection_id BLOB NOT NULL, 
	line TEXT NOT NULL, 
	component_id BLOB, 
	position INTEGER CONSTRAINT ck_inspection_finding_position CHECK (position >= 1), 
	found TEXT NOT NULL CONSTRAINT ck_inspection_finding_found CHECK (found IN ('good', 'watch', 'order', 'failed', 'not_looked_at')), 
	measurement_id BLOB, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_inspection_finding PRIMARY KEY (id), 
	CONSTRAINT ck_inspection_finding_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_inspection_finding_inspection_id FOREIGN KEY(inspection_id) REFERENCES inspection (id), 
	CONSTRAINT fk_inspection_finding_component_id FOREIGN KEY(component_id) REFERENCES component (id), 
	CONSTRAINT fk_inspection_finding_measurement_id FOREIGN KEY(measurement_id) REFERENCES measurement (id)
)
 STRICT

;
INSERT INTO "inspection_finding" VALUES(X'17BFF8BD048286229528E03BC3FC3E52',0,X'3B1957F394D1889688064464FECA7A2F','inspection_finding line, señal 3/8″',X'6985CA1F4DAA8A588A28EAE043A239CB',6,'not_looked_at',X'6C5A6990038D86C5ACDDF6C983345ED1','inspection_finding note, señal 3/8″');
CREATE TABLE loss_check (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	combine_id BLOB NOT NULL, 
	field_id BLOB, 
	crop_id BLOB NOT NULL, 
	at INTEGER NOT NULL, 
	behind_per_hectare INTEGER NOT NULL CONSTRAINT ck_loss_check_behind_per_hectare CHECK (behind_per_hectare >= 0), 
	ahead_per_hectare INTEGER NOT NULL CONSTRAINT ck_loss_check_ahead_per_hectare CHECK (ahead_per_hectare >= 0), 
	cut_width_micrometres INTEGER NOT NULL CONSTRAINT ck_loss_check_cut_width_micrometres CHECK (cut_width_micrometres >= 1), 
	discharge_width_micrometres INTEGER NOT NULL CONSTRAINT ck_loss_check_discharge_width_micrometres CHECK (discharge_width_micrometres >= 1), 
	yield_grams_per_hectare INTEGER CONSTRAINT ck_loss_check_yield_grams_per_hectare CHECK (yield_grams_per_hectare >= 0), 
	note TEXT NOT NULL, 
	uncut_per_hectare INTEGER CONSTRAINT ck_loss_check_uncut_per_hectare CHECK (uncut_per_hectare >= 0), 
	CONSTRAINT pk_loss_check PRIMARY KEY (id), 
	CONSTRAINT ck_loss_check_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_loss_check_combine_id FOREIGN KEY(combine_id) REFERENCES machine (id), 
	CONSTRAINT fk_loss_check_field_id FOREIGN KEY(field_id) REFERENCES field (id), 
	CONSTRAINT fk_loss_check_crop_id FOREIGN KEY(crop_id) REFERENCES crop (id)
)
 STRICT

;
INSERT INTO "loss_check" VALUES(X'790AF2CFE4628E3ABD0F411E0DF12755',0,X'BC020A35B7F98B1382E7B534C68E3C53',X'C0D2856B74D08F05B9D4456B17795035',X'375676BD26868505A68FCE072799A6E0',1721539800250001,7,8,9,10,11,'loss_check note, señal 3/8″',13);
CREATE TABLE machine (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	kind TEXT NOT NULL CONSTRAINT ck_machine_kind CHECK (kind IN ('combine', 'header', 'tractor', 'truck', 'cart')), 
	cut_width_micrometres INTEGER CONSTRAINT ck_machine_cut_width_micrometres CHECK (cut_width_micrometres >= 1), 
	model_year INTEGER CONSTRAINT ck_machine_model_year CHECK (model_year >= 1900), 
	list_price_minor INTEGER CONSTRAINT ck_machine_list_price_minor CHECK (list_price_minor >= 0), 
	bought_on TEXT, 
	note TEXT NOT NULL, 
	serial_number TEXT NOT NULL, 
	engine_number TEXT NOT NULL, 
	type_name TEXT NOT NULL, 
	CONSTRAINT pk_machine PRIMARY KEY (id), 
	CONSTRAINT ck_machine_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "machine" VALUES(X'BC020A35B7F98B1382E7B534C68E3C53',0,'machine name, señal 3/8″','cart',5,1905,7,'2024-01-09','machine note, señal 3/8″','machine serial_number, señal 3/8″','machine engine_number, señal 3/8″','machine type_name, señal 3/8″');
CREATE TABLE measurement (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	component_id BLOB NOT NULL, 
	position INTEGER NOT NULL CONSTRAINT ck_measurement_position CHECK (position >= 1), 
	at INTEGER NOT NULL, 
	measured_micrometres INTEGER NOT NULL CONSTRAINT ck_measurement_measured_micrometres CHECK (measured_micrometres >= 0), 
	note TEXT NOT NULL, 
	CONSTRAINT pk_measurement PRIMARY KEY (id), 
	CONSTRAINT ck_measurement_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_measurement_component_id FOREIGN KEY(component_id) REFERENCES component (id)
)
 STRICT

;
INSERT INTO "measurement" VALUES(X'6C5A6990038D86C5ACDDF6C983345ED1',0,X'6985CA1F4DAA8A588A28EAE043A239CB',4,1721536200250001,6,'measurement note, señal 3/8″');
CREATE TABLE meter (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	kind TEXT NOT NULL CONSTRAINT ck_meter_kind CHECK (kind IN ('area', 'separator_hours', 'engine_hours', 'calendar')), 
	CONSTRAINT pk_meter PRIMARY KEY (id), 
	CONSTRAINT ck_meter_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_meter_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "meter" VALUES(X'5EFF322A1BD4864E9DB317C7F60B1B65',0,X'BC020A35B7F98B1382E7B534C68E3C53','calendar');
CREATE TABLE moisture_sample (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	field_id BLOB, 
	crop_id BLOB NOT NULL, 
	at INTEGER NOT NULL, 
	tester_hundredths INTEGER NOT NULL CONSTRAINT ck_moisture_sample_tester_hundredths CHECK (tester_hundredths >= 0), 
	elevator_hundredths INTEGER CONSTRAINT ck_moisture_sample_elevator_hundredths CHECK (elevator_hundredths >= 0), 
	note TEXT NOT NULL, 
	CONSTRAINT pk_moisture_sample PRIMARY KEY (id), 
	CONSTRAINT ck_moisture_sample_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_moisture_sample_field_id FOREIGN KEY(field_id) REFERENCES field (id), 
	CONSTRAINT fk_moisture_sample_crop_id FOREIGN KEY(crop_id) REFERENCES crop (id)
)
 STRICT

;
INSERT INTO "moisture_sample" VALUES(X'6F1E56388793804187464F259E1E1C18',0,X'C0D2856B74D08F05B9D4456B17795035',X'375676BD26868505A68FCE072799A6E0',1721536200250001,6,7,'moisture_sample note, señal 3/8″');
CREATE TABLE outside_line (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	source TEXT NOT NULL, 
	place TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	said TEXT NOT NULL, 
	state TEXT NOT NULL CONSTRAINT ck_outside_line_state CHECK (state IN ('taken', 'asked', 'set_aside')), 
	question TEXT NOT NULL, 
	at INTEGER NOT NULL, 
	CONSTRAINT pk_outside_line PRIMARY KEY (id), 
	CONSTRAINT ck_outside_line_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "outside_line" VALUES(X'3AEB2408E96A8A98BFD3CE869CEEF263',0,'outside_line source, señal 3/8″','outside_line place, señal 3/8″','outside_line digest, señal 3/8″','outside_line said, señal 3/8″','set_aside','outside_line question, señal 3/8″',1721550600250001);
CREATE TABLE outside_line_row (
	outside_line_id BLOB NOT NULL, 
	place INTEGER NOT NULL, 
	row_id BLOB NOT NULL, 
	CONSTRAINT pk_outside_line_row PRIMARY KEY (outside_line_id, place), 
	CONSTRAINT fk_outside_line_row_outside_line_id FOREIGN KEY(outside_line_id) REFERENCES outside_line (id)
)
 WITHOUT ROWID,
 STRICT

;
INSERT INTO "outside_line_row" VALUES(X'3AEB2408E96A8A98BFD3CE869CEEF263',1,X'2D273ECBE84F8B34AFBAF6CB3337DF89');
INSERT INTO "outside_line_row" VALUES(X'3AEB2408E96A8A98BFD3CE869CEEF263',2,X'B012E179E2CD8644955BFE6DE351C9B7');
CREATE TABLE part (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	number TEXT NOT NULL, 
	name TEXT NOT NULL, 
	price_minor INTEGER CONSTRAINT ck_part_price_minor CHECK (price_minor >= 0), 
	pack_size INTEGER NOT NULL CONSTRAINT ck_part_pack_size CHECK (pack_size >= 1), 
	lead_time_days INTEGER CONSTRAINT ck_part_lead_time_days CHECK (lead_time_days >= 0), 
	supplier TEXT NOT NULL, 
	keep_on_hand INTEGER NOT NULL CONSTRAINT ck_part_keep_on_hand CHECK (keep_on_hand >= 0), 
	warranty_months INTEGER CONSTRAINT ck_part_warranty_months CHECK (warranty_months >= 1), 
	warranty_usage INTEGER CONSTRAINT ck_part_warranty_usage CHECK (warranty_usage >= 1), 
	warranty_covers TEXT CONSTRAINT ck_part_warranty_covers CHECK (warranty_covers IN ('part', 'part_and_labour')), 
	warranty_from TEXT CONSTRAINT ck_part_warranty_from CHECK (warranty_from IN ('fitting', 'receipt')), 
	warranty_pro_rata INTEGER NOT NULL, 
	CONSTRAINT pk_part PRIMARY KEY (id), 
	CONSTRAINT ck_part_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_part_warranty_pro_rata CHECK (warranty_pro_rata IN (0, 1))
)
 STRICT

;
INSERT INTO "part" VALUES(X'37A680133BD08342B934AFB8DD2C7D9E',0,'part number, señal 3/8″','part name, señal 3/8″',5,6,7,'part supplier, señal 3/8″',9,10,11,'part_and_labour','receipt',1);
CREATE TABLE part_fit (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	part_id BLOB NOT NULL, 
	part_kind_id BLOB NOT NULL, 
	machine_id BLOB, 
	CONSTRAINT pk_part_fit PRIMARY KEY (id), 
	CONSTRAINT ck_part_fit_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_part_fit_part_id FOREIGN KEY(part_id) REFERENCES part (id), 
	CONSTRAINT fk_part_fit_part_kind_id FOREIGN KEY(part_kind_id) REFERENCES part_kind (id), 
	CONSTRAINT fk_part_fit_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "part_fit" VALUES(X'0E4DEEC88EE38D6D894DB74047D14058',0,X'37A680133BD08342B934AFB8DD2C7D9E',X'FA3349DC747D8F7B919452138F3A19BB',X'BC020A35B7F98B1382E7B534C68E3C53');
CREATE TABLE part_kind (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	subsystem TEXT NOT NULL CONSTRAINT ck_part_kind_subsystem CHECK (subsystem IN ('header', 'feeder', 'threshing', 'separator', 'cleaning', 'grain_handling', 'unloading', 'residue', 'engine', 'fuel', 'driveline', 'ground_drive', 'running_gear', 'hydraulics', 'electrical', 'monitoring', 'cab', 'safety')), 
	meter_kind TEXT NOT NULL CONSTRAINT ck_part_kind_meter_kind CHECK (meter_kind IN ('area', 'separator_hours', 'engine_hours', 'calendar')), 
	life_low_usage INTEGER CONSTRAINT ck_part_kind_life_low_usage CHECK (life_low_usage >= 1), 
	life_high_usage INTEGER CONSTRAINT ck_part_kind_life_high_usage CHECK (life_high_usage >= 1), 
	shape_low_thousandths INTEGER CONSTRAINT ck_part_kind_shape_low_thousandths CHECK (shape_low_thousandths >= 1), 
	shape_high_thousandths INTEGER CONSTRAINT ck_part_kind_shape_high_thousandths CHECK (shape_high_thousandths >= 1), 
	impacts_clean INTEGER NOT NULL CONSTRAINT ck_part_kind_impacts_clean CHECK (impacts_clean >= 0), 
	impacts_few_stones INTEGER NOT NULL CONSTRAINT ck_part_kind_impacts_few_stones CHECK (impacts_few_stones >= 0), 
	impacts_stony INTEGER NOT NULL CONSTRAINT ck_part_kind_impacts_stony CHECK (impacts_stony >= 0), 
	impacts_very_stony INTEGER NOT NULL CONSTRAINT ck_part_kind_impacts_very_stony CHECK (impacts_very_stony >= 0), 
	guess_evidence TEXT NOT NULL CONSTRAINT ck_part_kind_guess_evidence CHECK (guess_evidence IN ('published', 'from_memory', 'computed', 'common_practice', 'machine_book', 'own_records', 'neighbours')), 
	dimension TEXT NOT NULL CONSTRAINT ck_part_kind_dimension CHECK (dimension IN ('none', 'length_over_pitches', 'thickness', 'gap', 'depth')), 
	new_micrometres INTEGER CONSTRAINT ck_part_kind_new_micrometres CHECK (new_micrometres >= 0), 
	limit_micrometres INTEGER CONSTRAINT ck_part_kind_limit_micrometres CHECK (limit_micrometres >= 0), 
	pitch_micrometres INTEGER CONSTRAINT ck_part_kind_pitch_micrometres CHECK (pitch_micrometres >= 1), 
	pitches INTEGER CONSTRAINT ck_part_kind_pitches CHECK (pitches >= 1), 
	usual_labour_seconds INTEGER CONSTRAINT ck_part_kind_usual_labour_seconds CHECK (usual_labour_seconds >= 0), 
	hazard TEXT CONSTRAINT ck_part_kind_hazard CHECK (hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank', 'battery', 'fire', 'tire', 'lifting', 'spring')), 
	endangers_people INTEGER NOT NULL, 
	CONSTRAINT pk_part_kind PRIMARY KEY (id), 
	CONSTRAINT ck_part_kind_life_low_usage_life_high_usage CHECK (life_high_usage IS NULL OR life_high_usage >= life_low_usage), 
	CONSTRAINT ck_part_kind_shape_low_thousandths_shape_high_thousandths CHECK (shape_high_thousandths IS NULL OR shape_high_thousandths >= shape_low_thousandths), 
	CONSTRAINT ck_part_kind_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_part_kind_endangers_people CHECK (endangers_people IN (0, 1))
)
 STRICT

;
INSERT INTO "part_kind" VALUES(X'FA3349DC747D8F7B919452138F3A19BB',0,'part_kind name, señal 3/8″','safety','calendar',7,8,9,10,11,12,13,14,'neighbours','depth',17,18,19,20,21,'spring',1);
CREATE TABLE part_kind_word (
	part_kind_id BLOB NOT NULL, 
	place INTEGER NOT NULL, 
	word TEXT NOT NULL, 
	CONSTRAINT pk_part_kind_word PRIMARY KEY (part_kind_id, place), 
	CONSTRAINT fk_part_kind_word_part_kind_id FOREIGN KEY(part_kind_id) REFERENCES part_kind (id)
)
 WITHOUT ROWID,
 STRICT

;
INSERT INTO "part_kind_word" VALUES(X'FA3349DC747D8F7B919452138F3A19BB',1,'part_kind words, señal 3/8″');
INSERT INTO "part_kind_word" VALUES(X'FA3349DC747D8F7B919452138F3A19BB',2,'part_kind words, señal 3/8″');
CREATE TABLE part_order (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	part_id BLOB NOT NULL, 
	supplier_id BLOB, 
	quantity INTEGER NOT NULL CONSTRAINT ck_part_order_quantity CHECK (quantity >= 1), 
	ordered_at INTEGER NOT NULL, 
	unit_price_minor INTEGER CONSTRAINT ck_part_order_unit_price_minor CHECK (unit_price_minor >= 0), 
	cancelled_at INTEGER, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_part_order PRIMARY KEY (id), 
	CONSTRAINT ck_part_order_ordered_at_cancelled_at CHECK (cancelled_at IS NULL OR cancelled_at >= ordered_at), 
	CONSTRAINT ck_part_order_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_part_order_part_id FOREIGN KEY(part_id) REFERENCES part (id), 
	CONSTRAINT fk_part_order_supplier_id FOREIGN KEY(supplier_id) REFERENCES supplier (id)
)
 STRICT

;
INSERT INTO "part_order" VALUES(X'0F474E27B493808D81737BBABE0E47B2',0,X'37A680133BD08342B934AFB8DD2C7D9E',X'955ED10B73D6865B9ADCF768B94F8DD5',5,1721539800250001,7,1721547000250001,'part_order note, señal 3/8″');
CREATE TABLE person (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	short TEXT NOT NULL, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_person PRIMARY KEY (id), 
	CONSTRAINT ck_person_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "person" VALUES(X'38A81E87E79681E682BF5FBD307CE2FC',0,'person name, señal 3/8″','person short, señal 3/8″','person note, señal 3/8″');
CREATE TABLE plan_choice (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	season_plan_id BLOB NOT NULL, 
	component_id BLOB NOT NULL, 
	positions TEXT NOT NULL, 
	choice TEXT NOT NULL CONSTRAINT ck_plan_choice_choice CHECK (choice IN ('replace', 'run')), 
	CONSTRAINT pk_plan_choice PRIMARY KEY (id), 
	CONSTRAINT ck_plan_choice_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_plan_choice_season_plan_id FOREIGN KEY(season_plan_id) REFERENCES season_plan (id), 
	CONSTRAINT fk_plan_choice_component_id FOREIGN KEY(component_id) REFERENCES component (id)
)
 STRICT

;
INSERT INTO "plan_choice" VALUES(X'492A58960A028C969D92D858C838B827',0,X'9CCC66CD667F800C9EE06228AF690B3F',X'6985CA1F4DAA8A588A28EAE043A239CB','2-3, 7','run');
CREATE TABLE planned_area (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	season_plan_id BLOB NOT NULL, 
	area_square_metres INTEGER NOT NULL CONSTRAINT ck_planned_area_area_square_metres CHECK (area_square_metres >= 1), 
	field_id BLOB, 
	ground TEXT CONSTRAINT ck_planned_area_ground CHECK (ground IN ('clean', 'few_stones', 'stony', 'very_stony')), 
	crop_id BLOB, 
	combine_id BLOB, 
	header_id BLOB, 
	CONSTRAINT pk_planned_area PRIMARY KEY (id), 
	CONSTRAINT ck_planned_area_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_planned_area_season_plan_id FOREIGN KEY(season_plan_id) REFERENCES season_plan (id), 
	CONSTRAINT fk_planned_area_field_id FOREIGN KEY(field_id) REFERENCES field (id), 
	CONSTRAINT fk_planned_area_crop_id FOREIGN KEY(crop_id) REFERENCES crop (id), 
	CONSTRAINT fk_planned_area_combine_id FOREIGN KEY(combine_id) REFERENCES machine (id), 
	CONSTRAINT fk_planned_area_header_id FOREIGN KEY(header_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "planned_area" VALUES(X'DCF89C816C4888B4AFA049B6DD687E4D',0,X'9CCC66CD667F800C9EE06228AF690B3F',4,X'C0D2856B74D08F05B9D4456B17795035','very_stony',X'375676BD26868505A68FCE072799A6E0',X'BC020A35B7F98B1382E7B534C68E3C53',X'BC020A35B7F98B1382E7B534C68E3C53');
CREATE TABLE reading (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	meter_id BLOB NOT NULL, 
	at INTEGER NOT NULL, 
	shown_usage INTEGER NOT NULL CONSTRAINT ck_reading_shown_usage CHECK (shown_usage >= 0), 
	new_leg INTEGER NOT NULL, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_reading PRIMARY KEY (id), 
	CONSTRAINT ck_reading_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_reading_new_leg CHECK (new_leg IN (0, 1)), 
	CONSTRAINT fk_reading_meter_id FOREIGN KEY(meter_id) REFERENCES meter (id)
)
 STRICT

;
INSERT INTO "reading" VALUES(X'D70AFCA6152088389A3D858E60DDA12F',0,X'5EFF322A1BD4864E9DB317C7F60B1B65',1721532600250001,5,1,'reading note, señal 3/8″');
CREATE TABLE repair (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	kind TEXT NOT NULL CONSTRAINT ck_repair_kind CHECK (kind IN ('breakdown', 'planned', 'overhaul')), 
	started_at INTEGER NOT NULL, 
	ended_at INTEGER, 
	labour_seconds INTEGER CONSTRAINT ck_repair_labour_seconds CHECK (labour_seconds >= 0), 
	hired_minor INTEGER CONSTRAINT ck_repair_hired_minor CHECK (hired_minor >= 0), 
	component_id BLOB, 
	note TEXT NOT NULL, 
	invoice TEXT NOT NULL, 
	person_id BLOB, 
	CONSTRAINT pk_repair PRIMARY KEY (id), 
	CONSTRAINT ck_repair_started_at_ended_at CHECK (ended_at IS NULL OR ended_at >= started_at), 
	CONSTRAINT ck_repair_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_repair_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_repair_component_id FOREIGN KEY(component_id) REFERENCES component (id), 
	CONSTRAINT fk_repair_person_id FOREIGN KEY(person_id) REFERENCES person (id)
)
 STRICT

;
INSERT INTO "repair" VALUES(X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6',0,X'BC020A35B7F98B1382E7B534C68E3C53','overhaul',1721536200250001,1721539800250001,7,8,X'6985CA1F4DAA8A588A28EAE043A239CB','repair note, señal 3/8″','repair invoice, señal 3/8″',X'38A81E87E79681E682BF5FBD307CE2FC');
CREATE TABLE run (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	combine_id BLOB NOT NULL, 
	header_id BLOB, 
	field_id BLOB, 
	crop_id BLOB, 
	started_at INTEGER NOT NULL, 
	ended_at INTEGER NOT NULL, 
	area_square_metres INTEGER NOT NULL CONSTRAINT ck_run_area_square_metres CHECK (area_square_metres >= 0), 
	separator_seconds INTEGER CONSTRAINT ck_run_separator_seconds CHECK (separator_seconds >= 0), 
	cut_height TEXT CONSTRAINT ck_run_cut_height CHECK (cut_height IN ('high', 'medium', 'low', 'on_the_ground')), 
	crop_state TEXT CONSTRAINT ck_run_crop_state CHECK (crop_state IN ('standing', 'leaning', 'lodged', 'swathed')), 
	yield_grams_per_hectare INTEGER CONSTRAINT ck_run_yield_grams_per_hectare CHECK (yield_grams_per_hectare >= 0), 
	CONSTRAINT pk_run PRIMARY KEY (id), 
	CONSTRAINT ck_run_started_at_ended_at CHECK (ended_at IS NULL OR ended_at >= started_at), 
	CONSTRAINT ck_run_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_run_combine_id FOREIGN KEY(combine_id) REFERENCES machine (id), 
	CONSTRAINT fk_run_header_id FOREIGN KEY(header_id) REFERENCES machine (id), 
	CONSTRAINT fk_run_field_id FOREIGN KEY(field_id) REFERENCES field (id), 
	CONSTRAINT fk_run_crop_id FOREIGN KEY(crop_id) REFERENCES crop (id)
)
 STRICT

;
INSERT INTO "run" VALUES(X'ACBA25512100880B96FC3CCD14C65BE5',0,X'BC020A35B7F98B1382E7B534C68E3C53',X'BC020A35B7F98B1382E7B534C68E3C53',X'C0D2856B74D08F05B9D4456B17795035',X'375676BD26868505A68FCE072799A6E0',1721543400250001,1721547000250001,9,10,'on_the_ground','swathed',13);
CREATE TABLE run_condition (
	run_id BLOB NOT NULL, 
	place INTEGER NOT NULL, 
	condition TEXT NOT NULL CONSTRAINT ck_run_condition_condition CHECK (condition IN ('rain', 'dew', 'rough_ground', 'tank_full', 'header_raised', 'turning', 'hot', 'cold', 'dust', 'after_wash')), 
	CONSTRAINT pk_run_condition PRIMARY KEY (run_id, place), 
	CONSTRAINT fk_run_condition_run_id FOREIGN KEY(run_id) REFERENCES run (id)
)
 WITHOUT ROWID,
 STRICT

;
INSERT INTO "run_condition" VALUES(X'ACBA25512100880B96FC3CCD14C65BE5',1,'rain');
INSERT INTO "run_condition" VALUES(X'ACBA25512100880B96FC3CCD14C65BE5',2,'dew');
CREATE TABLE same_as (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	table_name TEXT NOT NULL, 
	row_id BLOB NOT NULL, 
	kept_row_id BLOB NOT NULL, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_same_as PRIMARY KEY (id), 
	CONSTRAINT ck_same_as_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "same_as" VALUES(X'475207DF96758021BCAC95EECD7CEC80',0,'same_as table_name, señal 3/8″',X'5F7195410C3B8D18801AB4446786D502',X'3A88092EEC47820CAB1D579225EBDF63','same_as note, señal 3/8″');
CREATE TABLE season (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	harvest_year INTEGER NOT NULL CONSTRAINT ck_season_harvest_year CHECK (harvest_year >= 1900), 
	starts_on TEXT NOT NULL, 
	ends_on TEXT NOT NULL, 
	CONSTRAINT pk_season PRIMARY KEY (id), 
	CONSTRAINT ck_season_starts_on_ends_on CHECK (ends_on IS NULL OR ends_on >= starts_on), 
	CONSTRAINT ck_season_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "season" VALUES(X'8F8E24F65C5789D586FE81ADFCA35EF3',0,1902,'2024-01-05','2024-01-06');
CREATE TABLE season_plan (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	season_id BLOB NOT NULL, 
	name TEXT NOT NULL, 
	budget_minor INTEGER CONSTRAINT ck_season_plan_budget_minor CHECK (budget_minor >= 0), 
	shop_seconds INTEGER CONSTRAINT ck_season_plan_shop_seconds CHECK (shop_seconds >= 0), 
	CONSTRAINT pk_season_plan PRIMARY KEY (id), 
	CONSTRAINT ck_season_plan_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_season_plan_season_id FOREIGN KEY(season_id) REFERENCES season (id)
)
 STRICT

;
INSERT INTO "season_plan" VALUES(X'9CCC66CD667F800C9EE06228AF690B3F',0,X'8F8E24F65C5789D586FE81ADFCA35EF3','season_plan name, señal 3/8″',5,6);
CREATE TABLE service_done (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	service_item_id BLOB NOT NULL, 
	at INTEGER NOT NULL, 
	labour_seconds INTEGER CONSTRAINT ck_service_done_labour_seconds CHECK (labour_seconds >= 0), 
	cost_minor INTEGER CONSTRAINT ck_service_done_cost_minor CHECK (cost_minor >= 0), 
	note TEXT NOT NULL, 
	person_id BLOB, 
	CONSTRAINT pk_service_done PRIMARY KEY (id), 
	CONSTRAINT ck_service_done_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_service_done_service_item_id FOREIGN KEY(service_item_id) REFERENCES service_item (id), 
	CONSTRAINT fk_service_done_person_id FOREIGN KEY(person_id) REFERENCES person (id)
)
 STRICT

;
INSERT INTO "service_done" VALUES(X'EF9649492F218475A3B4B1E11DA688DA',0,X'35D1481FC9BF80548CABB0BC26E3444B',1721532600250001,5,6,'service_done note, señal 3/8″',X'38A81E87E79681E682BF5FBD307CE2FC');
CREATE TABLE service_item (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	name TEXT NOT NULL, 
	meter_kind TEXT CONSTRAINT ck_service_item_meter_kind CHECK (meter_kind IN ('area', 'separator_hours', 'engine_hours', 'calendar')), 
	interval_usage INTEGER CONSTRAINT ck_service_item_interval_usage CHECK (interval_usage >= 1), 
	interval_months INTEGER CONSTRAINT ck_service_item_interval_months CHECK (interval_months >= 1), 
	evidence TEXT NOT NULL CONSTRAINT ck_service_item_evidence CHECK (evidence IN ('published', 'from_memory', 'computed', 'common_practice', 'machine_book', 'own_records', 'neighbours')), 
	hazard TEXT CONSTRAINT ck_service_item_hazard CHECK (hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank', 'battery', 'fire', 'tire', 'lifting', 'spring')), 
	component_id BLOB, 
	first_usage INTEGER CONSTRAINT ck_service_item_first_usage CHECK (first_usage >= 1), 
	times INTEGER CONSTRAINT ck_service_item_times CHECK (times >= 1), 
	halved INTEGER NOT NULL, 
	ended_at INTEGER, 
	CONSTRAINT pk_service_item PRIMARY KEY (id), 
	CONSTRAINT ck_service_item_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_service_item_halved CHECK (halved IN (0, 1)), 
	CONSTRAINT fk_service_item_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_service_item_component_id FOREIGN KEY(component_id) REFERENCES component (id)
)
 STRICT

;
INSERT INTO "service_item" VALUES(X'35D1481FC9BF80548CABB0BC26E3444B',0,X'BC020A35B7F98B1382E7B534C68E3C53','service_item name, señal 3/8″','calendar',6,7,'neighbours','spring',X'6985CA1F4DAA8A588A28EAE043A239CB',11,12,1,1721568600250001);
CREATE TABLE set_up (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	name TEXT NOT NULL, 
	labour_seconds INTEGER NOT NULL CONSTRAINT ck_set_up_labour_seconds CHECK (labour_seconds >= 0), 
	one_person INTEGER NOT NULL, 
	CONSTRAINT pk_set_up PRIMARY KEY (id), 
	CONSTRAINT ck_set_up_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_set_up_one_person CHECK (one_person IN (0, 1)), 
	CONSTRAINT fk_set_up_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "set_up" VALUES(X'F617495BE1C58412AAD681601F5BB673',0,X'BC020A35B7F98B1382E7B534C68E3C53','set_up name, señal 3/8″',5,1);
CREATE TABLE set_up_kind (
	set_up_id BLOB NOT NULL, 
	place INTEGER NOT NULL, 
	part_kind_id BLOB NOT NULL, 
	CONSTRAINT pk_set_up_kind PRIMARY KEY (set_up_id, place), 
	CONSTRAINT fk_set_up_kind_set_up_id FOREIGN KEY(set_up_id) REFERENCES set_up (id), 
	CONSTRAINT fk_set_up_kind_part_kind_id FOREIGN KEY(part_kind_id) REFERENCES part_kind (id)
)
 WITHOUT ROWID,
 STRICT

;
INSERT INTO "set_up_kind" VALUES(X'F617495BE1C58412AAD681601F5BB673',1,X'FA3349DC747D8F7B919452138F3A19BB');
CREATE TABLE setting (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	"key" TEXT NOT NULL, 
	content TEXT NOT NULL, 
	CONSTRAINT pk_setting PRIMARY KEY (id), 
	CONSTRAINT ck_setting_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "setting" VALUES(X'EC72B9566A9C8501838AE30AEEADB527',0,'setting key, señal 3/8″','edited');
CREATE TABLE stock_move (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	part_id BLOB NOT NULL, 
	at INTEGER NOT NULL, 
	change TEXT NOT NULL CONSTRAINT ck_stock_move_change CHECK (change IN ('received', 'used', 'returned', 'counted')), 
	quantity INTEGER NOT NULL CONSTRAINT ck_stock_move_quantity CHECK (quantity >= 0), 
	unit_cost_minor INTEGER CONSTRAINT ck_stock_move_unit_cost_minor CHECK (unit_cost_minor >= 0), 
	repair_id BLOB, 
	breakage_id BLOB, 
	note TEXT NOT NULL, 
	part_order_id BLOB, 
	service_done_id BLOB, 
	CONSTRAINT pk_stock_move PRIMARY KEY (id), 
	CONSTRAINT ck_stock_move_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_stock_move_part_id FOREIGN KEY(part_id) REFERENCES part (id), 
	CONSTRAINT fk_stock_move_repair_id FOREIGN KEY(repair_id) REFERENCES repair (id), 
	CONSTRAINT fk_stock_move_breakage_id FOREIGN KEY(breakage_id) REFERENCES breakage (id), 
	CONSTRAINT fk_stock_move_part_order_id FOREIGN KEY(part_order_id) REFERENCES part_order (id), 
	CONSTRAINT fk_stock_move_service_done_id FOREIGN KEY(service_done_id) REFERENCES service_done (id)
)
 STRICT

;
INSERT INTO "stock_move" VALUES(X'5631D54610F4854A94320A2F4DC44B13',0,X'37A680133BD08342B934AFB8DD2C7D9E',1721532600250001,'counted',6,7,X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6',X'A167768924338717A5281BB03B15CB97','stock_move note, señal 3/8″',X'0F474E27B493808D81737BBABE0E47B2',X'EF9649492F218475A3B4B1E11DA688DA');
CREATE TABLE stoppage (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	started_at INTEGER NOT NULL, 
	ended_at INTEGER, 
	reason TEXT NOT NULL CONSTRAINT ck_stoppage_reason CHECK (reason IN ('breakdown', 'weather', 'waiting', 'moisture', 'service', 'other')), 
	repair_id BLOB, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_stoppage PRIMARY KEY (id), 
	CONSTRAINT ck_stoppage_started_at_ended_at CHECK (ended_at IS NULL OR ended_at >= started_at), 
	CONSTRAINT ck_stoppage_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_stoppage_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_stoppage_repair_id FOREIGN KEY(repair_id) REFERENCES repair (id)
)
 STRICT

;
INSERT INTO "stoppage" VALUES(X'231DCD28944D8E9B883C2D1B3FC426DE',0,X'BC020A35B7F98B1382E7B534C68E3C53',1721532600250001,1721536200250001,'other',X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6','stoppage note, señal 3/8″');
CREATE TABLE supplier (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	distance_metres INTEGER CONSTRAINT ck_supplier_distance_metres CHECK (distance_metres >= 0), 
	phone TEXT NOT NULL, 
	after_hours_phone TEXT NOT NULL, 
	after_hours_fee_minor INTEGER CONSTRAINT ck_supplier_after_hours_fee_minor CHECK (after_hours_fee_minor >= 0), 
	note TEXT NOT NULL, 
	CONSTRAINT pk_supplier PRIMARY KEY (id), 
	CONSTRAINT ck_supplier_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "supplier" VALUES(X'955ED10B73D6865B9ADCF768B94F8DD5',0,'supplier name, señal 3/8″',4,'supplier phone, señal 3/8″','supplier after_hours_phone, señal 3/8″',7,'supplier note, señal 3/8″');
CREATE TABLE supplier_hours (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	supplier_id BLOB NOT NULL, 
	weekday INTEGER NOT NULL CONSTRAINT ck_supplier_hours_weekday CHECK (weekday >= 0), 
	opens_seconds INTEGER NOT NULL CONSTRAINT ck_supplier_hours_opens_seconds CHECK (opens_seconds >= 0), 
	closes_seconds INTEGER NOT NULL CONSTRAINT ck_supplier_hours_closes_seconds CHECK (closes_seconds >= 0), 
	CONSTRAINT pk_supplier_hours PRIMARY KEY (id), 
	CONSTRAINT ck_supplier_hours_weekday_most CHECK (weekday <= 6), 
	CONSTRAINT ck_supplier_hours_opens_seconds_closes_seconds CHECK (closes_seconds IS NULL OR closes_seconds >= opens_seconds), 
	CONSTRAINT ck_supplier_hours_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_supplier_hours_supplier_id FOREIGN KEY(supplier_id) REFERENCES supplier (id)
)
 STRICT

;
INSERT INTO "supplier_hours" VALUES(X'268E9728B37288AAA351F5E9C80B19F4',0,X'955ED10B73D6865B9ADCF768B94F8DD5',4,5,6);
CREATE TABLE supply (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	part_id BLOB NOT NULL, 
	supplier_id BLOB NOT NULL, 
	price_minor INTEGER CONSTRAINT ck_supply_price_minor CHECK (price_minor >= 0), 
	quoted_lead_days INTEGER CONSTRAINT ck_supply_quoted_lead_days CHECK (quoted_lead_days >= 0), 
	their_number TEXT NOT NULL, 
	CONSTRAINT pk_supply PRIMARY KEY (id), 
	CONSTRAINT ck_supply_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_supply_part_id FOREIGN KEY(part_id) REFERENCES part (id), 
	CONSTRAINT fk_supply_supplier_id FOREIGN KEY(supplier_id) REFERENCES supplier (id)
)
 STRICT

;
INSERT INTO "supply" VALUES(X'F30DFE1CFB6D86D18962DD71424767E4',0,X'37A680133BD08342B934AFB8DD2C7D9E',X'955ED10B73D6865B9ADCF768B94F8DD5',5,6,'supply their_number, señal 3/8″');
CREATE TABLE supply_asked (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	supplier_id BLOB NOT NULL, 
	part_id BLOB NOT NULL, 
	at INTEGER NOT NULL, 
	had_it INTEGER NOT NULL, 
	CONSTRAINT pk_supply_asked PRIMARY KEY (id), 
	CONSTRAINT ck_supply_asked_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_supply_asked_had_it CHECK (had_it IN (0, 1)), 
	CONSTRAINT fk_supply_asked_supplier_id FOREIGN KEY(supplier_id) REFERENCES supplier (id), 
	CONSTRAINT fk_supply_asked_part_id FOREIGN KEY(part_id) REFERENCES part (id)
)
 STRICT

;
INSERT INTO "supply_asked" VALUES(X'AA47DCE2E44D82E28AFBB8F27DF864D9',0,X'955ED10B73D6865B9ADCF768B94F8DD5',X'37A680133BD08342B934AFB8DD2C7D9E',1721536200250001,1);
CREATE TABLE trade_offer (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	title TEXT NOT NULL, 
	price_minor INTEGER NOT NULL CONSTRAINT ck_trade_offer_price_minor CHECK (price_minor >= 0), 
	allowance_minor INTEGER CONSTRAINT ck_trade_offer_allowance_minor CHECK (allowance_minor >= 0), 
	separator_seconds INTEGER CONSTRAINT ck_trade_offer_separator_seconds CHECK (separator_seconds >= 0), 
	engine_seconds INTEGER CONSTRAINT ck_trade_offer_engine_seconds CHECK (engine_seconds >= 0), 
	model_year INTEGER CONSTRAINT ck_trade_offer_model_year CHECK (model_year >= 1900), 
	list_price_minor INTEGER CONSTRAINT ck_trade_offer_list_price_minor CHECK (list_price_minor >= 0), 
	warranty_seconds INTEGER CONSTRAINT ck_trade_offer_warranty_seconds CHECK (warranty_seconds >= 0), 
	warranty_months INTEGER CONSTRAINT ck_trade_offer_warranty_months CHECK (warranty_months >= 0), 
	offered_at INTEGER NOT NULL, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_trade_offer PRIMARY KEY (id), 
	CONSTRAINT ck_trade_offer_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_trade_offer_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "trade_offer" VALUES(X'425AC4D4DE398632AA3FCA1B2C6FE7E0',0,X'BC020A35B7F98B1382E7B534C68E3C53','trade_offer title, señal 3/8″',5,6,7,8,1908,10,11,12,1721565000250001,'trade_offer note, señal 3/8″');
CREATE TABLE version (
	id BLOB NOT NULL, 
	deed_id BLOB NOT NULL, 
	row_id BLOB NOT NULL, 
	table_name TEXT NOT NULL, 
	doing TEXT NOT NULL CONSTRAINT ck_version_doing CHECK (doing IN ('entered', 'edited', 'voided', 'undone', 'settled')), 
	revision TEXT NOT NULL, 
	content BLOB NOT NULL, 
	digest BLOB NOT NULL, 
	CONSTRAINT pk_version PRIMARY KEY (id), 
	CONSTRAINT fk_version_deed_id FOREIGN KEY(deed_id) REFERENCES deed (id)
)
 STRICT

;
INSERT INTO "version" VALUES(X'01A223D244437C8DA2E4E854AA184F62',X'01A223D244337118839CC3A9B2A22230',X'EC72B9566A9C8501838AE30AEEADB527','setting','entered','0002',X'01AB46D2519C5A52929997AE0015D151284E3DBC313147C158DFE251C3669879A9C9E6464996A666BA668996C9BA16A60686BA16C61689BAA9C60689A9A9892949A646E670FB6046027998C6A1BA0400',X'12B20760665E3A893C4402F16FDC82981FA722C9D153B6A045393CDBC886E32C');
INSERT INTO "version" VALUES(X'01A223D24444709BAEAF39227CB9E57A',X'01A223D244337118839CC3A9B2A22230',X'6D006A9378ED80A7B045637166A18320','import_batch','entered','0002',X'01AB865B6502B6CA30C4C0C4CA186C959129D026434CAB32730BF28B4AE293124B92331420A23A0AC5A9873726E62818EB5B3C6AD80C738C598A818159A2A5B1AEB9456A8AAE8541A2B96E928189A9AE99B1B9A19959A2A185B191019A63CD901C8B62114414D32254EF0000',X'412CDB0E7719EECD24023CE81046C0B5BBFEFC1361D3492C9A30524FFE4F401E');
INSERT INTO "version" VALUES(X'01A223D24444729CBC26A81558FBB8AE',X'01A223D244337118839CC3A9B2A22230',X'4C88804962708F879D35AA63A35B18BB','import_profile','entered','0002',X'01AB46D292995B905F54125F50949F969993AA0095D051284E3DBC313147C158DFE251C36698B926C9161616062696BA6646E606BA166916E6BA9629C6A6BA898966C689C6A64986164949087BD18C0689629A8BEA3200',X'B28E38FCB2F2BA0ABB95E3262F4B44BE2B4808108DDE04AB52FF18936DFF8219');
INSERT INTO "version" VALUES(X'01A223D244447579AE9983A08C90ABF2',X'01A223D244337118839CC3A9B2A22230',X'3AEB2408E96A8A98BFD3CE869CEEF263','outside_line','entered','0002',X'016D914B0EC2300C44AF52758D4513A7A9C339D8A338712424048BC28A0D57421C819B70124AA13F85ED683C7AE3B98E6CA66753DB8A36D8B3E9BA435339DBE9726EBB88DD617F94E2ABAE8A569E777F28704DAFDB63A0472FAC4D4520CE7A20EF0838458420645D1049DAE2ACDD22B817F3DC59FD857DD0F38BE945A58EBA41090C422601311AF0893D241B18119B98C875175C292DAA71203A44206B0CB8BA664862A360AD82E3A69CFEBDE0F86839C3B8C7D2DBAB7FDCBFC55A39EFFCC79EADF606',X'ED4687E91B94627461CFF34AE86AE0E2BDBC37F6DD96FD5662A308343CC8484B');
INSERT INTO "version" VALUES(X'01A223D244447723BE8695A768D51C57',X'01A223D244337118839CC3A9B2A22230',X'475207DF96758021BCAC95EECD7CEC80','same_as','entered','0002',X'01658FB11102310C045BF902D020CB962557C3D8B21C917D48424B0C25D00995F03F0CF3C08777C1EDDEE53D9D8409A50F285918142940B36A50D8DDBA989BE20E1DAB2A1672704B024A68505BE8C05288D85B1F396E6AF36270AAF3B4C6C334FBE356CF533CEAF37AFFB6E621A1700A80161B680FBAE8840A2DA594457367A4FF579FE9ADDC037E6FBF00',X'B04FCBE56B9B9A374EF72F2D2393FA5276967C31794222873AC7AF578F07B387');
INSERT INTO "version" VALUES(X'01A223D2444478F69A83B2D7A95AE2F4',X'01A223D244337118839CC3A9B2A22230',X'AB27B729D9CC8CB18009607004469241','exchange','entered','0002',X'01AB865B6C02B6D830C4C0C4CA186CB19129D05E43748BCD912C4EAD48CE48CC4B4F558088E82814A71EDE9898A360AC6FF1A86133B2B3102AC122D854221C5D92989D9A179F990773786292917992B991A56E8A6572B2AE457292A1AE858181A5AE9981B98181898999A591892186C700',X'E9995B70EB6B5829EBA346BFC97C7E62AE5F2C53B245395C1C0B2664CF616976');
INSERT INTO "version" VALUES(X'01A223D244447A75BCEC07969ACDB55B',X'01A223D244337118839CC3A9B2A22230',X'38A81E87E79681E682BF5FBD307CE2FC','person','entered','0002',X'01AB866835B648B4304CB530D74D35B734D30532818451529AAE695A528AB1817972AA515A32C2E882D4A2E2FC3C05104F47A138F5F0C6C41C05637D8B470D9B1196C2D40079986A60CE812A02733155A1BA1400',X'390BE581374785150877ADB8DB5C4CAA89186EAE3E7C9D7F57A8C9A3908DAA77');
INSERT INTO "version" VALUES(X'01A223D244447CAF9B2B02FE4179B5C5',X'01A223D244337118839CC3A9B2A22230',X'0FCABE1ACFAD83A0BEABCB70D5102E6F','caution_read','entered','0002',X'0165D04B0A02310C06E0AB94591BECC34EABE7F002699AC88088CCE8CA8D57128FE04D3C89758462994D08FF22F9925B256C6682D96BBF7333C1FA22304B02E1F53294E16359AC7EE94A4DFC7AE051B9757CDF9FFFC8E93C0EA743E509616283408219A2430D893101A5A0B337DA722F2DBF7311A3E11880C3B687D29662938097949D0EC456A8AB0736B86FB6A4B50FF800',X'FFD0CDA67718F734024B29F752520679A310FAC53F76CA4D385E114596085DCC');
INSERT INTO "version" VALUES(X'01A223D244447F3EB07DE692B6CA2807',X'01A223D244337118839CC3A9B2A22230',X'BC020A35B7F98B1382E7B534C68E3C53','machine','entered','0002',X'01AB46F68D9291819189AE81A1AE81A5124E5F99627A293731390328A08022AEA3509C7A7863628E82B1BEC5A386CD306F27251B1819241A9BEA2699A759EA5A24191AEB5A18A59AEB26991A9B249B59A41A279B1A23054B625109D63031470D10434B03537880C09C03E262BA021A567045402EA622F46084A94611C7D4861CD4302D70314CE5A8510100',X'6E987428E77139810F6717D3921C5D79E453E431505D7FFDBDAF701C97E4A627');
INSERT INTO "version" VALUES(X'01A223D2444571359692B9F75084E493',X'01A223D244337118839CC3A9B2A22230',X'82E910CDDF408368BAB151E853C341EE','hitch','entered','0002',X'018DCFD10D84400804D08A48600714ADE31A10169BB0F933FB7359E3C77D0F19DE5CF3F3486E7CC028D673230F0179AB95C2A0B978210D4F9C0E9C7C58770C5CB3DB26AFB83FFBC7ED1D6CC2D9A99FCAE4589CE2082193724342A5EA376E92D8BB649EFE05',X'481A64B3911492DB2FA9A64D6FB8CE948BC724D8A4BDE2C6F5DE52DAA2204EC4');
INSERT INTO "version" VALUES(X'01A223D24445730AA2BB52B10DD34100',X'01A223D244337118839CC3A9B2A22230',X'5EFF322A1BD4864E9DB317C7F60B1B65','meter','entered','0002',X'01658E3D0E803008464FF425A514A8C729944EC6C1D5CB3B3898E801DECFF5D0926B71AD03E4B3A16B4B6CD31964614B8B93ABBCF6187B1E739CDF8247A965B0C06D6DE84E8C5ED3E0C22DB42787F0EFE006',X'A097495B34011B5509F20F37D021A24DD9312564229808443FA431502FF51C42');
INSERT INTO "version" VALUES(X'01A223D2444574D3AA7090843FCAC768',X'01A223D244337118839CC3A9B2A22230',X'D70AFCA6152088389A3D858E60DDA12F','reading','entered','0002',X'015DCFB111C2300C85E1553C003A2CCBB215E6600139B239EE388A00154D56E218814D9804480124E5ABBEFF5DBF7E9C7CDC7ADAD0E4077EF338F72D7B6DBD26400E1E4448A0533210969ABC996268F33EAEAD51080A582C82A458A1B34280B9CF2DF98225F17FFF79B8FCF287AAB63FEEDC67AEDCA93E6E7A70B496E7785F3EE3E5B317',X'7D9ED342A7709B4B58E24D8EAA02D967FD6005B73B6953E00FA57CA51E7EA3BD');
INSERT INTO "version" VALUES(X'01A223D244457639A6E558F3A0C04354',X'01A223D244337118839CC3A9B2A22230',X'C0D2856B74D08F05B9D4456B17795035','field','entered','0002',X'01ABC66A9A09926965A94595F1C525F979953023930D528C2C4CCD9274CD4D520C742DD20C4C75932C534C744D806286E6E696A606C6A6082BD33253735214401C1D85E2D4C31B1373148CF52D1E356CC6700B00',X'BB0DF9FE846C74D235E6EE2651B6CB52326C929B0ED97221BFFDABA0B57DCD53');
INSERT INTO "version" VALUES(X'01A223D2444577B0A5669A85BB8DA455',X'01A223D244337118839CC3A9B2A22230',X'375676BD26868505A68FCE072799A6E0','crop','entered','0002',X'01AB46739909D459C6E6A666E6664929BA46661666BA16A606A6BA89661669BAC9A906E646E696968966A906F89C6D0E777372517E810288ADA3509C7A7863628E82B1BEC5A386CDB8FD6246C823A6E8BE0000',X'BAFDC3835A4403AA5946BB97B36F8F703B5C483662CF53E9A69315B9F3B244C6');
INSERT INTO "version" VALUES(X'01A223D2444D7CCFA4BCC48F4D3D1B13',X'01A223D244337118839CC3A9B2A22230',X'8F8E24F65C5789D586FE81ADFCA35EF3','season','entered','0002',X'0165CDC111C0200804C08A6E06540896E328D7449ACF23F9646860F7FEE303A2102FB84E699F1F8C6C830EDB7621E631843311BA0EF7EA96ECF57F612BFF03',X'D43A1E54277E4EBA579904776380081F7A79875299DD31011F36328E4A31A8C6');
INSERT INTO "version" VALUES(X'01A223D2444E76649EDAA29857AB49F3',X'01A223D244337118839CC3A9B2A22230',X'ACBA25512100880B96FC3CCD14C65BE5','run','entered','0002',X'018D923B6E03310C05EFA29E00258AA49473A40F44490BBB5903F9C04590BB87DE22583B5BB87D2204BE197E1F02AC0F00AD63C2460CA64B856291A0A4A9604CB94B99D4991E0187F7765E3D1CF31AF6B003298B8A0D4852040A234393B2409FA8496B6D326F35F63AC2C7B57D9EE62671E7245CD6378FBDDCE56BBD3DDEEBC91BA8F88AFA421BA8C4CE291EE8091D472A2C069A0742597C27AB2343F62CAA5646E27027F05926DB6CEBD61273F46DD0BF2F685065E940BD8FE8D36C938F4F20E2FF03F8EB25C7BD9E3D80483FBF',X'120810B17BD7F5A2BBDECFEA6D9EC05FA98AE8BEA5E98F30BB78CC15C7621B03');
INSERT INTO "version" VALUES(X'01A223D2444E7AEAB91FEFC52A944168',X'01A223D244337118839CC3A9B2A22230',X'FA3349DC747D8F7B919452138F3A19BB','part_kind','entered','0002',X'0185D2510AC22018C0F1AB8C3D27ED53433D4C0F6ED30AC6186A0F1141578A8ED04D3A4939825C7ED2AB0AFAF9FF9D17917B33853D5A39B823167934EFE7C70B7DD2B7F6933B8CBBFAD3D86AC6B8EA3B22B8E889B4A2250A14271B0A4C5AA641B56D6E000047003453000C67001C71207304021500F2A77FA787F82FEE6B60D22ECCBB555C5855DE3C6E7AA8D85A3EAF770C08089407A804076DCA34A029C2504B155E5B134E4515148A2692A9E6A57CAC3F07B69717',X'224A0A1177E745F87E242975BBBBBDD274D13E243CBF4CC295A6A4B00A0F8DE6');
INSERT INTO "version" VALUES(X'01A223D2444E7DE794286710BD4D3DC3',X'01A223D244337118839CC3A9B2A22230',X'955ED10B73D6865B9ADCF768B94F8DD5','supplier','entered','0002',X'01ABC6E50A73EC4E282E2D28C8C94C2D52C090D451284E3DBC313147C158DFE251C3666C6E35813AD4D2D43435C5D02049D7DC38C54CD7C2CC3449D73231255937CDDCCC22C9D224CD2225C514E111B895203EA62D504F225401F998AA30DC8FC3CDA8A10300',X'BCF8ED63E740DF1BAB142A20252E705956826AEB67BBA942D65A9DA27A4119A4');
INSERT INTO "version" VALUES(X'01A223D2444E7F9AA01B6D5DAA1D6205',X'01A223D244337118839CC3A9B2A22230',X'268E9728B37288AAA351F5E9C80B19F4','supplier_hours','entered','0002',X'017DCEC90DC0300804C08A907C014B39C69826A2F49E4F5EB1940A66AE43905768826DDA40DEB5113027CDCE9592B72D14AF96E31CF07760CC3B6A71D21E421076B2198B52056E2311C13FC3713F',X'04BEABE5B3DDFB6CAB4B02DDE54DC7ED8B1112968E095ACDB69127A857364052');
INSERT INTO "version" VALUES(X'01A223D2444F72BC85BB7B098AFB9E22',X'01A223D244337118839CC3A9B2A22230',X'37A680133BD08342B934AFB8DD2C7D9E','part','entered','0002',X'01AB8678DDD83CD1CCC2C0D058D73829C540D7C2D8C44837C9D2D84437312DC92225C528D93CC5321523682C3183C61C1E2E058945250A20B68E4271EAE18D89390AC6FA168F1A36238717440D9887A90A2924CDD042D2142518C1A6C0F898E6100A62B0FE78A087E2731293F24B8B9430C25BA928353935B3A044094BA01B1A600DF292A2522C216E68580B00',X'A3BAB620BF1B45397ACF58E78908FDCF255D3540AF36036777307774974D4E67');
INSERT INTO "version" VALUES(X'01A223D2444F7445A96A03CC9620D92C',X'01A223D244337118839CC3A9B2A22230',X'0E4DEEC88EE38D6D894DB74047D14058','part_fit','entered','0002',X'01658F4112C3300803FF923B33D8C2019E630CFE443E5F1F7AE834F795B47ABEA52559B58CAC0A647927994B52A8B06836E1617FA3572CEE3C310EB49D2CDA09F6528A0159B715D6C0F5AB059DB7F1C110C964904EE1109A3B2CB32F4DAFB7F69E80782ED22342B635C89B0B8DDE601BB379C4EBD607',X'AB6D6732F5B78C1081A4C862CF319AEC2E2F742842814E9F2172F856B3645287');
INSERT INTO "version" VALUES(X'01A223D2444F75EBAB425C58C59C3924',X'01A223D244337118839CC3A9B2A22230',X'F30DFE1CFB6D86D18962DD71424767E4','supply','entered','0002',X'016DCFB11102310C04C0565C001A6C4B96E472AC971D91113124B4C450029D50099E27817FD20BEEF6AE9FF981D1474F0B0C6307654FA09533B84BA24CC2D2E98787D258634240F3088A94C12A12B461EA9E17F1DAB7FCF2CFCE5B782DA57B8A0682CE93520C6AF3291356AB34667DD91F5B3B2EE13B3D84737FDEDB29E0515FB7C7EEFA1B',X'AF7EF910D46283C78B2972B2F4F4A96245FEE02F5B9AE0A8867DADF086AB91B7');
INSERT INTO "version" VALUES(X'01A223D2444F77B98C16535ECD275ECA',X'01A223D244337118839CC3A9B2A22230',X'AA47DCE2E44D82E28AFBB8F27DF864D9','supply_asked','entered','0002',X'0165CF4B0A82310C04E01305DA24CDC3737881A6690F20BAF2F2961F14A4BBD90CDFCCFB07F305D77BE11B5D30B6EDD6037E3E5E5FB777D61C1361322718EE647D05842DD45C269CFEB78BB48B954A4091058C18219C1876C9327168FA3C767B6B336B09504A019316E03D072C150BE7B59BEDF8F501',X'AA20560AC41A1BD7153B3FC11EED42B8F66074E1E94FEA9EA4F374C862604A27');
INSERT INTO "version" VALUES(X'01A223D2444F79F9B39888EDBE17054C',X'01A223D244337118839CC3A9B2A22230',X'0F474E27B493808D81737BBABE0E47B2','part_order','entered','0002',X'016DD0310EC2300C85E1AB54CC5824B1133B9C830BC47532B131B27025C411B80927A10D522BAAAE1EACEFFDF70D79A650A7F88BE333764A8893C42F949FA211530D0C4A19419C18886704562D5A5D25D6B00EEEFA3E79982FC7E156DFCF721DF0249FC76B27C76288FB8635077249E23C02AA3910A4009A91A03415B330B2E5FA972B6E721D728CD5BC5360B40492A2422E3642E3249AA94D6FE2612F286F6B7E01',X'23AE6507BEC6DE79541D3CEB2757E6092E583FA1F37CEC01A52FAB8FD045F178');
INSERT INTO "version" VALUES(X'01A223D2444F7B9CAD5A13F9A2EC4EA8',X'01A223D244337118839CC3A9B2A22230',X'6985CA1F4DAA8A588A28EAE043A239CB','component','entered','0002',X'01658FBB1102310C445BB902D0605BFE48E548B21CC11D339091D01243097442253090C0916CB0C1EE7BE7CF7C652A267140EE224052E81589C0C5434649C8A6EB7BB5908260016D8381342250F2065A305B25472BF88F370431733768B975A0D1143872869222D24089ACFA856FCBFEB0CC3E9FA677B3998E7EBFCA6EC22D3D2EB75FB9BA967B02',X'F6507895A434C474099FFE0AC331160C08DBF8170951AB1BE10E255918A8C7D5');
INSERT INTO "version" VALUES(X'01A223D2444F7DB9B48BCE77F3A989B8',X'01A223D244337118839CC3A9B2A22230',X'14D7952A779C85189D6E62CDD6305831','fitting','entered','0002',X'0175D03112C3300844D1BBB86746028420E7C80590906B4F52E6F2715CC963A7D97ADFFFFCFB2D97DF625ABAE71538DC41BDE83EA8307C242647B2DEAE2E3E5CF999F841870BCBCECA6757E6A856D0A156EBA0252B58C800C11E21948A529EDD0B55174D99805A2450628466C4E06BD308EC356C2C73199ECA2CEFFEF26D1BBF94739FD35DB9BF7BAEF705',X'4086A7A6AD5D0C733EE0EEAA79B4881DCE1901E74364F19A907C68C8520E1D13');
INSERT INTO "version" VALUES(X'01A223D24450703A81406B87074CB4C5',X'01A223D244337118839CC3A9B2A22230',X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6','repair','entered','0002',X'016D91C16DC3300C4557317C2E5189942C3A7374015226D102015AB8682EB964A5A22374934E5225309238C985007979FCEFEF6F72F6C3C8B94A74489308B0646E03194C2C2412A4B16A7F6DE2C84C27667C0979432726E6868C67E6CA132F92244A4CEE09443401C789405C0DD0C98D8DD0EAB09238DB87BCCDDD7278EA3EEDF75BB61D3DF3DFE1E762F87D67F3AB7C6D1F082E3776B5060C4219B4F808AC9180D10A68A65487F643CD74B1BFF08FDB3DFCAA979E58381A17B0320E2D99B581EA905D270AA51A7AEDEF9B3B5B4C8F2DAE9BFB07',X'5BFE182EC64BBD5F55A96C5B6F3188E65DDA1A5BB18048FE7B103E563B06B04B');
INSERT INTO "version" VALUES(X'01A223D244667FEFAC8848D8F2E322AB',X'01A223D244337118839CC3A9B2A22230',X'A167768924338717A5281BB03B15CB97','breakage','entered','0002',X'0195923D4E03410C46AFB29A7A2DD6F6FC78720E3A94C233E34188AD808E2657421C819B70922CAB48641540A1B1E4C2F2A7F7BED76F24B3F597331C7EC581B7483B5E71505868E09F381CFA967220859472050928905B3488545B8B3C0561745740738A31A52819C83383244CA08104B094890B865A72721758639650153BF8A60AA24196B15C99DAE45989732DBF63BF3AFD7F129EE4757D98D7B69DE49527D347BDB7E16B1F8767FB78D379E01BF93CBC6FC5DED1C863DA6FF42ECF157DEF1E548B07C1C6A0BD1850E76E624C56A3BB28C0B9D6C9FFAC755B8F23',X'F9D124D219CBB355B44DC71D4AA4D6C22EF565A6EAA0F5A6D2F2E9743D8C8086');
INSERT INTO "version" VALUES(X'01A223D2446774C582F3FA93002FC03A',X'01A223D244337118839CC3A9B2A22230',X'58F002F6B02B805DB3ED3604AC2F51C1','warranty_claim','entered','0002',X'016DD0CD09C2401005E056B600076776F62FD6E15D66365910A2872848F0624B62097662256A40244BAE8F7778DFBB565B84428C2135601D33A44811C4DB04A48AACE4B336F1B7D5A782684B0045AB90D0B7A0DCB5C0019D645B3C65FA5B2E320C723C8FBBDCCBFE60BEE9CA9CBAE75D7AC3EBF4BA3D2A6DA8A86EA2D21679C313D5FA8F9416A9B3BE5BEECF8F7803',X'5D40306793F4E95746477D730FA896DDBA46179FDB98DEDCD07634528E9B1A53');
INSERT INTO "version" VALUES(X'01A223D244677766B792C8196CAC5ABB',X'01A223D244337118839CC3A9B2A22230',X'6C5A6990038D86C5ACDDF6C983345ED1','measurement','entered','0002',X'0175CFBB0D02310C80E15532001649FC90CD1C2C609C5C0515250D2B2146601326219CE02490AEB164BBF9FECB22A15952F69976384B2A0F4859938829879709A8B9833AEB1855A17BCF845ED1E2F0954AB08B59868CDA40C70A1EADC124618A48DC5B592D91A5E4F33F0D437A9F36E9DC1F373F26DCEAF37AFF09A5FFD017',X'7CFA9BC3AD90FB0C25E5FA5868E943A9892FBEC2813733971D763033B57F65CE');
INSERT INTO "version" VALUES(X'01A223D244677A079965F66A8D7D2F00',X'01A223D244337118839CC3A9B2A22230',X'231DCD28944D8E9B883C2D1B3FC426DE','stoppage','entered','0002',X'016D90C11182400C455B61389B914D0204EBB081CD6E560FCEC088372FB6E458829D5889C001413DE6F026FFBDEB62DF48F344BB7DC13B9A682C07D8CDF4B414C9C51051A0618E20D6288850008C4E2905C62ADAB79D86020B4F25689D1A10750482568396C4A112A350D2C7BEBFB45DE70F968DF726EBED79F7A78CB6F2BA3D9665DACBD1CEEB2AB977DE714A0CDE2B83B848E0931A60A264C323B450E5BFDD6673FA6FBEEEF606',X'3CC0904212ECC8248413EF5BB880DE4B3369ADFF0140A963C58B97680B4F5FCC');
INSERT INTO "version" VALUES(X'01A223D244677CE4A79A35F01CFE4649',X'01A223D244337118839CC3A9B2A22230',X'35D1481FC9BF80548CABB0BC26E3444B','service_item','entered','0002',X'016DD2C16EC2300C00D05FA9721DDE1C3B695DBE833BB243CA2A3136B570E2C22FA17DC2FE645FB2204D8365BB58B22FB69F7DAAD6766D2F31A91F206C5441344A09249035636025EE93B97B18474801B003F22BCF4BC625E2234544F40F784DDC2FB67D1EB7CFF67A9CE65ACCFB9BD7613ADE71B9F96D1AF75BF74DC671E3839411536F0308C60092D4C0D012B5994308F61F69F7D7B3AD302D21A17204EB861EC43C8350EEC02287D44AE614B9C2764977454327F7433E971EE525D6E321BF34D7DAA299F3C745770D3FC9E7F9FD76124FF541BE00',X'A33F450623612FA06E83799840785445F532E1AF5715A6E972A00BF3D367B8C5');
INSERT INTO "version" VALUES(X'01A223D244677ECC8E63F9823E33FCD7',X'01A223D244337118839CC3A9B2A22230',X'EF9649492F218475A3B4B1E11DA688DA','service_done','entered','0002',X'016DD0B10D02310C05D0554E576311C74ECE610E168813A7425050D2B0126204366112C2094E425C6359D62FDEF765F1F1ECC3BDA31DCD3E1F3A0F577DF183B39622274EE09B47109E026452064543AC398AD4BC820F8BFCABACA7A30DEFDB6638DBE3960F036DE579BDFF361B49B2A0C90436A5087DEDC36B83D0B4929B8AF956C6B5EE142AB26083927A5C5C60909215D469F1D18899F5EF372F',X'BC63A9845D21C9BE5B3A3ACBC7732423BAA990DA5C3928510216F81FAF90BF3A');
INSERT INTO "version" VALUES(X'01A223D24468713DA49E8A4C51053AD2',X'01A223D244337118839CC3A9B2A22230',X'5631D54610F4854A94320A2F4DC44B13','stock_move','entered','0002',X'016D913B5243310C00AF92718D06CB922D9973D033D2B3DDF049918486862B311C819B70129C142481D7AA90B4BB6FBF987CC2C4FB487774C24C7952E23A66302C22452B2426021514B09C14D03D92635EBC4AB810B16C0F2FFBB3875C085BE6021807836636A84C09A2A5C16D6176A4B3A7DD7EBB3C3E3C6F5FFBE638B9D9ECFAD7873D6DE856BFDF3FAF2C9258D18804E42D821227F04A0C365C5B4B8BB4DAFF5B0EF30BE19E049CEBC489DA405108C4DDBCC7CEE2295C7628571DA60E431E13C5CC270F363A5EEC90068DAE9D525F4A582915FAA8852B4F8F2321284B06A3B9C2B123B6C9A2CDC24A4BF91BF207',X'FA60831828FF7E5328E0289499EC51207D087ED9AA30AADB3ED1BE0BB0DEBF06');
INSERT INTO "version" VALUES(X'01A223D2446873CE8BB349E704309D29',X'01A223D244337118839CC3A9B2A22230',X'F617495BE1C58412AAD681601F5BB673','set_up','entered','0002',X'016DCF3D0EC2300C86E1AB549DB188E338764E83E2FC4C0C88B6130B57423D0237E124083120958EDFF4BDCFED7BD9234A486CD0B03068400F39D7088AD16167B328B493C49B242BCEBB4C0C263D811A12A86F02C6144AD44685E9973CB5F9B45C86CF3A0C537B3EF279A0A3BEEEEB06335F971DCBD8335148B58004A9A05D0C12A600EC91B453C66436FE89DF',X'F47888E6B2746EC3F65A7F3645246BF504FB4581CB29F8C6671B22E123AC15DE');
INSERT INTO "version" VALUES(X'01A223D2446876E4A6CF0706274DC7C3',X'01A223D244337118839CC3A9B2A22230',X'425AC4D4DE398632AA3FCA1B2C6FE7E0','trade_offer','entered','0002',X'0185D1CD0DC2300C05E0553A0016B19DBF320777E424EE8913704348AC843A029B3009254280DA485CDFC17EFADE7969E49740F1AD63C949B6C54251EE217A2610E101B260A2EC070D6A9A7A686676291B32C20E5218A64B0919226980E4D8661F95B3E3992DF6267E6C4F0729BAABBCDD2B5A7547BDDF64DFF13A3EAE6383DE567ADC226DB8D2939BE4B14DEF9AF4E1EBFEFBBF66CB02FF76416AAD82787902',X'E9CBC5AC74696DEDCA9CCAB50668A523E7DF5DD657FA28888FB62532DEE06BD0');
INSERT INTO "version" VALUES(X'01A223D24468795BA7A7F9C32B1E1339',X'01A223D244337118839CC3A9B2A22230',X'3B1957F394D1889688064464FECA7A2F','inspection','entered','0002',X'0165D0BD0DC2301005E055A2D49CB07DFE3933070BD8CE9D88841244D2D1B012620436611292144481E615AFFADEBB7D1D7671E8A3B2075C1CC64D0CBD7560D6D1054188B6D14014FD14CA83B5DE0A971492915F672ECAA8840E729008943502190E901DDAE289B1385C77B4DD70E132B67D57CDCDAE1AF8F548E70AF7F4BE3FB72B6BA4449A29008759A2790A93059CE40655286CA4D4EB0FFD78E2EBDF051F',X'7EC214C198E8E70E98B92D1F16DF330EBA18417909DA16F449E19BBADF3A60FA');
INSERT INTO "version" VALUES(X'01A223D244687C22ABA9A18432543BEC',X'01A223D244337118839CC3A9B2A22230',X'17BFF8BD048286229528E03BC3FC3E52','inspection_finding','entered','0002',X'016D90316EC3300C45AF62782E11499468F23401454A41902019DAAD4BAE54F408BD494F127B485D245EFEF241FEFFDFE7539F91848B69EC905D15580BCF92189AB69051138AD5716D3CE7ECCFD7EBA9F95E3F1ED5E3547BE7EA103227604A09A42C3F0256C36ED84ADA9886354A993A82648FC02C344B20C899726FA693A6BE4EFF77DD8F173F5E0EC3E2BC0DEFEDE74BCF03EEF8F7F6BD0168242B4A220102B2CFF5AC809A3B743261C45C9AC7F10FE146CEE2BCE6ACA0E999F21D',X'0F979BE22CCF058AE94C710BC626C1572CE749CFC4CAC39E0BF05ECACDE516DB');
INSERT INTO "version" VALUES(X'01A223D24469701C993C59A17B29F8E4',X'01A223D244337118839CC3A9B2A22230',X'5AC72C8F95F8811CBA759BF68FB13202','circuit_node','entered','0002',X'017D92510E82301044AFC201DC485B0BCB694C5BDB2F0209E29731F14AC62378134F22D00A5D8AFED1D99D09ED9B6BF49EE1EBD8B4279B85C32E3BDBD743D599D8E3FBFEFC3EB954A6E4061D54D221206306B42A2554DA15E834133CE70B12550F441AD5B7DD0F2A0C574CB4C979AE84045DBA0A700804E4B6042DC5C114688591629B59DF5D1664E446A3965E2742EAAD33517F244083147892F4494CE30370BA3A681B9B012A5D1DC57477B331B8D4C5FFE7AA2D24389EA5F97F5B4572A2511A43CA97DAA6C90FD75CD1D4E6476BDFED03',X'156B6634780D2D70A9297AFE1D532776E2ABDE930F61D03BBF52F01E981DE709');
INSERT INTO "version" VALUES(X'01A223D24469734796E6C0AC95BFB702',X'01A223D244337118839CC3A9B2A22230',X'910242D755888D869E4B3F08E515CBAF','circuit_edge','entered','0002',X'018DCE410EC0200844D11391088AC27104E502A6AB5EBEDD344D5D753F99FFCEFD93BB377209500E014174B0DE18D4A24A18664AF4341513151A0D98E5DE0EA9A0B318E4483219D9ADC76BB263EDA49FB12FF902',X'423879DF68C9E1AFFBC003B56CF9F40D2C4B77EC9E86A4CC1CD996F029498876');
INSERT INTO "version" VALUES(X'01A223D24469781EBC6328EA91F0106A',X'01A223D244337118839CC3A9B2A22230',X'67848298931780A799B7EBBEC84B726B','circuit_cut','entered','0002',X'01658EDB0D033108042B5AC9066396720C324D5CF38994AF2405CCE3F908B6735182089D0E8EE38848C7CDBCC5952E3B7F035943C651437A07985341B98E345DB579B54CBF06EC944BB111D604E72CE47143646FF69B97217F832F',X'F5F205E0B462BF0266F22DB23775DB0F2E2F50FB2ADD4D0BFBA360DA3D44679E');
INSERT INTO "version" VALUES(X'01A223D24476703D8A47F144AD3DA94F',X'01A223D244337118839CC3A9B2A22230',X'F1C562EAE32F8CC2A97DC9D768B89D1B','fault','entered','0002',X'017D914B0AC2401044AF12B2B631339D99E9F11C5E60BE20041731E24204AF241EC19B7812F333311FDC75353455F5FAFAD32E9A735125BDDE24A7F07A9822C12DBDEFCF69F32655DEA662FB4CEEB04DC5451D8A0DA9265CD2D21C8EF5D2874BBACAA82ACF5F44913921793010904720E73818AD3C38ED95244BDA333B47685DC6338302AC8A1AC83204E2418115983B49019DC0117157B411CB9633F6434BB1DE72CABE31E8E7F1059D5BAB96767F9ED3DD0D9BF9EDED03',X'32B4589ACC14CA01DD9935469ED3BC92FF4F371BD4BE0F28FFD3634465D638BA');
INSERT INTO "version" VALUES(X'01A223D24476750794E46894A1C1B556',X'01A223D244337118839CC3A9B2A22230',X'3B230508E3D9861BB9328CEBA4496456','fault_sign','entered','0002',X'015590410AC2301045AF52B276B09934C9CC694A264D6AA154A805176EBC9278046FE2496CD16ADD7EF8F0DEBB6C21B28ED6610A900C66A0181102FB062237DE9110375A5648FF213482A6B425CD9F86819C16103638BF9384AA625759B73150310C33703DA5BE571B156543F4182903DB4C405A4790E02DB0644759B4C112D557F60DBDF816CBB22B4EE9710B7D61F6F4BCDE7F29CEE37168EBE9D00DED5AC4AD39D434766909F55FE405',X'8DD99DB76E35B9CA0E43A0174D4AAC13E248CF8FAA815E01A329EFD2E63826F0');
INSERT INTO "version" VALUES(X'01A223D24476773EB4084AFED1D365AB',X'01A223D244337118839CC3A9B2A22230',X'E9F93B1F541C81BDA4A4CCAB4B554AF1','fault_visit','entered','0002',X'016D903D0EC2300C46AF5275C6A2CE4F93700E76E4388E54A962296261E14A882370134E425A4469058B074BCFFEBE7759E41A6933D1B86FCC4E4FB4B205C6995EA4CEC8B65542205A65F0CC0A28B8041C926B7DF42161FCB49290838E98C11A64F01813902103CC144DB4D650C66FEBF793733774A76A5C6DAA411E37EA2BBDF5CFEB7D2DA5D69E3C8A77202EB4E5B694A162799563D28D635199EB85B69AE958AE1E4ED2F7F5AFBFD980FE6F60EDEF05',X'9A0616B9F7AEFE3D684C899E60065B7369E7CB3488A95794CF61252461043003');
INSERT INTO "version" VALUES(X'01A223D244767B808564A5CB5CAE60FF',X'01A223D244337118839CC3A9B2A22230',X'9C4DEE3BFF64854B9B33C9BA136C0606','fault_check','entered','0002',X'018D924B4EC3400C86AF52CD160CF6BC32D373B0471E674695DA4651DAAED87025C411B80927216929E4D14597F6E6B7FFEF7B3B57AF346A0B5881A617C2B5C135E2937688480F380C6A0946E32D2C84132897FE659365BBBAAE1F5787FCF5C1BB95790EDFEF9F536E85C4799D19B2D1058288068E550D12EBCA8714624DE9065795638926510167492050AA812D5B10E1649373960BA92579F2BFDCA3D83A6793A0146F21389B202663FADCC464BCA047FFEFC59EB7F975C36D9B9BB11E4AB8199A3EE6DD4E2D3C2137B1645CCD75BDACE60FB5722C95965020BA12FA0FFB371357AE3FB3F85012999EA19AAA76EC4E23D3C681E7DD326D6E2299B9878AF76DEE068FE62EDE7BE0C5563BB65575A7A6E933D45DCAFE00',X'4B2525178F47DE176AE58A2794142F069F9AF4C4E4D8DA5D5548AE10B878E295');
INSERT INTO "version" VALUES(X'01A223D244767DFC8B9D8B3993D927F4',X'01A223D244337118839CC3A9B2A22230',X'B14E900DF95B89D89470C7967E015C97','fault_finding','entered','0002',X'016D90514A03410C86AFB2ECB3A193D99D4DD273F85E663289161685DD22882F5E493C8237F1240E6D69ADF81AF8C3F77D6F17BAF14887F781B6C3912EA60687FFD1E96C79B1BA2BAFBBFD61B5D96F511D354DD132D8101D58354216AAA05269E2C252B15C544E3B6F26FBA787AEDDEEBAD5BE3EF2DC0D1BFE7EFFBC51ED9F0F8FB6F467DB82A34908155C5281F69641460AA0241359C0A442D71A8BBDD8B25AFD5DA44F59292A3B487206465428991248F189BDE0D0C2F47F9BFD00',X'382BB7667ECD9BBB33F74474D4E93A14BA6744DE0E9505C6112D668CF5C31BD3');
INSERT INTO "version" VALUES(X'01A223D244777008A7EEF6162FC325BB',X'01A223D244337118839CC3A9B2A22230',X'E9A2C05E0B158B6A99CE73B64C850505','fault_opening','entered','0002',X'016DD0C10DC2300C85E155AA9EB188933AB199830512370124041270E3C24A8811D88449688BA85A847CF3E9FBDF756435030BD786566E6059EA54F88F5550C9DB1C213B5B80552D44092DA8B4C1736269317DD959A25543194C42024E3E828866082EF946994C77D3AC9AA206AB5C40A83030A2428A814052F15C12BACE5A8FE11F55DFBE3B6CAAFEB9A8CEF9798FFBCA2DF9757B4C97395EB6F9F4BBCAACDDFF6F9F6FF606',X'76D5D0C9ABB3D3EF570ED815027E2826C4B417340ED94E9FED779E0C3DB3CD43');
INSERT INTO "version" VALUES(X'01A223D2447772EC8B38B9DD710B22E2',X'01A223D244337118839CC3A9B2A22230',X'E152337E4E858A3E81482F0CE329AEC7','calibration','entered','0002',X'016D90410EC2300C04BF5271C62289E3D8E51DDC9193BAB41202097AE3C297104FE027BC04DA0320E0BADA9566E7F4028E13B05FB9B8C40938D093D7FF02CF902971CA0D842409841C812669A198E3C075ADC9C6C1D4354F01910DA20981281A888F02A175C530D46A85FF5EE6AFCBB9B8E0140932B73548F608128C2113C692C4B010BE9514DDF6F9A043BFDF556334AF8E76BBE8B6C285DCCFD7BFC6D287B1CEB4B1C3BAB37ED30D3FD21E',X'9C8469272A556AE0B51802B4A40B1048B8313A889193BBC3D783C6A617CE959A');
INSERT INTO "version" VALUES(X'01A223D244777560A5563FDCFBB831C8',X'01A223D244337118839CC3A9B2A22230',X'790AF2CFE4628E3ABD0F411E0DF12755','loss_check','entered','0002',X'018DD14B4A43411085E1AD5C32B6B0AAABEBD15947E6D2CF8901077728825B1297909D6425B641089198383D932ABEFFF59A909F85E2498876285B3E090599407453C87E09958A01330B141B09BC1083876E50846355EF5C852F04D9444D4B83A0AEE08202597D40ED68C152CADAF16FE17447982E8837155B70D102161B828F79ACA41621CE8DCC9220CBE6278225CC23D4013D6A80F97986D2704024EAD80605133947DABFACEB539D2CCFCBF7F2B0ACFDF091F70B3FFAF1FDF37A42E2FF07247AFB02',X'88755A4088C8A666350F15D508E76B329D80397964953681AEFDCFB7ADEFDDB6');
INSERT INTO "version" VALUES(X'01A223D24477776EB4433D3A3512DF12',X'01A223D244337118839CC3A9B2A22230',X'6F1E56388793804187464F259E1E1C18','moisture_sample','entered','0002',X'0175D04D0AC2301005E0AB94AE1DCC24999F780EF79236290815C5EACA8D57128FE04D3C89B1888AD4DDF016C3F7DEE9EDF3A30F97C62FDCE8B3547838E173422CDC24B0AC0C4A8620B276D066235642889CCD3FBF7CE3EBD624ABC40D884F06B42B9F9A903CF892A14820E3A87ED5E30E33B15350090ED4782C9767F09DA59031638BFAA9BFD9AE87C3719F5743DCECFA5C3DE35935E4DB25F6959BEBFD7C9D5E887F177A00',X'46C34E28D1A6EF495B3947F4CB98745473184B6711A0CB9B8756484D3F1D9A12');
INSERT INTO "version" VALUES(X'01A223D244777940B32A3BC40FCF463A',X'01A223D244337118839CC3A9B2A22230',X'9CCC66CD667F800C9EE06228AF690B3F','season_plan','entered','0002',X'0165CEC10DC2300C85E15532001621A95F9D718C639F2A84D4231756428CC0264C822A55424AAFEFF0FEEF3104787F6F66065827600E929C8D9A7B2694221A68F95AE35FDFD3F7456F699B4E69F5CF4B9754CFF27DBE079C84789902C4C63349EB4C8270928BF630ADEC510F788CF21F',X'04A74880DB74530A9166FDB9D372FFB48FCC90BFBAD2D4009D6DB38E319B26E5');
INSERT INTO "version" VALUES(X'01A223D244777B5A84A447170EB1EBA0',X'01A223D244337118839CC3A9B2A22230',X'DCF89C816C4888B4AFA049B6DD687E4D','planned_area','entered','0002',X'018D903D6A83311044EFA27E603F49FB771AA35D49A5034908985CDE264D6CECC2ED30036FDEEF4BB4FE885622A9D2688CD0EDB0381AAC2E4570EB29B65A722B77F0A5298B4A4C543181313186D8462ED2AAEE431695FB7B2569566309689F04DBB745F8ECE8B7EC5075A6C6E55F40F9599F97D3D7F7C7F9521E44BCCBFAD79DB9CDD30E48768359748C3D08DD43E614D3D55FAAF4CC14C90911DD30A284AF45905A6D6C718AB69F545F01',X'F66CA212F056F96667B7E147994E6668866F7992BF19C999445CB9232B6DB364');
INSERT INTO "version" VALUES(X'01A223D244777D7693BDEF47A1E188B7',X'01A223D244337118839CC3A9B2A22230',X'492A58960A028C969D92D858C838B827','plan_choice','entered','0002',X'016D8F310E42310C43AFC201B014D236758E939FB6E3DF98B83C5D90109FC5B2E4E13DBFBE80CFF30A3367CB782CD4110146E30E25664CA925B4781E1F99EABA7737488882B99B0F570C36260B0F6AFF915594FBADFFB3F5CC34CB01B3BE409184CF293055C63297A3ACCB9B37',X'BA7CF5A3B03D6D58B906B9143A32CDA51FFED5F8D291F91C6880B4DEE039F8EE');
INSERT INTO "version" VALUES(X'01A223D246C47E7E8B5F2B4F8CCBD224',X'01A223D246B776A1905E0D0168FB456D',X'EC72B9566A9C8501838AE30AEEADB527','setting','edited','0002',X'01AB46D2919A9259929A02D3979A6C6E9464696AA66B966899AC6B616A60A86B616C91A89B6A6C90989A9A9892646A640E37B738B5A424332F5D01C8D351284E3DBC313147C158DFE251C3660C1B01',X'71FCAE69DCD57D7A10C1B76AF124A69843087C13BAE65C41441E7C3AC093F7F8');
INSERT INTO "version" VALUES(X'01A223D24708726EABD387A2F2F9A740',X'01A223D247067006ACC7C01415B6A13E',X'EC72B9566A9C8501838AE30AEEADB527','setting','voided','0002',X'01AB46D2919A9259929A02D3979A6C6E9464696AA66B966899AC6B616A60A86B616C91A89B6A6C90989A9A9892646A640E37B738B5A424332F5D01C8D351284E3DBC313147C158DFE251C366241B4B8A4A536B01',X'3C1F9C3F2CD8C1E32C59C2BE642EFA52244A66CE11E402F9B9AFEA531BC4B4D0');
INSERT INTO "version" VALUES(X'01A223D24777737A87456273E1AE2E38',X'01A223D24769760A87DEDA303A9F3278',X'EC72B9566A9C8501838AE30AEEADB527','setting','undone','0002',X'01AB46D2919A9259929A02D3979A6C6E9464696AA66B966899AC6B616A60A86B616C91A89B6A6C90989A9A9892646A640E37B738B5A424332F5D01C8D351284E3DBC313147C158DFE251C3660C1B01',X'513B942C8A5E5EF59862C117C30C6A9222B33E951A85B282EAA9A82EB8C0CAE3');
CREATE TABLE version_parent (
	version_id BLOB NOT NULL, 
	parent_id BLOB NOT NULL, 
	CONSTRAINT pk_version_parent PRIMARY KEY (version_id, parent_id), 
	CONSTRAINT fk_version_parent_version_id FOREIGN KEY(version_id) REFERENCES version (id), 
	CONSTRAINT fk_version_parent_parent_id FOREIGN KEY(parent_id) REFERENCES version (id)
)
 WITHOUT ROWID,
 STRICT

;
INSERT INTO "version_parent" VALUES(X'01A223D246C47E7E8B5F2B4F8CCBD224',X'01A223D244437C8DA2E4E854AA184F62');
INSERT INTO "version_parent" VALUES(X'01A223D24708726EABD387A2F2F9A740',X'01A223D246C47E7E8B5F2B4F8CCBD224');
INSERT INTO "version_parent" VALUES(X'01A223D24777737A87456273E1AE2E38',X'01A223D24708726EABD387A2F2F9A740');
CREATE TABLE warranty_claim (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	breakage_id BLOB NOT NULL, 
	sent_at INTEGER NOT NULL, 
	settled_at INTEGER, 
	paid_minor INTEGER CONSTRAINT ck_warranty_claim_paid_minor CHECK (paid_minor >= 0), 
	note TEXT NOT NULL, 
	CONSTRAINT pk_warranty_claim PRIMARY KEY (id), 
	CONSTRAINT ck_warranty_claim_sent_at_settled_at CHECK (settled_at IS NULL OR settled_at >= sent_at), 
	CONSTRAINT ck_warranty_claim_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_warranty_claim_breakage_id FOREIGN KEY(breakage_id) REFERENCES breakage (id)
)
 STRICT

;
INSERT INTO "warranty_claim" VALUES(X'58F002F6B02B805DB3ED3604AC2F51C1',0,X'A167768924338717A5281BB03B15CB97',1721532600250001,1721536200250001,6,'warranty_claim note, señal 3/8″');
CREATE INDEX ix_outside_line_digest ON outside_line (digest);
CREATE INDEX ix_same_as_row_id ON same_as (row_id);
CREATE INDEX ix_same_as_kept_row_id ON same_as (kept_row_id);
CREATE INDEX ix_deed_recorded_at ON deed (recorded_at);
CREATE INDEX ix_deed_undoes_deed_id ON deed (undoes_deed_id);
CREATE INDEX ix_caution_read_person_id ON caution_read (person_id);
CREATE INDEX ix_inspection_person_id ON inspection (person_id);
CREATE INDEX ix_inspection_machine_id_at ON inspection (machine_id, at);
CREATE INDEX ix_circuit_node_machine_id ON circuit_node (machine_id);
CREATE INDEX ix_fault_machine_id_opened_at ON fault (machine_id, opened_at);
CREATE INDEX ix_calibration_crop_id ON calibration (crop_id);
CREATE INDEX ix_calibration_machine_id_at ON calibration (machine_id, at);
CREATE INDEX ix_loss_check_field_id ON loss_check (field_id);
CREATE INDEX ix_loss_check_combine_id_at ON loss_check (combine_id, at);
CREATE INDEX ix_loss_check_crop_id ON loss_check (crop_id);
CREATE INDEX ix_moisture_sample_field_id ON moisture_sample (field_id);
CREATE INDEX ix_moisture_sample_crop_id_at ON moisture_sample (crop_id, at);
CREATE INDEX ix_season_plan_season_id ON season_plan (season_id);
CREATE INDEX ix_version_deed_id ON version (deed_id);
CREATE INDEX ix_version_row_id ON version (row_id);
CREATE INDEX ix_hitch_combine_id ON hitch (combine_id);
CREATE INDEX ix_hitch_header_id_from_at ON hitch (header_id, from_at);
CREATE INDEX ix_meter_machine_id ON meter (machine_id);
CREATE INDEX ix_run_started_at ON run (started_at);
CREATE INDEX ix_run_field_id ON run (field_id);
CREATE INDEX ix_run_combine_id_started_at ON run (combine_id, started_at);
CREATE INDEX ix_run_crop_id ON run (crop_id);
CREATE INDEX ix_run_header_id ON run (header_id);
CREATE INDEX ix_part_fit_part_id ON part_fit (part_id);
CREATE INDEX ix_part_fit_machine_id ON part_fit (machine_id);
CREATE INDEX ix_part_fit_part_kind_id ON part_fit (part_kind_id);
CREATE INDEX ix_component_machine_id ON component (machine_id);
CREATE INDEX ix_component_part_kind_id ON component (part_kind_id);
CREATE INDEX ix_supplier_hours_supplier_id ON supplier_hours (supplier_id);
CREATE INDEX ix_supply_part_id ON supply (part_id);
CREATE INDEX ix_supply_supplier_id ON supply (supplier_id);
CREATE INDEX ix_part_order_supplier_id ON part_order (supplier_id);
CREATE INDEX ix_part_order_part_id_ordered_at ON part_order (part_id, ordered_at);
CREATE INDEX ix_supply_asked_part_id ON supply_asked (part_id);
CREATE INDEX ix_supply_asked_supplier_id ON supply_asked (supplier_id);
CREATE INDEX ix_set_up_machine_id ON set_up (machine_id);
CREATE INDEX ix_trade_offer_machine_id ON trade_offer (machine_id);
CREATE INDEX ix_circuit_edge_to_node_id ON circuit_edge (to_node_id);
CREATE INDEX ix_circuit_edge_from_node_id ON circuit_edge (from_node_id);
CREATE INDEX ix_circuit_cut_node_id ON circuit_cut (node_id);
CREATE INDEX ix_circuit_cut_machine_id ON circuit_cut (machine_id);
CREATE INDEX ix_fault_sign_fault_id ON fault_sign (fault_id);
CREATE INDEX ix_fault_sign_node_id ON fault_sign (node_id);
CREATE INDEX ix_fault_visit_person_id ON fault_visit (person_id);
CREATE INDEX ix_fault_visit_fault_id_started_at ON fault_visit (fault_id, started_at);
CREATE INDEX ix_fault_finding_node_id ON fault_finding (node_id);
CREATE INDEX ix_fault_finding_fault_id ON fault_finding (fault_id);
CREATE INDEX ix_fault_opening_node_id ON fault_opening (node_id);
CREATE INDEX ix_fault_opening_fault_id ON fault_opening (fault_id);
CREATE INDEX ix_planned_area_combine_id ON planned_area (combine_id);
CREATE INDEX ix_planned_area_header_id ON planned_area (header_id);
CREATE INDEX ix_planned_area_season_plan_id ON planned_area (season_plan_id);
CREATE INDEX ix_planned_area_field_id ON planned_area (field_id);
CREATE INDEX ix_planned_area_crop_id ON planned_area (crop_id);
CREATE INDEX ix_plan_choice_component_id ON plan_choice (component_id);
CREATE INDEX ix_plan_choice_season_plan_id ON plan_choice (season_plan_id);
CREATE INDEX ix_version_parent_parent_id ON version_parent (parent_id);
CREATE INDEX ix_reading_meter_id_at ON reading (meter_id, at);
CREATE INDEX ix_fitting_component_id_position_fitted_at ON fitting (component_id, position, fitted_at);
CREATE INDEX ix_fitting_part_id ON fitting (part_id);
CREATE INDEX ix_repair_person_id ON repair (person_id);
CREATE INDEX ix_repair_component_id ON repair (component_id);
CREATE INDEX ix_repair_machine_id_started_at ON repair (machine_id, started_at);
CREATE INDEX ix_measurement_component_id_at ON measurement (component_id, at);
CREATE INDEX ix_service_item_machine_id ON service_item (machine_id);
CREATE INDEX ix_service_item_component_id ON service_item (component_id);
CREATE INDEX ix_set_up_kind_part_kind_id ON set_up_kind (part_kind_id);
CREATE INDEX ix_inspection_finding_component_id ON inspection_finding (component_id);
CREATE INDEX ix_inspection_finding_measurement_id ON inspection_finding (measurement_id);
CREATE INDEX ix_inspection_finding_inspection_id ON inspection_finding (inspection_id);
CREATE INDEX ix_fault_check_node_id ON fault_check (node_id);
CREATE INDEX ix_fault_check_second_node_id ON fault_check (second_node_id);
CREATE INDEX ix_fault_check_fault_id_step ON fault_check (fault_id, step);
CREATE INDEX ix_fault_check_fault_visit_id ON fault_check (fault_visit_id);
CREATE INDEX ix_stoppage_repair_id ON stoppage (repair_id);
CREATE INDEX ix_stoppage_machine_id_started_at ON stoppage (machine_id, started_at);
CREATE INDEX ix_breakage_at ON breakage (at);
CREATE INDEX ix_breakage_caused_by_id ON breakage (caused_by_id);
CREATE INDEX ix_breakage_component_id_at ON breakage (component_id, at);
CREATE INDEX ix_breakage_repair_id ON breakage (repair_id);
CREATE INDEX ix_service_done_service_item_id_at ON service_done (service_item_id, at);
CREATE INDEX ix_service_done_person_id ON service_done (person_id);
CREATE INDEX ix_stock_move_repair_id ON stock_move (repair_id);
CREATE INDEX ix_stock_move_part_order_id ON stock_move (part_order_id);
CREATE INDEX ix_stock_move_breakage_id ON stock_move (breakage_id);
CREATE INDEX ix_stock_move_service_done_id ON stock_move (service_done_id);
CREATE INDEX ix_stock_move_part_id_at ON stock_move (part_id, at);
CREATE INDEX ix_breakage_position_followed_fitting_id ON breakage_position (followed_fitting_id);
CREATE INDEX ix_breakage_position_broke_fitting_id ON breakage_position (broke_fitting_id);
CREATE INDEX ix_warranty_claim_breakage_id ON warranty_claim (breakage_id);
COMMIT;
