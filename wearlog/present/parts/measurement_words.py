"""Measured wear in words and as JSON: how a kind is measured, what was just read, how near its limit, when the line meets it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from wearlog.facts.cautions import CAUTIONS
from wearlog.facts.closed_lists import Dimension
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component, Measurement
from wearlog.logbook.parts.measuring import MeasuredPlace, Tape, elongation_of
from wearlog.logbook.parts.wear_limits import chain_limit_source, limit_percent, limit_source, pitch_of
from wearlog.logbook.saving import Done
from wearlog.present.digits import Measures, number, percent
from wearlog.present.json_form import millimetres, rounded
from wearlog.present.tables import folded
from wearlog.present.wear.measured_sheet import crossing_text, line_json
from wearlog.present.wear.wear_words import course_sentence, rough
from wearlog.present.words import counted, word
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.measured_wear import MeasuredPart

#: over fewer pitches one slip of the tape is as large as the wear
FEW_PITCHES: Final = 6

#: share of the room between new and limit by which a part seems to have grown back
_GROWN_BACK: Final = 0.05

_NOT_GROWING: Final = "The readings so far show no wear toward the limit, so no line meets it."

_ONE_MORE: Final = "One more reading, after more work, gives a line to the limit."


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredAnswer:
    """What there is to say.

    Attributes
    ----------
    own_limit_percent : float or None
        For a chain: the limit that this one chain was judged by, where it is not that of its kind.
    part : MeasuredPart or None
        The part with all its readings; None when it is not on any more or its kind has no limit.
    """

    place: MeasuredPlace
    tape: Tape
    done: Done
    own_limit_percent: float | None
    part: MeasuredPart | None

    @property
    def measurement(self) -> Measurement:
        return measurement_saved(self.done)

    @property
    def kind(self) -> PartKind:
        return self.place.kind

    @property
    def limit_micrometres(self) -> float | None:
        """The limit this part is judged by, in the terms of its kind."""
        if self.own_limit_percent is None or not self.kind.pitches or not self.kind.pitch_micrometres:
            return self.kind.limit_micrometres
        return self.kind.pitches * self.kind.pitch_micrometres * (1 + self.own_limit_percent / 100)

    @property
    def is_past_limit(self) -> bool | None:
        limit, value = self.limit_micrometres, self.measurement.measured_micrometres
        if limit is None:
            return None
        return value <= limit if self.kind.dimension is Dimension.THICKNESS else value >= limit

    @property
    def worn_share(self) -> float | None:
        """How far from new to the limit: 0 new, 1 at the limit."""
        new, limit = self.kind.new_micrometres, self.limit_micrometres
        if self.kind.pitches and self.kind.pitch_micrometres:
            new = self.kind.pitches * self.kind.pitch_micrometres
        if new is None or limit is None or new == limit:
            return None
        return (self.measurement.measured_micrometres - new) / (limit - new)


def measurement_saved(done: Done) -> Measurement:
    """Return the measurement that an entry saved."""
    return next(fact for fact in done.facts if isinstance(fact, Measurement))


def part_measured(measured: tuple[MeasuredPart, ...], farm: Farm, measurement: Measurement) -> MeasuredPart | None:
    """Return the part that a measurement was taken of, among those that are fitted now."""
    ids = [one.id for one in farm.components]
    return next(
        (
            part
            for part in measured
            if ids[part.component] == measurement.component_id
            and part.position == measurement.position
            and measurement.measured_micrometres in part.micrometres
        ),
        None,
    )


def care_of(kind: PartKind) -> tuple[str, ...]:
    """Return what to read before a hand goes to a part of this kind."""
    return CAUTIONS[kind.hazard] if kind.hazard is not None else ()


def measured_sentences(answer: MeasuredAnswer, measures: Measures) -> list[str]:
    """Return the answer, a sentence each; the first says what was saved."""
    saved = f"Saved: {answer.done.said}."
    also = [f"{note}." for note in answer.done.also]
    return [saved, *_limit_lines(answer, measures), *_line_lines(answer, measures), *also]


def measured_answer_lines(answer: MeasuredAnswer, measures: Measures) -> list[str]:
    """Return the same as lines for a terminal."""
    saved, *meaning = measured_sentences(answer, measures)
    return [saved, *folded(meaning, indent="  ")]


def _limit_lines(answer: MeasuredAnswer, measures: Measures) -> Iterator[str]:
    kind, elongation = answer.kind, elongation_of(answer.kind, answer.tape)
    limit, share = answer.limit_micrometres, answer.worn_share
    if answer.is_past_limit:
        yield "PAST ITS LIMIT: it is worn out."
    if limit is None:
        yield f"No limit is known for it; 'wearlog limit '{kind.name}' VALUE' sets one."
        return
    way = (
        "" if share is None else ": as new" if share <= 0 else f": {share * 100:.0f} % of the way from new to the limit"
    )
    if elongation is None:
        yield f"Limit {measures.small_length(limit)}{way} ({limit_source(kind)})."
    else:
        allowed = answer.own_limit_percent if answer.own_limit_percent is not None else limit_percent(kind)
        assert allowed is not None
        yield f"Elongation {number(elongation, 2)} %, limit {percent_of_length(allowed)} %{way}."
        yield f"The limit: {chain_limit_source(allowed)}."
        pitch = answer.tape.pitch or pitch_of(kind)
        named = f" ({pitch.name})" if pitch.name else ""
        yield f"The pitch: {measures.small_length(pitch.micrometres)}{named}; {pitch.source}."
        pitches = answer.tape.pitches or kind.pitches or 0
        if pitches < FEW_PITCHES:
            yield f"Over {counted(pitches, 'pitch', 'pitches')} a slip of the tape counts much: measure over 6 to 10 or more."
        if answer.is_past_limit:
            yield "Never join new chain to worn; renew hooked sprockets with it."
    yield from _other_limit(answer)


def _other_limit(answer: MeasuredAnswer) -> Iterator[str]:
    """The reckoning knows one limit of a kind: say so where this reading was judged by another."""
    own, usual = answer.own_limit_percent, limit_percent(answer.kind)
    if own is not None and usual is not None and abs(own - usual) >= 0.005:
        yield (
            f"The lines and lives of the log go by {percent_of_length(usual)} % for every {answer.kind.name}; "
            f"wearlog limit '{answer.kind.name}' '{percent_of_length(own)} %' changes that."
        )


def _line_lines(answer: MeasuredAnswer, measures: Measures) -> Iterator[str]:
    part = answer.part
    if part is None:
        if answer.kind.limit_micrometres is not None:
            yield "The part that was measured is not on any more, so no line is drawn for it."
        return
    yield from _odd(answer, part, measures)
    if part.past_limit:
        return
    crossing, meter = part.crossing(), part.kind.meter_kind
    if crossing is None:
        yield _ONE_MORE
        return
    if math.isinf(crossing.usage):
        yield _NOT_GROWING
        return
    how = course_sentence(part)
    if how:
        yield how
    now = rough(measures.usage_number(meter, part.usage_now))
    left = crossing.usage - part.usage_now
    unit = measures.usage_unit(meter)
    ahead = (
        f"{rough(measures.usage_number(meter, left))} {unit} to go" if left > 0 else "by the line it is past its limit"
    )
    readings = counted(part.micrometres.size, "reading")
    usual = limit_percent(part.kind) if answer.own_limit_percent is not None else None
    which = "the limit" if usual is None else f"{percent_of_length(usual)} %"
    by = f"Averaged over these, it meets {which}" if how else f"By the line through {readings} it meets {which}"
    yield f"{by} at {crossing_text(part, measures)}."
    if crossing.high is not None and math.isinf(crossing.high):
        yield "The interval is not known to end: the readings do not say yet that it must."
    yield f"It has {now} {unit} now: {ahead}."
    if part.chance is not None and part.usage_ahead > 0:
        yield f"Chance to meet it in the season ahead: {percent(part.chance)}."


def _odd(answer: MeasuredAnswer, part: MeasuredPart, measures: Measures) -> Iterator[str]:
    """What makes one look again at the tape."""
    last = part.micrometres.size - 1
    if last in part.outliers:
        yield "This reading stands apart from the others: measure again; undo it if it was a slip."
        return
    share = answer.worn_share
    if last < 1 or share is None or answer.limit_micrometres is None:
        return
    before, now = float(part.micrometres[-2]), float(part.micrometres[-1])
    new = answer.kind.new_micrometres
    room = answer.limit_micrometres - new if new is not None else math.nan
    if (now - before) / room < -_GROWN_BACK:
        yield (
            f"The reading before was {measures.small_length(before)}, and parts do not grow back: "
            "measure again, or was it renewed?"
        )


def measured_answer_json(answer: MeasuredAnswer, measures: Measures) -> dict[str, Any]:
    """Return the same for a program; lengths in millimetres, as they are stored for the kind."""
    kind, measurement, part = answer.kind, answer.measurement, answer.part
    elongation = elongation_of(kind, answer.tape)
    usual = limit_percent(kind) if answer.own_limit_percent is None else answer.own_limit_percent
    return {
        "saved": answer.done.said,
        "entry": answer.done.deed.id,
        "machine": answer.place.machine.name,
        "place": answer.place.component.place,
        "position": measurement.position,
        "kind": kind.name,
        "at": measurement.at,
        "dimension": kind.dimension,
        "measured_mm": millimetres(measurement.measured_micrometres),
        "read_mm": millimetres(answer.tape.micrometres),
        "read_over_pitches": (answer.tape.pitches or kind.pitches) if elongation is not None else None,
        "limit_mm": millimetres(answer.limit_micrometres),
        "elongation_percent": rounded(elongation),
        "elongation_limit_percent": rounded(usual),
        "limit_source": (limit_source(kind) if usual is None else chain_limit_source(usual)) or None,
        "worn_share": rounded(answer.worn_share),
        "past_limit": answer.is_past_limit,
        "readings": None if part is None else part.micrometres.size,
        "line": None if part is None else line_json(part, measures),
        "cautions": list(care_of(kind)),
    }


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
