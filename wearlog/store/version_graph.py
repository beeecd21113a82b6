"""What stands of a row that several laptops wrote to: a pure question about its versions and what each of them follows.

Every copy of a log that holds the same versions answers it alike, whatever the order in which they came; that is why copies end up
the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID


@dataclass(frozen=True, slots=True)
class VersionNode:
    """A version as far as it matters here: `says` is its content in the shape of this program, `at` when its deed was recorded."""

    id: UUID
    parents: tuple[UUID, ...]
    at: datetime
    says: str


@dataclass(frozen=True, slots=True)
class Head:
    """What one side says of a row: the version that said it last, and every version that says it and is followed by none."""

    version_id: UUID
    at: datetime
    version_ids: tuple[UUID, ...]


def standing_heads(versions: Iterable[VersionNode]) -> tuple[Head, ...]:
    """Return what stands of one row, the one to show first: one head, or several where it was changed apart.

    Versions that say the same after the same are one (a sheet imported on two laptops, an edit made twice): what follows the one
    follows the other. A first version that nobody built on and that says what another says is that one come in once more. Heads of
    equal content are one head. Among those that differ the one recorded last is shown; of equal times the greater id.

    Parameters
    ----------
    versions : iterable of VersionNode
        Every version of one row; each was recorded after those that it follows.
    """
    nodes = sorted(versions, key=lambda one: (one.at, one.id))
    keys = _keys(nodes)
    followed = {keys[parent] for one in nodes for parent in one.parents if parent in keys}
    said_by: dict[str, set[int]] = defaultdict(set)
    for one in nodes:
        said_by[one.says].add(keys[one.id])
    sides: dict[str, list[VersionNode]] = defaultdict(list)
    for one in nodes:
        come_in_again = not one.parents and len(said_by[one.says]) > 1
        if keys[one.id] not in followed and not come_in_again:
            sides[one.says].append(one)
    heads = [Head(its[-1].id, its[-1].at, tuple(sorted(one.id for one in its))) for its in sides.values()]
    return tuple(sorted(heads, key=lambda head: (head.at, head.version_id), reverse=True))


def _keys(nodes: Sequence[VersionNode]) -> dict[UUID, int]:
    """Number the versions so that those that say the same after the same have one number."""
    numbers: dict[tuple[str, frozenset[int]], int] = {}
    keys: dict[UUID, int] = {}
    for one in nodes:
        after = frozenset(keys[parent] for parent in one.parents if parent in keys)
        keys[one.id] = numbers.setdefault((one.says, after), len(numbers))
    return keys


def ancestry(versions: Iterable[VersionNode], of: Iterable[UUID]) -> list[VersionNode]:
    """Return the versions named and all that they follow: the row as whoever wrote upon them knew it."""
    by_id = {one.id: one for one in versions}
    found: dict[UUID, VersionNode] = {}
    waiting = list(of)
    while waiting:
        version_id = waiting.pop()
        if version_id in by_id and version_id not in found:
            found[version_id] = by_id[version_id]
            waiting += by_id[version_id].parents
    return list(found.values())
