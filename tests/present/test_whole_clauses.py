"""Words that find no room in a list end with a whole clause, and are cut with a sign only where not even the first fits."""

from __future__ import annotations

import pytest

from wearlog.present.tables import whole_clauses, width

SAID = "Kestrel: knife sections 41-43 broke, rock (a stone); replaced and noted"


@pytest.mark.parametrize(
    ("wide", "told"),
    [
        (80, SAID),
        (len(SAID), SAID),
        (len(SAID) - 1, "Kestrel: knife sections 41-43 broke, rock (a stone); replaced"),
        (60, "Kestrel: knife sections 41-43 broke, rock (a stone)"),
        (45, "Kestrel: knife sections 41-43 broke, rock"),
        (40, "Kestrel: knife sections 41-43 broke"),
        (20, "Kestrel"),
        # not even the first clause: whoever draws it cuts it with a sign
        (6, SAID),
    ],
)
def test_words_end_with_a_whole_clause(wide: int, told: str) -> None:
    assert whole_clauses(SAID, wide) == told


def test_a_heading_without_what_it_heads_is_not_told_where_more_fits() -> None:
    assert whole_clauses("key: units, content: us", 19) == "key: units"


def test_what_stands_before_the_first_colon_is_a_clause() -> None:
    assert whole_clauses("clean grain and tailings augers: flighting", 34) == "clean grain and tailings augers"


def test_wide_characters_count_twice() -> None:
    found = whole_clauses("農場, 場, 場", 7)
    assert found == "農場"
    assert width(found) == 4


def test_one_word_and_nothing_stay_as_they_are() -> None:
    assert whole_clauses("", 4) == ""
    assert whole_clauses("separator", 4) == "separator"
