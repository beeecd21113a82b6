"""What to look at on a part besides what is measured, by its kind or by where it sits. Common practice, no source."""

from __future__ import annotations

from typing import Final

from wearlog.facts.closed_lists import Subsystem
from wearlog.facts.parts import PartKind

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
