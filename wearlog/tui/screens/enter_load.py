"""Entering what a sensor showed and what was true."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import Sensor
from wearlog.facts.plain_text import one_line
from wearlog.facts.quality import Calibration
from wearlog.logbook.deed_sentences import load_sentence
from wearlog.logbook.said_amounts import read_sensor_amount, sensor_unit
from wearlog.logbook.said_measures import FarmSpeaker
from wearlog.tui.questions.harvest import save_load
from wearlog.tui.screens.work_form import WorkForm, row_name
from wearlog.tui.typed import moment_reader, name_reader
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_field import FormField
from wearlog.tui.widgets.form_line import FormLine

if TYPE_CHECKING:
    from wearlog.tui.door import Door

_SENSORS = (
    (Sensor.YIELD_LOAD, "yield load"),
    (Sensor.MOISTURE, "moisture"),
    (Sensor.GROUND_SPEED, "speed"),
    (Sensor.AREA_COUNT, "area"),
    (Sensor.HEADER_HEIGHT, "height"),
)


class LoadScreen(WorkForm):
    """The form of a calibration load."""

    TITLE: ClassVar[str] = "A SENSOR AGAINST ITS REFERENCE"
    FIRST: ClassVar[str] = "shown"
    ABOUT: ClassVar[str] = (
        "What the sensor showed, and what was true: the load by a checked scale, the elevator's moisture, a measured distance "
        "or area. Without a unit it is the farm's usual one; 5,150 lb or 2.3 t are understood. Four to six loads of each crop, "
        "each at a flow of its own, tell more than one. The crop is that of the last run until you write another."
    )

    def questions(self) -> Iterable[FormLine]:
        yield self.machine_question()
        yield ChoiceField("sensor", "Sensor", _SENSORS, start=Sensor.YIELD_LOAD)
        yield FormField("shown", "It showed", partial(self._read, "What did the sensor show?"))
        yield FormField("true", "True is", partial(self._read, "What was true?"))
        yield FormField("crop", "Crop", self._read_crop, say=row_name)
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("note", "Note")

    def prepare(self) -> None:
        self._hints()

    def machine_changed(self) -> None:
        if self.known is None or self.chosen is None:
            return
        self.line("crop").offer([one.name for one in self.known.crops])
        self.line("crop").fill(one_line(self.chosen.crop), hint="any")
        self._hints()

    def changed(self, line: FormLine) -> None:
        super().changed(line)
        if line.asks == "sensor":
            self._hints()

    def _hints(self) -> None:
        unit = sensor_unit(self.answer("sensor"), self.settings)
        for name in ("shown", "true"):
            self.line(name).fill(self.line(name).text, hint=f"in {unit}")

    def _read(self, question: str, text: str) -> int:
        sensor = self.answer("sensor")
        if not text.strip():
            raise UsageError(question, f"Write it in {sensor_unit(sensor, self.settings)}, or with another unit.")
        return read_sensor_amount(sensor, text, self.settings)

    def _read_crop(self, text: str) -> Any:
        if self.known is None or not text.strip():
            return None
        return name_reader(self.known.crops, row_name, "crop")(text)

    def _load(self) -> Calibration:
        crop = self.answer("crop")
        return Calibration(
            machine_id=self.one.machine.id,
            sensor=self.answer("sensor"),
            at=self.answer("at"),
            reference_amount=self.answer("true"),
            indicated_amount=self.answer("shown"),
            crop_id=crop.id if crop else None,
            note=self.line("note").text,
        )

    def summary(self) -> str:
        crop = self.answer("crop")
        return load_sentence(
            FarmSpeaker(self.settings),
            self._load(),
            machine=self.one.machine.name,
            crop=crop.name if crop else "",
        )

    def saving(self) -> Callable[[Door], str]:
        return partial(save_load, load=self._load())
