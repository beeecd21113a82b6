"""One fault as a page of a screen: what to read first, the next check, suspects on the drawing, checklists. Draws nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.facts.cautions import BOOK_COMES_FIRST, CAUTIONS_WITH_EVIDENCE
from wearlog.facts.closed_lists import CheckKind, FaultMode, Hazard, NodeKind
from wearlog.facts.electrics import Supplied
from wearlog.facts.farm_settings import FarmSettings
from wearlog.faults.cautions import ELECTRICAL_CAUTIONS, further_cautions
from wearlog.faults.circuit import CONSUMERS, Circuit, Node
from wearlog.faults.data_line import Spot
from wearlog.present.answer_sheet import AnswerSheet
from wearlog.present.digits import Measures, number
from wearlog.present.faults.check_form_words import CheckedPlace, checked_places
from wearlog.present.faults.drawing_sheet import TOLD, DrawnNode, drawing_sheet, drawn_nodes, node_shares
from wearlog.present.faults.fault_case_words import (
    case_title,
    fuse_words,
    how_it_went,
    lamp_words,
    last_time,
    not_put_back,
    questions_asked,
    sign_words,
    taken_up_words,
)
from wearlog.present.faults.suspect_sheet import (
    RATES_NOTE,
    checklist_sheet,
    checklist_told,
    step_sheet,
    suspect_sheet,
    two_fault_lines,
)
from wearlog.present.words import listed, ordinal, word
from wearlog.reckoning.faults.fault_case import Advice, FaultCase, every_caution

#: dangers whose cautions may stand before an electrical step
_MAY_STAND: Final = (Hazard.ELECTRICAL, Hazard.UNDER_HEADER, Hazard.KNIFE, Hazard.HOT_PART)


@dataclass(frozen=True, slots=True)
class StepWords:
    """The next thing to do. `kind` None: a repair; `node` empty as well: look beyond the diagram. `tries`: loads to try at once.

    `held`: on a data line, where the meter is held if not at a plug with all plugged in.
    """

    kind: CheckKind | None
    node: str
    doing: str
    minutes: str
    expect: str
    why: str
    whole: str
    how: str
    tries: tuple[str, ...]
    held: str = ""


@dataclass(frozen=True, slots=True)
class CasePage:
    """A fault in words.

    Attributes
    ----------
    fault_id, machine_id : UUID
    title, about : str
        `about` says how often it came and what was seen.
    suspects : tuple of str
        Likeliest first, in one phrase each.
    cautions : tuple of str
        What to read before the next step, the electrical ones first, the machine's own book last.
    care : str
        The one of them that comes first at the next step.
    hazards : tuple of Hazard
        The dangers that they are about.
    is_begun, is_open : bool
        Whether a check was made, and whether the fault is open.
    reads_all : bool
        All cautions are read before the next step: before the first check, and where the lead comes off the battery.
    step : StepWords or None
        None when it is closed.
    fuses : tuple of str
    drawing, whole : AnswerSheet
        What is in question with all that feeds it; and everything that is drawn.
    checklist, before : tuple of str
        This time's checklist, and that of the last time, with its heading.
    last_time : str
    guess_node : str
        The likeliest place, and `guess_mode` what is wrong there.
    nodes : tuple of str
    places : mapping of str to CheckedPlace
        What the form of a check asks at each.
    loads, untold : tuple of str
        What can be seen dead or working, by name; and those of them of which nothing was told yet.
    questions, left : str
        What is still to be asked before the next check, and who took it up last; may be empty.
    undone : tuple of (str, str)
        What is not put back: in words, and where ("" for no place).
    battery : mapping of Supplied or None to float
        Volts that the battery showed in each state.
    fault_title, next_check, settings
        What the sentences of a check and of closing it are made with.
    """

    fault_id: UUID
    machine_id: UUID
    fault_title: str
    title: str
    about: str
    suspects: tuple[str, ...]
    note: str
    cautions: tuple[str, ...]
    care: str
    hazards: tuple[Hazard, ...]
    is_begun: bool
    reads_all: bool
    is_open: bool
    step: StepWords | None
    fuses: tuple[str, ...]
    drawing: AnswerSheet[DrawnNode]
    whole: AnswerSheet[DrawnNode]
    checklist: tuple[str, ...]
    before: tuple[str, ...]
    last_time: str
    guess_node: str
    guess_mode: FaultMode
    nodes: tuple[str, ...]
    places: Mapping[str, CheckedPlace]
    loads: tuple[str, ...]
    untold: tuple[str, ...]
    questions: str
    left: str
    undone: tuple[tuple[str, str], ...]
    battery: Mapping[Supplied | None, float]
    next_check: int
    settings: FarmSettings


def case_page(case: FaultCase, advice: Advice | None, measures: Measures) -> CasePage:
    """Return a fault in words; without advice for one that is closed."""
    first = next((one for one in case.suspects.ranked() if one.node is not None), None)
    fault = case.fault
    before = case.before[0] if case.before else None
    suspects = suspect_sheet(case, measures)
    loads = tuple(sorted(node.name for node in case.circuit.nodes if node.kind in CONSUMERS))
    told = {sign.node for sign in case.suspects.case.signs}
    cautions = every_caution(advice) if advice else ELECTRICAL_CAUTIONS
    return CasePage(
        fault_id=fault.id,
        machine_id=case.machine.id,
        fault_title=fault.title,
        title=case_title(case),
        about=_about(case, measures),
        suspects=tuple(suspects.about(one, measures) for one in suspects.listed),
        note=_two_faults(case) or RATES_NOTE,
        cautions=(
            *(one.sentence for one in cautions),
            BOOK_COMES_FIRST,
        ),
        care=" ".join(one.sentence for one in (further_cautions(*_where(case, advice)) or ELECTRICAL_CAUTIONS)[:1]),
        hazards=tuple(one for one in _MAY_STAND if CAUTIONS_WITH_EVIDENCE[one][0] in cautions),
        is_begun=bool(case.checks),
        reads_all=advice is not None and not advice.is_again,
        is_open=fault.closed_at is None,
        step=step_page(advice, measures) if advice else None,
        fuses=tuple(fuse_words(fuse) for fuse in advice.blown) if advice else (),
        drawing=drawing_sheet(drawn_nodes(_in_question(case, advice), case.suspects), measures),
        whole=drawing_sheet(drawn_nodes(case.circuit, case.suspects), measures),
        checklist=tuple(checklist_told(checklist_sheet(case.this_time, measures))),
        before=()
        if before is None
        else (last_time(before, measures), *checklist_told(checklist_sheet(before, measures))),
        last_time="" if before is None else last_time(before, measures),
        guess_node=first.node if first and first.node else "",
        guess_mode=first.mode if first else FaultMode.NOT_FOUND,
        nodes=tuple(node.name for node in case.circuit.nodes),
        places=checked_places(case.circuit),
        loads=loads,
        untold=tuple(name for name in loads if name not in told),
        questions=questions_asked(advice.questions, short=True) if advice else "",
        left=" ".join(
            one
            for one in (lamp_words(case, short=True), taken_up_words(case.taken_up, measures) if case.taken_up else "")
            if one
        ),
        undone=tuple((not_put_back(one, measures), one.node) for one in case.undone),
        battery=case.battery_shown,
        next_check=max((check.step for check in case.checks), default=0) + 1,
        settings=measures.settings,
    )


def _where(case: FaultCase, advice: Advice | None) -> tuple[Node | None, CheckKind | None]:
    """Where the next step is made, and which check it is."""
    if advice is None:
        return None, None
    step = advice.steps[0]
    name = step.check.node if step.check else step.repair
    return case.circuit.node(name) if name else None, step.check.kind if step.check else None


def step_page(advice: Advice, measures: Measures) -> StepWords:
    """Return what to do next, with what a sound circuit shows there."""
    step = advice.steps[0]
    sheet = step_sheet(advice, measures)
    doing, minutes, expect, how, why = sheet.cells(step)
    tries = (step.check, *step.together) if step.check and step.check.kind is CheckKind.TRY_IT else ()
    return StepWords(
        kind=step.check.kind if step.check else None,
        node=(step.check.node if step.check else step.repair) or "",
        doing=doing,
        minutes=minutes,
        expect=expect,
        why=why,
        whole=f"about {number(step.expected_minutes)} min from here until it is found and fixed",
        how=how,
        tries=tuple(one.node for one in tries),
        held="" if step.check is None or step.check.spot is Spot.PLUG else step.check.spot,
    )


def _in_question(case: FaultCase, advice: Advice | None) -> Circuit:
    """The part of the diagram where it may be, with what feeds it: what is cleared need not be looked through."""
    circuit, kept = case.circuit, set[str]()
    here, _ = _where(case, advice)
    waiting = [name for name, share in node_shares(case.suspects).items() if share >= TOLD]
    waiting += [here.name] if here is not None else []
    # every voltage is judged from it
    waiting += [node.name for node in circuit.nodes if node.kind is NodeKind.BATTERY]
    while waiting:
        name: str | None = waiting.pop()
        while name is not None and name not in kept:
            kept.add(name)
            name = circuit.tree_parent(name)
    nodes = tuple(node for node in circuit.nodes if node.name in kept)
    return Circuit(nodes, tuple(edge for edge in circuit.edges if edge.start in kept and edge.end in kept))


def _about(case: FaultCase, measures: Measures) -> str:
    nth = len(case.before) + 1
    fault = case.fault
    seen = [sign_words(sign) for sign in case.suspects.case.signs]
    when = [word(one) for one in fault.conditions]
    parts = [
        f"since {measures.date_said(fault.opened_at)}"
        if fault.closed_at is None
        else f"closed {measures.date_said(fault.closed_at)}",
        f"here for the {ordinal(nth)} time" if nth > 1 else "here for the first time",
        f"seen: {', '.join(seen)}" if seen else "no sign noted",
        *([f"when {listed(when)}"] if when else []),
        *_apart(case, measures),
    ]
    if fault.closed_at is not None:
        parts.append(how_it_went(case.this_time))
    return "; ".join(parts)


def _apart(case: FaultCase, measures: Measures) -> list[str]:
    """Name the faults of the same name that are other ones: two rows of one name are asked about."""
    days = [measures.date_said(one.opened_at) for one in case.namesakes]
    return [f"not linked with {listed(days)} of the same name: other signs or places"] if days else []


def _two_faults(case: FaultCase) -> str:
    """The first sentences of what one fault leaves open, where it does."""
    return "" if case.both is None else " ".join([*two_fault_lines(case.suspects, case.both)][:2])
