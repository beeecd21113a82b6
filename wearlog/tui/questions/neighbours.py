"""Questions about neighbours' lives: what they say and what this farm would write; reading, writing, forgetting them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from wearlog.tui.questions.deciding import Decided, answer_of, shown_once

if TYPE_CHECKING:
    from wearlog.tui.door import Door

#: the sections of the screen
THEIRS, OURS = "Their lives", "What you would write"


def neighbours_now(door: Door) -> Decided:
    """Read what other farms say of each kind, and what this farm would tell them."""
    from wearlog.present.digits import Measures
    from wearlog.present.wear.neighbour_sheet import pool_sheet, share_sheet
    from wearlog.reckoning.wear.neighbours import lives_to_share, pools_of

    with door.log.reading() as connection:
        farm = door.farm(connection)
        pools = pools_of(connection, farm)
    measures = Measures(farm.settings)
    theirs = pool_sheet(pools, measures)
    ours = share_sheet(lives_to_share(farm), measures, only_sums=False)
    if not ours.rows:
        ours = replace(ours, headline="", answer="")
    said = {THEIRS: answer_of(theirs), OURS: answer_of(ours)}
    sections = (shown_once(THEIRS, theirs), shown_once(OURS, ours))
    return Decided(theirs, "Neighbours", *said[THEIRS], sections, (), said, (ours,))


def read_neighbours(door: Door, path: str) -> str:
    """Read a file of other farms into the log, and say what became of it."""
    from wearlog.exchange.neighbour_desk import read_into_log

    found = read_into_log(door.log, [Path(path).expanduser()], door.now())
    return f"{' '.join(found.lines)} u takes it back." if found.done else " ".join(found.lines)


def write_for_neighbours(door: Door, path: str, *, only_sums: bool) -> str:
    """Write this farm's lives without names, and say where they are."""
    from wearlog.errors import RefusedError
    from wearlog.exchange.neighbour_desk import write_own_lives
    from wearlog.reckoning.wear.neighbours import lives_to_share

    with door.log.reading() as connection:
        found = lives_to_share(door.farm(connection))
    if not found.shared:
        raise RefusedError("No kind has five lives of known age yet.", "There is nothing to write.")
    return " ".join(write_own_lives(door.log, Path(path).expanduser(), found, only_sums=only_sums).lines)


def forget_all(door: Door) -> str:
    """Take back all that was read of other farms."""
    from wearlog.logbook.farm.neighbouring import forget_neighbours

    return f"{forget_neighbours(door.log).said.capitalize()}. u brings them back."
