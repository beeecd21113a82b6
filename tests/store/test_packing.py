"""The content of versions, packed: it comes back to the letter, each alone, and what is damaged is refused."""

from __future__ import annotations

import zlib
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import any_fact, one_of_each
from wearlog.facts.fact import Fact
from wearlog.store.content import content_of
from wearlog.store.packing import MOST_BYTES, WORDS, packed, unpacked
from wearlog.store.schema import FACT_OF_TABLE, table_of


@given(any_fact())
def test_any_content_comes_back_to_the_letter(fact: Fact) -> None:
    table = table_of(fact).name
    assert unpacked(table, packed(table, content_of(fact))) == content_of(fact)


@given(st.text(st.characters(codec="utf-8"), max_size=3_000))
def test_any_text_of_a_table_without_words_comes_back(text: str) -> None:
    assert unpacked("a_later_table", packed("a_later_table", text)) == text


def test_every_table_has_its_words_and_no_row_of_them_grows() -> None:
    assert set(WORDS) == set(FACT_OF_TABLE)
    for fact in one_of_each():
        table, content = table_of(fact).name, content_of(fact)
        assert len(packed(table, content)) < 0.85 * len(content.encode())


def test_the_form_never_changes() -> None:
    """Bytes written once, by hand of the library alone: a version packed today must open in twenty years."""
    words = WORDS["setting"].encode()
    packer = zlib.compressobj(9, zlib.DEFLATED, -10, 9, 0, words)
    old = b"\x01" + packer.compress(b'{"key":"units"}') + packer.flush()
    assert unpacked("setting", old) == '{"key":"units"}'
    assert WORDS["setting"] == '{"content":"","id":"019d","key":"","voided":false}'


@pytest.mark.parametrize(
    "spoil",
    [lambda b: b[:-2], lambda b: b + b"x", lambda b: b"\x02" + b[1:], lambda _: b"\x01", lambda _: b""],
    ids=["cut off", "more behind", "another form", "nothing but the form", "nothing"],
)
def test_what_is_damaged_is_refused(spoil: Callable[[bytes], bytes]) -> None:
    with pytest.raises(ValueError, match=r"damaged|form"):
        unpacked("setting", spoil(packed("setting", '{"key":"units","content":"metric"}')))


def test_what_would_fill_the_memory_is_refused() -> None:
    bomb = packed("setting", " " * (MOST_BYTES + 1))
    assert len(bomb) < 10_000
    with pytest.raises(ValueError, match="longer than any entry"):
        unpacked("setting", bomb)
