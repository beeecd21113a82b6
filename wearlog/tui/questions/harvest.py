"""Questions of the harvest screen: progress and days to finish, capacities, sensors, moisture, loss; and saving what is entered."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from wearlog.present.words import saved_line
from wearlog.tui.section import Picture, Section

if TYPE_CHECKING:
    from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.harvest.harvest_quality import HarvestQuality
    from wearlog.reckoning.harvest.harvest_view import Finish, HarvestView
    from wearlog.tui.door import Door

# what the sections mean, for the page of keys and words
_FINISH: Final = (
    "the days that the work takes, from the pace of the combines, the days on which one could cut, and breakdowns: certain field "
    "days, then the day by which it is done evenly, 8 and 9 in 10. What is a guess says so until records are enough."
)
_CAPACITY: Final = (
    "what each combine cuts in an hour of field time, of what it could, and how much of the time it is ready."
)
_GRAIN: Final = "how moist each crop came in, how much was cut, how much of it is dry grain."
_LOSS: Final = "kernels behind the combine, and whether loss grows with the hours of the rasp bars."


@dataclass(frozen=True, slots=True)
class HarvestShown:
    """Everything on the screen, and the share of the planned area that is cut (None when nobody planned).

    `sheets` are the answers that the sections after the first show, one for each.
    """

    sheets: tuple[AnswerSheet[Any], ...]
    sections: tuple[Section, ...]
    answer: tuple[str, ...]
    share: float | None


def harvest(door: Door) -> HarvestShown:
    """Reckon how the harvest stands."""
    from wearlog.present.digits import Measures
    from wearlog.present.harvest.capacity_sheet import capacity_sheet
    from wearlog.present.harvest.finish_answer import finish_answer
    from wearlog.present.harvest.grain_sheet import grain_sheet
    from wearlog.present.harvest.loss_sheet import loss_sheet
    from wearlog.present.harvest.sensor_sheet import sensor_sheet, tester_sheet
    from wearlog.reckoning.harvest.crop_grain import crop_grain
    from wearlog.reckoning.harvest.harvest_quality import harvest_quality
    from wearlog.reckoning.harvest.harvest_view import harvest_view
    from wearlog.tui.section import sheet_section

    with door.log.reading() as connection:
        farm = door.farm(connection)
        view, quality = harvest_view(connection, farm), harvest_quality(connection, farm)
        found = crop_grain(connection, farm, quality.moisture)
    measures = Measures(farm.settings)
    capacity, sensors = capacity_sheet(view, measures), sensor_sheet(quality, measures)
    tester, grain = tester_sheet(quality, measures), grain_sheet(found, measures)
    losses = loss_sheet(quality, measures)
    sections = (
        _finish(view, measures),
        sheet_section("Capacity", capacity, about=_CAPACITY),
        sheet_section("Sensors", sensors, about="yield monitor and others against a reference."),
        sheet_section("Moisture", tester, about="what to add to your tester's figure, crop by crop and band by band."),
        sheet_section("Grain", grain, about=_GRAIN),
        sheet_section("Loss", losses, picture=partial(_loss_picture, quality, measures), about=_LOSS),
    )
    share = view.cut / view.planned if view.planned else None
    return HarvestShown((capacity, sensors, tester, grain, losses), sections, finish_answer(view, measures), share)


def _finish(view: HarvestView, measures: Measures) -> Section:
    from wearlog.present.harvest.finish_sheet import finish_sentences

    first, *rest = finish_sentences(view, measures) or ["No season is entered yet."]
    if view.finish is None:
        return Section("Finish", (first,), after=tuple(rest), about=_FINISH)
    # the first sentence is the screen's answer
    picture = partial(_finish_picture, view.finish, measures)
    return Section("Finish", picture=picture, after=tuple(rest), about=_FINISH)


def _finish_picture(finish: Finish, measures: Measures, _: Hashable | None) -> Picture | None:
    from wearlog.present.harvest.finish_answer import finish_strip
    from wearlog.present.harvest.finish_sheet import finish_sheet
    from wearlog.present.sheet_faces import table_lines

    table = tuple(table_lines(finish_sheet(finish, measures)))
    return Picture(None, table, drawn_in=lambda wide, _: finish_strip(finish, wide))


def _loss_picture(quality: HarvestQuality, measures: Measures, key: Hashable | None) -> Picture | None:
    """Loss against the hours of the rasp bars, of the combine and crop under the cursor."""
    from wearlog.present.harvest.finish_sheet import loss_chart
    from wearlog.present.harvest.loss_sheet import loss_trend_sheet
    from wearlog.present.sheet_faces import answer_lines

    one = next((one for one in quality.losses if id(one) == key), None)
    if one is None:
        return None
    table = tuple(answer_lines(loss_trend_sheet(quality, measures)))
    trend = next((found for found in quality.trends if (found.combine, found.crop) == (one.combine, one.crop)), None)
    if trend is None:
        few = f"{one.combine}, {one.crop}: too few checks for a line against the hours of the rasp bars."
        return Picture(None, table, (few,))
    return Picture(loss_chart(trend), table)


def save_load(door: Door, load: Calibration) -> str:
    """Save a calibration load."""
    from wearlog.logbook.harvest import enter_calibration

    return saved_line(enter_calibration(door.log, load))


def save_count(door: Door, check: LossCheck, seed: str = "") -> str:
    """Save a loss check, and what was said of the seed."""
    from wearlog.logbook.harvest import enter_loss_check

    return saved_line(enter_loss_check(door.log, check, seed))


def save_sample(door: Door, sample: MoistureSample) -> str:
    """Save a moisture sample."""
    from wearlog.logbook.harvest import enter_moisture

    return saved_line(enter_moisture(door.log, sample))
