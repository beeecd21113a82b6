"""A notebook that tells only of breakages still says what is fitted where, since when."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from wearlog.exchange.source import read_source
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.ids import derived_id, new_id
from wearlog.logbook.names import KnownNames

NOW = datetime(2026, 6, 1, tzinfo=UTC)
HEADER = Machine(name="Plover", kind=MachineKind.HEADER)
KNIFE = Component(machine_id=HEADER.id, part_kind_id=STARTING_KINDS[0].id, place="knife", positions=12)
EMPTY_LOG = KnownNames(part_kinds=STARTING_KINDS)
FARM = {
    "machine": "name,kind\nPlover,header\n",
    "component": "machine,part_kind,place,positions\nPlover,knife section,knife,12\n",
}
FITTING = "component,position,fitted,removed,removal\n"
BREAKAGE = "key,component,positions,at,action\n"


def read(folder: Path, known: KnownNames = EMPTY_LOG, **sheets: str) -> tuple[object, ...]:
    for name, content in sheets.items():
        (folder / f"{name}.csv").write_text(content, "utf-8")
    reading = read_source(folder, known, time_zone="UTC", now=NOW)
    assert [str(problem) for problem in reading.problems] == []
    return reading.facts


def lives(facts: tuple[object, ...]) -> list[tuple[int, str, str, str]]:
    """Position, first day, last day and why it came off, in their order."""
    return sorted(
        (
            one.position,
            f"{one.fitted_at:%m-%d %H:%M}",
            f"{one.removed_at:%m-%d %H:%M}" if one.removed_at else "",
            one.removal or "",
        )
        for one in facts
        if isinstance(one, Fitting)
    )


def test_a_replaced_part_ends_one_fitting_and_begins_another(tmp_path: Path) -> None:
    fitting = f"{FITTING}knife,1-3,2025-03-01,,\n"
    breakage = f'{BREAKAGE},knife,"2, 3",2025-07-28 16:20,replaced\n,knife,2,2025-08-02 10:00,replaced\n'
    facts = read(tmp_path, **FARM, fitting=fitting, breakage=breakage)
    assert lives(facts) == [
        (1, "03-01 00:00", "", ""),
        (2, "03-01 00:00", "07-28 16:20", "broke"),
        (2, "07-28 16:20", "08-02 10:00", "broke"),
        (2, "08-02 10:00", "", ""),
        (3, "03-01 00:00", "07-28 16:20", "broke"),
        (3, "07-28 16:20", "", ""),
    ]


@pytest.mark.parametrize("action", ["mended", "left"])
def test_a_part_that_was_not_replaced_goes_on(action: str, tmp_path: Path) -> None:
    fitting, breakage = f"{FITTING}knife,2,2025-03-01,,\n", f"{BREAKAGE},knife,2,2025-07-28,{action}\n"
    assert lives(read(tmp_path, **FARM, fitting=fitting, breakage=breakage)) == [(2, "03-01 00:00", "", "")]


def test_the_new_part_takes_over_the_end_of_the_old_one(tmp_path: Path) -> None:
    fitting = f"{FITTING}knife,2,2025-03-01,2025-12-01,planned\n"
    facts = read(tmp_path, **FARM, fitting=fitting, breakage=f"{BREAKAGE},knife,2,2025-07-28 16:20,replaced\n")
    assert lives(facts) == [
        (2, "03-01 00:00", "07-28 16:20", "broke"),
        (2, "07-28 16:20", "12-01 00:00", "planned"),
    ]


def test_a_new_part_that_has_a_row_of_its_own_is_not_doubled(tmp_path: Path) -> None:
    """Whether the old one was ended in its row or not, at the minute or the next morning."""
    breakage = f"{BREAKAGE},knife,2,2025-07-28 16:20,replaced\n"
    for removed, reason, fitted in (
        ("2025-07-28 16:20", "broke", "2025-07-28 16:20"),
        ("", "", "2025-07-28 16:20"),
        ("", "", "2025-07-29 07:00"),
        ("2025-07-28 16:20", "broke", "2025-08-20"),
    ):
        fitting = f"{FITTING}knife,2,2025-03-01,{removed},{reason}\nknife,2,{fitted},,\n"
        first, second = lives(read(tmp_path, **FARM, fitting=fitting, breakage=breakage))
        assert first == (2, "03-01 00:00", "07-28 16:20", "broke")
        assert second[2:] == ("", "")


def test_a_position_of_which_nothing_was_written_begins_with_its_first_replacement(tmp_path: Path) -> None:
    breakage = f"{BREAKAGE},knife,2,2025-07-28 16:20,replaced\n,knife,2,2025-08-02,replaced\n"
    assert lives(read(tmp_path, **FARM, breakage=breakage)) == [
        (2, "07-28 16:20", "08-02 12:00", "broke"),
        (2, "08-02 12:00", "", ""),
    ]


def test_what_a_component_of_the_log_carries_is_left_to_the_log_and_that_is_said(tmp_path: Path) -> None:
    known = KnownNames(machines=(HEADER,), components=(KNIFE,), part_kinds=STARTING_KINDS)
    (tmp_path / "breakage.csv").write_text(f"{BREAKAGE},knife,2,2025-07-28,replaced\n,knife,3,2025-07-28,left\n")
    reading = read_source(tmp_path, known, time_zone="UTC", now=NOW)
    assert [type(fact) for fact in reading.facts] == [Breakage, Breakage]
    assert reading.notices == (
        "breakage.csv: 1 row of replaced parts on components that the log knows: their fittings were left as they are. "
        "Have the sheet fitting in the same folder to change them.",
    )
    fitting = f"{FITTING}knife,2,2025-03-01,,\n"
    assert len(lives(read(tmp_path, known, fitting=fitting))) == 2


def test_a_row_that_the_program_wrote_is_taken_as_it_stands(tmp_path: Path) -> None:
    fitting, breakage = f"{FITTING}knife,2,2025-03-01,,\n", f"{BREAKAGE}{new_id()},knife,2,2025-07-28,replaced\n"
    assert lives(read(tmp_path, **FARM, fitting=fitting, breakage=breakage)) == [(2, "03-01 00:00", "", "")]


def test_the_new_fitting_has_the_same_id_every_time(tmp_path: Path) -> None:
    facts = read(tmp_path, **FARM, breakage=f"{BREAKAGE}B1,knife,2,2025-07-28,replaced\n")
    (breakage,) = (fact for fact in facts if isinstance(fact, Breakage))
    (fitting,) = (fact for fact in facts if isinstance(fact, Fitting))
    assert fitting.id == derived_id("fitting", str(breakage.id), "2")
    assert fitting.age_when_fitted_usage == 0
