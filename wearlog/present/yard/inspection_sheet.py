"""The inspection of a machine as an answer: line by line what to measure with its limit, and what to look at.

What to look at is common practice, no source.
"""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Dimension, Subsystem
from wearlog.facts.machines import ServiceItem
from wearlog.facts.parts import PartKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, format_positions
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, box, data
from wearlog.present.digits import NOTHING, Measures, percent
from wearlog.present.json_form import millimetres, rounded
from wearlog.present.words import counted, word
from wearlog.reckoning.yard.inspection import InspectionLine, LookOver, MachineInspection
from wearlog.reckoning.yard.printed_sheets import PrintedLine, PrintedSheet

_ROUNDS: Final = {
    LookOver.BEFORE_SEASON: "Inspection before the season",
    LookOver.AFTER_SEASON: "Inspection after the season",
}

#: how an answer is written on paper, so that it can be entered as it stands
HOW_TO_WRITE: Final = (
    "Write the figure with its unit, or tick ok. "
    'Where something is to be renewed write "order", with its positions: 41,42 order.'
)


def inspection_title(found: MachineInspection) -> str:
    """Return "Inspection before the season: Kestrel"."""
    return f"{_ROUNDS[found.round]}: {one_line(found.view.machine.name)}"


def printed_title(sheet: PrintedSheet) -> str:
    """Return how a printed sheet is called: "Inspection before the season: Kestrel"."""
    return f"{_ROUNDS[sheet.round]}: {one_line(sheet.machine)}" if sheet.round is not None else "Service round"


def printed_name(sheet: PrintedSheet) -> str:
    """Return the same for a list that may be cut at its end: "Kestrel: inspection before the season"."""
    title, _, machine = printed_title(sheet).partition(": ")
    return f"{machine}: {title[:1].lower()}{title[1:]}" if machine else title


def printed_line_name(line: PrintedLine) -> str:
    """Return what a line of a printed sheet is about, as it stands there."""
    if isinstance(line.place, ServiceItem):
        return f"{one_line(line.machine)}, {one_line(line.place.name)}"
    if line.place is None or line.kind is None:
        return BESIDES[line.look_at][0]
    name = component_name(line.place.place, line.kind.name)
    return f"{name}, 1-{line.place.positions}" if line.place.positions > 1 else name


def inspection_sheet(found: MachineInspection, measures: Measures) -> AnswerSheet[InspectionLine]:
    """Return the answer, in walking order round the machine."""
    return AnswerSheet(
        name="lines",
        columns=COLUMNS,
        rows=found.lines,
        measures=measures,
        headline=f"{inspection_title(found)} (sheet {found.mark})",
        sentences=(HOW_TO_WRITE, f"'wearlog sheet-in {found.mark}' takes it in by these numbers."),
        empty="Nothing is fitted to this machine in the log yet.",
        beside={"sheet": found.mark, "machine": found.view.machine.name, "round": found.round},
        key_of=lambda row: row.number,
        about=_about,
        shouts=lambda row: bool(_broken(row)),
    )


def _broken(row: InspectionLine) -> list[int]:
    return [] if row.now is None else [one.position for one in row.now.positions if one.left]


def line_name(row: InspectionLine) -> str:
    """Return what a line is about: a component, or what is looked over besides."""
    if row.now is None:
        return BESIDES[row.look_at][0]
    many = row.now.component.positions
    name = component_name(row.now.component.place, row.now.kind.name)
    return f"{name}, 1-{many}" if many > 1 else name


def _look(row: InspectionLine, measures: Measures) -> str:
    if row.now is None:
        return BESIDES[row.look_at][1]
    broken = _broken(row)
    left = (
        f"BROKEN: {format_positions(broken)}. "
        if broken and row.now.component.positions > 1
        else "BROKEN. "
        if broken
        else ""
    )
    return left + what_to_look_at(row.now.kind)


def _age(row: InspectionLine, measures: Measures) -> str:
    if row.now is None:
        return ""
    return "unknown" if row.now.oldest is None else measures.usage(row.now.kind.meter_kind, row.now.oldest)


def _fails(row: InspectionLine, measures: Measures) -> str:
    return "" if row.now is None else NOTHING if row.lasts is None else percent(1 - row.lasts)


def _measure(row: InspectionLine, measures: Measures) -> str:
    """What is measured, and at which figure it is worn out."""
    if row.now is None or row.now.kind.dimension is Dimension.NONE:
        return ""
    kind = row.now.kind
    what = word(kind.dimension)
    if kind.pitches:
        what = f"length over {counted(kind.pitches, 'pitch', 'pitches')}"
    if kind.limit_micrometres is None:
        return f"{what}, no limit known"
    return f"{what}, limit {measures.small_length(kind.limit_micrometres)}"


def _last(row: InspectionLine, measures: Measures) -> str:
    if row.now is None or row.now.measured is None:
        return ""
    measured = row.now.measured
    at = f" at {measured.position}" if row.now.component.positions > 1 else ""
    return f"{measures.small_length(measured.measured_micrometres)}{at}, {measures.date_said(measured.at)}"


def _about(row: InspectionLine, measures: Measures) -> str:
    """A line for a screen that has no room for the columns."""
    said = [_look(row, measures)]
    if measured := _measure(row, measures):
        last = _last(row, measures)
        said.append(f"measure the {measured}{f'; last {last}' if last else ''}")
    return f"{row.number}. {line_name(row)}: {'; '.join(said)}."


#: words of a kind's name -> what to look at; the first that stands in the name counts
_BY_NAME: Final[tuple[tuple[str, str], ...]] = (
    ("knife section", "chipped, cracked, rounded edge; loose on the back"),
    ("knife drive", "play, oil, heat; bolts"),
    ("knife head", "play, cracks, grease comes out"),
    ("guard", "bent, ledger edge rounded, bolt loose; in line with its neighbours"),
    ("hold-down", "gap to the section, bolts; knife moves by hand"),
    ("skid", "worn through, bolts"),
    ("reel tine", "broken, bent; turns with its bat"),
    ("reel", "runs true, bearings, bats straight"),
    ("draper belt", "tears, slats, splice; runs in its track"),
    ("auger finger", "broken, guide worn"),
    ("flighting", "edge thin or sharp, torn welds"),
    ("elevator chain", "take-up left, paddles straight"),
    ("chain", "take-up left, stiff or hooked links; sprocket teeth hooked"),
    ("slat", "bent, bolts, rivets"),
    ("sprocket", "teeth hooked or sharp"),
    ("paddle", "torn, bolts"),
    ("rasp", "ridges rounded, bent, bolts; balance after renewing"),
    ("concave", "bars rounded, wires missing, level side to side"),
    ("sieve", "louvres, hinges, seals"),
    ("blade", "sharp, bolts; opposite pairs alike for balance"),
    ("belt", "cracks, glaze, tension, pulleys in line"),
    ("bearing", "turn by hand: play, noise, dry; heat marks"),
    ("joint", "play, crosses greased, guard whole"),
    ("shear bolt", "grade as in the book; spare ones in the cab"),
    ("hose", "chafed, blisters, wet fittings; look with a card, never a hand"),
    ("cylinder", "wet rod, pins"),
    ("harness", "chafed, pinched, mice; plugs clean and dry"),
    ("sensor", "bracket, gap, plug"),
    ("battery", "terminals clean and tight, held down"),
    ("filter", "date, restriction light"),
    ("tyre", "cuts, pressure"),
    ("brake", "pedals even, holds on a slope"),
)

_BY_SUBSYSTEM: Final = {
    Subsystem.HEADER: "bent, loose, cracked",
    Subsystem.FEEDER: "bent, loose, worn through",
    Subsystem.ENGINE: "leaks, mounts, residue near heat",
    Subsystem.HYDRAULICS: "leaks; look with a card, never a hand",
    Subsystem.ELECTRICAL: "chafed, corroded, loose",
}

_ELSE: Final = "bent, loose, leaking, cracked"

#: what is looked over besides the components
BESIDES: Final = {
    "guards": ("every guard and shield", "on, whole, latched"),
    "extinguishers": ("fire extinguishers", "both there, in date, gauge in the green"),
    "mice": ("wiring and air intakes", "nests, gnawed wires, blocked screens"),
    "battery": ("battery at rest", "12.6 V or more after a night (24 V systems double)"),
    "leaks": ("under the machine", "wet spots: oil, coolant, fuel"),
    "tyres": ("tyres and wheel bolts", "pressure by the book, cuts, bolts tight"),
    "cleaned": ("cleaned out", "residue off engine, exhaust, gearboxes and wiring; inside dry"),
    "loosened": ("belts and drapers", "tension off for the winter where the book says so"),
    "battery_rest": ("battery", "charged; negative lead off or on a charger"),
    "fuel": ("fuel and coolant", "tank full, coolant good for the frost here"),
    "lock": ("mechanical stops and reel props", "there, not bent, go in by hand"),
    "plugs": ("header plugs and couplers", "clean, dry, seals whole"),
    "stands": ("stood on its stands", "level; hydraulics without pressure"),
}


def what_to_look_at(kind: PartKind) -> str:
    """Return what to look at on a part of this kind."""
    name = kind.name.casefold()
    return next((said for key, said in _BY_NAME if key in name), _BY_SUBSYSTEM.get(kind.subsystem, _ELSE))


COLUMNS: Final[tuple[AnswerColumn[InspectionLine], ...]] = (
    AnswerColumn(
        "no.", lambda row, _: str(row.number), "number", lambda row, _: row.number, least=3, most=3, figures=True
    ),
    box("ok"),
    AnswerColumn("part", lambda row, _: line_name(row), "part", lambda row, _: line_name(row), least=16, most=40),
    AnswerColumn(
        "age",
        _age,
        "age",
        lambda row, measures: (
            None
            if row.now is None or row.now.oldest is None
            else rounded(measures.usage_number(row.now.kind.meter_kind, row.now.oldest), 1)
        ),
        least=9,
        most=10,
        figures=True,
        gives=3,
        tells_more=True,
    ),
    AnswerColumn(
        "may fail",
        _fails,
        "worst_fails",
        lambda row, _: None if row.lasts is None else rounded(1 - row.lasts, 4),
        least=9,
        most=9,
        figures=True,
        gives=4,
        legend="may fail: the chance that the weakest single part wears out in the season ahead.",
        tells_more=True,
    ),
    AnswerColumn("look at", _look, "look_at", lambda row, measures: _look(row, measures), least=16, most=60, gives=2),
    AnswerColumn(
        "measure",
        _measure,
        "measure",
        lambda row, measures: _measure(row, measures) or None,
        least=12,
        most=40,
        gives=1,
    ),
    data("limit_mm", lambda row, _: None if row.now is None else millimetres(row.now.kind.limit_micrometres)),
    AnswerColumn(
        "last",
        _last,
        "last_mm",
        lambda row, _: (
            None if row.now is None or row.now.measured is None else millimetres(row.now.measured.measured_micrometres)
        ),
        least=9,
        most=24,
        gives=3,
        tells_more=True,
    ),
    data("broken", lambda row, _: _broken(row)),
    box("found"),
)
