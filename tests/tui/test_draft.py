"""The entry of a breakage before it is saved: what the plain line means on top of what the keys said."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.logbook.quickline.quickline_farm import FARM, NOW
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.farm_settings import FarmSettings
from wearlog.logbook.plain_line import FarmWords, hear
from wearlog.tui.draft import BreakageChoices, Draft, Loggable, read_line, read_stood

CHOICES = BreakageChoices(
    FARM,
    tuple(
        Loggable(one.id, machine.id, machine.name, one.kind, one.kind, one.positions, None, Mode.BROKEN)
        for machine in FARM.machines
        for one in machine.components
    ),
    last_component_id=None,
    last_position=None,
)


def choice(machine: str, kind: str) -> Loggable:
    return next(one for one in CHOICES.components if (one.machine, one.kind) == (machine, kind))


def test_a_line_without_a_part_is_about_the_part_of_the_draft() -> None:
    draft, wrong = read_line("41-43 rock", CHOICES, Draft().on(choice("North header", "knife section")), NOW)
    assert wrong == ""
    assert draft.sentence(FarmSettings()) == "North header, knife sections 41-43: broken by impact, replaced"


def test_a_part_on_several_machines_is_the_one_on_the_machine_of_the_draft() -> None:
    draft, wrong = read_line("guard 5 bent", CHOICES, Draft().on(choice("South header", "reel tine")), NOW)
    assert (wrong, draft.sentence(FarmSettings())) == ("", "South header, guard 5: bent, replaced")


def test_where_the_draft_says_nothing_the_line_is_asked_about() -> None:
    _, wrong = read_line("guard 5 bent", CHOICES, Draft(), NOW)
    assert wrong.startswith("Which machine? Guards are on North header and South header.")


def test_the_line_leaves_what_it_does_not_say_as_the_keys_have_it() -> None:
    by_keys = Draft().on(choice("North header", "guard"))
    by_keys = replace(by_keys, positions=(7,), cause=Cause.IMPACT, action=Action.LEFT, stood_seconds=600)
    draft, wrong = read_line("bent", CHOICES, by_keys, NOW)
    assert wrong == ""
    assert draft == replace(by_keys, mode=Mode.BENT)


def test_a_time_and_a_remark_come_along() -> None:
    draft, _ = read_line("section 3 on North yesterday 10:00 -- by the gate", CHOICES, Draft(), NOW)
    assert draft.at == NOW - timedelta(days=1, hours=4, minutes=5)
    assert draft.note == "by the gate"


@pytest.mark.parametrize(
    ("line", "positions", "clock"),
    [
        ("North section 5 rock at 3", (5,), "15:00"),
        ("section 5 rock at ten to nine this morning", (5,), "08:50"),
        ("North guard 5 bent 28.7. 10.20", (5,), "10:20"),
    ],
)
def test_a_line_means_what_it_means_for_the_log_command(line: str, positions: tuple[int, ...], clock: str) -> None:
    on = Draft().on(choice("North header", "knife section"))
    now = NOW.replace(hour=22)
    draft, wrong = read_line(line, CHOICES, on, now)
    heard = hear(f"North {line}" if "North" not in line else line, FarmWords(FARM), now).entries[0]
    assert wrong == ""
    assert draft.positions == heard.positions == positions
    assert draft.at == heard.at
    assert draft.at is not None
    assert f"{draft.at.astimezone(NOW.tzinfo):%H:%M}" == clock


def test_a_metric_farm_writes_its_days_first_in_the_form_too() -> None:
    choices = replace(CHOICES, settings=FarmSettings(units="metric"))
    draft, _ = read_line("North guard 5 bent 5/7", choices, Draft(), NOW)
    assert draft.at is not None
    assert (draft.at.month, draft.at.day) == (7, 5)


def test_who_did_it_stays_in_the_note_of_the_form() -> None:
    draft, _ = read_line("North guard 5 bent, by Dale", CHOICES, Draft(), NOW)
    assert "Dale" in draft.note


def test_what_is_missing_is_told_before_saving() -> None:
    assert Draft().problem == "Which part broke? Press p, or write it in the line."
    assert Draft().on(choice("North header", "guard")).problem == "Which positions? Type them like 41-43."
    assert Draft().on(choice("Red combine", "feeder chain")).problem == ""


@pytest.mark.parametrize(
    ("text", "seconds"), [("20", 1200), ("1 h 20", 4800), ("1 h", 3600), ("90 min", 5400), ("1.5 h", 5400), (" ", None)]
)
def test_how_long_it_stood_is_read_as_people_say_it(text: str, seconds: int | None) -> None:
    assert read_stood(text, FARM, NOW) == seconds


@pytest.mark.parametrize("text", ["fnord", "20 x", "h"])
def test_what_is_no_time_is_said_in_words(text: str) -> None:
    with pytest.raises(UsageError, match=f"'{text}' is not a time."):
        read_stood(text, FARM, NOW)


def test_the_entry_begins_where_somebody_points_else_at_the_last_breakage_else_at_a_long_bar() -> None:
    guard, section = choice("North header", "guard"), choice("North header", "knife section")
    south = choice("South header", "guard")
    assert CHOICES.start(None, guard.component_id) == guard
    last = replace(CHOICES, last_component_id=guard.component_id)
    assert last.start(None, None) == guard
    assert last.start(south.machine_id, None) == south
    assert CHOICES.start(None, None) == section
