"""Codes, fuses, wire, readings and cautions: the lists hold together, and refuse what they should."""

from __future__ import annotations

import pytest

from wearlog.errors import DataError, RefusedError, UsageError
from wearlog.facts.cautions import CAUTIONS_WITH_EVIDENCE, LIVE_CIRCUIT
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, Evidence, Hazard, NodeKind
from wearlog.faults.cautions import ELECTRICAL_CAUTIONS, cautions_for, further_cautions
from wearlog.faults.circuit import Mark, Node
from wearlog.faults.codes import FAILURE_MODES, TroubleCode, failure_mode, parse_code
from wearlog.faults.fuses import MAXI_BLADE, SMALL_BLADE, FuseForm, colour_fits, colour_of, is_blade_rating, refit
from wearlog.faults.readings import BusState, battery_charge_percent, bus_state, drop_limit
from wearlog.faults.wire import gauge, parallel_ohms, resistance_ohms, voltage_drop


def test_failure_modes_run_from_0_to_31_in_order() -> None:
    assert [mode.fmi for mode in FAILURE_MODES] == list(range(32))
    assert all(mode.meaning and mode.suspicion for mode in FAILURE_MODES)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("639/9", TroubleCode(639, 9)),
        ("  spn 639 fmi 9 ", TroubleCode(639, 9)),
        ("SPN639-FMI9 oc 12", TroubleCode(639, 9, 12)),
        ("639 9 127", TroubleCode(639, 9, None)),
    ],
)
def test_codes_are_read_as_people_write_them(text: str, code: TroubleCode) -> None:
    assert parse_code(text) == code


@pytest.mark.parametrize("text", ["", "639", "spn fmi", "1/2/3/4", "-3/4x"])
def test_what_is_no_code_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="is not a trouble code"):
        parse_code(text)


@pytest.mark.parametrize(("spn", "fmi", "count"), [(524288, 1, None), (1, 32, None), (1, 1, 127), (-1, 0, None)])
def test_numbers_that_do_not_fit_their_bits_are_refused(spn: int, fmi: int, count: int | None) -> None:
    with pytest.raises(DataError, match="is outside 0 to"):
        TroubleCode(spn, fmi, count)
    with pytest.raises(DataError):
        failure_mode(32)


def test_ratings_rise_and_no_rating_stands_twice() -> None:
    for colours in (SMALL_BLADE, MAXI_BLADE):
        ratings = [entry.milliamperes for entry in colours]
        assert ratings == sorted(set(ratings))
    assert is_blade_rating(7_500)
    assert not is_blade_rating(12_000)


def test_a_colour_is_only_a_cross_check() -> None:
    assert colour_fits(15_000, " Blue ")
    assert not colour_fits(15_000, "yellow")
    assert colour_fits(60_000, "blue", FuseForm.MAXI)
    with pytest.raises(DataError, match="maxi blade fuse of 15 A is not on the list"):
        colour_of(15_000, FuseForm.MAXI)


def test_only_the_same_rating_is_fitted_again() -> None:
    assert refit(10_000, 10_000) == 10_000
    with pytest.raises(RefusedError, match="never bridged"):
        refit(10_000, None)
    for other in (7_500, 15_000):
        with pytest.raises(RefusedError, match="takes 10 A, not") as caught:
            refit(10_000, other)
        assert caught.value.hint.startswith("Fit 10 A")


def test_a_voltage_drop_is_ohms_law_and_warm_copper_has_more() -> None:
    assert voltage_drop(16, 40, 10) == 10 * resistance_ohms(16, 40)
    assert resistance_ohms(12, 100, celsius=60) / resistance_ohms(12, 100) == pytest.approx(1 + 40 * 0.00393)
    assert resistance_ohms(18, 1000, stranded=True) == 6.636


def test_wire_off_the_list_is_refused() -> None:
    for call in (lambda: gauge(8), lambda: resistance_ohms(12, -1), lambda: resistance_ohms(11, 1, stranded=True)):
        with pytest.raises(DataError):
            call()


def test_a_short_beside_anything_is_a_short() -> None:
    assert parallel_ohms(0, 120) == 0
    with pytest.raises(DataError):
        parallel_ohms()


def test_between_two_points_of_the_battery_table_lies_a_straight_line() -> None:
    assert battery_charge_percent(12.5) == pytest.approx(87.5)
    assert battery_charge_percent(13.0) == 100
    assert battery_charge_percent(9.0) == 0
    with pytest.raises(DataError, match="not a battery at rest"):
        battery_charge_percent(15)
    with pytest.raises(DataError, match="not the voltage"):
        battery_charge_percent(12, nominal_volts=48)


@pytest.mark.parametrize(
    ("ohms", "state"),
    [
        (0.3, BusState.SHORTED),
        (40, BusState.TERMINATOR_TOO_MANY),
        (54, BusState.SOUND),
        (66, BusState.SOUND),
        (80, BusState.UNCLEAR),
        (120, BusState.TERMINATOR_MISSING),
        (20_000, BusState.BOTH_MISSING),
    ],
)
def test_the_ohms_of_a_data_line_say_what_it_lacks(ohms: float, state: BusState) -> None:
    assert bus_state(ohms) is state


def test_a_resistance_below_zero_is_refused() -> None:
    with pytest.raises(DataError, match="not below zero"):
        bus_state(-1)


def test_a_band_takes_both_its_ends() -> None:
    limit = drop_limit(NodeKind.SWITCH)
    assert [limit.verdict(volts) for volts in (0.0, 0.3, 0.31)] == [
        CheckVerdict.GOOD,
        CheckVerdict.GOOD,
        CheckVerdict.BAD,
    ]


def test_electrical_cautions_always_stand_first_and_forbid_a_bridge_and_a_larger_fuse() -> None:
    plain = cautions_for()
    assert plain == ELECTRICAL_CAUTIONS
    said = " ".join(caution.sentence for caution in plain)
    assert "Never bridge a fuse" in said
    assert "never fit a larger one" in said
    assert "negative lead" in said


def test_what_moves_with_the_header_or_is_hot_or_live_adds_its_cautions() -> None:
    node = Node(name="P", kind=NodeKind.CONNECTOR, marks=frozenset({Mark.MOVES_WITH_HEADER, Mark.NEAR_HEAT}))
    given = cautions_for(node, CheckKind.WIGGLE)
    assert given[: len(ELECTRICAL_CAUTIONS)] == ELECTRICAL_CAUTIONS
    hazards = {caution.hazard for caution in given}
    assert hazards == {Hazard.ELECTRICAL, Hazard.UNDER_HEADER, Hazard.KNIFE, Hazard.HOT_PART}
    assert len(given) > len(cautions_for(node, CheckKind.LOOK))
    assert {caution.evidence for caution in given} <= {Evidence.PUBLISHED, Evidence.COMMON_PRACTICE}


def test_every_caution_of_a_check_is_written_in_the_one_list_of_cautions() -> None:
    written = {caution for cautions in CAUTIONS_WITH_EVIDENCE.values() for caution in cautions} | set(LIVE_CIRCUIT)
    for marks in ((), tuple(Mark)):
        node = Node(name="P", kind=NodeKind.CONNECTOR, marks=frozenset(marks))
        for kind in CheckKind:
            given = cautions_for(node, kind)
            assert set(given) <= written
            assert given[len(ELECTRICAL_CAUTIONS) :] == further_cautions(node, kind)
