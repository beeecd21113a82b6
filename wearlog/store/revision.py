"""The shapes that the tables have had, read off the names of the migrations, and the step from each to the next.

What a version of an older revision says is brought to today's shape by one pure step for each migration, chained. A step stands in
its migration as `lift` and is never changed: it must mean for ever what it meant when it was released. So it knows nothing of
today's facts, only the JSON that a version of the revision before held. A migration is loaded only where something older is met.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from importlib.util import module_from_spec, spec_from_file_location
from typing import Any, Final, TypeAlias

from wearlog.settings import shipped

#: stands in the header of every file of ours ("WEAR"); SQLite keeps it at byte 68
APPLICATION_ID: Final = 0x57454152

#: what a row of a table said, as JSON holds it
Content: TypeAlias = dict[str, Any]

Lift: TypeAlias = Callable[[str, Content], Content]

_MIGRATIONS: Final = {
    named[1]: file
    for file in sorted(shipped("migrations").joinpath("versions").iterdir())
    if (named := re.fullmatch(r"(\d{4})_\w+\.py", file.name))
}

#: every revision there has been, oldest first; the last is what this program reads and writes
REVISIONS: Final = tuple(_MIGRATIONS)
HEAD: Final = REVISIONS[-1]


@cache
def step_to(revision: str) -> Lift:
    """Return the step that leads to a revision from the one before it, as its migration has it."""
    spec = spec_from_file_location(f"migration_{revision}", _MIGRATIONS[revision])
    assert spec is not None
    assert spec.loader is not None
    migration = module_from_spec(spec)
    spec.loader.exec_module(migration)
    step: Lift = migration.lift
    return step


def lifted(table: str, content: Content, revision: str) -> Content:
    """Return what a version of an older revision says in the shape of the newest.

    Raises
    ------
    ValueError
        When the revision is not one of this program's.
    """
    for step in REVISIONS[REVISIONS.index(revision) + 1 :] if revision in REVISIONS else _unknown(revision):
        content = step_to(step)(table, content)
    return content


def _unknown(revision: str) -> tuple[str, ...]:
    raise ValueError(f"revision {revision} is not known to this program")
