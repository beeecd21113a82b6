"""Importing again finds the same rows: by key, by name, or by what tells a row from others."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import pytest

from wearlog.exchange.source import read_source
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Breakage, Component, Fitting
from wearlog.facts.work import Field
from wearlog.ids import derived_id
from wearlog.logbook.names import KnownNames

NOW = datetime(2026, 6, 1, tzinfo=UTC)
ID = UUID("01a21231-610e-7296-9ad1-9d337b1c0d2d")
KIND = STARTING_KINDS[0]
HEADER = Machine(name="Plover", kind=MachineKind.HEADER, list_price_minor=9_000_000)
KNIFE = Component(machine_id=HEADER.id, part_kind_id=KIND.id, place="knife", positions=12)
KNOWN = KnownNames(machines=(HEADER,), components=(KNIFE,), part_kinds=STARTING_KINDS)
BREAKAGE = "machine,component,positions,at,cause,note\n"


def read(folder: Path, known: KnownNames = KNOWN, **sheets: str) -> tuple[Fact, ...]:
    for name, content in sheets.items():
        (folder / f"{name}.csv").write_text(content, "utf-8")
    reading = read_source(folder, known, time_zone="America/Chicago", now=NOW)
    assert [str(problem) for problem in reading.problems] == []
    return reading.facts


def ids(facts: tuple[Fact, ...]) -> list[UUID]:
    return [fact.id for fact in facts]


def test_a_key_that_is_a_uuid_is_the_id(tmp_path: Path) -> None:
    assert ids(read(tmp_path, field=f"key,name,area_ac,ground\n{ID},Creek,5,clean\n")) == [ID]


def test_any_other_key_gives_the_id_that_belongs_to_it(tmp_path: Path) -> None:
    breakage = f"key,{BREAKAGE}B-7,Plover,knife,3,2025-07-28,impact,\n"
    assert ids(read(tmp_path, breakage=breakage)) == [derived_id("breakage", "B-7")]


def test_a_new_name_gives_the_id_that_belongs_to_it_in_any_case(tmp_path: Path) -> None:
    for name in ("Long Bench", "LONG  bench"):
        assert ids(read(tmp_path, field=f"name,area_ac,ground\n{name},5,clean\n")) == [
            derived_id("field", "long bench")
        ]


def test_a_known_name_is_the_known_row_with_or_without_a_label(tmp_path: Path) -> None:
    assert ids(read(tmp_path, machine="name,kind\nplover,header\n")) == [HEADER.id]
    assert ids(read(tmp_path, machine="key,name,kind\nM1,PLOVER,header\n")) == [HEADER.id]


def test_a_heading_left_out_leaves_alone_what_is_there(tmp_path: Path) -> None:
    """An empty cell under a heading does not."""
    assert read(tmp_path, machine="name,kind\nPlover,header\n") == (HEADER,)
    emptied = replace(HEADER, list_price_minor=None)
    assert read(tmp_path, machine="name,kind,list_price\nPlover,header,\n") == (emptied,)


def test_a_starting_kind_keeps_its_id_even_where_the_log_is_not_known(tmp_path: Path) -> None:
    row = f"name,subsystem,meter\n{KIND.name},{KIND.subsystem},{KIND.meter_kind}\n"
    assert read(tmp_path, part_kind=row) == (KIND,)
    (alone,) = read(tmp_path, KnownNames(), part_kind=row)
    assert isinstance(alone, PartKind)
    assert (alone.id, alone.life_low_usage) == (KIND.id, None)


def test_a_row_without_a_key_is_the_same_row_when_the_rest_of_it_is_mended(tmp_path: Path) -> None:
    first = read(tmp_path, breakage=f"{BREAKAGE}Plover,knife,3,2025-07-28 16:20,impact,\n")
    mended = read(tmp_path, breakage=f"{BREAKAGE}Plover,knife,3,2025-07-28 21:20Z,wear,it was old\n")
    other = read(tmp_path, breakage=f"{BREAKAGE}Plover,knife,4,2025-07-28 16:20,impact,\n")
    assert ids(first) == ids(mended) != ids(other)


def test_rows_that_agree_are_told_apart_by_their_order(tmp_path: Path) -> None:
    row = "Plover,knife,3,2025-07-28,impact,\n"
    twice = read(tmp_path, breakage=BREAKAGE + row + row)
    assert len(set(ids(twice))) == 2
    assert ids(read(tmp_path, breakage=BREAKAGE + row)) == ids(twice)[:1]


def test_other_rows_do_not_change_the_id_of_a_row(tmp_path: Path) -> None:
    row = "Plover,knife,3,2025-07-28,impact,\n"
    alone = read(tmp_path, breakage=BREAKAGE + row)
    among = read(tmp_path, breakage=f"{BREAKAGE}Plover,knife,2,2025-07-01,impact,\n{row}")
    assert ids(among)[1:] == ids(alone)


def test_a_fitting_is_the_same_however_the_positions_share_rows(tmp_path: Path) -> None:
    heading = "machine,component,position,fitted\n"
    one_row = read(tmp_path, fitting=f"{heading}Plover,knife,1-4,2024-03-01\n")
    rows = read(tmp_path, fitting=f'{heading}Plover,knife,"1-2, 4",2024-03-01\nPlover,knife,3,2024-03-01\n')
    assert set(ids(one_row)) == set(ids(rows))


@pytest.mark.parametrize("key", ["F1", str(ID)])
def test_each_fitting_of_a_row_with_a_key_has_its_own_id(key: str, tmp_path: Path) -> None:
    facts = read(tmp_path, fitting=f"key,machine,component,position,fitted\n{key},Plover,knife,1-2,2024-03-01\n")
    assert ids(facts) == [derived_id("fitting", key, "1"), derived_id("fitting", key, "2")]


def test_a_single_fitting_with_a_uuid_has_that_id(tmp_path: Path) -> None:
    (fitting,) = read(tmp_path, fitting=f"key,machine,component,position,fitted\n{ID},Plover,knife,7,2024-03-01\n")
    assert isinstance(fitting, Fitting)
    assert (fitting.id, fitting.position) == (ID, 7)


def test_a_pointer_may_hold_a_key_a_label_or_an_id(tmp_path: Path) -> None:
    repair = "key,machine,kind,started\nR1,Plover,breakdown,2025-07-28\n"
    breakage = f"component,positions,at,repair\n{KNIFE.id},3,2025-07-28,R1\nknife,4,2025-07-28,{ID}\n"
    facts = [fact for fact in read(tmp_path, repair=repair, breakage=breakage) if isinstance(fact, Breakage)]
    assert [fact.repair_id for fact in facts] == [derived_id("repair", "R1"), ID]
    assert {fact.component_id for fact in facts} == {KNIFE.id}


def test_rows_point_at_rows_of_the_same_folder_before_they_are_in_the_log(tmp_path: Path) -> None:
    machine = "key,name,kind\nm1,Kestrel,header\n"
    component = f"machine,part_kind,place,positions\nm1,{KIND.name},cutterbar,9\n"
    facts = read(tmp_path, machine=machine, component=component)
    kestrel, cutterbar = facts
    assert isinstance(cutterbar, Component)
    assert (cutterbar.machine_id, cutterbar.part_kind_id) == (kestrel.id, KIND.id)


def test_facts_come_in_an_order_in_which_they_can_be_written(tmp_path: Path) -> None:
    facts = read(
        tmp_path,
        breakage="machine,component,positions,at,action\nKestrel,bar,1,2025-07-28,left\n",
        component=f"machine,part_kind,place\nKestrel,{KIND.name},bar\n",
        machine="name,kind\nKestrel,header\n",
        field="name,area_ac,ground\nCreek,5,clean\n",
    )
    assert [type(fact) for fact in facts] == [Machine, Field, Component, Breakage]
