"""Every word of the trade's library names its own kind in the quick line, also on a machine that has all of them."""

from __future__ import annotations

from datetime import UTC, datetime
from uuid import UUID

import pytest

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Component
from wearlog.logbook.names import KnownNames, vocabulary_of
from wearlog.logbook.quickline import Vocabulary, understand
from wearlog.logbook.quickline.lexicon import build
from wearlog.logbook.quickline.tokens import words_of

NOW = datetime(2026, 8, 20, 20, tzinfo=UTC)
COMBINE = Machine(id=UUID(int=1), name="Kestrel", kind=MachineKind.COMBINE)


def vocabulary_with(kinds: tuple[PartKind, ...]) -> Vocabulary:
    """Return the words of a farm whose one combine has one part of each of these kinds."""
    fitted = tuple(
        Component(id=UUID(int=100 + at), machine_id=COMBINE.id, part_kind_id=kind.id, place="", positions=1)
        for at, kind in enumerate(kinds)
    )
    known = KnownNames(machines=(COMBINE,), components=fitted, part_kinds=STARTING_KINDS)
    return vocabulary_of(known, {}, COMBINE.id)


def test_a_kind_is_meant_by_its_name_and_by_each_of_its_words_alone():
    """ "u-joint" is a universal joint even where a steering joint and a ball joint sit beside it, singular and plural."""
    kinds = build(vocabulary_with(STARTING_KINDS)).kinds
    for kind in STARTING_KINDS:
        for said in (kind.name, *kind.words):
            assert kinds[words_of(said)].called == {kind.id}, said


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("belt 1", "main drive belt"),
        ("drive belt", "main drive belt"),
        ("bearing", "bearing"),
        ("chain", "drive chain"),
        ("sprocket", "feeder sprocket"),
        ("pump", "lift pump"),
        ("clutch", "slip clutch"),
        ("blade", "chopper blades"),
        ("joint", "universal joint"),
        ("gearbox", "gearbox seal"),
        ("vane", "spreader vane"),
        ("filter", "air filter"),
    ],
)
def test_a_short_word_means_the_one_part_of_that_name_on_the_machine(said, name):
    """The kinds that sit on no machine take no word away from the one that does."""
    one = tuple(kind for kind in STARTING_KINDS if kind.name in (name, "knife section"))
    understood = understand(f"Kestrel {said} broken", vocabulary_with(one), NOW)
    assert understood.problems == ()
    assert understood.component.kind == name
