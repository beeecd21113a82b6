"""Two laptops, one log: packing what this copy has, looking at what a bundle would bring, and taking it.

How far each other copy knew every device is remembered beside the log, on the device: it says nothing about the farm, and is only
used to leave out of a bundle what the other has already. Whoever takes such a bundle looks whether that is so.
"""

from __future__ import annotations

import json
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from wearlog.collecting import no_collecting
from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.exchange.bundle_file import Bundle, bundle_lines, read_bundle, write_bundle
from wearlog.exchange.bundle_lines import BundleHead, head_line, read_reach, written_reach
from wearlog.progress import stretch
from wearlog.settings import settings_folder, write_private
from wearlog.store.telling import Reach, count_versions, deeds_lacking, is_short_of, reach_of, with_versions
from wearlog.store.union import Union, known_deeds, take_in, unite

if TYPE_CHECKING:
    from wearlog.store.connection import Connection
    from wearlog.store.opening import Store


#: the share of a merge's time that looking at what comes takes
_UNITED: Final = 0.4

#: a clock that is further ahead than this is told: what comes after is recorded after it
_AHEAD: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Packed:
    """A bundle that was written."""

    file: Path
    entries: int
    versions: int
    size: int
    replaced: bool


@dataclass(frozen=True, slots=True)
class MergeAhead:
    """What a bundle brings: the entries that this log lacks by device, those that changed what was changed here too, and oddities.

    Attributes
    ----------
    packed_by : str
        The device that packed the bundle; the entries may be of other devices too.
    rows : int
        How many rows come in or change.
    apart : int
        Rows that stand in two ways afterwards.
    ahead : timedelta or None
        How far the latest entry lies in the future by this machine's clock, where that is more than a day.
    same_name : bool
        Entries come from a copy whose device has this device's name.
    """

    packed_by: str
    packed_at: datetime
    entries: int
    by_device: tuple[tuple[str, int], ...]
    touching: tuple[str, ...]
    rows: int
    apart: int
    ahead: timedelta | None
    same_name: bool


def pack(store: Store, file: Path, *, since: str = "") -> Packed:
    """Write all deeds of a log into a bundle, or those that the copy on another device lacks.

    Raises
    ------
    NotFoundError
        When nothing is known of that device.
    RefusedError
        When there is a file of another kind, or a bundle with entries that this log lacks.
    ConflictError
        When the log is damaged.
    """
    reach = _since(store, since)
    replaced = file.exists() or file.is_symlink()
    if replaced:
        _look_at_older(store, file)
    with store.reading() as connection:
        deeds = deeds_lacking(connection, reach)
        versions = count_versions(connection, deeds)
        head = BundleHead(store.device, datetime.now(UTC), len(deeds), versions, reach_of(connection), reach)
        size = write_bundle(file, bundle_lines(head_line(head), with_versions(connection, deeds)))
    return Packed(file, len(deeds), versions, size, replaced)


def _since(store: Store, device: str) -> Reach:
    if not device:
        return {}
    if device == store.device:
        raise UsageError(f"'{device}' is this device itself.", "Name the other one.")
    known = known_copies(store.location.name)
    if device not in known:
        others = ", ".join(f"'{one}'" for one in sorted(known)) or "none"
        raise NotFoundError(
            f"What '{device}' has is not known here: no bundle of it was merged yet (known: {others}).",
            "Pack without --since: the other takes what it lacks.",
        )
    return known[device]


def _look_at_older(store: Store, file: Path) -> None:
    """An older bundle may be replaced when all that is in it is in this log."""
    try:
        older = read_bundle(file)
    except RefusedError as error:
        raise RefusedError(f"There is a file {file} already. {error.message}", "Name another, or remove it.") from error
    with store.reading() as connection:
        missing = len(older.deeds) - len(known_deeds(connection, older.deeds))
    if missing:
        raise RefusedError(
            f"{file} is a bundle from '{older.head.device}' with {missing:,} entries that this log lacks.",
            f"'wearlog merge {file}' first, or name another file.",
        )


def look_at(store: Store, bundle: Bundle) -> MergeAhead:
    """Say what a bundle would bring; writes nothing. Errors as `merge`."""
    with no_collecting(), store.reading() as connection:
        return _ahead(store, bundle, _united(connection, bundle))


def merge(store: Store, bundle: Bundle) -> MergeAhead:
    """Take what this log lacks out of a bundle: all of it, or nothing.

    Raises
    ------
    RefusedError, ConflictError
        When it builds on what this log lacks, or says other things of what is in both.
    """
    with no_collecting(), store.writing() as connection:
        with stretch(last=_UNITED):
            union = _united(connection, bundle)
        with stretch(first=_UNITED):
            take_in(connection, union)
    remember_copy(store.location.name, bundle.head.device, bundle.head.knew)
    return _ahead(store, bundle, union)


def _united(connection: Connection, bundle: Bundle) -> Union:
    if is_short_of(connection, bundle.head.since):
        raise RefusedError(
            f"{bundle.name} leaves out entries that this log lacks.",
            "Nothing was taken. Have the other laptop pack all it has, without --since.",
        )
    return unite(connection, bundle.deeds)


def _ahead(store: Store, bundle: Bundle, union: Union) -> MergeAhead:
    fresh = union.fresh
    by_device = Counter(one.deed.device for one in fresh)
    ahead = fresh[-1].deed.recorded_at - datetime.now(UTC) if fresh else timedelta(0)
    return MergeAhead(
        packed_by=bundle.head.device,
        packed_at=bundle.head.made_at,
        entries=len(fresh),
        by_device=tuple(sorted(by_device.items(), key=lambda one: (-one[1], one[0]))),
        touching=tuple(one.deed.said for one in union.touching),
        rows=len(union.new_rows) + len(union.changed_rows),
        apart=len(union.apart),
        ahead=ahead if ahead > _AHEAD else None,
        same_name=store.device in by_device and bundle.head.device == store.device,
    )


def known_copies(log: str) -> dict[str, Reach]:
    """Return by device what is known of the other copies of a log; a missing or spoilt file knows nothing."""
    found: dict[str, Reach] = {}
    for device, reach in _kept().get(log, {}).items():
        try:
            found[device] = read_reach(reach)
        except (ValueError, TypeError, AttributeError):
            continue
    return found


def remember_copy(log: str, device: str, reach: Reach) -> None:
    """Keep how far a copy knew every device. Where that cannot be written it is forgotten, and nothing else is lost."""
    kept = _kept()
    mine = kept.setdefault(log, {})
    before = known_copies(log).get(device, {})
    if _adds_nothing(reach, before):
        return
    mine[device] = written_reach(
        {**before, **{one: max(its, before.get(one, its), key=_when) for one, its in reach.items()}}
    )
    with suppress(OSError):
        write_private(_file(), json.dumps(kept, indent=1) + "\n")


def _adds_nothing(reach: Reach, before: Reach) -> bool:
    return all(one in before and _when(its) <= _when(before[one]) for one, its in reach.items())


def _when(reached: tuple[int, datetime]) -> datetime:
    return reached[1]


def _file() -> Path:
    return settings_folder() / "copies.json"


def _kept() -> dict[str, dict[str, Any]]:
    try:
        kept = json.loads(_file().read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return {log: its for log, its in kept.items() if isinstance(its, dict)} if isinstance(kept, dict) else {}
