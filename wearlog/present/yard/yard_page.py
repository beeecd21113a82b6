"""The yard in words: a page of lines and rows that a screen only has to put in place. Colours and keys are not here."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.present.digits import Measures
from wearlog.present.faults.fault_sheet import fault_sentence
from wearlog.present.parts.stock_sheet import order_sentence
from wearlog.present.words import counted, word
from wearlog.present.work.service_sheet import due_sentence
from wearlog.present.yard.machine_sheet import machine_rows, machine_sheet
from wearlog.present.yard.yard_glance_page import YardPage
from wearlog.reckoning.parts.fitted_now import LeftInService
from wearlog.reckoning.yard.yard_view import Press, YardView


def yard_page(view: YardView) -> YardPage:
    """Say a yard."""
    measures = Measures(view.settings)
    names = {one.machine.id: one.machine.name for one in view.machines}
    due = tuple(one_line(due_sentence(row, names, measures, view.as_of)) for row in view.due)
    faults = tuple(one_line(fault_sentence(row, names, measures, view.as_of)) for row in view.faults)
    low = tuple(one_line(order_sentence(row, measures)) for row in view.low)
    left = tuple(_left_sentence(row, names, measures, view.as_of) for row in view.left)
    return YardPage(
        title=one_line(view.settings.farm_name) or "The yard",
        next_step=_next_step(view, due=due, faults=faults, low=low, left=left),
        machines=machine_sheet(machine_rows(view.machines, view.left, view.faults, view.due), measures),
        due=due,
        faults=faults,
        low=low,
        left=left,
        harvest=_harvest(view, measures),
        share=view.progress.cut / view.progress.planned if view.progress.planned else None,
        then=_then(view),
        first=_first(view),
    )


def _first(view: YardView) -> UUID | None:
    """The machine that the first sentence speaks of."""
    standing = next((one.machine.id for one in view.machines if one.stands), None)
    due = view.due[0].machine_id if view.due else None
    said = {
        Press.STANDS: standing,
        Press.LEFT: view.left[0].component.machine_id if view.left else None,
        Press.OVERDUE: due,
        Press.FAULT: view.faults[0].fault.machine_id if view.faults else None,
        Press.SOON: due,
    }
    return said.get(view.press)


def _then(view: YardView) -> str:
    """What else presses, counted: what the first sentence says already is not in it."""
    said = {Press.LEFT: view.left, Press.OVERDUE: view.due, Press.SOON: view.due, Press.FAULT: view.faults}
    said[Press.LOW] = view.low
    first = said.get(view.press, ())
    left, due, faults, low = (len(one) - (one is first) for one in (view.left, view.due, view.faults, view.low))
    pieces = [
        (left, f"{counted(left, 'more part')} broken"),
        (due, f"{counted(due, 'service')} due"),
        (faults, f"{counted(faults, 'fault')} open"),
        (low, f"{counted(low, 'part')} low"),
    ]
    told = ", ".join(words for count, words in pieces if count > 0)
    return f"Then {told}." if told else ""


def _left_sentence(row: LeftInService, names: dict[UUID, str], measures: Measures, today: datetime) -> str:
    component, machine = row.component, names.get(row.component.machine_id, "")
    where = place_said(machine, component_name(component.place, row.kind), component.positions, row.positions)
    return f"{where}: runs broken since {measures.date_said(row.since, today)}"


def _harvest(view: YardView, measures: Measures) -> str:
    season = view.progress.season
    if season is None:
        return ""
    cut = measures.area(view.progress.cut)
    of = f" of {measures.area(view.progress.planned)} planned" if view.progress.planned else ""
    return f"{season.harvest_year}: {cut} cut{of}"


def _next_step(
    view: YardView, *, due: tuple[str, ...], faults: tuple[str, ...], low: tuple[str, ...], left: tuple[str, ...]
) -> str:
    standing = next((one for one in view.machines if one.stands), None)
    if standing is not None and standing.stands is not None and view.press is Press.STANDS:
        since = Measures(view.settings).time_said(standing.stands.started_at, view.as_of)
        reason = word(standing.stands.reason)
        return f"Get {one_line(standing.machine.name)} going, then end the stop: it stands since {since}, {reason}."
    sentences = {
        Press.NO_MACHINE: "Enter the first machine: the log begins with one combine.",
        Press.NO_COMPONENT: "Say what sits on the machines: a knife with all its sections is a good first one.",
        Press.LEFT: f"Mend or replace: {left[0]}." if left else "",
        Press.OVERDUE: f"Service {due[0]}." if due else "",
        Press.FAULT: f"Look for the fault: {faults[0]}." if faults else "",
        Press.LOW: f"Order {low[0]}." if low else "",
        Press.SOON: f"Service {due[0]}." if due else "",
        Press.NO_ACRES: "Plan what will be cut: 6, then a. What to buy and fit is reckoned from it.",
        Press.NO_AGES: f"Say how old the parts are: 2, then e. Of {view.ageless} nobody knows it, and the plan leaves them out.",
        Press.NO_PARTS: "Enter the parts that you buy, with what they cost: 7, then a. Without a price nothing is weighed.",
        Press.NOTHING: "Nothing presses. Log what breaks, read the meters now and then.",
    }
    return sentences[view.press]
