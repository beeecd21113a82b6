"""Values of the evidence model of electrical faults. Bands are published where the test says so; the likelihoods are computed by
enumeration written apart from the program, to the last digit given there."""

from __future__ import annotations

import numpy as np
import pytest

from wearlog.facts.closed_lists import CheckKind, FaultMode, FixEvidence
from wearlog.facts.electrics import OthersTried, Supplied
from wearlog.faults.battery_reading import (
    ALL_LOADS_ON,
    CHARGING,
    SupplyState,
    charge_percent,
    least_cranking_volts,
    supply_chances,
)
from wearlog.faults.checks import Check
from wearlog.faults.circumstances import MeterShown
from wearlog.faults.condition_groups import group_factor
from wearlog.faults.data_line import LineClass, LineFault, Spot, line_chances, line_class
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.held_by_trail import ConditionBound, chance_bound, chance_fix_is_right, held_by_trail
from wearlog.faults.lamp_check import bright_at_start, bright_when_plugged, out_at_plug
from wearlog.faults.reading_mass import Seen, reading_across, reading_at_point
from wearlog.faults.severity import SIZED_STATUS
from wearlog.faults.silence import FAILING_TOLD, first_told_factor, silent_factor
from wearlog.faults.sized_hypotheses import fault_table
from wearlog.faults.sized_outcomes import Both, likelihood_of_reading
from wearlog.faults.sized_posterior import visit_factor

CHAIN = parse_diagram(
    """\
Battery: battery
  Fuse: fuse 10 A
    Splice: splice
      Plug: connector
        Lamp: device, returns by Ground
Ground: ground, returns by Battery
"""
)
#: (node, mode) -> rate, and how readily it makes a lamp dead and weak (steady faults)
RATES = {
    ("Fuse", FaultMode.OPEN): 0.15,
    ("Fuse", FaultMode.HIGH_RESISTANCE): 0.15,
    ("Splice", FaultMode.OPEN): 0.15,
    ("Splice", FaultMode.HIGH_RESISTANCE): 0.25,
    ("Plug", FaultMode.OPEN): 0.5,
    ("Plug", FaultMode.HIGH_RESISTANCE): 0.9,
    ("Ground", FaultMode.OPEN): 0.25,
    ("Ground", FaultMode.HIGH_RESISTANCE): 0.7,
    ("Lamp", FaultMode.FAILED_DEVICE): 0.5,
}
SHOWS = {FaultMode.OPEN: (0.95, 0.04), FaultMode.FAILED_DEVICE: (0.75, 0.22)}


def chain_posterior(
    sign: str, check: Check | None = None, volts: float = 0.0, *, load_on: bool = True
) -> dict[str, float]:
    table = fault_table(CHAIN)
    weights = np.zeros(len(table.hypotheses))
    for row, one in enumerate(table.hypotheses):
        if one.intermittent or one.branch or (one.node, one.mode) not in RATES:
            continue
        dead, weak = SHOWS.get(one.mode) or SIZED_STATUS[one.variant][1:]
        weights[row] = RATES[str(one.node), one.mode] * table.share[row] * (dead if sign == "dead" else weak)
    if check is not None:
        reading = MeterShown(value=volts, battery_volts=12.4, load_on=load_on)
        both = likelihood_of_reading(table, check, reading, 12.4)
        assert both is not None
        weights = weights * both.there
    found: dict[str, float] = {}
    for one, weight in zip(table.hypotheses, weights / weights.sum(), strict=True):
        key = f"{one.node} {one.mode.value}"
        found[key] = found.get(key, 0.0) + float(weight)
    return found


def at(node: str) -> Check:
    return Check(kind=CheckKind.VOLTAGE, node=node, minutes=4)


ACROSS_GROUND = Check(kind=CheckKind.VOLTAGE_DROP, node="Ground", minutes=6)


@pytest.mark.parametrize(
    ("sign", "check", "volts", "expected"),
    [
        (
            "dead",
            None,
            0.0,
            {
                "Plug open": 0.221,
                "Lamp failed_device": 0.175,
                "Plug high_resistance": 0.162,
                "Ground high_resistance": 0.126,
                "Ground open": 0.111,
            },
        ),
        ("dead", at("Splice"), 0.0, {"Fuse open": 0.498, "Splice open": 0.498}),
        (
            "dead",
            at("Splice"),
            11.4,
            {
                "Splice high_resistance": 0.370,
                "Fuse high_resistance": 0.222,
                "Plug open": 0.104,
                "Lamp failed_device": 0.082,
            },
        ),
        (
            "dead",
            at("Splice"),
            12.3,
            {
                "Plug open": 0.278,
                "Lamp failed_device": 0.219,
                "Plug high_resistance": 0.204,
                "Ground high_resistance": 0.159,
                "Ground open": 0.139,
            },
        ),
        (
            "dead",
            at("Plug"),
            8.0,
            {"Plug high_resistance": 0.598, "Splice high_resistance": 0.166, "Fuse high_resistance": 0.100},
        ),
        ("dead", at("Plug"), 0.0, {"Plug open": 0.624, "Fuse open": 0.187, "Splice open": 0.187}),
        (
            "weak",
            at("Plug"),
            8.0,
            {"Plug high_resistance": 0.681, "Splice high_resistance": 0.189, "Fuse high_resistance": 0.114},
        ),
        (
            "dead",
            ACROSS_GROUND,
            0.0,
            {"Plug open": 0.390, "Lamp failed_device": 0.254, "Fuse open": 0.117, "Ground open": 0.000},
        ),
        (
            "dead",
            ACROSS_GROUND,
            0.3,
            {
                "Plug high_resistance": 0.497,
                "Lamp failed_device": 0.142,
                "Ground high_resistance": 0.112,
                "Ground open": 0.007,
            },
        ),
        ("weak", ACROSS_GROUND, 0.3, {"Ground high_resistance": 0.509, "Plug high_resistance": 0.321}),
        ("dead", ACROSS_GROUND, 9.0, {"Ground high_resistance": 0.832}),
        ("dead", ACROSS_GROUND, 12.3, {"Ground open": 0.993}),
    ],
)
def test_the_size_of_a_reading_moves_the_suspects(
    sign: str, check: Check | None, volts: float, expected: dict[str, float]
) -> None:
    """Enumerated: battery 12.4 V, fuse, splice, plug, lamp, ground in one line; three sizes of high resistance added up."""
    found = chain_posterior(sign, check, volts)
    for suspect, chance in expected.items():
        assert found[suspect] == pytest.approx(chance, abs=5.1e-4), suspect


def test_without_a_load_a_resistance_hides() -> None:
    """Enumerated: 12.3 V at the splice with no load on leaves its resistance and the fuse's on the list."""
    found = chain_posterior("dead", at("Splice"), 12.3, load_on=False)
    assert found["Splice high_resistance"] == pytest.approx(0.052, abs=5.1e-4)
    assert found["Fuse high_resistance"] == pytest.approx(0.031, abs=5.1e-4)


def test_masses_of_readings() -> None:
    """Computed: sound at 12.3 V, nothing at 0, sizes at 8.0 and 11.4; across a ground 0.3 and 0.05 V. Battery 12.4 V."""
    at_point = [(Seen.SOUND, 12.3, 0.6002), (Seen.NOTHING, 0.0, 0.6626), (Seen.MEDIUM, 8.0, 0.0340)]
    at_point += [(Seen.MILD, 11.4, 0.0556), (Seen.MEDIUM, 11.4, 0.0609)]
    for seen, volts, mass in at_point:
        assert reading_at_point(seen, volts, 12.4) == pytest.approx(mass, abs=5.1e-5)
    for seen, volts, mass in [(Seen.SOUND, 0.3, 0.0001), (Seen.MILD, 0.3, 0.0617), (Seen.SOUND, 0.05, 0.3750)]:
        assert reading_across(seen, volts, 12.4, 0.1) == pytest.approx(mass, abs=5.1e-5)


def test_a_voltage_is_judged_from_the_battery() -> None:
    """Computed: 12.3 V behind a battery at 14.2 is bad, 11.3 V behind one at 11.6 is good."""
    assert reading_at_point(Seen.SOUND, 12.3, 14.2) == pytest.approx(0.0005, abs=5e-5)
    assert reading_at_point(Seen.SOUND, 11.3, 11.6) == pytest.approx(0.3478, abs=5e-5)


@pytest.mark.parametrize(
    ("state", "volts", "supply", "chance"),
    [
        (Supplied.RUNNING, 12.4, SupplyState.GIVES_NOTHING, 0.8515),
        (Supplied.RUNNING, 13.2, SupplyState.GIVES_TOO_LITTLE, 0.8894),
        (Supplied.RUNNING, 14.2, SupplyState.SOUND, 0.9951),
        (Supplied.RUNNING, 15.4, SupplyState.OVERCHARGES, 0.8637),
        (Supplied.RESTED, 12.3, SupplyState.LOW, 0.4879),
        (Supplied.RESTED, 12.3, SupplyState.CHARGED, 0.3647),
        (Supplied.RESTED, 10.5, SupplyState.DEAD_CELL, 1.0),
        (Supplied.RESTED, 13.1, SupplyState.JUST_CHARGED, 0.9451),
    ],
)
def test_the_batterys_own_reading(state: Supplied, volts: float, supply: SupplyState, chance: float) -> None:
    """Computed from the states' laws; 24 V doubles."""
    assert supply_chances(volts, state)[supply] == pytest.approx(chance, abs=5.1e-5)
    assert supply_chances(2 * volts, state, nominal_volts=24)[supply] == pytest.approx(chance, abs=5.1e-5)


def test_bands_of_the_battery() -> None:
    """Published: industry table of rested volts (12.65, 12.45, 12.24, 12.06, 11.89 for 100 to 0 %, flooded cells at 80 F), charging
    13.3-15.0 V (a tester's manual), over 12.6 V with all loads on; cranking at least 9.6 / 9.4 / 9.1 / 8.5 V at 70 / 50 /
    32 / 0 F (two car books)."""
    assert [charge_percent(volts) for volts in (12.65, 12.45, 12.24, 12.06, 11.89)] == pytest.approx(
        [100, 75, 50, 25, 0]
    )
    assert (round(charge_percent(12.4)), round(charge_percent(24.7, nominal_volts=24))) == (69, 63)
    assert (CHARGING.low, CHARGING.high, ALL_LOADS_ON) == (13.3, 15.0, 12.6)
    assert [least_cranking_volts(f) for f in (70, 50, 32, 0)] == [9.6, 9.4, 9.1, 8.5]
    assert least_cranking_volts(50, nominal_volts=24) == pytest.approx(18.8)


LINE_WEIGHTS = {
    "end": (LineFault.OPEN, 2 * 0.5),
    "run open": (LineFault.OPEN, 2 * 0.5),
    "plug open": (LineFault.OPEN, 2 * 0.5),
    "run high": (LineFault.RESISTANCE, 2 * 0.15),
    "plug high": (LineFault.RESISTANCE, 2 * 0.9),
    "run short": (LineFault.SHORT, 2 * 0.6),
    "plug short": (LineFault.SHORT, 2 * 0.15),
    "controller short": (LineFault.SHORT, 3 * 0.03),
    "third end": (LineFault.THIRD_END, 0.1),
    "controller": (LineFault.ELSEWHERE, 0.54),
    "not drawn": (LineFault.ELSEWHERE, 0.3),
}


def line_posterior(ohms: float) -> dict[str, float]:
    cls = line_class(ohms)
    weights = {name: weight * line_chances(fault)[cls] for name, (fault, weight) in LINE_WEIGHTS.items()}
    return {name: weight / sum(weights.values()) for name, weight in weights.items()}


def test_ohms_of_a_data_line() -> None:
    """Enumerated over two ends, two runs, two plugs, three controllers. 60 ohm with both ends, 120 with one (published: car
    manuals, a display's help, ISO 11898-2); 40 with three is computed."""
    sixty, one_twenty, short, forty = (line_posterior(ohms) for ohms in (60, 120, 0.3, 40))
    assert sixty["controller"] == pytest.approx(0.386, abs=5.1e-4)
    assert sixty["not drawn"] == pytest.approx(0.214, abs=5.1e-4)
    assert sixty["plug high"] / 2 == pytest.approx(0.167, abs=5.1e-4)
    for name in ("end", "run open", "plug open"):
        assert one_twenty[name] / 2 == pytest.approx(0.144, abs=5.1e-4)
    assert one_twenty["plug high"] / 2 == pytest.approx(0.058, abs=5.1e-4)
    assert short["run short"] / 2 == pytest.approx(0.373, abs=5.1e-4)
    assert short["plug short"] / 2 == pytest.approx(0.093, abs=5.1e-4)
    assert short["controller short"] == pytest.approx(0.056, abs=5.1e-4)
    assert forty["third end"] == pytest.approx(0.795, abs=5.1e-4)


def test_a_terminator_in_the_hand_and_its_socket() -> None:
    """Enumerated: after 120 ohm, the one end in the hand open and its socket 120; then the hand 120 and the socket open."""
    after = line_posterior(120)
    ends = {
        "this end": (LineFault.THIS_END, after["end"] / 2),
        "other opens": (LineFault.OPEN, after["end"] / 2 + after["run open"] + after["plug open"]),
        "high": (LineFault.RESISTANCE, after["run high"] + after["plug high"]),
        "elsewhere": (LineFault.ELSEWHERE, after["controller"] + after["not drawn"]),
    }

    def seen(hand: LineClass, socket: LineClass) -> dict[str, float]:
        weights = {
            name: weight * line_chances(fault, Spot.IN_HAND)[hand] * line_chances(fault, Spot.SOCKET)[socket]
            for name, (fault, weight) in ends.items()
        }
        return {name: weight / sum(weights.values()) for name, weight in weights.items()}

    assert seen(LineClass.OVER_RANGE, LineClass.ONE_END)["this end"] == pytest.approx(0.967, abs=5.1e-4)
    assert seen(LineClass.ONE_END, LineClass.OVER_RANGE)["other opens"] / 5 == pytest.approx(0.199, abs=5.1e-4)


def test_the_classes_of_a_data_line_meet_without_a_gap() -> None:
    edges = [(4.9, "shorted"), (5, "two_faults"), (34, "third_end"), (47, "leads"), (54, "sound"), (66, "resistance")]
    edges += [(108, "one_end"), (132, "no_end"), (float("inf"), "over_range")]
    assert [line_class(ohms).value for ohms, _ in edges] == [name for _, name in edges]
    for fault in LineFault:
        for spot in Spot:
            assert sum(line_chances(fault, spot).values()) == pytest.approx(1)


LAMP = parse_diagram(
    """\
Battery: battery
  Fuse: fuse 15 A
    W1: wire run
      Plug: connector
        W2: wire run
          L1: device, returns by G
          L2: device, returns by G
    Small: fuse 5 A
      W3: wire run
G: ground
"""
)


def test_the_lamp_in_the_place_of_the_fuse() -> None:
    """Enumerated: W1, W2 short .6, plug .15, loads short .1 and overload .15 each, weak fuse .15, not drawn .1; it blew at once."""
    table = fault_table(LAMP)
    rates = {("W1", "short_to_ground"): 0.6, ("W2", "short_to_ground"): 0.6, ("Plug", "short_to_ground"): 0.15}
    rates |= {(load, "short_to_ground"): 0.1 for load in ("L1", "L2")} | {
        (load, "overload"): 0.15 for load in ("L1", "L2")
    }
    rates |= {("Fuse", "open"): 0.15, (None, "not_found"): 0.1}
    weights = np.zeros(len(table.hypotheses))
    for row, one in enumerate(table.hypotheses):
        moving = {"short_to_ground": 0.4 if one.node in ("W1", "W2", "Plug") else 0.2}.get(one.mode.value, 0.0)
        blew = {"short_to_ground": 0.8, "not_found": 0.15}.get(one.mode.value, 0.1)
        share = moving if one.intermittent else 1 - moving
        weights[row] = 0.0 if one.branch else rates.get((one.node, one.mode.value), 0.0) * share * blew
    index = table.matrix.index
    bright = bright_at_start(table, index["Fuse"])
    opened = out_at_plug(table, index["Fuse"], index["Plug"])
    plugged = bright_when_plugged(table, index["Fuse"], index["L1"])

    def chance(node: str, weights: np.ndarray) -> float:
        return float(
            weights[[one.node == node and one.mode.value == "short_to_ground" for one in table.hypotheses]].sum()
            / weights.sum()
        )

    assert chance("W1", weights) == pytest.approx(0.3692, abs=5.1e-5)
    assert chance("W1", weights * bright) == pytest.approx(0.4385, abs=5.1e-5)
    assert chance("Plug", weights * bright) == pytest.approx(0.1096, abs=5.1e-5)
    assert chance("W2", weights * bright * opened) == pytest.approx(0.8236, abs=5.1e-5)
    dark = weights * (1 - bright)
    assert chance("W1", dark) == pytest.approx(0.2619, abs=5.1e-5)
    assert chance("L1", dark) == pytest.approx(0.1523, abs=5.1e-5)
    assert chance("L1", dark * plugged) == pytest.approx(0.8351, abs=5.1e-5)


def test_a_short_behind_a_smaller_fuse_is_none_of_this_lamps() -> None:
    table = fault_table(LAMP)
    index = table.matrix.index
    w3 = [one.node == "W3" and one.mode is FaultMode.SHORT_TO_GROUND for one in table.hypotheses]
    assert (bright_at_start(table, index["Fuse"])[w3] == 0.03).all()
    assert (bright_at_start(table, index["Small"])[w3] > 0.03).all()


def test_what_nobody_said() -> None:
    """Enumerated: lamps A and B, shared fuse .3, plug 1.4, ground .95; own wires .5 each; A, B failed .5 each; not drawn .26.
    A load fails with .97 where the fault reaches it, .015 elsewhere, .5 where it is not drawn; 5 % of signs are misread."""
    weights = {"F": 0.3, "P": 1.4, "G": 0.95, "WA": 0.5, "WB": 0.5, "A": 0.5, "B": 0.5, "not drawn": 0.26}
    kills = {"F": "AB", "P": "AB", "G": "AB", "WA": "A", "WB": "B", "A": "A", "B": "B"}
    fails = {
        load: np.array([0.5 if name == "not drawn" else 0.97 if load in kills[name] else 0.015 for name in weights])
        for load in "AB"
    }
    a, b = (0.95 * fails[load] + 0.025 for load in "AB")
    before = np.array(list(weights.values()))

    def chances(*factors: np.ndarray) -> dict[str, float]:
        posterior = before * np.prod(factors, axis=0)
        return dict(zip(weights, posterior / posterior.sum(), strict=True))

    def approx(found: dict[str, float], **expected: float) -> None:
        for name, chance in expected.items():
            assert found[name.replace("_", " ")] == pytest.approx(chance, abs=5.1e-5), name

    approx(chances(a), P=0.3656, G=0.2481, WA=0.1306, A=0.1306, F=0.0784, not_drawn=0.0359, WB=0.0054)
    silent, first = silent_factor(b, 0.5), first_told_factor(b[:, None], 0)
    approx(chances(a, silent, first), A=0.2601, WA=0.2601, P=0.2292, G=0.1556, F=0.0491, not_drawn=0.0392)
    approx(chances(a, silent), P=0.3062, G=0.2078, WA=0.1855)
    approx(chances(a, 1 - b), WA=0.4094, A=0.4094, P=0.0638, not_drawn=0.0585)
    approx(chances(a, b), P=0.4990, G=0.3386, F=0.1069)
    works = np.array(list(chances(a).values())) @ b
    assert works == pytest.approx(0.6935, abs=5.1e-5)
    assert FAILING_TOLD[OthersTried.ALL_FINE] == 0.95


def test_words_that_mean_the_same_count_once() -> None:
    """Computed: rain, dew and a wash on a place outside, 1 to 3 of 3 said; none; and one of them with one of two that shake."""
    wet = [group_factor(0.60, said, 3) for said in range(4)]
    assert wet == pytest.approx([0.55, 2.36, 3.94, 4.00], abs=5.1e-3)
    assert wet[1] * group_factor(0.60, 1, 2) == pytest.approx(6.87, abs=5.1e-3)


def test_a_fix_that_failed_before_is_believed_less() -> None:
    """Closed form, quiet 140 h with gaps of 300 h, 0 to 3 earlier fixes of the kind failed."""
    for evidence, right, held in [
        (FixEvidence.SEEN, [0.95, 0.76, 0.6333, 0.5429], [0.9884, 0.8632, 0.7577, 0.6742]),
        (FixEvidence.INFERRED, [0.6, 0.48, 0.4, 0.3429], [0.871, 0.6479, 0.5469, 0.4762]),
    ]:
        for failed in range(4):
            assert chance_fix_is_right(evidence, failed) == pytest.approx(right[failed], abs=5.1e-5)
            answer = held_by_trail(evidence, 140, [300] * failed, failed_before=failed)
            assert answer.chance == pytest.approx(held[failed], abs=5.1e-5)
    three = [held_by_trail(FixEvidence.SEEN, h, [300, 250, 320], failed_before=3).chance for h in (0, 140, 500)]
    assert three == pytest.approx([0.5429, 0.6779, 0.8725], abs=5.1e-5)


def test_hours_count_under_the_condition_in_which_the_fault_shows() -> None:
    """Closed form: 140 quiet hours, 0, 5, 14 and all of them in the condition; three returns always in rain."""
    assert [chance_bound(ConditionBound(shown=n, episodes=n)) for n in range(4)] == pytest.approx(
        [0.5, 0.909, 0.990, 0.999], abs=5.1e-4
    )
    assert chance_bound(ConditionBound(shown=2, episodes=3)) == 0.0
    chances = [
        held_by_trail(FixEvidence.SEEN, 140, bound=ConditionBound(shown=3, episodes=3, hours=hours)).chance
        for hours in (0, 5, 14, 140)
    ]
    assert chances == pytest.approx([0.9500, 0.9553, 0.9625, 0.9884], abs=5.1e-5)
    rain = [
        held_by_trail(
            FixEvidence.SEEN,
            quiet,
            [300, 250, 320],
            failed_before=3,
            bound=ConditionBound(shown=3, episodes=3, hours=hours, gaps=[30, 25, 32]),
        ).chance
        for quiet, hours in ((140, 5), (160, 25))
    ]
    assert rain == pytest.approx([0.5809, 0.7090], abs=5.1e-5)


def test_checks_made_while_the_fault_was_away_count_as_one() -> None:
    """Computed: three good readings, of an open that comes and goes and is there with .3 on the visit, and of a sound part."""
    good = Both(np.full((3, 2), [1 - 0.96, 1 - 0.03]), np.full((3, 2), 1 - 0.03))
    together, _ = visit_factor(good, np.array([0.3, 1.0]))
    apart = [
        visit_factor(Both(there[None], away[None]), np.array([0.3, 1.0]))[0]
        for there, away in zip(good.there, good.away, strict=True)
    ]
    assert together == pytest.approx([0.6389, 0.9127], abs=5.1e-5)
    assert np.prod(apart, axis=0)[0] == pytest.approx((0.3 * 0.04 + 0.7 * 0.97) ** 3)
