PRAGMA application_id = 1464156498;
BEGIN TRANSACTION;
CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num));
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE breakage (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	component_id BLOB NOT NULL, 
	positions TEXT NOT NULL, 
	at INTEGER NOT NULL, 
	cause TEXT NOT NULL CONSTRAINT ck_breakage_cause CHECK (cause IN ('impact', 'wear', 'fatigue', 'loose', 'secondary', 'unknown')), 
	mode TEXT NOT NULL CONSTRAINT ck_breakage_mode CHECK (mode IN ('broken', 'bent', 'cracked', 'missing', 'worn', 'stretched', 'torn', 'loose', 'seized', 'leaking', 'failed')), 
	action TEXT NOT NULL CONSTRAINT ck_breakage_action CHECK (action IN ('replaced', 'mended', 'left')), 
	repair_id BLOB, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_breakage PRIMARY KEY (id), 
	CONSTRAINT ck_breakage_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_breakage_component_id FOREIGN KEY(component_id) REFERENCES component (id), 
	CONSTRAINT fk_breakage_repair_id FOREIGN KEY(repair_id) REFERENCES repair (id)
)
 STRICT

;
INSERT INTO "breakage" VALUES(X'A167768924338717A5281BB03B15CB97',0,X'6985CA1F4DAA8A588A28EAE043A239CB','2-3, 7',1721536200250001,'unknown','failed','left',X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6','breakage note, señal 3/8″');
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
	kind TEXT NOT NULL CONSTRAINT ck_circuit_node_kind CHECK (kind IN ('battery', 'fuse', 'relay', 'switch', 'connector', 'wire_run', 'splice', 'device', 'sensor', 'controller', 'terminator', 'ground')), 
	place TEXT NOT NULL, 
	rating_milliamperes INTEGER CONSTRAINT ck_circuit_node_rating_milliamperes CHECK (rating_milliamperes >= 1), 
	passes_edge INTEGER NOT NULL, 
	moves_with_header INTEGER NOT NULL, 
	near_heat INTEGER NOT NULL, 
	outside INTEGER NOT NULL, 
	CONSTRAINT pk_circuit_node PRIMARY KEY (id), 
	CONSTRAINT ck_circuit_node_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT ck_circuit_node_passes_edge CHECK (passes_edge IN (0, 1)), 
	CONSTRAINT ck_circuit_node_moves_with_header CHECK (moves_with_header IN (0, 1)), 
	CONSTRAINT ck_circuit_node_near_heat CHECK (near_heat IN (0, 1)), 
	CONSTRAINT ck_circuit_node_outside CHECK (outside IN (0, 1)), 
	CONSTRAINT fk_circuit_node_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "circuit_node" VALUES(X'5AC72C8F95F8811CBA759BF68FB13202',0,X'BC020A35B7F98B1382E7B534C68E3C53','circuit_node circuit, señal 3/8″','circuit_node name, señal 3/8″','ground','circuit_node place, señal 3/8″',8,1,1,1,1);
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
	CONSTRAINT pk_crop PRIMARY KEY (id), 
	CONSTRAINT ck_crop_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "crop" VALUES(X'375676BD26868505A68FCE072799A6E0',0,'crop name, señal 3/8″',4);
CREATE TABLE deed (
	id BLOB NOT NULL, 
	recorded_at INTEGER NOT NULL, 
	device TEXT NOT NULL, 
	said TEXT NOT NULL, 
	undoes_deed_id BLOB, 
	CONSTRAINT pk_deed PRIMARY KEY (id), 
	CONSTRAINT fk_deed_undoes_deed_id FOREIGN KEY(undoes_deed_id) REFERENCES deed (id)
)
 STRICT

;
INSERT INTO "deed" VALUES(X'01A2124066F07C5F9285BC59F7620035',1795602540273701,'shop','deed 0',NULL);
INSERT INTO "deed" VALUES(X'01A2124067077F21BC1A8620DB9F855C',1795602540296248,'shop','deed 1',NULL);
INSERT INTO "deed" VALUES(X'01A21240670B7B6F82173F5178C5812F',1795602540299943,'shop','deed 2',NULL);
INSERT INTO "deed" VALUES(X'01A21240671175AF81C496142FD8AE0F',1795602540305553,'shop','undid: deed 2',X'01A21240670B7B6F82173F5178C5812F');
CREATE TABLE fault (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	circuit TEXT NOT NULL, 
	title TEXT NOT NULL, 
	opened_at INTEGER NOT NULL, 
	closed_at INTEGER, 
	conditions TEXT NOT NULL, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_fault PRIMARY KEY (id), 
	CONSTRAINT ck_fault_opened_at_closed_at CHECK (closed_at IS NULL OR closed_at >= opened_at), 
	CONSTRAINT ck_fault_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fault_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "fault" VALUES(X'F1C562EAE32F8CC2A97DC9D768B89D1B',0,X'BC020A35B7F98B1382E7B534C68E3C53','fault circuit, señal 3/8″','fault title, señal 3/8″',1721539800250001,1721543400250001,'rain,dew','fault note, señal 3/8″');
CREATE TABLE fault_check (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	fault_id BLOB NOT NULL, 
	step INTEGER NOT NULL CONSTRAINT ck_fault_check_step CHECK (step >= 1), 
	node_id BLOB, 
	kind TEXT NOT NULL CONSTRAINT ck_fault_check_kind CHECK (kind IN ('look', 'voltage', 'voltage_drop', 'continuity', 'resistance', 'unplug', 'wiggle', 'swap')), 
	expected TEXT NOT NULL, 
	measured TEXT NOT NULL, 
	verdict TEXT NOT NULL CONSTRAINT ck_fault_check_verdict CHECK (verdict IN ('good', 'bad', 'unclear', 'not_done')), 
	duration_seconds INTEGER CONSTRAINT ck_fault_check_duration_seconds CHECK (duration_seconds >= 0), 
	at INTEGER, 
	CONSTRAINT pk_fault_check PRIMARY KEY (id), 
	CONSTRAINT ck_fault_check_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fault_check_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id), 
	CONSTRAINT fk_fault_check_node_id FOREIGN KEY(node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "fault_check" VALUES(X'9C4DEE3BFF64854B9B33C9BA136C0606',0,X'F1C562EAE32F8CC2A97DC9D768B89D1B',4,X'5AC72C8F95F8811CBA759BF68FB13202','swap','fault_check expected, señal 3/8″','fault_check measured, señal 3/8″','not_done',10,1721557800250001);
CREATE TABLE fault_finding (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	fault_id BLOB NOT NULL, 
	node_id BLOB, 
	mode TEXT NOT NULL CONSTRAINT ck_fault_finding_mode CHECK (mode IN ('open', 'short_to_ground', 'high_resistance', 'failed_device', 'overload', 'not_found')), 
	fix TEXT NOT NULL, 
	evidence TEXT NOT NULL CONSTRAINT ck_fault_finding_evidence CHECK (evidence IN ('seen', 'inferred', 'cleared_by_itself')), 
	at INTEGER NOT NULL, 
	CONSTRAINT pk_fault_finding PRIMARY KEY (id), 
	CONSTRAINT ck_fault_finding_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fault_finding_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id), 
	CONSTRAINT fk_fault_finding_node_id FOREIGN KEY(node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "fault_finding" VALUES(X'B14E900DF95B89D89470C7967E015C97',0,X'F1C562EAE32F8CC2A97DC9D768B89D1B',X'5AC72C8F95F8811CBA759BF68FB13202','not_found','fault_finding fix, señal 3/8″','cleared_by_itself',1721547000250001);
CREATE TABLE fault_sign (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	fault_id BLOB NOT NULL, 
	node_id BLOB, 
	sign TEXT NOT NULL CONSTRAINT ck_fault_sign_sign CHECK (sign IN ('dead', 'erratic', 'working', 'fuse_blew_at_once', 'fuse_blew_later', 'fuse_blew_on_movement', 'fuse_whole', 'code')), 
	spn INTEGER CONSTRAINT ck_fault_sign_spn CHECK (spn >= 0), 
	fmi INTEGER CONSTRAINT ck_fault_sign_fmi CHECK (fmi >= 0), 
	note TEXT NOT NULL, 
	CONSTRAINT pk_fault_sign PRIMARY KEY (id), 
	CONSTRAINT ck_fault_sign_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_fault_sign_fault_id FOREIGN KEY(fault_id) REFERENCES fault (id), 
	CONSTRAINT fk_fault_sign_node_id FOREIGN KEY(node_id) REFERENCES circuit_node (id)
)
 STRICT

;
INSERT INTO "fault_sign" VALUES(X'3B230508E3D9861BB9328CEBA4496456',0,X'F1C562EAE32F8CC2A97DC9D768B89D1B',X'5AC72C8F95F8811CBA759BF68FB13202','code',6,7,'fault_sign note, señal 3/8″');
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
	CONSTRAINT pk_loss_check PRIMARY KEY (id), 
	CONSTRAINT ck_loss_check_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_loss_check_combine_id FOREIGN KEY(combine_id) REFERENCES machine (id), 
	CONSTRAINT fk_loss_check_field_id FOREIGN KEY(field_id) REFERENCES field (id), 
	CONSTRAINT fk_loss_check_crop_id FOREIGN KEY(crop_id) REFERENCES crop (id)
)
 STRICT

;
INSERT INTO "loss_check" VALUES(X'790AF2CFE4628E3ABD0F411E0DF12755',0,X'BC020A35B7F98B1382E7B534C68E3C53',X'C0D2856B74D08F05B9D4456B17795035',X'375676BD26868505A68FCE072799A6E0',1721539800250001,7,8,9,10,11,'loss_check note, señal 3/8″');
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
	CONSTRAINT pk_machine PRIMARY KEY (id), 
	CONSTRAINT ck_machine_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "machine" VALUES(X'BC020A35B7F98B1382E7B534C68E3C53',0,'machine name, señal 3/8″','cart',5,1905,7,'2024-01-09','machine note, señal 3/8″');
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
	kind TEXT NOT NULL CONSTRAINT ck_meter_kind CHECK (kind IN ('area', 'separator_hours', 'engine_hours')), 
	CONSTRAINT pk_meter PRIMARY KEY (id), 
	CONSTRAINT ck_meter_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_meter_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "meter" VALUES(X'5EFF322A1BD4864E9DB317C7F60B1B65',0,X'BC020A35B7F98B1382E7B534C68E3C53','engine_hours');
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
	CONSTRAINT pk_part PRIMARY KEY (id), 
	CONSTRAINT ck_part_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "part" VALUES(X'37A680133BD08342B934AFB8DD2C7D9E',0,'part number, señal 3/8″','part name, señal 3/8″',5,6,7,'part supplier, señal 3/8″',9);
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
	words TEXT NOT NULL, 
	subsystem TEXT NOT NULL CONSTRAINT ck_part_kind_subsystem CHECK (subsystem IN ('header', 'feeder', 'threshing', 'separator', 'cleaning', 'grain_handling', 'unloading', 'residue', 'engine', 'fuel', 'driveline', 'ground_drive', 'running_gear', 'hydraulics', 'electrical', 'monitoring', 'cab', 'safety')), 
	meter_kind TEXT NOT NULL CONSTRAINT ck_part_kind_meter_kind CHECK (meter_kind IN ('area', 'separator_hours', 'engine_hours')), 
	life_low_usage INTEGER CONSTRAINT ck_part_kind_life_low_usage CHECK (life_low_usage >= 1), 
	life_high_usage INTEGER CONSTRAINT ck_part_kind_life_high_usage CHECK (life_high_usage >= 1), 
	shape_low_thousandths INTEGER CONSTRAINT ck_part_kind_shape_low_thousandths CHECK (shape_low_thousandths >= 1), 
	shape_high_thousandths INTEGER CONSTRAINT ck_part_kind_shape_high_thousandths CHECK (shape_high_thousandths >= 1), 
	impacts_clean INTEGER NOT NULL CONSTRAINT ck_part_kind_impacts_clean CHECK (impacts_clean >= 0), 
	impacts_few_stones INTEGER NOT NULL CONSTRAINT ck_part_kind_impacts_few_stones CHECK (impacts_few_stones >= 0), 
	impacts_stony INTEGER NOT NULL CONSTRAINT ck_part_kind_impacts_stony CHECK (impacts_stony >= 0), 
	impacts_very_stony INTEGER NOT NULL CONSTRAINT ck_part_kind_impacts_very_stony CHECK (impacts_very_stony >= 0), 
	guess_evidence TEXT NOT NULL CONSTRAINT ck_part_kind_guess_evidence CHECK (guess_evidence IN ('published', 'from_memory', 'computed', 'common_practice', 'machine_book', 'own_records')), 
	dimension TEXT NOT NULL CONSTRAINT ck_part_kind_dimension CHECK (dimension IN ('none', 'length_over_pitches', 'thickness', 'gap', 'depth')), 
	new_micrometres INTEGER CONSTRAINT ck_part_kind_new_micrometres CHECK (new_micrometres >= 0), 
	limit_micrometres INTEGER CONSTRAINT ck_part_kind_limit_micrometres CHECK (limit_micrometres >= 0), 
	pitch_micrometres INTEGER CONSTRAINT ck_part_kind_pitch_micrometres CHECK (pitch_micrometres >= 1), 
	pitches INTEGER CONSTRAINT ck_part_kind_pitches CHECK (pitches >= 1), 
	usual_labour_seconds INTEGER CONSTRAINT ck_part_kind_usual_labour_seconds CHECK (usual_labour_seconds >= 0), 
	hazard TEXT CONSTRAINT ck_part_kind_hazard CHECK (hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank')), 
	CONSTRAINT pk_part_kind PRIMARY KEY (id), 
	CONSTRAINT ck_part_kind_life_low_usage_life_high_usage CHECK (life_high_usage IS NULL OR life_high_usage >= life_low_usage), 
	CONSTRAINT ck_part_kind_shape_low_thousandths_shape_high_thousandths CHECK (shape_high_thousandths IS NULL OR shape_high_thousandths >= shape_low_thousandths), 
	CONSTRAINT ck_part_kind_voided CHECK (voided IN (0, 1))
)
 STRICT

;
INSERT INTO "part_kind" VALUES(X'FA3349DC747D8F7B919452138F3A19BB',0,'part_kind name, señal 3/8″','part_kind words, señal 3/8″','safety','engine_hours',7,8,9,10,11,12,13,14,'own_records','depth',17,18,19,20,21,'grain_tank');
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
	CONSTRAINT pk_repair PRIMARY KEY (id), 
	CONSTRAINT ck_repair_started_at_ended_at CHECK (ended_at IS NULL OR ended_at >= started_at), 
	CONSTRAINT ck_repair_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_repair_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id), 
	CONSTRAINT fk_repair_component_id FOREIGN KEY(component_id) REFERENCES component (id)
)
 STRICT

;
INSERT INTO "repair" VALUES(X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6',0,X'BC020A35B7F98B1382E7B534C68E3C53','overhaul',1721536200250001,1721539800250001,7,8,X'6985CA1F4DAA8A588A28EAE043A239CB','repair note, señal 3/8″');
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
	CONSTRAINT pk_service_done PRIMARY KEY (id), 
	CONSTRAINT ck_service_done_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_service_done_service_item_id FOREIGN KEY(service_item_id) REFERENCES service_item (id)
)
 STRICT

;
INSERT INTO "service_done" VALUES(X'EF9649492F218475A3B4B1E11DA688DA',0,X'35D1481FC9BF80548CABB0BC26E3444B',1721532600250001,5,6,'service_done note, señal 3/8″');
CREATE TABLE service_item (
	id BLOB NOT NULL, 
	voided INTEGER NOT NULL, 
	machine_id BLOB NOT NULL, 
	name TEXT NOT NULL, 
	meter_kind TEXT CONSTRAINT ck_service_item_meter_kind CHECK (meter_kind IN ('area', 'separator_hours', 'engine_hours')), 
	interval_usage INTEGER CONSTRAINT ck_service_item_interval_usage CHECK (interval_usage >= 1), 
	interval_months INTEGER CONSTRAINT ck_service_item_interval_months CHECK (interval_months >= 1), 
	evidence TEXT NOT NULL CONSTRAINT ck_service_item_evidence CHECK (evidence IN ('published', 'from_memory', 'computed', 'common_practice', 'machine_book', 'own_records')), 
	hazard TEXT CONSTRAINT ck_service_item_hazard CHECK (hazard IN ('under_header', 'knife', 'unplugging', 'hydraulic', 'electrical', 'rotating_drive', 'hot_part', 'grain_tank')), 
	CONSTRAINT pk_service_item PRIMARY KEY (id), 
	CONSTRAINT ck_service_item_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_service_item_machine_id FOREIGN KEY(machine_id) REFERENCES machine (id)
)
 STRICT

;
INSERT INTO "service_item" VALUES(X'35D1481FC9BF80548CABB0BC26E3444B',0,X'BC020A35B7F98B1382E7B534C68E3C53','service_item name, señal 3/8″','engine_hours',6,7,'own_records','grain_tank');
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
	CONSTRAINT pk_stock_move PRIMARY KEY (id), 
	CONSTRAINT ck_stock_move_voided CHECK (voided IN (0, 1)), 
	CONSTRAINT fk_stock_move_part_id FOREIGN KEY(part_id) REFERENCES part (id), 
	CONSTRAINT fk_stock_move_repair_id FOREIGN KEY(repair_id) REFERENCES repair (id), 
	CONSTRAINT fk_stock_move_breakage_id FOREIGN KEY(breakage_id) REFERENCES breakage (id)
)
 STRICT

;
INSERT INTO "stock_move" VALUES(X'5631D54610F4854A94320A2F4DC44B13',0,X'37A680133BD08342B934AFB8DD2C7D9E',1721532600250001,'counted',6,7,X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6',X'A167768924338717A5281BB03B15CB97','stock_move note, señal 3/8″');
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
CREATE TABLE version (
	id BLOB NOT NULL, 
	deed_id BLOB NOT NULL, 
	row_id BLOB NOT NULL, 
	table_name TEXT NOT NULL, 
	parents TEXT NOT NULL, 
	doing TEXT NOT NULL CONSTRAINT ck_version_doing CHECK (doing IN ('entered', 'edited', 'voided', 'undone')), 
	content TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	CONSTRAINT pk_version PRIMARY KEY (id), 
	CONSTRAINT fk_version_deed_id FOREIGN KEY(deed_id) REFERENCES deed (id)
)
 STRICT

;
INSERT INTO "version" VALUES(X'01A2124067027E1DB1053ADC7D34469A',X'01A2124066F07C5F9285BC59F7620035',X'EC72B9566A9C8501838AE30AEEADB527','setting','','entered','{"content":"setting content, señal 3/8″","id":"ec72b956-6a9c-8501-838a-e30aeeadb527","key":"setting key, señal 3/8″","voided":false}','9801a922d80e122ef54b711fe75b9d3232189fd21a35da64621178ec126f22f3');
INSERT INTO "version" VALUES(X'01A2124067027FCA9717F0A267ECB8D3',X'01A2124066F07C5F9285BC59F7620035',X'6D006A9378ED80A7B045637166A18320','import_batch','','entered','{"at":"2024-07-21T04:30:00.250001+00:00","digest":"import_batch digest, señal 3/8″","id":"6d006a93-78ed-80a7-b045-637166a18320","rows_added":6,"source":"import_batch source, señal 3/8″","voided":false}','f6bf35feb0f7dc95a3f4e9c3dcc5ae5ec1e011637747206445ceedbdeb5ab47b');
INSERT INTO "version" VALUES(X'01A21240670370969B42C6AF5DE0A727',X'01A2124066F07C5F9285BC59F7620035',X'BC020A35B7F98B1382E7B534C68E3C53','machine','','entered','{"bought_on":"2024-01-09","cut_width_micrometres":5,"id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","kind":"cart","list_price_minor":7,"model_year":1905,"name":"machine name, señal 3/8″","note":"machine note, señal 3/8″","voided":false}','915ebff30462db8f9b724eeefb2b3884bb4ea3ea46abd21c1becaf2bf9e090f2');
INSERT INTO "version" VALUES(X'01A212406703714CBB3732B0B2D75A47',X'01A2124066F07C5F9285BC59F7620035',X'82E910CDDF408368BAB151E853C341EE','hitch','','entered','{"combine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","from_at":"2024-07-21T04:30:00.250001+00:00","header_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","id":"82e910cd-df40-8368-bab1-51e853c341ee","to_at":"2024-07-21T05:30:00.250001+00:00","voided":false}','83b25430d8e4450179736b459cf9cbc5faeab200fe64ca8879d7865abfa6a2dd');
INSERT INTO "version" VALUES(X'01A21240670371C7AE58AD14FC533C5B',X'01A2124066F07C5F9285BC59F7620035',X'5EFF322A1BD4864E9DB317C7F60B1B65','meter','','entered','{"id":"5eff322a-1bd4-864e-9db3-17c7f60b1b65","kind":"engine_hours","machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","voided":false}','e1f739bf93ee858ffb11d25e3c2db5af09b3f87da608b7d423af93eaa5e06098');
INSERT INTO "version" VALUES(X'01A2124067037263951191BD9480E09A',X'01A2124066F07C5F9285BC59F7620035',X'D70AFCA6152088389A3D858E60DDA12F','reading','','entered','{"at":"2024-07-21T03:30:00.250001+00:00","id":"d70afca6-1520-8838-9a3d-858e60dda12f","meter_id":"5eff322a-1bd4-864e-9db3-17c7f60b1b65","new_leg":true,"note":"reading note, señal 3/8″","shown_usage":5,"voided":false}','1599831f280aab96ddefef2337d9214e70115c245d2ca454417189996c052600');
INSERT INTO "version" VALUES(X'01A21240670372E68DC3BBC62BA3A7B5',X'01A2124066F07C5F9285BC59F7620035',X'C0D2856B74D08F05B9D4456B17795035','field','','entered','{"area_square_metres":4,"ground":"very_stony","id":"c0d2856b-74d0-8f05-b9d4-456b17795035","name":"field name, señal 3/8″","voided":false}','5afbe58f13c1dd419ea062374705a2337ea25d1dd3c4e00373ba758007020868');
INSERT INTO "version" VALUES(X'01A2124067037394B85B4DC69242ADAB',X'01A2124066F07C5F9285BC59F7620035',X'375676BD26868505A68FCE072799A6E0','crop','','entered','{"bushel_grams":4,"id":"375676bd-2686-8505-a68f-ce072799a6e0","name":"crop name, señal 3/8″","voided":false}','2a756b5804f284b839d3e0c4a3674a526caf4ff06fb7f2c874aa62dd665d61b1');
INSERT INTO "version" VALUES(X'01A212406703742CAB75C9EEC2BCC93F',X'01A2124066F07C5F9285BC59F7620035',X'8F8E24F65C5789D586FE81ADFCA35EF3','season','','entered','{"ends_on":"2024-01-06","harvest_year":1902,"id":"8f8e24f6-5c57-89d5-86fe-81adfca35ef3","starts_on":"2024-01-05","voided":false}','b52e25b940a82b3590dd35fae9498d475c4c80ff7b73b19003fedfc267fe4e9c');
INSERT INTO "version" VALUES(X'01A2124067037511BCE654928882CDEA',X'01A2124066F07C5F9285BC59F7620035',X'ACBA25512100880B96FC3CCD14C65BE5','run','','entered','{"area_square_metres":9,"combine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","crop_id":"375676bd-2686-8505-a68f-ce072799a6e0","crop_state":"swathed","cut_height":"on_the_ground","ended_at":"2024-07-21T07:30:00.250001+00:00","field_id":"c0d2856b-74d0-8f05-b9d4-456b17795035","header_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","id":"acba2551-2100-880b-96fc-3ccd14c65be5","separator_seconds":10,"started_at":"2024-07-21T06:30:00.250001+00:00","voided":false,"yield_grams_per_hectare":13}','4ca4ed61dc4d66507c092a6af5804f9c8027c98a17723c4478b015d02c97c6e9');
INSERT INTO "version" VALUES(X'01A2124067037605941A83516923B90C',X'01A2124066F07C5F9285BC59F7620035',X'FA3349DC747D8F7B919452138F3A19BB','part_kind','','entered','{"dimension":"depth","guess_evidence":"own_records","hazard":"grain_tank","id":"fa3349dc-747d-8f7b-9194-52138f3a19bb","impacts_clean":11,"impacts_few_stones":12,"impacts_stony":13,"impacts_very_stony":14,"life_high_usage":8,"life_low_usage":7,"limit_micrometres":18,"meter_kind":"engine_hours","name":"part_kind name, señal 3/8″","new_micrometres":17,"pitch_micrometres":19,"pitches":20,"shape_high_thousandths":10,"shape_low_thousandths":9,"subsystem":"safety","usual_labour_seconds":21,"voided":false,"words":"part_kind words, señal 3/8″"}','19048a4f5fd29d214005db7ab44a46f03b45e8373e73539615255fa0fcfefdd0');
INSERT INTO "version" VALUES(X'01A2124067037692812FCF5517BAAC4D',X'01A2124066F07C5F9285BC59F7620035',X'37A680133BD08342B934AFB8DD2C7D9E','part','','entered','{"id":"37a68013-3bd0-8342-b934-afb8dd2c7d9e","keep_on_hand":9,"lead_time_days":7,"name":"part name, señal 3/8″","number":"part number, señal 3/8″","pack_size":6,"price_minor":5,"supplier":"part supplier, señal 3/8″","voided":false}','71ce3754ce674184d5f93a023e8c9b6826709b4176107e5e07214107f3512583');
INSERT INTO "version" VALUES(X'01A212406703770EB13A1DC10501D77A',X'01A2124066F07C5F9285BC59F7620035',X'0E4DEEC88EE38D6D894DB74047D14058','part_fit','','entered','{"id":"0e4deec8-8ee3-8d6d-894d-b74047d14058","machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","part_id":"37a68013-3bd0-8342-b934-afb8dd2c7d9e","part_kind_id":"fa3349dc-747d-8f7b-9194-52138f3a19bb","voided":false}','cb2353a5dd38aa6f80d5940e9e83df53e1c97c67a4137093e973a3d4b3070b40');
INSERT INTO "version" VALUES(X'01A2124067037783A7C4E76BE68CB9B5',X'01A2124066F07C5F9285BC59F7620035',X'6985CA1F4DAA8A588A28EAE043A239CB','component','','entered','{"id":"6985ca1f-4daa-8a58-8a28-eae043a239cb","machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","part_kind_id":"fa3349dc-747d-8f7b-9194-52138f3a19bb","place":"component place, señal 3/8″","positions":6,"voided":false}','d48c0e7b9863bcc37c938f1ee9c6ebeb6f82ea586194668618aa0599d6140092');
INSERT INTO "version" VALUES(X'01A2124067037831929C2578B7B24605',X'01A2124066F07C5F9285BC59F7620035',X'14D7952A779C85189D6E62CDD6305831','fitting','','entered','{"age_when_fitted_usage":6,"component_id":"6985ca1f-4daa-8a58-8a28-eae043a239cb","fitted_at":"2024-07-21T04:30:00.250001+00:00","id":"14d7952a-779c-8518-9d6e-62cdd6305831","part_id":"37a68013-3bd0-8342-b934-afb8dd2c7d9e","position":4,"removal":"scrapped","removed_at":"2024-07-21T06:30:00.250001+00:00","voided":false}','67cb7b7525cbf8d198fb5c99750523c3ae26d38bd5a43afbf5007e164bf02213');
INSERT INTO "version" VALUES(X'01A21240670378D79C5B873BFC986E45',X'01A2124066F07C5F9285BC59F7620035',X'A1A14FF4AAB481D3AFBE2F3FE8E32EC6','repair','','entered','{"component_id":"6985ca1f-4daa-8a58-8a28-eae043a239cb","ended_at":"2024-07-21T05:30:00.250001+00:00","hired_minor":8,"id":"a1a14ff4-aab4-81d3-afbe-2f3fe8e32ec6","kind":"overhaul","labour_seconds":7,"machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","note":"repair note, señal 3/8″","started_at":"2024-07-21T04:30:00.250001+00:00","voided":false}','f7b56c0f62042cb06d9a4238b4e8fd3ba0b3b6a66ef3575354963c91c346f424');
INSERT INTO "version" VALUES(X'01A21240670379928CFB1CD8F01500C6',X'01A2124066F07C5F9285BC59F7620035',X'A167768924338717A5281BB03B15CB97','breakage','','entered','{"action":"left","at":"2024-07-21T04:30:00.250001+00:00","cause":"unknown","component_id":"6985ca1f-4daa-8a58-8a28-eae043a239cb","id":"a1677689-2433-8717-a528-1bb03b15cb97","mode":"failed","note":"breakage note, señal 3/8″","positions":"2-3, 7","repair_id":"a1a14ff4-aab4-81d3-afbe-2f3fe8e32ec6","voided":false}','0889a7e977b8c0ea9f071e46f000329898b12e3e00b99e414d3255811ad30827');
INSERT INTO "version" VALUES(X'01A2124067037A1C818C32AB3C31358B',X'01A2124066F07C5F9285BC59F7620035',X'6C5A6990038D86C5ACDDF6C983345ED1','measurement','','entered','{"at":"2024-07-21T04:30:00.250001+00:00","component_id":"6985ca1f-4daa-8a58-8a28-eae043a239cb","id":"6c5a6990-038d-86c5-acdd-f6c983345ed1","measured_micrometres":6,"note":"measurement note, señal 3/8″","position":4,"voided":false}','745016e905c66836359796d390dfa9c1ab928c055509623cf26c2310ad610f6d');
INSERT INTO "version" VALUES(X'01A2124067037AB980242E4B16701691',X'01A2124066F07C5F9285BC59F7620035',X'5631D54610F4854A94320A2F4DC44B13','stock_move','','entered','{"at":"2024-07-21T03:30:00.250001+00:00","breakage_id":"a1677689-2433-8717-a528-1bb03b15cb97","change":"counted","id":"5631d546-10f4-854a-9432-0a2f4dc44b13","note":"stock_move note, señal 3/8″","part_id":"37a68013-3bd0-8342-b934-afb8dd2c7d9e","quantity":6,"repair_id":"a1a14ff4-aab4-81d3-afbe-2f3fe8e32ec6","unit_cost_minor":7,"voided":false}','c2ec976487f18ccd88496c629c218c68de7b1190bd5078720e2b4f9cc88d4042');
INSERT INTO "version" VALUES(X'01A2124067037B5197B1BD7DB49911AA',X'01A2124066F07C5F9285BC59F7620035',X'231DCD28944D8E9B883C2D1B3FC426DE','stoppage','','entered','{"ended_at":"2024-07-21T04:30:00.250001+00:00","id":"231dcd28-944d-8e9b-883c-2d1b3fc426de","machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","note":"stoppage note, señal 3/8″","reason":"other","repair_id":"a1a14ff4-aab4-81d3-afbe-2f3fe8e32ec6","started_at":"2024-07-21T03:30:00.250001+00:00","voided":false}','8473749f2f6498fac65b298c28010f0ec4927c91ebfc6377dde473547c666971');
INSERT INTO "version" VALUES(X'01A2124067037BD881D12CF23D7F9119',X'01A2124066F07C5F9285BC59F7620035',X'35D1481FC9BF80548CABB0BC26E3444B','service_item','','entered','{"evidence":"own_records","hazard":"grain_tank","id":"35d1481f-c9bf-8054-8cab-b0bc26e3444b","interval_months":7,"interval_usage":6,"machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","meter_kind":"engine_hours","name":"service_item name, señal 3/8″","voided":false}','628c3226cbd9550effe7a94b1a7f878bddef3c57ae597fdca86143d87d0137a3');
INSERT INTO "version" VALUES(X'01A2124067037C5BB372B67B038F3D2D',X'01A2124066F07C5F9285BC59F7620035',X'EF9649492F218475A3B4B1E11DA688DA','service_done','','entered','{"at":"2024-07-21T03:30:00.250001+00:00","cost_minor":6,"id":"ef964949-2f21-8475-a3b4-b1e11da688da","labour_seconds":5,"note":"service_done note, señal 3/8″","service_item_id":"35d1481f-c9bf-8054-8cab-b0bc26e3444b","voided":false}','f0f987713876c42ee2991f49a80458a9d8363e80b4a787ace98c8cf7fe3dc22c');
INSERT INTO "version" VALUES(X'01A2124067037CFD825B5B3A46542543',X'01A2124066F07C5F9285BC59F7620035',X'5AC72C8F95F8811CBA759BF68FB13202','circuit_node','','entered','{"circuit":"circuit_node circuit, señal 3/8″","id":"5ac72c8f-95f8-811c-ba75-9bf68fb13202","kind":"ground","machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","moves_with_header":true,"name":"circuit_node name, señal 3/8″","near_heat":true,"outside":true,"passes_edge":true,"place":"circuit_node place, señal 3/8″","rating_milliamperes":8,"voided":false}','363ee8d81aaf1423533568df0d245af49f5e16fa6637be7bc1a4dca40312d594');
INSERT INTO "version" VALUES(X'01A2124067037D6BADF7CA3A9947A404',X'01A2124066F07C5F9285BC59F7620035',X'910242D755888D869E4B3F08E515CBAF','circuit_edge','','entered','{"from_node_id":"5ac72c8f-95f8-811c-ba75-9bf68fb13202","id":"910242d7-5588-8d86-9e4b-3f08e515cbaf","kind":"bus","to_node_id":"5ac72c8f-95f8-811c-ba75-9bf68fb13202","voided":false}','d692d63f5bb8cbaff2f635839c62083bd6068a9b1c3d95789210eaf350082bb3');
INSERT INTO "version" VALUES(X'01A2124067037E09A5E3D08499DB70D0',X'01A2124066F07C5F9285BC59F7620035',X'F1C562EAE32F8CC2A97DC9D768B89D1B','fault','','entered','{"circuit":"fault circuit, señal 3/8″","closed_at":"2024-07-21T06:30:00.250001+00:00","conditions":"rain,dew","id":"f1c562ea-e32f-8cc2-a97d-c9d768b89d1b","machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","note":"fault note, señal 3/8″","opened_at":"2024-07-21T05:30:00.250001+00:00","title":"fault title, señal 3/8″","voided":false}','3880a971009b3d6a8e3e8876a4f559960292254e99c0cc49cf93680f72baaa1f');
INSERT INTO "version" VALUES(X'01A2124067037E9093832A3828C36139',X'01A2124066F07C5F9285BC59F7620035',X'3B230508E3D9861BB9328CEBA4496456','fault_sign','','entered','{"fault_id":"f1c562ea-e32f-8cc2-a97d-c9d768b89d1b","fmi":7,"id":"3b230508-e3d9-861b-b932-8ceba4496456","node_id":"5ac72c8f-95f8-811c-ba75-9bf68fb13202","note":"fault_sign note, señal 3/8″","sign":"code","spn":6,"voided":false}','3014f10ce4e844ee29f910825676a02a42a52a38ccb9635686a97e6248a5550c');
INSERT INTO "version" VALUES(X'01A2124067037F36A79EACCBB66257EA',X'01A2124066F07C5F9285BC59F7620035',X'9C4DEE3BFF64854B9B33C9BA136C0606','fault_check','','entered','{"at":"2024-07-21T10:30:00.250001+00:00","duration_seconds":10,"expected":"fault_check expected, señal 3/8″","fault_id":"f1c562ea-e32f-8cc2-a97d-c9d768b89d1b","id":"9c4dee3b-ff64-854b-9b33-c9ba136c0606","kind":"swap","measured":"fault_check measured, señal 3/8″","node_id":"5ac72c8f-95f8-811c-ba75-9bf68fb13202","step":4,"verdict":"not_done","voided":false}','9ebb78878cac71dc237266c316cb8b1ff82b6c6538093fef7e2320e2dd5b5f61');
INSERT INTO "version" VALUES(X'01A2124067037FCE8E91FA9A47880D77',X'01A2124066F07C5F9285BC59F7620035',X'B14E900DF95B89D89470C7967E015C97','fault_finding','','entered','{"at":"2024-07-21T07:30:00.250001+00:00","evidence":"cleared_by_itself","fault_id":"f1c562ea-e32f-8cc2-a97d-c9d768b89d1b","fix":"fault_finding fix, señal 3/8″","id":"b14e900d-f95b-89d8-9470-c7967e015c97","mode":"not_found","node_id":"5ac72c8f-95f8-811c-ba75-9bf68fb13202","voided":false}','73c61f52bce53364cb3d49ebf89b6daf4871897da93a31f4ea530993f79994a0');
INSERT INTO "version" VALUES(X'01A212406704706FB7FA24E097090F5D',X'01A2124066F07C5F9285BC59F7620035',X'E152337E4E858A3E81482F0CE329AEC7','calibration','','entered','{"at":"2024-07-21T04:30:00.250001+00:00","crop_id":"375676bd-2686-8505-a68f-ce072799a6e0","id":"e152337e-4e85-8a3e-8148-2f0ce329aec7","indicated_amount":7,"machine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","note":"calibration note, señal 3/8″","reference_amount":6,"sensor":"header_height","voided":false}','074c804c6c721cede3ad4faf21f7c01421f8ca237d306daadaf795e703ce78a3');
INSERT INTO "version" VALUES(X'01A212406704729A9B7CC6EA5C740FDE',X'01A2124066F07C5F9285BC59F7620035',X'790AF2CFE4628E3ABD0F411E0DF12755','loss_check','','entered','{"ahead_per_hectare":8,"at":"2024-07-21T05:30:00.250001+00:00","behind_per_hectare":7,"combine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","crop_id":"375676bd-2686-8505-a68f-ce072799a6e0","cut_width_micrometres":9,"discharge_width_micrometres":10,"field_id":"c0d2856b-74d0-8f05-b9d4-456b17795035","id":"790af2cf-e462-8e3a-bd0f-411e0df12755","note":"loss_check note, señal 3/8″","voided":false,"yield_grams_per_hectare":11}','b3af9facf3e5c0d8f125805f08122103851c6c3316673793fc80bbc406c5c37a');
INSERT INTO "version" VALUES(X'01A2124067047330B876E158A73CBB89',X'01A2124066F07C5F9285BC59F7620035',X'6F1E56388793804187464F259E1E1C18','moisture_sample','','entered','{"at":"2024-07-21T04:30:00.250001+00:00","crop_id":"375676bd-2686-8505-a68f-ce072799a6e0","elevator_hundredths":7,"field_id":"c0d2856b-74d0-8f05-b9d4-456b17795035","id":"6f1e5638-8793-8041-8746-4f259e1e1c18","note":"moisture_sample note, señal 3/8″","tester_hundredths":6,"voided":false}','b62167ca1d63eb2dcef3ae742b142a96b89423c14cf28234f95176e9ff1d5ae4');
INSERT INTO "version" VALUES(X'01A21240670473A3AC98889D1AAF454C',X'01A2124066F07C5F9285BC59F7620035',X'9CCC66CD667F800C9EE06228AF690B3F','season_plan','','entered','{"budget_minor":5,"id":"9ccc66cd-667f-800c-9ee0-6228af690b3f","name":"season_plan name, señal 3/8″","season_id":"8f8e24f6-5c57-89d5-86fe-81adfca35ef3","shop_seconds":6,"voided":false}','2bc61ec727113cd41f3707eb6a6c7bc6fa3ed9f4938780e310b00b7db939216e');
INSERT INTO "version" VALUES(X'01A2124067047437B7775871CFD7082C',X'01A2124066F07C5F9285BC59F7620035',X'DCF89C816C4888B4AFA049B6DD687E4D','planned_area','','entered','{"area_square_metres":4,"combine_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","crop_id":"375676bd-2686-8505-a68f-ce072799a6e0","field_id":"c0d2856b-74d0-8f05-b9d4-456b17795035","ground":"very_stony","header_id":"bc020a35-b7f9-8b13-82e7-b534c68e3c53","id":"dcf89c81-6c48-88b4-afa0-49b6dd687e4d","season_plan_id":"9ccc66cd-667f-800c-9ee0-6228af690b3f","voided":false}','299f15a7374bfa5e7f0073e129daf6934be83d0be481c824f5ff2da9b27e3a0e');
INSERT INTO "version" VALUES(X'01A21240670474C386C6A6A084EEA6EB',X'01A2124066F07C5F9285BC59F7620035',X'492A58960A028C969D92D858C838B827','plan_choice','','entered','{"choice":"run","component_id":"6985ca1f-4daa-8a58-8a28-eae043a239cb","id":"492a5896-0a02-8c96-9d92-d858c838b827","positions":"2-3, 7","season_plan_id":"9ccc66cd-667f-800c-9ee0-6228af690b3f","voided":false}','3cfcb0e855ca8cb70b8b93135f9342e17ec2ff129ed7ee9b4d0a2e82f0c10c2e');
INSERT INTO "version" VALUES(X'01A21240670A73E59DD1FF47E9D588FC',X'01A2124067077F21BC1A8620DB9F855C',X'EC72B9566A9C8501838AE30AEEADB527','setting','01a21240-6702-7e1d-b105-3adc7d34469a','edited','{"content":"edited","id":"ec72b956-6a9c-8501-838a-e30aeeadb527","key":"setting key, señal 3/8″","voided":false}','8d4f4529f2db714a97b7203cb9722ef50c663cc3f1e0964cea3d6bc225b59bef');
INSERT INTO "version" VALUES(X'01A21240670C7C7D9984B0CF067B592F',X'01A21240670B7B6F82173F5178C5812F',X'EC72B9566A9C8501838AE30AEEADB527','setting','01a21240-670a-73e5-9dd1-ff47e9d588fc','voided','{"content":"edited","id":"ec72b956-6a9c-8501-838a-e30aeeadb527","key":"setting key, señal 3/8″","voided":true}','9bd042a9dc5dd055a18d61455416f0a172eaf59daf4e414bc0b78af0624e9d95');
INSERT INTO "version" VALUES(X'01A21240671273F5A3201CC5FF27E461',X'01A21240671175AF81C496142FD8AE0F',X'EC72B9566A9C8501838AE30AEEADB527','setting','01a21240-670c-7c7d-9984-b0cf067b592f','undone','{"content":"edited","id":"ec72b956-6a9c-8501-838a-e30aeeadb527","key":"setting key, señal 3/8″","voided":false}','5cdd4d252998a3012d2592c2580b476abd2ee66743661f505008738818a98926');
CREATE INDEX ix_deed_recorded_at ON deed (recorded_at);
CREATE INDEX ix_deed_undoes_deed_id ON deed (undoes_deed_id);
CREATE INDEX ix_circuit_node_machine_id ON circuit_node (machine_id);
CREATE INDEX ix_fault_machine_id_opened_at ON fault (machine_id, opened_at);
CREATE INDEX ix_calibration_machine_id_at ON calibration (machine_id, at);
CREATE INDEX ix_loss_check_combine_id_at ON loss_check (combine_id, at);
CREATE INDEX ix_moisture_sample_crop_id_at ON moisture_sample (crop_id, at);
CREATE INDEX ix_season_plan_season_id ON season_plan (season_id);
CREATE INDEX ix_version_deed_id ON version (deed_id);
CREATE INDEX ix_version_row_id ON version (row_id);
CREATE INDEX ix_hitch_header_id_from_at ON hitch (header_id, from_at);
CREATE INDEX ix_meter_machine_id ON meter (machine_id);
CREATE INDEX ix_run_combine_id_started_at ON run (combine_id, started_at);
CREATE INDEX ix_part_fit_part_kind_id ON part_fit (part_kind_id);
CREATE INDEX ix_component_machine_id ON component (machine_id);
CREATE INDEX ix_service_item_machine_id ON service_item (machine_id);
CREATE INDEX ix_circuit_edge_from_node_id ON circuit_edge (from_node_id);
CREATE INDEX ix_fault_sign_fault_id ON fault_sign (fault_id);
CREATE INDEX ix_fault_check_fault_id_step ON fault_check (fault_id, step);
CREATE INDEX ix_fault_finding_fault_id ON fault_finding (fault_id);
CREATE INDEX ix_planned_area_season_plan_id ON planned_area (season_plan_id);
CREATE INDEX ix_plan_choice_season_plan_id ON plan_choice (season_plan_id);
CREATE INDEX ix_reading_meter_id_at ON reading (meter_id, at);
CREATE INDEX ix_fitting_component_id_position_fitted_at ON fitting (component_id, position, fitted_at);
CREATE INDEX ix_repair_machine_id_started_at ON repair (machine_id, started_at);
CREATE INDEX ix_measurement_component_id_at ON measurement (component_id, at);
CREATE INDEX ix_service_done_service_item_id_at ON service_done (service_item_id, at);
CREATE INDEX ix_stoppage_repair_id ON stoppage (repair_id);
CREATE INDEX ix_stoppage_machine_id_started_at ON stoppage (machine_id, started_at);
CREATE INDEX ix_breakage_component_id_at ON breakage (component_id, at);
CREATE INDEX ix_stock_move_part_id_at ON stock_move (part_id, at);
CREATE INDEX ix_stock_move_breakage_id ON stock_move (breakage_id);
COMMIT;
