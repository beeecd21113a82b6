"""What to do next on a real diagram, and the checklist."""

from __future__ import annotations

import pytest

from wearlog.errors import DataError
from wearlog.facts.closed_lists import CheckKind, CheckVerdict, SignKind
from wearlog.faults.checks import checks_for
from wearlog.faults.diagram_text import parse_diagram
from wearlog.faults.next_check import WALK_MINUTES, checklist, next_step
from wearlog.faults.signs import Sign
from wearlog.faults.starting_diagrams import starting_diagram
from wearlog.faults.suspects import Case, Suspects, suspects_of
from wearlog.faults.updating import after_check, after_repair

HEADER = starting_diagram("header").circuit()


def seen(*signs: tuple[SignKind, str | None]) -> Suspects:
    return suspects_of(Case(circuit=HEADER, signs=tuple(Sign(kind=kind, node=node) for kind, node in signs)))


@pytest.fixture
def shorted() -> Suspects:
    return seen(
        (SignKind.DEAD, "Reel lift valve"), (SignKind.DEAD, "Left height sensor"), (SignKind.FUSE_BLEW_AT_ONCE, None)
    )


def test_a_fuse_that_blows_at_once_is_traced_by_unplugging_the_header_first(shorted: Suspects) -> None:
    step = next_step(shorted)
    assert step.check is not None
    assert (step.check.kind, step.check.node) == (CheckKind.UNPLUG, "Header plug")
    assert step.bad_chance == pytest.approx(0.5, abs=0.1)
    assert step.if_bad is not None
    assert step.if_good is not None
    assert (step.if_bad.node, step.if_good.node) == ("Header harness", "Feeder harness")
    assert step.minutes == 4


def test_no_check_needs_supply_under_a_blown_fuse_and_none_asks_what_the_fuse_already_told(shorted: Suspects) -> None:
    for line in checklist(shorted, most=12):
        if line.check is not None and line.check.node != "Main harness":
            assert line.check.kind not in (CheckKind.VOLTAGE, CheckKind.VOLTAGE_DROP)
            assert line.check.node != "Header fuse" or line.check.kind is CheckKind.SWAP


def test_a_check_that_was_made_is_not_asked_for_again(shorted: Suspects) -> None:
    first = next_step(shorted).check
    assert first is not None
    for verdict in (CheckVerdict.GOOD, CheckVerdict.BAD, CheckVerdict.UNCLEAR):
        second = next_step(after_check(shorted, first, verdict)).check
        assert second is None or (second.kind, second.node) != (first.kind, first.node)
    assert next_step(after_check(shorted, first, CheckVerdict.NOT_DONE)).check == first


def test_a_walk_to_another_place_is_counted(shorted: Suspects) -> None:
    here, away = next_step(shorted, here="feeder house"), next_step(shorted, here="cab")
    assert here.check is not None
    assert here.check.place == "feeder house"
    assert here.minutes == here.check.minutes
    if away.check is not None:
        assert away.minutes == away.check.minutes + (WALK_MINUTES if away.check.place != "cab" else 0)
    assert away.expected_minutes > here.expected_minutes


def test_without_a_lamp_something_else_is_proposed(shorted: Suspects) -> None:
    step = next_step(shorted, without=frozenset({CheckKind.UNPLUG}))
    assert step.check is None or step.check.kind is not CheckKind.UNPLUG
    assert step.expected_minutes > next_step(shorted).expected_minutes


def test_when_one_is_all_but_sure_the_next_step_is_its_repair() -> None:
    start = seen(
        (SignKind.DEAD, "Stubble lights"),
        (SignKind.WORKING, "Reel lift valve"),
        (SignKind.WORKING, "Reel speed sensor"),
    )
    measured = next(c for c in checks_for(HEADER) if (c.kind, c.node) == (CheckKind.RESISTANCE, "Stubble lights"))
    step = next_step(after_check(start, measured, CheckVerdict.BAD))
    assert (step.check, step.repair) == (None, "Stubble lights")
    assert step.bad_chance > 0.9
    assert not step.is_off_diagram


def test_a_repaired_node_is_checked_no_more_by_itself() -> None:
    start = after_repair(
        seen((SignKind.DEAD, "Reel lift valve"), (SignKind.WORKING, "Stubble lights")), "Reel lift valve"
    )
    for line in checklist(start, most=10):
        if line.check is not None and line.check.node == "Reel lift valve":
            assert line.check.kind in (CheckKind.VOLTAGE, CheckKind.UNPLUG)


def test_a_checklist_repeats_nothing_and_ends_at_a_likely_repair(shorted: Suspects) -> None:
    lines = checklist(shorted)
    checks = [(line.check.kind, line.check.node) for line in lines if line.check is not None]
    assert len(set(checks)) == len(checks) >= 1
    last = lines[-1]
    assert last.repair is not None
    assert last.bad_chance > 0.5
    assert len(checklist(shorted, most=1)) == 1
    with pytest.raises(DataError, match="at least one line"):
        checklist(shorted, most=0)


def test_when_everything_drawn_was_repaired_the_advice_is_to_look_beyond_the_diagram() -> None:
    tiny = parse_diagram("F: fuse 10 A\n  D: device, returns by G\nG: ground\n")
    suspects = suspects_of(
        Case(circuit=tiny, signs=(Sign(kind=SignKind.DEAD, node="D"),), repairs_tried=("F", "D", "G"))
    )
    step = next_step(suspects, without=frozenset(CheckKind))
    assert step.is_off_diagram
    assert step.bad_chance == pytest.approx(1)
    # 120 minutes beyond the diagram, and a part of the 20 to prove what comes and goes
    assert 120 < step.minutes < 140
    assert step.expected_minutes == pytest.approx(step.minutes)
    assert checklist(suspects, without=frozenset(CheckKind)) == (step,)


def test_a_repair_that_was_tried_is_not_proposed_again(shorted: Suspects) -> None:
    tried = shorted
    for _ in range(6):
        repair = next_step(tried, without=frozenset(CheckKind)).repair
        if repair is None:
            break
        assert repair not in tried.case.repairs_tried
        tried = after_repair(tried, repair)
    assert len(tried.case.repairs_tried) >= 2


def test_expected_minutes_fall_when_a_check_tells_something(shorted: Suspects) -> None:
    step = next_step(shorted)
    assert step.check is not None
    after = [
        next_step(after_check(shorted, step.check, v)).expected_minutes for v in (CheckVerdict.BAD, CheckVerdict.GOOD)
    ]
    mean = step.minutes + step.bad_chance * after[0] + (1 - step.bad_chance) * after[1]
    assert mean == pytest.approx(step.expected_minutes, rel=0.15)
