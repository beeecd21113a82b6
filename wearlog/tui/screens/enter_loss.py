"""Entering a loss check: kernels counted behind the combine and ahead of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.plain_text import one_line
from wearlog.facts.quality import LossCheck
from wearlog.logbook.deed_sentences import count_sentence
from wearlog.logbook.said_amounts import per_hectare, read_counts, read_frame, read_yield, usual_frame
from wearlog.logbook.said_measures import FarmReader, FarmSpeaker
from wearlog.logbook.said_seed import needed_seed
from wearlog.present.digits import number
from wearlog.tui.questions.harvest import save_count
from wearlog.tui.screens.work_form import WorkForm, row_name
from wearlog.tui.typed import moment_reader, needed
from wearlog.tui.widgets.form_field import FormField
from wearlog.tui.widgets.form_line import FormLine

if TYPE_CHECKING:
    from decimal import Decimal

    from wearlog.tui.door import Door

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
