"""The checks on offer, what they expect, how they are judged, and what each fault makes of them."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, FaultMode, NodeKind
from wearlog.faults.checks import Check, checks_for, judge, repair_minutes
from wearlog.faults.circuit import Circuit, Mark, Node
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.hypotheses import NOT_ON_DIAGRAM, Hypothesis, hypotheses
from wearlog.faults.outcomes import bad_chances
from wearlog.faults.readings import BUS_OHMS
from wearlog.faults.starting_diagrams import STARTING_DIAGRAMS, starting_diagram

CIRCUIT = parse_diagram(
    """\
Battery: battery
  Fuse: fuse 10 A, at block
    Plug: connector
      Harness: wire run
        Light: device, returns by Frame
      Horn: device, returns by Frame
Frame: ground, returns by Battery
"""
)
LINE = starting_diagram("combine data line").circuit()


def check(kind: CheckKind, node: str, circuit: Circuit = CIRCUIT) -> Check:
    return next(c for c in checks_for(circuit) if (c.kind, c.node) == (kind, node))


def bad(kind: CheckKind, node: str, at: str, mode: FaultMode, *, intermittent: bool = False, branch: str = "") -> float:
    fault = Hypothesis(node=at, mode=mode, intermittent=intermittent, branch=branch)
    return float(bad_chances(CIRCUIT, [check(kind, node)], [fault])[0, 0])


def test_the_data_line_is_measured_at_one_place_only() -> None:
    lines = [c for c in checks_for(LINE) if c.band is BUS_OHMS]
    assert [(c.kind, c.node) for c in lines] == [(CheckKind.RESISTANCE, "First terminator")]
    assert "60 ohm" in lines[0].expected
    assert "powered-terminator" in lines[0].expected


def test_a_check_says_what_a_sound_circuit_shows() -> None:
    assert check(CheckKind.VOLTAGE_DROP, "Frame").expected == "under load at most 0.1 V across it"
    assert check(CheckKind.VOLTAGE, "Light").expected == "under load within 0.5 V of the battery, at its plug"
    assert '"Fuse" stays lit' in check(CheckKind.UNPLUG, "Plug").expected
    assert check(CheckKind.VOLTAGE, "Battery").expected == "rested at least 4 hours: 12.4 to 12.9 V"
    doubled = next(
        c for c in checks_for(CIRCUIT, nominal_volts=24) if (c.kind, c.node) == (CheckKind.VOLTAGE, "Battery")
    )
    assert doubled.expected == "rested at least 4 hours: 24.8 to 25.8 V"


def test_every_check_stands_once_takes_time_and_expects_something() -> None:
    for diagram in STARTING_DIAGRAMS:
        offered = checks_for(diagram.circuit())
        assert len({(c.kind, c.node, c.expected) for c in offered}) == len(offered)
        assert min(c.minutes for c in offered) > 0
        assert all(c.expected for c in offered)


def test_near_heat_everything_takes_longer() -> None:
    cool, hot = (Node(name="P", kind=NodeKind.RELAY, marks=frozenset(marks)) for marks in ((), (Mark.NEAR_HEAT,)))
    assert repair_minutes(hot) == repair_minutes(cool) + 3 == 7
    assert repair_minutes(None) == 120


@pytest.mark.parametrize(
    ("kind", "node", "measured", "verdict"),
    [
        (CheckKind.VOLTAGE_DROP, "Frame", 0.1, CheckVerdict.GOOD),
        (CheckKind.VOLTAGE_DROP, "Frame", 0.11, CheckVerdict.BAD),
        (CheckKind.VOLTAGE_DROP, "Harness", 0.2, CheckVerdict.GOOD),
        (CheckKind.VOLTAGE, "Light", 12.1, CheckVerdict.GOOD),
        (CheckKind.VOLTAGE, "Light", 11.9, CheckVerdict.BAD),
        (CheckKind.VOLTAGE, "Battery", 12.2, CheckVerdict.BAD),
        (CheckKind.CONTINUITY, "Harness", 0.3, CheckVerdict.GOOD),
    ],
)
def test_a_reading_is_judged(kind: CheckKind, node: str, measured: float, verdict: CheckVerdict) -> None:
    assert judge(check(kind, node), measured) is verdict


def test_a_voltage_is_judged_against_what_the_battery_shows_just_then() -> None:
    assert judge(check(CheckKind.VOLTAGE, "Light"), 11.9, supply_volts=12.2) is CheckVerdict.GOOD


def test_no_number_decides_a_look() -> None:
    with pytest.raises(DataError, match='No number decides "look" at "Plug"'):
        judge(check(CheckKind.LOOK, "Plug"), 1.0)


def test_voltage_is_missing_beyond_an_open_and_there_before_it() -> None:
    assert bad(CheckKind.VOLTAGE, "Light", "Harness", FaultMode.OPEN) == 0.96
    assert bad(CheckKind.VOLTAGE, "Horn", "Harness", FaultMode.OPEN) == 0.03
    assert bad(CheckKind.VOLTAGE, "Plug", "Harness", FaultMode.OPEN) == 0.03


def test_voltage_is_missing_under_a_blown_fuse() -> None:
    assert bad(CheckKind.VOLTAGE, "Horn", "Light", FaultMode.SHORT_TO_GROUND) == 0.93


def test_the_lamp_goes_out_at_plugs_above_the_short_and_stays_lit_elsewhere() -> None:
    assert bad(CheckKind.UNPLUG, "Plug", "Harness", FaultMode.SHORT_TO_GROUND) == 0.95
    assert bad(CheckKind.UNPLUG, "Horn", "Harness", FaultMode.SHORT_TO_GROUND) == 0.03


def test_a_fault_that_comes_and_goes_is_caught_by_wiggling_sooner_than_by_a_meter() -> None:
    wiggled = bad(CheckKind.WIGGLE, "Harness", "Harness", FaultMode.OPEN, intermittent=True)
    metered = bad(CheckKind.CONTINUITY, "Harness", "Harness", FaultMode.OPEN, intermittent=True)
    assert (wiggled, metered) == (0.70, pytest.approx(0.288))


def test_a_fuse_stays_blown_though_the_short_comes_and_goes() -> None:
    assert bad(CheckKind.CONTINUITY, "Fuse", "Light", FaultMode.SHORT_TO_GROUND, intermittent=True) == 0.93


def test_high_resistance_shows_under_load_and_hides_from_a_continuity_test() -> None:
    assert bad(CheckKind.VOLTAGE_DROP, "Frame", "Frame", FaultMode.HIGH_RESISTANCE) == 0.93
    assert bad(CheckKind.CONTINUITY, "Frame", "Frame", FaultMode.HIGH_RESISTANCE) == 0.25


@pytest.mark.parametrize("diagram", STARTING_DIAGRAMS, ids=lambda diagram: diagram.name)
def test_no_check_is_beyond_doubt(diagram) -> None:
    circuit = diagram.circuit()
    chances = bad_chances(circuit, checks_for(circuit), hypotheses(circuit))
    assert chances.shape == (len(checks_for(circuit)), len(hypotheses(circuit)))
    assert 0 < chances.min() <= chances.max() < 1
    assert chances[:, -1].max() <= 0.05
    assert hypotheses(circuit)[-1] is NOT_ON_DIAGRAM


def test_no_checks_give_no_rows() -> None:
    assert bad_chances(CIRCUIT, [], hypotheses(CIRCUIT)).shape == (0, len(hypotheses(CIRCUIT)))
    assert np.isfinite(bad_chances(CIRCUIT, checks_for(CIRCUIT), hypotheses(CIRCUIT))).all()
