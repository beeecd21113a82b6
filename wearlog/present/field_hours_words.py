"""What the hours of the published curves are read off, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wearlog.present.json_form import rounded
from wearlog.present.words import listed
from wearlog.reckoning.field_hours import FieldHours, HoursBy

_RATIO_OF = {
    HoursBy.OWN_RATIO: "the machine's own ratio",
    HoursBy.FARM_RATIO: "the ratio of this farm's counters",
    HoursBy.USUAL_RATIO: "common practice, no source",
}


def hours_name(basis: FieldHours) -> str:
    """Return what one calls the hours."""
    return "separator hours" if basis.by is HoursBy.SEPARATOR else "hours in the field"


def hours_source(basis: FieldHours) -> str:
    """Return what they are read off."""
    if basis.by is HoursBy.SEPARATOR:
        return "the separator's counter"
    if basis.by is HoursBy.RUNS:
        return "the runs alone, since the log began (no counter was read)"
    return f"the engine's counter, {basis.ratio:.2f} h to one in the field ({_RATIO_OF[basis.by]})"


def curve_hours_sentence(found: Sequence[tuple[str, FieldHours]]) -> str:
    """Say on which hours the curve runs, machines with the same source together."""
    by_source: dict[str, list[str]] = {}
    for name, basis in found:
        by_source.setdefault(hours_source(basis), []).append(name)
    told = "; ".join(f"by {source}: {listed(names)}" for source, names in by_source.items())
    return f"It runs on hours of use in the field, {told}."


def hours_json(basis: FieldHours) -> dict[str, Any]:
    """Return it as JSON."""
    return {"hours_by": basis.by, "engine_per_field_hour": rounded(basis.ratio, 4)}
