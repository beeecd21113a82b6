"""What two laptops changed apart, and what a bundle brings, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING, Any, Final
from uuid import UUID

from wearlog.facts.closed_lists import Doing
from wearlog.facts.plain_text import one_line
from wearlog.logbook.files.mending import LogFinding
from wearlog.present.digits import Measures
from wearlog.present.files.row_sheet import deed_row, sides_apart
from wearlog.present.words import counted
from wearlog.reckoning.files import RowApart, RowChange, RowNames, RowsApart, Side

if TYPE_CHECKING:
    from datetime import timedelta


#: after so many the rest is only counted
MOST_TOLD: Final = 50
#: so many letters of an id tell rows apart; the ends of ids are left to chance
_LETTERS: Final = 6
_POINTERS: Final = (
    *("component_id", "machine_id", "combine_id", "meter_id"),
    *("part_id", "part_kind_id", "service_item_id", "fault_id"),
)


def short_name(row_id: UUID) -> str:
    """Return what a command calls a row by: the end of its id."""
    return row_id.hex[-_LETTERS:]


def apart_headline(view: RowsApart) -> str:
    """Say how much is to be settled; empty where nothing is."""
    if not view.rows:
        return ""
    many = counted(len(view.rows), "row was", "rows were")
    return f"{many} changed apart on two laptops; of each the later is shown until one is kept."


def apart_lines(view: RowsApart) -> list[str]:
    """Return the headline, each row with its sides, and what to do; nothing where nothing is to be settled."""
    if not view.rows:
        return []
    measures = Measures(view.settings)
    lines = [apart_headline(view)]
    for row in view.rows[:MOST_TOLD]:
        lines.append(f"{short_name(row.row_id)}  {row_called(row, view.names)}")
        shown, *others = row.sides
        lines.append(f"  1 {_who(shown, measures)} (shown)")
        for number, side in enumerate(others, 2):
            lines.append(f"  {number} {_who(side, measures)}: {_difference(row, shown, side, view.names, measures)}")
    if len(view.rows) > MOST_TOLD:
        lines.append(f"and {len(view.rows) - MOST_TOLD:,} more")
    first = short_name(view.rows[0].row_id)
    return [
        *lines,
        f"'wearlog settle {first} --keep 2' keeps the second; 'wearlog settle --as-shown' keeps of all what is shown.",
    ]


def side_lines(row: RowApart, view: RowsApart, wide: int) -> list[str]:
    """Return the sides of a row beside each other in so many columns: who said it, when, and each field in which they differ."""
    measures = Measures(view.settings)
    told = [
        ("", tuple(f"{number} {one_line(side.device)}" for number, side in enumerate(row.sides, 1))),
        ("entered", tuple(measures.moment(side.at) for side in row.sides)),
        *sides_apart([side.fact for side in row.sides], view.names, measures),
        ("it said", tuple(one_line(side.said) for side in row.sides)),
    ]
    label = max(len(called) for called, _ in told)
    room = max(8, (wide - label) // len(row.sides) - 2)
    lines: list[str] = []
    for called, said in told:
        cells = [wrap(one, room) or [""] for one in said]
        for place in range(max(map(len, cells))):
            shown = [f"{cell[place] if place < len(cell) else '':<{room}}" for cell in cells]
            lines.append("  ".join([f"{called if place == 0 else '':<{label}}", *shown]).rstrip())
    return lines


def apart_json(view: RowsApart) -> list[dict[str, Any]]:
    """Return the rows with their sides."""
    measures = Measures(view.settings)
    return [
        {
            "row": row.row_id,
            "called": short_name(row.row_id),
            "table": row.table_name,
            "what": row_called(row, view.names),
            "sides": [
                {
                    "keep": number,
                    "device": side.device,
                    "recorded_at": side.at,
                    "said": side.said,
                    "shown": number == 1,
                    "differs": "" if number == 1 else _difference(row, row.sides[0], side, view.names, measures),
                }
                for number, side in enumerate(row.sides, 1)
            ],
        }
        for row in view.rows
    ]


def matching_rows(view: RowsApart, text: str) -> Sequence[RowApart]:
    """Return the rows that a short name (or a whole id) means."""
    wanted = text.replace("-", "").casefold()
    return [row for row in view.rows if wanted and row.row_id.hex.endswith(wanted)]


def _who(side: Side, measures: Measures) -> str:
    return one_line(f"{side.device}, {measures.time_said(side.at)}, '{side.said}'")


def _difference(row: RowApart, shown: Side, side: Side, names: RowNames, measures: Measures) -> str:
    change = RowChange(side.version_id, row.table_name, Doing.EDITED, side.fact, shown.fact)
    return deed_row(change, names, measures).about


def row_called(row: RowApart, names: RowNames) -> str:
    """Return what a row is called: "fitting: North, knife section, position 41"."""
    what, fact = row.table_name.replace("_", " "), row.sides[0].fact
    own = (
        getattr(fact, "name", "")
        or getattr(fact, "number", "")
        or getattr(fact, "key", "")
        or getattr(fact, "place", "")
    )
    pointers = [getattr(fact, name, None) for name in _POINTERS]
    pointed = next((names.names[one] for one in pointers if one is not None and one in names.names), "")
    position = getattr(fact, "position", None)
    said = ", ".join(one for one in (pointed, str(own), f"position {position}" if position is not None else "") if one)
    return one_line(f"{what}: {said}" if said else what)


#: after so many the rest is only counted
MOST_BROUGHT_TOLD: Final = 20


def entries_from(by_device: Sequence[tuple[str, int]], touching: int) -> list[str]:
    """Say "from 'cab 2': 14 entries, 2 touch the same part", a line for each device."""
    lines = [f"from '{one_line(device)}': {counted(count, 'entry', 'entries')}" for device, count in by_device]
    if lines and touching:
        lines[-1] += (
            f", {touching:,} {'touches' if touching == 1 else 'touch'} the same part" if len(lines) == 1 else ""
        )
    if len(lines) > 1 and touching:
        lines.append(f"{counted(touching, 'entry touches', 'entries touch')} what was changed here too")
    return lines


def clock_line(ahead: timedelta) -> str:
    """Say that a clock is ahead: whatever is entered here later will be recorded after it."""
    return f"its latest entry is dated {counted(ahead.days, 'day')} ahead of this machine's clock: set the one that is wrong."


def same_name_line(device: str) -> str:
    """Say that two laptops have one name: an undo would then take back the other's entry."""
    return (
        f"entries of another laptop carry this one's name '{one_line(device)}': give each its own (screens, ',' then This device), "
        "or 'undo' takes back the other's entry."
    )


def finding_lines(findings: Sequence[LogFinding]) -> list[str]:
    """Name each thing that does not go together, with what to do."""
    lines = [one_line(f"TO MEND: {one.message} {one.hint}") for one in findings[:MOST_BROUGHT_TOLD]]
    if len(findings) > MOST_BROUGHT_TOLD:
        lines.append(f"  and {len(findings) - MOST_TOLD:,} more")
    return lines


def findings_json(findings: Sequence[LogFinding]) -> list[dict[str, Any]]:
    """Return all of them as JSON."""
    return [{"message": one.message, "hint": one.hint, "row": one.row_id} for one in findings]
