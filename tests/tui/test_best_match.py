"""Finding puts the best match first: the whole name, then what begins so, then a word that does, then what has it within."""

from __future__ import annotations

from wearlog.tui.widgets.best_match import MatchSource
from wearlog.tui.widgets.list_rows import ListColumn, ListOrder, ListRow

NAMES = (
    "left guard plate",
    "wire the knife guards",
    "safeguard",
    "guards",
    "plate of the guard left",
    "Guard",
    "knife",
)
SOURCE = MatchSource((ListColumn("name", 20, 80),), [ListRow(name, (name, "")) for name in NAMES])


def found(words: str) -> list[str]:
    return [row.cells[0] for row in SOURCE.filtered(ListOrder(words=words))]


def test_the_best_match_stands_first_and_like_matches_keep_their_order() -> None:
    assert found("guard") == [
        *("Guard", "guards"),
        *("left guard plate", "wire the knife guards", "plate of the guard left"),
        "safeguard",
    ]


def test_words_in_another_order_are_found_behind_those_in_theirs() -> None:
    assert found("guard left") == ["plate of the guard left", "left guard plate"]


def test_nothing_typed_leaves_the_order_as_it_is() -> None:
    assert found(" ") == list(NAMES)
