"""The tables of lines with the reading that is right, and how far a reading agrees with them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final
from zoneinfo import ZoneInfo

from wearlog.logbook.plain_line import FarmWords, Heard, HeardEntry, LineVerdict, hear, phrases_of

#: ten in the evening of the day on which the story of the demo fleet ends
NOW: Final = datetime(2026, 11, 20, 22, 0, tzinfo=ZoneInfo("America/Chicago"))
_HERE: Final = Path(__file__).parent


@dataclass(frozen=True)
class Wanted:
    """A line and the rows that say what it means."""

    said: str
    verdict: str
    rows: tuple[dict[str, str], ...]


@dataclass(frozen=True)
class Judged:
    """How a line was read: right, asked (where it could be understood) or wrong; and what differs."""

    wanted: Wanted
    outcome: str
    differs: tuple[str, ...]


def wanted_lines(name: str) -> list[Wanted]:
    """Return the lines of a table, those of several rows as one."""
    rows = [row for row in (_HERE / name).read_text("utf-8").splitlines() if row and not row.startswith("# ")]
    heading = rows[0].split("\t")
    by_line: dict[str, list[dict[str, str]]] = {}
    for row in rows[1:]:
        cells = dict(zip(heading, row.split("\t"), strict=True))
        by_line.setdefault(cells["said"], []).append(cells)
    return [Wanted(said, found[0]["verdict"], tuple(found)) for said, found in by_line.items()]


def judge(name: str, farm: FarmWords) -> tuple[list[Judged], dict[str, Counter[str]]]:
    """Read a whole table; return each line's judgement, and how many of each verdict were right, asked and wrong."""
    phrases = phrases_of(farm)
    judged = [_judge(one, hear(one.said, farm, NOW, phrases), farm) for one in wanted_lines(name)]
    shares: dict[str, Counter[str]] = {}
    for one in judged:
        shares.setdefault(one.wanted.verdict, Counter())[one.outcome] += 1
    return judged, shares


def table_of(shares: dict[str, Counter[str]]) -> str:
    """Return the shares as a small table to print."""
    total: Counter[str] = sum(shares.values(), Counter())
    rows = [*shares.items(), ("all", total)]
    return "\n".join(
        f"{verdict:9} right {one['right']:4} asked {one['asked']:3} wrong {one['wrong']:3}  {one['right'] / one.total():6.1%}"
        for verdict, one in rows
    )


def _judge(wanted: Wanted, heard: Heard, farm: FarmWords) -> Judged:
    if heard.verdict.value != wanted.verdict:
        outcome = "asked" if heard.verdict is LineVerdict.QUESTION else "wrong"
        return Judged(wanted, outcome, (f"{heard.verdict.value}, not {wanted.verdict}: {heard.question}",))
    if wanted.verdict == "question":
        return Judged(wanted, "right" if heard.question and heard.hint else "wrong", ())
    # of several machines the log has its own order
    found = sorted(heard.entries, key=_machine) if len({_machine(one) for one in heard.entries}) > 1 else heard.entries
    rows = sorted(wanted.rows, key=lambda row: row["machine"]) if found is not heard.entries else wanted.rows
    differs = [f"{len(found)} entries, not {len(rows)}"] if len(found) != len(rows) else []
    for entry, row in zip(found, rows, strict=False):
        differs += _differs(entry, row, farm)
    return Judged(wanted, "wrong" if differs else "right", tuple(differs))


def _machine(entry: HeardEntry) -> str:
    return entry.machine.name if entry.machine is not None else "-"


def _differs(entry: HeardEntry, row: dict[str, str], farm: FarmWords) -> list[str]:
    said = {
        "machine": _machine(entry),
        "kind": entry.kind or "-",
        "positions": ",".join(map(str, entry.positions)) or "-",
        "cause": entry.cause.value if entry.cause else "-",
        "mode": entry.sign.value if entry.sign else entry.mode.value if entry.mode else "-",
        "action": entry.action.value if entry.action else "-",
        "stood_minutes": "-" if entry.stood_seconds is None else str(entry.stood_seconds // 60),
        "labour_minutes": "-" if entry.labour_seconds is None else str(entry.labour_seconds // 60),
        "amount": entry.amount or "-",
    }
    wanted = dict(row)
    if row["positions"] == "all" and entry.component is not None:
        wanted["positions"] = ",".join(str(one + 1) for one in range(entry.component.positions))
    # of what is not judged a dash stands in the table
    judged = [
        name
        for name in said
        if wanted[name] != "-" or name in ("positions", "stood_minutes", "labour_minutes", "amount")
    ]
    return [f"{name} {said[name]}, not {wanted[name]}" for name in judged if said[name] != wanted[name]]
