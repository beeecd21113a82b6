"""How a kind of part is measured and when it is worn out, in words and as JSON. What was measured is elsewhere."""

from __future__ import annotations

from typing import Any

from wearlog.facts.closed_lists import Dimension
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.logbook.parts.wear_limits import limit_percent, limit_source, pitch_of
from wearlog.present.digits import Measures
from wearlog.present.json_form import millimetres, rounded
from wearlog.present.words import counted, word


def percent_of_length(value: float) -> str:
    """Return an elongation as 3, 1.5 or 2.22."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def gauge_lines(kind: PartKind, components: tuple[Component, ...], measures: Measures) -> list[str]:
    """Say how a kind is measured, its limit and where that comes from."""
    if kind.dimension is Dimension.NONE:
        return [f"Nothing is measured on a {kind.name}. --what gap, depth or thickness and a limit set it."]
    lines = [f"{kind.name}: {word(kind.dimension)}"]
    if kind.pitch_micrometres and kind.pitches:
        pitch = pitch_of(kind)
        named = f" ({pitch.name})" if pitch.name else ""
        lines[0] = f"{kind.name}: length over {counted(kind.pitches, 'pitch', 'pitches')}"
        lines.append(f"  pitch  {measures.small_length(pitch.micrometres)}{named}; {pitch.source}")
    new = kind.new_micrometres
    lines.append(f"  new    {'not the same on every machine' if new is None else measures.small_length(new)}")
    if kind.limit_micrometres is None:
        lines.append("  limit  none known")
    else:
        share = limit_percent(kind)
        shown = "" if share is None else f", {percent_of_length(share)} %"
        lines.append(f"  limit  {measures.small_length(kind.limit_micrometres)}{shown}; {limit_source(kind)}")
    lines.append(f"  sits at {counted(len(components), 'place')}" if components else "  sits nowhere yet")
    return lines


def gauge_json(kind: PartKind) -> dict[str, Any]:
    """Return the same for a program."""
    return {
        "kind": kind.name,
        "dimension": kind.dimension,
        "new_mm": millimetres(kind.new_micrometres),
        "limit_mm": millimetres(kind.limit_micrometres),
        "pitch_mm": millimetres(kind.pitch_micrometres),
        "pitches": kind.pitches,
        "elongation_limit_percent": rounded(limit_percent(kind)),
        "limit_source": limit_source(kind) or None,
    }
