"""Published electrical values: fuses, voltage drop, batteries, wire, data line, failure modes. Each names its source."""

from __future__ import annotations

import numpy as np
import pytest

from tests.references.search_outcome import after_outcome
from wearlog.facts.closed_lists import Evidence, NodeKind
from wearlog.faults.codes import FAILURE_MODES, MOST_FMI, MOST_OCCURRENCES, MOST_SPN, OCCURRENCES_NOT_AVAILABLE, Level
from wearlog.faults.fuses import MAXI_BLADE, SMALL_BLADE, FuseForm, colour_of
from wearlog.faults.lookahead import lookahead_step
from wearlog.faults.readings import (
    CHARGING_VOLTS,
    CONNECTOR_OHMS,
    CORRODED_CONNECTOR_OHMS,
    LONE_NODE_OHMS,
    PARASITIC_AMPERES,
    STARTER_CABLES_DROP,
    TERMINATOR_OHMS,
    WHOLE_CIRCUIT_DROP,
    BusState,
    battery_charge_percent,
    bus_state,
    drop_limit,
)
from wearlog.faults.search_problem import SearchProblem
from wearlog.faults.wire import GAUGES, gauge, parallel_ohms, resistance_ohms, voltage_drop


def test_failure_modes_point_the_right_way() -> None:
    """SAE J1939-73 list of failure modes (public copies): 3 and 4 are voltage high and low, 5 and 6 current low and high,
    0 / 15 / 16 above normal, 1 / 17 / 18 below, 20 / 21 drifted high / low."""
    above = {mode.fmi for mode in FAILURE_MODES if mode.level is Level.ABOVE}
    below = {mode.fmi for mode in FAILURE_MODES if mode.level is Level.BELOW}
    assert above == {0, 3, 6, 15, 16, 20}
    assert below == {1, 4, 5, 17, 18, 21}
    assert "low" in FAILURE_MODES[4].meaning
    assert "high" in FAILURE_MODES[3].meaning
    for fmi in (17, 18):
        assert "below normal" in FAILURE_MODES[fmi].meaning
    assert {mode.fmi for mode in FAILURE_MODES if "reserved" in mode.meaning} == set(range(22, 31))


def test_codes_have_19_5_and_7_bits() -> None:
    """SAE J1939-73, from memory: SPN 0-524287, FMI 0-31, count 0-126, 127 not available."""
    assert (MOST_SPN, MOST_FMI, MOST_OCCURRENCES, OCCURRENCES_NOT_AVAILABLE) == (524_287, 31, 126, 127)


@pytest.mark.parametrize(
    ("amperes", "colour"),
    [
        (0.5, "dark blue"),
        (1, "black"),
        (2, "grey"),
        (3, "violet"),
        (4, "pink"),
        (5, "tan"),
        (7.5, "brown"),
        (10, "red"),
        (15, "blue"),
        (20, "yellow"),
        (25, "clear"),
        (30, "green"),
        (40, "orange"),
    ],
)
def test_small_blade_colours(amperes: float, colour: str) -> None:
    """Published colour list of blade fuses (ISO 8820-3 bodies), one for mini, low-profile and standard; 40 A also from memory."""
    for form in (FuseForm.MINI, FuseForm.LOW_PROFILE, FuseForm.STANDARD):
        assert colour_of(int(amperes * 1000), form).colour == colour


def test_35_amperes_is_from_memory() -> None:
    """One published page says rose; blue-green is from memory."""
    assert colour_of(35_000).evidence is Evidence.FROM_MEMORY
    assert {entry.evidence for entry in SMALL_BLADE[:12]} == {Evidence.PUBLISHED}


def test_large_blade_colours() -> None:
    """Maxi bodies differ: 20 yellow, 30 green, 40 orange, 50 red, 60 blue, 70 brown, 80 clear (from memory)."""
    listed = [(entry.milliamperes // 1000, entry.colour) for entry in MAXI_BLADE]
    assert listed == [
        (20, "yellow"),
        (30, "green"),
        (40, "orange"),
        (50, "red"),
        (60, "blue"),
        (70, "brown"),
        (80, "clear"),
    ]
    assert {entry.evidence for entry in MAXI_BLADE} == {Evidence.FROM_MEMORY}


def test_limits_of_voltage_drop_under_load() -> None:
    """Published training library: ground 0.1 V, wire 0.2, switch 0.3, starter cables 0.5; whole circuit 0.5 (several).
    A connection: 0.1, common practice, no source."""
    limits = {kind: drop_limit(kind).high for kind in (NodeKind.GROUND, NodeKind.WIRE_RUN, NodeKind.SWITCH)}
    assert limits == {NodeKind.GROUND: 0.1, NodeKind.WIRE_RUN: 0.2, NodeKind.SWITCH: 0.3}
    assert (STARTER_CABLES_DROP.high, WHOLE_CIRCUIT_DROP.high) == (0.5, 0.5)
    connection = drop_limit(NodeKind.CONNECTOR)
    assert (connection.high, connection.evidence) == (0.1, Evidence.COMMON_PRACTICE)


def test_connectors_new_and_corroded() -> None:
    """Published: 2-5 milliohm new, 50-200 corroded."""
    assert (CONNECTOR_OHMS.low, CONNECTOR_OHMS.high) == (0.002, 0.005)
    assert (CORRODED_CONNECTOR_OHMS.low, CORRODED_CONNECTOR_OHMS.high) == (0.05, 0.2)


@pytest.mark.parametrize(("volts", "percent"), [(12.6, 100), (12.4, 75), (12.2, 50), (12.0, 25), (11.6, 0)])
def test_a_battery_at_rest(volts: float, percent: float) -> None:
    """Published in several tables (others give 11.9 for flat); 24 V systems double (computed)."""
    assert battery_charge_percent(volts) == pytest.approx(percent)
    assert battery_charge_percent(2 * volts, nominal_volts=24) == pytest.approx(percent)


def test_charging_and_parasitic_draw() -> None:
    """Charging 13.7-14.7 V published; 50 mA after the controllers sleep from memory."""
    assert (CHARGING_VOLTS.low, CHARGING_VOLTS.high) == (13.7, 14.7)
    assert (PARASITIC_AMPERES.high, PARASITIC_AMPERES.evidence) == (0.050, Evidence.FROM_MEMORY)


def test_resistance_of_wire() -> None:
    """Published wire tables, ohm per 1,000 ft at 20 C (12 to 20 AWG); 10 and 11 computed from 10.371 ohm circular mil per foot."""
    ohms = [0.999, 1.260, 1.588, 2.003, 2.525, 3.184, 4.016, 5.064, 6.385, 8.051, 10.15]
    assert [(entry.awg, entry.ohms_per_1000_feet) for entry in GAUGES] == list(zip(range(10, 21), ohms, strict=True))
    for awg in (10, 11):
        diameter_mils = 5 * 92 ** ((36 - awg) / 39)
        assert gauge(awg).ohms_per_1000_feet == pytest.approx(1000 * 10.371 / diameter_mils**2, rel=1e-3)
        assert gauge(awg).evidence is Evidence.COMPUTED


def test_stranded_wire_has_2_to_4_per_cent_more() -> None:
    """Published stranded values of 10, 12, 14, 16, 18, 20 AWG."""
    stranded = {e.awg: e.stranded_ohms_per_1000_feet for e in GAUGES if e.stranded_ohms_per_1000_feet is not None}
    assert stranded == {10: 1.028, 12: 1.650, 14: 2.624, 16: 4.172, 18: 6.636, 20: 10.54}
    for awg, ohms in stranded.items():
        assert 1.02 < ohms / gauge(awg).ohms_per_1000_feet < 1.045


@pytest.mark.parametrize(("awg", "volts"), [(10, 0.40), (12, 0.64), (14, 1.01), (16, 1.61), (18, 2.55), (20, 4.06)])
def test_ten_amperes_over_a_loop_of_40_feet(awg: int, volts: float) -> None:
    """Computed from the published resistances by Ohm's law."""
    assert voltage_drop(awg, 40, 10) == pytest.approx(volts, abs=0.005)


def test_copper_gains_0_393_per_cent_a_kelvin() -> None:
    """From memory."""
    assert resistance_ohms(16, 1000, celsius=21) / 4.016 == pytest.approx(1.00393)


def test_two_terminators_read_60_ohm_one_120_three_40() -> None:
    """Published: 60 sound, 120 one missing or open, near 0 shorted, a plain node alone 10-50 kilohm; 40 with a third computed."""
    assert parallel_ohms(TERMINATOR_OHMS, TERMINATOR_OHMS) == 60
    assert parallel_ohms(*(TERMINATOR_OHMS,) * 3) == pytest.approx(40)
    assert bus_state(60) is BusState.SOUND
    assert bus_state(120) is BusState.TERMINATOR_MISSING
    assert bus_state(40) is BusState.TERMINATOR_TOO_MANY
    assert bus_state(0.2) is BusState.SHORTED
    assert (LONE_NODE_OHMS.low, LONE_NODE_OHMS.high) == (10_000, 50_000)


def expected_opens(left: SearchProblem | None) -> float:
    """Weighted opens until one stretch is left, following the lookahead through every outcome."""
    if left is None or (step := lookahead_step(left)).check is None:
        return 0.0
    after = (after_outcome(left, step.check, is_bad=is_bad) for is_bad in (True, False))
    return float(left.weight.sum()) + sum(expected_opens(rest) for rest in after)


def test_halving_a_harness_of_n_plugs_takes_about_log2_n_opens() -> None:
    """Computed: opening the middle plug again and again finds one of n equal stretches in log2 n opens, and none do with fewer."""
    for n in (4, 8, 16):
        bad = np.array([[float(place >= plug) for place in range(n)] for plug in range(1, n)])
        harness = SearchProblem(np.full(n, 1 / n), np.arange(n), np.full(n, 200.0), np.ones(n - 1), bad)
        assert np.log2(n) - 1e-9 <= expected_opens(harness) <= 1.05 * np.log2(n)
