"""A breakage is one deed: fittings change, parts come off stock, the stop is noted, one undo brings all back."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from tests.sent_sql import sent_sql
from tests.small_farm import AUGUST, MAY, SmallFarm
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Action, Cause, Mode, Removal, StockChange, StopReason
from wearlog.facts.fact import Fact
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Fitting, Repair
from wearlog.facts.work import Stoppage
from wearlog.logbook.files.importing import everything
from wearlog.logbook.files.undo import undo
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.stocking import move_stock, on_hand
from wearlog.store.finding import find_all, find_in_order
from wearlog.store.shelf import on_shelf


def rock(farm: SmallFarm, **more: object) -> BreakageEntry:
    given = {"component_id": farm.knife.id, "positions": (41, 42, 43), "at": AUGUST, "cause": Cause.IMPACT} | more
    return BreakageEntry(**given)  # type: ignore[arg-type]


def all_of(farm: SmallFarm, fact_type: type[Fact], **equal: object) -> list:
    with farm.store.reading() as connection:
        return find_all(connection, fact_type, **equal)


def at_position(farm: SmallFarm, position: int) -> list[Fitting]:
    with farm.store.reading() as connection:
        found = find_in_order(connection, Fitting, "fitted_at", component_id=farm.knife.id)
    return [one for one in found if one.position == position]


def left(farm: SmallFarm) -> int:
    with farm.store.reading() as connection:
        return on_hand(find_in_order(connection, StockMove, "at", part_id=farm.section_part.id))


def test_replaced_positions_end_and_begin_at_the_breakage(farm: SmallFarm) -> None:
    log_breakage(farm.store, rock(farm))
    old, new = at_position(farm, 42)
    assert (old.fitted_at, old.removed_at, old.removal) == (MAY, AUGUST, Removal.BROKE)
    assert (new.fitted_at, new.removed_at, new.age_when_fitted_usage) == (AUGUST, None, 0)
    assert new.part_id == farm.section_part.id
    assert len(at_position(farm, 44)) == 1


def test_the_part_that_fits_comes_off_stock_and_what_is_left_is_told(farm: SmallFarm) -> None:
    done = log_breakage(farm.store, rock(farm, positions=tuple(range(1, 12))))
    assert left(farm) == 39
    assert done.also == ("KS-3: 11 used, 39 left, below the 40 to keep",)


def test_more_used_than_the_book_shows_is_told_and_not_hidden(farm: SmallFarm) -> None:
    done = log_breakage(farm.store, rock(farm, positions=tuple(range(1, 53))))
    assert left(farm) == -2
    assert done.also == ("KS-3: 52 used but the log knew of 50 only; count them",)


def test_what_lay_there_before_a_count_says_nothing_and_what_came_since_does(farm: SmallFarm) -> None:
    part = farm.section_part.id
    for days, change, quantity in (
        (1, StockChange.COUNTED, 12),
        (2, StockChange.RECEIVED, 30),
        (2, StockChange.USED, 2),
    ):
        move_stock(
            farm.store, StockMove(part_id=part, at=AUGUST + timedelta(days=days), change=change, quantity=quantity)
        )
    with farm.store.reading() as connection:
        moves = find_in_order(connection, StockMove, "at", part_id=part)
        there = on_shelf(connection, [part])[part]
    assert (there.pieces, there.counted_at) == (40, AUGUST + timedelta(days=1))
    assert on_hand(moves) == 40
    # broken before the count: what it took is in the count already
    done = log_breakage(farm.store, rock(farm))
    assert done.also == ("KS-3: 3 used before it was counted again, 40 on hand as counted",)
    later = log_breakage(farm.store, rock(farm, at=AUGUST + timedelta(days=3)))
    assert later.also == ("KS-3: 3 used, 37 left, below the 40 to keep",)


def test_a_breakage_reads_only_what_it_points_at(farm: SmallFarm) -> None:
    """Twelve whole tables of names, every fitting of a knife and every move of stock were read for the rows it writes."""
    with sent_sql(farm.store) as sent:
        log_breakage(farm.store, rock(farm))
    tables = [(found[1], sql) for sql in sent if (found := re.search(r"^SELECT.*?FROM (\w+)", sql, re.DOTALL))]
    whole = [table for table, sql in tables if not re.search(r"id = | IN \(", sql)]
    # the shape of the log, the farm's settings, and the end of the journal
    assert whole == ["alembic_version", "setting", "deed"]
    assert len(tables) == 14


def test_time_and_labour_make_a_repair_and_a_stoppage(farm: SmallFarm) -> None:
    log_breakage(farm.store, rock(farm, downtime_seconds=1200, labour_seconds=2400))
    (repair,) = all_of(farm, Repair)
    (stop,) = all_of(farm, Stoppage)
    (breakage,) = all_of(farm, Breakage)
    assert (repair.labour_seconds, repair.ended_at - repair.started_at) == (2400, timedelta(minutes=20))
    assert (stop.reason, stop.ended_at - stop.started_at) == (StopReason.BREAKDOWN, timedelta(minutes=20))
    assert stop.repair_id == breakage.repair_id == repair.id


def test_without_time_there_is_no_repair_and_no_stoppage(farm: SmallFarm) -> None:
    log_breakage(farm.store, rock(farm))
    assert all_of(farm, Repair) == []
    assert all_of(farm, Stoppage) == []


@pytest.mark.parametrize("action", [Action.MENDED, Action.LEFT])
def test_mended_or_left_the_same_fittings_go_on_and_no_part_is_used(farm: SmallFarm, action: Action) -> None:
    log_breakage(farm.store, rock(farm, action=action, mode=Mode.BENT))
    (fitting,) = at_position(farm, 41)
    assert fitting.removed_at is None
    assert left(farm) == 50


def test_one_undo_brings_all_back(farm: SmallFarm) -> None:
    before = everything(farm.store)
    log_breakage(farm.store, rock(farm, downtime_seconds=1200))
    assert everything(farm.store) != before
    undo(farm.store)
    assert everything(farm.store) == before


def test_entered_late_the_new_part_takes_over_the_old_one_s_later_end(farm: SmallFarm) -> None:
    log_breakage(farm.store, rock(farm, positions=(41,), at=AUGUST))
    log_breakage(farm.store, rock(farm, positions=(41,), at=AUGUST - timedelta(days=10)))
    first, second, third = at_position(farm, 41)
    assert (first.fitted_at, first.removed_at) == (MAY, AUGUST - timedelta(days=10))
    assert (second.fitted_at, second.removed_at, second.removal) == (first.removed_at, AUGUST, Removal.BROKE)
    assert (third.fitted_at, third.removed_at) == (AUGUST, None)


def test_a_component_of_one_position_needs_none(farm: SmallFarm) -> None:
    log_breakage(farm.store, BreakageEntry(component_id=farm.chain.id, at=AUGUST, cause=Cause.WEAR))
    (breakage,) = all_of(farm, Breakage)
    assert breakage.positions == (1,)


@pytest.mark.parametrize(
    ("positions", "sentence"),
    [
        ((), "Which of the 160 positions of knife?"),
        ((159, 161, 162), "knife has no position 161-162."),
    ],
)
def test_wrong_positions_are_refused_and_nothing_is_saved(
    farm: SmallFarm, positions: tuple[int, ...], sentence: str
) -> None:
    before = everything(farm.store)
    with pytest.raises(RefusedError) as refused:
        log_breakage(farm.store, rock(farm, positions=positions))
    assert refused.value.message == sentence
    assert everything(farm.store) == before


def test_a_note_cannot_act_on_a_terminal(farm: SmallFarm) -> None:
    log_breakage(farm.store, rock(farm, note="hit a \x1b[31mpost\x07"))
    (breakage,) = all_of(farm, Breakage)
    assert breakage.note == "hit a [31mpost"
