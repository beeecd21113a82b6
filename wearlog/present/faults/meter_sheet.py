"""Electrics beside a fault, as answers: what a meter should show, a machine's diagram with what it lacks, trouble codes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

from wearlog.facts.closed_lists import Evidence
from wearlog.facts.farm_settings import FarmSettings
from wearlog.faults.circuit import Circuit
from wearlog.faults.codes import FAILURE_MODES, FailureMode, TroubleCode
from wearlog.faults.diagram_drawing import draw_diagram
from wearlog.faults.diagram_gaps import gaps
from wearlog.faults.diagram_text import write_diagram
from wearlog.faults.fuses import FuseForm, colour_fits, colour_of
from wearlog.faults.readings import (
    BATTERY_AT_REST,
    BUS_OHMS,
    CHARGING_VOLTS,
    CONNECTION_DROP,
    CONNECTOR_OHMS,
    CORRODED_CONNECTOR_OHMS,
    GROUND_DROP,
    LONE_NODE_OHMS,
    PARASITIC_AMPERES,
    STARTER_CABLES_DROP,
    SWITCH_DROP,
    WHOLE_CIRCUIT_DROP,
    WIRE_DROP,
    Band,
    battery_charge_percent,
)
from wearlog.faults.wire import gauge, resistance_ohms, voltage_drop
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import Measures, number
from wearlog.present.json_form import rounded
from wearlog.present.words import word
from wearlog.reckoning.faults.fault_list import Diagram

_LOADED: Final = "under load, probes on both ends of it"

_RESTED: Final = "4 to 12 h off, surface charge bled; 12 V"

_BANDS: Final[tuple[tuple[str, str, Band], ...]] = (
    ("a ground", _LOADED, GROUND_DROP),
    ("a wire", _LOADED, WIRE_DROP),
    ("a switch or relay", _LOADED, SWITCH_DROP),
    ("a connection", _LOADED, CONNECTION_DROP),
    ("starter cables", "while it cranks", STARTER_CABLES_DROP),
    ("a whole circuit", "under load, from battery post to load", WHOLE_CIRCUIT_DROP),
    ("the battery, charging", "engine at speed, across the posts; 12 V", CHARGING_VOLTS),
    ("the battery, all off", "in the ground cable, once all has gone to sleep", PARASITIC_AMPERES),
    ("a new connector", "unplugged, across one pin and socket", CONNECTOR_OHMS),
    ("a corroded connector", "the same", CORRODED_CONNECTOR_OHMS),
    ("the data line", "between its two wires, everything off", BUS_OHMS),
    ("one node of the line", "unplugged and by itself, without terminator", LONE_NODE_OHMS),
)


@dataclass(frozen=True, slots=True)
class MeterBand:
    """What a sound reading lies in, between both ends."""

    what: str
    where: str
    low: float
    high: float
    unit: str
    evidence: Evidence


def meter_bands() -> tuple[MeterBand, ...]:
    """Return every band, and the charge of a rested battery by its voltage."""
    found = [MeterBand(what, where, one.low, one.high, one.unit, one.evidence) for what, where, one in _BANDS]
    for (high, _), (low, percent) in pairwise(BATTERY_AT_REST):
        found.append(MeterBand(f"rested battery, {percent} % and more", _RESTED, low, high, "V", Evidence.PUBLISHED))
    return tuple(found)


def _range(row: MeterBand) -> str:
    ends = " to ".join(f"{one:,g}" for one in (row.low, row.high))
    return f"{ends} {row.unit}" if row.low else f"at most {row.high:g} {row.unit}"


def meter_sheet(measures: Measures) -> AnswerSheet[MeterBand]:
    """Return what a meter should show, thing by thing."""
    columns: tuple[AnswerColumn[MeterBand], ...] = (
        AnswerColumn("across", lambda row, _: row.what, "what", lambda row, _: row.what, least=16, most=32),
        AnswerColumn("sound", lambda row, _: _range(row), least=14, most=20),
        data("low", lambda row, _: rounded(row.low, 4)),
        data("high", lambda row, _: rounded(row.high, 4)),
        data("unit", lambda row, _: row.unit),
        AnswerColumn("how", lambda row, _: row.where, "how", lambda row, _: row.where, least=16, most=52, gives=1),
        AnswerColumn(
            "known from",
            lambda row, _: word(row.evidence),
            "evidence",
            lambda row, _: row.evidence,
            least=9,
            most=16,
            gives=2,
        ),
    )
    return AnswerSheet(
        name="bands",
        columns=columns,
        rows=meter_bands(),
        measures=measures,
        headline="What a meter shows where nothing is wrong. A drop is measured under load: without current there is none.",
        sentences=("The machine's own book goes before this list. On 24 V the battery's figures count double.",),
        key_of=id,
    )


def battery_sentence(volts: float, nominal_volts: int) -> str:
    """Say how full a rested battery is by its voltage. DataError for what no battery at rest shows."""
    charge = battery_charge_percent(volts, nominal_volts=nominal_volts)
    return f"A rested {nominal_volts} V battery of {volts:g} V is about {number(charge)} % charged."


def wire_sentence(awg: int, loop_feet: float, amperes: float, *, celsius: float, stranded: bool) -> str:
    """Say what a sound wire loses; what a meter shows above it is lost at a bad spot. DataError for a gauge off the list."""
    drop = voltage_drop(awg, loop_feet, amperes, celsius=celsius, stranded=stranded)
    ohms = resistance_ohms(awg, loop_feet, celsius=celsius, stranded=stranded)
    evidence = word(gauge(awg).evidence)
    return (
        f"{loop_feet:g} ft of sound copper, {awg} AWG, there and back, loses {number(drop, 2)} V at {amperes:g} A ({ohms:.3g} ohm, "
        f"{evidence}). What the meter shows above that is lost at a bad spot: a crimp, a pin, a ground."
    )


def fuse_sentence(milliamperes: int, colour: str, form: FuseForm) -> str:
    """Say whether the colour of a blade fuse goes with the number on it; the number is what counts."""
    rating = f"{milliamperes / 1000:g} A"
    usual = colour_of(milliamperes, form).colour
    if colour_fits(milliamperes, colour, form):
        return f"{colour.capitalize()} is the colour of {rating}. The same rating goes back in, never a larger one, never a bridge."
    return (
        f"{rating} is {usual}, not {colour}: somebody put another fuse there, or the number is misread. Go by the number on the "
        "fuse panel; never fit a larger one."
    )


def diagram_lines(diagram: Diagram, *, width: int, ascii_only: bool = False) -> list[str]:
    """Return the diagram as a tree, whose it is, and what is missing on it."""
    lines = draw_diagram(diagram.part, width=width, ascii_only=ascii_only).splitlines()
    behind = (whose_lines(diagram), gap_lines(diagram.whole))
    return [*lines, *(line for part in behind if part for line in ("", *part))]


def whose_lines(diagram: Diagram) -> list[str]:
    """Return with which machines a diagram is shared and what differs on this one; nothing for a machine's own."""
    if not diagram.shared_with and not diagram.differs:
        return []
    others = f", as on {', '.join(diagram.shared_with)}" if diagram.shared_with else ""
    return [f"The diagram of the type '{diagram.type_name}'{others}.", *(f"  {one}" for one in diagram.differs)]


def gap_lines(circuit: Circuit) -> list[str]:
    """Return what a diagram still lacks, one line each."""
    return [f"missing: {gap.sentence} {gap.hint}" for gap in gaps(circuit)]


def diagram_text(diagram: Diagram) -> str:
    """Return the text form to edit and set again."""
    remark = f"{diagram.machine_name}{f', {diagram.circuit}' if diagram.circuit else ''}"
    return write_diagram(diagram.part, remark=remark)


def diagram_json(diagram: Diagram) -> dict[str, Any]:
    """Return nodes, connections and gaps."""
    return {
        "machine": diagram.machine_name,
        "circuit": diagram.circuit or None,
        "type": diagram.type_name or None,
        "shared_with": list(diagram.shared_with),
        "differs": list(diagram.differs),
        "nodes": [
            {
                "node": node.name,
                "kind": node.kind,
                "place": node.place,
                "rating_amperes": None if node.rating_milliamperes is None else node.rating_milliamperes / 1000,
                "marks": sorted(node.marks),
                "wire": dict(node.wire.told()),
            }
            for node in diagram.part.nodes
        ],
        "edges": [{"from": edge.start, "to": edge.end, "kind": edge.kind} for edge in diagram.part.edges],
        "gaps": [{"node": gap.node, "message": gap.sentence, "hint": gap.hint} for gap in gaps(diagram.whole)],
    }


def code_lines(code: TroubleCode) -> list[str]:
    """Return what a trouble code says by the open standard, and what to suspect first."""
    mode = code.failure_mode
    count = "" if code.occurrences is None else f", counted {code.occurrences} times"
    return [
        f"SPN {code.spn}, FMI {code.fmi}{count}: {mode.meaning}.",
        f"Suspect first (common practice, no source): {mode.suspicion}.",
        "What the SPN stands for is in the machine's own book.",
    ]


_MODES: Final[tuple[AnswerColumn[FailureMode], ...]] = (
    AnswerColumn("FMI", lambda mode, _: str(mode.fmi), "fmi", lambda mode, _: mode.fmi, least=3, figures=True),
    AnswerColumn("meaning", lambda mode, _: mode.meaning, "meaning", lambda mode, _: mode.meaning, most=58),
    AnswerColumn("suspect first", lambda mode, _: mode.suspicion, "suspicion", lambda mode, _: mode.suspicion, most=48),
    data("evidence", lambda mode, _: mode.evidence),
)


def mode_sheet(
    modes: Sequence[FailureMode] = FAILURE_MODES, codes: Iterable[TroubleCode] = ()
) -> AnswerSheet[FailureMode]:
    """Return failure modes as an answer; `codes` are those that were looked up."""
    return AnswerSheet(
        name="failure_modes",
        columns=_MODES,
        rows=modes,
        measures=Measures(FarmSettings()),
        beside={"codes": [{"spn": code.spn, "fmi": code.fmi, "count": code.occurrences} for code in codes]},
        key_of=lambda mode: mode.fmi,
    )
