"""Grain loss as answers: check by check, and whether it grows with the hours of the rasp bars."""

from __future__ import annotations

from typing import Final

from wearlog.facts.farm_settings import seed_key
from wearlog.facts.plain_text import one_line
from wearlog.harvest.kernel_table import is_small_grain
from wearlog.harvest.loss import GrainLoss
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, RowRule, data
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.json_form import rounded
from wearlog.reckoning.harvest.harvest_quality import HarvestQuality, LossLine, LossTrend
from wearlog.units import ACRE_SQUARE_METRES, POUND_GRAMS

#: usual total loss of small grains: Minnesota / North Dakota State extension, small grains (2003)
HIGH_LOSS: Final = 0.03
#: up to a bushel (of 50 lb) an acre of canola is acceptable: Canola Council; in pounds an acre
HIGH_CANOLA: Final = 50.0
#: as many of the latest checks are told at once
_LATEST: Final = 12
#: grams per square metre in pounds per acre
POUNDS_PER_ACRE: Final = float(ACRE_SQUARE_METRES / POUND_GRAMS)


def mass_per_area(grams_per_square_metre: float, measures: Measures) -> str:
    """Return a loss in pounds an acre or kilograms a hectare."""
    if measures.settings.is_metric:
        return f"{number(grams_per_square_metre * 10)} kg/ha"
    return f"{number(grams_per_square_metre * POUNDS_PER_ACRE)} lb/ac"


def is_high(one: LossLine) -> bool | None:
    """Tell whether a loss is over what is usual of its crop; None where nothing is published, or no yield was written."""
    if one.loss is not None and "canola" in one.crop.casefold():
        return one.loss.total * POUNDS_PER_ACRE > HIGH_CANOLA
    if one.share is None or not is_small_grain(one.crop):
        return None
    return one.share > HIGH_LOSS


def _state(row: LossLine) -> str:
    if row.loss is None:
        return "WHICH CLASS?" if row.classes else "kernel weight not known"
    return "HIGH" if is_high(row) else ""


def _mass(title: str, key: str, gives: int) -> tuple[AnswerColumn[LossLine], ...]:
    """A mass of an area in the farm's units, and under its key in those of the maths."""

    def grams(loss: GrainLoss) -> float:
        return loss.machine if key == "machine" else loss.ahead

    return (
        AnswerColumn(
            title,
            lambda row, measures: NOTHING if row.loss is None else mass_per_area(grams(row.loss), measures),
            least=8,
            most=11,
            figures=True,
            gives=gives,
        ),
        data(
            f"{key}_grams_per_square_metre",
            lambda row, _: None if row.loss is None else rounded(grams(row.loss)),
        ),
    )


def _share(share: float | None) -> str:
    return NOTHING if share is None else f"{share * 100:.1f} %"


def _bars(row: LossLine) -> float | None:
    return None if row.threshing_seconds is None else row.threshing_seconds / 3600


CHECKS: Final[tuple[AnswerColumn[LossLine], ...]] = (
    data("at", lambda row, _: row.at),
    AnswerColumn("day", lambda row, measures: measures.day(row.at), least=10),
    AnswerColumn("combine", lambda row, _: row.combine, "combine", lambda row, _: row.combine, least=8, most=14),
    AnswerColumn("crop", lambda row, _: row.crop, "crop", lambda row, _: row.crop, least=10, most=14),
    data("field", lambda row, _: row.field or None),
    data("concentration", lambda row, _: rounded(row.concentration)),
    *_mass("machine", "machine", gives=1),
    *_mass("ahead", "ahead", gives=2),
    data("total_grams_per_square_metre", lambda row, _: None if row.loss is None else rounded(row.loss.total)),
    AnswerColumn(
        "in all",
        lambda row, _: _share(row.share),
        "share_of_crop",
        lambda row, _: rounded(row.share, 5),
        figures=True,
    ),
    AnswerColumn(
        "by machine",
        lambda row, _: _share(row.machine_share),
        "machine_share_of_crop",
        lambda row, _: rounded(row.machine_share, 5),
        least=10,
        figures=True,
        gives=4,
    ),
    AnswerColumn(
        "bars",
        lambda row, _: NOTHING if (hours := _bars(row)) is None else f"{number(hours)} h",
        "rasp_bar_hours",
        lambda row, _: rounded(_bars(row), 2),
        figures=True,
        gives=3,
    ),
    AnswerColumn("", lambda row, _: _state(row), least=5, most=24),
    data("is_high", lambda row, _: is_high(row)),
    data("kernels_like", lambda row, _: None if row.kernels is None else row.kernels.crop),
    data("kernels_evidence", lambda row, _: None if row.kernels is None else row.kernels.standing.value),
)


def loss_sheet(view: HarvestQuality, measures: Measures) -> AnswerSheet[LossLine]:
    """Return every check, the latest first."""
    latest = {id(one) for one in view.losses[:_LATEST]}
    return AnswerSheet(
        name="checks",
        columns=CHECKS,
        rows=view.losses,
        measures=measures,
        sentences=_notes(view, measures),
        empty="No loss check yet. Count kernels behind the combine and ahead of it: 'wearlog loss COMBINE CROP', or on the screen "
        "a enters kernels counted behind the combine.",
        rule=RowRule(lambda row: id(row) in latest, lambda left: f"and {left} earlier ('wearlog loss --all')"),
        key_of=id,
        shouts=lambda row: bool(is_high(row)),
    )


def _canola_mark(measures: Measures) -> str:
    if measures.settings.is_metric:
        return mass_per_area(HIGH_CANOLA / POUNDS_PER_ACRE, measures)
    return f"1 bu ({HIGH_CANOLA:.0f} lb) an acre"


def _notes(view: HarvestQuality, measures: Measures) -> list[str]:
    sources = sorted({f"{one.kernels.crop} ({one.kernels.standing.value})" for one in view.losses if one.kernels})
    return [
        "machine: what came through, its count behind less ahead, divided by cut width / discharge width; ahead: shatter and "
        "cutterbar; in all, by machine: of the crop as it stood; bars: hours of the rasp bars.",
        f"HIGH: small grains over {percent(HIGH_LOSS)} in all (Minnesota / North Dakota State extension, 2003), canola over "
        f"{_canola_mark(measures)} (Canola Council); no other crop has a mark. Kernels by "
        f"weight of: {', '.join(sources) or 'no crop known'}; your own seed is better.",
        *(
            f"{one_line(crop).capitalize()} may be {' or '.join(classes)}, which weigh unlike: say it once with "
            f"wearlog set '{seed_key(crop)}' '{classes[0]}', or the weight of 1,000 kernels, '33 g'."
            for crop, classes in sorted({(one.crop, one.classes) for one in view.losses if one.classes})
        ),
    ]


def _said(row: LossTrend) -> str:
    return ("grows" if row.line.slope > 0 else "falls") if row.line.slopes else "not shown"


TRENDS: Final[tuple[AnswerColumn[LossTrend], ...]] = (
    AnswerColumn("loss and wear", lambda row, _: f"{row.combine}, {row.crop}", least=12, most=30),
    data("combine", lambda row, _: row.combine),
    data("crop", lambda row, _: row.crop),
    AnswerColumn(
        "checks", lambda row, _: str(row.line.count), "checks", lambda row, _: row.line.count, least=6, figures=True
    ),
    AnswerColumn(
        "per 100 h",
        lambda row, _: f"{row.line.slope * 100:+.2f} %",
        "percent_per_100_hours",
        lambda row, _: rounded(row.line.slope * 100, 4),
        least=9,
        figures=True,
    ),
    AnswerColumn(
        "90 %", lambda row, _: f"{row.line.slope_low * 100:+.2f} to {row.line.slope_high * 100:+.2f}", least=14
    ),
    data("low", lambda row, _: rounded(row.line.slope_low * 100, 4)),
    data("high", lambda row, _: rounded(row.line.slope_high * 100, 4)),
    AnswerColumn("", lambda row, _: _said(row), least=9),
    data("level", lambda row, _: row.line.level),
    data("is_shown", lambda row, _: bool(row.line.slopes)),
)


def loss_trend_sheet(view: HarvestQuality, measures: Measures) -> AnswerSheet[LossTrend]:
    """Return whether loss grows as the rasp bars wear, combine by combine and crop by crop."""
    return AnswerSheet(
        name="loss_and_wear",
        columns=TRENDS,
        rows=view.trends,
        measures=measures,
        sentences=[
            "per 100 h: points of the crop that the machine loses more for each 100 separator hours of the rasp bars. Crop state "
            "and speed move loss more than wear does: a line through few checks is a hint, no proof."
        ],
        empty="Loss against wear: four checks of one combine in one crop, with a yield, are needed for a line.",
        key_of=id,
    )
