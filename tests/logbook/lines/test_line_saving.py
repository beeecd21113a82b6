"""A plain line is saved as what it is: one line, one deed, one undo."""

from __future__ import annotations

import pytest

from tests.logbook.plain_line.said_lines import NOW
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Removal, RepairKind, SignKind, StockChange
from wearlog.facts.electrics import Fault, FaultSign
from wearlog.facts.machines import Reading, ServiceDone
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Fitting, Repair
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.files.undo import undo
from wearlog.logbook.lines.line_saving import farm_words, save_heard
from wearlog.logbook.plain_line import hear
from wearlog.logbook.saving import Done
from wearlog.store.finding import find_all
from wearlog.store.opening import Store


def _saved(store: Store, line: str) -> Done:
    heard = hear(line, farm_words(store), NOW)
    assert heard.question == ""
    return save_heard(store, heard)


def _of(done: Done, kind: type) -> list:
    return [fact for fact in done.facts if isinstance(fact, kind)]


def test_several_parts_of_one_stop_are_one_deed_with_one_repair_and_one_stoppage(demo_store: Store) -> None:
    done = _saved(demo_store, "kestrel rock: sections 44-46, guard 45, 40 min")
    breakages, repairs, stops = _of(done, Breakage), _of(done, Repair), _of(done, Stoppage)
    assert [one.positions for one in breakages] == [(44, 45, 46), (45,)]
    assert len(repairs) == len(stops) == 1
    assert {one.repair_id for one in breakages} == {repairs[0].id}
    assert (stops[0].ended_at - stops[0].started_at).total_seconds() == 40 * 60
    assert sorted(one.quantity for one in _of(done, StockMove)) == [1, 3]


def test_winter_work_ends_lives_whole_with_its_labour_and_parts_off_the_shelf(demo_store: Store) -> None:
    done = _saved(demo_store, "jan 14 2026 new chopper blades in tamarack 3 hours")
    assert _of(done, Breakage) == []
    (work,) = _of(done, Repair)
    assert (work.kind, work.labour_seconds) == (RepairKind.PLANNED, 3 * 3600)
    # entered late: what went on follows what was on, and takes over its later end
    ended = [one for one in _of(done, Fitting) if one.removed_at == work.started_at]
    assert [one.removal for one in ended] == [Removal.PLANNED]
    assert [one.removal for one in _of(done, Fitting) if one.fitted_at == work.started_at] != [Removal.PLANNED]
    assert [one.change for one in _of(done, StockMove)] == [StockChange.USED]
    assert _of(done, Stoppage) == []


def test_winter_work_adds_no_failure(demo_store: Store) -> None:
    with demo_store.reading() as connection:
        before = len(find_all(connection, Breakage))
    _saved(demo_store, "changed all guards on kestrel over winter")
    with demo_store.reading() as connection:
        assert len(find_all(connection, Breakage)) == before


def test_a_fault_is_opened_with_its_sign(demo_store: Store) -> None:
    done = _saved(demo_store, "code 639 9 on tamarack screen")
    (fault,), (sign,) = _of(done, Fault), _of(done, FaultSign)
    assert (fault.title, sign.sign, sign.spn, sign.fmi) == ("code 639/9", SignKind.CODE, 639, 9)
    (fuse,) = _of(_saved(demo_store, "header fuse keeps blowing merlin"), Fault)
    assert fuse.note == "header fuse keeps blowing merlin"


def test_two_meters_of_one_line_are_read_at_once(demo_store: Store) -> None:
    done = _saved(demo_store, "juniper eng 3675.5 sep 2868")
    assert sorted(one.shown_usage for one in _of(done, Reading)) == [2868 * 3600, round(3675.5 * 3600)]


def test_an_area_is_a_run_with_its_header_field_and_hours(demo_store: Store) -> None:
    done = _saved(demo_store, "juniper with kestrel cut 60 ac on homeplace 5 h")
    (run,) = _of(done, Run)
    assert (run.area_square_metres, (run.ended_at - run.started_at).total_seconds()) == (242_811, 5 * 3600)
    assert None not in (run.header_id, run.field_id)


def test_a_service_of_two_machines_is_one_deed(demo_store: Store) -> None:
    assert len(_of(_saved(demo_store, "greased kestrel and wren"), ServiceDone)) == 2


def test_a_delivery_of_packs_is_counted_in_pieces(demo_store: Store) -> None:
    (move,) = _of(_saved(demo_store, "got 2 boxes of sections at 115"), StockMove)
    assert (move.change, move.quantity, move.unit_cost_minor) == (StockChange.RECEIVED, 50, 460)


@pytest.mark.parametrize(
    "line",
    [
        "kestrel rock: sections 44-46, guard 45, 40 min",
        "changed all guards on kestrel over winter",
        "kestrel reel lift not working",
        "juniper eng 3675.5 sep 2868",
        "juniper with kestrel cut 60 ac on homeplace 5 h",
        "greased kestrel and wren",
        "received 10 tines and 5 auger fingers",
    ],
)
def test_undo_takes_the_whole_line_back(line: str, demo_store: Store) -> None:
    kinds = (Breakage, Fitting, Repair, Stoppage, Fault, FaultSign, Reading, Run, ServiceDone, StockMove)

    def rows() -> list[list[object]]:
        with demo_store.reading() as connection:
            return [sorted(find_all(connection, kind), key=lambda one: one.id) for kind in kinds]

    before = rows()
    done = _saved(demo_store, line)
    assert rows() != before
    undo(demo_store, done.deed.id)
    assert rows() == before


def test_a_question_saves_nothing(demo_store: Store) -> None:
    heard = hear("merlin sections 40 and guards rock", farm_words(demo_store), NOW)
    with pytest.raises(UsageError, match="Which of the 160 guards on Merlin"):
        save_heard(demo_store, heard)


def test_a_rebuilt_part_leads_to_what_enters_it(demo_store: Store) -> None:
    heard = hear("plover knife drive rebuilt by shop jan", farm_words(demo_store), NOW)
    with pytest.raises(UsageError, match="goes on at its age"):
        save_heard(demo_store, heard)
