"""A version from elsewhere that is plainly ours is looked at in one pass: no more passes so than one thing after the other."""

from __future__ import annotations

import json
from typing import Any
from uuid import UUID

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tests.strategies import any_fact, one_of_each
from wearlog.facts.bookkeeping import Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import acts_on_a_terminal
from wearlog.facts.work import PlanChoice
from wearlog.ids import derived_id
from wearlog.store.content import canonical, content_of
from wearlog.store.revision import HEAD
from wearlog.store.schema import table_of
from wearlog.store.telling import asked_about, plain_fact

#: what stands nowhere, or stands in another form than wearlog writes
STRANGE: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1.0, 1.5, 2**63, -(2**63) - 1, float("nan"), float("inf")),
    *("", "x", "1", "\x1b[2J", "\u202e", "combine", "entered", "2026-07-28", "2026-7-28", "20260728"),
    *([], [None], ["\x1b"], [1, 1.0], [[]], {}, {"a": 1}),
    *("2026-07-28T16:20:00+00:00", "2026-07-28T18:20:00.000000+02:00", "2026-07-28T16:20:00.000000"),
    *("2026-07-28T16:20:00.000000Z", "2026-07-28T24:00:00.000000+00:00"),
    *(
        "019D0000-0000-7000-8000-000000000000",
        "019d000000007000800000000000000",
        "019d0000-0000-7000-8000-000000000000\n",
    ),
    "{019d0000-0000-7000-8000-000000000000}",
)


def version_of(fact: Fact, content: str, row_id: UUID | None = None) -> Version:
    return Version(
        id=derived_id("version"),
        deed_id=derived_id("deed"),
        row_id=fact.id if row_id is None else row_id,
        table_name=table_of(fact).name,
        doing=Doing.ENTERED,
        revision=HEAD,
        content=content,
        digest="",
    )


def both_agree(version: Version) -> None:
    found = plain_fact(version)
    if found is not None:
        assert asked_about(version) == found


@given(any_fact())
def test_what_we_write_passes_at_once(fact: Fact) -> None:
    version = version_of(fact, content_of(fact))
    if acts_on_a_terminal(version.content) or "\\" in version.content:
        both_agree(version)
    else:
        assert plain_fact(version) == asked_about(version)


@pytest.mark.parametrize("fact", one_of_each(), ids=lambda fact: table_of(fact).name)
def test_nothing_passes_at_once_that_is_refused_otherwise(fact: Fact) -> None:
    """Every field of every table with every strange value, fields left out and added, and other ways to write the same."""
    content = json.loads(content_of(fact))
    for name in content:
        for value in STRANGE:
            both_agree(version_of(fact, canonical({**content, name: value})))
        left = {key: value for key, value in content.items() if key != name}
        assert plain_fact(version_of(fact, canonical(left))) is None
        assert plain_fact(version_of(fact, canonical({**left, f"{name}_": content[name]}))) is None
    assert plain_fact(version_of(fact, canonical({**content, "more": 1}))) is None
    assert plain_fact(version_of(fact, json.dumps(content, sort_keys=True, ensure_ascii=False))) is None
    assert plain_fact(version_of(fact, content_of(fact), derived_id("another"))) is None
    written = content_of(fact)
    assert plain_fact(version_of(fact, written)) == fact
    assert plain_fact(version_of(fact, f'{{"id":"{fact.id}",{written[1:]}')) is None


@given(
    fact=any_fact(),
    place=st.integers(0),
    put=st.sampled_from(['"', ",", "0", "-", ".", " ", "{", "]", "\\u0041", "\x00", "e1"]),
)
@example(fact=one_of_each()[0], place=1, put=" ")
def test_a_character_more_anywhere_passes_in_neither_way_or_both(fact: Fact, place: int, put: str) -> None:
    written = content_of(fact)
    at = place % len(written)
    both_agree(version_of(fact, written[:at] + put + written[at:]))


def test_positions_that_are_none_are_no_entry() -> None:
    choice = next(one for one in one_of_each() if type(one) is PlanChoice)
    content = canonical({**json.loads(content_of(choice)), "positions": "../x"})
    with pytest.raises(ValueError, match="content that is no entry"):
        asked_about(version_of(choice, content))
