"""The grain of a season as an answer: how moist it came in, how much was cut, what it shrinks to when it is dry."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from wearlog.facts.farm_settings import dry_key
from wearlog.facts.plain_text import one_line
from wearlog.harvest.moisture import shrink_per_point
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.json_form import rounded
from wearlog.reckoning.harvest.crop_grain import CropGrain
from wearlog.units import POUND_GRAMS


def grain_unit(row: CropGrain, measures: Measures) -> str:
    """Return t on a metric farm; else bushels, pounds where nobody knows what a bushel weighs."""
    return "t" if measures.settings.is_metric else "bu" if row.crop.bushel_grams else "lb"


def _amount(grams: float, row: CropGrain, measures: Measures) -> float:
    if measures.settings.is_metric:
        return grams / 1e6
    return grams / (row.crop.bushel_grams or float(POUND_GRAMS))


def _said(grams: float, row: CropGrain, measures: Measures) -> str:
    return number(_amount(grams, row, measures), 1 if measures.settings.is_metric else 0)


def _value(grams: float | None, row: CropGrain, measures: Measures) -> float | None:
    return None if grams is None else rounded(_amount(grams, row, measures), 1)


def _moisture(row: CropGrain, _: Measures) -> str:
    found = row.moisture
    return f"{found.mean:.1f} %" if math.isnan(found.low) else f"{found.mean:.1f} % ({found.low:.1f}-{found.high:.1f})"


def _cut(row: CropGrain, measures: Measures) -> str:
    return f"{_said(row.grams, row, measures)} {grain_unit(row, measures)}" if row.grams else NOTHING


def _dry(row: CropGrain, measures: Measures) -> str:
    if row.dry is None:
        return NOTHING
    mean = f"{_said(row.dry.shrink.mass, row, measures)} {grain_unit(row, measures)}"
    if math.isnan(row.dry.least):
        return mean
    return f"{mean} ({_said(row.dry.least, row, measures)}-{_said(row.dry.most, row, measures)})"


def _shrink(row: CropGrain) -> float | None:
    return None if row.dry is None else row.dry.shrink.total_percent


COLUMNS: Final[tuple[AnswerColumn[CropGrain], ...]] = (
    AnswerColumn("crop", lambda row, _: row.crop.name, "crop", lambda row, _: row.crop.name, least=9, most=16),
    AnswerColumn(
        "year", lambda row, _: str(row.harvest_year), "season", lambda row, _: row.harvest_year, least=4, gives=2
    ),
    AnswerColumn(
        "samples",
        lambda row, _: str(row.moisture.count),
        "samples",
        lambda row, _: row.moisture.count,
        least=7,
        figures=True,
        gives=5,
    ),
    AnswerColumn(
        "moisture",
        _moisture,
        "moisture_percent",
        lambda row, _: rounded(row.moisture.mean),
        least=18,
        figures=True,
        gives=1,
        tells_more=True,
    ),
    data("moisture_low", lambda row, _: rounded(row.moisture.low)),
    data("moisture_high", lambda row, _: rounded(row.moisture.high)),
    data("level", lambda row, _: row.moisture.level),
    data("samples_by_elevator", lambda row, _: row.by_elevator),
    data("samples_as_shown", lambda row, _: row.as_shown),
    data("weighed_by_field", lambda row, _: row.by_field),
    AnswerColumn(
        "as cut",
        _cut,
        "grain_cut",
        lambda row, measures: _value(row.grams or None, row, measures),
        least=10,
        figures=True,
        gives=3,
        tells_more=True,
    ),
    data("grain_unit", grain_unit),
    data("{acres}_cut", lambda row, measures: rounded(measures.area_number(row.area), 1)),
    data("{acres}_with_yield", lambda row, measures: rounded(measures.area_number(row.area_known), 1)),
    AnswerColumn(
        "dry at",
        lambda row, _: NOTHING if row.standard is None else f"{row.standard.percent:.1f} %",
        "dry_standard_percent",
        lambda row, _: None if row.standard is None else row.standard.percent,
        least=6,
        figures=True,
        gives=4,
    ),
    AnswerColumn(
        "shrink",
        lambda row, _: NOTHING if (found := _shrink(row)) is None else f"{found:.1f} %",
        "shrink_percent",
        lambda row, _: rounded(_shrink(row)),
        least=6,
        figures=True,
        gives=2,
    ),
    AnswerColumn(
        "dry grain",
        _dry,
        "grain_dry",
        lambda row, measures: _value(row.dry.shrink.mass if row.dry else None, row, measures),
        # an interval that is cut would be another one
        least=40,
        figures=True,
        tells_more=True,
    ),
    data("grain_dry_low", lambda row, measures: _value(row.dry.least if row.dry else None, row, measures)),
    data("grain_dry_high", lambda row, measures: _value(row.dry.most if row.dry else None, row, measures)),
)


def grain_sheet(found: Sequence[CropGrain], measures: Measures) -> AnswerSheet[CropGrain]:
    """Return the answer; a row is a crop in a season, the latest season first."""
    return AnswerSheet(
        name="grain",
        columns=COLUMNS,
        rows=found,
        measures=measures,
        sentences=_notes(found),
        empty="No moisture sample yet. 'wearlog calibrate --sample CROP PERCENT', or on the screen a, enters one: then it says "
        "what the grain is when it is dry.",
        key_of=id,
    )


def _notes(found: Sequence[CropGrain]) -> list[str]:
    notes = [
        "moisture: as the elevator found it, else as your tester showed with its offset for that moisture; each sample weighs as "
        "the grain of its field where that is known. In brackets the 90 % interval; one sample has none."
    ]
    standards = {row.crop.name: row.standard for row in found if row.standard is not None}
    if standards:
        points = "; ".join(
            f"{one_line(crop)} {one.percent:g} % ({one.standing.value}{f': {one.source}' if one.source else ''})"
            for crop, one in standards.items()
        )
        crop, first = next(iter(standards.items()))
        notes.append(
            "as cut: area by the yields that were entered, taken as of the grain as it was cut. shrink: water alone, at the mean "
            f"moisture, 100 / (100 - dry) per cent a point ({shrink_per_point(first.percent):.3f} % at {first.percent:g} %); "
            "handling often takes half a per cent more (extension page). Grain that is drier stays as it is."
        )
        notes.append(
            f"dry at: {points}. What your buyer says goes before it: wearlog set '{dry_key(crop)}' {first.percent:g}."
        )
    left_out = [row for row in found if row.area_known < row.area]
    if left_out:
        notes.append("as cut: of the runs with a yield alone; " + ", ".join(_part(row) for row in left_out[:4]) + ".")
    if any(row.as_shown for row in found):
        notes.append("Some samples stand as the tester showed them: nobody compared it there yet.")
    return notes


def _part(row: CropGrain) -> str:
    share = row.area_known / row.area if row.area else 0.0
    return f"{row.crop.name} {row.harvest_year} {share * 100:.0f} % of the area"
