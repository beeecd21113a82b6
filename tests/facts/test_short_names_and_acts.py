"""Every kind has a short name of its own, and every danger its acts in few words."""

from __future__ import annotations

import pytest

from wearlog.facts.cautions import ACTS, CAUTIONS, acts_of, sentences_of
from wearlog.facts.closed_lists import Hazard
from wearlog.facts.short_names import MOST, SHORT_NAMES, short_name
from wearlog.facts.starting_guesses import STARTING_KINDS


def test_every_kind_has_a_short_name_of_at_most_16_letters_and_no_two_share_one() -> None:
    names = [short_name(kind.name) for kind in STARTING_KINDS]
    assert [name for name in names if len(name) > MOST] == []
    assert len(set(names)) == len(names)


def test_only_long_names_of_the_library_have_another() -> None:
    assert {name for name in SHORT_NAMES if len(name) <= MOST} == set()
    assert set(SHORT_NAMES) <= {kind.name for kind in STARTING_KINDS}


def test_a_short_name_is_no_word_of_another_kind() -> None:
    said = {word: kind.name for kind in STARTING_KINDS for word in (kind.name, *kind.words)}
    assert {short: said[short] for name, short in SHORT_NAMES.items() if said.get(short, name) != name} == {}


@pytest.mark.parametrize("hazard", Hazard)
def test_every_danger_has_acts_of_at_most_four_words(hazard: Hazard) -> None:
    assert 2 <= len(ACTS[hazard]) <= 3
    for act, short in ACTS[hazard]:
        assert 2 <= len(act.split()) <= 4
        assert len(short) <= min(len(act), 16)


def test_what_two_dangers_share_is_said_once() -> None:
    assert acts_of((Hazard.UNDER_HEADER, Hazard.KNIFE), short=True) == ("key out", "header on stop", "gloves on")
    assert len(sentences_of((Hazard.KNIFE, Hazard.KNIFE))) == 3


def test_the_row_counts_the_lines_that_the_key_brings() -> None:
    assert len(sentences_of((Hazard.ELECTRICAL,))) + 1 == len(CAUTIONS[Hazard.ELECTRICAL]) == 8
