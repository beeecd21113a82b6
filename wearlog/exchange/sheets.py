"""The import format: which sheet holds which fact, and what stands under each heading. Data only; reading is elsewhere.

A sheet is a CSV file NAME.csv or a worksheet NAME. Every sheet may have a `key` column: a UUID, or any label that is the row's own
in that sheet. Rows of sheets that others point to by key (repair, breakage, fault) need one if something points to them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum, auto
from types import MappingProxyType

from wearlog.facts import closed_lists as lists


class Form(Enum):
    """How the text of a cell becomes the value of a field. Units stand at the end of the heading: area_ac, shown_h."""

    TEXT = auto()
    COUNT = auto()  #: whole number
    AREA = auto()  #: _ac _ha _m2 -> square metres
    DURATION = auto()  #: _h _min _s -> seconds
    USAGE = auto()  #: _h _min _s or _ac _ha _m2, as the meter of the row counts
    LENGTH = auto()  #: _in _ft _mm _m _um -> micrometres
    MASS = auto()  #: _lb _kg _g -> grams
    MASS_PER_AREA = auto()  #: _kg_per_ha _lb_per_ac _g_per_ha -> grams per hectare
    MONEY = auto()  #: decimal amount of the farm's currency -> minor units
    IMPACTS = auto()  #: _per_1000_ac _per_1000_ha -> breakages per million square kilometres
    THOUSANDTHS = auto()  #: decimal number -> thousandths
    HUNDREDTHS = auto()  #: per cent -> hundredths of a per cent
    AMPERES = auto()  #: amperes -> milliamperes
    PER_FT2 = auto()  #: _per_ft2 _per_m2 _per_ha (kernels) -> per hectare
    INSTANT = auto()  #: 2025-07-28 16:20 (the farm's clock) or with an offset or Z
    DAY = auto()  #: 2025-07-28
    FLAG = auto()  #: yes or no, empty = no
    LISTED = auto()  #: one value of a closed list
    SEVERAL = auto()  #: values of a closed list, separated by commas
    POSITIONS = auto()  #: 41-43, 50
    POINTER = auto()  #: names a row of another sheet


class By(Enum):
    """How a pointer names the row it means."""

    NAME = auto()  #: by name (machine, field, crop, part_kind), number (part) or year (season)
    KEY = auto()  #: by the key of its row (repair, breakage, fault)
    METER = auto()  #: columns `machine` and `meter`
    COMPONENT = auto()  #: columns `machine` and `component` (its place, which is its own on the machine)
    SERVICE = auto()  #: columns `machine` and `service` (its name)
    NODE = auto()  #: columns `machine` and the heading itself (a node's name is its own on the machine)
    PLAN = auto()  #: columns `season` (harvest year) and `plan` (its name, may be empty)


@dataclass(frozen=True, slots=True)
class Column:
    """One heading (without its unit) of a sheet and the field of the fact it fills."""

    heading: str
    field: str
    form: Form
    meaning: str = ""
    needed: bool = False
    closed_list: type[StrEnum] | None = None
    target: str = ""
    by: By | None = None


def _pointer(heading: str, target: str, by: By = By.NAME, *, field: str = "", needed: bool = False) -> Column:
    return Column(heading, field or f"{target}_id", Form.POINTER, needed=needed, target=target, by=by)


def _listed(heading: str, closed_list: type[StrEnum], *, field: str = "", needed: bool = False) -> Column:
    return Column(heading, field or heading, Form.LISTED, needed=needed, closed_list=closed_list)


def _text(heading: str, meaning: str = "", *, needed: bool = False) -> Column:
    return Column(heading, heading, Form.TEXT, meaning, needed)


def _when(heading: str, field: str, *, needed: bool = False) -> Column:
    return Column(heading, field, Form.INSTANT, needed=needed)


_AT = _when("at", "at", needed=True)
_NOTE = _text("note")
_MACHINE = _pointer("machine", "machine", needed=True)
_COMPONENT = _pointer("component", "component", By.COMPONENT, needed=True)
_REPAIR = _pointer("repair", "repair", By.KEY)
_FAULT = _pointer("fault", "fault", By.KEY, needed=True)
_NODE = _pointer("node", "circuit_node", By.NODE, field="node_id")
_PLAN = _pointer("plan", "season_plan", By.PLAN, needed=True)
_LABOUR = Column("labour", "labour_seconds", Form.DURATION, "own people, man-time")

#: sheets in an order in which whatever is pointed at comes first
SHEETS: MappingProxyType[str, tuple[Column, ...]] = MappingProxyType(
    {
        "setting": (Column("setting", "key", Form.TEXT, "which setting", needed=True), _text("content")),
        "machine": (
            _text("name", needed=True),
            _listed("kind", lists.MachineKind, needed=True),
            Column("cut_width", "cut_width_micrometres", Form.LENGTH, "headers: width of cut"),
            Column("model_year", "model_year", Form.COUNT),
            Column("list_price", "list_price_minor", Form.MONEY, "today's price of such a machine when new"),
            Column("bought", "bought_on", Form.DAY),
            _NOTE,
        ),
        "hitch": (
            _pointer("header", "machine", field="header_id", needed=True),
            _pointer("combine", "machine", field="combine_id", needed=True),
            _when("from", "from_at", needed=True),
            _when("to", "to_at"),
        ),
        "meter": (_MACHINE, _listed("meter", lists.MeterKind, field="kind", needed=True)),
        "reading": (
            _pointer("meter", "meter", By.METER, needed=True),
            _AT,
            Column("shown", "shown_usage", Form.USAGE, "what the meter showed", needed=True),
            Column("new_leg", "new_leg", Form.FLAG, "yes = first reading of a replaced meter"),
            _NOTE,
        ),
        "field": (
            _text("name", needed=True),
            Column("area", "area_square_metres", Form.AREA, needed=True),
            _listed("ground", lists.Ground, needed=True),
        ),
        "crop": (_text("name", needed=True), Column("bushel", "bushel_grams", Form.MASS, "test weight of a bushel")),
        "season": (
            Column("harvest_year", "harvest_year", Form.COUNT, needed=True),
            Column("starts", "starts_on", Form.DAY, needed=True),
            Column("ends", "ends_on", Form.DAY, "first day that no longer belongs to it", needed=True),
        ),
        "run": (
            _pointer("combine", "machine", field="combine_id", needed=True),
            _pointer("header", "machine", field="header_id"),
            _pointer("field", "field"),
            _pointer("crop", "crop"),
            _when("started", "started_at", needed=True),
            _when("ended", "ended_at", needed=True),
            Column("area", "area_square_metres", Form.AREA, needed=True),
            Column("separator", "separator_seconds", Form.DURATION, "separator hours of this run, if written down"),
            _listed("cut_height", lists.CutHeight),
            _listed("crop_state", lists.CropState),
            Column("yield", "yield_grams_per_hectare", Form.MASS_PER_AREA),
        ),
        "part_kind": (
            _text("name", needed=True),
            _text("words", "what people call it, separated by commas"),
            _listed("subsystem", lists.Subsystem, needed=True),
            _listed("meter", lists.MeterKind, field="meter_kind", needed=True),
            Column("life_low", "life_low_usage", Form.USAGE, "10 % point of the median life"),
            Column("life_high", "life_high_usage", Form.USAGE, "90 % point of the median life"),
            Column("shape_low", "shape_low_thousandths", Form.THOUSANDTHS),
            Column("shape_high", "shape_high_thousandths", Form.THOUSANDTHS),
            *(
                Column(f"impacts_{g}", f"impacts_{g}", Form.IMPACTS, f"breakages by impact, {g} ground")
                for g in lists.Ground
            ),
            _listed("guess_evidence", lists.Evidence),
            _listed("dimension", lists.Dimension),
            Column("new", "new_micrometres", Form.LENGTH),
            Column("limit", "limit_micrometres", Form.LENGTH),
            Column("pitch", "pitch_micrometres", Form.LENGTH),
            Column("pitches", "pitches", Form.COUNT),
            Column("usual_labour", "usual_labour_seconds", Form.DURATION),
            _listed("hazard", lists.Hazard),
        ),
        "part": (
            _text("number", needed=True),
            _text("name", needed=True),
            Column("price", "price_minor", Form.MONEY, "of one piece"),
            Column("pack_size", "pack_size", Form.COUNT),
            Column("lead_time_days", "lead_time_days", Form.COUNT),
            _text("supplier"),
            Column("keep_on_hand", "keep_on_hand", Form.COUNT, "low below this many"),
        ),
        "part_fit": (
            _pointer("part", "part", needed=True),
            _pointer("part_kind", "part_kind", needed=True),
            _pointer("machine", "machine"),
        ),
        "component": (
            _MACHINE,
            _pointer("part_kind", "part_kind", needed=True),
            _text("place", "its own name on this machine", needed=True),
            Column("positions", "positions", Form.COUNT),
        ),
        "fitting": (
            _COMPONENT,
            Column("position", "position", Form.POSITIONS, "one position or several: a row of 1-160 fits them all"),
            _when("fitted", "fitted_at", needed=True),
            Column(
                "age_when_fitted",
                "age_when_fitted_usage",
                Form.USAGE,
                "0 or empty = new; the word unknown = nobody knows",
            ),
            _when("removed", "removed_at"),
            _listed("removal", lists.Removal),
            _pointer("part", "part"),
        ),
        "repair": (
            _MACHINE,
            _listed("kind", lists.RepairKind, needed=True),
            _when("started", "started_at", needed=True),
            _when("ended", "ended_at"),
            _LABOUR,
            Column("hired", "hired_minor", Form.MONEY, "what others charged"),
            _pointer("component", "component", By.COMPONENT),
            _NOTE,
        ),
        "breakage": (
            _COMPONENT,
            Column("positions", "positions", Form.POSITIONS, needed=True),
            _AT,
            _listed("cause", lists.Cause),
            _listed("mode", lists.Mode),
            _listed("action", lists.Action),
            _REPAIR,
            _NOTE,
        ),
        "measurement": (
            _COMPONENT,
            Column("position", "position", Form.COUNT),
            _AT,
            Column("measured", "measured_micrometres", Form.LENGTH, needed=True),
            _NOTE,
        ),
        "stock_move": (
            _pointer("part", "part", needed=True),
            _AT,
            _listed("change", lists.StockChange, needed=True),
            Column("quantity", "quantity", Form.COUNT, needed=True),
            Column("unit_cost", "unit_cost_minor", Form.MONEY),
            _REPAIR,
            _pointer("breakage", "breakage", By.KEY),
            _NOTE,
        ),
        "stoppage": (
            _MACHINE,
            _when("started", "started_at", needed=True),
            _when("ended", "ended_at"),
            _listed("reason", lists.StopReason, needed=True),
            _REPAIR,
            _NOTE,
        ),
        "service_item": (
            _MACHINE,
            _text("name", needed=True),
            _listed("meter", lists.MeterKind, field="meter_kind"),
            Column("interval", "interval_usage", Form.USAGE),
            Column("interval_months", "interval_months", Form.COUNT),
            _listed("evidence", lists.Evidence),
            _listed("hazard", lists.Hazard),
        ),
        "service_done": (
            _pointer("service", "service_item", By.SERVICE, needed=True),
            _AT,
            _LABOUR,
            Column("cost", "cost_minor", Form.MONEY),
            _NOTE,
        ),
        "circuit_node": (
            _MACHINE,
            _text("circuit"),
            _text("name", "its own name on this machine", needed=True),
            _listed("kind", lists.NodeKind, needed=True),
            _text("place"),
            Column("rating_a", "rating_milliamperes", Form.AMPERES),
            Column("passes_edge", "passes_edge", Form.FLAG),
            Column("moves_with_header", "moves_with_header", Form.FLAG),
            Column("near_heat", "near_heat", Form.FLAG),
            Column("outside", "outside", Form.FLAG),
        ),
        "circuit_edge": (
            _pointer("from_node", "circuit_node", By.NODE, field="from_node_id", needed=True),
            _pointer("to_node", "circuit_node", By.NODE, field="to_node_id", needed=True),
            _listed("kind", lists.EdgeKind),
        ),
        "fault": (
            _MACHINE,
            _text("circuit"),
            _text("title", needed=True),
            _when("opened", "opened_at", needed=True),
            _when("closed", "closed_at"),
            Column("conditions", "conditions", Form.SEVERAL, closed_list=lists.Condition),
            _NOTE,
        ),
        "fault_sign": (
            _FAULT,
            _NODE,
            _listed("sign", lists.SignKind, needed=True),
            Column("spn", "spn", Form.COUNT),
            Column("fmi", "fmi", Form.COUNT),
            _NOTE,
        ),
        "fault_check": (
            _FAULT,
            Column("step", "step", Form.COUNT, needed=True),
            _NODE,
            _listed("kind", lists.CheckKind, needed=True),
            _text("expected"),
            _text("measured"),
            _listed("verdict", lists.Verdict),
            Column("duration", "duration_seconds", Form.DURATION),
            _when("at", "at"),
        ),
        "fault_finding": (
            _FAULT,
            _NODE,
            _listed("mode", lists.FaultMode, needed=True),
            _text("fix"),
            _listed("evidence", lists.FixEvidence, needed=True),
            _AT,
        ),
        "calibration": (
            _MACHINE,
            _listed("sensor", lists.Sensor, needed=True),
            _AT,
            Column("reference_amount", "reference_amount", Form.COUNT, "in the sensor's stored unit", needed=True),
            Column("indicated_amount", "indicated_amount", Form.COUNT, "in the sensor's stored unit", needed=True),
            _pointer("crop", "crop"),
            _NOTE,
        ),
        "loss_check": (
            _pointer("combine", "machine", field="combine_id", needed=True),
            _pointer("field", "field"),
            _pointer("crop", "crop", needed=True),
            _AT,
            Column("behind", "behind_per_hectare", Form.PER_FT2, "kernels behind the combine", needed=True),
            Column("ahead", "ahead_per_hectare", Form.PER_FT2, "kernels ahead of it"),
            Column("cut_width", "cut_width_micrometres", Form.LENGTH, needed=True),
            Column("discharge_width", "discharge_width_micrometres", Form.LENGTH, needed=True),
            Column("yield", "yield_grams_per_hectare", Form.MASS_PER_AREA),
            _NOTE,
        ),
        "moisture_sample": (
            _pointer("field", "field"),
            _pointer("crop", "crop", needed=True),
            _AT,
            Column("tester_pct", "tester_hundredths", Form.HUNDREDTHS, needed=True),
            Column("elevator_pct", "elevator_hundredths", Form.HUNDREDTHS),
            _NOTE,
        ),
        "season_plan": (
            _pointer("season", "season", needed=True),
            _text("name"),
            Column("budget", "budget_minor", Form.MONEY),
            Column("shop", "shop_seconds", Form.DURATION),
        ),
        "planned_area": (
            _PLAN,
            Column("area", "area_square_metres", Form.AREA, needed=True),
            _pointer("field", "field"),
            _listed("ground", lists.Ground),
            _pointer("crop", "crop"),
            _pointer("combine", "machine", field="combine_id"),
            _pointer("header", "machine", field="header_id"),
        ),
        "plan_choice": (
            _PLAN,
            _pointer("component", "component", By.COMPONENT, needed=True),
            Column("positions", "positions", Form.POSITIONS, needed=True),
            _listed("choice", lists.Choice, needed=True),
        ),
    }
)
