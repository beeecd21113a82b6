"""A notebook as it was understood: its columns, its rows, what would be saved, what has to be asked; for a person and as JSON."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any, Final

from wearlog.logbook.notebook.note_entry import SAVES_NOTHING, Means
from wearlog.present.words import counted
from wearlog.units import from_stored

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from wearlog.logbook.lines.notebook_offers import Offer
    from wearlog.logbook.lines.notebook_saving import NotebookBrought
    from wearlog.logbook.notebook.columns import BookColumn, TableSeen
    from wearlog.logbook.notebook.note_entry import NoteEntry, NoteRow
    from wearlog.logbook.notebook.understanding import Notebook

_SCHEMA: Final = 1
#: so many rows of each sort are shown as understood
_FIRST: Final = 3


def notebook_json(
    notebook: Notebook,
    file: str,
    known: Collection[str] = (),
    brought: NotebookBrought | None = None,
    offers: Sequence[Offer] = (),
) -> dict[str, Any]:
    """Return a notebook as one document: its tables, every row that holds something, and how many entries of each kind are sure.

    Parameters
    ----------
    known : collection of str
        Digests of rows that were in the log before.
    brought : NotebookBrought, optional
        What was saved now.
    offers : sequence of Offer
        What it names that is not there.
    """
    rows = [{**row_json(row), **({"known": True} if row.digest in known else {})} for row in notebook.rows]
    sure = Counter(one.what.value for row in notebook.rows if row.is_sure for one in row.entries)
    reasons = Counter(row.question.ask.value for row in notebook.rows if row.question is not None)
    return {
        "schema": _SCHEMA,
        "file": file,
        "date_order": notebook.order or None,
        "tables": _tables_json(notebook),
        "entries_by_kind": dict(sorted(sure.items())),
        "rows_by_meaning": dict(sorted(Counter(row["means"] for row in rows).items())),
        "ask": {"rows": sum(reasons.values()), "reasons": dict(sorted(reasons.items()))},
        "rows_that_hold_something": len(rows),
        "not_there": [
            {"is": one.lack.value, "name": one.name, "machine": one.machine or None, "rows": len(one.rows)}
            for one in offers
        ],
        "saved": len(brought.saved) if brought is not None else 0,
        "entry": str(brought.done.deed.id) if brought is not None and brought.done is not None else None,
        "left": [{**_place_json(row), "why": why} for row, why in brought.left] if brought is not None else [],
        "rows": rows,
    }


def _place_json(row: NoteRow) -> dict[str, Any]:
    return {"sheet": row.sheet, "row": row.row, **({"columns": row.columns} if row.columns else {})}


def _tables_json(notebook: Notebook) -> list[dict[str, Any]]:
    return [
        {
            "sheet": seen.sheet,
            "heading_rows": [one + 1 for one in seen.table.heading_rows],
            "columns": [
                {
                    "at": column.at + 1,
                    "heading": column.heading,
                    "holds": column.holds.value if column.year is None else str(column.year),
                    "by": column.by.value,
                    "unit": column.unit or None,
                }
                for column in seen.columns
            ],
        }
        for seen in notebook.tables
    ]


def means_said(row: NoteRow) -> str:
    """Return what a row is in one phrase: "run and reading"."""
    order = [Means.RUN, Means.SEASON_ACRES]
    found = sorted(row.means, key=lambda one: (one not in order, row.means.index(one)))
    return " and ".join(dict.fromkeys(one.value for one in found))


def row_json(row: NoteRow) -> dict[str, Any]:
    """Return one row; keys that say nothing are left out."""
    said: dict[str, Any] = {"sheet": row.sheet, "row": row.row}
    if row.columns:
        said["columns"] = row.columns
    said["means"] = means_said(row)
    if not set(row.means) <= SAVES_NOTHING:
        said["entries"] = [entry_json(one) for one in row.entries]
    if row.question is not None:
        said["ask"] = row.question.ask.value
        said["question"] = row.question.says
        if row.question.choices:
            said["choices"] = list(row.question.choices)
    if row.granted:
        said["granted"] = list(row.granted)
    return said


def entry_json(entry: NoteEntry) -> dict[str, Any]:
    """Return one entry; what it does not say is left out, but a day that it does not say is null."""
    said: dict[str, Any] = {
        "is": entry.what.value,
        "machine": entry.machine or None,
        "header": entry.header or None,
        "kind": entry.kind or None,
        "part": entry.part or None,
        "positions": "all" if entry.every else list(entry.positions) if entry.positions else None,
        "date": entry.day.isoformat() if entry.day is not None else None,
        "at": entry.time or None,
        "cause": entry.cause.value if entry.cause is not None else None,
        "mode": entry.mode.value if entry.mode is not None else None,
        "action": entry.action.value if entry.action is not None else None,
        **_amounts(entry),
        "service": entry.service or None,
        "field": entry.field_name or None,
        "crop": entry.crop_name or None,
        "season": entry.season,
        "note": entry.note or None,
    }
    return {key: value for key, value in said.items() if value is not None or key == "date"}


def _amounts(entry: NoteEntry) -> dict[str, Any]:
    area = {f"area_{entry.area_said[1]}": _number(entry.area_said[0])} if entry.area_said is not None else {}
    shown: dict[str, Any] = {}
    if entry.meter is not None:
        shown["meter"] = entry.meter.value
    if entry.shown_usage is not None and entry.meter is not None:
        unit = "ac" if entry.meter.value == "area" else "h"
        shown[f"shown_{unit}"] = float(from_stored(entry.shown_usage, unit))
    return {
        "stood_minutes": _minutes(entry.stood_seconds),
        "labour_minutes": _minutes(entry.labour_seconds),
        "cost": _money(entry.cost_minor),
        **shown,
        **area,
        "hours_worked": entry.worked_seconds / 3600 if entry.worked_seconds is not None else None,
        "quantity": entry.quantity,
        "unit_cost": _money(entry.unit_cost_minor),
    }


def _number(text: str) -> float | int:
    value = float(text)
    return int(value) if value.is_integer() else value


def _minutes(seconds: int | None) -> float | int | None:
    if seconds is None:
        return None
    minutes = round(seconds / 60, 1)
    return int(minutes) if minutes.is_integer() else minutes


def _money(minor: int | None) -> float | None:
    return minor / 100 if minor is not None else None


def notebook_lines(notebook: Notebook, known: Collection[str] = (), offers: Sequence[Offer] = ()) -> list[str]:
    """Return all as understood: columns, the first rows of each sort, what is not there, every question once, how much is clear."""
    said = [*columns_told(notebook), *first_rows_told(notebook, known)]
    said += [f"+ {offer_told(one)} {_way_told(one)}" for one in offers]
    said += _questions_told([row for row in notebook.rows if row.question is not None and row.digest not in known])
    return [*said, notebook_told(notebook, known)]


def first_rows_told(notebook: Notebook, known: Collection[str] = ()) -> list[str]:
    """Return the first rows of each sort that would be saved, as understood."""
    shown: Counter[str] = Counter()
    said: list[str] = []
    for row in notebook.rows:
        if row.is_sure and row.digest not in known:
            means = means_said(row)
            shown[means] += 1
            said += [row_told(row)] if shown[means] <= _FIRST else []
    return said


def offer_told(offer: Offer) -> str:
    """Return what is not there, and how many rows name it."""
    return f"{offer.says[:1].upper()}{offer.says[1:]}: make it? ({counted(len(offer.rows), 'row')})"


def offer_counted(offer: Offer) -> str:
    """Return what is not there and in how many rows it stands, where the question comes behind."""
    return f"{offer.says[:1].upper()}{offer.says[1:]} ({counted(len(offer.rows), 'row')})"


def _way_told(offer: Offer) -> str:
    """Return how the command makes it, or says what it is."""
    if not offer.ways:
        return "--make parts"
    return f"--make '{offer.name}={offer.ways[0]}', or --word '{offer.name}=...'"


def _questions_told(rows: Sequence[NoteRow]) -> list[str]:
    """Return each question once, with the rows that raise it."""
    by_question: dict[str, list[NoteRow]] = {}
    for row in rows:
        assert row.question is not None
        by_question.setdefault(row.question.says, []).append(row)
    said: list[str] = []
    for question, asking in by_question.items():
        said += [f"? {question}"]
        said += [f"    {where_told(row)}: {row.said}" for row in asking[:_FIRST]]
        said += [f"    and {len(asking) - _FIRST} more rows"] if len(asking) > _FIRST else []
    return said


def notebook_told(notebook: Notebook, known: Collection[str] = ()) -> str:
    """Return how much of a notebook is clear, in one sentence."""
    in_log = sum(row.digest in known for row in notebook.rows)
    sure = sum(row.is_sure and row.digest not in known for row in notebook.rows)
    asked = sum(row.question is not None and row.digest not in known for row in notebook.rows)
    nothing = len(notebook.rows) - sure - asked - in_log
    pieces = [f"{counted(sure, 'row')} to save"]
    pieces += [f"{in_log} in the log already"] if in_log else []
    pieces += [f"{asked} to ask about"] if asked else []
    pieces += [f"{nothing} that {'saves' if nothing == 1 else 'save'} nothing"] if nothing else []
    return f"{', '.join(pieces)}."


def columns_told(notebook: Notebook) -> list[str]:
    """Return what each column of each table is taken for, and by what."""
    said: list[str] = []
    for seen in notebook.tables:
        said.append(table_told(seen))
        said += [
            f"  {column.heading or '(no heading)'}: {held_told(column)}, by {column.by.value}"
            for column in columns_shown(seen)
        ]
    return said


def table_told(seen: TableSeen) -> str:
    """Return where a table stands: "Sheet1: a table, headings in row 3"."""
    rows = ", ".join(str(one + 1) for one in seen.table.heading_rows)
    return f"{seen.sheet}: a table, headings in row {rows}" if rows else f"{seen.sheet}: a table without headings"


def columns_shown(seen: TableSeen) -> list[BookColumn]:
    """Return the columns of a table of which there is something to say."""
    return [one for one in seen.columns if one.year is not None or one.by.value != "nothing" or one.heading]


def held_told(column: BookColumn) -> str:
    """Return what a column is taken for: "area in ha"."""
    held = str(column.year) if column.year is not None else column.holds.value
    return f"{held} in {column.unit}" if column.unit else held


def brought_told(brought: NotebookBrought | None, rows: int, undo: str = "'wearlog undo'") -> list[str]:
    """Return what was saved of so many rows that were new, what was made with it, and why others were left; `undo` undoes it."""
    if brought is None or brought.done is None:
        said = ["Nothing was saved."]
    else:
        said = [f"Saved {len(brought.saved)} of {counted(rows, 'row')} as one entry; {undo} takes it back."]
    if brought is None:
        return said
    said += [f"  {one}" for one in brought.told]
    reasons: dict[str, list[str]] = {}
    for row, why in brought.left:
        reasons.setdefault(why, []).append(str(row.row))
    for why, left in reasons.items():
        said.append(f"  left: {why} (row {', '.join(left[:12])}{' ...' if len(left) > 12 else ''})")
    return said


def where_told(row: NoteRow) -> str:
    """Return where a row stands: "Sheet1 17"."""
    return f"{row.sheet} {row.row} {row.columns}".rstrip()


def row_told(row: NoteRow) -> str:
    """Return one row in a line: where it stands, what it is, what it says."""
    entries = "; ".join(entry_told(one) for one in row.entries)
    granted = f" ({'; '.join(row.granted)})" if row.granted else ""
    return f"{where_told(row)}: {means_said(row)}: {entries or row.said}{granted}"


def entry_told(entry: NoteEntry) -> str:
    """Return one entry in a few words."""
    said = {key: value for key, value in entry_json(entry).items() if key not in ("is", "note") and value is not None}
    return ", ".join(_told(key, value) for key, value in said.items())


def _told(key: str, value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(str(one) for one in value)
    words = {
        "stood_minutes": "stood {} min",
        "labour_minutes": "work {} min",
        "cost": "cost {}",
        "shown_h": "{} h",
        "shown_ac": "{} ac",
        "area_ac": "{} ac",
        "area_ha": "{} ha",
        "unit_cost": "{} each",
        "quantity": "{} pieces",
        "hours_worked": "in {} h",
        "season": "season {}",
    }
    return words.get(key, "{}").format(str(value).replace("_", " "))
