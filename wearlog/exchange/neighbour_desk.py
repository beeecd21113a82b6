"""Taking neighbours' files into the log and writing this farm's own: what command and screen both do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from wearlog.exchange.neighbour_file import read_neighbour_files, read_neighbour_server, write_neighbour_file
from wearlog.facts.neighbours import FarmSums, NeighbourLife
from wearlog.logbook.farm.neighbouring import keep_neighbours, own_number, wrote
from wearlog.logbook.saving import Done
from wearlog.present.wear.neighbour_sheet import read_sentences
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.wear.neighbours import ToShare, learned_from
from wearlog.store.connection import Connection
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class NeighboursRead:
    """What was read, in sentences, and the entry it became; None where nothing was new."""

    lines: tuple[str, ...]
    done: Done | None


def read_into_log(store: Store, paths: Sequence[Path], now: datetime, *, server: str = "") -> NeighboursRead:
    """Read files of neighbours' lives and keep what is new; without a file learn the guesses anew. Errors as of the file.

    `server` names a database into which farms write, in place of files.
    """
    found = read_neighbour_files(paths) if not server else read_neighbour_server(server)

    def learn(connection: Connection, sums: Sequence[FarmSums]) -> list[NeighbourLife]:
        pools = learned_from(sums, farm_from(connection, now))
        return [pool.life for pool in pools if pool.life is not None]

    kept = keep_neighbours(store, found.sums, learn)
    if not paths and not server:
        return NeighboursRead(
            () if kept.done else ("The guesses in use are what was learned; nothing is to be done.",), kept.done
        )
    lines = read_sentences(len(kept.farms), found.rows, kept.older, found.refused, found.refused_rows, own=kept.own)
    return NeighboursRead(tuple(lines), kept.done)


def write_own_lives(store: Store, path: Path, found: ToShare, *, only_sums: bool) -> NeighboursRead:
    """Write this farm's lives under its number and the next issue. Errors as of the file; then nothing is noted either."""
    with store.reading() as connection:
        own = own_number(connection)
    others = write_neighbour_file(path, own.farm, own.issue, found.shared, only_sums=only_sums)
    done = wrote(store, own)
    beside = f", beside {others:,} rows of other farms" if others else ""
    return NeighboursRead((f"Written: {path}{beside}. Issue {own.issue} of farm {own.farm[:8]}...",), done)
