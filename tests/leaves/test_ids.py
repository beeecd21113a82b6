"""Row ids: their bits by RFC 9562, their order, and the derived ones."""

from __future__ import annotations

import threading
import time
from uuid import RFC_4122, UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wearlog import ids
from wearlog.ids import derived_id, new_id

WORDS = st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\x1f")), min_size=1)


def test_a_new_id_is_a_uuid_of_version_7_of_this_moment() -> None:
    """48 bits of Unix milliseconds first, then version 7, then the variant (RFC 9562, 5.7)."""
    before = time.time_ns() // 1_000_000
    made = new_id()
    after = time.time_ns() // 1_000_000
    assert (made.version, made.variant) == (7, RFC_4122)
    # ids made in a burst run ahead of the clock by less than a millisecond for every 4,096 of them
    assert before <= made.int >> 80 <= after + 1_000


def test_ids_sort_in_the_order_they_were_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also when the clock stands still or is set back, and as bytes, which is how the file compares them."""
    told = iter([5_000_000_000_000_000_000] * 5_000 + [4_000_000_000_000_000_000] * 5_000)
    monkeypatch.setattr(ids, "_last", 0)
    monkeypatch.setattr(ids.time, "time_ns", lambda: next(told))
    made = [new_id() for _ in range(10_000)]
    assert made == sorted(made)
    assert [one.bytes for one in made] == sorted(one.bytes for one in made)
    assert len(set(made)) == 10_000
    assert {(one.version, one.variant) for one in made} == {(7, RFC_4122)}
    assert made[0].int >> 80 == 5_000_000_000_000


def test_threads_never_make_the_same_stamp_twice() -> None:
    made: list[UUID] = []

    def make() -> None:
        made.extend(new_id() for _ in range(2_000))

    threads = [threading.Thread(target=make) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len({one.int >> 64 for one in made}) == 8_000


def test_a_derived_id_never_changes() -> None:
    """The same row imported on another laptop, years later, gets the same id.

    From SHA-256("machine" 0x1F "north") = ff595d536e1fe2e1d9279cefca8e1089...
    """
    assert str(derived_id("machine", "north")) == "ff595d53-6e1f-82e1-9927-9cefca8e1089"


@given(WORDS)
def test_a_derived_id_is_a_uuid_of_version_8(words: list[str]) -> None:
    made = derived_id(*words)
    assert (made.version, made.variant) == (8, RFC_4122)
    assert made == derived_id(*words)


@given(WORDS, WORDS)
def test_other_words_give_another_id(words: list[str], others: list[str]) -> None:
    """Words are kept apart: ("ab", "c") is not ("a", "bc")."""
    assert (derived_id(*words) == derived_id(*others)) == (words == others)


def test_words_are_kept_apart() -> None:
    assert derived_id("ab", "c") != derived_id("a", "bc")
