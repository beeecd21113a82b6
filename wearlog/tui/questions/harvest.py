"""Questions of the harvest screen: progress and days to finish, capacities, sensors, moisture, loss; and saving what is entered."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Final

from wearlog.present.saved_words import saved_line
from wearlog.tui.section import Picture, Section
from wearlog.tui.widgets.list_rows import ListColumn, ListRow

if TYPE_CHECKING:
    from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
    from wearlog.present.digits import Measures
    from wearlog.reckoning.harvest_quality import HarvestQuality
    from wearlog.reckoning.harvest_view import Finish, HarvestView
    from wearlog.tui.door import Door

_SENSORS: Final = (
    ListColumn("machine", 9, 16),
    ListColumn("sensor", 14, 16),
    ListColumn("crop", 9, 14, weight=1),
    ListColumn("year", 4, 4, weight=4),
    ListColumn("loads", 5, 5, figures=True),
    ListColumn("off", 7, 8, figures=True),
    ListColumn("size", 6, 6, figures=True, weight=3),
    ListColumn("factor", 6, 6, figures=True),
    ListColumn("before", 6, 6, figures=True, weight=2),
    ListColumn("now", 9, 9),
)
_MOISTURE: Final = (
    ListColumn("crop", 12, 20),
    ListColumn("tester shows", 12, 14),
    ListColumn("loads", 5, 5, figures=True),
    ListColumn("add", 6, 6, figures=True),
    ListColumn("90 %", 12, 14),
)
_LOSSES: Final = (
    ListColumn("day", 10, 10),
    ListColumn("combine", 9, 14),
    ListColumn("crop", 10, 14),
    ListColumn("machine", 9, 10, figures=True),
    ListColumn("ahead", 9, 10, figures=True, weight=1),
    ListColumn("in all", 6, 6, figures=True),
    ListColumn("by machine", 10, 10, figures=True, weight=3),
    ListColumn("bars", 6, 7, figures=True, weight=2),
    ListColumn("", 5, 24),
)


@dataclass(frozen=True, slots=True)
class HarvestShown:
    """Everything on the screen, and the share of the planned area that is cut (None when nobody planned)."""

    sections: tuple[Section, ...]
    about: str
    share: float | None


def harvest(door: Door) -> HarvestShown:
    """Reckon how the harvest stands."""
    from wearlog.present.digits import Measures
    from wearlog.present.harvest_words import progress_sentence
    from wearlog.reckoning.harvest_quality import harvest_quality
    from wearlog.reckoning.harvest_view import harvest_view

    with door.log.reading() as connection:
        farm = door.farm(connection)
        view, quality = harvest_view(connection, farm), harvest_quality(connection, farm)
    measures = Measures(farm.settings)
    sections = (
        _finish(view, measures),
        _capacity(view, measures),
        _sensors(quality, measures),
        _moisture(quality),
        _loss(quality, measures),
    )
    share = view.cut / view.planned if view.planned else None
    return HarvestShown(sections, progress_sentence(view, measures), share)


def _finish(view: HarvestView, measures: Measures) -> Section:
    from wearlog.present.harvest_words import finish_sentences

    first, *rest = finish_sentences(view, measures) or ["No season is entered yet."]
    picture = partial(_finish_picture, view.finish) if view.finish is not None else None
    return Section("Finish", (first,), picture=picture, after=tuple(rest))


def _finish_picture(finish: Finish, _: Hashable | None) -> Picture | None:
    from wearlog.present.harvest_charts import finish_chart
    from wearlog.present.harvest_words import finish_table

    return Picture(finish_chart(finish), tuple(finish_table(finish)))


def _capacity(view: HarvestView, measures: Measures) -> Section:
    from wearlog.present.harvest_words import capacity_cells, capacity_notes

    unit = measures.area_unit
    columns = (
        ListColumn("combine", 10, 18),
        ListColumn("year", 4, 4, weight=3),
        ListColumn(unit, 6, 7, figures=True, weight=2),
        ListColumn("field h", 7, 7, figures=True, weight=1),
        ListColumn(f"{unit}/h", 5, 6, figures=True),
        ListColumn("stops", 5, 5, figures=True),
        ListColumn("h between", 12, 12, figures=True),
        ListColumn("each", 10, 10, figures=True),
        ListColumn("ready", 5, 5, figures=True),
    )
    rows = tuple(ListRow(one.machine_id, capacity_cells(one, measures)) for one in view.combines)
    notes = tuple(capacity_notes(view, measures)) if view.combines else ()
    return Section(
        "Capacity", columns=columns, rows=rows, empty="No combine has cut yet. c enters an area cut.", after=notes
    )


def _sensors(quality: HarvestQuality, measures: Measures) -> Section:
    from wearlog.present.quality_words import SENSOR_NOTES, sensor_cells

    rows = []
    for place, one in enumerate(quality.sensors):
        cells = sensor_cells(one, measures)
        rows.append(ListRow(place, cells, alarm=cells[-1] == "SET ANEW"))
    empty = "No sensor was checked yet. a enters what one showed and what was true."
    return Section("Sensors", columns=_SENSORS, rows=tuple(rows), empty=empty, after=SENSOR_NOTES if rows else ())


def _moisture(quality: HarvestQuality) -> Section:
    from wearlog.present.quality_words import band_cells, moisture_note

    rows = tuple(ListRow(place, band_cells(one)) for place, one in enumerate(quality.moisture))
    empty = "No sample with the elevator's figure yet. g enters a moisture sample."
    return Section(
        "Moisture", columns=_MOISTURE, rows=rows, empty=empty, after=(moisture_note(quality),) if rows else ()
    )


def _loss(quality: HarvestQuality, measures: Measures) -> Section:
    from wearlog.present.quality_words import loss_cells, loss_notes

    rows = []
    for place, one in enumerate(quality.losses):
        cells = loss_cells(one, measures)
        rows.append(ListRow(place, cells, alarm=cells[-1] == "HIGH"))
    return Section(
        "Loss",
        columns=_LOSSES,
        rows=tuple(rows),
        empty="No loss check yet. l enters kernels counted behind the combine.",
        picture=partial(_loss_picture, quality),
        after=tuple(loss_notes(quality)) if rows else (),
    )


def _loss_picture(quality: HarvestQuality, key: Hashable | None) -> Picture | None:
    """Loss against the hours of the rasp bars, of the combine and crop under the cursor."""
    from wearlog.present.harvest_charts import loss_chart
    from wearlog.present.quality_words import trend_lines

    if not isinstance(key, int) or key >= len(quality.losses):
        return None
    one, table = quality.losses[key], tuple(trend_lines(quality))
    trend = next((found for found in quality.trends if (found.combine, found.crop) == (one.combine, one.crop)), None)
    if trend is None:
        few = f"{one.combine}, {one.crop}: too few checks for a line against the hours of the rasp bars."
        return Picture(None, table, (few,))
    return Picture(loss_chart(trend), table)


def save_load(door: Door, load: Calibration) -> str:
    """Save a calibration load."""
    from wearlog.logbook.quality import enter_calibration

    return saved_line(enter_calibration(door.log, load))


def save_count(door: Door, check: LossCheck, seed: str = "") -> str:
    """Save a loss check, and what was said of the seed."""
    from wearlog.logbook.quality import enter_loss_check

    return saved_line(enter_loss_check(door.log, check, seed))


def save_sample(door: Door, sample: MoistureSample) -> str:
    """Save a moisture sample."""
    from wearlog.logbook.quality import enter_moisture

    return saved_line(enter_moisture(door.log, sample))
