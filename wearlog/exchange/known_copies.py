"""What this device remembers of the other copies of a log: how far each knew every device when it last packed a bundle.

It lies with the device and not in the log: it says nothing about the farm, and is only used to leave out of a bundle what the other
has already. Whoever takes such a bundle looks whether that is so.
"""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from wearlog.exchange.bundle_lines import read_reach, written_reach
from wearlog.places import settings_folder, write_private
from wearlog.store.telling import Reach


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
