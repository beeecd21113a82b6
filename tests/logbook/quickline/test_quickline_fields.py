"""The fields of what was understood: what is said and what is taken for granted, remarks, columns, vocabularies of other farms."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID

import pytest

import wearlog.logbook.quickline as quickline
from tests.logbook.quickline.quickline_farm import (
    CUTTING,
    FARM,
    KIND_WORDS,
    NORTH,
    NOW,
    PRAIRIE,
    RED,
    SOUTH,
)
from tests.logbook.quickline.said_back import describe
from wearlog.errors import DataError
from wearlog.facts.closed_lists import Action, Cause, MachineKind, Mode
from wearlog.logbook.quickline import WORDS, KnownComponent, KnownMachine, Problem, Vocabulary, understand
from wearlog.logbook.quickline.words import Sense


def test_the_usual_line_gives_every_field() -> None:
    understood = understand("3 sections 41-43 rock, 20 min", CUTTING, NOW)
    assert understood.machine is NORTH
    assert understood.component is NORTH.components[0]
    assert understood.positions == (41, 42, 43)
    assert (understood.cause, understood.mode, understood.action) == (Cause.IMPACT, Mode.BROKEN, Action.REPLACED)
    assert (understood.downtime_seconds, understood.labour_seconds) == (1_200, None)
    assert understood.at == datetime(2026, 7, 28, 19, 5, tzinfo=UTC)
    assert understood.at.tzinfo is UTC
    assert understood.note == ""
    assert understood.assumed == ("machine", "mode", "action", "at")
    assert not understood.problems


def test_what_is_said_is_not_assumed() -> None:
    line = "north header 3 sections 41-43 snapped, rock, replaced, 20 min, 1 h labour, at 13:10"
    understood = understand(line, CUTTING, NOW)
    assert understood.assumed == ()
    assert understood.labour_seconds == 3_600
    assert describe(understood, PRAIRIE) == (
        "North header, knife section 41-43: broken by impact, replaced; stood 20 min; 1 h labour; today 13:10"
    )


@pytest.mark.parametrize(
    ("line", "assumed"),
    [
        ("north guard 3 bent, rock, replaced, now", ()),
        ("guard 3 bent, rock, replaced, now", ("machine",)),
        ("north guard 3 bent, replaced, now", ("cause",)),
        ("north guard 3 bent, cause unknown, replaced, now", ()),
        ("north guard 3, rock, replaced, now", ("mode",)),
        ("north guard 3 bent, rock, now", ("action",)),
        ("north guard 3 bent, rock, replaced", ("at",)),
        ("north guard 3 bent, rock, replaced, yesterday", ("time",)),
        ("north guard 3 bent, rock, replaced, yesterday 9:00", ()),
        ("north guard 3 bent, rock, replaced, monday morning", ("time",)),
        ("north guard 3 worn, replaced, now", ()),
        ("guard 3", ("machine", "cause", "mode", "action", "at")),
    ],
)
def test_the_fields_that_were_not_said_are_listed(line: str, assumed: tuple[str, ...]) -> None:
    assert understand(line, CUTTING, NOW).assumed == assumed


def test_what_was_assumed_is_said_on_a_second_line() -> None:
    assert describe(understand("guard 3, yesterday", CUTTING, NOW), PRAIRIE).splitlines()[1] == (
        "Not said, so taken for granted: North header, cause unknown, broken, replaced, the time 12:00"
    )
    assert describe(understand("fuse 3", CUTTING, NOW), PRAIRIE).splitlines()[1] == (
        "Not said, so taken for granted: Red combine, cause unknown, failed, replaced, just now"
    )


def test_a_line_that_is_not_complete_is_described_as_far_as_it_goes() -> None:
    assert describe(understand("rock, 20 min", FARM, NOW), PRAIRIE).splitlines()[0] == (
        "machine open, part open: broken by impact, replaced; stood 20 min; today 14:05"
    )
    assert describe(understand("guards bent", CUTTING, NOW), PRAIRIE).splitlines()[0] == (
        "North header, guard, positions open: bent, replaced; today 14:05"
    )


_PHRASES = [(phrase, sense) for sense, phrases in WORDS.senses for phrase in phrases]


@pytest.mark.parametrize(("phrase", "sense"), _PHRASES)
def test_every_phrase_of_the_tables_is_understood_in_its_sense(phrase: str, sense: Sense) -> None:
    understood = understand(f"guard 3, {phrase}", CUTTING, NOW)
    assert understood.problems == ()
    assert understood.cause == (sense.cause or Cause.UNKNOWN)
    assert understood.mode == (sense.mode or Mode.BROKEN)
    assert understood.action == (sense.action or Action.REPLACED)


def test_the_known_words_are_single_words_and_hold_those_of_every_table() -> None:
    known = WORDS.all_words()
    assert {"new", "rivet", "because", "fixed", "fuse", "yesterday", "jul", "dozen", "labour", "pos"} <= known
    assert not any(" " in word or "'" in word.strip("'t") or word != word.lower() for word in known)


def test_the_tables_have_words_for_every_cause_mode_and_action() -> None:
    senses = [sense for sense, _ in WORDS.senses]
    assert {sense.cause for sense in senses} >= set(Cause)
    assert {sense.mode for sense in senses} >= set(Mode)
    assert {sense.action for sense in senses} >= set(Action)


def test_the_column_counts_in_the_line_as_it_was_typed() -> None:
    """Control characters are dropped, yet the column stays the one of the cursor; so it does behind ½ and accents."""
    found = understand("\x1b\x00 guard 3 \u200bsmashd", CUTTING, NOW).problems
    assert [(one.column, one.message) for one in found] == [
        (13, "'smashd' is not a word I know; did you mean 'smashed'?")
    ]
    assert [one.column for one in understand("½ h, gúard 3 zzzz", CUTTING, NOW).problems] == [14]


def test_control_characters_do_not_reach_the_note() -> None:
    assert understand("guard 3 -- a\x1b[31mred\x07\tone\x00", CUTTING, NOW).note == "a[31mred one"


def test_two_remarks_are_both_kept() -> None:
    assert understand('guard 3 "by the creek" -- soft ground', CUTTING, NOW).note == "by the creek; soft ground"


@pytest.mark.parametrize("line", ["guard 3 " * 260, "guard 3 " + "x" * 2_000])
def test_a_story_is_asked_to_be_a_remark(line: str) -> None:
    message = "The line is longer than 2000 characters or 250 words."
    hint = "Write what broke in a few words and put the story behind --."
    assert understand(line, CUTTING, NOW).problems == (Problem("too_long", message, hint, 1),)


def test_the_remark_itself_may_be_a_story() -> None:
    story = "word " * 10_000
    understood = understand(f"guard 3 -- {story}", CUTTING, NOW)
    assert not understood.problems
    assert understood.note == story.strip()


def test_a_farm_without_machines_is_asked_to_add_the_part() -> None:
    understood = understand("3 sections 41-43 rock", Vocabulary((), KIND_WORDS), NOW)
    assert [one.message for one in understood.problems] == ["No machine has a part of the kind knife section."]
    assert [one.code for one in understand("3 sections", Vocabulary(()), NOW).problems] == ["unknown_word"]


def test_the_combine_of_the_current_header_counts_as_current() -> None:
    on_header = replace(FARM, current_machine_id=SOUTH.id)
    understood = understand("feeder chain stretched", on_header, NOW)
    assert understood.machine is not None
    assert understood.machine.name == "Blue combine"


def test_a_current_machine_that_is_gone_counts_for_nothing() -> None:
    gone = replace(FARM, current_machine_id=UUID(int=99))
    assert [one.code for one in understand("guard 3", gone, NOW).problems] == ["which_machine"]


def test_a_whole_word_of_a_name_beats_the_beginning_of_another() -> None:
    """With a Northern header beside it, "north" is still the North header; "nor" may be either, and is asked."""
    northern = replace(SOUTH, id=UUID(int=9), name="Northern header", hitched_to=None)
    farm = replace(FARM, machines=(*FARM.machines, northern))
    assert understand("north guard 3", farm, NOW).machine is NORTH
    assert [one.message for one in understand("nor guard 3", farm, NOW).problems] == [
        "'nor' can be North header or Northern header."
    ]


def test_a_number_in_the_name_of_a_machine_is_not_a_count() -> None:
    farm = Vocabulary((replace(RED, name="Combine 2"), replace(RED, id=UUID(int=8), name="Combine 12")), KIND_WORDS)
    understood = understand("combine 2 fuses 3 and 4", farm, NOW)
    assert understood.machine is farm.machines[0]
    assert understood.positions == (3, 4)


def test_words_in_brackets_need_not_be_said() -> None:
    part = KnownComponent(UUID(int=71), UUID(int=72), "rasp bars (set)", (), "", 1)
    machine = KnownMachine(UUID(int=70), "Old combine", MachineKind.COMBINE, (part,))
    assert understand("rasp bars worn", Vocabulary((machine,)), NOW).component is part


def test_an_own_part_of_the_combine_named_comes_before_its_header() -> None:
    belt = KnownComponent(UUID(int=81), RED.components[4].kind_id, "drive belt", ("belt",), "left", 1)
    farm = replace(FARM, machines=(RED, replace(NORTH, components=(belt,))))
    assert understand("red left belt", farm, NOW).machine is RED
    assert [one.code for one in understand("left belt", farm, NOW).problems] == ["which_machine"]


def test_the_public_names_are_the_ones_that_the_package_lists() -> None:
    listed = ["KnownComponent", "KnownMachine", "Problem", "Understanding", "Vocabulary", "WORDS", "Words"]
    assert sorted(quickline.__all__) == [*listed, "understand"]
    assert all(hasattr(quickline, name) for name in quickline.__all__)


def test_a_present_time_without_zone_is_refused() -> None:
    with pytest.raises(DataError, match="no time zone"):
        understand("guard 3", CUTTING, datetime(2026, 7, 28, 14, 5))


def test_importing_it_loads_nothing_heavy() -> None:
    """In a process of its own, with a whole line understood: no database, no numbers, no command line, no date parser."""
    program = (
        "import sys; from datetime import UTC, datetime;"
        "from wearlog.logbook.quickline import Vocabulary, understand;"
        "understand('guard 3 yesterday 4 pm', Vocabulary(()), datetime.now(UTC));"
        "print(sorted({'sqlalchemy', 'numpy', 'click', 'dateutil', 'textual', 'decimal'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
