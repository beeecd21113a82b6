"""The sheets of circuits and of their faults: which sheet holds which fact, and what stands under each heading. Data only."""

from __future__ import annotations

from types import MappingProxyType

from wearlog.exchange.columns import AT, MACHINE, NOTE, By, Form, LoneDay, SheetColumn, listed, pointer, text, when
from wearlog.facts import closed_lists as lists
from wearlog.facts.electrics import Answer, FixKind, Opened, OthersTried, ReadingUnit, Supplied, Told

_FAULT = pointer("fault", "fault", By.KEY, needed=True)
_NODE = pointer("node", "circuit_node", By.NODE, field="node_id")

#: in an order in which whatever is pointed at comes first
FAULT_SHEETS: MappingProxyType[str, tuple[SheetColumn, ...]] = MappingProxyType(
    {
        "circuit_node": (
            MACHINE,
            text("circuit"),
            text("name", "its own name on this machine", needed=True),
            listed("kind", lists.NodeKind, needed=True),
            text("place"),
            SheetColumn("rating_a", "rating_milliamperes", Form.AMPERES, "fuses"),
            SheetColumn("passes_edge", "passes_edge", Form.FLAG, "runs over an edge that can chafe it"),
            SheetColumn("moves_with_header", "moves_with_header", Form.FLAG, "bends when the header moves"),
            SheetColumn("near_heat", "near_heat", Form.FLAG, "lies near the engine or exhaust"),
            SheetColumn("outside", "outside", Form.FLAG, "lies in rain and dust"),
            text("wire_colour"),
            text("wire_number"),
            text("wire_gauge"),
            text("pins", "which pins of the plug"),
            text("splice_place", "where the wire is spliced"),
            SheetColumn(
                "length", "length_millimetres", Form.MILLIMETRES, "of the wire, to make a new one; no sum uses it"
            ),
            text("photo", "the name of a picture of it"),
            SheetColumn("shared", "shared", Form.FLAG, "is on every machine of the same type"),
        ),
        "circuit_edge": (
            pointer("from_node", "circuit_node", By.NODE, field="from_node_id", needed=True),
            pointer("to_node", "circuit_node", By.NODE, field="to_node_id", needed=True),
            listed("kind", lists.EdgeKind),
        ),
        "circuit_cut": (
            MACHINE,
            pointer("node", "circuit_node", By.SHARED_NODE, field="node_id", meaning="what is not on it", needed=True),
        ),
        "fault": (
            MACHINE,
            text("circuit"),
            text("title", needed=True),
            when("opened", "opened_at", needed=True),
            when("closed", "closed_at", "empty = still open", lone_day=LoneDay.LAST),
            SheetColumn("conditions", "conditions", Form.SEVERAL, closed_list=lists.Condition),
            NOTE,
            SheetColumn(
                "conditions_asked", "conditions_asked", Form.FLAG, "yes = asked for: what is not named was not there"
            ),
            listed("others_tried", OthersTried),
            text("worked_on", "what was done on the machine since it last ran right"),
        ),
        "fault_visit": (
            _FAULT,
            when("started", "started_at", needed=True),
            when("ended", "ended_at", "empty = not over yet", lone_day=LoneDay.LAST),
            SheetColumn("present", "present", Form.LISTED, "whether the fault was there", closed_list=Answer),
            pointer("person", "person", meaning="who worked on it"),
            NOTE,
        ),
        "fault_sign": (
            _FAULT,
            _NODE,
            listed("sign", lists.SignKind, needed=True),
            SheetColumn("spn", "spn", Form.COUNT, "of a code: suspect parameter number"),
            SheetColumn("fmi", "fmi", Form.COUNT, "of a code: failure mode"),
            NOTE,
            listed("told", Told),
            listed("in_use", Answer),
        ),
        "fault_check": (
            _FAULT,
            SheetColumn("step", "step", Form.COUNT, "which check in the order, from 1", needed=True),
            _NODE,
            listed("kind", lists.CheckKind, needed=True),
            text("expected"),
            text("measured"),
            listed("verdict", lists.CheckVerdict),
            SheetColumn("duration", "duration_seconds", Form.DURATION),
            when("at", "at", lone_day=LoneDay.NOON),
            pointer("visit", "fault_visit", By.KEY),
            SheetColumn("reading", "reading_micros", Form.MILLIONTHS, "what the meter showed, in its reading_unit"),
            listed("reading_unit", ReadingUnit),
            SheetColumn("lowest", "lowest_micros", Form.MILLIONTHS, "seen while it was moved"),
            SheetColumn("highest", "highest_micros", Form.MILLIONTHS, "seen while it was moved"),
            SheetColumn("over_range", "over_range", Form.FLAG, "the meter showed no end"),
            listed("load_on", Answer),
            listed("supplied", Supplied),
            SheetColumn("battery", "battery_micros", Form.MILLIONTHS, "volts at the battery in the same state"),
            pointer("second_node", "circuit_node", By.NODE, field="second_node_id", meaning="of a check at two places"),
            text("place", "where on it"),
        ),
        "fault_finding": (
            _FAULT,
            _NODE,
            listed("mode", lists.FaultMode, needed=True),
            text("fix"),
            listed("evidence", lists.FixEvidence, needed=True),
            AT,
            listed("fix_kind", FixKind),
        ),
        "fault_opening": (
            _FAULT,
            _NODE,
            listed("opened", Opened, needed=True),
            AT,
            when("put_back", "put_back_at", "empty = still undone", lone_day=LoneDay.LAST),
            NOTE,
        ),
    }
)
