"""What stands of a row that was written on two laptops: equal sayings are one, differing ones stand beside each other."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from wearlog.store.ledger import VersionNode, ancestry, standing_heads

BEGIN = datetime(2026, 7, 20, tzinfo=UTC)


def version(number: int, says: str, *after: int, at: int | None = None) -> VersionNode:
    """A version with a number for its id, recorded so many minutes after the beginning."""
    minutes = number if at is None else at
    return VersionNode(
        UUID(int=number), tuple(UUID(int=one) for one in after), BEGIN + timedelta(minutes=minutes), says
    )


def sides(*nodes: VersionNode) -> list[tuple[int, list[int]]]:
    """Return each head as its own number and the numbers of all that say it."""
    return [(head.version_id.int, [one.int for one in head.version_ids]) for head in standing_heads(nodes)]


def test_a_row_of_one_laptop_has_its_last_version() -> None:
    assert sides(version(1, "a"), version(2, "b", 1), version(3, "a", 2)) == [(3, [3])]


def test_what_was_changed_apart_stands_beside_each_other_and_the_later_is_shown() -> None:
    assert sides(version(1, "a"), version(2, "b", 1), version(3, "c", 1)) == [(3, [3]), (2, [2])]
    assert sides(version(1, "a"), version(2, "b", 1, at=9), version(3, "c", 1)) == [(2, [2]), (3, [3])]


def test_of_equal_times_the_greater_id_is_shown() -> None:
    assert sides(version(1, "a"), version(2, "b", 1, at=5), version(3, "c", 1, at=5)) == [(3, [3]), (2, [2])]


def test_one_sheet_imported_on_two_laptops_is_one_head() -> None:
    assert sides(version(1, "a"), version(2, "a")) == [(2, [1, 2])]


def test_an_edit_after_the_one_import_follows_the_other_import_too() -> None:
    assert sides(version(1, "a"), version(2, "a", at=99), version(3, "b", 1)) == [(3, [3])]


def test_the_same_edit_made_twice_is_one_and_what_follows_the_one_follows_the_other() -> None:
    made_twice = (version(1, "a"), version(2, "b", 1), version(3, "b", 1))
    assert sides(*made_twice) == [(3, [2, 3])]
    assert sides(*made_twice, version(4, "c", 2)) == [(4, [4])]


def test_the_same_said_after_different_things_is_one_head_but_not_one_version() -> None:
    """Both sides came to "c" by themselves; who then goes on from the one has not seen that the other came to it by way of "x"."""
    apart = (version(1, "a"), version(2, "c", 1), version(3, "x", 1), version(4, "c", 3))
    assert sides(*apart) == [(4, [2, 4])]
    assert sides(*apart, version(5, "d", 2)) == [(5, [5]), (4, [4])]


def test_an_import_of_what_stood_once_does_not_bring_it_back() -> None:
    """A laptop that was begun from an export holds what the other said then; the other went on."""
    assert sides(version(1, "a"), version(2, "b", 1), version(3, "b", at=99), version(4, "c", 2)) == [(4, [4])]
    assert sides(version(1, "a"), version(2, "b", 1), version(3, "b", at=99)) == [(2, [2])]


def test_an_import_that_says_something_else_stands_beside() -> None:
    assert sides(version(1, "a"), version(2, "b", 1), version(3, "z")) == [(3, [3]), (2, [2])]


def test_a_version_that_follows_both_settles() -> None:
    assert sides(version(1, "a"), version(2, "b", 1), version(3, "c", 1), version(4, "b", 2, 3)) == [(4, [4])]


def test_an_edit_of_what_is_shown_leaves_the_other_side_standing() -> None:
    assert sides(version(1, "a"), version(2, "b", 1), version(3, "c", 1), version(4, "d", 3)) == [(4, [4]), (2, [2])]


def test_who_wrote_on_a_version_knew_what_that_followed() -> None:
    nodes = [version(1, "a"), version(2, "b", 1), version(3, "c", 1), version(4, "d", 2)]
    assert {one.id.int for one in ancestry(nodes, [UUID(int=4)])} == {1, 2, 4}


@st.composite
def graphs(draw: st.DrawFn) -> list[VersionNode]:
    """A few versions, each after some of those before it, saying one of three things, at times that may be equal."""
    nodes: list[VersionNode] = []
    for number in range(1, draw(st.integers(1, 7)) + 1):
        after = draw(st.sets(st.integers(1, number - 1), max_size=2)) if number > 1 else set()
        earliest = max((nodes[one - 1].at for one in after), default=BEGIN)
        at = earliest + timedelta(minutes=draw(st.integers(1, 3)))
        nodes.append(
            VersionNode(
                UUID(int=number), tuple(UUID(int=one) for one in sorted(after)), at, draw(st.sampled_from("abc"))
            )
        )
    return nodes


@given(graphs(), st.randoms(use_true_random=False))
def test_every_copy_with_the_same_versions_shows_the_same(nodes: list[VersionNode], chance: object) -> None:
    told = standing_heads(nodes)
    shuffled = list(nodes)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert standing_heads(shuffled) == told
    assert told
    assert len({head.version_ids for head in told}) == len(told)
    says = {one.id: one.says for one in nodes}
    assert len({says[head.version_id] for head in told}) == len(told)


@given(graphs())
def test_a_version_after_all_that_stand_settles_for_good(nodes: list[VersionNode]) -> None:
    unfollowed = {one.id for one in nodes} - {parent for one in nodes for parent in one.parents}
    last = VersionNode(UUID(int=99), tuple(sorted(unfollowed)), BEGIN + timedelta(days=1), "settled")
    assert [head.version_id for head in standing_heads([*nodes, last])] == [last.id]
