"""The content of versions, packed: a third of its size, and each version can be read alone.

Packing is DEFLATE (RFC 1951) after one byte that names the form. Each table has a dictionary of words that its rows repeat; it is
part of the form and stays as it is for good, since every version out on the farms was written with it.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Final

#: table -> what a plain row of it says; ids and times stand there by how they begin
WORDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "setting": ('{"content":"","id":"019d","key":"","voided":false}'),
        "import_batch": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","digest":"","id":"019d","rows_added":0,"source":"","voi'
            'ded":false}'
        ),
        "import_profile": ('{"content":"","id":"019d","name":"","voided":false}'),
        "outside_line": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","digest":"","id":"019d","place":"","question":"","row_i'
            'ds":[],"said":"","source":"","state":"taken","voided":false}'
        ),
        "same_as": ('{"id":"019d","kept_row_id":"019d","note":"","row_id":"019d","table_name":"","voided":false}'),
        "exchange": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","deeds":0,"device":"","digest":"","direction":"sent","i'
            'd":"019d","voided":false}'
        ),
        "person": ('{"id":"019d","name":"","note":"","short":"","voided":false}'),
        "caution_read": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","device":"","hazard":"under_header","id":"019d","person'
            '_id":null,"task":"","voided":false}'
        ),
        "machine": (
            '{"bought_on":null,"cut_width_micrometres":null,"engine_number":"","id":"019d","kind":"combine","'
            'list_price_minor":null,"model_year":null,"name":"","note":"","serial_number":"","type_name":"","'
            'voided":false}'
        ),
        "hitch": (
            '{"combine_id":"019d","from_at":"2026-07-28T16:20:00.000000+00:00","header_id":"019d","id":"019d"'
            ',"to_at":null,"voided":false}'
        ),
        "meter": ('{"id":"019d","kind":"area","machine_id":"019d","voided":false}'),
        "reading": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","id":"019d","meter_id":"019d","new_leg":false,"note":""'
            ',"shown_usage":0,"voided":false}'
        ),
        "field": ('{"area_square_metres":0,"ground":"clean","id":"019d","name":"","voided":false}'),
        "crop": (
            '{"bushel_grams":null,"id":"019d","loss_per_day_millionths":null,"name":"","price_minor_per_tonne'
            '":null,"seed_milligrams_per_thousand":null,"voided":false}'
        ),
        "season": ('{"ends_on":"2026-07-28","harvest_year":0,"id":"019d","starts_on":"2026-07-28","voided":false}'),
        "run": (
            '{"area_square_metres":0,"combine_id":"019d","conditions":[],"crop_id":null,"crop_state":null,"cu'
            't_height":null,"ended_at":"2026-07-28T16:20:00.000000+00:00","field_id":null,"header_id":null,"i'
            'd":"019d","separator_seconds":null,"started_at":"2026-07-28T16:20:00.000000+00:00","voided":fals'
            'e,"yield_grams_per_hectare":null}'
        ),
        "part_kind": (
            '{"dimension":"none","endangers_people":false,"guess_evidence":"common_practice","hazard":null,"i'
            'd":"019d","impacts_clean":0,"impacts_few_stones":0,"impacts_stony":0,"impacts_very_stony":0,"lif'
            'e_high_usage":null,"life_low_usage":null,"limit_micrometres":null,"meter_kind":"area","name":"",'
            '"new_micrometres":null,"pitch_micrometres":null,"pitches":null,"shape_high_thousandths":null,"sh'
            'ape_low_thousandths":null,"subsystem":"header","usual_labour_seconds":null,"voided":false,"words'
            '":[]}'
        ),
        "supplier": (
            '{"after_hours_fee_minor":null,"after_hours_phone":"","distance_metres":null,"id":"019d","name":"'
            '","note":"","phone":"","voided":false}'
        ),
        "supplier_hours": (
            '{"closes_seconds":0,"id":"019d","opens_seconds":0,"supplier_id":"019d","voided":false,"weekday":0}'
        ),
        "part": (
            '{"id":"019d","keep_on_hand":0,"lead_time_days":null,"name":"","number":"","pack_size":1,"price_m'
            'inor":null,"supplier":"","voided":false,"warranty_covers":null,"warranty_from":null,"warranty_mo'
            'nths":null,"warranty_pro_rata":false,"warranty_usage":null}'
        ),
        "part_fit": ('{"id":"019d","machine_id":null,"part_id":"019d","part_kind_id":"019d","voided":false}'),
        "supply": (
            '{"id":"019d","part_id":"019d","price_minor":null,"quoted_lead_days":null,"supplier_id":"019d","t'
            'heir_number":"","voided":false}'
        ),
        "supply_asked": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","had_it":false,"id":"019d","part_id":"019d","supplier_i'
            'd":"019d","voided":false}'
        ),
        "part_order": (
            '{"cancelled_at":null,"id":"019d","note":"","ordered_at":"2026-07-28T16:20:00.000000+00:00","part'
            '_id":"019d","quantity":0,"supplier_id":null,"unit_price_minor":null,"voided":false}'
        ),
        "component": (
            '{"id":"019d","machine_id":"019d","part_kind_id":"019d","place":"","positions":1,"voided":false}'
        ),
        "fitting": (
            '{"age_when_fitted_usage":0,"component_id":"019d","fitted_at":"2026-07-28T16:20:00.000000+00:00",'
            '"id":"019d","part_id":null,"position":0,"removal":null,"removed_at":null,"voided":false}'
        ),
        "repair": (
            '{"component_id":null,"ended_at":null,"hired_minor":null,"id":"019d","invoice":"","kind":"breakdo'
            'wn","labour_seconds":null,"machine_id":"019d","note":"","person_id":null,"started_at":"2026-07-2'
            '8T16:20:00.000000+00:00","voided":false}'
        ),
        "breakage": (
            '{"action":"replaced","at":"2026-07-28T16:20:00.000000+00:00","broke_fitting_ids":[],"cause":"unk'
            'nown","caused_by_id":null,"component_id":"019d","followed_fitting_ids":[],"id":"019d","mode":"br'
            'oken","note":"","positions":0,"repair_id":null,"seen_whole_at":null,"voided":false}'
        ),
        "warranty_claim": (
            '{"breakage_id":"019d","id":"019d","note":"","paid_minor":null,"sent_at":"2026-07-28T16:20:00.000'
            '000+00:00","settled_at":null,"voided":false}'
        ),
        "measurement": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","component_id":"019d","id":"019d","measured_micrometres'
            '":0,"note":"","position":1,"voided":false}'
        ),
        "stoppage": (
            '{"ended_at":null,"id":"019d","machine_id":"019d","note":"","reason":"breakdown","repair_id":null'
            ',"started_at":"2026-07-28T16:20:00.000000+00:00","voided":false}'
        ),
        "service_item": (
            '{"component_id":null,"ended_at":null,"evidence":"common_practice","first_usage":null,"halved":fa'
            'lse,"hazard":null,"id":"019d","interval_months":null,"interval_usage":null,"machine_id":"019d","'
            'meter_kind":null,"name":"","times":null,"voided":false}'
        ),
        "service_done": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","cost_minor":null,"id":"019d","labour_seconds":null,"no'
            'te":"","person_id":null,"service_item_id":"019d","voided":false}'
        ),
        "stock_move": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","breakage_id":null,"change":"received","id":"019d","not'
            'e":"","part_id":"019d","part_order_id":null,"quantity":0,"repair_id":null,"service_done_id":null'
            ',"unit_cost_minor":null,"voided":false}'
        ),
        "set_up": (
            '{"id":"019d","labour_seconds":0,"machine_id":"019d","name":"","one_person":false,"part_kind_ids"'
            ':[],"voided":false}'
        ),
        "trade_offer": (
            '{"allowance_minor":null,"engine_seconds":null,"id":"019d","list_price_minor":null,"machine_id":"'
            '019d","model_year":null,"note":"","offered_at":"2026-07-28T16:20:00.000000+00:00","price_minor":'
            '0,"separator_seconds":null,"title":"","voided":false,"warranty_months":null,"warranty_seconds":n'
            "ull}"
        ),
        "inspection": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","id":"019d","machine_id":"019d","note":"","person_id":n'
            'ull,"round":"pre_season","voided":false}'
        ),
        "inspection_finding": (
            '{"component_id":null,"found":"good","id":"019d","inspection_id":"019d","line":"","measurement_id'
            '":null,"note":"","position":null,"voided":false}'
        ),
        "circuit_node": (
            '{"circuit":"","id":"019d","kind":"battery","length_millimetres":null,"machine_id":"019d","moves_'
            'with_header":false,"name":"","near_heat":false,"outside":false,"passes_edge":false,"photo":"","p'
            'ins":"","place":"","rating_milliamperes":null,"shared":false,"splice_place":"","voided":false,"w'
            'ire_colour":"","wire_gauge":"","wire_number":""}'
        ),
        "circuit_edge": ('{"from_node_id":"019d","id":"019d","kind":"feed","to_node_id":"019d","voided":false}'),
        "circuit_cut": ('{"id":"019d","machine_id":"019d","node_id":"019d","voided":false}'),
        "fault": (
            '{"circuit":"","closed_at":null,"conditions":[],"conditions_asked":false,"id":"019d","machine_id"'
            ':"019d","note":"","opened_at":"2026-07-28T16:20:00.000000+00:00","others_tried":null,"title":"",'
            '"voided":false,"worked_on":""}'
        ),
        "fault_sign": (
            '{"fault_id":"019d","fmi":null,"id":"019d","in_use":null,"node_id":null,"note":"","sign":"dead","'
            'spn":null,"told":null,"voided":false}'
        ),
        "fault_visit": (
            '{"ended_at":null,"fault_id":"019d","id":"019d","note":"","person_id":null,"present":null,"starte'
            'd_at":"2026-07-28T16:20:00.000000+00:00","voided":false}'
        ),
        "fault_check": (
            '{"at":null,"battery_micros":null,"duration_seconds":null,"expected":"","fault_id":"019d","fault_'
            'visit_id":null,"highest_micros":null,"id":"019d","kind":"look","load_on":null,"lowest_micros":nu'
            'll,"measured":"","node_id":null,"over_range":false,"place":"","reading_micros":null,"reading_uni'
            't":null,"second_node_id":null,"step":0,"supplied":null,"verdict":"not_done","voided":false}'
        ),
        "fault_finding": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","evidence":"seen","fault_id":"019d","fix":"","fix_kind"'
            ':null,"id":"019d","mode":"open","node_id":null,"voided":false}'
        ),
        "fault_opening": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","fault_id":"019d","id":"019d","node_id":null,"note":"",'
            '"opened":"unplugged","put_back_at":null,"voided":false}'
        ),
        "calibration": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","crop_id":null,"id":"019d","indicated_amount":0,"machin'
            'e_id":"019d","note":"","reference_amount":0,"sensor":"yield_load","voided":false}'
        ),
        "loss_check": (
            '{"ahead_per_hectare":0,"at":"2026-07-28T16:20:00.000000+00:00","behind_per_hectare":0,"combine_i'
            'd":"019d","crop_id":"019d","cut_width_micrometres":0,"discharge_width_micrometres":0,"field_id":'
            'null,"id":"019d","note":"","uncut_per_hectare":null,"voided":false,"yield_grams_per_hectare":nul'
            "l}"
        ),
        "moisture_sample": (
            '{"at":"2026-07-28T16:20:00.000000+00:00","crop_id":"019d","elevator_hundredths":null,"field_id":'
            'null,"id":"019d","note":"","tester_hundredths":0,"voided":false}'
        ),
        "season_plan": (
            '{"budget_minor":null,"id":"019d","name":"","season_id":"019d","shop_seconds":null,"voided":false}'
        ),
        "planned_area": (
            '{"area_square_metres":0,"combine_id":null,"crop_id":null,"field_id":null,"ground":null,"header_i'
            'd":null,"id":"019d","season_plan_id":"019d","voided":false}'
        ),
        "plan_choice": (
            '{"choice":"replace","component_id":"019d","id":"019d","positions":"1-160","season_plan_id":"019d'
            '","voided":false}'
        ),
    }
)


#: names the form in which the rest is packed
_FORM: Final = b"\x01"
#: a window of a kilobyte: content is short, and a larger one takes longer to make than to use
_WINDOW: Final = -10
_MEMORY: Final = 3
_LEVEL: Final = 6
#: no content is longer unpacked; a bundle from elsewhere must not fill the memory
MOST_BYTES: Final = 4_000_000


def packed(table_name: str, content: str) -> bytes:
    """Return the content of a version of a row of this table, packed."""
    packer = _packer(table_name).copy()
    return _FORM + packer.compress(content.encode()) + packer.flush()


def packed_each(table_name: str, contents: Iterable[str]) -> Iterator[bytes]:
    """Yield what `packed` returns of each content of rows of this table."""
    copy = _packer(table_name).copy
    for content in contents:
        packer = copy()
        yield _FORM + packer.compress(content.encode()) + packer.flush()


@lru_cache(maxsize=128)
def _packer(table_name: str) -> zlib._Compress:
    """Return what packs rows of a table, before it packed any: it is only copied, which takes less than to read the words anew."""
    return zlib.compressobj(_LEVEL, zlib.DEFLATED, _WINDOW, _MEMORY, zlib.Z_DEFAULT_STRATEGY, _dictionary(table_name))


def unpacked(table_name: str, stored: bytes) -> str:
    """Return the content that was packed.

    Raises
    ------
    ValueError
        When the bytes were damaged, are of a form this program does not know, or unpack to more than `MOST_BYTES`.
    """
    if stored[:1] != _FORM:
        raise ValueError("packed in a form that this program does not know")
    opener = zlib.decompressobj(_WINDOW, _dictionary(table_name))
    try:
        content = opener.decompress(stored[1:], MOST_BYTES)
    except zlib.error as error:
        raise ValueError("damaged") from error
    if not opener.eof or opener.unused_data:
        raise ValueError("damaged, or longer than any entry")
    return content.decode()


@lru_cache(maxsize=128)
def _dictionary(table_name: str) -> bytes:
    return WORDS.get(table_name, "").encode()
