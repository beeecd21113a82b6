"""The lamp in place of a fuse, in words that a tired person cannot get wrong: steps in order, and what is good by what one sees."""

from __future__ import annotations

import pytest

from wearlog.facts.closed_lists import CheckKind
from wearlog.faults.checks import Check
from wearlog.faults.next_line import NextStep
from wearlog.faults.starting_diagrams import starting_diagram
from wearlog.present.faults.fault_case_words import how_to_note
from wearlog.present.faults.how_to_measure import how_to_measure

CIRCUIT = starting_diagram("combine main harness").circuit()
FUSE = "Lights fuse"


def lamp(place: str) -> Check:
    return Check(kind=CheckKind.LAMP, node=place, minutes=4, second=FUSE)


def test_the_lamp_is_told_in_numbered_steps_loads_off_first_and_the_same_rating_last() -> None:
    told = how_to_measure(CIRCUIT, lamp(FUSE))
    numbers = [told.index(f"({number})") for number in range(1, 8)]
    assert numbers == sorted(numbers)
    in_order = (
        "key out",
        "unplug each one",
        "Fuse out",
        "A lamp for",
        "Key on",
        "Dark:",
        "wiggle",
        "the same rating in",
    )
    places = [told.index(words) for words in in_order]
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("place", "ends"),
    [
        (FUSE, "good: dark; bad: bright; unclear: dim"),
        ("Left work light", "good: dark; bad: bright; unclear: dim"),
        ("Lights harness", "good: stays lit; bad: goes out; unclear: dim"),
    ],
)
def test_what_one_sees_of_the_lamp_says_which_word_notes_it(place: str, ends: str) -> None:
    step = NextStep(lamp(place), None, 4, 60, 0.5)
    (line,) = how_to_note(7, step, CIRCUIT)
    assert line.startswith(f"Note it: wearlog faults check 7 lamp '{place}' good")
    assert line.endswith(f"({ends})")
