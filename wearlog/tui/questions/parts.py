"""Questions about a breakage: what can be logged, and saving it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Mode
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name
from wearlog.logbook.quickline.lexicon import usual_mode
from wearlog.present.words import saved_line
from wearlog.tui.draft import BreakageChoices, Draft, Loggable

if TYPE_CHECKING:
    from datetime import datetime
    from uuid import UUID

    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.parts.stock import Shelf
    from wearlog.tui.door import Door


def breakage_choices(door: Door) -> BreakageChoices:
    """Return what can be logged: every component with its words, hazard and usual way to fail, and where the last breakage was."""
    from wearlog.logbook.names import vocabulary
    from wearlog.logbook.work.entry_start import breakage_start

    words = vocabulary(door.log)
    start = breakage_start(door.log)
    modes: dict[str, Mode] = {}
    components = []
    for machine in words.machines:
        for one in machine.components:
            if one.kind not in modes:
                modes[one.kind] = usual_mode(one.kind)
            components.append(
                Loggable(
                    component_id=one.id,
                    machine_id=machine.id,
                    machine=one_line(machine.name),
                    name=component_name(one.place, one.kind),
                    kind=one_line(one.kind),
                    positions=one.positions,
                    hazard=start.hazards.get(one.kind_id),
                    mode=modes[one.kind],
                )
            )
    return BreakageChoices(words, tuple(components), start.last_component_id, start.last_position, start.settings)


def save_breakage(door: Door, draft: Draft, sure: frozenset[str] = frozenset()) -> str:
    """Save a breakage and say what was saved, what came off stock, and how to take it back.

    DoubtError where something is asked first that is not in `sure`.
    """
    from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage

    if draft.choice is None:
        raise UsageError("Which part broke?", "Choose one, or write it in the line.")
    done = log_breakage(
        door.log,
        BreakageEntry(
            component_id=draft.choice.component_id,
            positions=draft.positions if draft.choice.positions > 1 else (),
            at=draft.at or door.now(),
            cause=draft.cause,
            mode=draft.mode,
            action=draft.action,
            downtime_seconds=draft.stood_seconds,
            labour_seconds=draft.labour_seconds,
            note=draft.note,
        ),
        sure=sure,
    )
    return saved_line(done)


def claim_sent(door: Door, breakage_id: UUID) -> str:
    """Save that the claim for a breakage is sent, and say so. RefusedError where one was sent before."""
    from wearlog.logbook.parts.claiming import send_claim

    return saved_line(send_claim(door.log, breakage_id, door.now()))


def claim_settled(door: Door, breakage_id: UUID, paid_minor: int, at: datetime) -> str:
    """Save what was paid for a claim; NotFoundError where none was sent, RefusedError where it is settled."""
    from wearlog.logbook.parts.claiming import settle_claim

    return saved_line(settle_claim(door.log, breakage_id, paid_minor, at))


@dataclass(frozen=True, slots=True, eq=False)
class ShelfShown:
    """The answer of all parts, and the same with boxes for a list."""

    sheet: AnswerSheet[Shelf]
    listed: AnswerSheet[Shelf]


def shelf(door: Door) -> ShelfShown:
    """Return every part, the low ones first."""
    from wearlog.present.digits import Measures
    from wearlog.present.parts.stock_list import with_boxes
    from wearlog.present.parts.stock_sheet import stock_sheet
    from wearlog.reckoning.parts.stock import shelf_view

    view = shelf_view(door.log)
    sheet = stock_sheet(view.shelves, view.kind_names, Measures(view.settings))
    return ShelfShown(sheet, with_boxes(sheet))
