"""The import format: which sheet holds which fact, and what stands under each heading. Data only; reading is elsewhere.

A sheet is a CSV file NAME.csv or a worksheet NAME. Every sheet may have a `key` column: a UUID, or any label that is the row's own
in that sheet. Rows of sheets that others point to by key (repair, breakage, order, fault) need one if something points to them.
"""

from __future__ import annotations

from types import MappingProxyType

from wearlog.exchange.columns import AT, MACHINE, NOTE, By, Form, LoneDay, SheetColumn, listed, pointer, text, when
from wearlog.exchange.fault_sheets import FAULT_SHEETS
from wearlog.facts import closed_lists as lists
from wearlog.facts.closed_lists import WarrantyCover, WarrantyFrom

_PART = pointer("part", "part", needed=True)
_SUPPLIER = pointer("supplier", "supplier", needed=True)

#: in an order in which whatever is pointed at comes first
SUPPLY_SHEETS: MappingProxyType[str, tuple[SheetColumn, ...]] = MappingProxyType(
    {
        "supplier": (
            text("name", needed=True),
            SheetColumn("distance", "distance_metres", Form.DISTANCE, "how far it is by road"),
            text("phone"),
            SheetColumn("late_phone", "after_hours_phone", Form.TEXT, "who opens after hours"),
            SheetColumn("late_fee", "after_hours_fee_minor", Form.MONEY, "what opening after hours costs"),
            NOTE,
        ),
        "supplier_hours": (
            _SUPPLIER,
            SheetColumn("weekday", "weekday", Form.WEEKDAY, needed=True),
            SheetColumn("opens", "opens_seconds", Form.CLOCK, needed=True),
            SheetColumn("closes", "closes_seconds", Form.CLOCK, needed=True),
        ),
        "supply": (
            _PART,
            _SUPPLIER,
            SheetColumn("price", "price_minor", Form.MONEY, "of one piece there"),
            SheetColumn(
                "quoted_lead_days", "quoted_lead_days", Form.COUNT, "how long they say it takes; 0 = has it there"
            ),
            text("their_number", "their own number for it"),
        ),
        "supply_asked": (
            _SUPPLIER,
            _PART,
            AT,
            SheetColumn("had_it", "had_it", Form.FLAG, "whether it was there when somebody asked"),
        ),
        "part_order": (
            _PART,
            pointer("supplier", "supplier"),
            SheetColumn("quantity", "quantity", Form.COUNT, "how many were ordered", needed=True),
            when("ordered", "ordered_at", needed=True, lone_day=LoneDay.NOON),
            SheetColumn("unit_price", "unit_price_minor", Form.MONEY, "of one piece, as it was agreed"),
            when("cancelled", "cancelled_at", "empty = still to come, or it came"),
            NOTE,
        ),
        "warranty_claim": (
            pointer("breakage", "breakage", By.KEY, needed=True),
            when("sent", "sent_at", needed=True, lone_day=LoneDay.NOON),
            when("settled", "settled_at", "empty = no answer yet", lone_day=LoneDay.LAST),
            SheetColumn("paid", "paid_minor", Form.MONEY, "what they paid; 0 = refused"),
            NOTE,
        ),
    }
)


_COMPONENT = pointer("component", "component", By.COMPONENT, needed=True)
_REPAIR = pointer("repair", "repair", By.KEY)
_PERSON = pointer("person", "person", meaning="who did it")
_PLAN = pointer("plan", "season_plan", By.PLAN, needed=True)
_LABOUR = SheetColumn("labour", "labour_seconds", Form.DURATION, "own people, man-time")

#: sheets in an order in which whatever is pointed at comes first
SHEETS: MappingProxyType[str, tuple[SheetColumn, ...]] = MappingProxyType(
    {
        "setting": (SheetColumn("setting", "key", Form.TEXT, "which setting", needed=True), text("content")),
        "person": (
            text("name", needed=True),
            SheetColumn("short", "short", Form.TEXT, "the one word or letter by which they say so"),
            NOTE,
        ),
        "machine": (
            text("name", needed=True),
            listed("kind", lists.MachineKind, needed=True),
            SheetColumn("cut_width", "cut_width_micrometres", Form.LENGTH, "headers: width of cut"),
            SheetColumn("model_year", "model_year", Form.COUNT, "four digits"),
            SheetColumn("list_price", "list_price_minor", Form.MONEY, "today's price of such a machine when new"),
            SheetColumn("bought", "bought_on", Form.DAY, "since when it is yours"),
            NOTE,
            text("serial_number"),
            text("engine_number"),
            SheetColumn("type", "type_name", Form.TEXT, "machines of one type share their circuit diagrams"),
        ),
        "hitch": (
            pointer("header", "machine", field="header_id", needed=True),
            pointer("combine", "machine", field="combine_id", needed=True),
            when("from", "from_at", needed=True),
            when("to", "to_at", "empty = still on, or until the next one is hitched"),
        ),
        "meter": (MACHINE, listed("meter", lists.MeterKind, field="kind", needed=True)),
        "reading": (
            pointer("meter", "meter", By.METER, needed=True),
            AT,
            SheetColumn("shown", "shown_usage", Form.USAGE, "what the meter showed", needed=True),
            SheetColumn("new_leg", "new_leg", Form.FLAG, "yes = first reading of a replaced meter"),
            NOTE,
        ),
        "field": (
            text("name", needed=True),
            SheetColumn("area", "area_square_metres", Form.AREA, needed=True),
            listed("ground", lists.Ground, needed=True),
        ),
        "crop": (
            text("name", needed=True),
            SheetColumn("bushel", "bushel_grams", Form.MASS, "test weight of a bushel"),
            SheetColumn("price_per_tonne", "price_minor_per_tonne", Form.MONEY, "what a tonne brings"),
            SheetColumn(
                "seed_g_per_1000", "seed_milligrams_per_thousand", Form.THOUSANDTHS, "a thousand kernels weigh"
            ),
            SheetColumn(
                "loss_per_day_pct", "loss_per_day_millionths", Form.SHARE, "of the crop, for each day of delay"
            ),
        ),
        "season": (
            SheetColumn("harvest_year", "harvest_year", Form.COUNT, needed=True),
            SheetColumn("starts", "starts_on", Form.DAY, needed=True),
            SheetColumn("ends", "ends_on", Form.DAY, "first day that no longer belongs to it", needed=True),
        ),
        "run": (
            pointer("combine", "machine", field="combine_id", needed=True),
            pointer("header", "machine", field="header_id", meaning="empty = whatever was hitched then"),
            pointer("field", "field"),
            pointer("crop", "crop"),
            when("started", "started_at", needed=True),
            when("ended", "ended_at", needed=True, lone_day=LoneDay.LAST),
            SheetColumn("area", "area_square_metres", Form.AREA, needed=True),
            SheetColumn(
                "separator", "separator_seconds", Form.DURATION, "separator hours of this run, if written down"
            ),
            listed("cut_height", lists.CutHeight),
            listed("crop_state", lists.CropState),
            SheetColumn("yield", "yield_grams_per_hectare", Form.MASS_PER_AREA),
            SheetColumn("conditions", "conditions", Form.SEVERAL, "what it was like", closed_list=lists.Condition),
        ),
        "part_kind": (
            text("name", needed=True),
            SheetColumn("words", "words", Form.WORDS, "what people call it, separated by commas"),
            listed("subsystem", lists.Subsystem, needed=True),
            listed("meter", lists.MeterKind, field="meter_kind", needed=True),
            SheetColumn("life_low", "life_low_usage", Form.USAGE, "10 % point of the median life"),
            SheetColumn("life_high", "life_high_usage", Form.USAGE, "90 % point of the median life"),
            SheetColumn("shape_low", "shape_low_thousandths", Form.THOUSANDTHS, "10 % point of the Weibull shape"),
            SheetColumn("shape_high", "shape_high_thousandths", Form.THOUSANDTHS, "90 % point of the Weibull shape"),
            *(
                SheetColumn(f"impacts_{g}", f"impacts_{g}", Form.IMPACTS, f"breakages by impact, {g} ground")
                for g in lists.Ground
            ),
            listed("guess_evidence", lists.Evidence),
            listed("dimension", lists.Dimension),
            SheetColumn("new", "new_micrometres", Form.LENGTH, "what it measures when new"),
            SheetColumn("limit", "limit_micrometres", Form.LENGTH, "what it measures when worn out"),
            SheetColumn("pitch", "pitch_micrometres", Form.LENGTH, "chains: one pitch when new"),
            SheetColumn("pitches", "pitches", Form.COUNT, "chains: how many pitches are measured over"),
            SheetColumn("usual_labour", "usual_labour_seconds", Form.DURATION, "man-time for one position"),
            listed("hazard", lists.Hazard),
            SheetColumn("endangers_people", "endangers_people", Form.FLAG, "a failure in work can hurt somebody"),
        ),
        "part": (
            text("number", needed=True),
            text("name", needed=True),
            SheetColumn("price", "price_minor", Form.MONEY, "of one piece"),
            SheetColumn("pack_size", "pack_size", Form.COUNT, "how many come in a pack; empty = 1"),
            SheetColumn("lead_time_days", "lead_time_days", Form.COUNT, "from ordering to having it"),
            text("supplier"),
            SheetColumn("keep_on_hand", "keep_on_hand", Form.COUNT, "low below this many"),
            SheetColumn("warranty_months", "warranty_months", Form.COUNT, "how long it is warranted"),
            SheetColumn("warranty", "warranty_usage", Form.USAGE, "or for so much on the meter of its kind"),
            listed("warranty_covers", WarrantyCover),
            listed("warranty_from", WarrantyFrom),
            SheetColumn(
                "warranty_pro_rata", "warranty_pro_rata", Form.FLAG, "pays the share of the term that was left"
            ),
        ),
        "part_fit": (
            pointer("part", "part", needed=True),
            pointer("part_kind", "part_kind", needed=True),
            pointer("machine", "machine", meaning="empty = fits on every machine"),
        ),
        "component": (
            MACHINE,
            pointer("part_kind", "part_kind", needed=True),
            text("place", "its own name on this machine", needed=True),
            SheetColumn("positions", "positions", Form.COUNT, "how many it has, counted from 1 at the left; empty = 1"),
        ),
        "fitting": (
            _COMPONENT,
            SheetColumn(
                "position",
                "position",
                Form.POSITIONS,
                "one position or several: a row of 1-160 fits them all; empty = every position of the component",
                also="positions",
            ),
            when("fitted", "fitted_at", needed=True),
            SheetColumn(
                "age_when_fitted",
                "age_when_fitted_usage",
                Form.AGE,
                "0 or empty = new; the word unknown = nobody knows; or roughly: about 3 seasons, since new",
            ),
            when("removed", "removed_at", "empty = until the next fitting at that position in this sheet, or still on"),
            listed("removal", lists.Removal),
            pointer("part", "part"),
        ),
        "repair": (
            MACHINE,
            listed("kind", lists.RepairKind, needed=True),
            when("started", "started_at", needed=True),
            when("ended", "ended_at", "empty = not over yet", lone_day=LoneDay.LAST),
            _LABOUR,
            SheetColumn("hired", "hired_minor", Form.MONEY, "what others charged"),
            pointer("component", "component", By.COMPONENT),
            NOTE,
            text("invoice", "the paper that says what others charged"),
            _PERSON,
        ),
        "breakage": (
            _COMPONENT,
            SheetColumn(
                "positions",
                "positions",
                Form.POSITIONS,
                "empty only when the component has a single position",
                also="position",
            ),
            AT,
            listed("cause", lists.Cause),
            listed("mode", lists.Mode),
            listed("action", lists.Action),
            _REPAIR,
            NOTE,
            when("seen_whole", "seen_whole_at", "when it was last seen whole, where it was only found broken"),
            pointer("caused_by", "breakage", By.KEY, field="caused_by_id", meaning="the breakage that took it along"),
        ),
        "measurement": (
            _COMPONENT,
            SheetColumn("position", "position", Form.COUNT, "empty = 1"),
            AT,
            SheetColumn("measured", "measured_micrometres", Form.LENGTH, needed=True),
            NOTE,
        ),
        "stoppage": (
            MACHINE,
            when("started", "started_at", needed=True),
            when("ended", "ended_at", "empty = not over yet", lone_day=LoneDay.LAST),
            listed("reason", lists.StopReason, needed=True),
            _REPAIR,
            NOTE,
        ),
        "service_item": (
            MACHINE,
            text("name", needed=True),
            listed("meter", lists.MeterKind, field="meter_kind"),
            SheetColumn("interval", "interval_usage", Form.USAGE, "due after so much on the meter"),
            SheetColumn(
                "interval_months", "interval_months", Form.COUNT, "or after so many months, whichever comes first"
            ),
            listed("evidence", lists.Evidence),
            listed("hazard", lists.Hazard),
            SheetColumn("times", "times", Form.COUNT, "how often in all; empty = for good"),
            SheetColumn("halved", "halved", Form.FLAG, "due after half of it, as in heavy dust"),
            when("ended", "ended_at", "due no more from then on"),
            pointer("component", "component", By.COMPONENT, meaning="counts from when this was new"),
            SheetColumn(
                "first_interval", "first_usage", Form.USAGE, "the first time after so much, where it is another"
            ),
        ),
        "service_done": (
            pointer("service", "service_item", By.SERVICE, needed=True),
            AT,
            _LABOUR,
            SheetColumn("cost", "cost_minor", Form.MONEY),
            NOTE,
            _PERSON,
        ),
        **SUPPLY_SHEETS,
        "stock_move": (
            pointer("part", "part", needed=True),
            AT,
            listed("change", lists.StockChange, needed=True),
            SheetColumn("quantity", "quantity", Form.COUNT, "how many came, went or were counted", needed=True),
            SheetColumn("unit_cost", "unit_cost_minor", Form.MONEY, "what one cost when it came"),
            _REPAIR,
            pointer("breakage", "breakage", By.KEY),
            pointer("service_done", "service_done", By.KEY, meaning="the service that took them"),
            pointer("order", "part_order", By.KEY, meaning="the order that they came of"),
            NOTE,
        ),
        **FAULT_SHEETS,
        "calibration": (
            MACHINE,
            listed("sensor", lists.Sensor, needed=True),
            AT,
            SheetColumn("reference_amount", "reference_amount", Form.SENSOR, "what the reference was", needed=True),
            SheetColumn("indicated_amount", "indicated_amount", Form.SENSOR, "what the sensor showed", needed=True),
            pointer("crop", "crop"),
            NOTE,
        ),
        "loss_check": (
            pointer("combine", "machine", field="combine_id", needed=True),
            pointer("field", "field"),
            pointer("crop", "crop", needed=True),
            AT,
            SheetColumn("behind", "behind_per_hectare", Form.PER_FT2, "kernels behind the combine", needed=True),
            SheetColumn("ahead", "ahead_per_hectare", Form.PER_FT2, "kernels ahead of it"),
            SheetColumn("uncut", "uncut_per_hectare", Form.PER_FT2, "kernels under the crop that still stood"),
            SheetColumn("cut_width", "cut_width_micrometres", Form.LENGTH, needed=True),
            SheetColumn("discharge_width", "discharge_width_micrometres", Form.LENGTH, needed=True),
            SheetColumn("yield", "yield_grams_per_hectare", Form.MASS_PER_AREA),
            NOTE,
        ),
        "moisture_sample": (
            pointer("field", "field"),
            pointer("crop", "crop", needed=True),
            AT,
            SheetColumn("tester_pct", "tester_hundredths", Form.HUNDREDTHS, "by the farm's own tester", needed=True),
            SheetColumn("elevator_pct", "elevator_hundredths", Form.HUNDREDTHS, "what the elevator found"),
            NOTE,
        ),
        "season_plan": (
            pointer("season", "season", needed=True),
            text("name"),
            SheetColumn("budget", "budget_minor", Form.MONEY),
            SheetColumn("shop", "shop_seconds", Form.DURATION, "shop time there is before the season"),
        ),
        "planned_area": (
            _PLAN,
            SheetColumn("area", "area_square_metres", Form.AREA, needed=True),
            pointer("field", "field"),
            listed("ground", lists.Ground),
            pointer("crop", "crop"),
            pointer("combine", "machine", field="combine_id"),
            pointer("header", "machine", field="header_id"),
        ),
        "plan_choice": (
            _PLAN,
            pointer("component", "component", By.COMPONENT, needed=True),
            SheetColumn(
                "positions", "positions", Form.POSITIONS, "empty = every position of the component", also="position"
            ),
            listed("choice", lists.Choice, needed=True),
        ),
    }
)
