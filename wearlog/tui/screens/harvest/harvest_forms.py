"""Entering what a sensor showed and what was true, a moisture sample, and a loss check: kernels counted behind the combine."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from wearlog.errors import UsageError
from wearlog.facts.closed_lists import MachineKind, Sensor
from wearlog.facts.plain_text import one_line
from wearlog.facts.quality import Calibration, LossCheck, MoistureSample
from wearlog.logbook.deed_sentences import count_sentence, load_sentence, sample_sentence
from wearlog.logbook.said.amounts import (
    needed_seed,
    per_hectare,
    read_counts,
    read_frame,
    read_percent,
    read_sensor_amount,
    read_yield,
    sensor_unit,
    usual_frame,
)
from wearlog.logbook.said.measures import FarmReader, FarmSpeaker
from wearlog.present.digits import number
from wearlog.tui.questions.harvest import save_count, save_load, save_sample
from wearlog.tui.screens.work.enter_run import WorkForm, row_name
from wearlog.tui.typed import moment_reader, name_reader, needed, optional
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from decimal import Decimal

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


class SampleScreen(WorkForm):
    """The form of a moisture sample. The combine is asked for because its last run says crop and field."""

    TITLE: ClassVar[str] = "A MOISTURE SAMPLE"
    FIRST: ClassVar[str] = "tester"
    KINDS: ClassVar[tuple[MachineKind, ...]] = (MachineKind.COMBINE,)
    ABOUT: ClassVar[str] = (
        "What your own tester shows, in per cent, and what the elevator found, as soon as you know it: from both comes what to "
        "add to the tester. Crop and field are those of the last run of the combine until you write others. Take the grain from "
        "the falling stream or from two places off centre, and warm it sealed when it is cold (extension pages)."
    )

    def questions(self) -> Iterable[FormLine]:
        yield self.machine_question()
        yield FormField(
            "tester", "Tester, %", needed(read_percent, "What does the tester show?", "Write it like 13.5.")
        )
        yield FormField("elevator", "Elevator, %", optional(read_percent), hint="not known yet")
        yield FormField("crop", "Crop", self.read_crop, say=row_name)
        yield FormField("field", "Field", self.read_field, say=row_name)
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)
        yield FormField("note", "Note")

    def machine_changed(self) -> None:
        if self.known is None or self.chosen is None:
            return
        for name, rows, last in (
            ("crop", self.known.crops, self.chosen.crop),
            ("field", self.known.fields, self.chosen.field),
        ):
            self.line(name).offer([one.name for one in rows])
            self.line(name).fill(one_line(last), hint="which?" if name == "crop" else "nobody noted it")

    def _sample(self) -> MoistureSample:
        field = self.answer("field")
        return MoistureSample(
            field_id=field.id if field else None,
            crop_id=self.answer("crop").id,
            at=self.answer("at"),
            tester_hundredths=self.answer("tester"),
            elevator_hundredths=self.answer("elevator"),
            note=self.line("note").text,
        )

    def summary(self) -> str:
        return sample_sentence(FarmSpeaker(self.settings), self._sample(), crop=self.answer("crop").name)

    def saving(self) -> Callable[[Door], str]:
        return partial(save_sample, sample=self._sample())


#: stop the machine before anybody goes behind it (trade: cautions of unplugging and of rotating drives)
CARE = "Nobody behind the combine while it runs: engine off, key out, everything stopped, before you lay a frame."


class LossScreen(WorkForm):
    """The form of a loss check."""

    TITLE: ClassVar[str] = "A LOSS CHECK"
    FIRST: ClassVar[str] = "behind"
    KINDS: ClassVar[tuple[MachineKind, ...]] = (MachineKind.COMBINE,)
    ABOUT: ClassVar[str] = (
        "Drop the straw in a windrow, chopper and spreader off. Lay several frames behind the combine where the straw lies, and "
        "as many ahead of it in the standing crop; write each frame's count: 130 118 141. Discharge is how wide the straw "
        "leaves: what came through the machine lies on that width, and is divided by cut width / discharge width. Seed says what "
        "the kernels weigh: hard red, durum or white wheat, or 33 g for 1,000 of your own; it is kept for the crop. The yield (40 "
        "bu/ac, 2.7 t/ha) makes a share of the crop of it. (Procedure: Minnesota / North Dakota State extension, small grains, "
        "2003.)"
    )

    def questions(self) -> Iterable[FormLine]:
        yield self.machine_question()
        yield FormField("behind", "Behind", read_counts, hint="kernels in each frame: 130 118 141", say=_mean)
        yield FormField("ahead", "Ahead", self._read_ahead, hint="the same ahead of it; nothing: none", say=_mean)
        yield FormField("frame", "Frame", self._read_frame, start="1 ft2")
        yield FormField("discharge", "Discharge", self._width("How wide does the straw leave?"), hint="5 ft, or 1.6 m")
        yield FormField("width", "Cut width", self._width("How wide does the header cut?"))
        yield FormField("crop", "Crop", self.read_crop, say=row_name)
        yield FormField("seed", "Seed", self._read_seed, hint="class, or 33 g for 1,000 kernels")
        yield FormField("yield", "Yield", self._read_yield, hint="not known: no share of the crop")
        yield FormField("field", "Field", self.read_field, say=row_name)
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)

    def prepare(self) -> None:
        self.show_care([CARE])

    def _width(self, question: str) -> Callable[[str], int]:
        def read(text: str) -> int:
            return FarmReader(self.settings).width(text)

        return needed(read, question, "Write it like 40 ft or 12.2 m.")

    def machine_changed(self) -> None:
        if self.known is None or self.chosen is None:
            return
        if self.settings.is_metric:
            self.line("frame").fill(usual_frame(self.settings))
        header = self.known.of(self.chosen.hitched_to)
        width = header.machine.cut_width_micrometres if header is not None else None
        self.line("width").fill(self.measures.width(width) if width else "", hint="40 ft, or 12.2 m")
        self.line("crop").offer([one.name for one in self.known.crops])
        self.line("field").offer([one.name for one in self.known.fields])
        self.line("crop").fill(one_line(self.chosen.crop), hint="which?")
        kept = self.settings.seed_of(self.chosen.crop)
        self.line("seed").fill("", hint=f"as kept: {kept}" if kept else "class, or 33 g for 1,000 kernels")
        self.line("field").fill(one_line(self.chosen.field), hint="nobody noted it")

    def _read_frame(self, text: str) -> Decimal:
        return read_frame(text, self.settings)

    def _read_ahead(self, text: str) -> Decimal:
        return read_counts(text.strip() or "0")

    def _read_seed(self, text: str) -> str:
        crop = self.line("crop")
        found = crop.read() if crop.is_right else None
        return needed_seed(text, found.name, self.settings) if found is not None else ""

    def _read_yield(self, text: str) -> int | None:
        if not text.strip():
            return None
        crop = self.line("crop")
        return read_yield(text, crop.read() if crop.is_right else None, self.settings)

    def _check(self) -> LossCheck:
        field, frame = self.answer("field"), self.answer("frame")
        return LossCheck(
            combine_id=self.one.machine.id,
            field_id=field.id if field else None,
            crop_id=self.answer("crop").id,
            at=self.answer("at"),
            behind_per_hectare=per_hectare(self.answer("behind"), frame),
            ahead_per_hectare=per_hectare(self.answer("ahead"), frame),
            cut_width_micrometres=self.answer("width"),
            discharge_width_micrometres=self.answer("discharge"),
            yield_grams_per_hectare=self.answer("yield"),
        )

    def summary(self) -> str:
        combine, crop = self.one.machine.name, self.answer("crop").name
        return count_sentence(
            FarmSpeaker(self.settings), self._check(), combine=combine, crop=crop, seed=self.answer("seed")
        )

    def saving(self) -> Callable[[Door], str]:
        return partial(save_count, check=self._check(), seed=self.answer("seed"))


def _mean(count: Decimal) -> str:
    return f"{number(count, 1)} in a frame on the mean"
