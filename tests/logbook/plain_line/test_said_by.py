"""Who did it, said in the line: a person's name is taken from it, and nothing else is taken for a person."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.logbook.plain_line.said_lines import NOW
from wearlog.logbook.plain_line import FarmWords, hear


@pytest.mark.parametrize(
    ("said", "person"),
    [
        ("kestrel guard 8 broke, replaced by Sam", "Sam"),
        ("kestrel guard 8 rock 20 min by Sam.", "Sam"),
        ("kestrel guard 8 rock 20 min by sam", "Sam"),
        ("kestrel guard 8 rock, changed by Magda", "Magda"),
        ("kestrel guard 8 rock 20 min, by Magda", "Magda"),
        ("greased plover by Magda", ""),
        ("plover greased by Magda", "Magda"),
        ("Sam: kestrel guard 8 rock", "Sam"),
        ("by Magda: kestrel guard 8 rock", "Magda"),
        ("sam replaced kestrel guard 8, rock", "Sam"),
        ("kestrel guard 8 rock by ole hansen yesterday", "Ole Hansen"),
        ("OLE HANSEN: KESTREL GUARD 8 ROCK", "Ole Hansen"),
    ],
)
def test_a_name_is_read_where_it_is_clearly_a_person(said: str, person: str, demo_words: FarmWords) -> None:
    heard = hear(said, replace(demo_words, people=("Ole Hansen",)), NOW)
    assert heard.person == person
    assert ("person" in heard.assumed) == bool(person)
    assert heard.question == ""
    assert all(not person or person.casefold() not in one.note.casefold() for one in heard.entries)


@pytest.mark.parametrize(
    "said",
    [
        "kestrel guard 8 broke by the rock",
        "kestrel guard 8 broke by Rock",
        "kestrel guard 8 bent by Hilda",
        "kestrel guard 8 broke on a rock by Fargo",
        "KESTREL GUARD 8 ROCK BY FARGO",
        "Kestrel Guard 8 Hit By Truck",
        "kestrel guard 8 replaced by hand",
        "kestrel guard 8 rock, must be mended by Tuesday",
        "kestrel guard 8 rock by Olson's corner",
        "kestrel guard 8 rock, Dad saw it",
        "Sammy kestrel guard 8 rock",
    ],
)
def test_what_may_be_no_person_stays_what_it_was(said: str, demo_words: FarmWords) -> None:
    assert hear(said, demo_words, NOW).person == ""


def test_a_place_behind_by_stays_in_the_note(demo_words: FarmWords) -> None:
    assert "Fargo" in hear("kestrel guard 8 broke on a rock by Fargo", demo_words, NOW).entries[0].note
