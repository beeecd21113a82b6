"""The quick line on a real log: the farm's own words, and what is saved of what was understood."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest

from tests.small_farm import AUGUST, SmallFarm, harvest
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.wearing import Breakage
from wearlog.logbook.lines.line_saving import farm_words, save_heard
from wearlog.logbook.names import vocabulary
from wearlog.logbook.plain_line import hear
from wearlog.logbook.quickline import understand
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

NOW = datetime(2026, 8, 2, 9, 0, tzinfo=timezone(timedelta(hours=-6)))


def test_a_line_becomes_the_breakage_it_says(farm: SmallFarm) -> None:
    line = "2 sections 41-42 cracked, fatigue, welded, yesterday 16:20, 20 min -- near the divider"
    save_heard(farm.store, hear(line, farm_words(farm.store), NOW))
    with farm.store.reading() as connection:
        (found,) = find_all(connection, Breakage)
    assert (found.component_id, found.positions) == (farm.knife.id, (41, 42))
    assert (found.mode, found.cause, found.action) == (Mode.CRACKED, Cause.FATIGUE, Action.MENDED)
    assert found.at == datetime(2026, 8, 1, 22, 20, tzinfo=UTC)
    assert found.note == "near the divider"


def test_the_machine_of_the_latest_run_is_the_current_one_and_its_header_with_it(farm: SmallFarm) -> None:
    harvest(farm, at=AUGUST)
    words = vocabulary(farm.store)
    assert words.current_machine_id == farm.combine.id
    assert {machine.name for machine in words.current_unit()} == {"Kestrel", "North"}


def test_an_incomplete_line_is_refused_with_its_first_question(farm: SmallFarm) -> None:
    heard = hear("section rock", farm_words(farm.store), NOW)
    with pytest.raises(UsageError, match="Which"):
        save_heard(farm.store, heard)


@pytest.mark.parametrize(
    ("line", "question"),
    [
        # a lone "knife" ends "chopper knife" and begins "knife section": it must not be taken for either in silence
        ("wren knife broken", "'knife' can be guard, knife head, knife section, hold-down or knife drive on Wren."),
        ("chain alder", "'chain' can be clean grain elevator chain, drive chain or feeder conveyor chain on Alder."),
        ("section 7 rock on the moon", "'moon' is not a word I know; did you mean 'mon' or 'noon'?"),
        ("2 guards bent plover 7-9", "You wrote 2 but 7-9 are 3 positions."),
    ],
)
def test_what_could_be_several_things_on_the_demo_fleet_is_asked(demo_store: Store, line: str, question: str) -> None:
    understood = understand(line, vocabulary(demo_store), NOW.replace(month=11, day=20))
    assert question in [problem.message for problem in understood.problems]
