"""The notebooks that tests read, the farm of each as its file says it, and how far a reading agrees with what is right."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from wearlog.exchange.notebook_files import read_notebook
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Component
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.lines.line_saving import farm_words
from wearlog.logbook.notebook.understanding import NotebookWords, understand
from wearlog.present.notebook_words import notebook_json
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store

HERE: Final = Path(__file__).parent / "books"
BEGAN: Final = datetime(2020, 1, 1, 12, tzinfo=UTC)
NOW: Final = datetime(2026, 11, 20, 22, tzinfo=UTC)
_KINDS: Final = {one.name: one for one in STARTING_KINDS}
_COUNTED: Final = (("knife_sections", "knife section", "knife"), ("guards", "guard", "guards"))


def expected_of(name: str) -> dict[str, Any]:
    """Return what the file beside a notebook says is right."""
    found: dict[str, Any] = json.loads((HERE / f"{name}.expected.json").read_text("utf-8"))
    return found


def enter_farm(store: Store, expected: dict[str, Any]) -> None:
    """Enter the machines of a notebook's farm as its file says them."""
    with store.writing() as connection:
        record(connection, device=store.device, said="began", entries=[Entry(one) for one in STARTING_KINDS])
    for said in expected["machines"]:
        kind = MachineKind(said["kind"])
        width = round(said["width_ft"] * 304_800) if "width_ft" in said else None
        machine = Machine(name=said["name"], kind=kind, cut_width_micrometres=width)
        add_machine(store, machine, at=BEGAN)
        parts = [
            Component(machine_id=machine.id, part_kind_id=_KINDS[name].id, place=place, positions=said[key])
            for key, name, place in _COUNTED
            if key in said
        ]
        if parts:
            with store.writing() as connection:
                record(connection, device=store.device, said="parts", entries=[Entry(one) for one in parts])


@dataclass
class Measured:
    """How a reading agrees: rows that are right, and what is wrong with the others."""

    right: int = 0
    wrong: list[str] = field(default_factory=list)
    silent: list[str] = field(default_factory=list)
    not_asked: list[str] = field(default_factory=list)
    asked_too_much: list[str] = field(default_factory=list)

    @property
    def share(self) -> float:
        """The share of rows that are right."""
        return self.right / (self.right + len(self.wrong))


def read_book(store: Store, name: str, said: NotebookWords | None = None) -> dict[str, Any]:
    """Return what the program makes of a notebook, as its JSON."""
    expected = expected_of(name)
    sheets = read_notebook(HERE / expected["file"])
    return notebook_json(understand(sheets, farm_words(store), NOW, said), expected["file"])


def measured(got: dict[str, Any], expected: dict[str, Any]) -> Measured:
    """Compare row by row. A field that is not there in what is expected is not judged."""
    result = Measured()
    rows = {_place(one): one for one in got["rows"]}
    wanted_places = {_place(one) for one in expected["rows"]}
    for wanted in expected["rows"]:
        place = _place(wanted)
        row = rows.get(place)
        if row is None:
            result.wrong.append(f"{place}: not there")
            if wanted.get("ask"):
                result.not_asked.append(f"{place}")
            continue
        differs = _differs(row, wanted)
        if not differs:
            result.right += 1
            continue
        told = f"{place}: {'; '.join(differs)}"
        result.wrong.append(told)
        if wanted.get("ask") and not row.get("ask"):
            result.not_asked.append(told)
        elif row.get("ask") and not wanted.get("ask"):
            result.asked_too_much.append(told)
        elif not row.get("ask"):
            result.silent.append(told)
    others = [place for place, row in rows.items() if place not in wanted_places and row.get("entries")]
    result.silent += [f"{place}: there is no such row" for place in others]
    return result


def _place(row: dict[str, Any]) -> tuple[str, int, str]:
    return row["sheet"], row["row"], row.get("columns", "")


def _differs(row: dict[str, Any], wanted: dict[str, Any]) -> list[str]:
    if wanted.get("ask"):
        # what must be asked is asked; what is sure beside it is not judged
        return [] if row.get("ask") == wanted["ask"] else [f"ask {row.get('ask')} and not {wanted['ask']}"]
    if row.get("ask"):
        return [f"asked {row['ask']}: {row.get('question')}"]
    differs = [] if row["means"] == wanted["means"] else [f"means {row['means']} and not {wanted['means']}"]
    entries, expected = list(row.get("entries", ())), wanted.get("entries", [])
    if len(entries) != len(expected):
        differs.append(f"{len(entries)} entries and not {len(expected)}")
    for one in expected:
        best = min((_fields(entry, one) for entry in entries), key=len, default=["no entry"])
        differs += best
    return differs


def _fields(entry: dict[str, Any], wanted: dict[str, Any]) -> list[str]:
    return [
        f"{key} {entry.get(key)!r} and not {value!r}" for key, value in wanted.items() if not _same(key, entry, value)
    ]


def _same(key: str, entry: dict[str, Any], value: Any) -> bool:
    got = entry.get(key)
    if key == "date" and isinstance(value, str) and value.endswith("end of season"):
        return isinstance(got, str) and got[:4] == value[:4]
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        near = 1.0 if key.endswith("minutes") else 0.005
        return isinstance(got, (int, float)) and abs(got - value) <= near
    if key in ("service", "part") and isinstance(value, str):
        return isinstance(got, str) and got.casefold() == value.casefold()
    return bool(got == value)


def kinds_of(rows: list[dict[str, Any]]) -> Counter[str]:
    """Count the entries of rows that need no question, by kind."""
    return Counter(one["is"] for row in rows if not row.get("ask") for one in row.get("entries", ()))
